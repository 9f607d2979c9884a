"""What a person can settle about a form, as the keys of the design file have it, for a page to ask.

The keys, their sense and what they may hold come from the schema, so that a form with a new key has
an input for it at once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from airweft.balloon.sizes import SIZES
from airweft.base.units import NotALength, Unit, read_length
from airweft.design import schema
from airweft.design.report import where
from airweft.design.setting import with_key
from airweft.design.starters import STARTERS
from airweft.design.syntax import parse
from airweft.surface.solids import NAMES

Sort = Literal[
    "count", "length", "choice", "several", "text", "profile", "layers", "spot", "turn", "direction"
]
_LENGTHS = (schema.Length, schema.LengthOrZero)
_SORTS: dict[str, Sort] = {
    "profile": "profile",
    "layers": "layers",
    "at": "spot",
    "shift": "spot",
    "turn": "turn",
    "towards": "direction",
}
_LEFT_OUT = ("kind", "part", "pattern", "sew", "file")
_NAMES = {
    "at": "Place of its foot",
    "divide": "Parts of each edge",
    "high": "High",
    "on": "Goes on",
    "open": "Sides left open",
    "openings": "Openings of the model",
    "placed": "Stands or hangs",
    "up": "Axis that points up",
    "arc": "How much of it, in degrees",
    "closed": "Ends closed",
}


@dataclass(frozen=True, slots=True)
class Input:
    """One thing to settle: a key of the form, what it is called, what it is, what it may hold.

    `step` is by how much a count goes up, `least` and `most` its ends where there are any;
    `choices` are the words of a choice or of several; `optional` keys may be left out.
    """

    key: str
    name: str
    what: str
    sort: Sort
    optional: bool = False
    default: Any = None
    choices: tuple[str, ...] = ()
    step: int = 1
    least: int | None = None
    most: int | None = None


@cache
def inputs_of(kind: str) -> tuple[Input, ...]:
    """The inputs of a kind of form, in the order of the design file; none for an unknown kind."""
    part = schema.StalkPart if kind == "stalk" else schema.FORMS.get(kind)
    return () if part is None else _inputs(part)


@cache
def place_inputs(*, stalk: bool) -> tuple[Input, ...]:
    """The inputs that a part of a joined form has beside those of its form."""
    wanted = ("size", "bubble") if stalk else ("at", "turn", "shift", "size", "bubble")
    return tuple(one for one in _inputs(schema.PlacePart) if one.key in wanted)


def form_kinds() -> tuple[str, ...]:
    """Kinds of forms that can be begun without a file."""
    return tuple(kind for kind in schema.FORMS if kind not in ("mesh", "net"))


def part_kinds() -> tuple[str, ...]:
    """Kinds of parts that can be added without a file."""
    return tuple(kind for kind in schema.PART_KINDS if kind not in ("mesh", "net"))


@cache
def piece_inputs(kind: str) -> tuple[tuple[str, Input], ...]:
    """The inputs of a whole piece of some form, each with its section of the file ("" above the
    first). A net's file has the lengths of its bubbles; all other forms need one."""
    top = [("", one) for one in _inputs(schema.TopPart) if one.key == "placed"]
    wanted = ("size",) if kind == "net" else ("size", "bubble")
    balloon = [
        ("balloon", replace(one, optional=False))
        for one in _inputs(schema.BalloonPart)
        if one.key in wanted
    ]
    return (*balloon, *top)


def sizes() -> tuple[str, ...]:
    """The balloon sizes with shipped figures."""
    return tuple(SIZES)


def said_at(path: Sequence[str | int]) -> str:
    """How findings name the place of a key."""
    return where(tuple(path))


@lru_cache(maxsize=4)
def raw(text: str) -> Mapping[str, Any]:
    """The plain data of a design's text, not to be changed; as much of it as can be read.

    A page asks for it at many places of the same text.
    """
    return parse(text, "design").data or {}


def section(text: str, name: str) -> Mapping[str, Any]:
    """One section of the plain data; an empty one where there is none."""
    found = raw(text).get(name)
    return found if isinstance(found, dict) else {}


def unit_of(text: str) -> Unit:
    """The unit of the text's plain numbers."""
    unit = raw(text).get("units")
    return unit if unit in ("mm", "cm", "in") else "mm"


def written_length(said: str, unit: Unit, *, zero: bool = False) -> int | float | str:
    """A length as it is put into a design: a plain number where it is one, else as it was said.

    Raises NotALength.
    """
    length = read_length(said, unit, zero=zero)
    plain = said.strip().replace(",", ".")
    try:
        number = float(plain)
    except ValueError:
        return said.strip()
    whole = int(number)
    value: int | float = whole if whole == number else number
    return value if read_length(value, unit, zero=zero) == length else said.strip()


def written_spot(said: str, unit: Unit) -> int | float | str:
    """A length of either sign, as a place has it. Raises NotALength."""
    bare = said.strip()
    below = bare[:1] in ("-", "−", "–")
    value = written_length(bare[1:] if below else bare, unit, zero=True)
    if not below:
        return value
    return f"-{value}" if isinstance(value, str) else -value


def beginning_of(kind: str) -> dict[str, Any]:
    """The form of the starter of a kind."""
    return dict(section(STARTERS[kind], "form")) if kind in STARTERS else {"kind": kind}


