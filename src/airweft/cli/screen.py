"""Writing to the screen: any encoding, any width, with or without a terminal.

Everything said to people goes through `say` and `say_wrapped` as `Text`, never as markup, so that
square brackets and control characters in a maker's own words do nothing.
"""

from __future__ import annotations

import codecs
import os
import sys
from typing import TextIO

from rich.console import Console
from rich.text import Text

UNWRAPPED = 1000
"""Width without a terminal: wide enough that nothing is wrapped for a program that reads it."""

_LOOKALIKES = {
    "“": '"', "”": '"', "„": '"', "‘": "'", "’": "'", "–": "-", "—": "-", "−": "-", "×": "x",
    "…": "...", "•": "*", "·": ".", "≤": "<=", "≥": ">=", "→": "->", "½": "1/2", "¼": "1/4",
    "¾": "3/4", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "″": '"', "′": "'",
}  # fmt: skip


def prepare_streams() -> None:
    """Let standard output and error take any character, by a look-alike where they lack it."""
    codecs.register_error("airweft-lookalike", _lookalike)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="airweft-lookalike")


def out() -> Console:
    """The console on standard output, for answers."""
    return _console(sys.stdout)


def err() -> Console:
    """The console on standard error, for refusals and progress."""
    return _console(sys.stderr)


def clean(text: str) -> str:
    """The text with every character that could move the cursor or hide text made visible."""
    return "".join(c if c.isprintable() or c == "\n" else _visible(c) for c in text)


def say(console: Console, text: Text | str = "", style: str = "") -> None:
    """Write one line as it is, without wrapping: for file places, paths and the maker's lines."""
    line = text if isinstance(text, Text) else Text(clean(text), style=style)
    console.print(line, no_wrap=True, overflow="ignore", crop=False)


def say_wrapped(console: Console, text: Text | str, indent: int = 0, style: str = "") -> None:
    """Write a paragraph wrapped to the console, each line `indent` columns in."""
    whole = text if isinstance(text, Text) else Text(clean(text), style=style)
    for line in whole.wrap(console, max(20, console.width - indent)):
        line.rstrip()
        say(console, Text(" " * indent) + line)


def _console(stream: TextIO) -> Console:
    width = None if stream.isatty() or "COLUMNS" in os.environ else UNWRAPPED
    return Console(file=stream, width=width, highlight=False, markup=False, emoji=False)


def _visible(character: str) -> str:
    return " " if character in "\t\r" else character.encode("unicode_escape").decode("ascii")


def _lookalike(error: UnicodeError) -> tuple[str | bytes, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    wanted = error.object[error.start : error.end]
    return "".join(_LOOKALIKES.get(c, "?") for c in wanted), error.end


def write_plain(text: str) -> None:
    """Write a whole text to standard output exactly as it is, for a file or another program."""
    sys.stdout.write(text)
    sys.stdout.flush()
