"""What stands around every page: header, ways to the other pages, banners, findings, cautions."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

from nicegui import ui

from airweft.base.findings import Finding, in_order
from airweft.web.findings import counted, show_finding
from airweft.web.kit import Words, box, button, enable, icon, link, toast
from airweft.web.working import Working
from airweft.words.cautions import CAUTIONS, CHOKING

if TYPE_CHECKING:
    from airweft.workshop.desk import Desk
    from airweft.workshop.tasks import Task

PAGES: tuple[tuple[str, str], ...] = (
    ("shape", "Shape"),
    ("colours", "Colours"),
    ("plan", "Plan"),
    ("make", "Make"),
    ("print", "Print"),
)
"""The pages of a piece: the word in the address, which is the module too, and that people see."""
FONTS = tuple(
    f"/airweft/fonts/FiraSans-{weight}.ttf" for weight in ("Regular", "Medium", "SemiBold")
)
"""The addresses of the letters of theme.css."""
_NEEDS_PLAN = ("make", "print")
_MOST_CHANGES = 3


def pages() -> tuple[tuple[str, str], ...]:
    """Those pages of a piece that there are: nothing leads nowhere."""
    return tuple((at, said) for at, said in PAGES if find_spec(f"airweft.web.pages.{at}"))


def following(here: str) -> tuple[str, str] | None:
    """The page that comes after this one in the work; None after the last.

    >>> following("shape")
    ('colours', 'Colours')
    """
    ways = pages()
    after = [ways[n + 1] for n, (at, _) in enumerate(ways[:-1]) if at == here]
    return after[0] if after else None


def add_looks() -> None:
    """Give this page the theme and the small script of the app."""
    # Letters first: they would be asked for only when the page stands, and change it under the eye.
    ui.add_head_html(
        "".join(
            f'<link rel="preload" as="font" type="font/ttf" crossorigin href="{at}">'
            for at in FONTS
        )
        + '<link rel="stylesheet" href="/airweft/theme.css"><script src="/airweft/app.js"></script>'
    )
    # The page builder's own <main> stands around header and footer too; ours is the real one.
    around = ui.context.client.content.parent_slot
    assert around is not None
    around.parent.props["role"] = "none"


@contextmanager
def top(
    name: str = "", *, tabs: Sequence[tuple[str, str]] = (), here: str = "", key: str = ""
) -> Iterator[None]:
    """The header; what is put in stands at its right. On phones the pages of a piece have the
    switch for light and dark at their foot, to leave the header room."""
    link("Skip to the work", "#work", classes="skip")
    with box("top" + (" has-tabs" if tabs else ""), "header"):
        with box("home", "a", href="/", aria_label="airweft: the shelf"):
            icon("mark")
            Words("airweft", classes="home-word")
        if name:
            Words(name, classes="top-name")
        box("top-space")
        if tabs:
            with box("tabs", "nav", aria_label="This piece"):
                for at, said in tabs:
                    to = link(said, f"/piece/{key}/{at}", symbol=at)
                    if at == here:
                        to.props["aria-current"] = "page"
            box("top-space")
        with box("top-tools"):
            yield


def _light() -> None:
    button("Light or dark", kind="quiet", symbol="light", only_symbol=True, data_do="light")


def foot() -> None:
    """The cautions: the statement in full, the others one press away; on every page."""
    with box("foot", "footer"):
        with box("", "p"):
            Words(CHOKING, "strong")
        with box("", "details"):
            Words("All cautions", "summary")
            with box("", "ul"):
                for caution in CAUTIONS[1:]:
                    with box("", "li"):
                        Words(f"{caution.title}. ", "strong")
                        Words(caution.text)
        button("Light or dark", kind="quiet", symbol="light", data_do="light").classes("foot-light")


@contextmanager
def plain_page(title: str, name: str = "") -> Iterator[None]:
    """A page that belongs to no piece, such as the shelf; put its content in."""
    add_looks()
    ui.page_title(f"{title} · airweft")
    with top(name):
        _light()
    with box("main", "main", id="work", tabindex="-1"):
        yield
    foot()


class Frame:
    """The frame of a page of one piece; the page puts its content into `content`.

    It follows the desk: names, undo, findings and banners are always those of the piece as it is.
    """

    def __init__(self, desk: Desk, here: str) -> None:
        self.desk = desk
        self._loop = asyncio.get_running_loop()
        self._calls: list[Callable[[str], None]] = []
        self._lights: list[Callable[[Finding], None]] = []
        self._waiting: set[str] = set()
        self._next = following(here)
        add_looks()
        said = dict(PAGES).get(here, here)
        ui.page_title(f"{desk.name}: {said} · airweft")
        ui.query("body").classes("has-tabs")
        with top(desk.name, tabs=pages(), here=here, key=desk.key):
            self._undo = button(
                "Undo", partial(self._step, "undo"), kind="quiet", symbol="undo", only_symbol=True,
                data_do="undo",
            )  # fmt: skip
            self._redo = button(
                "Redo", partial(self._step, "redo"), kind="quiet", symbol="redo", only_symbol=True,
                data_do="redo",
            )  # fmt: skip
            self._open = button(
                "Findings", self._turn_findings, kind="quiet", symbol="alert",
                aria_expanded="false", aria_controls="findings",
            )  # fmt: skip
            with self._open.classes("top-findings"):
                self._count = Words("0", classes="count")
            _light()
            self._onward = [self._way_on()]
        self.banners = box(role="status")
        with self.banners:
            self._stale, self._notices = box(), box()
        self.content = box("main", "main", id="work", tabindex="-1")
        with box("way-on", "nav", aria_label="Next page"):
            self._onward.append(self._way_on())
        self._drawer = box("findings", "aside", id="findings", aria_label="Findings")
        self._drawer.set_visibility(False)
        foot()
        self._stop_listening = desk.listen(self._heard)
        ui.context.client.on_delete(self._stop_listening)
        self._show()

    def __enter__(self) -> Frame:
        """Put what follows into the page's content."""
        self.content.__enter__()
        return self

    def __exit__(self, *_: object) -> None:
        self.content.__exit__(None, None, None)

    def listen(self, call: Callable[[str], None]) -> None:
        """Call with "design", "plan", "progress", "history" or "notice" whenever that changed.

        The call comes in the page's own thread, once for many changes at a time, and no more once
        the page is gone.
        """
        self._calls.append(call)

    def on_finding(self, call: Callable[[Finding], None]) -> None:
        """Call when somebody picks a finding, to light its place."""
        self._lights.append(call)

    def work(
        self,
        title: str,
        task: Task,
        done: Callable[[Any], None],
        failed: Callable[[tuple[Finding, ...]], None] | None = None,
        *,
        search: bool = False,
    ) -> None:
        """Show under the header how far a task is; see `Working`."""
        with self.banners:
            Working(title, task, done, failed, search=search)

    def _heard(self, what: str) -> None:
        """From any thread: changes that come fast are told once."""
        self._loop.call_soon_threadsafe(self._wait, what)

    def _wait(self, what: str) -> None:
        if not self._waiting:
            self._loop.call_soon(self._tell)
        self._waiting.add(what)

    def _tell(self) -> None:
        waiting, self._waiting = sorted(self._waiting), set()
        if self.content.is_deleted:
            return
        self._show()
        with self.content:
            for what in waiting:
                for call in self._calls:
                    call(what)

    def _step(self, way: str) -> None:
        done = self.desk.undo() if way == "undo" else self.desk.redo()
        if done is not None:
            toast(f"{'Undone' if way == 'undo' else 'Done again'}: {done}")

    def _way_on(self) -> ui.element:
        """The link to the page that comes next in the work."""
        made = box("btn onward", "a")
        if self._next is None:
            made.set_visibility(False)
            return made
        at, said = self._next
        # The bench has a great button of its own: there the way on stands back.
        made.classes("btn-plain" if at == "print" else "btn-main")
        made.props["href"] = f"/piece/{self.desk.key}/{at}"
        made.props["aria-label"] = made.props["title"] = f"Next: {said}"
        with made:
            with box("onward-words", "span"):
                Words("Next: ", classes="onward-next")
                Words(said)
            icon("next")
        return made

    def _show(self) -> None:
        desk = self.desk
        if self._next is not None and self._next[0] in _NEEDS_PLAN:
            for way in self._onward:
                way.set_visibility(desk.plan is not None)
        enable(self._undo, desk.can_undo is not None, _hint("Undo", desk.can_undo))
        enable(self._redo, desk.can_redo is not None, _hint("Redo", desk.can_redo))
        self._show_stale(desk.plan_text_changes if desk.plan is not None else ())
        self._show_notices(desk.notices)
        self._show_findings(in_order(desk.findings))

    def _show_stale(self, changes: Sequence[str]) -> None:
        self._stale.clear()
        if not changes:
            return
        shown = "; ".join(changes[:_MOST_CHANGES])
        rest = len(changes) - _MOST_CHANGES
        more = f"; and {rest} more" if rest > 0 else ""
        with self._stale, box("banner"):
            icon("alert")
            Words(f"The plan is out of date. Changed since: {shown}{more}.")
            if "plan" in dict(pages()):
                link("Plan again", f"/piece/{self.desk.key}/plan")

    def _show_notices(self, notices: Sequence[Finding]) -> None:
        self._notices.clear()
        if not notices:
            return
        with self._notices, box("banner"):
            icon("note")
            Words(" ".join(f"{n.message}. {n.remedy}" for n in notices[-2:]))
            button("Close", self._heard_notices, kind="quiet", symbol="close", only_symbol=True)

    def _heard_notices(self) -> None:
        self.desk.heard()
        self._notices.clear()

    def _show_findings(self, findings: Sequence[Finding]) -> None:
        self._count.text = str(len(findings))
        self._open.props["aria-label"] = self._open.props["title"] = counted(findings)
        self._open.set_visibility(bool(findings))
        self._open.update()
        self._drawer.clear()
        with self._drawer:
            with box("findings-head"):
                Words("Findings", "h2")
                button("Close", self._turn_findings, kind="quiet", symbol="close", only_symbol=True)
            if not findings:
                Words("Nothing to say: all is well.", "p", "quiet")
            for finding in findings:
                self._show_finding(finding)

    def _show_finding(self, finding: Finding) -> None:
        placed = bool(finding.joints or finding.bubbles)
        show_finding(finding, (lambda: self._light(finding)) if placed else None)

    def _light(self, finding: Finding) -> None:
        for call in self._lights:
            call(finding)

    def _turn_findings(self) -> None:
        shown = not self._drawer.visible
        self._drawer.set_visibility(shown)
        self._open.props["aria-expanded"] = "true" if shown else "false"
        self._open.update()


def _hint(what: str, gesture: str | None) -> str:
    return what if gesture is None else f"{what}: {gesture}"
