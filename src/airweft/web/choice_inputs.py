"""Inputs for a fixed choice about the plan: names to type, buttons, and picks in the picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING

from nicegui import ui

from airweft.base.nearest import nearest, said_list
from airweft.records.choices import KeepBefore, KeepPanels, KeepToward, KeepTrail
from airweft.web.controls import Choice, Line, word_list
from airweft.web.kit import Words, box, button
from airweft.web.palette import swatch
from airweft.workshop.by_hand import (
    ByHand,
    KeepStart,
    Trail,
    joints_of,
    marks,
    panels,
    place_of,
    trails,
)

if TYPE_CHECKING:
    from airweft.records.design import Colour
    from airweft.records.net import Net
    from airweft.records.plan import Plan
    from airweft.web.view.canvas import Pick

Lit = tuple[Sequence[str], Sequence[str]]
_MOST_NEAR = 2000
_OWN = "own"


class Maker:
    """One kind of choice in the making; its inputs go into the element that is open.

    `changed` is called whenever it is another choice than before.
    """

    how = ""
    """What to do, said while nothing is chosen yet."""

    def __init__(self, net: Net, changed: Callable[[], None]) -> None:
        self.net, self.changed = net, changed

    def choice(self) -> ByHand | None:
        """What is chosen; None while something is missing."""
        raise NotImplementedError

    def missing(self) -> str:
        """What is still to be chosen."""
        return self.how

    def picked(self, pick: Pick) -> None:
        """Take what was pressed in the picture."""
        raise NotImplementedError

    def lit(self) -> Lit:
        """Bubbles and joints to be ringed in the picture."""
        choice = self.choice()
        return ((), ()) if choice is None else place_of(choice, self.net)


class Named:
    """A line for the name of a joint or a bubble. What is typed need not be written exactly."""

    def __init__(
        self,
        title: str,
        what: str,
        names: Sequence[str],
        listed: str,
        settled: Callable[[], None],
        *,
        hint: str = "",
    ) -> None:
        self._what, self._names, self._settled = what, names, settled
        self._known = {_plain(name): name for name in reversed(names)}
        self.line = Line(title, "", self._settle, hint=hint, listed=listed)

    @property
    def name(self) -> str:
        """The name; "" while there is none or none that the piece has."""
        return self._known.get(_plain(self.line.said), "")

    def take(self, name: str) -> None:
        """Another name."""
        self.line.show(name)
        self._settled()

    async def _settle(self, said: str) -> str:
        found = self._known.get(_plain(said), "")
        if found or not said.strip():
            self.line.show(found)
            self._settled()
            return ""
        self._settled()
        near = nearest(said, self._names) if len(self._names) <= _MOST_NEAR else None
        return f"There is no {self._what} {said[:60]}." + (
            f" The nearest is {near}." if near else ""
        )


def into_sight(element: ui.element) -> None:
    """Scroll so far that it can be seen."""
    ui.run_javascript(f"getHtmlElement({element.id})?.scrollIntoView({{block: 'nearest'}})")


class _Joints(Maker):
    """Choices that are made of joints: what is pressed goes into the line whose turn it is."""

    def __init__(
        self, net: Net, changed: Callable[[], None], titles: Sequence[tuple[str, str]]
    ) -> None:
        super().__init__(net, changed)
        listed = word_list(net.joint_names)
        self._near = box("by-hand-near", role="group", aria_label="Joints of the bubble")
        self._near.set_visibility(False)
        self.joints: list[Named] = []
        for number, (title, hint) in enumerate(titles):
            named = Named(title, "joint", net.joint_names, listed, changed, hint=hint)
            named.line.input.on("focus", partial(self._aim, number), [])
            self.joints.append(named)
        self._turn = 0
        self._aim(0)

    def _aim(self, number: int) -> None:
        self._turn = number
        for at, named in enumerate(self.joints):
            if at == number and len(self.joints) > 1:
                named.line.element.classes("is-aimed")
            else:
                named.line.element.classes(remove="is-aimed")

    def picked(self, pick: Pick) -> None:
        self._near.clear()
        self._near.set_visibility(False)
        if pick.joint is not None:
            self._take(pick.joint)
        elif pick.bubbles:  # no joint was near enough: those at its ends are offered
            bubble = pick.bubbles[0]
            self._near.set_visibility(True)
            with self._near:
                Words(f"The bubble {bubble} ends at", "p")
                for joint in joints_of(bubble, self.net):
                    button(joint, partial(self._take_near, joint))
            into_sight(self._near)

    def _take_near(self, joint: str) -> None:
        self._near.clear()
        self._near.set_visibility(False)
        self._take(joint)

    def _take(self, joint: str) -> None:
        self.joints[self._turn].take(joint)
        empty = [at for at, named in enumerate(self.joints) if not named.name]
        self._aim(empty[0] if empty else self._turn)

    def lit(self) -> Lit:
        return (), [named.name for named in self.joints if named.name]


class StartMaker(_Joints):
    """Where the very first knot is."""

    how = "Press a joint in the picture, or type its name."

    def __init__(self, net: Net, changed: Callable[[], None]) -> None:
        super().__init__(net, changed, [("Joint of the first knot", "")])

    def choice(self) -> ByHand | None:
        name = self.joints[0].name
        return KeepStart(name) if name else None


class TowardMaker(_Joints):
    """Where a balloon starts, and which way its first bubble goes."""

    how = "Press the joint where the balloon starts, then the joint that it goes toward."

    def __init__(self, net: Net, changed: Callable[[], None]) -> None:
        super().__init__(net, changed, [("It starts at", ""), ("It goes toward", "")])

    def choice(self) -> ByHand | None:
        start, goal = (named.name for named in self.joints)
        return KeepToward(start, goal) if start and goal and start != goal else None

    def missing(self) -> str:
        start, goal = (named.name for named in self.joints)
        if start and start == goal:
            return "Both are the same joint. Choose another one to go toward."
        if start or goal:
            return "Press the joint that it goes toward." if start else "Press where it starts."
        return self.how


class TrailMaker(Maker):
    """The trail of a balloon: one of the plan's, or bubble after bubble."""

    def __init__(
        self,
        net: Net,
        changed: Callable[[], None],
        plan: Plan | None,
        palette: Sequence[Colour],
    ) -> None:
        super().__init__(net, changed)
        self._trails: dict[str, Trail] = {trail.code: trail for trail in trails(plan)}
        self._of = {b: trail.code for trail in self._trails.values() for b in trail.bubbles}
        self._own: list[str] = []
        colour = {one.mark: one.name for one in palette}
        self._which = "" if self._trails else _OWN
        if self._trails:
            self._choice = Choice(
                "Balloon of the plan",
                "",
                [
                    ("", "Choose one"),
                    *(
                        (
                            t.code,
                            f"{t.code}: {colour.get(t.mark, t.mark)}, {len(t.bubbles)} bubbles",
                        )
                        for t in self._trails.values()
                    ),
                    (_OWN, "None of them: bubble after bubble"),
                ],
                self._chosen,
            )
        else:
            Words(
                "Once there is a plan, the trail of one of its balloons can be kept.", "p", "quiet"
            )
        self._more = box("by-hand-more")
        with self._more:
            self._next = Named(
                "Next bubble", "bubble", net.bubble_names, word_list(net.bubble_names), self._typed
            )
            button("Take the last one off", self._off, kind="quiet", symbol="undo")
        self._more.set_visibility(self._which == _OWN)

    @property
    def how(self) -> str:  # type: ignore[override]
        if self._which == _OWN:
            return "Press one bubble after the other, in the order in which the balloon makes them."
        return "Press a bubble in the picture, or choose the balloon that makes it."

    def choice(self) -> ByHand | None:
        if self._which == _OWN:
            return KeepTrail(tuple(self._own)) if len(self._own) > 1 else None
        trail = self._trails.get(self._which)
        return KeepTrail(trail.bubbles) if trail is not None else None

    def missing(self) -> str:
        if self._which == _OWN and self._own:
            return f"It begins with {self._own[0]}. Which bubble comes next?"
        return self.how

    def lit(self) -> Lit:
        return (self._own, ()) if self._which == _OWN else super().lit()

    def picked(self, pick: Pick) -> None:
        if not pick.bubbles:
            return
        if self._which == _OWN:
            self._add(pick.bubbles[0])
        elif pick.bubbles[0] in self._of:
            self._which = self._of[pick.bubbles[0]]
            self._choice.show(self._which)
            self.changed()

    async def _chosen(self, which: str) -> str:
        self._which = which
        self._more.set_visibility(which == _OWN)
        self.changed()
        return ""

    def _typed(self) -> None:
        if self._next.name:
            self._add(self._next.name)
            self._next.line.show("")

    def _add(self, bubble: str) -> None:
        if bubble not in self._own:
            self._own.append(bubble)
            self.changed()

    def _off(self) -> None:
        if self._own:
            self._own.pop()
            self.changed()


