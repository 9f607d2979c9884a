"""What a maker may choose when a design is made."""

from __future__ import annotations

from typing import Literal, get_args

from airweft.plan import make
from airweft.plan.exact import ExactLimit
from airweft.records.choices import CHOSEN_STYLES, ChosenStyle

Style = ChosenStyle
Paper = Literal["a4", "letter"]
Edition = Literal["standard", "large"]

STYLES: tuple[Style, ...] = tuple(
    style for style in CHOSEN_STYLES if style in make.STYLES or style in ("fewest", "best")
)
"""Those that this version has; `fewest` and `best` leave open which one it is."""
PAPERS: tuple[Paper, ...] = get_args(Paper)
EDITIONS: tuple[Edition, ...] = get_args(Edition)

FILE_NAMES = (
    "booklet.pdf",
    "steps.html",
    "plan.json",
    "chart.svg",
    "picture.svg",
    "picture.png",
    "shopping.csv",
)
"""The files of a made design, in the order in which they are listed."""


def exact_limit(wanted: bool, seconds: float | None) -> ExactLimit | None:
    """How far an exact search goes that is `wanted`, None where it is not.

    As far as its counted effort, or so many seconds if that is less.
    """
    return ExactLimit(seconds=seconds) if wanted else None
