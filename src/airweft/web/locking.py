"""The joints at which a part of a joined form is locked: pairs, from lists or from the picture."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

from airweft.web.controls import Choice, Line, word_list
from airweft.web.hand import Hand
from airweft.web.kit import Words, box, button
from airweft.workshop.sewing import (
    SIDES,
    joints_there,
    onto,
    own_joints,
    owner_of,
    pairs_of,
    part_and_joint,
    why_no_pair,
    with_pair,
    without_pair,
)


class Locking:
    """The pairs of one part; to be made in a box. `aim` is told which of them, if any, is to take
    what is pressed in the picture; `before` are the parts that it can be locked onto."""

    def __init__(
        self,
        hand: Hand,
        at: int,
        name: str,
        before: Sequence[str],
        aim: Callable[[Pair | None], None],
    ) -> None:
        self.hand, self.at, self.name, self.before, self.aim = hand, at, name, tuple(before), aim
        self._pairs: list[Pair] = []
        self._first = ""
        with box("field", "fieldset"):
            Words("Locked at named joints", "legend")
            Words(
                "For frames, figures and whatever is to be held at just these places. The part "
                "goes to the joints named first; without any, a seam is sought.",
                "p",
                "quiet field-hint",
            )
            self._list = box("pairs", "ol")
            self._wrong = Words("", "p", "wrong")
            self._wrong.props["role"] = "alert"
            self._more = button("Lock a joint", self._add, symbol="plus")

    def show(self, part: Mapping[str, Any]) -> None:
        """Show what the piece says; a pair that is only half chosen stays."""
        pairs = pairs_of(part)
        on = str(part.get("on", ""))
        self._first = next((p for p in self.before if on.endswith(f" of {p}")), self.before[-1])
        there = {one.own: one for one in self._pairs if one.own}
        drafts = [one for one in self._pairs if not one.own]
        new = dict(pairs)
        for own in there.keys() - new.keys():
            there.pop(own).delete()
        with self._list:
            for own, other in pairs:
                if own not in there:
                    there[own] = Pair(self, self._first)
                there[own].show(own, *part_and_joint(other))
        self._pairs = [*there.values(), *drafts]

    def wrong(self, text: str) -> None:
        """Say what is wrong with the pairs; nothing for an empty text."""
        if self._wrong.text != text:
            self._wrong.text = text

    def focus(self) -> None:
        """Go to the first pair."""
        if self._pairs:
            self._pairs[0].focus()

    @property
    def whole(self) -> bool:
        """Whether it has a pair that is more than half chosen."""
        return any(one.own for one in self._pairs)

    def drop(self, pair: Pair) -> None:
        """Forget a pair that was never whole."""
        self._pairs.remove(pair)
        pair.delete()

    def _add(self) -> None:
        with self._list:
            pair = Pair(self, self._first)
        self._pairs.append(pair)
        pair.focus()


class Pair:
    """One joint of the part and the joint that it is locked onto; `own` is "" while it is new."""

    def __init__(self, locking: Locking, part: str) -> None:
        self._locking, self.own = locking, ""
        self._part, self._joint = part, ""
        self._aimed = False
        self._aims = 0
        self._mine_wrong = self._there_wrong = ""
        self._words: object = None
        with box("pair-of-joints", "li") as self._element:
            self._lists = box()
            with box("inputs-grid"):
                self._mine = Line(f"Joint of {locking.name}", "", self._settle_mine)
                offered = [(one, one) for one in reversed(locking.before)]
                self._onto = Choice("Locked onto", part, offered, self._settle_part)
                self._there = Line(
                    "Its joint", "", self._settle_there, hint="Empty: whichever is nearest."
                )
            self._said = Words("", "p", "quiet")
            self._said.props["role"] = "status"
            self._ends = box("part-do", role="group", aria_label="Ends of the bubble")
            with box("part-do"):
                self._pick = button("Press in the picture", self._turn)
                self._pick.props["aria-pressed"] = "false"
                self._out = button("Take out", self._take_out, kind="quiet", symbol="bin")
            for line in (self._mine, self._there):
                line.input.on("focus", self._offer, [])
        self._element.on("keydown.escape", lambda: locking.aim(None), [])
        self._name()
        self._offer()

    def show(self, own: str, part: str, joint: str) -> None:
        """Show what the piece says."""
        if (own, part, joint) == (self.own, self._part, self._joint):
            return
        self.own, self._part, self._joint = own, part, joint
        self._mine.show(own)
        self._onto.show(part)
        self._there.show(joint)
        self._name()

    def focus(self) -> None:
        """Go to its first line."""
        self._mine.focus()

    def delete(self) -> None:
        """Take it off the page."""
        if self._aimed:
            self._locking.aim(None)
        if not self._element.is_deleted:
            self._element.delete()

    def aimed(self, on: bool) -> None:
        """Show whether it takes what is pressed in the picture."""
        self._aimed = on
        self._aims += on
        self._pick.props["aria-pressed"] = "true" if on else "false"
        self._pick.update()
        self._ends.clear()
        if not on:
            self._said.text = ""
            return
        locking = self._locking
        net = locking.hand.desk.net
        there = net is not None and any(
            owner_of(joint, [*locking.before, locking.name])[0] == locking.name
            for joint in net.joint_names
        )
        first = f"a joint of {locking.name}, or " if there else ""
        missing = f" {locking.name} is not in the picture yet: choose its joint here."
        self._said.text = (
            f"Press {first}the joint that it is locked onto, in the picture or in the list of "
            f"joints under it.{'' if there else missing}"
        )

    async def pressed(self, joint: str, ends: Sequence[str]) -> None:
        """Take a joint of the picture; of a bubble one of its `ends` is asked for."""
        self._ends.clear()
        if not joint:
            if ends:
                self._said.text = "Which end of the bubble?"
                with self._ends:
                    for end in dict.fromkeys(ends):
                        button(end, partial(self.pressed, end, ()))
            return
        locking = self._locking
        owner, name = owner_of(joint, [*locking.before, locking.name])
        if owner == locking.name:
            if await self._set(name, self._part, self._joint):
                self._said.text = f"Now the joint that {name} is locked onto."
        elif owner:
            if await self._set(self._mine.said, owner, name):
                locking.aim(None)
                self._said.text = f"{self.own} is locked onto {name} of {owner}."
            elif not self._mine.said:
                self._said.text = f"Now the joint of {locking.name} that goes onto {name}."
        else:
            self._said.text = f"{joint} belongs to a part that is built later."

    # What the hand does

    def _turn(self) -> None:
        self._locking.aim(None if self._aimed else self)

    async def _settle_mine(self, said: str) -> str:
        await self._set(_bare(said, self._locking.name), self._part, self._joint)
        return self._mine_wrong

    async def _settle_part(self, part: str) -> str:
        await self._set(self._mine.said, part, "")
        return ""

    async def _settle_there(self, said: str) -> str:
        await self._set(self._mine.said, self._part, _bare(said, self._part))
        return self._there_wrong

    async def _set(self, own: str, part: str, joint: str) -> bool:
        """Write the pair down, if it is whole; False, and why, where it cannot be."""
        locking = self._locking
        desk, at = locking.hand.desk, locking.at
        self._mine_wrong, self._there_wrong = why_no_pair(
            desk, at, own, part, joint, instead=self.own
        )
        new = not self.own and not own
        if new:
            self._mine_wrong = ""  # nothing is wrong with what is still to come
        self._part, self._joint = part, joint
        self._mine.show(own)
        self._onto.show(part)
        self._there.show(joint)
        self._mine.wrong(self._mine_wrong)
        self._there.wrong(self._there_wrong)
        if new or self._mine_wrong or self._there_wrong:
            return False
        before, self.own = self.own, own
        self._name()
        other = onto(part, joint)
        done = await locking.hand.remake(
            lambda text: with_pair(text, at, own, other, instead=before),
            gesture=f"{locking.name}: {own} locked onto {other}",
            # Both joints of a pair that are pressed in the picture are one step of undo.
            merge=f"pair {id(self)} {self._aims}" if self._aimed else "",
        )
        if not done:
            self.own = before
        return done

    async def _take_out(self) -> None:
        locking, own = self._locking, self.own
        locking.aim(None)
        if not own:
            locking.drop(self)
            return
        await locking.hand.remake(
            lambda text: without_pair(text, locking.at, own),
            gesture=f"{locking.name}: {own} not locked any more",
        )

    def _name(self) -> None:
        said = f"Take the pair of {self.own} out" if self.own else "Take the new pair out"
        self._out.props["aria-label"] = self._out.props["title"] = said
        self._out.update()

    def _offer(self) -> None:
        """Offer the joints that there are now."""
        locking = self._locking
        mine = (*SIDES, *own_joints(locking.hand.desk, locking.at))
        there = joints_there(locking.hand.desk, self._part)
        if (mine, there) == self._words:
            return
        self._words = mine, there
        self._lists.clear()
        with self._lists:
            for line, words in ((self._mine, mine), (self._there, there)):
                line.input.props["list"] = word_list(words)
                line.input.update()


def _bare(said: str, part: str) -> str:
    """A joint's name within its part, also where it is given as in the whole piece."""
    return said.strip().removeprefix(f"{part}:").strip().removeprefix(f"{part} ")
