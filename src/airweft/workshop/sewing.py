"""Parts that are locked at named joints, as a page edits them: `sew` in the text of a design."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from airweft.base.errors import AirweftError
from airweft.base.nearest import nearest
from airweft.records.design import Joined
from airweft.workshop.inputs import section, with_parts
from airweft.workshop.shape import part_joints

if TYPE_CHECKING:
    from airweft.workshop.desk import Desk

SIDES = ("bottom", "top", "front", "back", "left", "right")
"""In place of a joint of its own: the one farthest that way."""


def parts_of(text: str) -> list[dict[str, Any]]:
    """The parts of a joined form as the text has them, not to be changed."""
    parts = section(text, "form").get("part")
    return [p for p in parts if isinstance(p, dict)] if isinstance(parts, list) else []


def pairs_of(part: dict[str, Any] | Any) -> list[tuple[str, str]]:
    """The joints of a part with those that they are locked onto."""
    sew = part.get("sew") if isinstance(part, dict) else None
    return [(str(k), str(v)) for k, v in sew.items()] if isinstance(sew, dict) else []


def onto(part: str, joint: str) -> str:
    """How the text names a joint of another part; without a joint, the nearest."""
    return f"{part}: {joint}" if joint else part


def part_and_joint(said: str) -> tuple[str, str]:
    """The other way round.

    >>> part_and_joint("head: front (3, 2)")
    ('head', 'front (3, 2)')
    """
    part, _, joint = said.partition(":")
    return part.strip(), joint.strip()


def owner_of(joint: str, parts: Sequence[str]) -> tuple[str, str]:
    """The part that a joint of the piece belongs to, and its name there; "" for none of these."""
    found = max((p for p in parts if joint.startswith(f"{p} ")), key=len, default="")
    return found, joint.removeprefix(f"{found} ") if found else ""


def own_joints(desk: Desk, at: int) -> tuple[str, ...]:
    """The joints that a part has by itself; none while they cannot be known."""
    form = desk.design.form if desk.design is not None else None
    if not isinstance(form, Joined) or at >= len(form.parts):
        return ()
    try:
        return part_joints(desk.design, at)  # type: ignore[arg-type]
    except AirweftError:
        return ()


def joints_there(desk: Desk, name: str) -> tuple[str, ...]:
    """The joints of a part that others can be locked onto, as the piece has them: one that was sewn
    itself is called by the earlier part."""
    names = [str(part.get("name")) for part in parts_of(desk.text)]
    net = desk.net
    if net is not None and any(p == name or p.startswith(f"{name} ") for p in net.panels):
        owned = (owner_of(joint, names) for joint in net.joint_names)
        found = tuple(joint for owner, joint in owned if owner == name)
        if found:
            return found
    return own_joints(desk, names.index(name)) if name in names else ()


def why_no_pair(
    desk: Desk, at: int, own: str, part: str, joint: str, *, instead: str = ""
) -> tuple[str, str]:
    """Why these two joints cannot be a pair: what is wrong with the part's own one, and with the
    other; two empty texts where they can be. `instead` is the pair that this one takes the place
    of."""
    parts = parts_of(desk.text)
    name = str(parts[at].get("name")) if at < len(parts) else ""
    pairs = [(mine, other) for mine, other in pairs_of(parts[at]) if mine != instead]
    mine = there = ""
    known = own_joints(desk, at)
    if not own:
        mine = f"Choose a joint of {name}."
    elif own not in SIDES and known and own not in known:
        mine = _unknown(name, own, [*SIDES, *known])
    elif own in dict(pairs):
        mine = f"{own} is locked already, onto {dict(pairs)[own]}."
    known = joints_there(desk, part)
    taken = {other: one for one, other in pairs}
    if not part:
        there = "Choose the part that it is locked onto."
    elif joint and known and joint not in known:
        there = _unknown(part, joint, known)
    elif joint and onto(part, joint) in taken:
        there = f"{joint} of {part} has {taken[onto(part, joint)]} already."
    return mine, there


def with_pair(text: str, at: int, own: str, other: str, *, instead: str = "") -> str:
    """The text with a pair of joints locked, in place of another one or besides.

    With the first joint that is named there, the part goes to where it is locked, and no longer to
    a side or a place. Raises BadInput.
    """

    def sewn(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
        part, before = parts[at], pairs_of(parts[at])
        if ":" in other and not any(":" in it for _, it in before):
            part.pop("on", None)
            part.pop("at", None)
        new = [(own, other) if mine == instead else (mine, it) for mine, it in before]
        part["sew"] = dict(new if (own, other) in new else [*new, (own, other)])
        return parts

    return with_parts(text, sewn)


def without_pair(text: str, at: int, own: str) -> str:
    """The text with a pair taken out; with the last joint that was named there, the part goes on
    top of what it was locked onto, if it has no place otherwise. Raises BadInput."""

    def loosened(parts: list[dict[str, Any]]) -> list[dict[str, Any]]:
        part, before = parts[at], pairs_of(parts[at])
        left = {mine: other for mine, other in before if mine != own}
        part["sew"] = left
        if not left:
            del part["sew"]
        placed = "on" in part or "at" in part or any(":" in other for other in left.values())
        if not placed and before:
            part["on"] = f"top of {part_and_joint(before[-1][1])[0]}"
        return parts

    return with_parts(text, loosened)


def renamed(parts: list[dict[str, Any]], at: int, name: str) -> list[dict[str, Any]]:
    """The parts with another name for one, and for it wherever a later one speaks of it."""
    old = str(parts[at].get("name", ""))

    def said(value: object) -> object:
        part, joint = part_and_joint(value) if isinstance(value, str) else ("", "")
        return onto(name, joint) if part == old and isinstance(value, str) else value

    for part in parts[at + 1 :]:
        on = part.get("on")
        if isinstance(on, str) and on.endswith(f" of {old}"):
            part["on"] = f"{on.removesuffix(old)}{name}"
        for key in ("begin", "end"):
            if key in part:
                part[key] = said(part[key])
        if isinstance(part.get("sew"), dict):
            part["sew"] = {mine: said(other) for mine, other in part["sew"].items()}
    parts[at]["name"] = name
    return parts


def _unknown(part: str, joint: str, known: Sequence[str]) -> str:
    close = nearest(joint, known)
    meant = f" Did you mean “{close}”?" if close else " Choose one from the list."
    return f"{part} has no joint “{joint[:40]}”.{meant}"
