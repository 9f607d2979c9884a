"""How to read the instructions, and the words they use: short texts for a balloon artist."""

from __future__ import annotations

from collections.abc import Sequence

from airweft.base.units import Unit, exact_length
from airweft.records.design import Colour
from airweft.records.plan import Plan
from airweft.records.steps import BalloonLine, Step
from airweft.words.phrases import listed


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
    if balloons:
        code = balloons[0].code
        other = balloons[1].code if len(balloons) > 1 else "another"
        paragraphs.append(
            f"{code}.5 is the joint where {code} lies after its fifth bubble; {code}.0 is its "
            "knot. Count bubbles along the balloon from its knot; loops count too."
        )
        paragraphs.append(
            f"“{code} two bubbles and {other} one bubble, lock together” means: twist off two "
            f"bubbles of {code} and one of {other}, and lock their ends together in a new joint. "
            f"The first bubble of {code} ends at a joint of its own, in the air for now. “Lock "
            "onto” a joint wraps the ends round that joint, together with whatever lies loose "
            "there."
        )
    if "Begin " in text:
        paragraphs.append(
            "“Begin R1 alone” means: knot the nozzle and start; nothing is tied to it yet."
        )
    if "ubble each: " in text:
        paragraphs.append(
            "“One bubble each: lock R2 with R3” means: one bubble of R2, one of R3, and a lock of "
            "the two ends. “Lock R2 onto R5.4” locks its end onto that joint."
        )
    if any(word in text for word in ("loop,", "loops,", "loop and", "loops and")):
        paragraphs.append(
            "A loop begins and ends where its balloon lies: “one bubble, one loop, lock onto R5.4” "
            "means that the bubble ends at R5.4 and the loop sits there too."
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
            "first is for the first time, the next for the second, and so on; dots stand for even "
            "counting (R1.2, R1.4 … R1.10 is R1.2, R1.4, R1.6, R1.8, R1.10)."
        )
    if "Repeat row" in text:
        paragraphs.append(
            "“Repeat rows 1 and 2 five more times” means five times beyond the first: six in all. "
            "The title gives the rows it covers. A repeat means the twists and the locks; balloons "
            "are tied on and off only where the text says so."
        )
    if "each time count" in text:
        paragraphs.append(
            "“Each time count two further on R6” means: where the row says R6.2, go to R6.4 the "
            "first time, R6.6 the next."
        )
    if "in turn for" in text:
        paragraphs.append(
            "“With R6.9, R6.11 in turn for R6.7” means: where the row says R6.7, take R6.9 the "
            "first time and R6.11 the second."
        )
    if "Work as in" in text:
        paragraphs.append(
            "“Work as in rows 1 to 6, with R7 for R1” means those twists and locks once more, with "
            "R7 doing what R1 did, and R7.4 where the text says R1.4."
        )
    paragraphs.append(
        "After every step there is a check: count before you go on. A tail that is “still hanging” "
        "waits for its turn; leave it."
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
    ("row", "one part of the repeating pattern across the fabric"),
    ("panel", "the fabric on one side of the piece"),
)
LOOP = ("loop", "a bubble with both ends in one joint")
FREE = ("free bubble", "a bubble with one end hanging; that end needs no lock")


def glossary(plan: Plan) -> tuple[tuple[str, str], ...]:
    """Each word once; loops and free bubbles only where the piece has some."""
    words = list(GLOSSARY)
    if "free" in plan.net.kinds:
        words.append(FREE)
    if any(a == b for a, b in plan.net.ends.tolist()):
        words.append(LOOP)
    return tuple(sorted(words))
