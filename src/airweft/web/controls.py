"""Inputs that are filled from the server and told of once, when the hand has settled a value.

Each shows what the piece says; `show` brings it up to date without telling anybody. What cannot be
read stays in the input, with the reason under it.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from typing import Any

from nicegui import ui

from airweft.web.kit import Words, box, button

Settle = Callable[[str], Awaitable[str]]
"""Takes what was put in; returns why it cannot be taken, "" where it was."""

_VALUE = "(e) => emit(e.target.value)"
# The browser remembers what is being typed: any change elsewhere on the page draws it anew.
_TYPED = "(e) => { element.props.value = e.target.value; }"
_CHECKED = "(e) => emit(e.target.checked)"
_ARROWS = (
    "(e) => { if (e.key === 'ArrowUp' || e.key === 'ArrowDown') { e.preventDefault();"
    " emit(e.key === 'ArrowUp' ? 1 : -1, e.target.value); } }"
)


class Typed(ui.element):
    """An input in which what is being typed stays, whatever else of the page changes meanwhile.

    The page is drawn anew at every change, and an attribute `value` would be put back each time.
    A property is set only when it changes itself.
    """

    def __init__(self, **attributes: str) -> None:
        super().__init__("input")
        self.props.update(attributes)

    def _to_dict(self) -> dict[str, Any]:
        made = super()._to_dict()
        props = dict(self._props)
        if "value" in props:
            props[".value"] = props.pop("value")
        return made | {"props": props}


class Line:
    """A line to type into. With `step` it has buttons, and keys, for more and less; `listed` is the
    id of a list of words that stands elsewhere, see `word_list`."""

    def __init__(
        self,
        name: str,
        value: str,
        settle: Settle,
        *,
        hint: str = "",
        unit: str = "",
        numbers: bool = False,
        bare: bool = False,
        offered: Sequence[str] = (),
        listed: str = "",
        step: Callable[[str, int], str] | None = None,
        most: int = 200,
    ) -> None:
        self._settle, self._step = settle, step
        with box("field" if not bare else "field field-bare") as self.element:
            identity = f"in-{self.element.id}"
            if not bare:
                Words(name, "label").props["for"] = identity
            with box("field-line"):
                if step is not None:
                    self._button("minus", f"{name}: less", -1)
                self.input = Typed(id=identity, type="text", maxlength=str(most))
                self.input.props["autocomplete"] = "off"
                if numbers:
                    self.input.props["inputmode"] = "decimal"
                if bare:
                    self.input.props["aria-label"] = name
                self._unit = Words(unit, classes="field-unit") if unit else None
                if step is not None:
                    self._button("plus", f"{name}: more", 1)
            described = []
            if hint:
                told = Words(hint, "p", "quiet field-hint")
                told.props["id"] = f"{identity}-hint"
                described.append(f"{identity}-hint")
            self._also = Words("", "p", "quiet field-hint") if unit else None
            if self._also is not None:
                self._also.props["id"] = f"{identity}-also"
                described.append(f"{identity}-also")
            self._wrong = Words("", "p", "wrong")
            self._wrong.props["id"] = f"{identity}-wrong"
            self._wrong.props["role"] = "alert"
            described.append(f"{identity}-wrong")
            self.input.props["aria-describedby"] = " ".join(described)
            if offered:
                with box("", "datalist", id=f"{identity}-list"):
                    for one in offered:
                        box("", "option", value=one)
                listed = f"{identity}-list"
            if listed:
                self.input.props["list"] = listed
        self._value = ""
        self.show(value)
        self.input.on("input", js_handler=_TYPED)
        self.input.on("change", self._changed, js_handler=_VALUE)
        if step is not None:
            self.input.on("keydown", self._arrow, js_handler=_ARROWS)

    @property
    def said(self) -> str:
        """What stands in it, as far as the hand has settled it."""
        return str(self.input.props.get("value", "")).strip()

    def show(self, value: str) -> None:
        """Show what the piece says."""
        if value == self._value and self.input.props.get("value") == value:
            return
        self._value = value
        self.input.props["value"] = value
        self.input.update()
        self.wrong("")

    def also(self, text: str) -> None:
        """Say the same in the unit beside it, where the value names another one itself."""
        if self._unit is not None and self._also is not None and self._also.text != text:
            self._also.text = text
            self._unit.set_visibility(not text)

    def called(self, name: str) -> None:
        """Another name for what has no label that is seen."""
        if self.input.props.get("aria-label") != name:
            self.input.props["aria-label"] = self.input.props["title"] = name
            self.input.update()

    def wrong(self, text: str) -> None:
        """Say what is wrong with the value; nothing for an empty text."""
        if self._wrong.text != text:
            self._wrong.text = text
            self.input.props["aria-invalid"] = "true" if text else "false"
            self.input.update()

    def focus(self) -> None:
        """Put the hand's place into this input."""
        ui.run_javascript(f'document.getElementById("in-{self.element.id}")?.focus()')

    def _button(self, symbol: str, name: str, way: int) -> None:
        async def go() -> None:
            await self._go(way, str(self.input.props.get("value", "")))

        button(name, go, symbol=symbol, only_symbol=True)

    async def _changed(self, event: Any) -> None:
        await self._take(str(event.args)[:10_000])

    async def _arrow(self, event: Any) -> None:
        way, value = event.args if isinstance(event.args, list) else (0, "")
        await self._go(1 if way == 1 else -1, str(value)[:200])

    async def _go(self, way: int, value: str) -> None:
        assert self._step is not None
        await self._take(self._step(value, way))

    async def _take(self, said: str) -> None:
        self.input.props["value"] = said
        self.input.update()
        if said.strip() == self._value.strip():
            self.wrong("")
            return
        reason = await self._settle(said)
        if reason:
            self.wrong(reason)


