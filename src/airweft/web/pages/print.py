"""The page of print: the booklet in its editions, page by page, and every file to take away."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any
from weakref import WeakKeyDictionary

from nicegui import ui

from airweft.web.findings import show_finding
from airweft.web.kit import Words, box, button, icon, link
from airweft.web.pages.plan import LOOKS
from airweft.web.pages.plan_words import plan_figures
from airweft.words.cautions import CAUTIONS
from airweft.workshop import tasks
from airweft.workshop.desk import Desk
from airweft.workshop.options import Edition, Paper
from airweft.workshop.printing import MODEL, Printed, is_made, made_folder, pages_there

if TYPE_CHECKING:
    from airweft.web.frame import Frame
    from airweft.workshop.long_work import Options
    from airweft.workshop.tasks import Task

_EDITIONS: dict[Edition, str] = {
    "standard": "Standard, two columns",
    "large": "Large type, one column",
}
_PAPERS: dict[Paper, str] = {"a4": "A4", "letter": "US Letter"}
_MOST_SHOWN = 24


@dataclass(frozen=True, slots=True)
class _File:
    """A file as it is offered: its name on disk, what it is, and whether a browser shows it."""

    name: str
    title: str
    words: str
    opens: bool = True


_FILES = (
    _File("booklet.pdf", "Booklet", "Everything on paper: what to buy, how to begin, every step."),
    _File("steps.html", "Phone page", "One file that needs no network; the piece can be turned."),
    _File("chart.svg", "Chart", "The piece laid flat, every bubble in its colour."),
    _File("shopping.csv", "Shopping list", "Balloons by colour and size, as a table.", False),
    _File("picture.png", "Picture", "The finished piece, to show to others."),
    _File("picture.svg", "Picture, any size", "The same, sharp at every size."),
    _File(MODEL, "3D model", "A GLB for programs that show things in 3D, in true size.", False),
    _File("plan.json", "Plan file", "The plan for other programs, to read and to check.", False),
)  # fmt: skip

_doing: WeakKeyDictionary[Desk, tuple[Edition, Paper, Task]] = WeakKeyDictionary()


def page(desk: Desk, frame: Frame) -> None:
    """What can be printed of one piece; it follows the desk."""
    _Page(desk, frame)


class _Page:
    def __init__(self, desk: Desk, frame: Frame) -> None:
        self._desk, self._frame = desk, frame
        self._edition: Edition = "standard"
        self._paper: Paper = "letter" if desk.design and desk.design.units == "in" else "a4"
        self._findings: tuple[Any, ...] = ()
        ui.add_css(LOOKS)
        with box("heading"):
            Words("Print", "h1")
        with box("plan"):
            self._choice = box("", "section", aria_label="What to print")
            self._result = box("", "section", aria_label="What was made", aria_live="polite")
            with box("", "section", aria_labelledby="print-cautions"):
                Words("Before you begin, and whenever you give instructions away", "h2").props[
                    "id"
                ] = "print-cautions"
                with box("cautions", "ul"):
                    for caution in CAUTIONS:
                        with box("", "li"):
                            Words(f"{caution.title}. ", "strong")
                            Words(caution.text)
        doing = _doing.get(desk)
        if doing is not None and doing[2].state in ("waiting", "running"):
            self._edition, self._paper = doing[0], doing[1]
            self._show()
            self._work(doing[2])
        else:
            self._show()
        frame.listen(lambda what: self._show() if what in ("design", "plan") else None)

    def _show(self) -> None:
        self._choice.clear()
        self._result.clear()
        with self._choice:
            self._ask()
        with self._result:
            self._made()

    def _ask(self) -> None:
        desk = self._desk
        plan, changes = desk.plan, desk.plan_text_changes
        to_plan = f"/piece/{desk.key}/plan"
        if plan is None:
            with box("plan-now"):
                Words("There is no plan to print yet", "h2")
                Words("What is printed follows a plan, so plan the piece first.", "p")
                with box("plan-actions"):
                    link("To the plan", to_plan, classes="btn btn-main", symbol="plan")
            return
        if changes:
            with box("plan-now is-stale"):
                Words("This plan is out of date, so it is not printed", "h2")
                Words("Whoever builds from it would build the piece as it was before:", "p")
                with box("", "ul"):
                    for change in changes:
                        Words(change, "li")
                with box("plan-actions"):
                    link("Plan again", to_plan, classes="btn btn-main", symbol="plan")
            return
        with box("plan-figures", "dl"):
            for name, said in plan_figures(plan):
                with box():
                    Words(name, "dt")
                    Words(said, "dd")
        with box("kinds"):
            self._radios("Edition", "edition", _EDITIONS, self._edition)
            self._radios("Paper", "paper", _PAPERS, self._paper)

    def _radios(self, title: str, name: str, offered: dict[Any, str], now: str) -> None:
        with box("", "fieldset"):
            Words(title, "legend")
            for value, said in offered.items():
                with box("", "label"):
                    one = box("", "input", type="radio", name=name, value=value)
                    if value == now:
                        one.props["checked"] = "checked"
                    one.on("change", partial(self._take, name, value), [])
                    Words(said)

    def _take(self, name: str, value: Any) -> None:
        before = is_made(self._desk, self._edition, self._paper)
        if name == "edition":
            self._edition = value
        else:
            self._paper = value
        if before is None and is_made(self._desk, self._edition, self._paper) is None:
            return  # the same button stays: a quick hand may be on it already
        # Only what lies below: the radio that has the focus stays.
        self._result.clear()
        with self._result:
            self._made()

    def _print(self) -> None:
        desk = self._desk
        options: Options = {
            "plan": desk.texts()[1],
            "out": made_folder(desk, self._edition, self._paper),
            "edition": self._edition,
            "paper": self._paper,
        }
        if desk.settled is not None:
            options["settled"] = desk.settled
        task = tasks.start("print", desk.text, desk.folder, options)
        _doing[desk] = self._edition, self._paper, task
        self._work(task)

    def _work(self, task: Task) -> None:
        self._frame.work("Making booklet and files", task, self._over)

    def _over(self, made: Printed) -> None:
        self._findings = made.findings
        self._show()

    def _made(self) -> None:
        desk, edition, paper = self._desk, self._edition, self._paper
        if desk.plan is None or desk.plan_text_changes:
            return
        made = is_made(desk, edition, paper)
        at = f"/piece/{desk.key}/made/{edition}-{paper}"
        with box("plan-actions"):
            if made:
                link(
                    "Download the booklet", f"{at}/booklet.pdf?save=1", classes="btn btn-main",
                    symbol="import", download="",
                )  # fmt: skip
            button(
                "Make it again" if made else "Make booklet and files",
                self._print, kind="plain" if made else "main", symbol="print",
            )  # fmt: skip
        if made is None:
            Words("Not made yet in this edition on this paper.", "p", "quiet")
            return
        if not made:
            with box("banner"):
                icon("alert")
                Words(
                    "The files that were made are of an earlier plan and are not given out. "
                    "Make them again."
                )
            return
        folder = made_folder(desk, edition, paper)
        Words("To take away", "h2")
        with box("made", "ul"):
            for file in _FILES:
                if not (folder / file.name).is_file():
                    continue
                with box("", "li"):
                    with box("made-words"):
                        Words(file.title, "strong")
                        Words(file.words, classes="quiet")
                    if file.opens:
                        link(
                            "Open", f"{at}/{file.name}", classes="btn btn-quiet", target="_blank",
                            rel="noopener", aria_label=f"Open: {file.title}",
                        )  # fmt: skip
                    link(
                        "Download", f"{at}/{file.name}?save=1", classes="btn", symbol="import",
                        download="", aria_label=f"Download: {file.title}",
                    )  # fmt: skip
        self._sheets(at, pages_there(desk, edition, paper))
        if self._findings:
            Words("To know before you start", "h2")
            for finding in self._findings:
                show_finding(finding)

    def _sheets(self, at: str, count: int) -> None:
        if not count:
            return
        Words(f"The booklet, {count} pages", "h2")
        with box("sheets", "ol"):
            for number in range(1, min(count, _MOST_SHOWN) + 1):
                self._sheet(at, number)
        if count > _MOST_SHOWN:
            rest = box()

            def show_rest() -> None:
                rest.clear()
                with rest, box("sheets", "ol", start=str(_MOST_SHOWN + 1)):
                    for number in range(_MOST_SHOWN + 1, count + 1):
                        self._sheet(at, number)

            with rest:
                button(f"Show the other {count - _MOST_SHOWN} pages", show_rest)

    @staticmethod
    def _sheet(at: str, number: int) -> None:
        with (
            box("", "li"),
            box("", "a", href=f"{at}/{number}.png", target="_blank", rel="noopener"),
        ):
            box("", "img", src=f"{at}/{number}.png", alt="", loading="lazy")
            Words(f"Page {number}")
