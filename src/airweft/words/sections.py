"""The chapters of a plan that several people make: one for each person's part, and the joining."""

from __future__ import annotations

from collections.abc import Sequence

from airweft.records.plan import Plan, Section
from airweft.records.steps import Chapter, Step
from airweft.words import phrases

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
JOINING = "Joining"
JOIN_SAYS = (
    "“Join R1.5 to R9.3” means: lay the joint R1.5 of one part on the joint R9.3 of the other and "
    "lock them with one twist, so that it holds all bubble ends of both. From then on it is one "
    "joint, and both names mean it."
)


def section_at(plan: Plan, action: int) -> Section | None:
    """The section that an action belongs to; None in a plan that one person makes."""
    for section in plan.sections:
        if section.first_action <= action < section.last_action:
            return section
    return None


def short_name(section: Section | None) -> str:
    """What the titles of its steps begin with: "Part A", "Joining"; nothing without sections."""
    if section is None:
        return ""
    return JOINING if section.person == 0 else f"Part {section.name}"


def chapters(plan: Plan, steps: Sequence[Step]) -> tuple[Chapter, ...]:
    """A chapter for each section, with its heading and what its maker has to know first."""
    people = max((section.person for section in plan.sections), default=0)
    found: list[Chapter] = []
    for section in plan.sections:
        own = [s for s in steps if section.first_action <= s.first_action < section.last_action]
        if not own:
            continue
        found.append(
            Chapter(
                name=short_name(section),
                title=_title(section),
                lead=_joining_lead(plan, section) if section.person == 0 else _part_lead(people),
                person=section.person,
                first_step=own[0].number,
                last_step=own[-1].number,
                bubbles=tuple(bubble for step in own for bubble in step.new_bubbles),
            )
        )
    return tuple(found)


def person_named(person: int) -> str:
    """ "first person", "second person" …"""
    return f"{_ORDINALS[person - 1]} person" if 0 < person <= len(_ORDINALS) else f"person {person}"


def meeting_places(plan: Plan, first: int, last: int) -> list[str]:
    """Which parts the joins among these actions bring together: "part A to part B"."""
    made_by = _parts_of_bubbles(plan)
    at = plan.net.ends_at()
    cuts = {
        tuple(sorted({made_by[b] for b in at[action.joint] if made_by.get(b)}))
        for action in plan.actions[first:last]
        if action.do == "lock"
    }
    named = [" to ".join(f"part {name}" for name in cut) for cut in sorted(cuts) if len(cut) > 1]
    return named if len(named) < 3 else []


def _parts_of_bubbles(plan: Plan) -> dict[int, str]:
    """For each bubble that one person makes the name of the part."""
    return {
        action.bubble: section.name
        for section in plan.sections
        if section.person > 0
        for action in plan.actions[section.first_action : section.last_action]
        if action.do == "twist"
    }


def _title(section: Section) -> str:
    if section.person == 0:
        return "Joining the parts"
    return f"Part {section.name}: {person_named(section.person)}"


def _part_lead(people: int) -> str:
    others = "the other part" if people == 2 else f"the other {phrases.number(people - 1)}"
    return (
        f"Made on a table of its own while others make {others}: nothing of theirs is needed here. "
        "Leave the border where the parts will meet as the rows leave it; its last locks come with "
        "the joining."
    )


def _joining_lead(plan: Plan, section: Section) -> str:
    actions = plan.actions[section.first_action : section.last_action]
    count = sum(action.do == "lock" for action in actions)
    new = sum(action.do == "twist" for action in actions)
    text = (
        "Begin when all parts are there. Lay them together as the picture of the parts shows, and "
        f"join along each seam: {count} locks in all."
    )
    if new:
        text += f" The last {new} bubbles are made here, with both sides in reach."
    return text
