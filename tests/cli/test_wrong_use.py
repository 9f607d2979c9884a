"""Wrong use: our own words, exit code 2, and never a traceback whatever is typed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airweft import __version__
from airweft.cli import main
from airweft.workshop import examine
from tests.cli.running import finish, run, start


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([], "Say what airweft should do."),
        (["mak"], "There is no command “mak”."),
        (["make"], "DESIGN.toml is missing."),
        (["make", "x.toml"], "The option --out is missing."),
        (["make", "x.toml", "--out"], "The option --out needs a value after it."),
        (["make", "x.toml", "--aut", "y"], "There is no option --aut here."),
        (["check"], "FILE is missing."),
        (["check", "a", "b"], "There is a word too many: b"),
        (["new"], "FORM is missing."),
        (["--quick"], "There is no option --quick here."),
    ],
)
def test_said_in_our_words_with_the_usage(
    capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    ran = run(capsys, *arguments)
    assert ran.code == 2 and ran.out == ""
    assert said in ran.err
    assert "    airweft " in ran.err and "--help" in ran.err


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [
        ("--style", "round", "Did you mean rounds?"),
        ("--paper", "a5", "There are a4 and letter."),
        ("--edition", "[huge]", "--edition cannot be “[huge]”"),
        ("--seed", "-1", "Give a whole number from 0"),
        ("--seed", "1.5", "Give a whole number from 0"),
        ("--seed", "9" * 30, "Give a whole number from 0"),
        ("--seed", "٣", "Give a whole number from 0"),
    ],
)
def test_a_wrong_value_names_the_right_ones(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, option: str, value: str, said: str
) -> None:
    ran = run(capsys, "make", tmp_path / "x.toml", "--out", tmp_path / "out", option, value)
    assert ran.code == 2 and said in ran.err


def test_near_words_are_offered(capsys: pytest.CaptureFixture[str]) -> None:
    assert "Did you mean compare?" in run(capsys, "comapre").err
    assert "Did you mean --out?" in run(capsys, "make", "x", "--aut", "y").err


def test_version_and_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(capsys, "--version").out == f"airweft {__version__}\n"
    for arguments in (["--help"], ["make", "--help"], ["make", "-h"]):
        ran = run(capsys, *arguments)
        assert ran.code == 0 and "airweft" in ran.out
    for option in ("--out", "--style", "--paper", "--seed", "--edition", "--replace", "--json"):
        assert option in ran.out


words = st.sampled_from(
    ["make", "check", "compare", "new", "--out", "--style", "--json", "--help", "-", "--", "",
     "--seed", "box", "[red]", "--out=", "\x1b[2J", "é", "x.toml", "--replace", "-h", "--version"]
)  # fmt: skip


@given(st.lists(words | st.text(max_size=8), max_size=6))
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_whatever_is_typed(
    capsys: pytest.CaptureFixture[str],
    tmp_path_factory: pytest.TempPathFactory,
    arguments: list[str],
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path_factory.mktemp("typed"))
        ran = run(capsys, *arguments)
    assert ran.code in (0, 1, 2)
    assert "\x1b" not in ran.out + ran.err


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_whatever_is_in_the_file(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, data: bytes
) -> None:
    for name in ("x.toml", "x.json"):
        path = tmp_path / name
        path.write_bytes(data)
        ran = run(capsys, "check", path)
        assert ran.code == 2 and ran.err


def test_the_last_resort_says_what_to_report(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("a [bold]fault[/bold]")

    monkeypatch.setattr(examine, "examine", broken)
    code = main(["check", str(tmp_path)])
    out, err = capsys.readouterr()
    assert code == 3 and out == ""
    assert "ZeroDivisionError at tests/cli/test_wrong_use.py, line" in err
    assert "a [bold]fault[/bold]" in err and __version__ in err and "report" in err
    assert "Traceback" not in err


def test_a_reader_that_has_enough_is_no_fault() -> None:
    # The pipe's other end is closed before anything is written.
    process = start("new", "box")
    assert process.stdout is not None
    process.stdout.close()
    _, err = process.stderr.read() if process.stderr else b"", b""
    process.wait(timeout=60)
    assert process.stderr is not None
    process.stderr.close()
    assert process.returncode == 0 and err == b""


@pytest.mark.parametrize("width", ["20", "40", "200"])
def test_any_width(width: str) -> None:
    ran = finish(start("--help", COLUMNS=width))
    assert ran.code == 0 and "make" in ran.out


def test_starting_up_loads_nothing_heavy() -> None:
    code = "import sys, airweft.cli; airweft.cli.main(['--version']); print(*sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert not loaded & {"numpy", "typst", "networkx", "pydantic", "pypdf", "resvg_py"}
