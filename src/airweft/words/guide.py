"""How to read the instructions, and the words they use: short texts for a balloon artist."""

from __future__ import annotations

from collections.abc import Sequence

from airweft.base.units import Unit, exact_length
from airweft.records.design import Colour
from airweft.records.plan import Plan
from airweft.records.steps import BalloonLine, Step
from airweft.words.phrases import DOTS, code_parts, listed
from airweft.words.sections import JOIN_SAYS


def how_to_read(
    plan: Plan,
    palette: Sequence[Colour],
    balloons: Sequence[BalloonLine],
    steps: Sequence[Step],
    unit: Unit,
) -> tuple[str, ...]:
    """The notation in a few sentences; only what this plan's text really uses."""
    text = "\n".join(step.text for step in steps)
    paragraphs = [_codes(palette, balloons), _lengths(balloons, unit)]
    code = balloons[0].code if balloons else "R1"
    other = balloons[1].code if len(balloons) > 1 else "another"
    there = other if len(balloons) > 1 else code
    mark = (code_parts(code) or ("R", 0))[0]
    if balloons:
        paragraphs.append(
            f"{code}.5 is the joint where {code} lies after its fifth bubble; {code}.0 is its "
            "knot. Count bubbles along the balloon from its knot; loops count too. Where several "
            "balloons meet the joint has a name from each of them, and all mean the same joint."
        )
        paragraphs.append(
            f"“{code} two bubbles and {other} one bubble, lock together” means: twist off two "
            f"bubbles of {code} and one of {other}, and lock their ends together in a new joint. "
            f"The first bubble of {code} ends at a joint of its own, in the air for now: its twist "
            "lies between two held ends, so it cannot unwind and does not count as loose. “Lock "
            "onto” a joint wraps the ends round that joint, together with whatever lies loose "
            "there."
        )
    if "Begin " in text:
        begun = text.partition("Begin ")[2].split()[0]
        paragraphs.append(
            f"“Begin {begun} alone” means: nothing is tied to its knot yet; keep the knot in sight."
        )
    if "Tie on " in text:
        fresh, _, where = text.partition("Tie on ")[2].split()[:3]
        where = where.rstrip(".,;")
        paragraphs.append(
            f"“Tie on {fresh} at {where}” means: knot the nozzle of {fresh} round the joint "
            f"{where}; that joint is now {fresh}.0 as well. “Tie off” ends a balloon where its "
            "last bubble ends, wherever your hands are."
        )
    if "ubble each: " in text:
        paragraphs.append(
            f"“One bubble each: lock {code} with {other}” means: one bubble of {code}, one of "
            f"{other}, and a lock of the two ends. “Lock {code} onto {there}.4” locks its end onto "
            "that joint."
        )
    if any(word in text for word in ("loop,", "loops,", "loop and", "loops and")):
        paragraphs.append(
            "A loop begins and ends where its balloon lies: pinch a bubble, fold it back and twist "
            f"its two ends together. “One bubble, one loop, lock onto {there}.4” means that the "
            f"bubble ends at {there}.4 and the loop sits there too. “One bubble, one loop, lock "
            "together” needs no other balloon: the bubble's end and the loop make a new joint."
        )
    if "lock in place" in text:
        paragraphs.append(
            "“Lock in place” locks where the balloon already lies: after a loop, say."
        )
    if "; " in text.replace("; each time count", "").replace("; count", ""):
        paragraphs.append("After a semicolon the same balloon goes on, unless another is named.")
    if "times:" in text or "wice:" in text:
        paragraphs.append(
            "“Five times: …” means five times in all. “Lock in turn onto” several joints: the "
            "first is for the first time, the next for the second, and so on."
        )
    if DOTS in text:
        paragraphs.append(
            f"Dots stand for even counting: {code}.2, {code}.4 … {code}.10 is {code}.2, {code}.4, "
            f"{code}.6, {code}.8, {code}.10."
        )
    if "Repeat row" in text:
        paragraphs.append(
            "“Repeat rows 1 and 2 five more times” means five times beyond the first: six in all. "
            "The title gives the rows it covers. A repeat means the twists and the locks; balloons "
            "are tied on and off only where the text says so."
        )
    if "each time count" in text:
        paragraphs.append(
            f"“Each time count two further on {mark}6” means: where the row says {mark}6.2, go "
            f"to {mark}6.4 the first time, {mark}6.6 the next."
        )
    if "in turn for" in text:
        paragraphs.append(
            f"“With {mark}6.9, {mark}6.11 in turn for {mark}6.7” means: where the row says "
            f"{mark}6.7, take {mark}6.9 the first time and {mark}6.11 the second."
        )
    if "Work as in" in text:
        paragraphs.append(
            f"“Work as in rows 1 to 6, with {mark}7 for {mark}1” means those twists and locks once "
            f"more, with {mark}7 doing what {mark}1 did, and {mark}7.4 where the text says "
            f"{mark}1.4."
        )
    if "Join " in text:
        paragraphs.append(JOIN_SAYS)
    paragraphs.append(
        "After every step there is a check: count before you go on. A balloon that is “still "
        "hanging” waits for its turn: leave it, and know it again by the code on its tail."
    )
    return tuple(paragraphs)


