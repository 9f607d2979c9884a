"""The records of the booklet's pictures: each with the words that stand for it."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One picture.

    `width` and `height` in mm where it is printed at true size, else 0; `share` of the room it is
    given.
    """

    svg: str
    alt: str
    title: str = ""
    text: str = ""
    width: float = 0.0
    height: float = 0.0
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class StepFigure:
    """The picture of a step, where it is seen from, the turn to make before it, other views."""

    figure: Figure
    seen: str
    turn: str = ""
    insets: tuple[tuple[Figure, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictures:
    """All pictures of a booklet; `steps` by step number."""

    cover: Figure
    steps: dict[int, StepFigure] = field(default_factory=dict)
    charts: tuple[Figure, ...] = ()
    gauges: tuple[Figure, ...] = ()
    howto: tuple[Figure, ...] = ()
    motion: Figure | None = None
    crew: tuple[Figure, ...] = ()
