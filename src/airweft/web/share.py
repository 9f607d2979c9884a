"""The page with code and QR picture, shown only on the computer that airweft runs on."""

from __future__ import annotations

import io
from urllib.parse import quote

import segno
from nicegui import ui

from airweft.web.frame import plain_page
from airweft.web.kit import Words, box, button, link
from airweft.web.sharing import Sharing, spaced


def add_share(sharing: Sharing, addresses: list[str]) -> None:
    """The address /share; `addresses` are those at which other devices find this computer."""

    @ui.page("/share")
    def _share() -> None:
        with plain_page("Tablets"):
            with box("heading"):
                Words("Open the workshop on a tablet", "h1")
                link("Back to the shelf", "/", classes="btn", symbol="back")
            _Shown(sharing, addresses)


def qr_svg(address: str, code: str) -> str:
    """The QR picture of an address that brings the code along, as SVG.

    The code stands behind the #, which browsers send to no server and write into no log.
    """
    made = io.BytesIO()
    segno.make_qr(f"{address}join#{quote(code)}", error="m").save(
        made, kind="svg", xmldecl=False, border=4, light="#fff", omitsize=True, svgclass=None,
        lineclass=None,
    )  # fmt: skip
    return made.getvalue().decode("ascii")


class _Shown:
    def __init__(self, sharing: Sharing, addresses: list[str]) -> None:
        self._sharing, self._addresses = sharing, addresses
        self._shown: tuple[str, int] | None = None
        self._whole = box("share")
        self._show()
        ui.timer(1.0, self._show)  # a code that was used is replaced while somebody looks at it

    def _show(self) -> None:
        now = (self._sharing.code, self._sharing.devices)
        if now == self._shown:
            return
        self._shown = now
        code, devices = now
        self._whole.clear()
        with self._whole:
            if not self._addresses:
                Words("This computer is in no network that a tablet could reach it by.", "p")
                return
            address = self._addresses[0]
            ui.html(qr_svg(address, code), sanitize=False).classes("share-picture").props(
                'role="img" aria-label="QR picture of the address and the code"'
            )
            with box("share-words"):
                Words("1. Put the tablet into the same network as this computer.", "p")
                Words("2. Let its camera read the picture, or open this address there:", "p")
                for one in self._addresses:
                    Words(f"{one}join", "p", "share-big")
                Words("3. Give this code. It lets in one device; then another is shown.", "p")
                Words(spaced(code), "p", "share-big share-code")
                Words(_counted(devices), "p", "quiet").props["role"] = "status"
                with box("card-actions"):
                    button("Another code", self._new)
                    if devices:
                        button("Shut all devices out", self._forget, kind="danger")
                Words(
                    "What passes between tablet and computer is not encrypted. Share only in a "
                    "network that you trust, such as your own or your phone's.",
                    "p",
                    "quiet",
                )

    def _new(self) -> None:
        self._sharing.new_code()
        self._show()

    def _forget(self) -> None:
        self._sharing.forget_devices()
        self._show()


def _counted(devices: int) -> str:
    if not devices:
        return "No device has joined yet."
    return "One device has joined." if devices == 1 else f"{devices} devices have joined."