class _Order(Maker):
    """Choices that are an order: what is pressed comes next, pressed again it is out."""

    def __init__(
        self,
        net: Net,
        changed: Callable[[], None],
        title: str,
        offered: Sequence[tuple[str, str, Colour | None]],
    ) -> None:
        super().__init__(net, changed)
        self.taken: list[str] = []
        self._said = {name: said for name, said, _ in offered}
        self._buttons: dict[str, ui.element] = {}
        self._places: dict[str, Words] = {}
        with box("field", "fieldset"):
            Words(title, "legend")
            with box("by-hand-order"):
                for name, said, colour in offered:
                    made = button("", partial(self.turn, name)).classes("order-one")
                    made.clear()
                    with made:
                        self._places[name] = Words("", classes="order-place")
                        if colour is not None:
                            swatch(colour)
                        Words(said)
                    self._buttons[name] = made
        self._show()

    def turn(self, name: str) -> None:
        """Put it at the end of the order, or take it out."""
        if name in self.taken:
            self.taken.remove(name)
        else:
            self.taken.append(name)
        self._show()
        self.changed()

    def _show(self) -> None:
        for name, made in self._buttons.items():
            place = self.taken.index(name) + 1 if name in self.taken else 0
            self._places[name].text = str(place or "")
            made.props["aria-pressed"] = "true" if place else "false"
            said = self._said[name]
            made.props["aria-label"] = f"{said}, number {place}" if place else said
            made.update()


