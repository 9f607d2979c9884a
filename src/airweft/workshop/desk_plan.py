"""What a desk keeps beside its text: plans, the shape reckoned, the last net there was."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.records.planfile import read_plan
from airweft.workshop.changes import changes, file_changes, same_but_colours
from airweft.workshop.reading import Read
from airweft.workshop.settled import Settled, stand_of
from airweft.workshop.store.database import Database
from airweft.workshop.store.drawer import Drawer
from airweft.workshop.store.history import State, Step

_KEPT = 4
_MOST_BACK = 20


class Plans:
    """Plans by their hash, read once."""

    def __init__(self, base: Database) -> None:
        self._base = base
        self._plans: dict[str, Plan] = {}
        self._why: tuple[object, tuple[str, ...]] = (None, ())

    def plan(self, name: str) -> Plan:
        """The plan of a hash. Raises BadInput where the database is damaged."""
        found = self._plans.get(name)
        return self.put(name, read_plan(self._base.kept(name)) if found is None else found)

    def put(self, name: str, plan: Plan) -> Plan:
        """Remember a plan, and forget the one used longest ago."""
        others = [(key, one) for key, one in self._plans.items() if key != name]
        self._plans = dict([*others[-_KEPT + 1 :], (name, plan)])
        return plan

    def why_stale(self, state: State, read: Read) -> tuple[str, ...]:
        """What changed since the plan was made, in words; nothing while it is fresh."""
        about = (state.plan, state.planned, state.text, id(read.net))
        if self._why[0] != about:
            self._why = (about, self._changes(state, read))
        return self._why[1]

    def _changes(self, state: State, read: Read) -> tuple[str, ...]:
        if state.plan is None or state.planned is None or state.planned == state.text:
            return ()
        found = changes(self._base.kept(state.planned), read.text)
        if found or read.net is None or read.design is None:
            return found
        plan = self.plan(state.plan)
        same = plan.fingerprint == read.design.fingerprint
        return () if same else file_changes(plan.net, read.net)


class ShapeKept:
    """The shape reckoned last, as long as the net has the same joints and bubbles."""

    def __init__(self) -> None:
        self._settled: Settled | None = None
        self._of: Net | None = None

    def keep(self, settled: Settled, net: Net) -> None:
        """Keep what was reckoned for `net`."""
        self._settled, self._of = settled, net

    def for_net(self, net: Net | None, design: Design | None) -> Settled | None:
        """What was reckoned, in the colours of `net`; None if it is not a shape of that net, or if
        the design has it put up in another way."""
        kept, of = self._settled, self._of
        if kept is None or of is None or net is None or not same_but_colours(of, net):
            return None
        if design is not None and kept.shape is not None and kept.shape.stand != stand_of(design):
            return None
        if net is of:
            return kept
        return replace(kept, net=replace(kept.net, colours=net.colours))


def last_good_net(drawer: Drawer, step: Step, read: Callable[[str], Read]) -> Net | None:
    """The net of the last step before `step` that had any, if that is not too far back."""
    for _ in range(_MOST_BACK):
        if step.before is None:
            return None
        step = drawer.history.step(step.before)
        if step.state.print:
            found = read(drawer.base.kept(step.state.text))
            if found.net is not None:
                return found.net
    return None
