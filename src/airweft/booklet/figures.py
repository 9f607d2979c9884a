"""The booklet's pictures, asked of the draw stage, each with the words that stand for it."""

from __future__ import annotations

from dataclasses import dataclass, field

from airweft.booklet.book import Book
from airweft.draw.camera import Camera
from airweft.draw.picture import piece

MOST_PICTURES = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One picture. `width` and `height` in mm where it is printed at true size, else 0."""

    svg: str
    alt: str
    title: str = ""
    text: str = ""
    width: float = 0.0
    height: float = 0.0


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


def draw_all(book: Book) -> Pictures:
    """Draw everything the booklet shows."""
    camera = Camera(turn=0.5, tilt=0.45)
    steps = {}
    done: list[int] = []
    for step in book.instructions.steps[:MOST_PICTURES]:
        svg = piece(book.net, book.palette, camera, shown=done, new=step.new_bubbles)
        done += step.new_bubbles
        steps[step.number] = StepFigure(
            figure=Figure(svg=svg, alt=f"Step {step.number}"),
            seen="Seen from the front right, a little above.",
        )
    return Pictures(
        cover=Figure(svg=piece(book.net, book.palette, camera), alt="The finished piece"),
        steps=steps,
    )
