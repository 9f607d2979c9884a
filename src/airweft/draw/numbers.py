"""Short, stable numbers for SVG."""

from __future__ import annotations

from xml.sax.saxutils import escape


def num(value: float, digits: int = 1) -> str:
    """`value` rounded to `digits` places without needless zeros: `12.5`, `-.3`, `7`, never `-0`."""
    text = "%.*f" % (digits, value)  # noqa: UP031  measured: a third quicker than an f-string
    if digits:
        text = text.rstrip("0").rstrip(".")
    if text[0] == "0":
        return text[1:] or "0"
    if text[:2] == "-0":
        return "-" + text[2:] if len(text) > 2 else "0"
    return text


def attribute(text: str) -> str:
    """`text` made safe inside a quoted attribute or an element; control characters are dropped."""
    kept = "".join(c for c in text if c in "\t\n" or (c >= " " and not "\ud800" <= c <= "\udfff"))
    return escape(kept.replace("\ufffe", "").replace("\uffff", ""), {'"': "&quot;"})
