"""The inputs of one form or part: one control for each key of the schema, kept up to date."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from functools import partial
from typing import Any

from airweft.base.units import NotALength, Unit
from airweft.web.controls import Choice, Line, Switches
from airweft.web.hand import Hand
from airweft.web.kit import Words, box
from airweft.web.tables import Layers, Profile
from airweft.workshop.inputs import Input, number, said_at, sizes, written_length, written_spot
from airweft.workshop.shown_lengths import shown_length, stepped_length

Path = tuple[str | int, ...]
_LEFT_OPEN = "as airweft settles it"
_AXES = {
    "spot": ("to the right", "to the back", "up"),
    "direction": ("to the right", "to the back", "up"),
    "turn": ("about the axis to the right", "about the axis to the back", "about the upright axis"),
}


class FormInputs:
    """Controls for some inputs whose keys stand in one section; to be made within a box."""

    def __init__(self, hand: Hand, path: Path, inputs: tuple[Input, ...], unit: Unit) -> None:
        self._hand, self._path, self._unit = hand, path, unit
        self._shows: list[Callable[[Mapping[str, Any]], None]] = []
        self._wrongs: dict[str, tuple[Callable[[str], None], Callable[[], None]]] = {}
        makers: dict[str, Callable[[Input], None]] = {
            "count": self._count,
            "length": self._length,
            "choice": self._choice,
            "several": self._several,
            "text": self._text,
            "profile": self._profile,
            "layers": self._layers,
            "spot": self._three,
            "turn": self._three,
            "direction": self._three,
        }
        for one in inputs:
            makers[one.sort](one)

    def show(self, values: Mapping[str, Any]) -> None:
        """Show what the section says now."""
        for call in self._shows:
            call(values)

    def wrong(self, reasons: Mapping[str, str]) -> None:
        """What findings say of single keys, by the place that the findings name."""
        for place, (call, _) in self._wrongs.items():
            call(reasons.get(place, ""))

    def focus(self, place: str) -> bool:
        """Go to the input at a place that a finding names; False if it is none of these."""
        found = self._wrongs.get(place)
        if found is not None:
            found[1]()
        return found is not None

    # One control each

    def _count(self, one: Input) -> None:
        def stepped(said: str, way: int) -> str:
            now = number(said)
            if now is None:
                return str(one.least or one.step)
            floor, ceiling = one.least or 0, one.most or 10**6
            return str(int(min(ceiling, max(floor, int(now) // one.step * one.step
                                            + way * one.step))))  # fmt: skip

        async def settle(said: str) -> str:
            if not said.strip() and one.optional:
                await self._put(one, None, said)
                return ""
            value = number(said)
            if not isinstance(value, int):
                return f"{said.strip()[:40] or 'Nothing'} is not a whole number."
            await self._put(one, value, said, merge=True)
            return ""

        self._line(one, settle, step=stepped, numbers=True)

    def _length(self, one: Input) -> None:
        async def settle(said: str) -> str:
            if not said.strip() and one.optional:
                await self._put(one, None, said)
                return ""
            try:
                value = written_length(said, self._unit)
            except NotALength as error:
                return f"{error.message} {error.remedy}"
            await self._put(one, value, said)
            return ""

        def stepped(said: str, way: int) -> str:
            return stepped_length(said, way, self._unit, fine=one.key == "bubble")

        self._line(one, settle, step=stepped, numbers=True, unit=self._unit)

    def _text(self, one: Input) -> None:
        async def settle(said: str) -> str:
            text = said.strip()
            if not text and not one.optional:
                return "Write something here."
            value: object = text or None
            await self._put(one, value, text)
            return ""

        offered = sizes() if one.key == "size" else one.choices
        self._line(one, settle, offered=offered)

    def _line(self, one: Input, settle: Callable[[str], Awaitable[str]], **more: Any) -> None:
        key = self._key(one)
        line = Line(one.name, "", settle, hint=_hint(one), **more)

        def show(values: Mapping[str, Any]) -> None:
            if one.sort == "length":
                said, also = shown_length(values.get(key), self._unit)
                line.show(said)
                line.also(also)
            else:
                line.show(_plain(values.get(key)))

        self._shows.append(show)
        self._wrongs[said_at((*self._path, key))] = (line.wrong, line.focus)

    def _choice(self, one: Input) -> None:
        async def settle(said: str) -> str:
            await self._put(one, said or None, said or _LEFT_OPEN)
            return ""

        offered = [(word, word.capitalize() if len(word) > 1 else word) for word in one.choices]
        if one.optional and one.default is None:
            offered.insert(0, ("", _LEFT_OPEN.capitalize()))
        choice = Choice(one.name, "", offered, settle, hint=_hint(one))
        default = one.default or ""
        self._shows.append(lambda values: choice.show(str(values.get(one.key, default))))

    def _several(self, one: Input) -> None:
        async def settle(on: list[str]) -> None:
            await self._put(one, on, ", ".join(on) or "none")

        switches = Switches(one.name, (), one.choices, settle)
        self._shows.append(lambda values: switches.show(_words(values.get(one.key))))

    def _three(self, one: Input) -> None:
        """Three numbers or lengths; a turn about the upright axis alone is one number."""
        now: list[Any] = ["", "", ""]

        async def settle(at: int, said: str) -> str:
            new = list(now)
            if said.strip():
                if one.sort == "spot":
                    try:
                        new[at] = written_spot(said, self._unit)
                    except NotALength as error:
                        return f"{error.message} {error.remedy}"
                else:
                    new[at] = number(said)
                    if new[at] is None:
                        return f"{said.strip()[:40]} is not a number."
            else:
                new[at] = 0
            whole = [value if value != "" else 0 for value in new]
            value: object = whole
            if one.sort == "turn" and whole[:2] == [0, 0]:
                value = whole[2]
            await self._put(one, value, ", ".join(map(_plain, whole)))
            return ""

        unit = self._unit if one.sort == "spot" else "°" if one.sort == "turn" else ""
        with box("field", "fieldset"):
            Words(one.name, "legend")
            with box("three"):
                lines = [
                    Line(f"{way[0].upper()}{way[1:]}", "", partial(settle, at), numbers=True,
                         unit=unit)
                    for at, way in enumerate(_AXES[one.sort])
                ]  # fmt: skip

        def show(values: Mapping[str, Any]) -> None:
            found = values.get(one.key)
            three = found if isinstance(found, list) and len(found) == 3 else ["", "", found]
            if found is None:
                three = ["", "", ""]
            now[:] = three
            for line, value in zip(lines, three, strict=True):
                if one.sort == "spot":
                    said, also = shown_length(None if value == "" else value, self._unit)
                    line.show(said)
                    line.also(also)
                else:
                    line.show(_plain(value))

        self._shows.append(show)
        place = said_at((*self._path, one.key))
        self._wrongs[place] = (lines[0].wrong, lines[0].focus)

    def _profile(self, one: Input) -> None:
        table = Profile(one.name, self._unit, partial(self._put, one))
        self._shows.append(lambda values: table.show(values.get(one.key)))
        self._wrongs[said_at((*self._path, one.key))] = (table.wrong, table.focus)

    def _layers(self, one: Input) -> None:
        layers = Layers(one.name, partial(self._put, one))
        self._shows.append(lambda values: layers.show(values.get(one.key)))
        self._wrongs[said_at((*self._path, one.key))] = (layers.wrong, layers.focus)

    async def _put(self, one: Input, value: object, said: str, merge: bool = False) -> None:
        path = (*self._path, self._key(one))
        gesture = f"{one.name} {said.strip()[:40]}".strip()
        await self._hand.set(path, value, gesture=gesture, merge=str(path) if merge else "")

    def _key(self, one: Input) -> str:
        """A part of a joined form calls its solid so, since its name is its own."""
        return "solid" if one.key == "name" and len(self._path) > 1 else one.key


def _hint(one: Input) -> str:
    what = one.what[:1].upper() + one.what[1:]
    if one.optional and one.default in (None, 0) and one.sort in ("count", "length", "text"):
        settled = "as the whole piece has it" if what.endswith("of this part") else _LEFT_OPEN
        return f"{what}. Empty: {settled}."
    return f"{what}."


def _plain(value: object) -> str:
    if value is None:
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)


def _words(value: object) -> list[str]:
    return [str(one) for one in value] if isinstance(value, list) else []
