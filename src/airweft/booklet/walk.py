"""The steps, how to read them, and the pictures beside them, as data for the pages."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from airweft.base.units import show_length
from airweft.booklet.book import Book
from airweft.booklet.facts import codes_text, count
from airweft.booklet.figures import PICTURES_SAY
from airweft.booklet.measured import BLOCK_HEIGHT, BLOCK_WIDTH
from airweft.booklet.pictures import Figure, Pictures, StepFigure
from airweft.records.plan import Balloon
from airweft.records.steps import Chapter, Step

Data = dict[str, Any]

LONG = 700  # characters of text from which a step gets the full width of the page
VERY_LONG = 2200  # and from which it may run on to the next page
_GUTTER = 4.0  # mm between pictures side by side
_LETTER_MM = 2.4  # a letter of a chart's title
_MOST_CHIPS = 8
_FEW_BARE = 3  # so many steps without a picture do not change the grid


def figure_data(figure: Figure) -> Data:
    """A picture as the pages want it."""
    return {
        "svg": figure.svg,
        "alt": figure.alt or "Picture",
        "title": figure.title,
        "text": figure.text,
        "width": round(figure.width, 4),
        "height": round(figure.height, 4),
        "share": figure.share,
    }


def steps(book: Book, figures: Mapping[int, StepFigure], *, large: bool) -> Data:
    """All steps, in groups that stand side by side."""
    name = _code_finder(book)
    made = [_step(book, step, figures.get(step.number), name) for step in book.instructions.steps]
    groups: list[Data] = []
    for chapter, own in _by_chapter(book.instructions.chapters, made):
        rows = _rows(own) if not large else [{"wide": False, "steps": [one]} for one in own]
        if chapter is not None:
            rows[0]["chapter"] = {"title": chapter.title, "lead": chapter.lead}
        groups += rows
    return {
        "title": "The steps",
        "caution_head": "Before the first step:",
        "caution": "choking hazard for children under 8; natural rubber latex; pump, never the "
        "mouth; eye protection on; every scrap into the bag at once. All cautions are on page 2.",
        "take_word": "Take",
        "check_word": "Check:",
        "groups": groups,
    }


def _by_chapter(
    chapters: Sequence[Chapter], steps: Sequence[Data]
) -> list[tuple[Chapter | None, Sequence[Data]]]:
    """The steps of each chapter; all of them where there are no chapters."""
    if not chapters:
        return [(None, steps)]
    return [(c, steps[c.first_step - 1 : c.last_step]) for c in chapters]


def _rows(steps: Sequence[Data]) -> list[Data]:
    """Steps two by two; where many have no picture, those with one stand across the page."""
    bare = sum("figure" not in one for one in steps)
    sorted_out = bare > _FEW_BARE
    rows: list[Data] = []
    for at, one in enumerate(steps):
        partner = rows[-1] if rows and not rows[-1]["wide"] and len(rows[-1]["steps"]) < 2 else None
        alike = partner is not None and (
            not sorted_out or ("figure" in one) == ("figure" in partner["steps"][0])
        )
        following = steps[at + 1] if at + 1 < len(steps) else None
        alone = sorted_out and "figure" in one and (following is None or "figure" not in following)
        if one["wide"] or (alone and not alike):
            rows.append({"wide": True, "steps": [one]})
        elif partner is not None and alike:
            partner["steps"].append(one)
        else:
            rows.append({"wide": False, "steps": [one]})
    return rows


def reading(book: Book, howto: Sequence[Figure]) -> Data:
    """How to read the steps, the movements in pictures, and the words."""
    name = _code_finder(book)
    return {
        "title": "How to read the steps",
        "sentences": [_runs(text, name) for text in (*book.instructions.how_to_read, PICTURES_SAY)],
        "howto_title": "The movements",
        "howto": [figure_data(figure) for figure in howto],
        "glossary_title": "The words",
        "glossary": [[list(pair) for pair in part] for part in halves(book.instructions.glossary)],
    }


def gauges(pictures: Pictures, *, large: bool) -> Data:
    """Gauges at true size, in pages of which every one carries the check squares."""
    squares, *rest = pictures.gauges
    words = 32.0 if large else 20.0  # mm for a gauge's title and lines of text
    room = BLOCK_HEIGHT - squares.height - (52.0 if large else 22.0)  # without the lead
    pages: list[list[list[Data]]] = []
    left = 0.0
    beside = next((f for f in rest[1:] if _fits_beside(squares, f)), None) if not large else None
    for row in _side_by_side([figure for figure in rest if figure is not beside]):
        tall = max(figure.height for figure in row) + (words if row[0].text else 10.0)
        if not pages:
            left = room - (24.0 if large else 15.0)  # the section's title
            pages.append([[figure_data(f) for f in (squares, beside) if f is not None]])
            if beside is not None:
                left -= max(0.0, beside.height + words - 8.0 - squares.height)
        if tall > left and len(pages[-1]) > 1:
            left = room
            pages.append([[figure_data(squares)]])
        pages[-1].append([figure_data(figure) for figure in row])
        left -= tall
    return {
        "title": "Gauges at true size",
        "lead": "Print this page at 100 % (“actual size”, no fitting to the page), and measure "
        "both squares before you trust the gauges: 50 mm the left one, 2 in (50.8 mm) the right "
        "one. If a square is off, set the scale of the printer and print again.",
        "pages": pages,
    }


def _fits_beside(squares: Figure, gauge: Figure) -> bool:
    """Whether a gauge for bubbles has room to the right of the check squares."""
    return squares.width + _GUTTER + gauge.width <= BLOCK_WIDTH


def _side_by_side(figures: Sequence[Figure]) -> list[list[Figure]]:
    """Figures in rows that the text block has room for."""
    rows: list[list[Figure]] = []
    room = 0.0
    for figure in figures:
        wide = max(figure.width, _least_wide(figure))
        if rows and wide + _GUTTER <= room:
            rows[-1].append(figure)
            room -= wide + _GUTTER
        else:
            rows.append([figure])
            room = BLOCK_WIDTH - wide
    return rows


def _least_wide(figure: Figure) -> float:
    """Room for a chart's title in one line, in mm."""
    return min(_LETTER_MM * len(figure.title), 80.0)


