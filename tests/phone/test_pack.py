from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from airweft.booklet.phone_pack import (
    differences,
    pack_numbers,
    pack_texts,
    unpack_numbers,
    unpack_texts,
)

# Values of base64 VLQ as the source map format defines it (ECMA-426, "Base64 VLQ").
PUBLISHED = {0: "A", 1: "C", -1: "D", 15: "e", 16: "gB", 123: "2H", 1000: "w+B"}


def test_numbers_are_written_as_source_maps_write_them():
    for value, text in PUBLISHED.items():
        assert pack_numbers([value]) == text


@given(st.lists(st.integers(-(2**29), 2**29)))
def test_numbers_come_back(values):
    assert unpack_numbers(pack_numbers(values)) == values


@given(st.lists(st.integers(-1000, 1000)))
def test_differences_add_up(values):
    total, back = 0, []
    for step in differences(values):
        total += step
        back.append(total)
    assert back == values


@given(
    st.lists(
        st.one_of(
            st.text(),
            st.builds("front {}.{}".format, st.integers(0, 10**10), st.integers(0, 200)),
            st.from_regex(r"[0-9 .٣]{0,12}", fullmatch=True),
        )
    )
)
def test_texts_come_back(texts):
    assert unpack_texts(pack_texts(texts), len(texts)) == texts


def test_names_of_a_row_take_a_few_characters_each():
    names = [f"front {column}.{row}" for row in range(1, 41) for column in range(1, 41)]
    packed = pack_texts(names)
    assert len(packed["numbers"]) + len(packed["forms"]) < 3.2 * len(names)
