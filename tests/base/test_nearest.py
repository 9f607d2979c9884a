"""The nearest known word."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from airweft.base.nearest import nearest, said_list


def test_misspelt_words_find_their_home() -> None:
    known = ["size", "bubble", "hands", "tail", "tail_step"]
    assert nearest("bubbel", known) == "bubble"
    assert nearest("BUBBLE", known) == "bubble"
    assert nearest("tailstep", known) == "tail_step"
    assert nearest("xyzzy", known) is None


def test_lists_as_people_say_them() -> None:
    assert said_list([]) == ""
    assert said_list(["a"]) == "a"
    assert said_list(["a", "b"]) == "a and b"
    assert said_list(["a", "b", "c"], last="or") == "a, b or c"


@settings(deadline=None)
@given(st.text(max_size=200), st.lists(st.text(max_size=8), max_size=6))
def test_only_known_words_are_offered(word: str, known: list[str]) -> None:
    assert nearest(word, known) in [None, *known]