def as_kind(text: str, kind: str, *, name: str) -> str:
    """The design with another form, as its starter has it; the pattern stays where it can.

    Raises BadInput where the text cannot be changed.
    """
    form = beginning_of(kind)
    if kind == "joined":  # the starter's marks may be none of this palette
        form["part"] = [{k: v for k, v in p.items() if k != "pattern"} for p in form["part"]]
    text = with_key(text, ("form",), form, name=name)
    marks = list(section(text, "colours"))
    pattern = section(text, "pattern")
    fits = ("plain",) if kind == "solid" else ("plain", "columns", "rows", "checks")
    if pattern.get("kind") not in fits and marks:
        plain = {"kind": "plain", "colour": marks[0]}
        text = with_key(text, ("pattern",), plain, name=name)
    return text


def new_part(text: str, kind: str) -> dict[str, Any]:
    """A part to add to a joined form: on top of the last body, with a name of its own."""
    parts = [p for p in section(text, "form").get("part", []) if isinstance(p, dict)]
    taken = {p.get("name") for p in parts}
    name = next(n for k in range(1, 1000) if (n := kind if k == 1 else f"{kind} {k}") not in taken)
    bodies = [str(p.get("name")) for p in parts if p.get("kind") != "stalk"]
    last = bodies[-1] if bodies else ""
    if kind == "stalk":
        return {"name": name, "kind": kind, "begin": last, "towards": [0, 0, 1], "bubbles": 3}
    form = beginning_of(kind)
    if kind == "solid":
        form["solid"] = form.pop("name")
    made: dict[str, Any] = {"name": name, **form}
    if last:
        made["on"] = f"top of {last}"
    return made


def with_parts(text: str, change: Callable[[list[dict[str, Any]]], list[dict[str, Any]]]) -> str:
    """The text with the list of parts changed; parts that stay as they are keep their remarks.

    `change` is given the parts and may change them. Raises BadInput where it cannot be written.
    """
    old = section(text, "form").get("part", [])
    new = change(deepcopy(old))
    for at, part in enumerate(new):
        if at >= len(old) or old[at] != part:
            text = with_key(text, ("form", "part", at), part, name="design")
    for at in range(len(old) - 1, len(new) - 1, -1):
        text = with_key(text, ("form", "part", at), None, name="design")
    return text


def number(said: str) -> int | float | None:
    """A plain number with point or comma and either sign, None for anything else."""
    try:
        found = float(said.strip().replace("−", "-").replace(",", "."))
    except ValueError:
        return None
    if not -1e6 < found < 1e6:
        return None
    return int(found) if found == int(found) else found


def length_reason(said: str, unit: Unit) -> str:
    """Why a text is no length, "" if it is one."""
    try:
        read_length(said, unit, zero=True)
    except NotALength as error:
        return f"{error.message} {error.remedy}"
    return ""


def _inputs(part: type[schema.Part]) -> tuple[Input, ...]:
    return tuple(
        _input(key, field) for key, field in part.model_fields.items() if key not in _LEFT_OUT
    )


def _input(key: str, field: Any) -> Input:
    optional = not field.is_required()
    default = None
    if optional:
        default = field.get_default(call_default_factory=True)
    limits = {type(m).__name__: m for m in field.metadata}
    sort, choices = _sort(key, field)
    if key == "name":
        choices = NAMES
    least = getattr(limits.get("Ge"), "ge", None)
    even = sort == "count" and "even" in (field.description or "")
    return Input(
        key=key,
        name=_NAMES.get(key, key.replace("_", " ").capitalize()),
        what=field.description or "",
        sort=sort,
        optional=optional,
        default=default,
        choices=choices,
        step=2 if even else 15 if key == "arc" else 1,
        least=least if least is not None else (2 if even else None),
        most=getattr(limits.get("Le"), "le", None),
    )


def _sort(key: str, field: Any) -> tuple[Sort, tuple[str, ...]]:
    if key in _SORTS:
        return _SORTS[key], ()
    kind, metadata = _plain(field.annotation), field.metadata
    if any(_reads_length(m) for m in (*metadata, *_marks(field.annotation))):
        return "length", ()
    if get_origin(kind) is Literal:
        return "choice", tuple(map(str, get_args(kind)))
    if get_origin(kind) is list and get_origin(get_args(kind)[0]) is Literal:
        return "several", tuple(map(str, get_args(get_args(kind)[0])))
    return ("count", ()) if kind is int else ("text", ())


def _plain(annotation: Any) -> Any:
    """The kind itself, without what says that it may be left out or how it is read."""
    if get_origin(annotation) is Annotated:
        return _plain(get_args(annotation)[0])
    if get_origin(annotation) in (Union, UnionType):
        return _plain(next(a for a in get_args(annotation) if a is not NoneType))
    return annotation


def _marks(annotation: Any) -> tuple[Any, ...]:
    if get_origin(annotation) is Annotated:
        return get_args(annotation)[1:]
    return tuple(mark for inner in get_args(annotation) for mark in _marks(inner))


def _reads_length(mark: Any) -> bool:
    return any(mark in get_args(length) for length in _LENGTHS)
