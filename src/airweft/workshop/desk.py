"""One piece on the table: its design as text, everything read from it, edits, undo, and its plan.

Every change is in the database before the call that makes it returns. Several tabs share one desk;
several programs share one database, and what another program changed is taken over when this one
looks or is about to change something itself.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from airweft.base.errors import AirweftError, BadInput
from airweft.base.findings import Finding
from airweft.design.setting import with_bubbles, with_key
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.records.plan import Plan
from airweft.records.planfile import read_plan, write_plan
from airweft.workshop import desk_notes
from airweft.workshop.desk_plan import Plans, ShapeKept, last_good_net
from airweft.workshop.listeners import Listener, Listeners
from airweft.workshop.making import Making
from airweft.workshop.reading import Read, Woven, read_all
from airweft.workshop.settled import Settled
from airweft.workshop.sheets import card_svg
from airweft.workshop.store.drawer import Drawer, Facts, Overtaken, tries
from airweft.workshop.store.files import Seen, seen
from airweft.workshop.store.history import State, Step
from airweft.workshop.store.sync import sync, took

_SETTLED_S = 0.4  # a file written more recently may not be whole yet
_MOST_NOTICES = 20


class Desk:
    """One piece, open. Safe for threads; a desk is made by `Store.open` and by nothing else.

    `design` is None while the text cannot be read; `net` is then the one of the last good text.
    `version` counts up with every change, whoever made it. `notices` are things that happened
    without a gesture of this desk: a file changed by an editor, a change by another program.
    """

    def __init__(
        self,
        drawer: Drawer,
        designs: Path,
        changed: Callable[[Desk], None],
        aside: Callable[[Desk], str],
    ) -> None:
        self.key = drawer.key
        self.folder = designs
        self._drawer = drawer
        self._changed = changed  # told after every change, to write the file
        self._aside = aside  # makes a piece of its own of the desk as it is; gives its name
        self._lock = threading.RLock()
        self._listeners = Listeners()
        self._tell = self._listeners.tell
        self._notices: list[Finding] = []
        self._merge = ""
        self._plans = Plans(drawer.base)
        self._shape = ShapeKept()
        self._net: Net | None = None
        self._woven: Woven | None = None
        self._seen: Seen | None = None
        self._unsaved = True
        self._line = drawer.line()
        self._step = drawer.history.step(self._line.here)
        self._read = self._read_text(drawer.base.kept(self._step.state.text))
        self._take(self._read)
        if self._net is None:
            self._net = last_good_net(drawer, self._step, self._read_text)
        self.making = Making(
            drawer.base, self.key, self._plans.plan, lambda: self._step.state.plan, self._tell
        )

    # What is there

    @property
    def text(self) -> str:
        """The design file as it is now."""
        return self._read.text

    def texts(self) -> tuple[str, str, str]:
        """The design, its plan as a plan file, and the design that the plan was made for; the last
        two are "" where there is no plan."""
        with self._lock:
            state, kept = self._step.state, self._drawer.base.kept
            if state.plan is None or state.planned is None:
                return self.text, "", ""
            return self.text, kept(state.plan), kept(state.planned)

    @property
    def name(self) -> str:
        """The name of the piece: that of the design, or the last one that could be read."""
        return self._line.name

    @property
    def file(self) -> Path:
        """The design's own file."""
        return self.folder / self._line.file

    @property
    def design(self) -> Design | None:
        """The design; None while the text cannot be read."""
        return self._read.design

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Of design, form and colours, with line and place."""
        return self._read.findings

    @property
    def net(self) -> Net | None:
        """The painted net, or that of the last good text."""
        return self._net

    @property
    def is_woven(self) -> bool:
        """Whether `net` is that of the text as it is, and not an earlier one."""
        return self._read.net is not None

    @property
    def version(self) -> int:
        """How often the piece was changed."""
        return self._line.version

    @property
    def notices(self) -> tuple[Finding, ...]:
        """What was changed by others, the latest last, until `heard`."""
        return tuple(self._notices)

    def heard(self) -> None:
        """Forget the notices: the maker has seen them."""
        with self._lock:
            self._notices.clear()

    def listen(self, call: Listener) -> Callable[[], None]:
        """Have `call` told of "design", "plan", "progress", "history" or "notice"; returns a stop.

        It is called in the thread that made the change, after it; one that raises is not called
        again.
        """
        return self._listeners.add(call)

    # Edits

    def set(
        self, path: Sequence[str | int], value: object, *, gesture: str, merge: str = ""
    ) -> None:
        """Set one key of the design, ("form", "across") to 8; None removes it.

        The maker's remarks stay. Edits with the same `merge` in a row are one undo step. Raises
        BadInput where the text is not TOML or the key cannot be written; a value that makes no
        sense raises nothing: it is among the findings.
        """
        at = tuple(path)
        self._change(lambda text: with_key(text, at, value, name=self.name), gesture, merge)

    def paint(self, bubbles: Mapping[str, str], *, gesture: str, merge: str = "") -> None:
        """Give bubbles a colour by hand: name to mark; "" takes a bubble's own colour away."""
        given = dict(bubbles)
        self._change(lambda text: with_bubbles(text, given, name=self.name), gesture, merge)

    def replace(self, text: str, *, gesture: str, merge: str = "") -> None:
        """Another text in place of the whole.

        If another program changed the piece meanwhile, what it made stays as the step before and as
        a piece of its own, and a notice says so.
        """
        self._change(lambda _: desk_notes.clean(text, self.name), gesture, merge, whole=True)

    def rename(self, name: str) -> None:
        """Another name for the piece; its file keeps its own. Raises BadInput for no good name."""
        text = with_key(self.text, ("name",), name, name=self.name)
        now = self._read_text(text)
        if now.design is None and self.design is not None:
            raise BadInput(now.findings)
        self.set(("name",), name, gesture="Rename")

    def _change(
        self, make: Callable[[str], str], gesture: str, merge: str, *, whole: bool = False
    ) -> None:
        told = ["design", "history"]
        with self._lock:
            known = self.text
            for _ in tries():
                text = make(self.text)
                if text == self.text:
                    told.remove("history")
                    break
                had_plan = self.plan_text_changes
                try:
                    self._put(self._read_text(text), gesture, merge)
                    if self.plan_text_changes != had_plan:
                        told.append("plan")
                    self._touched()
                    break
                except Overtaken:
                    self._catch_up()
                    told += ["notice", "plan"]
                    if whole and self.text not in (known, text):
                        self._keep_both()
                        known = self.text
            else:
                raise desk_notes.too_busy(self.name)
        if told != ["design"]:  # else it was like that already
            self._tell(*told)

    def _keep_both(self) -> None:
        """Make a piece of its own of what another program made; it is in the history anyway."""
        with contextlib.suppress(AirweftError):
            self._notice(desk_notes.both_kept(self.name, self._aside(self)))

    def _put(self, read: Read, gesture: str, merge: str) -> None:
        """Keep what was read as a new step, or in the last one where gestures run into one."""
        base, last = self._drawer.base, self._step
        with base.change():
            state = replace(
                last.state,
                text=base.keep(read.text),
                print=read.design.fingerprint if read.design else "",
            )
            facts = self._facts(read, state)
            into = self._joined(merge)
            before = self._drawer.history.step(last.before or 0) if into else None
            if before is not None and before.state == state:
                self._line = self._drawer.take_back(self._line, last, facts)
                self._step = before
                merge = ""
            else:
                self._line, self._step = self._drawer.put(
                    self._line, gesture, state, facts, into=into
                )
        self._merge = merge
        self._take(read)

    def _joined(self, merge: str) -> Step | None:
        """The last step, if a change with this `merge` goes into it."""
        return self._step if self._merge == merge != "" and self._step.before is not None else None

    # Undo and redo

    @property
    def can_undo(self) -> str | None:
        """The gesture that undo takes back; None at the beginning."""
        return None if self._step.before is None else self._step.said

    @property
    def can_redo(self) -> str | None:
        """The gesture that redo brings again; None at the end."""
        step = self._drawer.history.after(self._step, self._line.tip)
        return None if step is None else step.said

    def undo(self) -> str | None:
        """Take the last gesture back; returns its name, None if there is none.

        Where another program changed the piece meanwhile nothing is taken back: its change is shown
        and a notice says so.
        """
        with self._lock:
            step = self._step
            if step.before is None:
                return None
            told = self._go(self._drawer.history.step(step.before))
        self._tell(*told)
        return step.said if "history" in told else None

    def redo(self) -> str | None:
        """Bring the gesture again that was taken back last; returns its name or None."""
        with self._lock:
            step = self._drawer.history.after(self._step, self._line.tip)
            if step is None:
                return None
            told = self._go(step)
        self._tell(*told)
        return step.said if "history" in told else None

    def generations(self) -> tuple[Step, ...]:
        """Every state that is kept of the piece, the latest first, undone ones too."""
        return tuple(self._drawer.history.all())

    def bring_back(self, generation: int, *, gesture: str = "Bring back") -> None:
        """The design as it was in a generation, by its id, as a new gesture."""
        try:
            step = self._drawer.history.step(generation)
        except KeyError:
            raise desk_notes.no_generation(self.name) from None
        self.replace(self._drawer.base.kept(step.state.text), gesture=gesture)

    def _go(self, step: Step) -> list[str]:
        """Show another step; what listeners are to be told of it."""
        read = self._read
        text = self._drawer.base.kept(step.state.text)
        if text != read.text:
            read = self._read_text(text)
        told = ["history"]
        if text != self.text:
            told.append("design")
        was = (self._step.state.plan, self.plan_text_changes)
        try:
            self._line = self._drawer.go(self._line, step, self._facts(read, step.state))
        except Overtaken:
            self._catch_up()
            return ["notice", "design", "plan"]
        self._step, self._merge = step, ""
        self._take(read)
        if was != (step.state.plan, self.plan_text_changes):
            told.append("plan")
        self._touched()
        return told

    # Plan and shape

    @property
    def plan(self) -> Plan | None:
        """The plan that was kept last, fresh or out of date; None if there is none."""
        with self._lock:
            name = self._step.state.plan
            return None if name is None else self._plans.plan(name)

    @property
    def plan_text_changes(self) -> tuple[str, ...]:
        """What changed since the plan was made, in words; nothing while it is fresh."""
        with self._lock:
            return self._plans.why_stale(self._step.state, self._read)

    def keep_plan(self, plan: Plan, *, gesture: str = "") -> None:
        """Keep a plan, as one step of the history; with edits just merged as `gesture`, in theirs.

        It may have been made for an earlier state of the design than the one shown; then it is out
        of date from the start. Raises BadInput for a plan of a design that this piece never was.
        """

        def made_for() -> str:
            state = self._step.state
            if state.print == plan.fingerprint:
                return state.text
            found = self._drawer.history.with_print(plan.fingerprint)
            if found is None:
                raise desk_notes.other_plan(self.name)
            return found.state.text

        self._keep_plan(write_plan(plan), plan, made_for, gesture or f"Plan: {plan.style}")

    def bring_plan(self, text: str, planned: str) -> None:
        """Keep the plan in a plan file, made for the design `planned`, which need not be one that
        this piece ever was. Raises BadInput for no plan file."""
        plan = read_plan(text)
        base = self._drawer.base
        self._keep_plan(text, plan, lambda: base.keep(planned), f"Plan: {plan.style}")

    def _keep_plan(self, text: str, plan: Plan, made_for: Callable[[], str], gesture: str) -> None:
        with self._lock:
            for _ in tries():
                base = self._drawer.base
                try:
                    with base.change():
                        name = base.keep(text)
                        state = replace(self._step.state, plan=name, planned=made_for())
                        if name == self._step.state.plan:
                            return  # the plan that is here already: it names its design itself
                        self._plans.put(name, plan)
                        facts, into = self._facts(self._read, state), self._joined(gesture)
                        self._line, self._step = self._drawer.put(
                            self._line, gesture, state, facts, into=into
                        )
                    break
                except Overtaken:
                    self._catch_up()
            else:
                raise desk_notes.too_busy(self.name)
            self._merge = ""
            self._touched()
        self._tell("plan", "history")

    @property
    def settled(self) -> Settled | None:
        """The shape that was reckoned for this net, in today's colours; None if for another net."""
        with self._lock:
            return self._shape.for_net(self._net, self._read.design)

    def keep_settled(self, settled: Settled, net: Net) -> None:
        """Keep the shape that was reckoned for `net`, while the desk is open."""
        with self._lock:
            self._shape.keep(settled, net)
        self._tell("design")

    # Others: an editor at the file, another program at the database

    def look(self) -> None:
        """Take over what others made of the piece, and bring its file up to date.

        The store does this four times a second for every open desk. Raises BadInput where the file
        cannot be written.
        """
        told = ["design", "plan", "history", "notice"] if self._looked() else []
        self._tell(*told)

    def tend(self) -> None:
        """`look`, where there is a reason to; an editor that is still writing is waited for."""
        now = seen(self.file)
        if now == self._seen and not self._unsaved and not self._drawer.moved(self._line.version):
            return
        if now != self._seen and now is not None and 0 <= now.age < _SETTLED_S:
            return
        self.look()

    def say(self, *findings: Finding) -> None:
        """Add notices, each told once however often it comes in a row."""
        with self._lock:
            new = [self._notice(finding) for finding in findings]
        if any(new):
            self._tell("notice")

    def draw(self, most: int) -> None:
        """Draw the picture for the shelf, if the piece has at most so many bubbles."""
        with self._lock:
            version, net, design = self.version, self._read.net, self.design
        if net is None or design is None:
            return
        picture = card_svg(net, design) if net.bubble_count <= most else ""
        self._drawer.base.do(
            "UPDATE piece SET picture = ? WHERE key = ? AND version = ?", picture, self.key, version
        )

    def _looked(self) -> bool:
        with self._lock:
            new = self._catch_up()
            if self._line.binned:
                return new
            done = sync(self._drawer, self.folder)
            found, self._seen = done.foreign, done.seen
            if found is None:
                self._unsaved = done.seen is None
                return new
            if found.text is None:
                self._unsaved = False
                return self._notice(desk_notes.unreadable_file(found)) or new
            try:
                with self._drawer.base.change():
                    self._put(self._read_text(found.text), "Changed in the file", "")
                    took(self._drawer, found.hash)
            except Overtaken:
                return True  # the next look sees both
            self._notice(desk_notes.changed_in_file(self._line.file))
            self._touched()
            return True

    # Within

    def _touched(self) -> None:
        self._unsaved = True
        self._changed(self)

    def _read_text(self, text: str) -> Read:
        return read_all(text, name=self._line.file, folder=self.folder, before=self._woven)

    def _take(self, read: Read) -> None:
        self._read, self._woven = read, read.woven
        if read.net is not None:
            self._net = read.net

    def _facts(self, read: Read, state: State) -> Facts:
        net = read.net or self._net
        plan = self._plans.plan(state.plan) if state.plan else None
        return Facts(
            name=read.design.name if read.design else self._line.name,
            bubbles=net.bubble_count if net else 0,
            balloons=len(plan.balloons) if plan else 0,
            stale=bool(self._plans.why_stale(state, read)),
        )

    def _catch_up(self) -> bool:
        """Show what another program made of the piece; True if there was anything."""
        line = self._drawer.line()
        if line.version == self._line.version:
            self._line = line
            return False
        step = self._drawer.history.step(line.here)
        before = (self._step.id, self._step.at)
        self._line, self._step, self._merge = line, step, ""
        self._take(self._read_text(self._drawer.base.kept(step.state.text)))
        if (step.id, step.at) != before:  # else it went into the bin or came out of it
            self._notice(desk_notes.changed_elsewhere(self.name, step.said))
        return True

    def _notice(self, finding: Finding) -> bool:
        """Add a notice; False if it was the last one already."""
        if self._notices and self._notices[-1] == finding:
            return False
        self._notices = [*self._notices[-_MOST_NOTICES + 1 :], finding]
        return True
