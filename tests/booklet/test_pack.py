"""Packing: smaller, and still the same objects."""

from __future__ import annotations

import io

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


@pytest.mark.parametrize("options", [{}, {"pdf_standards": "1.7"}, {"pdf_tags": False}])
def test_the_same_pages_come_out(options: dict[str, object]) -> None:
    before = made(**options)
    after = pack(before)
    one = PdfReader(io.BytesIO(before), strict=True)
    two = PdfReader(io.BytesIO(after), strict=True)
    assert len(one.pages) == len(two.pages)
    for left, right in zip(one.pages, two.pages, strict=True):
        assert left.extract_text() == right.extract_text()
        assert left.get_contents().get_data() == right.get_contents().get_data()
        assert left.mediabox == right.mediabox
    assert one.trailer["/ID"] == two.trailer["/ID"]
    assert two.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_it_gets_smaller() -> None:
    before = made()
    assert len(pack(before)) < len(before) * 0.8


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
