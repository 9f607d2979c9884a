"""Writing to any screen: encodings, widths, control characters, the maker's own brackets."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from airweft.base.findings import Finding
from airweft.cli.screen import clean, prepare_streams, say, say_wrapped
from airweft.cli.show_findings import show_findings


def written(findings: list[Finding], width: int = 80, file: str = "lantern.toml") -> str:
    stream = io.StringIO()
    show_findings(Console(file=stream, width=width, highlight=False), findings, file)
    return stream.getvalue()


UNKNOWN_KEY = Finding(
    code="unknown-key",
    severity="cannot",
    where="balloon.bubbel",
    message="There is no key “bubbel” in [balloon].",
    remedy="Did you mean “bubble”?",
    line=7,
    context="  bubbel = 2.5   # how long",
)


def test_a_finding_shows_file_line_the_line_a_mark_what_and_remedy() -> None:
    assert written([UNKNOWN_KEY]).splitlines() == [
        "lantern.toml:7: balloon.bubbel: cannot [unknown-key]",
        "    7 |   bubbel = 2.5   # how long",
        "      |   ^^^^^^",
        "    There is no key “bubbel” in [balloon].",
        "    What to do: Did you mean “bubble”?",
        "",
    ]


def test_a_broken_rule_is_named() -> None:
    finding = Finding(code="loose-end", rule="M9", severity="cannot", where="R1", message="x")
    assert written([finding], file="plan.json").startswith("plan.json: R1: cannot [M9 loose-end]\n")


def test_the_gravest_come_first() -> None:
    note = Finding(code="a", severity="note", where="", message="first written")
    text = written([note, UNKNOWN_KEY])
    assert text.index("unknown-key") < text.index("first written")


def test_without_a_key_the_whole_line_is_marked_and_tabs_do_no_harm() -> None:
    finding = Finding(
        code="syntax", severity="cannot", where="", message="x", line=3, context="\tsize == 260\n"
    )
    assert "    3 |  size == 260\n      |  ^^^^^^^^^^^\n" in written([finding])


def test_a_wide_character_before_the_mark_keeps_it_in_place() -> None:
    finding = Finding(
        code="x", severity="cannot", where="name", message="x", line=1, context="日本 name"
    )
    assert "    1 | 日本 name\n      |      ^^^^\n" in written([finding])


@pytest.mark.parametrize("width", [10, 40, 80])
def test_narrow_screens_lose_no_word(width: int) -> None:
    words = written([UNKNOWN_KEY], width=width).split()
    for word in (UNKNOWN_KEY.message + " " + UNKNOWN_KEY.remedy).split():
        assert word in words


def test_square_brackets_survive() -> None:
    finding = Finding(
        code="x", severity="cannot", where="[a]", message="[bold]loud[/bold] [/] [#ff0000]",
        line=1, context="[balloon] [red]x[/red]", remedy=":smile: [link=http://x]y[/link]",
    )  # fmt: skip
    text = written([finding])
    for said in (finding.message, finding.context, finding.remedy):
        assert said in text


def test_control_characters_are_made_visible() -> None:
    evil = "a\x1b[2Jb\x07c\u202ed\x9b\x00"
    assert clean(evil) == "a\\x1b[2Jb\\x07c\\u202ed\\x9b\\x00"
    finding = Finding(
        code=evil, severity="cannot", where=evil, message=evil, remedy=evil, line=1, context=evil
    )
    text = written([finding], file=evil)
    assert "\x1b" not in text and "\x07" not in text and "\u202e" not in text


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "latin-1", "utf-8"])
def test_any_encoding_takes_everything(encoding: str, monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding)
    monkeypatch.setattr("sys.stdout", stream)
    prepare_streams()
    console = Console(file=stream, width=60)
    say(console, "“Lantern” × 2 – 日本 … ½")
    say_wrapped(console, "naïve " * 20)
    stream.flush()
    text = raw.getvalue().decode(encoding)
    assert "Lantern" in text and "2" in text
    if encoding == "ascii":
        assert text.startswith('"Lantern" x 2 - ?? ... 1/2')
