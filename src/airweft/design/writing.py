"""Values written as TOML, as a person would write them."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_WIDE = 88
_SHORT = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}


def key_text(key: str) -> str:
    """A key, in quotes where it needs them.

    >>> key_text("across"), key_text("front 3.2")
    ('across', '"front 3.2"')
    """
    return key if _BARE.fullmatch(key) else _quoted(key)


def value_text(value: object, *, inline: bool = False) -> str:
    """A value as TOML. `inline` keeps it on one line. Raises ValueError for what TOML has not.

    >>> value_text(["top", 2, True])
    '["top", 2, true]'
    """
    match value:
        case bool():
            return "true" if value else "false"
        case int():
            return str(value)
        case float():
            if not math.isfinite(value):
                raise ValueError("a number that is not finite")
            return repr(value)
        case str():
            return _quoted(value) if inline or "\n" not in value else _block(value)
        case Mapping():
            pairs = (f"{key_text(str(k))} = {value_text(v, inline=True)}" for k, v in value.items())
            inside = ", ".join(pairs)
            return f"{{ {inside} }}" if inside else "{}"
        case Sequence() if not isinstance(value, bytes | bytearray | memoryview):
            return _list(value, inline)
        case _:
            raise ValueError(f"{type(value).__name__} has no place in a design file")


def _list(values: Sequence[object], inline: bool) -> str:
    written = [value_text(v, inline=inline) for v in values]
    line = f"[{', '.join(written)}]"
    if inline or (len(line) <= _WIDE and "\n" not in line):
        return line
    if any("\n" in item for item in written):
        return "[\n" + "".join(f"{item},\n" for item in written) + "]"
    lines, row = [], ""
    for item in written:
        if row and len(row) + len(item) > _WIDE:
            lines.append(row)
            row = ""
        row += f" {item}," if row else f"  {item},"
    return "\n".join(["[", *lines, row, "]"])


def _quoted(text: str) -> str:
    return '"' + "".join(_sign(c) for c in text) + '"'


def _block(text: str) -> str:
    """A text of several lines, as it looks."""
    lines = ("".join(_sign(c) for c in line) for line in text.split("\n"))
    return '"""\n' + "\n".join(lines) + '"""'


def _sign(c: str) -> str:
    if c in _SHORT:
        return _SHORT[c]
    if 0xD800 <= ord(c) <= 0xDFFF:
        raise ValueError("half a character")
    return c if c.isprintable() else f"\\U{ord(c):08X}"
