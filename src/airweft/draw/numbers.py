"""Short, stable numbers for SVG."""

from __future__ import annotations

from xml.sax.saxutils import escape


def num(value: float, digits: int = 1) -> str:
    """`value` rounded to `digits` places without needless zeros: `12.5`, `-.3`, `7`, never `-0`."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text in ("-0", ""):
        return "0"
    if text.startswith("0."):
        return text[1:]
    if text.startswith("-0."):
        return "-" + text[2:]
    return text


def attribute(text: str) -> str:
    """`text` made safe inside a quoted attribute or an element; control characters are dropped."""
    kept = "".join(c for c in text if c in "\t\n" or (c >= " " and not "\ud800" <= c <= "\udfff"))
    return escape(kept.replace("\ufffe", "").replace("\uffff", ""), {'"': "&quot;"})
