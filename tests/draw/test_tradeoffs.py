"""The picture of trade-offs: every plan is in it, labels cover nothing, same choices same bytes."""

from __future__ import annotations

from itertools import combinations, pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.draw import tradeoffs as drawing
from airweft.draw.tradeoffs import Choice, tradeoffs

choices = st.lists(
    st.builds(
        Choice,
        label=st.sampled_from(["pairs", "rounds", "painted", "parts, seed 12", "rounds, seed 3"]),
        balloons=st.integers(1, 40),
        minutes=st.integers(2, 200).map(lambda n: n / 2),
        beaten=st.booleans(),
        best=st.booleans(),
    ),
    min_size=1,
    max_size=14,
)


@given(choices)
def test_the_same_choices_give_the_same_bytes_of_good_xml(some: list[Choice]) -> None:
    svg = tradeoffs(some, title="A <piece> & more")
    assert svg == tradeoffs(some, title="A <piece> & more")
    ElementTree.fromstring(svg)
    assert "nan" not in svg and "inf" not in svg


@given(choices)
def test_labels_keep_clear_of_each_other_and_of_bubbles(some: list[Choice]) -> None:
    placed: list[tuple[float, ...]] = []
    spots = {(c.balloons, c.minutes) for c in some}
    beside = drawing._beside

    def watched(label: str, x: float, y: float, there: list[drawing._Box]) -> object:
        box = beside(label, x, y, there)
        if box is not None:
            assert not any(box.meets(other) for other in there)
            assert box.left >= drawing._LEFT and box.right <= drawing._WIDE
            placed.append((box.left, box.top, box.right, box.bottom))
        return box

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(drawing, "_beside", watched)
        svg = tradeoffs(some, title="T")
    for a, b in combinations(placed, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
    listed = svg.count('<use href="#m')
    assert len(placed) + listed == len(spots)


def test_best_has_a_ring_and_beaten_is_pale() -> None:
    one = Choice(label="rounds", balloons=8, minutes=25.0, beaten=False, best=True)
    other = Choice(label="pairs", balloons=24, minutes=31.5, beaten=True, best=False)
    assert tradeoffs([one, other], title="").count("<circle") == 1
    assert tradeoffs([other], title="").count("<circle") == 0
    assert "url(#c0)" in tradeoffs([one], title="")
    assert "url(#c0)" not in tradeoffs([other], title="")


@given(st.lists(st.integers(1, 10_000).map(float), min_size=1, max_size=6))
def test_the_scale_is_round_and_holds_all(values: list[float]) -> None:
    for whole in (True, False):
        marks = drawing._scale(values, whole=whole)
        assert marks[0] <= min(values) and max(values) <= marks[-1] and marks[0] >= 0
        steps = {round(b - a, 6) for a, b in pairwise(marks)}
        assert len(steps) == 1
        digits = f"{steps.pop():e}"[0]
        assert digits in "125" and 3 <= len(marks) <= 12
        assert not whole or all(m == int(m) for m in marks)
