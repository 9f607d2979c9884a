"""Finishing, variations, notes, the balloon list and the colophon, as data for the pages."""

from __future__ import annotations

from typing import Any

from airweft.base.units import show_length
from airweft.booklet.book import Book
from airweft.booklet.facts import count
from airweft.booklet.measure import size_text
from airweft.booklet.walk import safe_hex
from airweft.draw.body import diameter_mm
from airweft.records.design import Box, Sheet, Tube
from airweft.records.plan import Plan
from airweft.words.stance import placing

Data = dict[str, Any]


def finishing(book: Book) -> Data:
    """Closing, checking, putting up and clearing up, as lines to tick."""
    claims = book.plan.claims
    balloons = len(book.plan.balloons)
    spare = sum(line.spare for line in book.shopping)
    ends: dict[int, int] = {}
    for joint in book.net.ends_at():
        ends[len(joint)] = ends.get(len(joint), 0) + 1
    by_ends = ", ".join(
        f"{count(number, 'joint')} with {count(size, 'bubble end')}"
        + (" (a twist that only one balloon passes)" if size == 2 else "")
        for size, number in sorted(ends.items(), reverse=True)
        if size > 1
    )
    flat = isinstance(book.design.form, Sheet)
    stand = placing(book.shape, book.standing, flat=flat)
    return {
        "title": "Finishing",
        "parts": [
            {
                "title": "Close",
                "ticks": [
                    "Every balloon is finished: its rest is cut, tied off at a joint and hidden "
                    "between the bubbles. No flat tail shows.",
                    "Press the joints into line with your thumbs, row by row, until the cells are "
                    "even.",
                ],
            },
            {
                "title": "Check",
                "ticks": [
                    f"{count(claims.bubbles, 'bubble')} in {count(claims.joints, 'joint')} from "
                    f"{count(balloons, 'balloon')}.",
                    f"Every joint is locked: {by_ends}." if by_ends else "Every joint is locked.",
                    f"It measures about {size_text(claims.size_mm, book.design.units)} "
                    "(wide, deep, high).",
                    "Turn each joint lightly between two fingers: nothing may unwind.",
                ],
            },
            {
                "title": "Stand or hang",
                "ticks": [
                    stand,
                    "Keep it from sun, heat, grass, rough walls and anything sharp. Tell whoever "
                    "takes it home about latex, small children and animals.",
                ],
            },
            {
                "title": "Clear up",
                "ticks": [
                    f"Count: {count(balloons, 'balloon')} went into the piece"
                    + (f", {count(spare, 'spare')} lay ready" if spare else "")
                    + ". Each burst one, each cut end and each unused one is found and put away.",
                    "All scraps are in the bag and the bag is in the bin. Nothing flies off.",
                ],
            },
        ],
    }


def variations(book: Book) -> Data:
    """Other colours, sizes and shapes, with what each asks for."""
    items = [
        {
            "title": "Other colours.",
            "text": "The plan holds for any colours: give each mark another balloon of the same "
            "size and keep the marks. "
            + (
                f"Swapping {book.palette[0].mark} and {book.palette[1].mark} turns the pattern "
                "round."
                if len(book.palette) > 1
                else "In one colour the weave itself is the pattern."
            ),
        },
        *_other_bubbles(book),
    ]
    match book.design.form:
        case Box():
            items.append(
                {
                    "title": "Another shape.",
                    "text": "A box closes with any even numbers across, deep and high. An open "
                    "side makes a basket or a chest; the plan is made anew.",
                }
            )
        case Tube() | Sheet():
            items.append(
                {
                    "title": "Longer or shorter.",
                    "text": "Rows can be added or left out at the end; the number across stays "
                    "even. The plan is made anew, so that every balloon is used well.",
                }
            )
    return {"title": "Variations", "list": items}


