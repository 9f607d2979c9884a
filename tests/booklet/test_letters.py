"""Which characters the font can print, against what the PDF maker itself accepts."""

from __future__ import annotations

import json

import pytest
import typst
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.booklet.letters import (
    FAMILY,
    breakable,
    covered,
    font_folder,
    printable,
    shortened,
)

FONTS = typst.Fonts(
    include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())]
)
PAGE = b"""#set document(title: "letters")
#set page(width: 400mm, height: auto)
#set text(font: "Fira Sans", lang: "en", fallback: false)
#let data = json(bytes(sys.inputs.data))
#for t in data { text(t); text(weight: 600, t); emph(t) }
"""


def typeset(texts: list[str]) -> bytes:
    """Tagged PDF of some texts; the maker refuses any character that has no glyph."""
    made = typst.compile(
        PAGE,
        font_paths=FONTS,
        format="pdf",
        pdf_standards="ua-1",
        sys_inputs={"data": json.dumps(texts)},
    )
    assert isinstance(made, bytes)
    return made


def test_every_covered_character_is_accepted() -> None:
    """All of them at once; the maker is the outside judge of our reading of the font's table."""
    kept = [chr(point) for point in sorted(covered())]
    assert typeset([char for char in kept if printable(char) == (char, "")])


def test_a_character_that_is_not_covered_is_refused() -> None:
    for char in ("日", "ש", "\U0001f600", "ع"):
        assert ord(char) not in covered()
        with pytest.raises(typst.TypstError):
            typeset([char])


@pytest.mark.parametrize(
    "text",
    [
        "Hafenlaterne Größe 1½ × 2",
        "Åbo, Łódź, Plzeň, İzmir, Reykjavík, àéîõü ÿ",
        "Φάρος του λιμανιού",
        "Портовый фонарь, Гавань",
        "“Quoted” – dash — and … ‘single’ €  £ 100 %",
    ],
)
def test_latin_greek_and_cyrillic_print_whole(text: str) -> None:
    assert printable(text) == (text, "")


def test_what_cannot_be_printed_is_seen_and_told() -> None:
    text, missing = printable("Boje 浮標 \U0001f600 שלום")
    assert missing == "浮標\U0001f600שלום"
    assert text == "Boje ▯▯ ▯ ▯▯▯▯"


def test_marks_that_turn_or_hide_text_are_left_out() -> None:
    assert printable("a\u202eb\u200dc\u0007d\ufe0fe\x00") == ("abcde", "")
    assert printable("a\tb\u2003c\u00a0d\ne") == ("a b c\u00a0d\ne", "")


def test_composed_and_decomposed_letters_are_the_same() -> None:
    assert printable("u\u0308") == ("ü", "")


@settings(max_examples=60, deadline=None)
@given(st.lists(st.text(max_size=30), max_size=5))
def test_no_text_at_all_stops_the_press(texts: list[str]) -> None:
    """Whatever a maker types, surrogates included, the cleaned text can be set."""
    cleaned = [printable(text)[0] for text in texts]
    assert typeset(cleaned)
    for text in cleaned:
        assert printable(text) == (text, "")


def test_long_words_can_break() -> None:
    assert breakable("short words stay") == "short words stay"
    broken = breakable("x" * 40)
    assert broken.replace("\u200b", "") == "x" * 40
    assert max(map(len, broken.split("\u200b"))) <= 14


def test_shortened_texts_say_so() -> None:
    assert shortened("Harbour  lantern\n", 20) == "Harbour lantern"
    assert shortened("Harbour lantern", 8) == "Harbour…"


def test_the_font_is_open_and_complete() -> None:
    licence = (font_folder().parent / "LICENSE").read_text(encoding="utf-8")
    assert "SIL Open Font License, Version 1.1" in " ".join(licence.split()) or (
        "SIL OPEN FONT LICENSE Version 1.1" in licence
    )
    assert FAMILY in FONTS.families()
