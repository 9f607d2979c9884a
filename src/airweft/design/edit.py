"""Changing a choice in the text of a design and leaving every other letter of it alone."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from airweft.base.errors import BadInput
from airweft.base.findings import Finding

_LONE_LINE_END = re.compile(r"(?<!\r)\n")


def with_choice(
    text: str,
    *,
    style: str,
    seed: int | None = None,
    crew: int | None = None,
    name: str = "design",
) -> str:
    """The design's text with `style`, and `seed` and `crew` if given, under [plan].

    Remarks, order and layout stay as they are; a file of Windows line ends keeps them. Raises
    BadInput if the text cannot be changed so that nothing else in it changes.
    """
    bare = text.removeprefix("\ufeff")
    given = {"style": style, "crew": crew, "seed": seed}
    wanted: dict[str, Any] = {key: value for key, value in given.items() if value is not None}
    try:
        before = tomllib.loads(bare)
        changed = _changed(bare, wanted) if "plan" in before else _added(bare, wanted)
        if "\r\n" in bare and not _LONE_LINE_END.search(bare):
            changed = _LONE_LINE_END.sub("\r\n", changed)
        plan = before.setdefault("plan", {})
        plan.update(wanted)
        if tomllib.loads(changed) != before:
            raise ValueError("something else would change")
    except (ValueError, TypeError, AttributeError, KeyError, TOMLKitError) as error:
        lines = " and ".join(f"{key} = {_said(value)}" for key, value in wanted.items())
        raise BadInput(
            Finding(
                code="choice-not-stored",
                severity="cannot",
                where=name,
                message="the choice cannot be written into this file without changing more of it; "
                "nothing was written",
                remedy=f"Write {lines} under [plan] yourself.",
            )
        ) from error
    return text[: len(text) - len(bare)] + changed


def _changed(text: str, wanted: dict[str, Any]) -> str:
    """The text with keys of its [plan] changed, or added to it."""
    document: Any = tomlkit.parse(text)
    for key, value in wanted.items():
        document["plan"][key] = value
    return str(tomlkit.dumps(document))


def _added(text: str, wanted: dict[str, Any]) -> str:
    """The text with a section [plan] at its end."""
    end = "" if not text or text.endswith("\n") else "\n"
    lines = "".join(f"{key} = {_said(value)}\n" for key, value in wanted.items())
    return f"{text}{end}\n[plan]\n{lines}"


def _said(value: str | int) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value)
