"""Files spoilt by chance, for whatever reads a file that people write."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from airweft.base.findings import Finding

LIMIT_S = 10.0  # generous, for slow cores that are shared; a hang takes for ever
_SIGNS = [b'"', b"'", b"[", b"]", b"[[", b"\n", b"=", b'"""', b"{", b"-"]


def says_what_to_do(findings: tuple[Finding, ...]) -> None:
    """Every finding has a place, a message and a remedy that can be printed as they are."""
    assert findings
    for finding in findings:
        assert finding.message and finding.remedy and finding.where
        for said in (finding.message, finding.remedy, finding.context, finding.where):
            assert said.isprintable(), said
        assert len(finding.message) < 600
        whole_file = finding.code.startswith("file-") or "nested" in finding.message
        assert finding.line is not None or whole_file, finding


def spoilt(text: str, data: st.DataObject) -> bytes:
    """The text with one to four places changed: bytes put in, cut out, set or doubled."""
    raw = bytearray(text.encode())
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(raw) - 1))
        match data.draw(st.sampled_from(["put", "cut", "set", "double"])):
            case "put":
                raw[at:at] = data.draw(st.binary(min_size=1, max_size=4) | st.sampled_from(_SIGNS))
            case "cut":
                del raw[at : at + data.draw(st.integers(1, 40))]
            case "set":
                raw[at] = data.draw(st.integers(0, 255))
            case _:
                raw[at:at] = raw[at : at + 60]
        if not raw:
            break
    return bytes(raw)


def odd_values(words: list[str]) -> st.SearchStrategy[Any]:
    """Values of every type that TOML has, these words among them, also within each other."""
    return st.recursive(
        st.one_of(
            st.integers(-(10**40), 10**40),
            st.integers(-3, 300),
            st.floats(),
            st.booleans(),
            st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r"), max_size=12),
            st.sampled_from(words),
            st.datetimes(),
            st.dates(),
        ),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(st.text("abRW #.", min_size=1, max_size=5), inner, max_size=3)
        ),
        max_leaves=5,
    )


def put_or_take(
    table: dict[str, Any], key: str, values: st.SearchStrategy[Any], data: st.DataObject
) -> None:
    """Give the key some odd value, or take it out."""
    if data.draw(st.booleans()):
        table[key] = data.draw(values)
    else:
        table.pop(key, None)