def _other_bubbles(book: Book) -> list[Data]:
    """The same plan with shorter and longer bubbles: size, and whether the balloons still do.

    The outside is taken to be the joints, which scale with the bubbles, and one bubble's thickness
    around them, which does not.
    """
    found = []
    design = book.design
    lengths = book.net.lengths.tolist()
    if not lengths:
        return []
    step = 635 if design.units == "in" else 500  # 1/4 in or 5 mm
    smaller = design.bubble * 17 // 20 // step * step
    larger = -(-design.bubble * 23 // 20 // step) * step
    thick = max(map(diameter_mm, book.net.sizes))
    for title, bubble in (("Smaller.", smaller), ("Larger.", larger)):
        if bubble <= 0:
            continue
        scale = (bubble, design.bubble)
        x, y, z = (
            max(side - thick, 0.0) * bubble / design.bubble + min(thick, side)
            for side in book.plan.claims.size_mm
        )
        fits = _still_fits(book.plan, scale, design.tail_step)
        text = (
            f"The same steps with bubbles of {show_length(bubble, design.units)}"
            if min(lengths) == max(lengths) == design.bubble
            else f"The same steps with every bubble {bubble * 100 / design.bubble:.0f} % as long"
        )
        text += f" give about {size_text((x, y, z), design.units)}, scaled from the size above and "
        text += "not reckoned anew. "
        text += (
            "The balloons are long enough for the same steps; only the tails change, so make the "
            "plan anew for them."
            if fits
            else "Some balloons are then too short for their bubbles: make the plan anew, it will "
            "take more of them."
        )
        found.append({"title": title, "text": text})
    return found


def _still_fits(plan: Plan, scale: tuple[int, int], step: int) -> bool:
    """True if every balloon could make its bubbles at `scale` times their length (M4)."""
    for balloon in plan.balloons:
        budget = plan.budgets[balloon.size]
        length = sum(int(plan.net.lengths[b]) for b in balloon.bubbles)
        longer = -(-length * scale[0] // scale[1])
        if budget.tail_for(len(balloon.bubbles), longer, step=step, fixed=None) is None:
            return False
    return True


def notes(book: Book) -> Data:
    """The maker's own notes, and room for more."""
    own = [part.strip() for part in book.design.notes.split("\n") if part.strip()]
    return {"title": "Notes", "own": own, "long": sum(map(len, own)) > 1500}


def balloon_list(book: Book) -> Data:
    """Every balloon with its code, colour, bubbles, tail, and where and when it is taken up."""
    starts = _starts(book)
    lengths = {line.code: line.bubble for line in book.instructions.balloons}
    mixed = len({length for length in lengths.values() if length}) > 1
    units = book.design.units
    rows = []
    for balloon in book.plan.balloons:
        where, step = starts.get(balloon.code, ("", ""))
        length = lengths.get(balloon.code, 0)
        of = f" of {show_length(length, units)}" if mixed and length else ""
        rows.append(
            {
                "mark": balloon.colour,
                "hex": safe_hex(book.colour(balloon.colour).hex),
                "code": balloon.code,
                "size": balloon.size,
                "bubbles": f"{len(balloon.bubbles):,}{of}",
                "tail": show_length(balloon.tail, units),
                "start": where,
                "step": step,
            }
        )
    code = book.plan.balloons[0].code if book.plan.balloons else ""
    return {
        "title": "All balloons",
        "lead": "In the order of the plan."
        + (f" {code}.4 is the joint where {code} lies after four bubbles." if code else ""),
        "heads": ["Mark", "Code", "Size", "Bubbles", "Tail", "Starts at", "Step"],
        "list": rows,
    }


def _starts(book: Book) -> dict[str, tuple[str, str]]:
    """For each balloon the joint where it starts, named as the text names it, and its step."""
    named: dict[int, str] = {}
    said = {
        (step.number, joint): name for step in book.instructions.steps for name, joint in step.named
    }
    made: dict[str, int] = {}
    found: dict[str, tuple[str, str]] = {}
    step_of = {
        at: f"{step.number}"
        for step in book.instructions.steps
        for at in range(step.first_action, step.last_action)
    }
    for at, action in enumerate(book.plan.actions):
        if action.do in ("tie", "start"):
            number = int(step_of.get(at) or 0)
            on = said.get((number, action.joint)) or named.get(action.joint, "")
            for code in action.balloons:
                others = [other for other in action.balloons if other != code]
                words = [f"with {other}" for other in others] + ([on] if on else [])
                found[code] = (", ".join(words) or "a new joint", step_of.get(at, ""))
            named.setdefault(action.joint, f"{action.balloons[0]}.0")
        elif action.do == "twist":
            code = action.balloons[0]
            made[code] = made.get(code, 0) + 1
            named.setdefault(action.joint, f"{code}.{made[code]}")
    return found


def colophon(book: Book) -> Data:
    """What this booklet was made from, so that it can be made again."""
    plan = book.plan
    items = [
        {
            "title": "Made by",
            "text": f"{plan.program} {plan.version}, style {plan.style}, seed {plan.seed}. The "
            "same design, seed and version give the same booklet, to the byte.",
        },
        {
            "title": "Design",
            "text": f"{short_fingerprint(book)}, in full {plan.fingerprint or 'not recorded'} "
            "(SHA-256 of the design).",
        },
        {"title": "Fewest balloons", "text": _bound_text(plan)},
    ]
    for size, budget in sorted(plan.budgets.items()):
        figures = ", ".join(
            f"{label} {show_length(value, book.design.units)}"
            for label, value in (
                ("empty", budget.flat),
                ("full", budget.full),
                ("knot", budget.knot),
                ("end to tie off", budget.stub),
                ("taken by each twist", budget.twist_takes),
                ("pushed on by each twist", budget.twist_pushes),
            )
        )
        items.append({"title": f"Length budget of a {size} balloon", "text": figures + "."})
    assumed = book.design.assumed
    items.append(
        {
            "title": "Assumptions",
            "text": (
                f"Not measured by the maker but shipped with the program: {', '.join(assumed)}. "
                if assumed
                else "The length budget is the maker's own. "
            )
            + "Minutes, pump strokes and the predicted size are estimates. Make one balloon, "
            "measure it, and correct the design where yours differ.",
        }
    )
    items.append(
        {
            "title": "Type",
            "text": "Set in Fira Sans, SIL Open Font License 1.1. Print at 100 %, never “fit to "
            "page”.",
        }
    )
    return {"title": "Colophon", "list": items}


def short_fingerprint(book: Book) -> str:
    """The first twelve figures of the fingerprint, in threes of four."""
    digits = book.plan.fingerprint[:12]
    return " ".join(digits[n : n + 4] for n in range(0, len(digits), 4)) or "no fingerprint"


def _bound_text(plan: Plan) -> str:
    bound = plan.bound
    needed = len(plan.balloons)
    reason = bound.reason.strip().rstrip(".")
    because = f": {reason}." if reason else "."
    if bound.proven and needed == bound.balloons:
        return f"No plan can do with fewer than {count(needed, 'balloon')}{because}"
    return (
        f"This plan takes {count(needed, 'balloon')}. No plan can do with fewer than "
        f"{bound.balloons:,}{because} Whether a plan between the two exists is not known."
        if needed > bound.balloons
        else f"This plan takes {count(needed, 'balloon')}; the bound is {bound.balloons:,}{because}"
    )
