"""Whatever a file holds, the answer is a design or findings with remedies, and soon."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.base.errors import AirweftError
from airweft.design.read import design_from_bytes, design_from_text
from airweft.design.starters import STARTERS
from airweft.records.design import Design
from tests.design.fuzz import LIMIT_S, odd_values, put_or_take, says_what_to_do, spoilt

_EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
_TEXTS = [*STARTERS.values(), *(p.read_text(encoding="utf-8") for p in _EXAMPLES)]


def _answers(data: bytes) -> None:
    began = time.process_time()
    try:
        design = design_from_bytes(data)
    except AirweftError as error:
        says_what_to_do(error.findings)
    else:
        assert isinstance(design, Design)
        assert design.fingerprint
    assert time.process_time() - began < LIMIT_S


@settings(deadline=None)
@given(st.binary(max_size=300))
def test_random_bytes(data: bytes) -> None:
    _answers(data)


@settings(deadline=None)
@given(st.text(max_size=300))
def test_random_text(text: str) -> None:
    _answers(text.encode("utf-8", errors="surrogatepass"))


@settings(deadline=None)
@given(st.text("[]{}=\"'.,#\\\n \tab1", max_size=120))
def test_random_signs_of_the_syntax(text: str) -> None:
    _answers(text.encode())


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(_TEXTS), st.data())
def test_good_files_with_bytes_changed(text: str, data: st.DataObject) -> None:
    _answers(spoilt(text, data))


_ODD = odd_values(["box", "net", "hand", "top", "R", "RW", "1,000", "2,5 cm", "#12", "front"])


@settings(max_examples=120, deadline=None)
@given(st.sampled_from(_TEXTS), st.data())
def test_wrong_types_everywhere(text: str, data: st.DataObject) -> None:
    document = tomlkit.parse(text).unwrap()
    for _ in range(data.draw(st.integers(1, 5))):
        table = document
        while True:
            key = data.draw(st.sampled_from([*table, "extra"]))
            if isinstance(table.get(key), dict) and table[key] and data.draw(st.booleans()):
                table = table[key]
                continue
            break
        put_or_take(table, key, _ODD, data)
        if not document:
            break
    _answers(tomlkit.dumps(document).encode())


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 1500,
        ("a = " + "[" * 900 + "]" * 900 + "\n"),
        "a = " + "{a=" * 600,
        "a." * 900 + "a = 1",
        ("a." * 29 + "a = 1\n") * 5000,
        "[" + "a." * 900 + "a]",
        "x = 0x" + "f" * 1900,
        "x = " + "9" * 1900,
        "x = 1e" + "9" * 1900,
        'x = "' + "\\u0041" * 300,
        "\n".join(f"k{i} = red" for i in range(3000)),
        "\n".join(f"k{i} = 1" for i in range(20000)),
        "\n".join(f"[s{i}]" for i in range(20000)),
        "a = [\n" + "1,\n" * 100_000,
        '"""\n' * 20_000,
        "a" * 1900 + "\n" + ("a" * 1900 + "\n") * 900,
        "((((((((((" * 180,
        "'" * 1999,
        "= " * 900,
        (" " * 1900 + "\n") * 1000 + "x",
        "name = " + " " * 1900 + "x",
        ("x = [" + '"a", ' * 380 + "]\n") * 3 + "y = z",
    ],
)  # fmt: skip
def test_texts_made_to_be_slow(text: str) -> None:
    _answers(text.encode())


def test_immense_counts() -> None:
    huge = 10**60
    text = STARTERS["box"].replace("across = 6", f"across = {huge}")
    with pytest.raises(AirweftError, match="immense"):
        design_from_text(text)
