"""The shape that the piece will take: its size, how it stands, what it weighs, where it gives."""

from __future__ import annotations

from typing import Any

import numpy as np

from airweft.base.findings import Finding
from airweft.booklet.book import Book
from airweft.booklet.measure import size_text
from airweft.booklet.pictures import Figure
from airweft.booklet.walk import figure_data
from airweft.draw.body import bodies_of
from airweft.draw.motion import motion, motion_camera
from airweft.draw.view import said
from airweft.records.shape import Shape, SoftMode, Weight
from airweft.words.stance import rough, stance

Data = dict[str, Any]

_FIRM = 0.5  # bubble lengths of give under its own weight below which a piece is called firm
_SOFT = 20.0  # and from which the figure says only that hardly anything resists
_MOST_NAMED = 3


def motion_figure(book: Book) -> Figure | None:
    """The picture of the softest way in which the piece moves, or None if none was reckoned."""
    mode = _softest(book)
    if mode is None or not len(book.net.lengths):
        return None
    bodies = bodies_of(book.net)
    camera = motion_camera(book.net, mode.moves, bodies=bodies)
    seen = said(camera)
    where = _about(book, mode)
    alt = f"The finished piece in pale, {seen}. Arrows show where it gives most: {where}."
    return Figure(
        svg=motion(
            book.net,
            book.palette,
            camera,
            mode.moves,
            mode.joints,
            length_mm=float(np.median(book.net.lengths)) / 100,
            title=alt,
            bodies=bodies,
        ),
        alt=alt,
        text=f"Seen {seen}. The longer an arrow, the farther that joint goes; it goes the "
        "opposite way just as easily.",
    )


def shape(book: Book, figure: Figure | None) -> Data | None:
    """The section as data for the pages; None where nothing was reckoned of the shape."""
    if book.shape is None:
        return None
    facts = [_size(book, book.shape), _fact(*stance(book.shape, book.standing))]
    if book.weight is not None:
        facts += _weight(book.weight)
    facts += _true(book.shape)
    data: Data = {
        "title": "The shape it will take",
        "lead": "Reckoned from bubble lengths, the press of bubble on bubble, and weight. All of "
        "these are estimates: your balloons, your air and your hands decide.",
        "facts": facts,
        "gives_title": "Where it gives most",
        "gives": [],
        "figure": None,
    }
    mode = _softest(book)
    if mode is not None:
        data["gives"] = _gives(book, mode)
        data["figure"] = figure_data(figure) if figure else None
    return data


def _softest(book: Book) -> SoftMode | None:
    """The softest way to move, if it fits the net that is made."""
    modes = book.softness.modes if book.softness else ()
    if not modes or modes[0].moves.shape != (book.net.joint_count, 3):
        return None
    return modes[0]


def _fact(head: str, figure: str, words: str) -> Data:
    return {"head": head, "figure": figure, "words": words}


def _size(book: Book, shape: Shape) -> Data:
    sides = (shape.width, shape.depth, shape.height)
    words = "wide, deep and high, bubbles included."
    if not shape.converged:
        words += " It had not quite come to rest when the reckoning was stopped."
    return _fact("Size", f"about {size_text(sides, book.design.units)}", words)


def _true(shape: Shape) -> list[Data]:
    """How well bubbles keep their lengths, and whether there is room for all of them."""
    worst, mean = (f"{100 * error:.1f} %" for error in shape.length_error)
    pairs = len(shape.overlaps)
    room = "room for all"
    words = "No two bubbles press into each other by more than 5 % of their diameter."
    if pairs:
        room = f"{pairs} pair{'' if pairs == 1 else 's'} too tight"
        words = f"Bubbles press into each other, the worst by {100 * shape.worst_overlap:.0f} % "
        words += "of their diameter."
    return [
        _fact("Bubble lengths", f"{mean} off", f"on average; the worst is {worst} off."),
        _fact("Room", room, words),
    ]


def _weight(weight: Weight) -> list[Data]:
    grams = f"about {rough(weight.latex_g)} g"
    words = "of latex in the piece"
    if weight.balloons_g is not None and weight.balloons_g > weight.latex_g:
        words += f"; {rough(weight.balloons_g)} g in all its balloons, with what is cut off"
    air = f"about {rough(weight.air_l)} litres"
    pumped = (
        f"about {rough(float(weight.strokes))} full strokes"
        if weight.strokes != 1
        else "one stroke"
    )
    return [
        _fact("Weight", grams, words + "."),
        _fact("Air", air, f"in the piece; {pumped} of a hand pump for all balloons."),
    ]


def _about(book: Book, mode: SoftMode) -> str:
    """Where most of the motion lies, in words."""
    if mode.panels:
        names = mode.panels[:_MOST_NAMED]
        return ("panels " if len(names) > 1 else "panel ") + ", ".join(names)
    names = tuple(book.net.joint_names[j] for j in mode.joints[:_MOST_NAMED])
    return ("joints " if len(names) > 1 else "joint ") + ", ".join(names)


def _gives(book: Book, mode: SoftMode) -> list[str]:
    """How soft the piece is, and what helps."""
    assert book.softness is not None
    found: tuple[Finding, ...] = book.softness.findings
    if found:
        return [line for one in found for line in (one.message, one.remedy) if line]
    where = _about(book, mode)
    if mode.give < _FIRM:
        firm = "Nowhere much: it is firm. It gives first about"
    elif mode.give < _SOFT:
        firm = "It gives a little about"
    else:
        firm = "It hardly resists about"
    much = (
        f", by about {mode.give:.1f} bubble lengths when pressed with its own weight"
        if 0.05 <= mode.give < _SOFT
        else ""
    )
    enough = " Nothing needs to be added." if mode.give < _SOFT else ""
    return [f"{firm} {where}{much}.{enough}"]
