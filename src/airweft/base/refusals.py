"""What cannot be used, in one way for all: refusals with where, what, and what to do."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from airweft.base.errors import BadInput
from airweft.base.findings import Finding


def refusal(*, code: str, where: str, message: str, remedy: str) -> BadInput:
    """The refusal of a file, an option or a value, with one finding."""
    return BadInput(
        Finding(code=code, severity="cannot", where=where, message=message, remedy=remedy)
    )


def wrong_option(option: str, message: str, remedy: str) -> BadInput:
    """The refusal of what an option of the command says."""
    return refusal(code="wrong-option", where=option, message=message, remedy=remedy)


@contextlib.contextmanager
def system_refusals(*, code: str, where: str, what: str, remedy: str) -> Iterator[None]:
    """Turn what the system refuses of files within into BadInput.

    `what` says what cannot be done; the system's own words come after it.
    """
    try:
        yield
    except (OSError, ValueError) as error:
        said = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise refusal(code=code, where=where, message=f"{what}: {said}", remedy=remedy) from error