def _codes(palette: Sequence[Colour], balloons: Sequence[BalloonLine]) -> str:
    """What the codes mean."""
    used = {line.colour for line in balloons}
    named = [f"{c.mark} is {c.name}" for c in palette if c.mark in used]
    first = "Every balloon has a code: the letter of its colour and a number."
    return f"{first} {listed(named)}." if named else first


def _lengths(balloons: Sequence[BalloonLine], unit: Unit) -> str:
    """How long a bubble is when nothing is said."""
    said = _spread("bubble", {(b.size, b.colour): b.bubble for b in balloons if b.bubble}, unit)
    if any(b.loop and b.loop != b.bubble for b in balloons):
        said += _spread("loop", {(b.size, b.colour): b.loop for b in balloons if b.loop}, unit)
    if not said:
        return ""
    text = listed(said)
    return f"{text[0].upper()}{text[1:]}, unless the text names a length."


def _spread(what: str, lengths: dict[tuple[str, str], int], unit: Unit) -> list[str]:
    """The length of a bubble or a loop, by size and colour where it is not one for all."""
    if len(set(lengths.values())) == 1:
        return [f"a {what} is {exact_length(next(iter(lengths.values())), unit)} long"]
    sizes = {size for size, _ in lengths}
    return [
        f"a {what} of {colour}{f' ({size})' if len(sizes) > 1 else ''} "
        f"is {exact_length(length, unit)} long"
        for (size, colour), length in lengths.items()
    ]


GLOSSARY: tuple[tuple[str, str], ...] = (
    ("bubble", "a piece of balloon between two twists"),
    ("joint", "where bubble ends are held together by a lock"),
    (
        "lock",
        "the twist that holds all ends of a joint together: turn them about each other until "
        "they stay",
    ),
    ("loose", "a twist that can still unwind: keep hold of it"),
    ("fast", "a twist that stays by itself"),
    ("pair", "two balloons tied nozzle to nozzle"),
    (
        "tie on",
        "knot the nozzle of a fresh balloon round a joint; a loose twist there is held by the knot",
    ),
    (
        "tie off",
        "let the rest of the air out through a cut, knot the end and hide it between bubbles",
    ),
    ("tail", "the flat end you leave when inflating; each twist pushes air into it"),
    ("row", "a part of the work; steps name the rows they hold, repeats go back to them"),
    ("panel", "the fabric on one side of the piece"),
)
LOOP = ("loop", "a bubble with both ends in one joint")
FREE = ("free bubble", "a bubble with one end hanging; that end needs no lock")


CREW = [
    ("part", "what one person makes apart from the others"),
    ("join", "lay the joints of two parts on each other and lock them"),
]


def glossary(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Each word once; loops and free bubbles only where the piece has some."""
    words = list(GLOSSARY)
    if "free" in plan.net.kinds:
        words.append(FREE)
    if any(a == b for a, b in plan.net.ends.tolist()):
        words.append(LOOP)
    if plan.sections:
        words += CREW
    return tuple(sorted(words))
