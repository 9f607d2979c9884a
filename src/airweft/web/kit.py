"""The small parts that every page is made of: words, buttons, fields, menus, dialogs, toasts.

Plain HTML elements with the looks of theme.css; texts reach the page as texts, never as markup.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterator
from contextlib import contextmanager
from typing import Any, Literal

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from airweft.web.icons import svg

Do = Callable[[], Any] | Callable[[], Awaitable[Any]]
Kind = Literal["plain", "main", "quiet", "danger"]
# The browser remembers what is being typed: any change elsewhere on the page draws it anew.
_TYPED = "(e) => { element.props.value = e.target.value; emit(e.target.value); }"


class Words(TextElement):
    """A text in an element of its own, such as h1, p or span."""

    def __init__(self, text: str, tag: str = "span", classes: str = "") -> None:
        super().__init__(tag=tag, text=text)
        self.classes(classes)


def box(classes: str = "", tag: str = "div", **attributes: str) -> ui.element:
    """An element to put others into; `aria_label="..."` becomes aria-label."""
    element = ui.element(tag).classes(classes)
    for name, value in attributes.items():
        element.props[name.rstrip("_").replace("_", "-")] = value
    return element


def icon(name: str) -> ui.html:
    """An icon beside words; it says nothing by itself."""
    return ui.html(svg(name), sanitize=False, tag="span").classes("icon")


def button(
    text: str,
    do: Do | None = None,
    *,
    kind: Kind = "plain",
    symbol: str = "",
    only_symbol: bool = False,
    **attributes: str,
) -> ui.element:
    """A button; with `only_symbol` its text is what is read out and shown as a hint."""
    made = box(f"btn btn-{kind}" + (" btn-symbol" if only_symbol else ""), "button", **attributes)
    made.props["type"] = "button"
    with made:
        if symbol:
            icon(symbol)
        if not only_symbol:
            Words(text)
    if only_symbol:
        made.props["aria-label"] = made.props["title"] = text
    if do is not None:
        made.on("click", do, [])
    return made


def link(
    text: str, to: str, *, classes: str = "", symbol: str = "", **attributes: str
) -> ui.element:
    """A link to another page of the app."""
    made = box(classes, "a", href=to, **attributes)
    with made:
        if symbol:
            icon(symbol)
        Words(text)
    return made


def enable(element: ui.element, on: bool, hint: str | None = None) -> None:
    """Make a button usable or not, with what it says."""
    element.props.pop("disabled", None)
    if not on:
        element.props["disabled"] = "disabled"
    if hint is not None:
        element.props["aria-label"] = element.props["title"] = hint
    element.update()


@contextmanager
def menu(name: str) -> Iterator[ui.element]:
    """A button that opens a list of further buttons."""
    with box("menu", "details"):
        with box("btn btn-quiet btn-symbol", "summary", aria_label=name, title=name):
            icon("more")
        with box("menu-list") as inside:
            yield inside


class Dialog:
    """A question over the page: `with dialog.body:` put things in, `open` and `close` it."""

    def __init__(self, title: str) -> None:
        self._dialog = ui.dialog()
        heading = f"heading-{self._dialog.id}"
        self._dialog.props["aria-labelledby"] = heading
        with self._dialog, box("sheet"):
            Words(title, "h2").props["id"] = heading
            self.body = box("sheet-body")
            self.actions = box("sheet-actions")

    def open(self) -> None:
        """Show it; the focus goes in and comes back afterwards."""
        self._dialog.open()

    def close(self) -> None:
        """Put it away."""
        self._dialog.close()


class Field:
    """A line to type into, with its name above and what is wrong with it below."""

    def __init__(self, name: str, value: str = "", *, most: int = 200, hint: str = "") -> None:
        self.value = value
        with box("field") as self.element:
            identity = f"field-{self.element.id}"
            Words(name, "label").props["for"] = identity
            self.input = box("", "input", id=identity, type="text", maxlength=str(most))
            self.input.props["autocomplete"] = "off"
            self.input.props["value"] = value
            if hint:
                Words(hint, "p", "quiet")
            self._wrong = Words("", "p", "wrong")
            self._wrong.props["role"] = "alert"
        self.input.on("input", self._take, js_handler=_TYPED)

    def _take(self, event: Any) -> None:
        self.value = str(event.args)
        with self.input.props.suspend_updates():  # sent back, it would be older than what stands
            self.input.props["value"] = self.value

    def on_enter(self, do: Do) -> None:
        """Do this when Enter is pressed in the field."""
        self.input.on("keydown.enter", do, [])

    def wrong(self, text: str) -> None:
        """Say what is wrong with it; nothing is wrong with an empty text."""
        self._wrong.text = text


def toast(text: str, *, do: Do | None = None, do_text: str = "") -> None:
    """Say something in passing, read out politely; with one thing to do about it."""
    tray = ui.context.client.layout
    with tray, box("toast", role="status") as made:
        Words(text)
        if do is not None:
            button(do_text, do, kind="quiet").on("click", made.delete, [])
        button("Close", made.delete, kind="quiet", symbol="close", only_symbol=True)
        ui.timer(12.0, made.delete, once=True)
