"""The keys of a design file: what each is called, what it may hold, and an example of it.

Only the shape of each section is told here; rules between keys are in `forms`, `colours` and
`patterns`. Plain numbers for lengths are in the unit that the validation context names.
"""

from __future__ import annotations

from math import gcd
from typing import Annotated, Any, ClassVar, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo
from pydantic_core import PydanticCustomError

from airweft.balloon.sizes import NotASize, read_size_code
from airweft.base.units import NotALength, read_length
from airweft.design.report import said

VERSION = 1
"""The newest version of the design file that this program reads."""


def refuse(code: str, message: str, remedy: str) -> PydanticCustomError:
    """An error that carries a finding's code, message and remedy through the validation."""
    return PydanticCustomError("own", "{message}", dict(code=code, message=message, remedy=remedy))


def _length(value: Any, info: ValidationInfo) -> int:
    return _read_length(value, info, zero=False)


def _length_or_zero(value: Any, info: ValidationInfo) -> int:
    return _read_length(value, info, zero=True)


def _read_length(value: Any, info: ValidationInfo, *, zero: bool) -> int:
    try:
        return read_length(value, (info.context or {}).get("unit", "mm"), zero=zero)
    except NotALength as error:
        raise refuse("bad-length", error.message, error.remedy) from None


def _size(value: Any) -> str:
    if isinstance(value, int) and not isinstance(value, bool) and 0 < value < 10**6:
        value = str(value)
    if not isinstance(value, str):
        raise refuse(
            "balloon-size", f"A balloon size is a text, not {said(value)}.", 'Write size = "260".'
        )
    try:
        return read_size_code(value).code
    except NotASize as error:
        raise refuse("balloon-size", error.message, error.remedy) from None


def _title(text: str) -> str:
    line = text.strip()
    if not line:
        raise refuse("bad-text", "The text is empty.", "Write at least one letter in it.")
    if not line.isprintable():
        raise refuse(
            "bad-text",
            "The text has a line break or a control character in it.",
            "Keep it on one line, in plain letters.",
        )
    if len(line) > 120:
        raise refuse(
            "bad-text", f"The text has {len(line)} characters.", "Keep it to 120 or fewer."
        )
    return line


def _several_lines(text: str) -> str:
    lines = [line.rstrip() for line in text.expandtabs(4).strip().split("\n")]
    if not all(line.isprintable() for line in lines):
        raise refuse(
            "bad-text",
            "The text has a control character in it.",
            "Keep to plain letters and lines.",
        )
    if sum(map(len, lines)) > 20_000:
        raise refuse("bad-text", "The text is longer than 20,000 characters.", "Shorten it.")
    return "\n".join(lines)


Length = Annotated[int, BeforeValidator(_length)]


def _profile(value: Any, info: ValidationInfo) -> tuple[tuple[int, int], ...]:
    """A list of [radius, height], each a length that may be zero."""
    example = "Write it such as: profile = [[14, 0], [10, 40]]"
    if not isinstance(value, list):
        raise refuse("wrong-type", f"A profile is a list of points, not {said(value)}.", example)
    points = []
    for number, point in enumerate(value[:1000], start=1):
        if not isinstance(point, list) or len(point) != 2:
            raise refuse(
                "wrong-type", f"Point {number} is not a pair of radius and height.", example
            )
        try:
            radius, height = (_read_length(length, info, zero=True) for length in point)
        except PydanticCustomError as error:
            context = error.context or {}
            message = f"Point {number}: {context.get('message', '')}"
            raise refuse("bad-length", message, str(context.get("remedy", example))) from None
        points.append((radius, height))
    return tuple(points)


LengthOrZero = Annotated[int, BeforeValidator(_length_or_zero)]


def _spot(value: Any, info: ValidationInfo) -> tuple[int, int, int]:
    """Three lengths, each of either sign: to the right, to the back, up."""
    example = "Write it such as: [0, 2.5, 10] (to the right, to the back, up)."
    if not isinstance(value, list) or len(value) != 3:
        raise refuse("wrong-type", "It is three lengths in a list.", example)
    found = []
    for length in value:
        below = isinstance(length, int | float) and not isinstance(length, bool) and length < 0
        text = isinstance(length, str) and length.strip().startswith("-")
        bare = -length if below else length.strip()[1:] if text else length
        found.append(_read_length(bare, info, zero=True) * (-1 if below or text else 1))
    return found[0], found[1], found[2]


