"""Sharing with devices in the same network: a one-time code lets one device in, a cookie keeps it.

Nothing here is written to a disk or to a log: codes and cookies live as long as the program.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

COOKIE = "airweft-device"
# Letters and digits that are not mistaken for one another by eye or ear: 31 of them.
ALPHABET = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ".replace("L", "")
LENGTH = 12
"""Characters of a code: 31 to the power of 12 are 59 bits, against MOST_WRONG tries."""
MOST_WRONG = 20
"""Wrong tries from anywhere before a code is replaced by another."""
MOST_WRONG_EACH = 5
"""Wrong tries of one address before it has to wait."""
WAIT_SECONDS = 300.0
_MOST_ADDRESSES = 1000


@dataclass(frozen=True, slots=True)
class Let:
    """The answer to a try: the cookie's value if it was right, else words for the person."""

    cookie: str = ""
    said: str = ""


class Sharing:
    """Codes and the devices they let in; safe for threads. `clock` counts seconds, never back."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._lock = threading.Lock()
        self._code = _new_code()
        self._wrong = 0
        self._tries: dict[str, tuple[int, float]] = {}
        self._devices: set[bytes] = set()

    @property
    def code(self) -> str:
        """The code that the next device has to give, for the screen of this computer only."""
        return self._code

    @property
    def devices(self) -> int:
        """How many devices have been let in."""
        return len(self._devices)

    def try_code(self, given: str, address: str) -> Let:
        """Take the code that somebody at `address` typed; a right one is used up by it."""
        with self._lock:
            now = self._clock()
            wrong, since = self._tries.get(address, (0, now))
            if now - since > WAIT_SECONDS:
                wrong, since = 0, now
            if wrong >= MOST_WRONG_EACH:
                minutes = max(1, round((WAIT_SECONDS - (now - since)) / 60))
                return Let(
                    said=f"Too many wrong codes. Try again in {minutes} "
                    f"{'minute' if minutes == 1 else 'minutes'}."
                )
            if hmac.compare_digest(_plain(given).encode(), self._code.encode()):
                self._tries.pop(address, None)
                self._renew()
                value = secrets.token_urlsafe(32)
                self._devices.add(_kept(value))
                return Let(cookie=value)
            self._count_wrong(address, wrong + 1, since, now)
            return Let(said="That is not the code now shown. Each code lets in one device.")

    def knows(self, cookie: str) -> bool:
        """Whether a device with this cookie has been let in."""
        # Looked up by its hash, so that how long it takes says nothing about the values kept.
        return bool(cookie) and _kept(cookie) in self._devices

    def new_code(self) -> None:
        """Replace the code; devices that are in stay in."""
        with self._lock:
            self._renew()

    def forget_devices(self) -> None:
        """Let nobody in any more until they give a new code."""
        with self._lock:
            self._devices.clear()
            self._renew()

    def _count_wrong(self, address: str, wrong: int, since: float, now: float) -> None:
        if len(self._tries) >= _MOST_ADDRESSES:
            self._tries = {
                a: tried for a, tried in self._tries.items() if now - tried[1] <= WAIT_SECONDS
            }
        if len(self._tries) < _MOST_ADDRESSES or address in self._tries:
            self._tries[address] = (wrong, since)
        self._wrong += 1
        if self._wrong >= MOST_WRONG:
            self._renew()

    def _renew(self) -> None:
        self._code = _new_code()
        self._wrong = 0


def spaced(code: str) -> str:
    """A code in groups of four, as it is read out and typed.

    >>> spaced("ABCD2345WXYZ")
    'ABCD 2345 WXYZ'
    """
    return " ".join(code[at : at + 4] for at in range(0, len(code), 4))


def _plain(given: str) -> str:
    """What was typed without blanks and hyphens, in capitals, cut where it cannot be a code."""
    return (
        "".join(mark for mark in given[:64].upper() if mark not in " -–\t")
        .encode("ascii", "replace")
        .decode()
    )


def _new_code() -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))


def _kept(value: str) -> bytes:
    return hashlib.sha256(value.encode("utf-8", "replace")).digest()
