"""A stroke alphabet of our own: letters, figures and signs as pen lines, so that no font is needed.

The pen moves on a grid with capitals 10 high, the baseline at y = 10 and y pointing down; small
letters are 6.4 high, tails hang to 13. Each letter is its width and a path of `M`, `L` and `C`.
Browsers can use the same strings (`Path2D`). The pen is round, about 1.5 thick.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache

from airweft.draw.numbers import num

CAP = 10.0
PEN = 1.5
_GAP = 2.6  # clear space between two letters, in grid units
_SPACE = 3.4

_A_BOWL = (
    "M4.8 6.8C4.8 4.8 4 3.6 2.5 3.6C.9 3.6 0 4.8 0 6.8C0 8.8 .9 10 2.5 10C4 10 4.8 8.8 4.8 6.8"
)
_B_BOWL = (
    "M0 6.8C0 4.8 .9 3.6 2.4 3.6C3.9 3.6 4.8 4.8 4.8 6.8C4.8 8.8 3.9 10 2.4 10C.9 10 0 8.8 0 6.8"
)
_RING = "M3.2 0C1.2 0 0 1.9 0 5C0 8.1 1.2 10 3.2 10C5.2 10 6.4 8.1 6.4 5C6.4 1.9 5.2 0 3.2 0"
_P = "M0 10L0 0L3.2 0C5 0 6 1 6 2.8C6 4.6 5 5.6 3.2 5.6L0 5.6"
_HOOP = "M0 6.4C0 4.6 1 3.6 2.4 3.6C3.9 3.6 4.6 4.5 4.6 6.2L4.6 10"
_ARCH = "C1.2 0 0 1.9 0 5C0 8.1 1.2 10 3.2 10"

LETTERS: dict[str, tuple[float, str]] = {
    "A": (6.4, "M0 10L3.2 0L6.4 10M1.1 6.6L5.3 6.6"),
    "B": (
        6.0,
        "M3 4.8C4.7 4.8 5.5 3.9 5.5 2.4C5.5 .9 4.7 0 3 0L0 0L0 10L3.5 10"
        "C5.2 10 6 9 6 7.4C6 5.8 5.2 4.8 3.5 4.8L0 4.8",
    ),
    "C": (6.0, "M6 2C5.4 .7 4.5 0 3.2 0" + _ARCH + "C4.5 10 5.4 9.3 6 8"),
    "D": (6.0, "M0 0L0 10L2.5 10C4.8 10 6 8.3 6 5C6 1.7 4.8 0 2.5 0L0 0"),
    "E": (5.4, "M5.4 0L0 0L0 10L5.4 10M0 4.8L4.6 4.8"),
    "F": (5.4, "M5.4 0L0 0L0 10M0 4.8L4.6 4.8"),
    "G": (6.0, "M6 2C5.4 .7 4.5 0 3.2 0" + _ARCH + "C5 10 6 8.8 6 6.8L6 5.4L3.6 5.4"),
    "H": (6.0, "M0 0L0 10M6 0L6 10M0 4.8L6 4.8"),
    "I": (3.0, "M0 0L3 0M1.5 0L1.5 10M0 10L3 10"),
    "J": (4.6, "M4.6 0L4.6 7C4.6 9 3.8 10 2.3 10C.9 10 .2 9.2 0 8"),
    "K": (6.0, "M0 0L0 10M5.8 0L0 6M2 4.1L6 10"),
    "L": (5.2, "M0 0L0 10L5.2 10"),
    "M": (7.0, "M0 10L0 0L3.5 6.5L7 0L7 10"),
    "N": (6.0, "M0 10L0 0L6 10L6 0"),
    "O": (6.4, _RING),
    "P": (6.0, _P),
    "Q": (6.4, _RING + "M3.9 7.2L6.6 10.6"),
    "R": (6.0, _P + "M3 5.6L6 10"),
    "S": (
        5.8,
        "M5.6 1.8C5.1 .6 4.2 0 2.9 0C1.3 0 .3 .9 .3 2.4C.3 4 1.4 4.5 3 4.9"
        "C4.7 5.3 5.8 5.9 5.8 7.5C5.8 9.1 4.6 10 2.9 10C1.5 10 .5 9.3 0 8",
    ),
    "T": (6.0, "M0 0L6 0M3 0L3 10"),
    "U": (6.0, "M0 0L0 6.5C0 8.8 1.1 10 3 10C4.9 10 6 8.8 6 6.5L6 0"),
    "V": (6.2, "M0 0L3.1 10L6.2 0"),
    "W": (8.4, "M0 0L2.1 10L4.2 2.4L6.3 10L8.4 0"),
    "X": (6.0, "M0 0L6 10M6 0L0 10"),
    "Y": (6.2, "M0 0L3.1 5L6.2 0M3.1 5L3.1 10"),
    "Z": (6.0, "M.2 0L5.8 0L0 10L6 10"),
    "a": (4.8, "M4.8 3.8L4.8 10" + _A_BOWL),
    "b": (4.8, "M0 0L0 10" + _B_BOWL),
    "c": (
        4.6,
        "M4.6 4.9C4.1 4 3.4 3.6 2.5 3.6C.9 3.6 0 4.8 0 6.8C0 8.8 .9 10 2.5 10"
        "C3.4 10 4.1 9.6 4.6 8.7",
    ),
    "d": (4.8, "M4.8 0L4.8 10" + _A_BOWL),
    "e": (
        4.7,
        "M.1 6.7L4.7 6.7C4.7 4.7 3.9 3.6 2.4 3.6C.9 3.6 0 4.8 0 6.8C0 8.8 .9 10 2.5 10"
        "C3.4 10 4.2 9.6 4.6 8.8",
    ),
    "f": (3.2, "M3.2 .1C1.8 -.3 1.2 .6 1.2 2L1.2 10M0 3.8L3 3.8"),
    "g": (4.8, "M4.8 3.8L4.8 10.4C4.8 12.2 4 13 2.5 13C1.5 13 .8 12.7 .3 12" + _A_BOWL),
    "h": (4.6, "M0 0L0 10" + _HOOP),
    "i": (0.6, "M.3 3.8L.3 10M.3 1L.3 1.1"),
    "j": (1.6, "M1.5 3.8L1.5 11.2C1.5 12.5 .9 13 0 13M1.5 1L1.5 1.1"),
    "k": (4.5, "M0 0L0 10M4.3 3.8L0 7.8M1.6 6.4L4.5 10"),
    "l": (1.4, "M0 0L0 8.6C0 9.6 .5 10 1.4 10"),
    "m": (
        7.4,
        "M0 3.8L0 10M0 6.2C0 4.6 .8 3.6 2 3.6C3.2 3.6 3.7 4.4 3.7 6L3.7 10"
        "M3.7 6.2C3.7 4.6 4.5 3.6 5.7 3.6C6.9 3.6 7.4 4.4 7.4 6L7.4 10",
    ),
    "n": (4.6, "M0 3.8L0 10" + _HOOP),
    "o": (
        5.0,
        "M2.5 3.6C.9 3.6 0 4.8 0 6.8C0 8.8 .9 10 2.5 10C4.1 10 5 8.8 5 6.8C5 4.8 4.1 3.6 2.5 3.6",
    ),
    "p": (4.8, "M0 3.8L0 13" + _B_BOWL),
    "q": (4.8, "M4.8 3.8L4.8 13" + _A_BOWL),
    "r": (3.0, "M0 3.8L0 10M0 6.4C0 4.7 .9 3.6 2.3 3.6C2.6 3.6 2.8 3.6 3 3.7"),
    "s": (
        4.4,
        "M4.2 4.8C3.8 4 3.1 3.6 2.2 3.6C1 3.6 .2 4.2 .2 5.2C.2 6.3 1 6.6 2.2 6.8"
        "C3.5 7 4.4 7.3 4.4 8.4C4.4 9.4 3.5 10 2.2 10C1.2 10 .4 9.6 0 8.7",
    ),
    "t": (3.2, "M1.2 1.4L1.2 8.2C1.2 9.5 1.8 10 3.2 9.9M0 3.8L3.1 3.8"),
    "u": (4.6, "M0 3.8L0 7.4C0 9.1 .7 10 2.2 10C3.6 10 4.6 9 4.6 7.2M4.6 3.8L4.6 10"),
    "v": (4.8, "M0 3.8L2.4 10L4.8 3.8"),
    "w": (7.2, "M0 3.8L1.8 10L3.6 4.6L5.4 10L7.2 3.8"),
    "x": (4.4, "M0 3.8L4.4 10M4.4 3.8L0 10"),
    "y": (4.8, "M0 3.8L2.5 10M4.8 3.8L2.5 10C1.8 11.8 1.2 13 0 12.9"),
    "z": (4.5, "M.1 3.8L4.3 3.8L0 10L4.5 10"),
    "0": (5.6, "M2.8 0C1 0 0 1.9 0 5C0 8.1 1 10 2.8 10C4.6 10 5.6 8.1 5.6 5C5.6 1.9 4.6 0 2.8 0"),
    "1": (4.0, "M0 2.2L2.2 0L2.2 10M.4 10L4 10"),
    "2": (5.6, "M.2 2.6C.2 1 1.2 0 2.8 0C4.5 0 5.4 1 5.4 2.6C5.4 4.4 4 6 0 10L5.6 10"),
    "3": (
        5.6,
        "M.3 1.6C.8 .6 1.6 0 2.8 0C4.3 0 5.2 .9 5.2 2.4C5.2 3.9 4.2 4.7 2.4 4.7"
        "C4.5 4.7 5.6 5.6 5.6 7.3C5.6 9 4.5 10 2.8 10C1.4 10 .5 9.4 0 8.2",
    ),
    "4": (5.8, "M4.2 10L4.2 0L0 7L5.8 7"),
    "5": (
        5.6,
        "M5 0L.8 0L.3 4.9C1 4.2 1.8 3.8 2.8 3.8C4.5 3.8 5.6 5 5.6 6.8"
        "C5.6 8.8 4.5 10 2.8 10C1.4 10 .5 9.4 0 8.3",
    ),
    "6": (
        5.6,
        "M5.2 1.3C4.7 .5 4 0 3 0C1.1 0 0 2 0 5.8C0 8.5 1.1 10 2.9 10"
        "C4.5 10 5.6 8.8 5.6 6.9C5.6 5 4.6 4 3 4C1.5 4 .4 5 .1 6.4",
    ),
    "7": (5.6, "M0 0L5.6 0L2 10"),
    "8": (
        5.6,
        "M2.8 4.7C1.3 4.7 .4 3.8 .4 2.4C.4 .9 1.3 0 2.8 0C4.3 0 5.2 .9 5.2 2.4"
        "C5.2 3.8 4.3 4.7 2.8 4.7C1.1 4.7 0 5.6 0 7.3C0 9 1.1 10 2.8 10"
        "C4.5 10 5.6 9 5.6 7.3C5.6 5.6 4.5 4.7 2.8 4.7",
    ),
    "9": (
        5.6,
        "M.4 8.7C.9 9.5 1.6 10 2.6 10C4.5 10 5.6 8 5.6 4.2C5.6 1.5 4.5 0 2.7 0"
        "C1.1 0 0 1.2 0 3.1C0 5 1 6 2.6 6C4.1 6 5.2 5 5.5 3.6",
    ),
    ".": (0.4, "M.2 9.8L.2 9.9"),
    ",": (0.8, "M.7 9.6L0 11.8"),
    ":": (0.4, "M.2 4.6L.2 4.7M.2 9.4L.2 9.5"),
    ";": (0.8, "M.5 4.6L.5 4.7M.6 9.6L0 11.8"),
    "-": (3.4, "M0 6L3.4 6"),
    "–": (5.0, "M0 6L5 6"),
    "+": (5.0, "M0 5.4L5 5.4M2.5 2.9L2.5 7.9"),
    "=": (5.0, "M0 4.2L5 4.2M0 7L5 7"),
    "×": (4.0, "M0 4L4 8M4 4L0 8"),
    "/": (4.0, "M0 11L4 -1"),
    "(": (2.0, "M2 -1C.6 1 0 3 0 5.4C0 7.8 .6 9.8 2 11.8"),
    ")": (2.0, "M0 -1C1.4 1 2 3 2 5.4C2 7.8 1.4 9.8 0 11.8"),
    "'": (0.4, "M.2 0L.2 2.4"),
    "’": (0.8, "M.6 0L.1 2.6"),
    '"': (2.0, "M.1 0L.1 2.4M1.9 0L1.9 2.4"),
    "!": (0.4, "M.2 0L.2 6.8M.2 9.8L.2 9.9"),
    "?": (
        4.6,
        "M0 2.2C.2 .8 1 0 2.3 0C3.7 0 4.6 .9 4.6 2.3C4.6 4.4 2.3 4.4 2.3 6.8M2.3 9.8L2.3 9.9",
    ),
    "#": (6.0, "M2 .5L1 9.5M5 .5L4 9.5M.2 3.4L6 3.4M0 6.6L5.8 6.6"),
    "%": (
        7.0,
        "M1.4 0C.4 0 0 .8 0 2C0 3.2 .4 4 1.4 4C2.4 4 2.8 3.2 2.8 2C2.8 .8 2.4 0 1.4 0"
        "M6.4 0L.6 10M5.6 6C4.6 6 4.2 6.8 4.2 8C4.2 9.2 4.6 10 5.6 10C6.6 10 7 9.2 7 8"
        "C7 6.8 6.6 6 5.6 6",
    ),
    "&": (
        6.6,
        "M6.6 10L1.4 3.4C.4 1.6 1.2 0 2.8 0C4.3 0 4.8 1.6 3.8 3L1.4 5.4"
        "C-.6 7.4 .2 10 2.6 10C4.6 10 5.8 8.4 6.2 5.8",
    ),
    "°": (
        2.4,
        "M1.2 0C.4 0 0 .5 0 1.2C0 1.9 .4 2.4 1.2 2.4C2 2.4 2.4 1.9 2.4 1.2C2.4 .5 2 0 1.2 0",
    ),
    "*": (4.0, "M2 0L2 4.6M0 1.1L4 3.5M4 1.1L0 3.5"),
    "_": (5.0, "M0 12L5 12"),
    "·": (0.4, "M.2 6L.2 6.1"),
    "ß": (
        4.8,
        "M0 10L0 2.4C0 .9 .9 0 2.2 0C3.5 0 4.3 .8 4.3 2C4.3 3.6 2.6 4 2.6 5.2"
        "C2.6 6.4 4.8 6.4 4.8 8.3C4.8 9.4 4 10 3 10C2.4 10 2 9.9 1.6 9.6",
    ),
    "ø": (
        5.0,
        "M2.5 3.6C.9 3.6 0 4.8 0 6.8C0 8.8 .9 10 2.5 10C4.1 10 5 8.8 5 6.8"
        "C5 4.8 4.1 3.6 2.5 3.6M5 3L0 10.6",
    ),
    "Ø": (6.4, _RING + "M6.2 -.6L.2 10.6"),
    "ı": (0.6, "M.3 3.8L.3 10"),
    "ȷ": (1.6, "M1.5 3.8L1.5 11.2C1.5 12.5 .9 13 0 13"),
}

# Accents as combining marks, drawn about x = 0 with the letter's top at y = 0.
_ACCENTS: dict[str, str] = {
    "\u0300": "M-1 -3L.6 -1.6",
    "\u0301": "M1 -3L-.6 -1.6",
    "\u0302": "M-1.5 -1.5L0 -3L1.5 -1.5",
    "\u0303": "M-1.8 -1.8C-1 -3.4 .9 -1 1.8 -2.6",
    "\u0304": "M-1.6 -2.2L1.6 -2.2",
    "\u0306": "M-1.5 -3C-1 -1.4 1 -1.4 1.5 -3",
    "\u0308": "M-1.3 -2.3L-1.3 -2.2M1.3 -2.3L1.3 -2.2",
    "\u030a": "M0 -3.6C-.8 -3.6 -1 -3 -1 -2.5C-1 -2 -.8 -1.4 0 -1.4"
    "C.8 -1.4 1 -2 1 -2.5C1 -3 .8 -3.6 0 -3.6",
    "\u030c": "M-1.5 -3L0 -1.5L1.5 -3",
    "\u0327": "M.2 10L-.2 11C1.4 11 1.2 13 -.6 12.8",
    "\u0328": "M.8 10C-.4 11 -.2 12.8 1.2 12.4",
}
_PIECE = re.compile(r"([MLC])([^MLC]*)")

Stroke = tuple[str, tuple[tuple[float, float], ...]]


@cache
def strokes(letter: str) -> tuple[float, tuple[Stroke, ...]] | None:
    """Width and pen moves of one letter (accents included), or None if it cannot be drawn."""
    if letter in LETTERS:
        width, path = LETTERS[letter]
        return width, _parse(path, 0.0, 0.0)
    base, *marks = list(unicodedata.normalize("NFD", letter))
    base = {"i": "ı", "j": "ȷ"}.get(base, base) if marks else base
    if not marks or base not in LETTERS or any(mark not in _ACCENTS for mark in marks):
        return None
    width, path = LETTERS[base]
    moves = _parse(path, 0.0, 0.0)
    for mark in marks:
        below = mark in "\u0327\u0328"
        top = 0.0 if below or base.isupper() or base in "bdfhklt" else 3.6
        moves += _parse(_ACCENTS[mark], width / 2, top)
    return width, moves


def _parse(path: str, dx: float, dy: float) -> tuple[Stroke, ...]:
    """Pen moves of a path string, shifted."""
    moves: list[Stroke] = []
    for command, rest in _PIECE.findall(path):
        values = [float(v) for v in rest.split()]
        pairs = zip(values[::2], values[1::2], strict=True)
        moves.append((command, tuple((x + dx, y + dy) for x, y in pairs)))
    return tuple(moves)


def can_write(text: str) -> bool:
    """True if every letter of `text` is in the alphabet."""
    return all(letter == " " or strokes(letter) is not None for letter in text)


def text_width(text: str, height: float) -> float:
    """Ink width of `text` written with capitals `height` high."""
    return _layout(text)[1] * height / CAP


def _layout(text: str) -> tuple[list[tuple[float, tuple[Stroke, ...]]], float]:
    """Letters with their left edges in grid units, and the whole width. Unknown ones become `?`."""
    x = 0.0
    placed: list[tuple[float, tuple[Stroke, ...]]] = []
    for letter in text:
        if letter.isspace():
            x += _SPACE
            continue
        found = strokes(letter) or strokes("?")
        assert found is not None  # `?` is in the table
        width, moves = found
        placed.append((x, moves))
        x += width + _GAP
    return placed, max(0.0, x - _GAP)


def text_path(text: str, x: float, y: float, height: float, *, anchor: str = "start") -> str:
    """Path data of `text`, baseline at `y`, capitals `height` high.

    `anchor` says what `x` is: "start", "middle" or "end" of the ink. Stroke it with a round pen
    `height * PEN / CAP` thick and no fill.
    """
    placed, width = _layout(text)
    scale = height / CAP
    left = x - width * scale * {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    out: list[str] = []
    for offset, moves in placed:
        for command, points in moves:
            out.append(
                command
                + " ".join(
                    f"{num(left + (px + offset) * scale, 2)} {num(y + (py - CAP) * scale, 2)}"
                    for px, py in points
                )
            )
    return "".join(out)
