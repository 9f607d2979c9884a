"""The facts on the cover and in the lists, put into words from the plan's own numbers."""

from __future__ import annotations

from dataclasses import dataclass

from airweft.booklet.book import Book
from airweft.booklet.measure import size_text
from airweft.records.design import (
    Ball,
    Blocks,
    Box,
    Cone,
    Joined,
    MeshFile,
    NetFile,
    Ring,
    Sheet,
    Solid,
    Tube,
    Turned,
)
from airweft.records.plan import Balloon


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: the figure in large type and what it counts."""

    figure: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Level:
    """How much a piece asks of its maker: 1 to 4, our name for it, and the techniques in it."""

    number: int
    name: str
    techniques: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Balloons that are inflated alike: same colour, size, number of bubbles and tail.

    `flat` is the empty length of part-used balloons, 0 for whole ones.
    """

    mark: str
    size: str
    bubbles: int
    tail: int
    codes: tuple[str, ...]
    flat: int = 0


_LEVELS = ("calm water", "light breeze", "fresh wind", "open sea")


def count(number: int, thing: str) -> str:
    """A number with its noun: `1 balloon`, `18 balloons`, `2,400 bubbles`."""
    return f"{number:,} {thing}" if number == 1 else f"{number:,} {thing}s"


def balloons_fact(book: Book) -> Fact:
    """Balloons against the bound; "fewest" is said only of a proven plan."""
    needed = len(book.plan.balloons)
    bound = book.plan.bound
    figure = f"{needed:,}"
    noun = "balloon" if needed == 1 else "balloons"
    if bound.proven and bound.balloons == needed:
        return Fact(figure, f"{noun}, the fewest possible")
    return Fact(figure, f"{noun} (at least {bound.balloons:,} needed)")


def minutes_text(low: int, high: int) -> str:
    """A range of minutes: `20 to 30 min`, `1 h 50 to 3 h 10`."""
    if high < 100:
        return f"{low} min" if low == high else f"{low} to {high} min"
    hours = [f"{m // 60} h {m % 60:02d}" if m % 60 else f"{m // 60} h" for m in (low, high)]
    return hours[0] if low == high else f"{hours[0]} to {hours[1]}"


def cover_facts(book: Book) -> tuple[Fact, ...]:
    """The six facts of the cover."""
    claims = book.plan.claims
    loose = claims.peak_loose
    return (
        Fact(f"{claims.bubbles:,}", "bubble" if claims.bubbles == 1 else "bubbles"),
        Fact(f"{claims.joints:,}", "joint" if claims.joints == 1 else "joints"),
        balloons_fact(book),
        Fact(size_text(claims.size_mm, book.design.units), "wide, deep, high; about"),
        Fact(minutes_text(claims.minutes_low, claims.minutes_high), _hands(book)),
        Fact(str(loose), f"loose twist{'' if loose == 1 else 's'} at most"),
    )


def _hands(book: Book) -> str:
    """Whose time it is that is told."""
    people = sum(chapter.person > 0 for chapter in book.instructions.chapters)
    return f"for {people} practised makers at once" if people else "for practised hands"


def form_text(book: Book) -> str:
    """The form in words: `A box of woven balloons, 6 across, 6 deep and 8 high`."""
    form = book.design.form
    match form:
        case Sheet():
            return f"A sheet of woven balloons, {form.columns} by {form.rows} bubbles"
        case Tube():
            return f"A tube of woven balloons, {form.around} bubbles around, {form.rows} rows"
        case Box():
            text = (
                f"A box of woven balloons, {form.across} across, {form.deep} deep "
                f"and {form.high} high"
            )
            return text + (f", open at the {_listed(form.open)}" if form.open else "")
        case Blocks():
            cubes = sum(line.count("#") for layer in form.layers for line in layer)
            return f"Woven balloons over {count(cubes, 'cube')}, {form.cell} bubbles to an edge"
        case Turned() | Cone():
            around = f", {book.net.around} bubbles around" if book.net.around else ""
            text = "A cone" if isinstance(form, Cone) else "A turned form"
            return f"{text} of woven balloons{around} at the widest place"
        case Ball():
            return "A ball of woven balloons"
        case Ring():
            return f"A ring of woven balloons, {book.net.around} bubbles around the outside"
        case Solid():
            start = "An" if form.name[0] in "aio" else "A"
            way = "frame" if form.build == "frame" else "fabric"
            return f"{start} {form.name} as a {way} of balloons"
        case Joined():
            names = tuple(part.name for part in form.parts)
            return f"{_listed(names).capitalize()} of woven balloons, sewn into one piece"
        case MeshFile() | NetFile():
            return f"{count(book.net.bubble_count, 'bubble')} between {book.net.joint_count} joints"


