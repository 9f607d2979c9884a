"""What a page does to the desk: one edit after the other, away from the page's own thread."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from nicegui import run

from airweft.base.errors import AirweftError
from airweft.web.kit import toast

if TYPE_CHECKING:
    from airweft.workshop.desk import Desk


class Hand:
    """Edits of one page. They are made in the order of the gestures; a refusal is said."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._turn = asyncio.Lock()

    async def set(
        self, path: Sequence[str | int], value: object, *, gesture: str, merge: str = ""
    ) -> bool:
        """As `Desk.set`; False where it was refused, which is said then."""
        return await self._do(lambda: self.desk.set(path, value, gesture=gesture, merge=merge))

    async def paint(
        self, bubbles: Callable[[], Mapping[str, str]], *, gesture: str, merge: str = ""
    ) -> bool:
        """As `Desk.paint`; what is to be painted is asked when the turn comes."""
        return await self._do(lambda: self.desk.paint(bubbles(), gesture=gesture, merge=merge))

    async def remake(self, make: Callable[[str], str], *, gesture: str, merge: str = "") -> bool:
        """The whole text anew, made of the text as it is when its turn comes."""
        return await self._do(
            lambda: self.desk.replace(make(self.desk.text), gesture=gesture, merge=merge)
        )

    async def _do(self, edit: Callable[[], None]) -> bool:
        async with self._turn:
            try:
                await run.io_bound(edit)
            except AirweftError as refusal:
                toast(" ".join(f"{f.message}. {f.remedy}" for f in refusal.findings[:1]))
                return False
        return True