def _turn(value: Any) -> tuple[int, int, int]:
    """Degrees about the upright axis, or about x, y and z, in hundredths."""
    listed = value if isinstance(value, list) else [0, 0, value]
    numbers = [n for n in listed if isinstance(n, int | float) and not isinstance(n, bool)]
    if len(listed) != 3 or len(numbers) != 3 or not all(-3600 <= n <= 3600 for n in numbers):
        raise refuse(
            "wrong-type",
            "A turn is a number of degrees, or three for the axes to the right, back and up.",
            "Write it such as: turn = 45, or turn = [0, 90, 0].",
        )
    x, y, z = (round(n * 100) for n in numbers)
    return x, y, z


def _direction(value: Any) -> tuple[int, int, int]:
    """Three numbers: to the right, to the back, up; as whole ones in the same proportion."""
    three = isinstance(value, list) and len(value) == 3
    if not three or not all(
        isinstance(n, int | float) and not isinstance(n, bool) and abs(n) <= 1000 for n in value
    ):
        raise refuse(
            "wrong-type",
            "A direction is three numbers up to 1000: to the right, to the back, up.",
            "Write it such as: towards = [-1, 0, 2].",
        )
    if all(isinstance(n, int) for n in value):
        return value[0], value[1], value[2]
    x, y, z = (round(n * 1000) for n in value)
    common = gcd(x, y, z) or 1
    return x // common, y // common, z // common


def _sew(value: Any) -> tuple[tuple[str, str], ...]:
    """A section of own joints, each with the joint that it is locked onto, in order."""
    texts = isinstance(value, dict) and all(
        isinstance(other, str) and other.strip() and own.strip() for own, other in value.items()
    )
    if not texts or not value:
        raise refuse(
            "wrong-type",
            "It is a section: joints of this part, each with the joint it is locked onto.",
            'Write it such as: sew = { "corner 1" = "head: front (3, 2)", "corner 2" = "head" }.',
        )
    return tuple((own.strip(), other.strip()) for own, other in value.items())


Spot = Annotated[tuple[int, int, int], BeforeValidator(_spot)]
ProfileLine = Annotated[tuple[tuple[int, int], ...], BeforeValidator(_profile)]
Title = Annotated[str, AfterValidator(_title)]
SizeCodeText = Annotated[str, BeforeValidator(_size)]
Paragraphs = Annotated[str, AfterValidator(_several_lines)]
SideName = Literal["top", "bottom", "front", "back", "left", "right"]
EndName = Literal["bottom", "top"]
SeamName = Literal["plain", "extra"]


