"""The project as a whole: one version, honest documents, nothing of anybody's machine in it."""

from __future__ import annotations

import ast
import re
import subprocess
import tomllib
import zipfile
from importlib.metadata import version
from pathlib import Path

import pytest

import airweft
from airweft.words.cautions import CAUTIONS, CHOKING

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "src" / "airweft"
DOCS = ROOT / "docs"
PAGES = sorted(DOCS.rglob("*.md"))
README = ROOT / "README.md"


def text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def code_of(page: Path) -> str:
    """What stands in code on a page: fenced blocks and single words, each on its own line."""
    blocks = re.findall(r"```[a-z]*\n(.*?)```", text_of(page), re.S)
    return "\n".join([*blocks, *re.findall(r"`([^`\n]+)`", text_of(page))])


def one_line(text: str) -> str:
    return " ".join(text.replace("\n> ", " ").split())


def tracked() -> list[Path]:
    """All files of the project; without git, all that are not hidden or built."""
    done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=False)
    if done.returncode == 0:
        names = [name for name in done.stdout.decode().split("\0") if name]
        return [path for path in (ROOT / name for name in names) if path.is_file()]
    skipped = {".venv", "out", "dist", "build"}
    return [
        path
        for path in ROOT.rglob("*")
        if path.is_file() and not skipped & set(path.relative_to(ROOT).parts)
    ]


def test_the_version_stands_in_one_place() -> None:
    project = tomllib.loads(text_of(ROOT / "pyproject.toml"))
    assert "version" not in project["project"] and "version" in project["project"]["dynamic"]
    assert version("airweft") == airweft.__version__


def test_the_changelog_knows_this_version() -> None:
    assert f"## {airweft.__version__}" in text_of(ROOT / "CHANGELOG.md")


def test_the_commands_of_the_documents_exist() -> None:
    from airweft.cli.wrong_use import USAGE

    for page in (README, *PAGES):
        for command in re.findall(r"(?m)(?:^|`|/|: )airweft ([a-z]+)", code_of(page)):
            assert command in USAGE, f"{page.name} has airweft {command}"


def test_every_option_is_described() -> None:
    import typer

    from airweft.cli.app import app

    described = text_of(DOCS / "command-line.md")
    for name, command in typer.main.get_command(app).commands.items():  # type: ignore[attr-defined]
        for parameter in command.params:
            for option in parameter.opts:
                if option.startswith("--") and option != "--help":
                    assert f"`{option}" in described or f"[{option} " in described, (name, option)


def test_every_page_can_be_reached_from_the_index() -> None:
    linked = set(re.findall(r"\]\(([^)#]+)", text_of(DOCS / "index.md")))
    for page in PAGES:
        if page.name != "index.md":
            assert page.relative_to(DOCS).as_posix() in linked, f"{page.name} is not in index.md"


@pytest.mark.parametrize("page", [README, *PAGES], ids=lambda page: page.name)
def test_links_lead_somewhere(page: Path) -> None:
    for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", text_of(page)):
        if not re.match(r"[a-z]+:", target):
            assert (page.parent / target).exists(), f"{page.name} links to {target}"


def test_the_readme_prints_every_caution() -> None:
    readme = one_line(text_of(README))
    assert one_line(CHOKING) in readme
    for caution in CAUTIONS:
        assert one_line(caution.text) in readme, caution.title


def finding_codes() -> set[str]:
    """Every text that the code gives as the `code` of a finding, by name or through a helper."""
    found: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(text_of(path))):
            if not isinstance(node, ast.Call):
                continue
            given = [keyword.value for keyword in node.keywords if keyword.arg == "code"]
            function = node.func
            name = function.attr if isinstance(function, ast.Attribute) else ""
            name = function.id if isinstance(function, ast.Name) else name
            if name in {"_refusal", "add", "refuse"}:
                given += node.args[:1]
            found |= {
                value.value
                for value in given
                if isinstance(value, ast.Constant)
                and isinstance(value.value, str)
                and re.fullmatch(r"[a-z]+(-[a-z0-9]+)+", value.value)
            }
    return found


def test_every_finding_code_is_listed() -> None:
    codes = finding_codes()
    assert len(codes) > 30
    listed = set(re.findall(r"`([a-z]+(?:-[a-z0-9]+)+)`", text_of(DOCS / "findings.md")))
    assert not codes - listed, f"not in docs/findings.md: {sorted(codes - listed)}"


# Written in halves, so that this file does not hold what it forbids.
FORBIDDEN = [
    "".join(halves)
    for halves in (
        ("pypi", ".org"), ("python", "hosted"), ("npmjs", ".com"), ("deb.", "debian.org"),
        ("/ro", "ot/"), ("/wo", "rk/"), ("/ho", "me/"), (".py", "env"), ("C:\\", "Users"),
    )
]  # fmt: skip


def test_no_file_names_a_machine_or_a_registry() -> None:
    for path in tracked():
        data = path.read_bytes()
        for word in FORBIDDEN:
            assert word.encode() not in data, f"{path.relative_to(ROOT)} holds {word}"


def test_no_lock_files() -> None:
    names = {path.name for path in tracked()}
    assert not names & {"uv.lock", "poetry.lock", "Pipfile.lock", "requirements.txt"}


def test_the_package_holds_every_file(tmp_path: Path) -> None:
    builder = pytest.importorskip("hatchling.builders.wheel")
    (built,) = builder.WheelBuilder(str(ROOT)).build(directory=str(tmp_path), versions=["standard"])
    with zipfile.ZipFile(built) as wheel:
        inside = {name for name in wheel.namelist() if name.startswith("airweft/")}
        (info,) = [name for name in wheel.namelist() if name.endswith("entry_points.txt")]
        assert "airweft = airweft.cli:main" in wheel.read(info).decode()
    ours = {
        path.relative_to(PACKAGE.parent).as_posix()
        for path in tracked()
        if path.is_relative_to(PACKAGE)
    }
    assert ours <= inside, f"missing in the package: {sorted(ours - inside)}"
