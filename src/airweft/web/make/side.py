"""What stands beside the picture at rest: copies, offers, sections, pace, cautions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any

from airweft.web.kit import Words, box, button, icon, menu
from airweft.words.cautions import CAUTIONS

if TYPE_CHECKING:
    from airweft.records.steps import Chapter
    from airweft.workshop.making import Copy, Factor, Offer

_FEWEST = 8
_KEYS = (
    "Space, Enter, the arrows to the right or down and Page Down go on; the arrows to the left or "
    "up and Page Up go back: foot pedals send one of these. Swipe the words on a tablet. Shift "
    "with an arrow turns the piece."
)


@dataclass(frozen=True, slots=True)
class Deeds:
    """What can be done from here; each gets the copy, or the section or offer meant."""

    make: Callable[[], Any]
    choose: Callable[[Copy], Any]
    add: Callable[[], Any]
    rename: Callable[[Copy], Any]
    remove: Callable[[Copy], Any]
    take: Callable[[Offer], Any]
    section: Callable[[Chapter], Any]
    own_place: Callable[[Chapter], Any]


@dataclass(frozen=True, slots=True)
class State:
    """What is shown: the copy on the bench, at step `step`, and all there is to choose."""

    facts: str
    copy: Copy | None
    step: int
    steps: int
    left: tuple[float, float]
    copies: tuple[Copy, ...]
    offers: tuple[Offer, ...]
    chapters: tuple[Chapter, ...]
    factor: Factor | None


def show_side(state: State, deeds: Deeds) -> None:
    """All of it, top to bottom in the order of need."""
    with box("mk-go"):
        button(_go(state), deeds.make, kind="main", symbol="make")
        Words(state.facts, "p", "mk-facts")
        if state.copy is not None and state.copy.step and not state.copy.done:
            Words(_left(state), "p", "mk-facts")
    for offer in state.offers:
        _offer(offer, deeds)
    _copies(state, deeds)
    if state.chapters:
        _sections(state, deeds)
    _cautions()
    _pace(state.factor)
    with box("mk-box", "section", aria_labelledby="mk-keys"):
        Words("Without a mouse", "h2").props["id"] = "mk-keys"
        Words(_KEYS, "p")


def done_words(copy: Copy) -> str:
    """How far a copy is."""
    if copy.done:
        return "finished"
    return f"{100 * copy.step // max(1, copy.steps)} % done" if copy.step else "not begun"


def _go(state: State) -> str:
    copy = state.copy
    if copy is None or not copy.step:
        return "Start making"
    if copy.done:
        return "Show the finished piece"
    return f"Go on at step {state.step} of {state.steps}"


def _left(state: State) -> str:
    low, high = (max(1, round(seconds / 60)) for seconds in state.left)
    about = f"{low} to {high} minutes" if low < high else f"{low} min"
    pace = "your own pace" if state.factor is not None else "practised hands"
    return f"About {about} left, reckoned for {pace}."


def _offer(offer: Offer, deeds: Deeds) -> None:
    with box("mk-box mk-offer", "section", aria_label=f"New plan for {offer.copy.name}"):
        Words("There is a new plan", "h2")
        Words(offer.words, "p")
        if offer.undo:
            with box("", "details"):
                Words("Bubbles to undo, the last first", "summary")
                Words(", ".join(offer.undo), "p", "quiet")
        with box("sheet-actions"):
            anew = offer.reached and not offer.step
            text = "Start anew by the new plan" if anew else "Go on by the new plan"
            button(text, partial(deeds.take, offer), kind="plain" if anew else "main")
        Words("Until you take it, this copy goes on by the plan it was begun with.", "p", "quiet")


def _copies(state: State, deeds: Deeds) -> None:
    if not state.copies:
        return
    with box("mk-box", "section", aria_labelledby="mk-copies"):
        Words("Copies", "h2").props["id"] = "mk-copies"
        Words("Each copy keeps its own place, on every device.", "p", "quiet")
        with box("mk-copies", "ul"):
            for copy in state.copies:
                with box("", "li"):
                    with box():
                        Words(copy.name, "b")
                        old = "" if copy.fresh else ", by an earlier plan"
                        Words(f" {done_words(copy)}{old}", classes="quiet")
                    here = state.copy is not None and state.copy.id == copy.id
                    if here:
                        with box("btn btn-quiet", "span"):
                            icon("check")
                            Words("On the bench")
                    else:
                        button("Take up", partial(deeds.choose, copy)).props["aria-label"] = (
                            f"Take up {copy.name}"
                        )
                    with menu(f"More about {copy.name}"):
                        button("Rename", partial(deeds.rename, copy), kind="quiet", symbol="rename")
                        button("Remove", partial(deeds.remove, copy), kind="quiet", symbol="bin")
                    box(
                        "", "progress", max=str(max(1, copy.steps)), value=str(copy.step),
                        aria_label=f"{copy.name}: {done_words(copy)}",
                    )  # fmt: skip
        with box("sheet-actions"):
            button("Another copy", deeds.add, symbol="plus")


def _sections(state: State, deeds: Deeds) -> None:
    with box("mk-box", "section", aria_labelledby="mk-sections"):
        Words("Who makes what", "h2").props["id"] = "mk-sections"
        Words(
            "Several people make this piece. Each takes a section on a tablet of their own, with a "
            "place of its own; the joining comes last.",
            "p",
            "quiet",
        )
        with box("mk-copies", "ul"):
            for chapter in state.chapters:
                with box("", "li"):
                    with box():
                        Words(chapter.title, "b")
                        Words(
                            f" steps {chapter.first_step} to {chapter.last_step}", classes="quiet"
                        )
                    button("Make it here", partial(deeds.own_place, chapter)).props[
                        "aria-label"
                    ] = f"Make {chapter.title} on this device, with a place of its own"
                    button("Go there", partial(deeds.section, chapter), kind="quiet").props[
                        "aria-label"
                    ] = f"Go to {chapter.title} in this copy"


def _pace(factor: Factor | None) -> None:
    with box("mk-box", "section", aria_labelledby="mk-pace"):
        Words("Your pace", "h2").props["id"] = "mk-pace"
        if factor is None:
            Words(
                f"Steps are timed while you make. After {_FEWEST} of them your pace stands here; "
                "pauses, jumps and steps back are left out.",
                "p",
                "quiet",
            )
            return
        Words(
            f"Proposed factor {factor.value:.2f}: {_pace_words(factor.value)}",
            "p",
        )
        left = (
            f" {factor.left_out} more were left out as breaks or paging." if factor.left_out else ""
        )
        Words(
            f"From {factor.observations:,} timed steps of all your pieces. Half lie between "
            f"{factor.low:.2f} and {factor.high:.2f}.{left}",
            "p",
            "quiet",
        )


def _pace_words(value: float) -> str:
    if 0.95 <= value <= 1.05:
        return "as fast as the practised hands of the plan’s minutes."
    if value > 1:
        return f"the plan’s minutes times {value:.2f}."
    return f"the plan’s minutes times {value:.2f}, faster than reckoned."


def _cautions() -> None:
    with box("mk-box mk-cautions", "section", aria_labelledby="mk-before"):
        Words("Read before you start", "h2").props["id"] = "mk-before"
        Words(CAUTIONS[0].text, "strong")
        with box("", "dl"):
            for caution in CAUTIONS[1:]:
                Words(caution.title, "dt")
                Words(caution.text, "dd")
