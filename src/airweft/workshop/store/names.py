"""Names of files made from names of pieces, and paths that may stand in a bundle."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from itertools import count

_NOT_PLAIN = re.compile(r"[^a-z0-9]+")
_LONGEST = 48
# Names that are devices on Windows, whatever ending they have.
DEVICES = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(10))}


def slug(name: str) -> str:
    """A plain name for a file: small letters, digits and hyphens, good on every system.

    >>> slug("Hafenlaterne, groß (2)"), slug("…")
    ('hafenlaterne-gross-2', 'piece')
    """
    plain = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    short = _NOT_PLAIN.sub("-", plain).strip("-")[:_LONGEST].strip("-")
    return f"{short}-piece" if short in DEVICES else short or "piece"


def is_slug(text: str) -> bool:
    """True for what `slug` may give, so that a key never leads out of a folder."""
    return bool(re.fullmatch(r"[a-z0-9]+(?:-[a-z0-9]+)*", text)) and text not in DEVICES


def free(wanted: str, taken: Callable[[str], bool]) -> str:
    """`wanted`, or with the first number behind it that is not taken."""
    if not taken(wanted):
        return wanted
    return next(name for n in count(2) if not taken(name := f"{wanted}-{n}"))


def next_name(name: str, taken: set[str]) -> str:
    """The name of a copy: "Buoy 2" of "Buoy", "Buoy 3" of "Buoy 2"."""
    stem, number = name, 1
    found = re.fullmatch(r"(.*\S) (\d{1,4})", name)
    if found:
        stem, number = found[1], int(found[2])
    return next(new for n in count(number + 1) if (new := f"{stem} {n}") not in taken)
