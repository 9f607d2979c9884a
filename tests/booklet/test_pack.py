"""Packing: smaller, and still the same objects."""

from __future__ import annotations

import io
import re

import pytest
import typst
from pypdf import PdfReader

from airweft.booklet.pack import pack

PLAIN = b"""#set document(title: "pack", date: none)
#set text(lang: "en")
#for n in range(40) { [== Part #n]; circle(radius: 4mm); parbreak() }
"""


def made(**options: object) -> bytes:
    result = typst.compile(PLAIN, format="pdf", **options)  # type: ignore[call-overload]
    assert isinstance(result, bytes)
    return result


def same_drawing(before: bytes, after: bytes) -> None:
    """The same operators with the same numbers; those of curves to a hundredth of a unit."""
    one, two = before.split(), after.split()
    assert len(one) == len(two)
    for place, (left, right) in enumerate(zip(one, two, strict=True)):
        if left != right:
            curve = two[place : place + 6]
            assert b"c" in curve or b"c" in two[place : place + 7]
            assert abs(float(left) - float(right)) < 0.01


@pytest.mark.parametrize("options", [{}, {"pdf_standards": "1.7"}, {"pdf_tags": False}])
def test_the_same_pages_come_out(options: dict[str, object]) -> None:
    before = made(**options)
    after = pack(before)
    one = PdfReader(io.BytesIO(before), strict=True)
    two = PdfReader(io.BytesIO(after), strict=True)
    assert len(one.pages) == len(two.pages)
    for left, right in zip(one.pages, two.pages, strict=True):
        assert left.extract_text() == right.extract_text()
        same_drawing(left.get_contents().get_data(), right.get_contents().get_data())
        assert left.mediabox == right.mediabox
    assert one.trailer["/ID"] == two.trailer["/ID"]
    assert two.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_it_gets_smaller() -> None:
    before = made()
    assert len(pack(before)) < len(before) * 0.8


def test_curves_lose_needless_digits_and_lines_do_not() -> None:
    after = PdfReader(io.BytesIO(pack(made()))).pages[0].get_contents()
    assert after is not None
    curves = re.findall(rb"((?:-?[\d.]+ ){6})c\s", after.get_data())
    assert curves and not any(re.search(rb"\.\d{3}", curve) for curve in curves)
    assert re.search(rb"\.\d{4}\d* [^c]*cm", after.get_data())


def test_every_object_is_still_there() -> None:
    before = PdfReader(io.BytesIO(made()), strict=True)
    after = PdfReader(io.BytesIO(pack(made())), strict=True)
    for number in before.xref[0]:
        if number:
            assert after.get_object(number) is not None


@pytest.mark.parametrize("data", [b"", b"%PDF-1.7\n", b"not a pdf at all", b"%PDF-1.7\ntrailer<<"])
def test_anything_else_is_refused(data: bytes) -> None:
    with pytest.raises(ValueError, match="PDF"):
        pack(data)
