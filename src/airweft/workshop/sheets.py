"""The single files of a made design that need no booklet: pictures, chart, model, shopping list."""

from __future__ import annotations

from collections.abc import Sequence

from airweft.base.units import show_length
from airweft.costing.shopping import Line, csv_text
from airweft.draw.chart import chart
from airweft.draw.glb import model
from airweft.draw.picture import piece
from airweft.draw.raster import to_png
from airweft.draw.view import FRONT
from airweft.records.design import Design
from airweft.records.net import Net
from airweft.words.cautions import CAUTIONS

_PICTURE_PX = 600
_PNG_PX = 900
_CARD_PX = 320


def picture_svg(net: Net, design: Design) -> str:
    """The finished piece as SVG, seen as on the cover of the booklet."""
    return piece(net, design.palette, FRONT, width=_PICTURE_PX, title=design.name)


def card_svg(net: Net, design: Design) -> str:
    """The piece as a small picture for the shelf, where marks could not be read."""
    return piece(net, design.palette, FRONT, labels="none", width=_CARD_PX, title=design.name)


def picture_png(svg: str) -> bytes:
    """A picture as PNG, larger than it is drawn so that it shows well on a phone or a poster."""
    return to_png(svg, width=_PNG_PX)


def chart_svg(net: Net, design: Design) -> str:
    """The flat charts of all panels as SVG."""
    return chart(net, design.palette, title=design.name)


def model_glb(net: Net, design: Design) -> bytes:
    """The finished piece as a 3D model, with its name and all cautions beside it."""
    cautions = "\n".join(f"{one.title}. {one.text}" for one in CAUTIONS)
    return model(
        net,
        design.palette,
        name=design.name,
        extras={"name": design.name, "cautions": cautions},
    )


def shopping_bytes(lines: Sequence[Line], design: Design) -> bytes:
    """The shopping list as a file: UTF-8, marked as such only where a spreadsheet could mistake it.

    Plain ASCII reads the same everywhere; anything else gets a byte order mark, which spreadsheets
    on Windows need to take the file for UTF-8.
    """
    text = csv_text(lines, lambda length: show_length(length, design.units))
    return text.encode("ascii" if text.isascii() else "utf-8-sig")
