"""Part-used balloons against making rule M4 as it is written, in exact fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from airweft.balloon.sizes import SIZES
from airweft.balloon.stock import (
    Entry,
    PartUsed,
    State,
    Stock,
    entry_for,
    rest_of,
    room,
    room_needed,
    shared_budget,
    tail_within,
    whole_room,
)
from airweft.records.budget import Budget
from airweft.records.design import Colour

BUDGETS = st.builds(
    lambda flat, more, knot, stub, takes, pushes: Budget(
        flat=flat, full=flat + more, knot=knot, stub=stub, twist_takes=takes, twist_pushes=pushes
    ),
    st.integers(2_000, 40_000),
    st.integers(100, 150_000),
    st.integers(0, 4_000),
    st.integers(0, 6_000),
    st.integers(0, 4_000),
    st.integers(0, 4_000),
)
TRAILS = st.tuples(st.integers(1, 40), st.integers(1, 5_000)).map(lambda t: (t[0], t[0] * t[1]))


def m4(budget: Budget, flat: Fraction, tail: Fraction, count: int, length: int) -> bool:
    """M4a and M4b word for word, for a balloon that lies `flat` long when empty."""
    stretch = Fraction(budget.full, budget.flat)
    body = (flat - tail) * stretch - budget.knot
    used = length + count * (budget.twist_takes - budget.twist_pushes) + budget.stub
    return used <= body and Fraction(count * budget.twist_pushes) / stretch <= tail


def flat_of(rest: PartUsed, budget: Budget) -> Fraction:
    if rest.flat:
        return Fraction(rest.length)
    return rest.length / Fraction(budget.full, budget.flat)


@settings(deadline=None, max_examples=300)
@given(BUDGETS, TRAILS, st.integers(1, 60_000), st.booleans(), st.sampled_from([500, 635, 100]))
def test_a_rest_does_if_and_only_if_some_tail_keeps_m4(
    budget: Budget, trail: tuple[int, int], length: int, flat: bool, step: int
) -> None:
    rest = PartUsed(length, flat)
    there = flat_of(rest, budget)
    tails = range(0, int(there) + 1, step)
    fits = [tail for tail in tails if m4(budget, there, Fraction(tail), *trail)]
    enough = room(rest, budget) >= room_needed(*trail, budget, step)
    assert enough == bool(fits)
    if enough:
        tail = tail_within(*trail, room(rest, budget), budget, step)
        assert tail in fits
        # three quarters of the way up, in whole steps, as for a whole balloon
        assert tail == fits[0] + (fits[-1] - fits[0]) * 3 // 4 // step * step


@settings(deadline=None, max_examples=200)
@given(BUDGETS, TRAILS)
def test_a_whole_balloon_is_the_longest_rest(budget: Budget, trail: tuple[int, int]) -> None:
    assume(trail[1] >= trail[0] * (budget.twist_pushes - budget.twist_takes))
    fixed = budget.tail_for(*trail, step=500, fixed=None)
    enough = whole_room(budget) >= room_needed(*trail, budget, 500)
    assert enough == (fixed is not None)
    if fixed is not None:
        assert tail_within(*trail, whole_room(budget), budget, 500) == fixed


@settings(deadline=None, max_examples=200)
@given(BUDGETS, TRAILS, st.integers(1, 200_000), st.booleans())
def test_what_is_left_is_what_was_there_less_bubbles_knot_and_end(
    budget: Budget, trail: tuple[int, int], length: int, flat: bool
) -> None:
    rest = PartUsed(length, flat)
    inflated = flat_of(rest, budget) * Fraction(budget.full, budget.flat)
    count, bubbles = trail
    used = bubbles + count * budget.twist_takes + budget.knot + budget.stub
    left = rest_of(count, bubbles, room(rest, budget), budget)
    assert left == max(Fraction(0), inflated - used) // 1


def test_an_inch_of_a_260_by_hand() -> None:
    # 12 bubbles of 25 mm: 12 x (25 + 14) + 15 + 30 = 513 mm of 1524, so 1011 mm are left.
    budget = SIZES["260"].budget
    assert rest_of(12, 30_000, whole_room(budget), budget) == 101_100


@settings(deadline=None, max_examples=300)
@given(st.lists(BUDGETS, min_size=1, max_size=4), TRAILS, st.integers(0, 40_000), st.integers(0, 3))
def test_what_the_shared_budget_allows_every_one_allows(
    budgets: list[Budget], trail: tuple[int, int], tail: int, which: int
) -> None:
    shared = shared_budget(budgets)
    one = budgets[which % len(budgets)]
    if shared.enough_body(*trail, tail) and shared.enough_tail(trail[0], tail):
        assert m4(one, Fraction(one.flat), Fraction(tail), *trail)
    assert shared_budget([shared, *budgets]) == shared
    assert shared_budget([one, one]) == one


def test_a_colour_is_found_by_name_first_then_by_code() -> None:
    red = Entry(size="260", name="red", hex="#ff0000", count=3)
    cherry = Entry(size="260", name="Cherry", hex="#c8102e", count=4)
    thin = Entry(size="160", name="red", hex="#ff0000", count=5)
    stock = Stock(entries=(red, cherry, thin))
    assert entry_for(stock, Colour("R", "cherry", "#ff0000"), "260") is cherry
    assert entry_for(stock, Colour("R", "rot", "#ff0000"), "260") is red
    assert entry_for(stock, Colour("R", "red", "#ff0000"), "160") is thin
    assert entry_for(stock, Colour("W", "white", "#ffffff"), "260") is None


@pytest.mark.parametrize(
    ("state", "count", "rests", "usable"),
    [
        ("limited", 0, (), False),
        ("limited", 1, (), True),
        ("limited", 0, (PartUsed(100),), True),
        ("unlimited", 0, (), True),
        ("do not use", 9, (PartUsed(100),), False),
    ],
)
def test_usable(state: State, count: int, rests: tuple[PartUsed, ...], usable: bool) -> None:
    entry = Entry(
        size="260",
        name="red",
        hex="#ff0000",
        state=state,
        count=count,
        part_used=rests,
    )
    assert entry.usable == usable
