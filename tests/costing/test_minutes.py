"""Minutes: against common practice, and exact sums."""

from __future__ import annotations

import pytest

from airweft.costing.minutes import PRACTISED, Pace, estimate
from tests.costing.plans import counted_plan

CUBE = counted_plan([("R", "260", 6000, 12)] * 18, locks=108, ties=9)


def test_the_cube_of_common_practice_overlaps_twenty_to_thirty_minutes() -> None:
    # Common practice, no source: 216 bubbles, 18 balloons, 108 joints, 20 to 30 minutes.
    minutes = estimate(CUBE)
    assert minutes.low <= 30 and minutes.high >= 20
    assert minutes.high <= 2.5 * minutes.low, "a range too wide says nothing"


def test_the_times_of_common_practice_are_the_shipped_ones() -> None:
    # Common practice, no source: 4 to 10 s a simple lock twist, 10 to 20 s to inflate and tie.
    assert PRACTISED.lock == (4, 10)
    assert PRACTISED.inflate == (10, 20)


def test_parts_add_up_and_are_counted_from_the_actions() -> None:
    minutes = estimate(CUBE)
    assert {part.name: part.count for part in minutes.parts} == {
        "inflate and knot": 18,
        "tie on": 9,
        "twist": 216,
        "lock": 108,
        "finish": 18,
    }
    low = sum(part.low_s for part in minutes.parts)
    high = sum(part.high_s for part in minutes.parts)
    assert minutes.low * 60 <= low < (minutes.low + 1) * 60
    assert (minutes.high - 1) * 60 < high <= minutes.high * 60


def test_a_maker_twice_as_slow_takes_twice_as_long() -> None:
    slow = Pace(inflate=(20, 40), lock=(8, 20), twist=(2, 4), attach=(6, 12), finish=(8, 16))
    usual, slower = estimate(CUBE), estimate(CUBE, slow)
    assert sum(p.high_s for p in slower.parts) == 2 * sum(p.high_s for p in usual.parts)


def test_never_below_one_minute() -> None:
    minutes = estimate(counted_plan([("R", "260", 6000, 1)], locks=0))
    assert (minutes.low, minutes.high) == (1, 1)


@pytest.mark.parametrize("times", [(5, 4), (-1, 4), (1, float("inf")), (float("nan"), 2)])
def test_a_range_that_is_none_is_refused(times: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match=r"lock: .* is no range; give the lower time first"):
        Pace(lock=times)
