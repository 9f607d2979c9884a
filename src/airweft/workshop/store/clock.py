"""The only clock of the workshop: when something was changed, how long a step took, and rests."""

from __future__ import annotations

import random
import time
from datetime import UTC, datetime


def now() -> str:
    """This moment in universal time, as "2026-03-01T09:30:00.123Z"."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def seconds() -> float:
    """Seconds since some moment of the past; they go on evenly while the program runs."""
    return time.monotonic()


def rest(most: float) -> None:
    """Do nothing for some time, at most so many seconds; by chance, so that no two keep step."""
    time.sleep(random.uniform(most / 4, most))
