"""The plan put into words: rows, folded repeats, sentences, and a number to check after each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from airweft.base.units import Unit
from airweft.records.design import Colour
from airweft.records.plan import Plan
from airweft.records.steps import BalloonLine, Counts, Instructions, Step
from airweft.words import phrases
from airweft.words.checks import Checker, own_counts
from airweft.words.fold import fold_rows
from airweft.words.fold_table import Fold
from airweft.words.fold_text import fold_text
from airweft.words.gather import GatheredRow, gather, usual_lengths
from airweft.words.grammar import read_text
from airweft.words.guide import glossary, how_to_read
from airweft.words.movements import Movement, Row, split_row
from airweft.words.sections import chapters, meeting_places, section_at, short_name
from airweft.words.sentences import row_text

# A title names at most this many panels.
MOST_PLACES = 4


def instruct(
    plan: Plan,
    palette: Sequence[Colour],
    *,
    unit: Unit = "cm",
    counts: Counts | None = None,
) -> Instructions:
    """The plan's instructions in English.

    `unit` is what unusual bubble lengths are told in. `counts` are what an independent replay
    counted after each action; without them the words' own count is printed. Raises BadInput if the
    actions do not hang together (every plan that passes the checker does).
    """
    gathered = gather(plan)
    counts = counts or own_counts(plan)
    told, rows = _folded(plan, gathered, unit)
    checker, by_row = Checker(plan, counts), Checker(plan, counts)
    row_checks = [by_row.step(g.first, g.last, 1) for g in gathered]
    texts = [row_text(row, unit) for row in rows]
    trails = _trails(plan)
    steps: list[Step] = []
    for index, what in enumerate(told):
        fold = what if isinstance(what, Fold) else None
        first, last = (fold.first, fold.last) if fold else (what, what)
        assert isinstance(first, int) and isinstance(last, int)
        first_action, last_action = gathered[first].first, gathered[last].last
        actions = plan.actions[first_action:last_action]
        bubbles = tuple(action.bubble for action in actions if action.do == "twist")
        steps.append(
            Step(
                number=index + 1,
                first_row=first + 1,
                last_row=last + 1,
                title=_title(plan, first + 1, last + 1, bubbles, first_action, last_action),
                text=_fold_step(fold, rows, unit) if fold else texts[first],
                check=checker.step(first_action, last_action, fold.times if fold else 1),
                first_action=first_action,
                last_action=last_action,
                new_bubbles=bubbles,
                row_texts=tuple(texts[first : last + 1]),
                row_checks=tuple(row_checks[first : last + 1]),
                named=_named(texts[first : last + 1], trails),
            )
        )
    balloons = balloon_lines(plan)
    return Instructions(
        steps=tuple(steps),
        how_to_read=how_to_read(plan, palette, balloons, tuple(steps), unit),
        glossary=glossary(plan),
        balloons=balloons,
        chapters=chapters(plan, steps),
    )


def _folded(
    plan: Plan, gathered: Sequence[GatheredRow], unit: Unit
) -> tuple[list[Fold | int], list[Row]]:
    """Rows folded, those of each person on their own: nobody is sent to another one's rows."""
    told: list[Fold | int] = []
    rows: list[Row] = []
    while len(rows) < len(gathered):
        first = len(rows)
        section = section_at(plan, gathered[first].first)
        end = section.last_action if section else len(plan.actions)
        own = [g.row for g in gathered[first:] if g.first < end]
        if section is not None and section.person == 0:
            told += range(first, first + len(own))
            rows += own
            continue

        def write_fold(fold: Fold, by: int = first) -> str:
            return fold_text(_moved(fold, by))

        folds, done = fold_rows(own, lambda row: row_text(row, unit), write_fold)
        told += [_moved(f, first) if isinstance(f, Fold) else f + first for f in folds]
        rows += done
    return told, rows


def _moved(fold: Fold, by: int) -> Fold:
    """The fold, counted among all rows."""
    return replace(
        fold,
        first=fold.first + by,
        last=fold.last + by,
        source=fold.source + by,
        source_last=fold.source_last + by,
    )


def _title(
    plan: Plan, first: int, last: int, bubbles: Sequence[int], first_action: int, last_action: int
) -> str:
    section = section_at(plan, first_action)
    places = _places(plan, bubbles)
    if section is not None and section.person == 0 and not bubbles:
        places = meeting_places(plan, first_action, last_action)
    return phrases.row_title(first, last, places, short_name(section))


def balloon_lines(plan: Plan) -> tuple[BalloonLine, ...]:
    """The balloon list that goes with the text, in the plan's order."""
    usual = usual_lengths(plan)
    return tuple(
        BalloonLine(
            code=balloon.code,
            colour=balloon.colour,
            size=balloon.size,
            tail=balloon.tail,
            bubble=usual.get((balloon.size, balloon.colour, False), 0),
            loop=usual.get((balloon.size, balloon.colour, True), 0),
        )
        for balloon in plan.balloons
    )


def _fold_step(fold: Fold, rows: Sequence[Row], unit: Unit) -> str:
    """What is tied on first, the fold, and what is tied off at the end."""
    lead = split_row(rows[fold.first])[0]
    close = split_row(rows[fold.last])[2]
    parts = (row_text(lead, unit), fold_text(fold), row_text(close, unit))
    return " ".join(part for part in parts if part)


def _trails(plan: Plan) -> dict[str, list[int]]:
    """For each balloon the joints where it lies after so many bubbles."""
    trails: dict[str, list[int]] = {}
    for action in plan.actions:
        for code in action.balloons if action.do in ("tie", "start", "twist") else ():
            trails.setdefault(code, []).append(action.joint)
    return trails


def _named(texts: Sequence[str], trails: dict[str, list[int]]) -> tuple[tuple[str, int], ...]:
    """The joints that the texts name, those within even counting included, in order."""
    named: dict[str, int] = {}
    for text in texts:
        for said in read_text(text, trails, 0):
            for ref in said.at if isinstance(said, Movement) else ():
                named[str(ref)] = trails[ref.balloon][ref.count]
    return tuple(named.items())


def _places(plan: Plan, bubbles: Sequence[int]) -> list[str]:
    """The panels that the bubbles lie on, in building order; none if all are one, or many."""
    if len(plan.net.panels) < 2:
        return []
    on = {plan.net.bubble_panels[bubble] for bubble in bubbles} - {""}
    if not on or len(on) > MOST_PLACES:
        return []
    known = [panel for panel in plan.net.panels if panel in on]
    return known if len(known) == len(on) else sorted(on)