class Part(BaseModel):
    """A section of the file: no keys but the ones listed, no values of another type."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)
    later: ClassVar[tuple[str, ...]] = ()


def key(what: str, example: str, **more: Any) -> Any:
    """A required key, or an optional one with `default=`; `what` completes "It is ..."."""
    return Field(description=what, examples=[example], **more)


class TopPart(Part):
    """What stands above the first section."""

    airweft: int = key("the version of the design file", "airweft = 1")
    name: Title = key("the name of the piece", 'name = "Harbour lantern"')
    units: Literal["mm", "cm", "in"] = key("the unit of plain numbers", 'units = "cm"')
    notes: Paragraphs = key(
        "your own remarks, printed in the booklet", 'notes = "For the pier"', default=""
    )
    placed: Literal["table", "hanging"] | None = key(
        "how the piece is put up", 'placed = "hanging"', default=None
    )


class BudgetPart(Part):
    """Your own six figures of the balloon; what is left out keeps its shipped value."""

    flat: Length | None = key("the length of the empty balloon", "flat = 27", default=None)
    full: Length | None = key("the length inflated to the tip", "full = 152.4", default=None)
    knot: LengthOrZero | None = key(
        "the inflated length that the knot takes", "knot = 1.5", default=None
    )
    stub: LengthOrZero | None = key(
        "the inflated length left over to tie off", "stub = 3", default=None
    )
    twist_takes: LengthOrZero | None = key(
        "what a bubble takes beyond its own length", "twist_takes = 1.4", default=None
    )
    twist_pushes: LengthOrZero | None = key(
        "what each pinch pushes on into the tail", "twist_pushes = 1.4", default=None
    )


class BalloonPart(Part):
    """The balloons and the hands."""

    size: Annotated[str, BeforeValidator(_size)] = key("the balloon size code", 'size = "260"')
    bubble: Length | None = key("the length of a bubble", "bubble = 2.5", default=None)
    hands: int = key("how many twists may be loose at once", "hands = 4", default=4, ge=1, le=40)
    most_bubbles: int | None = key(
        "the most bubbles that one balloon may make", "most_bubbles = 12", default=None, ge=1
    )
    tail: LengthOrZero | None = key(
        "the flat tail to leave on every balloon", 'tail = "7 in"', default=None
    )
    tail_step: Length | None = key("what tails are rounded to", "tail_step = 0.5", default=None)
    budget: Any = key("your own six figures", "[balloon.budget]", default=None)


class SheetPart(Part):
    """A flat rectangle of fabric."""

    kind: Literal["sheet"]
    columns: int = key("how many bubbles from left to right, even", "columns = 12")
    rows: int = key("how many bubbles from bottom to top, even", "rows = 18")


class TubePart(Part):
    """A tube, open at both ends."""

    kind: Literal["tube"]
    around: int = key("how many bubbles around, even", "around = 12")
    rows: int = key("how many bubbles from bottom to top, even", "rows = 18")


class BoxPart(Part):
    """A box."""

    kind: Literal["box"]
    across: int = key("how many bubbles from left to right, even", "across = 6")
    deep: int = key("how many bubbles from front to back, even", "deep = 6")
    high: int = key("how many bubbles from bottom to top, even", "high = 8")
    open: list[SideName] = key("the sides left open", 'open = ["top"]', default_factory=list)
    seams: SeamName = key("how edges are finished", 'seams = "plain"', default="plain")


class BlocksPart(Part):
    """Cubes joined side to side."""

    kind: Literal["blocks"]
    cell: int = key("how many bubbles along the edge of a cube, even", "cell = 4")
    layers: list[str] = key("the layers from the bottom up", 'layers = ["###"]')
    open: list[SideName] = key("the sides left open", 'open = ["top"]', default_factory=list)
    seams: SeamName = key("how edges are finished", 'seams = "plain"', default="plain")


class TurnedPart(Part):
    """A profile turned round the upright axis."""

    kind: Literal["turned"]
    profile: ProfileLine = key(
        "the radius and the height of each point, from one end to the other",
        "profile = [[14, 0], [10, 40]]",
    )
    around: int = key(
        "how many bubbles around the widest place, even", "around = 24", default=0, ge=0
    )
    closed: list[EndName] = key(
        "the ends closed by a cap", 'closed = ["top"]', default_factory=list
    )


class BallPart(Part):
    """A ball."""

    kind: Literal["ball"]
    across: Length = key("how far across, a length", "across = 20")


class RingPart(Part):
    """A ring that lies flat."""

    kind: Literal["ring"]
    across: Length = key("how far across in all, a length", "across = 50")
    thick: Length = key("how thick, a length", "thick = 10")
    arc: int = key("how much of it, in degrees", "arc = 180", default=360, ge=30, le=360)


class ConePart(Part):
    """A cone on its wide end."""

    kind: Literal["cone"]
    across: Length = key("how far across at the foot, a length", "across = 20")
    high: Length = key("how high, a length", "high = 30")
    open: list[Literal["bottom"]] = key(
        "the end left open", 'open = ["bottom"]', default_factory=list
    )


class SolidPart(Part):
    """A regular or semiregular solid, a prism or an antiprism."""

    kind: Literal["solid"]
    name: Title = key("the name of the solid", 'name = "icosahedron"')
    build: Literal["frame", "fabric"] = key(
        "bubbles along the edges, or fabric on the faces", 'build = "fabric"', default="fabric"
    )
    divide: int = key("how many parts each edge is cut into", "divide = 2", default=1, ge=1, le=40)


class MeshPart(Part):
    """A model from an outside file."""

    kind: Literal["mesh"]
    file: Title = key("the file with the model", 'file = "seal.obj"')
    height: Length | None = key("how high the piece becomes", "height = 40", default=None)
    width: Length | None = key("how wide the piece becomes", "width = 40", default=None)
    fabric: Literal["diamond", "kagome"] = key(
        "the weave: stars of three bubbles, or cells of four",
        'fabric = "kagome"',
        default="kagome",
    )
    up: Literal["y", "z"] | None = key(
        "which axis of the model points up", 'up = "z"', default=None
    )
    openings: Literal["keep", "close"] | None = key(
        "whether the model's openings are kept or closed", 'openings = "close"', default=None
    )


class JoinedPart(Part):
    """Several forms sewn together."""

    kind: Literal["joined"]
    part: Any = key("the parts", "[[form.part]]")


class PlacePart(Part):
    """What a part of a joined form has beyond the keys of its form."""

    name: Title = key("the name of the part", 'name = "lantern"')
    on: Title | None = key(
        "which side of which part it goes to", 'on = "top of tower"', default=None
    )
    at: Spot | None = key("the place of the middle of its foot", "at = [0, 0, 40]", default=None)
    turn: Annotated[tuple[int, int, int], BeforeValidator(_turn)] = key(
        "how far it is turned", "turn = 45", default=(0, 0, 0)
    )
    shift: Spot = key("how far it is moved from there", "shift = [0, 0, 1]", default=(0, 0, 0))
    size: Annotated[str, BeforeValidator(_size)] | None = key(
        "the balloon size of this part", 'size = "160"', default=None
    )
    bubble: Length | None = key("the bubble length of this part", "bubble = 2", default=None)
    pattern: Any = key(
        "the colours of this part", 'pattern = { kind = "plain", colour = "R" }', default=None
    )
    sew: Annotated[tuple[tuple[str, str], ...], BeforeValidator(_sew)] = key(
        "which of its joints are locked onto which",
        'sew = { "corner 1" = "head: front (3, 2)" }',
        default=(),
    )


class StalkPart(Part):
    """A chain of bubbles from a joint."""

    kind: Literal["stalk"]
    begin: Title = key("the part, or its joint, where it begins", 'begin = "head"')
    end: str = key(
        "the part, or its joint, where it ends", 'end = "body: front (3, 2)"', default=""
    )
    bubbles: int = key("how many bubbles long it is", "bubbles = 2", default=2, ge=1, le=400)
    strands: int = key(
        "how many strands lie side by side, 1 or 2", "strands = 2", default=1, ge=1, le=2
    )
    towards: Annotated[tuple[int, int, int], BeforeValidator(_direction)] = key(
        "the direction that it goes", "towards = [-1, 0, 2]", default=(0, 0, 1)
    )


class NetPart(Part):
    """Joints and bubbles given one by one in a file of their own."""

    kind: Literal["net"]
    file: Title = key("the file with the net", 'file = "star.net.json"')


FORMS: dict[str, type[Part]] = {
    "sheet": SheetPart,
    "tube": TubePart,
    "box": BoxPart,
    "blocks": BlocksPart,
    "turned": TurnedPart,
    "ball": BallPart,
    "ring": RingPart,
    "cone": ConePart,
    "solid": SolidPart,
    "mesh": MeshPart,
    "joined": JoinedPart,
    "net": NetPart,
}
PART_KINDS = (*(kind for kind in FORMS if kind != "joined"), "stalk")
LATER_FORMS: tuple[str, ...] = ()


class PlainPart(Part):
    """One colour."""

    kind: Literal["plain"]
    colour: str = key("the mark of the colour", 'colour = "R"')


class RepeatPart(Part):
    """Colours that repeat along columns, along rows, or as checks."""

    kind: Literal["columns", "rows", "checks"]
    repeat: str = key("the marks that repeat", 'repeat = "RRW"')


class HandPart(Part):
    """Single bubbles by name, or whole panels drawn as charts, over a base pattern."""

    kind: Literal["hand"]
    base: Any = key(
        "the pattern underneath", 'base = { kind = "plain", colour = "W" }', default=None
    )
    bubbles: Any = key("marks for single bubbles", "[pattern.bubbles]", default=None)
    charts: Any = key("panels drawn with marks", "[pattern.charts]", default=None)


PATTERNS: dict[str, type[Part]] = {
    "plain": PlainPart,
    "columns": RepeatPart,
    "rows": RepeatPart,
    "checks": RepeatPart,
    "hand": HandPart,
}
"""`panels` is not here: its keys are the names of the form's panels."""

PATTERN_KINDS = ("plain", "panels", "columns", "rows", "checks", "hand")
BASE_KINDS = PATTERN_KINDS[:-1]
LATER_PATTERNS = ("diagonals", "gradient", "picture")


class ColourPart(Part):
    """A colour with a name of its own."""

    name: Title = key("what you call the colour", 'name = "cherry"')
    colour: str = key("a CSS colour name or #rrggbb", 'colour = "#c8102e"')