def word_list(words: Sequence[str]) -> str:
    """A list of any number of words, of which those are offered that fit what is typed; its id."""
    made = box("", "datalist")
    made.props["id"] = f"words-{made.id}"
    made.props["data-words"] = "\n".join(words)
    return f"words-{made.id}"


class Choice:
    """One of several words."""

    def __init__(
        self,
        name: str,
        value: str,
        offered: Sequence[tuple[str, str]],
        settle: Settle,
        *,
        hint: str = "",
    ) -> None:
        self._settle = settle
        with box("field") as self.element:
            identity = f"in-{self.element.id}"
            Words(name, "label").props["for"] = identity
            self.select = box("", "select", id=identity)
            with self.select:
                for word, said in offered:
                    with box("", "option", value=word):
                        Words(said)
            if hint:
                Words(hint, "p", "quiet field-hint").props["id"] = f"{identity}-hint"
                self.select.props["aria-describedby"] = f"{identity}-hint"
            self._wrong = Words("", "p", "wrong")
            self._wrong.props["role"] = "alert"
        self.show(value)
        self.select.on("change", self._changed, js_handler=_VALUE)

    def show(self, value: str) -> None:
        """Show what the piece says."""
        if self.select.props.get("value") != value:
            self.select.props["value"] = value
            self.select.update()
        self.wrong("")

    def wrong(self, text: str) -> None:
        """Say what is wrong with it; nothing for an empty text."""
        if self._wrong.text != text:
            self._wrong.text = text

    async def _changed(self, event: Any) -> None:
        said = str(event.args)[:200]
        self.select.props["value"] = said
        reason = await self._settle(said)
        if reason:
            self.wrong(reason)


class Switch:
    """On or off."""

    def __init__(self, name: str, on: bool, settle: Callable[[bool], Awaitable[None]]) -> None:
        self._settle = settle
        with box("switch", "label"):
            self.input = box("", "input", type="checkbox")
            Words(name)
        self.show(on)
        self.input.on("change", self._changed, js_handler=_CHECKED)

    def show(self, on: bool) -> None:
        """Show what the piece says."""
        if self.input.props.get("checked") is not on:
            self.input.props["checked"] = on
            self.input.update()

    async def _changed(self, event: Any) -> None:
        self.input.props["checked"] = event.args is True
        await self._settle(event.args is True)


class Switches:
    """Any of several words, in their order."""

    def __init__(
        self,
        name: str,
        on: Sequence[str],
        offered: Sequence[str],
        settle: Callable[[list[str]], Awaitable[None]],
    ) -> None:
        self._on = set(on)
        self._switches: dict[str, Switch] = {}
        with box("field", "fieldset") as self.element:
            Words(name, "legend")
            with box("switches"):
                for word in offered:
                    self._switches[word] = Switch(
                        word.capitalize(), word in self._on, self._turner(word, offered, settle)
                    )

    def show(self, on: Sequence[str]) -> None:
        """Show what the piece says."""
        self._on = set(on)
        for word, switch in self._switches.items():
            switch.show(word in self._on)

    def _turner(
        self, word: str, offered: Sequence[str], settle: Callable[[list[str]], Awaitable[None]]
    ) -> Callable[[bool], Awaitable[None]]:
        async def turn(on: bool) -> None:
            self._on = self._on | {word} if on else self._on - {word}
            await settle([one for one in offered if one in self._on])

        return turn
