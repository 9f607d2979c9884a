# What a maker or a contributor may ask for. Needs make, git and Python 3.11 or newer; all else is
# set up in .venv on the first call (Debian's own packages only where they are missing, as root).

PYTHON ?= python3
OUT ?= out
BIN := .venv/bin

EXAMPLES := $(sort $(wildcard examples/*.toml))

.PHONY: help setup demo test lint types tests bench clean

help:
	@echo "make demo    make the festival's examples into $(OUT)/"
	@echo "make test    set up, then check format, types and behaviour"
	@echo "make bench   measure plans and times, and print the tables; fewer nets with, for instance,"
	@echo "             make bench ARGS=\"--up-to 500 --only cube\""
	@echo "make setup   only set up .venv"
	@echo "make clean   remove .venv and caches; $(OUT)/ stays, it is yours"

setup:
	@PYTHON="$(PYTHON)" bash .ci/setup use

demo: setup
	@set -e; for design in $(EXAMPLES); do \
	    name=$$(basename "$$design" .toml); \
	    echo; \
	    $(BIN)/airweft make "$$design" --out "$(OUT)/$$name"; \
	done
	@echo; echo "Made $(words $(EXAMPLES)) pieces. Look at $(OUT)/:"
	@for design in $(EXAMPLES); do \
	    name=$$(basename "$$design" .toml); \
	    echo "    $(OUT)/$$name/booklet.pdf  to print,  $(OUT)/$$name/steps.html  for the phone"; \
	done

test:
	@PYTHON="$(PYTHON)" bash .ci/setup test
	@$(MAKE) --no-print-directory lint types tests

lint:
	$(BIN)/ruff format --check src tests benchmarks
	$(BIN)/ruff check src tests benchmarks

types:
	$(BIN)/mypy

# On all cores; each file of the app's tests in a process of its own, since browsers and simulated
# users want event loops that do not go together.
tests:
	$(BIN)/pytest -n auto --dist worksteal --ignore=tests/web
	@printf '%s\n' tests/web/test_*.py | xargs -P "$$($(BIN)/python -c 'import os; print(os.cpu_count())')" \
	    -n 1 $(BIN)/pytest

bench:
	@PYTHON="$(PYTHON)" bash .ci/setup bench
	$(BIN)/python -m benchmarks.run $(ARGS)

clean:
	rm -rf .venv .pytest_cache .ruff_cache .mypy_cache .hypothesis
