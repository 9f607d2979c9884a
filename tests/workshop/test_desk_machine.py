"""Any row of gestures, undone to its beginning, gives the identical text; and redone, the end."""

from __future__ import annotations

import shutil
import tempfile
import tomllib
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from airweft.base.errors import BadInput
from airweft.base.progress import Progress
from airweft.workshop.desk import Desk
from airweft.workshop.planning import checked_plan
from airweft.workshop.store.store import Store
from tests.workshop.pieces import SMALL

PATHS: list[tuple[str | int, ...]] = [
    ("form", "columns"),
    ("form", "rows"),
    ("form",),
    ("name",),
    ("notes",),
    ("balloon", "hands"),
    ("colours", "R"),
    ("colours", "a b.c"),
    ("pattern", "repeat"),
    ("pattern", "bubbles", "sheet 1.1"),
    ("plan", "style"),
    ("plan", "weights", "balloons"),
    ("form", "part", 0, "name"),
]
texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
values = st.one_of(
    st.none(),
    st.sampled_from([2, 4, 6, 8]),
    st.floats(allow_nan=False, allow_infinity=False),
    st.booleans(),
    texts,
    st.lists(st.integers(0, 9), max_size=3),
    st.dictionaries(st.sampled_from(["kind", "columns", "x y"]), st.integers(0, 9), max_size=3),
    st.lists(st.dictionaries(texts, texts, max_size=2), max_size=2),
)
State = tuple[str, str]


class Gestures(RuleBasedStateMachine):
    """A desk beside a list of what it was; `here` is the place in the list."""

    store: Store
    desk: Desk

    @initialize()
    def begin(self) -> None:
        self.home = Path(tempfile.mkdtemp())
        self.store = Store(self.home)
        self.key = self.store.new(SMALL).key
        self.desk = self.store.open(self.key)
        self.was: list[State] = [(SMALL, "")]
        self.here = 0
        self.merge = ""
        assert self.desk.design is not None and self.desk.net is not None
        self.made = checked_plan(
            self.desk.design, self.desk.net, style="rounds", seed=0, progress=Progress()
        )[0]

    def note(self, merge: str = "") -> None:
        """Take down what the desk is now, as one more step where it is another."""
        now: State = (self.desk.text, self.desk.texts()[1])
        if now == self.was[self.here]:
            return
        del self.was[self.here + 1 :]
        if merge and merge == self.merge and self.here:
            self.was[self.here] = now
            if now == self.was[self.here - 1]:
                del self.was[self.here :]
                self.here, merge = self.here - 1, ""
        else:
            self.was.append(now)
            self.here += 1
        self.merge = merge

    @rule(path=st.sampled_from(PATHS), value=values, merge=st.sampled_from(["", "", "a", "b"]))
    def set(self, path: tuple[str | int, ...], value: object, merge: str) -> None:
        try:
            self.desk.set(path, value, gesture="Set", merge=merge)
        except BadInput:
            assert self.desk.text == self.was[self.here][0]
            return
        there: object = tomllib.loads(self.desk.text)
        for key in path[:-1]:
            there = there.get(key, {}) if isinstance(there, dict) else there[key]  # type: ignore
        if value is None:
            assert not isinstance(there, dict) or path[-1] not in there
        else:
            assert there[path[-1]] == value  # type: ignore[index]
        self.note(merge)

    @rule(
        bubbles=st.dictionaries(
            st.sampled_from([f"sheet {x}.{y}" for x in (1, 2, 3) for y in (1, 2)]) | texts,
            st.sampled_from(["R", "W", "", "?"]),
            min_size=1,
            max_size=4,
        ),
        merge=st.sampled_from(["", "stroke"]),
    )
    def paint(self, bubbles: dict[str, str], merge: str) -> None:
        try:
            self.desk.paint(bubbles, gesture="Paint", merge=merge)
        except BadInput:
            return
        now = tomllib.loads(self.desk.text).get("pattern", {}).get("bubbles", {})
        assert all(now.get(bubble, "") == mark for bubble, mark in bubbles.items())
        self.note(merge)

    @rule(cut=st.integers(0, 400), put=texts)
    def replace(self, cut: int, put: str) -> None:
        at = min(cut, len(self.desk.text))
        self.desk.replace(self.desk.text[:at] + put + self.desk.text[at:], gesture="Type")
        self.note()

    @rule()
    def keep_plan(self) -> None:
        self.desk.keep_plan(self.made)
        if self.desk.texts()[1] != self.was[self.here][1]:
            self.note()

    @rule()
    def undo(self) -> None:
        assert (self.desk.undo() is not None) == (self.here > 0)
        if self.here:
            self.here, self.merge = self.here - 1, ""

    @rule()
    def redo(self) -> None:
        there_is = self.here + 1 < len(self.was)
        assert (self.desk.redo() is not None) == there_is
        if there_is:
            self.here, self.merge = self.here + 1, ""

    @precondition(lambda self: self.here > 1)
    @rule()
    def by_an_editor(self) -> None:
        self.store.flush()
        self.desk.look()
        self.desk.file.write_text(SMALL + "# by an editor\n", encoding="utf-8")
        self.desk.look()
        if self.was[self.here][0] != SMALL + "# by an editor\n":
            self.merge = ""
            self.note()

    @rule()
    def close_and_open(self) -> None:
        self.store.close()
        self.store = Store(self.home)
        self.desk = self.store.open(self.key)
        self.merge = ""

    @invariant()
    def is_what_it_was(self) -> None:
        if hasattr(self, "desk"):
            text, plan = self.was[self.here]
            assert self.desk.text == text
            assert self.desk.texts()[1] == plan

    def teardown(self) -> None:
        if not hasattr(self, "desk"):
            return
        here = self.here
        while self.desk.undo():
            here -= 1
        assert here == 0 and self.desk.texts()[:2] == (SMALL, "")
        self.desk.look()
        assert self.desk.file.read_text(encoding="utf-8") == SMALL
        while self.desk.redo():
            here += 1
        assert here == len(self.was) - 1 and self.desk.text == self.was[-1][0]
        self.store.close()
        shutil.rmtree(self.home)


Gestures.TestCase.settings = settings(
    max_examples=20,
    phases=(Phase.generate,),
    stateful_step_count=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
TestGestures = Gestures.TestCase