class PanelsMaker(_Order):
    """The order in which panels are begun."""

    how = "Press the panels in the order in which they are to be begun."

    def __init__(self, net: Net, changed: Callable[[], None]) -> None:
        self._panels = panels(net)
        super().__init__(
            net,
            changed,
            "Begun in this order",
            [(p.name, _said(p.name, p.panels), None) for p in self._panels],
        )

    def choice(self) -> ByHand | None:
        return KeepPanels(tuple(self.taken)) if len(self.taken) > 1 else None

    def missing(self) -> str:
        if len(self._panels) < 2:
            return "This piece has a single panel, so there is no order to choose."
        return f"First {self.taken[0]}. What comes next?" if self.taken else self.how

    def lit(self) -> Lit:
        return place_of(KeepPanels(tuple(self.taken)), self.net) if self.taken else ((), ())

    def picked(self, pick: Pick) -> None:
        if not pick.bubbles or pick.bubbles[0] not in self.net.bubble_names:
            return
        panel = self.net.bubble_panels[self.net.bubble_names.index(pick.bubbles[0])]
        found = [one for one in self._panels if panel in one.panels]
        if found:
            self.turn(min(found, key=lambda one: one.count).name)


class BeforeMaker(_Order):
    """Which colour is made before which."""

    how = "Press the colours in the order in which they are to be made."

    def __init__(self, net: Net, changed: Callable[[], None], palette: Sequence[Colour]) -> None:
        known = {colour.mark: colour for colour in palette}
        self._marks = marks(net)
        self._names = {mark: known[mark].name if mark in known else mark for mark in self._marks}
        super().__init__(
            net,
            changed,
            "Made in this order",
            [(mark, f"{self._names[mark]} ({mark})", known.get(mark)) for mark in self._marks],
        )

    def choice(self) -> ByHand | None:
        return KeepBefore(tuple(self.taken)) if len(self.taken) > 1 else None

    def missing(self) -> str:
        if len(self._marks) < 2:
            return "This piece has a single colour, so there is no order to choose."
        return f"First {self._names[self.taken[0]]}. Which comes next?" if self.taken else self.how

    def picked(self, pick: Pick) -> None:
        if pick.bubbles and pick.bubbles[0] in self.net.bubble_names:
            self.turn(self.net.colours[self.net.bubble_names.index(pick.bubbles[0])])


def sentence(choice: ByHand, palette: Sequence[Colour]) -> str:
    """What a choice means, in a whole sentence.

    >>> sentence(KeepStart("front (3, 2)"), ())
    'The first knot is at front (3, 2).'
    >>> sentence(KeepPanels(("bottom", "front", "back")), ())
    'The panels are begun in this order: bottom, front, back.'
    >>> sentence(KeepBefore(("R", "W")), ())
    'Every bubble in R (R) comes before the first in W (W).'
    """
    match choice:
        case KeepStart(start):
            return f"The first knot is at {start}."
        case KeepToward(start, goal):
            return f"A balloon starts at {start}, and its first bubble brings it nearer to {goal}."
        case KeepTrail(bubbles):
            listed = choice.title.removeprefix("trail ")
            if len(bubbles) == 2:
                return f"One balloon makes {bubbles[0]} and straight after it {bubbles[1]}."
            return f"One balloon makes these straight after one another: {listed}."
        case KeepPanels(names):
            return f"The panels are begun in this order: {', '.join(names)}."
        case KeepBefore(marks):
            name = {colour.mark: colour.name for colour in palette}
            said = [f"{name.get(mark, mark)} ({mark})" for mark in marks]
            pairs = [
                f"every bubble in {a} comes before the first in {b}" for a, b in pairwise(said)
            ]
            text = said_list(pairs)
            return f"{text[0].upper()}{text[1:]}."
    raise AssertionError(choice)


def _said(name: str, covered: Sequence[str]) -> str:
    if len(covered) == 1:
        return name
    return (
        f"{name} ({said_list(covered)})" if len(covered) < 4 else f"{name} ({len(covered)} panels)"
    )


def _plain(name: str) -> str:
    return " ".join(name.lower().split())