def level(book: Book) -> Level:
    """The level, from the techniques in the plan and how much there is to hold and to count.

    The scale is our own: each technique beyond twist, lock and tie-on weighs one, holding more
    than three loose twists one, more than 24 balloons one and more than 600 bubbles one.
    """
    plan = book.plan
    does = {action.do for action in plan.actions}
    kinds = set(plan.net.kinds)
    loose = plan.claims.peak_loose
    techniques = ["pinch twist", "lock twist"]
    weight = 0
    if "start" in does:
        techniques.append("tying a balloon on")
    if "tie" in does:
        techniques.append("two balloons tied in a pair")
    for kind, text in (
        ("loop", "extra bubbles (loops)"),
        ("free", "bubbles with a free end"),
        ("frame", "frame joints of several bubbles"),
    ):
        if kind in kinds:
            techniques.append(text)
            weight += 1
    if loose > 3:
        techniques.append(f"holding {loose} loose twists")
        weight += 1
    if len(book.palette) > 3:
        techniques.append(f"keeping {len(book.palette)} colours apart")
        weight += 1
    weight += (len(plan.balloons) > 24) + (plan.claims.bubbles > 600)
    number = min(weight, 3) + 1
    return Level(number, _LEVELS[number - 1], tuple(techniques))


def groups(book: Book) -> tuple[Group, ...]:
    """Balloons grouped by how they are inflated, in the palette's order, most bubbles first."""
    place = {colour.mark: n for n, colour in enumerate(book.palette)}
    flats = {
        code: flat
        for line in book.shopping
        if line.supply is not None
        for code, flat in line.supply.flats.items()
    }
    found: dict[tuple[int, str, str, int, int, int], list[Balloon]] = {}
    for balloon in book.plan.balloons:
        rank = place.get(balloon.colour, len(place))
        flat = flats.get(balloon.code, 0)
        key = (rank, balloon.colour, balloon.size, -len(balloon.bubbles), flat, balloon.tail)
        found.setdefault(key, []).append(balloon)
    return tuple(
        Group(
            mark=mark,
            size=size,
            bubbles=-bubbles,
            tail=tail,
            codes=tuple(b.code for b in same),
            flat=flat,
        )
        for (_, mark, size, bubbles, flat, tail), same in sorted(found.items())
    )


def codes_text(codes: tuple[str, ...]) -> str:
    """Balloon codes by letter and number, with runs drawn together: `R1 to R6, R9`."""
    letters = list(dict.fromkeys(_parts(code)[0] for code in codes))
    order = sorted(codes, key=lambda code: (letters.index(_parts(code)[0]), _parts(code)[1]))
    runs: list[list[str]] = []
    for code in order:
        letter, number = _parts(code)
        if runs and number >= 0 and _parts(runs[-1][-1]) == (letter, number - 1):
            runs[-1].append(code)
        else:
            runs.append([code])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def _parts(code: str) -> tuple[str, int]:
    """Letters and number of a code; the number is -1 where there is none."""
    letters = code.rstrip("0123456789")
    digits = code[len(letters) :]
    return letters, int(digits) if digits and digits.isascii() else -1


def _listed(words: tuple[str, ...]) -> str:
    return " and ".join(", ".join(words).rsplit(", ", 1))
