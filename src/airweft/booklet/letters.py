"""Which characters the booklet's font can print, and what becomes of those it cannot.

A tagged PDF must not hold a character without a glyph, so every text is looked through first.
"""

from __future__ import annotations

import re
import struct
import unicodedata
from functools import lru_cache
from importlib import resources
from pathlib import Path

FAMILY = "Fira Sans"
"""The booklet's font: SIL Open Font License 1.1, from the package fontpkg-fira-sans."""

_STYLES = ("Light", "Regular", "Italic", "Medium", "SemiBold", "Bold")
_STAND_IN = "\N{WHITE VERTICAL RECTANGLE}"
_LONG_WORD = re.compile(r"\S{28,}")


def font_folder() -> Path:
    """The folder of the font's files."""
    return Path(str(resources.files("fontpkg_fira_sans"))) / "files"


@lru_cache(maxsize=1)
def covered() -> frozenset[int]:
    """The code points for which every style of the font has a glyph."""
    files = [font_folder() / f"FiraSans-{style}.ttf" for style in _STYLES]
    styles = [_mapped(path.read_bytes()) for path in files]
    return frozenset.intersection(*styles)


def printable(text: str) -> tuple[str, str]:
    """`text` as the font can print it, and the characters it lacks (each once, in order).

    Characters without a glyph become an empty box, so that the gap is seen; control and
    direction marks, which would print as nothing or turn the line round, are left out.
    """
    glyphs = covered()
    kept: list[str] = []
    missing: dict[str, None] = {}
    for char in unicodedata.normalize("NFC", text):
        kind = unicodedata.category(char)
        if char in "\n\t" or kind in ("Zs", "Zl", "Zp"):
            kept.append("\u00a0" if char == "\u00a0" else "\n" if char == "\n" else " ")
        elif kind in ("Cc", "Cf") or unicodedata.name(char, "").startswith("VARIATION SELECTOR"):
            continue
        elif ord(char) in glyphs:
            kept.append(char)
        else:
            missing[char] = None
            kept.append(_STAND_IN)
    return "".join(kept), "".join(missing)


def breakable(text: str) -> str:
    """`text` with a place to break, unseen, after every 14 letters of a very long word."""
    return _LONG_WORD.sub(
        lambda word: "\u200b".join(re.findall(r".{1,14}", word.group(), re.DOTALL)), text
    )


def shortened(text: str, most: int) -> str:
    """`text` on one line, cut to `most` characters with an ellipsis."""
    line = " ".join(text.split())
    return line if len(line) <= most else line[: most - 1].rstrip() + "…"


def _mapped(font: bytes) -> frozenset[int]:
    """Code points of the Unicode character map of a TrueType font.

    Reads subtable formats 4 and 12 (OpenType specification, table `cmap`).
    """
    tables = struct.unpack_from(">H", font, 4)[0]
    start = next(
        struct.unpack_from(">L", font, 12 + 16 * n + 8)[0]
        for n in range(tables)
        if font[12 + 16 * n : 16 + 16 * n] == b"cmap"
    )
    points: set[int] = set()
    for n in range(struct.unpack_from(">H", font, start + 2)[0]):
        platform, _, offset = struct.unpack_from(">HHL", font, start + 4 + 8 * n)
        at = start + offset
        form = struct.unpack_from(">H", font, at)[0]
        if platform not in (0, 3):
            continue
        if form == 4:
            points |= _segments(font, at)
        elif form == 12:
            for g in range(struct.unpack_from(">L", font, at + 12)[0]):
                first, last, glyph = struct.unpack_from(">LLL", font, at + 16 + 12 * g)
                points.update(range(first + (glyph == 0), last + 1))
    return frozenset(points)


def _segments(font: bytes, at: int) -> set[int]:
    """Code points of a format 4 subtable that starts at byte `at`."""
    count = struct.unpack_from(">H", font, at + 6)[0] // 2
    ends = struct.unpack_from(f">{count}H", font, at + 14)
    starts = struct.unpack_from(f">{count}H", font, at + 16 + 2 * count)
    deltas = struct.unpack_from(f">{count}H", font, at + 16 + 4 * count)
    ranges_at = at + 16 + 6 * count
    ranges = struct.unpack_from(f">{count}H", font, ranges_at)
    points: set[int] = set()
    for n, (first, last, delta, skip) in enumerate(zip(starts, ends, deltas, ranges, strict=True)):
        for point in range(first, min(last, 0xFFFE) + 1):
            glyph = point
            if skip:
                place = ranges_at + 2 * n + skip + 2 * (point - first)
                glyph = struct.unpack_from(">H", font, place)[0]
                if glyph == 0:
                    continue
            if (glyph + delta) & 0xFFFF:
                points.add(point)
    return points
