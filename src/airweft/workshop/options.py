"""What a maker may choose when a design is made."""

from __future__ import annotations

from typing import Literal, get_args

Style = Literal["pairs", "rounds", "fewest"]
Paper = Literal["a4", "letter"]
Edition = Literal["standard", "large"]

STYLES: tuple[Style, ...] = get_args(Style)
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
