"""Small texts for large tables: how the phone page's data is packed.

Whole numbers become base64 digits of five bits each, the lowest first, with the sign in the lowest
bit and a continuation bit above the five (variable-length quantities, as source maps use them).
Names and sentences are cut at their numbers: the pieces between are kept once each, texts that
differ only in their numbers share one form, and of the numbers only the differences from the last
text of that form are kept.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from typing import Any

_DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/"
_VALUE = {digit: value for value, digit in enumerate(_DIGITS)}

# Plain numbers only: no leading zeros, at most eight figures, so that differences stay far below
# 2**31 and come back exactly as they were written.
_NUMBER = re.compile(r"(?<![0-9])(?:0|[1-9][0-9]{0,7})(?![0-9])")


def pack_numbers(values: Iterable[int]) -> str:
    """The numbers as one text; about one character for |value| < 16 and two for |value| < 512.

    >>> pack_numbers([0, 1, -1, 16])
    'ACDgB'
    """
    out: list[str] = []
    for value in values:
        rest = -value * 2 + 1 if value < 0 else value * 2
        while True:
            digit = rest & 31
            rest >>= 5
            out.append(_DIGITS[digit | 32] if rest else _DIGITS[digit])
            if not rest:
                break
    return "".join(out)


def unpack_numbers(text: str) -> list[int]:
    """The numbers that `pack_numbers` wrote; raises KeyError for a character that is no digit.

    >>> unpack_numbers("ACDgB")
    [0, 1, -1, 16]
    """
    values: list[int] = []
    shift = value = 0
    for char in text:
        digit = _VALUE[char]
        value |= (digit & 31) << shift
        if digit & 32:
            shift += 5
            continue
        values.append(-(value >> 1) if value & 1 else value >> 1)
        shift = value = 0
    return values


def differences(values: Iterable[int]) -> list[int]:
    """Each value less the one before it, the first less 0."""
    out: list[int] = []
    last = 0
    for value in values:
        out.append(value - last)
        last = value
    return out


def pack_texts(texts: Sequence[str]) -> dict[str, Any]:
    """Texts as `pieces`, `forms` of pieces, and `numbers`. Any text comes back exactly.

    `forms` holds for each form how many numbers it has and then its pieces' places; `numbers` for
    each text its form (less the form before) and its numbers (less those of that form before).
    """
    split = [(tuple(_NUMBER.split(text)), _NUMBER.findall(text)) for text in texts]
    forms: dict[tuple[str, ...], int] = {}
    for pieces, _ in split:
        forms.setdefault(pieces, len(forms))
    often = Counter(piece for form in forms for piece in form)
    place = {piece: index for index, (piece, _) in enumerate(often.most_common())}
    last: dict[int, list[int]] = {}
    numbers: list[int] = []
    before = 0
    for pieces, found in split:
        form = forms[pieces]
        figures = [int(figure) for figure in found]
        earlier = last.get(form, [0] * len(figures))
        numbers.append(form - before)
        numbers.extend(a - b for a, b in zip(figures, earlier, strict=True))
        last[form] = figures
        before = form
    shapes = [value for form in forms for value in (len(form) - 1, *(place[p] for p in form))]
    return {
        "pieces": list(place),
        "forms": pack_numbers(shapes),
        "numbers": pack_numbers(numbers),
    }


def unpack_texts(packed: dict[str, Any], count: int) -> list[str]:
    """The `count` texts that `pack_texts` packed."""
    shapes = iter(unpack_numbers(packed["forms"]))
    forms = [[packed["pieces"][next(shapes)] for _ in range(n + 1)] for n in shapes]
    numbers = iter(unpack_numbers(packed["numbers"]))
    last: dict[int, list[int]] = {}
    texts: list[str] = []
    form = 0
    for _ in range(count):
        form += next(numbers)
        pieces = forms[form]
        earlier = last.get(form, [0] * (len(pieces) - 1))
        figures = [value + next(numbers) for value in earlier]
        last[form] = figures
        text = pieces[0]
        for figure, piece in zip(figures, pieces[1:], strict=True):
            text += f"{figure}{piece}"
        texts.append(text)
    return texts