def charts(pictures: Pictures) -> Data:
    """The charts of the panels, side by side where they fit."""
    rows = [
        [figure_data(figure) | {"least": _least_wide(figure)} for figure in row]
        for row in _side_by_side(pictures.charts)
    ]
    beside = pictures.charts[0].text if pictures.charts else ""
    panels = all("panel" in figure.title.lower() for figure in pictures.charts)
    what = "Each panel" if panels else "The piece laid flat,"
    return {
        "title": "Charts",
        "lead": f"{what} as it is seen from outside: a bubble for each bubble, with its mark."
        + (f" {beside}" if beside else ""),
        "list": rows,
    }


def safe_hex(text: str) -> str:
    """A colour that the pages can read; grey for anything else."""
    digits = text.removeprefix("#")
    good = len(digits) in (3, 6) and all(c in "0123456789abcdefABCDEF" for c in digits)
    return f"#{digits}" if good else "#999999"


def halves(items: Sequence[tuple[str, str]]) -> tuple[list[tuple[str, str]], ...]:
    """A list of terms and texts cut into two columns of about the same height."""
    sizes = [len(term) + len(text) + 40 for term, text in items]
    cut = min(range(len(items) + 1), key=lambda n: abs(2 * sum(sizes[:n]) - sum(sizes)))
    return list(items[:cut]), list(items[cut:])


def _step(book: Book, step: Step, picture: StepFigure | None, name: re.Pattern[str]) -> Data:
    paragraphs = [part.strip() for part in step.text.split("\n") if part.strip()]
    length = sum(map(len, paragraphs))
    data: Data = {
        "number": f"{step.number}",
        "title": step.title or f"Step {step.number}",
        "text": [_runs(part, name) for part in paragraphs],
        "note": step.note,
        "check": step.check.removeprefix("Check:").strip(),
        "take": _take(book, step),
        "turn": "",
        "seen": "",
        "insets": [],
        "wide": length > LONG,
        "long": length > VERY_LONG,
    }
    if picture is not None:
        data["figure"] = figure_data(picture.figure)
        data["seen"] = picture.seen
        data["turn"] = picture.turn
        data["insets"] = [figure_data(figure) | {"seen": where} for figure, where in picture.insets]
    return data


def _take(book: Book, step: Step) -> list[Data]:
    """The fresh balloons of a step; those with as many bubbles and the same tail stand together."""
    fresh = {
        code
        for action in book.plan.actions[step.first_action : step.last_action]
        if action.do in ("tie", "start")
        for code in action.balloons
    }
    units = book.design.units
    alike: dict[tuple[int, int], list[Balloon]] = {}
    for balloon in book.plan.balloons:
        if balloon.code in fresh:
            alike.setdefault((len(balloon.bubbles), balloon.tail), []).append(balloon)
    found = []
    for (bubbles, tail), balloons in alike.items():
        each = " each" if len(balloons) > 1 else ""
        found.append(
            {
                "balloons": _chips(book, balloons),
                "words": f"{count(bubbles, 'bubble')}, tail {show_length(tail, units)}{each}",
            }
        )
    return found


def _chips(book: Book, balloons: Sequence[Balloon]) -> list[Data]:
    """Each balloon with its mark; of many, one mark for each colour."""
    if len(balloons) <= _MOST_CHIPS:
        return [_chip(book, balloon.colour, balloon.code) for balloon in balloons]
    colours: dict[str, list[str]] = {}
    for balloon in balloons:
        colours.setdefault(balloon.colour, []).append(balloon.code)
    return [_chip(book, mark, codes_text(tuple(codes))) for mark, codes in colours.items()]


def _chip(book: Book, mark: str, code: str) -> Data:
    return {"mark": mark, "hex": safe_hex(book.colour(mark).hex), "code": code}


def _code_finder(book: Book) -> re.Pattern[str]:
    """Finds balloon codes that stand alone in a text, the longest first."""
    codes = sorted({b.code for b in book.plan.balloons if b.code}, key=lambda c: (-len(c), c))
    if not codes:
        return re.compile(r"(?!)")
    return re.compile(r"(?<!\w)((?:" + "|".join(map(re.escape, codes)) + r")(?:\.\d+)?)(?!\w)")


def _runs(text: str, name: re.Pattern[str]) -> list[Data]:
    """A text cut into plain runs and balloon codes; joined again it is the same text."""
    return [
        {"b" if place % 2 else "t": part} for place, part in enumerate(name.split(text)) if part
    ]
