"""Line numbers of keys, against the standard library's parser for what keys there are."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.design.lines import Path, key_lines

HARD = '''# first
airweft = 1   # a comment with "quotes" and [brackets]
name.first = 'it = "x'
"quoted \\"key\\" \\u00e9 \\U0001F388" = "a # b ] } = , \\" \\\\"
[form] # here
layers = [ # list
  """
##
[not.a.section]
key = 3 \\""" """"", # five quotes
  \'\'\'raw " # \'\'\'
  ,
]
when = 1979-05-27 07:32:00
deep.er = { a = 1, b.c = [ { d = 2 }, { d = "}" } ] }
[form.part.x]
y = -inf
[[thing]]
k = 1
[[thing]]
k = 2
[thing.sub]
[[thing.sub.list]]
z = 0x1f
[  spaced . "out" ]
e = []
'''


def _paths(value: Any, base: Path = ()) -> set[Path]:
    found = {base} if base else set()
    if isinstance(value, dict):
        for key, inner in value.items():
            found |= _paths(inner, (*base, key))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            found |= _paths(inner, (*base, i))
    return found


def test_every_path_of_a_hard_text_has_a_line() -> None:
    lines = key_lines(HARD)
    assert set(lines) == _paths(tomllib.loads(HARD))


@pytest.mark.parametrize(
    ("path", "start"),
    [
        (("airweft",), "airweft"),
        (("name", "first"), "name.first"),
        (("form",), "[form] # here"),
        (("form", "layers"), "layers"),
        (("form", "layers", 0), '  """'),
        (("form", "layers", 1), "  '''raw"),
        (("form", "when"), "when"),
        (("form", "deep", "er", "b", "c", 1, "d"), "deep.er"),
        (("form", "part", "x", "y"), "y ="),
        (("thing", 1, "k"), "k = 2"),
        (("thing", 1, "sub", "list", 0, "z"), "z ="),
        (("spaced", "out"), "[  spaced"),
    ],
)
def test_the_line_is_that_of_the_key(path: Path, start: str) -> None:
    line = HARD.split("\n")[key_lines(HARD)[path] - 1]
    assert line.startswith(start)


_KEYS = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=6)
_LEAVES = st.one_of(
    st.integers(-99, 99),
    st.booleans(),
    st.floats(allow_nan=False, width=16),
    st.text(st.characters(exclude_categories=["Cs", "Cc"], include_characters="\n\t"), max_size=12),
)
_VALUES = st.recursive(
    _LEAVES,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_KEYS, inner, max_size=3),
    max_leaves=8,
)


@settings(max_examples=50, deadline=None)
@given(st.dictionaries(_KEYS, _VALUES, max_size=5))
def test_any_written_document_keeps_its_paths(data: dict[str, Any]) -> None:
    text = tomlkit.dumps(data)
    assert set(key_lines(text)) == _paths(tomllib.loads(text))


def test_the_empty_text_has_no_lines() -> None:
    assert key_lines("") == {}
    assert key_lines("# only a comment") == {}
