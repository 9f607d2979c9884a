"""How a piece stands or hangs, and rough figures, in words that every page shares."""

from __future__ import annotations

from airweft.records.shape import Shape, Standing

_ALWAYS = 85.0  # degrees from which a piece comes back however it is tilted
_EASILY = 10.0  # degrees below which a draught or a child will do
_NO_STAND = "give it a {foot}, or hang it"


def stance(shape: Shape, standing: Standing | None) -> tuple[str, str, str]:
    """What it does ("Stands", "Hangs"), the figure in short, and a sentence about it."""
    if shape.stand == "hang":
        by = "by its highest joint" + ("s" if len(shape.held) != 1 else "")
        return "Hangs", by, "It was reckoned hanging, not standing."
    if standing is None:
        return "Stands", "not reckoned", "The piece was reckoned as it is turned, without weight."
    if not standing.side:
        why = "It touches the table at a point or along a line only: "
        return "Stands", "not by itself", why + _NO_STAND.format(foot="foot") + "."
    if not standing.stands:
        why = f"It falls over towards the {standing.side}: "
        return "Stands", "not by itself", why + _NO_STAND.format(foot="wider foot") + "."
    if standing.tip_degrees >= _ALWAYS:
        return "Stands", "firmly", "Tilted and let go, it comes back by itself."
    angle = round(standing.tip_degrees)
    return (
        "Stands",
        f"up to about {angle} degree{'' if angle == 1 else 's'} of tilt",
        f"Tilted farther it tips over, most easily towards the {standing.side}.",
    )


def placing(shape: Shape | None, standing: Standing | None, *, flat: bool) -> str:
    """How to put up the finished piece; `flat` is for a piece that is a mere sheet."""
    if flat:
        return "Hang it from several joints along the upper border, never from one bubble."
    if shape is not None and shape.stand == "hang":
        return "Hang it by its highest joints, by all of them at once, never by one bubble."
    hang = "hang it from several joints at once, never from one bubble"
    if shape is None or shape.stand == "free":
        return f"Stand it on a clean, dry and smooth place, or {hang}."
    if standing is None or standing.stands:
        careful = ""
        if standing is not None and standing.tip_degrees < _EASILY:
            careful = (
                f" It tips over easily, towards the {standing.side} first: tape its foot down, or "
                "set a weight in it."
            )
        return f"Stand it on a clean, dry and smooth place, or {hang}.{careful}"
    how = (
        f"it falls over towards the {standing.side}"
        if standing.side
        else "it touches the table at a point or along a line only"
    )
    return f"It does not stand by itself: {how}. Give it a wider foot, lean it, or {hang}."


def rough(value: float) -> str:
    """A rough figure: two digits and no more; tenths below ten.

    >>> rough(4.96), rough(12.4), rough(1874.0)
    ('5', '12', '1,900')
    """
    if round(value, 1) < 10:
        return f"{value:.1f}".removesuffix(".0")
    step: int = 10 ** (len(f"{value:.0f}") - 2)
    return f"{int(value / step + 0.5) * step:,}"
