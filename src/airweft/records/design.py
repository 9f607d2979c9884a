"""The design: what the maker wants, as read from a design file and checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from airweft.base.findings import Finding
from airweft.records.budget import Budget
from airweft.records.choices import Choices
from airweft.records.net import Net

Side = Literal["top", "bottom", "front", "back", "left", "right"]
Seams = Literal["plain", "extra"]
End = Literal["bottom", "top"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A flat rectangle of fabric, `columns` by `rows` bubbles."""

    columns: int
    rows: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """An open tube, `around` by `rows` bubbles."""

    around: int
    rows: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box of `across` by `deep` by `high` bubbles, with some sides open."""

    across: int
    deep: int
    high: int
    open: tuple[Side, ...] = ()
    seams: Seams = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class Blocks:
    """A union of cubes, `cell` bubbles along each edge, from text layers (bottom first).

    Each layer is a tuple of lines, the back line first; `#` is a cube and `.` is none.
    """

    cell: int
    layers: tuple[tuple[str, ...], ...]
    open: tuple[Side, ...] = ()
    seams: Seams = "plain"


@dataclass(frozen=True, slots=True, kw_only=True)
class NetFile:
    """Joints and bubbles given one by one; `net` is what the file held, already checked."""

    file: str
    net: Net


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """A profile turned round the upright axis; lengths in whole hundredths of a millimetre.

    `profile` gives radius and height of each point, from one end to the other. `around` is how many
    bubbles lie around the widest place, 0 where that is left open. Ends in `closed` are closed by a
    flat cap; an end on the axis (radius 0) is closed anyhow.
    """

    profile: tuple[tuple[int, int], ...]
    around: int = 0
    closed: tuple[End, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ball:
    """A ball, `across` hundredths of a millimetre from joint to joint."""

    across: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A ring that lies flat: `across` in all and `thick`, in hundredths of a millimetre.

    `arc` is how much of it there is, in degrees, its middle on the right; both ends are open.
    """

    across: int
    thick: int
    arc: int = 360


@dataclass(frozen=True, slots=True, kw_only=True)
class Cone:
    """A cone, `across` at the foot and `high`, in hundredths of a millimetre."""

    across: int
    high: int
    open: tuple[End, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """A regular or semiregular solid, a prism or an antiprism, by name.

    frame    bubbles along its edges              fabric    bubble fabric on its faces
    `divide` cuts each edge into so many (solids of triangles only), the new joints on the sphere.
    """

    name: str
    build: Literal["frame", "fabric"] = "fabric"
    divide: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshFile:
    """A model from an outside file, `height` or `width` hundredths of a millimetre (0: not given).

    `up` is the axis of the model that points up, None where the file's kind decides. `openings` is
    what becomes of openings; None closes small ones. `net` is what was woven on it; empty until
    the file is read.
    """

    file: str
    height: int = 0
    width: int = 0
    fabric: Literal["diamond", "kagome"] = "kagome"
    up: Literal["y", "z"] | None = None
    openings: Literal["keep", "close"] | None = None
    net: Net


@dataclass(frozen=True, slots=True, kw_only=True)
class Stalk:
    """A chain of bubbles in a joined form: an antenna, a leg, a handle.

    It begins at the joint `begin` ("head: front (3, 2)"), or at the joint of the part `begin` that
    lies farthest `towards` (x, y, z). It ends at `end` likewise, or hangs free where that is "".
    It is `bubbles` long; with two `strands` there are two side by side, locked at every joint.
    """

    begin: str
    end: str = ""
    bubbles: int = 2
    strands: int = 1
    towards: tuple[int, int, int] = (0, 0, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a joined form.

    `side` of the part `beside` is where it is set; or `at`, the place of the middle of its foot, in
    hundredths of a millimetre. `turn` is in hundredths of a degree about x, y and z, in that order,
    and `shift` moves it afterwards. `size` and `bubble` are its own, "" and 0 those of the design;
    `pattern` paints it on its own. `sew` pairs its own joints with those of earlier parts that they
    are locked onto ("head: front (3, 2)", or "head" for the nearest); without it a seam is sought.
    """

    name: str
    form: PartForm
    side: Side | Literal[""] = ""
    beside: str = ""
    at: tuple[int, int, int] | None = None
    turn: tuple[int, int, int] = (0, 0, 0)
    shift: tuple[int, int, int] = (0, 0, 0)
    size: str = ""
    bubble: int = 0
    pattern: Pattern | None = None
    sew: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """Several forms sewn together, in building order."""

    parts: tuple[Part, ...]


Simple = Sheet | Tube | Box | Blocks | Turned | Ball | Ring | Cone | Solid
PartForm = Simple | MeshFile | NetFile | Stalk
Form = Simple | MeshFile | Joined | NetFile


@dataclass(frozen=True, slots=True)
class Colour:
    """One palette entry: the mark used everywhere, the name for people, and #rrggbb."""

    mark: str
    name: str
    hex: str


def colour_of(mark: str, palette: Sequence[Colour]) -> Colour:
    """The palette's colour of a mark; a mark that it does not have is called by itself."""
    return next((one for one in palette if one.mark == mark), Colour(mark, mark, ""))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """Which colour goes where.

    plain      `repeat` is one mark
    panels     `panels` gives a mark for each panel name, `repeat` one for all others (or is empty)
    columns, rows, checks   `repeat` is a text of marks
    given      the net file's own colours; none where no net file was given, so that every bubble
               is named in `bubbles`
    `bubbles` are by-hand marks for bubble names, laid over any of these.
    """

    kind: Literal["plain", "panels", "columns", "rows", "checks", "given"]
    repeat: str = ""
    panels: dict[str, str] = field(default_factory=dict)
    bubbles: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """A checked design. Lengths in whole hundredths of a millimetre.

    `units` is the maker's unit for showing lengths. `tail` is a fixed flat tail or None;
    `tail_step` what tails are rounded to (5 mm, or 1/4 in for makers in inches).
    `assumed` names the budget figures that are shipped assumptions and not the maker's own.
    `placed` is how the piece is put up; None: a sheet hangs, a net stays as it is turned, others
    stand.
    `choices` are what the maker settled about the plan.
    `fingerprint` is the SHA-256 of the canonical writing of the design (and of its net, if given).
    `findings` are what the reading had to say that stops nothing: risky and note.
    `places` gives, for the keys of the form ("form", "profile"), the line of the file and its text.
    """

    name: str
    units: Literal["mm", "cm", "in"]
    size: str
    bubble: int
    hands: int
    most_bubbles: int | None
    tail: int | None
    tail_step: int
    budget: Budget
    assumed: tuple[str, ...]
    form: Form
    palette: tuple[Colour, ...]
    pattern: Pattern
    notes: str = ""
    placed: Literal["table", "hanging"] | None = None
    choices: Choices = field(default_factory=Choices)
    fingerprint: str = ""
    findings: tuple[Finding, ...] = field(default=(), compare=False)
    places: dict[tuple[str | int, ...], tuple[int, str]] = field(
        default_factory=dict, compare=False, repr=False
    )
