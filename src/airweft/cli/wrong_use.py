"""Wrong use of the command, explained in our own words: what, the nearest word, and the usage."""

from __future__ import annotations

import re
from collections.abc import Sequence

from rich.console import Console

from airweft.base.nearest import nearest, said_list
from airweft.cli.screen import say, say_wrapped

USAGE = {
    "make": "airweft make DESIGN.toml --out FOLDER",
    "check": "airweft check FILE",
    "compare": "airweft compare DESIGN.toml",
    "substitutes": "airweft substitutes DESIGN.toml --stock STOCK.toml",
    "model": "airweft model DESIGN.toml --out NEW.glb",
    "new": "airweft new FORM",
    "app": "airweft app",
}


def explain(console: Console, error: Exception, arguments: Sequence[str]) -> None:
    """Say what is wrong with the `arguments` that the command-line library refused by `error`."""
    what, remedy = _reason(error, arguments)
    say_wrapped(console, what, style="bold red")
    if remedy:
        say_wrapped(console, remedy)
    command = next((word for word in arguments if not word.startswith("-")), "")
    for name in [command] if command in USAGE else USAGE:
        say(console, f"    {USAGE[name]}")
    say(console, f"More: airweft {command + ' ' if command in USAGE else ''}--help")


def _reason(error: Exception, arguments: Sequence[str]) -> tuple[str, str]:
    """What is wrong, and what to do instead. Known cases by kind, all others by the message."""
    kind, message = type(error).__name__, str(getattr(error, "message", error))
    context = getattr(error, "ctx", None)
    options = [
        name
        for parameter in getattr(getattr(context, "command", None), "params", ())
        for name in parameter.opts
        if name.startswith("-")
    ]
    if kind == "NoSuchOption":
        wrong = str(getattr(error, "option_name", ""))
        like = nearest(wrong, options)
        return f"There is no option {wrong} here.", f"Did you mean {like}?" if like else ""
    if kind == "MissingParameter":
        parameter = getattr(error, "param", None)
        if parameter is not None and str(parameter.opts[0]).startswith("-"):
            return f"The option {parameter.opts[0]} is missing.", ""
        missing = getattr(parameter, "metavar", None) or getattr(parameter, "name", "something")
        return f"{missing} is missing.", ""
    if kind == "BadOptionUsage":
        return f"The option {getattr(error, 'option_name', '')} needs a value after it.", ""
    extra = re.search(r"unexpected extra argument\S* \((.*)\)", message)
    if extra:
        return f"There is a word too many: {extra[1]}", "Put names with spaces in quotes."
    if re.search(r"[Nn]o such command", message):
        wrong = next((word for word in arguments if not word.startswith("-")), "")
        like = nearest(wrong, USAGE)
        known = f"There are {said_list(USAGE)}."
        return f"There is no command “{wrong}”.", f"Did you mean {like}?" if like else known
    if "Missing command" in message:
        return "Say what airweft should do.", ""
    return message, ""
