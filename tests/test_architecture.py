"""The shape of the house: who may import whom, and the habits that every module keeps."""

from __future__ import annotations

import ast
import statistics
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import airweft

PACKAGE = Path(airweft.__file__).parent
SOURCES = sorted(PACKAGE.rglob("*.py"))

# Who may import whom: a part may import itself and the parts named here, nothing else.
RECORDS_ONLY = {"base", "records"}
STAGES = {"design", "surface", "net", "colour", "balloon", "plan", "check", "words", "draw",
          "costing", "booklet", "shape"}  # fmt: skip
MAY_IMPORT: dict[str, set[str]] = {
    "base": set(),
    "records": {"base"},
    "balloon": RECORDS_ONLY,
    "design": RECORDS_ONLY | {"balloon"},
    "surface": RECORDS_ONLY,
    "net": RECORDS_ONLY,
    "shape": RECORDS_ONLY,
    "colour": RECORDS_ONLY,
    "plan": RECORDS_ONLY,
    "check": RECORDS_ONLY,  # never the planner, nor anything that the planner is made of
    "words": RECORDS_ONLY,
    "draw": RECORDS_ONLY,
    "costing": RECORDS_ONLY | {"balloon"},
    "booklet": RECORDS_ONLY | {"words", "draw", "costing"},
    "workshop": RECORDS_ONLY | STAGES,
    "web": RECORDS_ONLY | {"workshop", "words", "draw", "booklet"},  # of the last two only pictures
    "start_app": {"web"},  # cli and web never call each other: this stands between them
    "__main__": {"cli"},
    # Runs the first, prints the next two; the app's libraries are loaded only when it starts.
    "cli": RECORDS_ONLY | {"workshop", "words", "costing", "start_app"},
}

# Libraries that belong to some parts only.
BELONGS_TO: dict[str, set[str]] = {
    "typer": {"cli"},
    "rich": {"cli"},
    "pydantic": {"design", "records", "net"},
    "tomllib": {"design"},
    "tomlkit": {"design"},
    "networkx": {"plan"},
    "numba": {"plan"},
    "ortools": {"plan"},
    "scipy": {"shape", "surface", "plan"},
    "trimesh": {"surface"},
    "typst": {"booklet"},
    "resvg_py": {"draw"},
    "nicegui": {"web"},
    "fastapi": {"web"},
    "uvicorn": {"web"},
    "segno": {"web"},
}

# Same design, same bytes: no clock, no chance that is not seeded.
NOWHERE = {"time", "datetime", "uuid", "secrets", "logging", "locale"}
# Nothing that is made comes from these: when a piece was changed, codes for devices, waiting.
LIVE = ("web/", "workshop/store/")

LONGEST = 500
REASON_TO_BE_LONG = "Longer than 500 lines because"


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def name(path: Path) -> str:
    return path.relative_to(PACKAGE.parent).as_posix()


def part(path: Path) -> str:
    """The part of the house a file belongs to: its folder, or its own name at the top."""
    relative = path.relative_to(PACKAGE)
    return relative.parts[0].removesuffix(".py")


def imported(path: Path) -> set[str]:
    """Every module that a file imports, wherever in the file it does so."""
    found: set[str] = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name(path)}:{node.lineno}: imports are absolute"
            module = node.module or ""
            found |= {f"{module}.{alias.name}" for alias in node.names}
    return found


each_file = pytest.mark.parametrize("path", SOURCES, ids=name)


def test_the_table_knows_every_part() -> None:
    assert {part(path) for path in SOURCES} - {"__init__"} <= set(MAY_IMPORT)


def test_the_table_has_no_rings() -> None:
    order: list[str] = []
    while len(order) < len(MAY_IMPORT):
        ready = [p for p in MAY_IMPORT if p not in order and MAY_IMPORT[p] <= set(order)]
        assert ready, f"ring among {sorted(set(MAY_IMPORT) - set(order))}"
        order += ready


@each_file
def test_imports_keep_the_table(path: Path) -> None:
    own = part(path)
    for module in imported(path):
        top, *rest = module.split(".")
        if top == "airweft":
            if rest in ([], ["__version__"]):
                continue
            assert own != "__init__", f"{name(path)} imports {module}: the top imports nothing"
            assert rest and rest[0] in {own} | MAY_IMPORT[own], f"{name(path)} imports {module}"
        else:
            assert own in BELONGS_TO.get(top, {own}), f"{name(path)} imports {module}"
            live = path.relative_to(PACKAGE).as_posix().startswith(LIVE)
            assert live or top not in NOWHERE, f"{name(path)} imports {module}"


def test_a_wrong_import_would_be_seen(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.py"
    wrong.write_text(
        "def f():\n if True:\n  from airweft.plan import make\n import airweft.words.x\n"
    )
    assert imported(wrong) == {"airweft.plan.make", "airweft.words.x"}
    assert not {"plan", "words"} & MAY_IMPORT["check"]


def test_every_module_can_be_imported_alone() -> None:
    # Rings can lie only within a part (see the tests above), so what is loaded of other parts may
    # stay loaded: each module is imported with nothing of its own part loaded before it.
    modules = [
        ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__")
        for path in SOURCES
    ]
    code = (
        "import importlib, sys, traceback, warnings\n"
        "warnings.simplefilter('error')\n"
        "failed = 0\n"
        "for module in sys.argv[1:]:\n"
        "    part = module.split('.')[1:2]\n"
        "    for known in [m for m in sys.modules if m.split('.')[1:2] == part]:\n"
        "        if known.startswith('airweft.'): del sys.modules[known]\n"
        "    try:\n"
        "        importlib.import_module(module)\n"
        "    except BaseException:\n"
        "        failed += 1\n"
        "        print('alone:', module, traceback.format_exc(limit=-2))\n"
        "sys.exit(failed)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *modules], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout == "", "importing a module must not print"


@each_file
def test_no_file_is_too_long(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    if len(text.splitlines()) > LONGEST:
        assert REASON_TO_BE_LONG in "".join(text.splitlines(keepends=True)[:12]), (
            f"{name(path)} is over {LONGEST} lines: split it, or say near the top "
            f"“{REASON_TO_BE_LONG} ...”"
        )


def test_files_are_short_as_a_rule() -> None:
    lengths = [len(path.read_text(encoding="utf-8").splitlines()) for path in SOURCES]
    assert statistics.median(lengths) <= 200


@each_file
def test_only_the_command_line_prints(path: Path) -> None:
    if part(path) == "cli":
        return
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in {"print", "input", "breakpoint", "exit", "quit"}, (
                f"{name(path)}:{node.lineno} calls {node.func.id}()"
            )
        if isinstance(node, ast.Attribute) and node.attr in {"stdout", "stderr", "exit"}:
            assert not (isinstance(node.value, ast.Name) and node.value.id == "sys"), (
                f"{name(path)}:{node.lineno} uses sys.{node.attr}"
            )


@each_file
def test_public_things_say_what_they_are(path: Path) -> None:
    module = tree(path)
    assert ast.get_docstring(module), f"{name(path)} has no docstring"
    for node in module.body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            assert ast.get_docstring(node), f"{name(path)}:{node.lineno} {node.name}: no docstring"


@each_file
def test_annotations_are_postponed(path: Path) -> None:
    module = tree(path)
    if any(not isinstance(node, (ast.Expr, ast.Assign)) for node in module.body):
        assert "__future__.annotations" in imported(path), name(path)
