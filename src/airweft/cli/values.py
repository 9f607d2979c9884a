"""What options may say, turned into values; everything else is refused with a remedy."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from airweft.base.nearest import nearest, said_list
from airweft.base.refusals import wrong_option

_Choice = TypeVar("_Choice", bound=str)


def choice(option: str, value: str, known: tuple[_Choice, ...]) -> _Choice:
    """The known choice that `value` names, whatever its letters' case. Raises BadInput."""
    for one in known:
        if value.strip().lower() == one:
            return one
    like = nearest(value, known)
    raise wrong_option(
        option,
        f"{option} cannot be “{value}”",
        (f"Did you mean {like}? " if like else "") + f"There are {said_list(known)}.",
    )


def whole(option: str, value: str) -> int:
    """The whole number that `value` names. Raises BadInput."""
    text = value.strip()
    if not (text.isascii() and text.isdigit() and len(text) <= 18):
        raise wrong_option(
            option, f"{option} cannot be “{value}”", "Give a whole number from 0, such as 7."
        )
    return int(text)


def seed_of(value: str | None) -> int | None:
    """The seed that --seed names. Raises BadInput."""
    return None if value is None else whole("--seed", value)


def seconds(time_limit: str | None, *, exact: bool, stock: Path | None) -> float | None:
    """The seconds that --time-limit names. Raises BadInput; also for --exact beside --stock."""
    if exact and stock is not None:
        raise wrong_option(
            "--exact",
            "--exact counts whole balloons, and --stock may have part-used ones",
            "Leave one of the two out.",
        )
    if time_limit is None:
        return None
    if not exact:
        raise wrong_option(
            "--time-limit", "--time-limit ends --exact, which is not asked for", "Add --exact."
        )
    number = whole("--time-limit", time_limit)
    if not 1 <= number <= 86_400:
        raise wrong_option(
            "--time-limit", f"--time-limit cannot be {number}", "Give 1 to 86400 seconds."
        )
    return float(number)


def effort_of(value: str) -> float:
    """The multiple of the usual search that --effort names. Raises BadInput."""
    try:
        number = float(value.strip().replace(",", "."))
    except ValueError:
        number = -1.0
    if not 0.01 <= number <= 1000:
        raise wrong_option("--effort", f"--effort cannot be “{value}”", "Give 0.01 to 1000.")
    return number


def people(crew: str | None, style: str | None = None) -> int | None:
    """The number of people that --crew names. Raises BadInput."""
    if crew is None:
        return None
    number = whole("--crew", crew)
    if not 1 <= number <= 8:
        raise wrong_option("--crew", f"--crew cannot be {number}", "Give 1 to 8.")
    if number > 1 and style is not None and style.strip().lower() != "parts":
        raise wrong_option(
            "--crew",
            f"--crew {number} makes the piece in parts, and --style says {style}",
            "Leave one of the two out.",
        )
    return number
