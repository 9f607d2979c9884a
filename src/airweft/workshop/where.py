"""Where in the design file a finding about its form belongs."""

from __future__ import annotations

import re
from dataclasses import replace

from airweft.base.findings import Finding
from airweft.records.design import Design, Joined

_PART = re.compile(r"part (?P<name>.*?)(?:: (?P<rest>.*))?")


def with_line(design: Design, finding: Finding) -> Finding:
    """The finding with its line and what stands there, where it is about the form.

    Stages that know nothing of files say "turned, profile", or "part ear: cone, across" of a part:
    the kind of the form, then the key. What is about no key has the line of the form or the part.
    """
    if finding.line is not None or not design.places:
        return finding
    path: tuple[str | int, ...] = ("form",)
    rest = finding.where
    part = _PART.fullmatch(rest)
    if isinstance(design.form, Joined):
        names = [one.name for one in design.form.parts]
        if part is None or part["name"] not in names:
            return finding
        path, rest = ("form", "part", names.index(part["name"])), part["rest"] or ""
    kind, _, key = rest.partition(", ")
    if len(path) == 1 and kind != _kind(design):
        return finding
    if part is not None and (kind, key) == ("solid", "name"):
        key = "solid"  # a part has a name of its own
    place = design.places.get((*path, key)) or design.places.get(path)
    return finding if place is None else replace(finding, line=place[0], context=place[1])


def _kind(design: Design) -> str:
    return type(design.form).__name__.lower()
