"""The pictures of docs/draw.md are what the program draws."""

from __future__ import annotations

import os
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from airweft.draw.camera import Camera
from airweft.draw.chart import chart
from airweft.draw.howto import lock
from airweft.draw.picture import piece
from airweft.draw.view import step_views
from tests.draw.pieces import PALETTE, ROUND, chest, cube, painted_round, star

DOCS = Path(__file__).parents[2] / "docs"
REWRITE = "AIRWEFT_REWRITE"


def step() -> str:
    """The thirteenth dozen of the open chest, built from the table upwards."""
    net = chest()
    height = net.joints[net.ends].mean(axis=1)[:, 2].round(6).tolist()
    order = sorted(range(net.bubble_count), key=lambda i: (height[i], i))
    steps = [order[k : k + 12] for k in range(0, 156, 12)]
    view = step_views(net, steps)[-1]
    new = steps[-1]
    return piece(
        net,
        PALETTE,
        view.camera,
        shown=order[:156],
        new=new,
        labels={bubble: str(k + 1) for k, bubble in enumerate(new)},
        title="A step: twelve new bubbles on a chest",
    )


def vase() -> str:
    """A vase in bands: rows where columns end and begin, and its closed foot."""
    net = painted_round(ROUND["vase"])
    assert net.counted is not None
    marks = tuple("BY"[row // 4 % 2] for row in net.counted[:, 1].tolist())
    return chart(replace(net, colours=marks), PALETTE, title="A vase, laid flat")


DRAWN = {
    "draw-cube": lambda: piece(
        cube(), PALETTE, Camera(turn=0.55, tilt=0.42), title="A cube of 216 bubbles"
    ),
    "draw-step": step,
    "draw-chart": lambda: chart(replace(chest()), PALETTE, title="A chest, unfolded"),
    "draw-round": vase,
    "draw-star": lambda: chart(star(), PALETTE, title="A frame star"),
    "draw-lock": lambda: lock(PALETTE[2:4]).svg,
}


def shape(svg: str) -> Counter[str]:
    """Kinds of elements with how often they occur, and the texts of titles."""
    root = ElementTree.fromstring(svg)
    return Counter(f"{e.tag} {e.text or ''}" for e in root.iter())


@pytest.mark.parametrize("name", DRAWN)
def test_pictures_on_the_page_are_drawn_by_the_program(name: str) -> None:
    path = DOCS / "pictures" / f"{name}.svg"
    drawn = DRAWN[name]()
    if os.environ.get(REWRITE):
        path.write_text(drawn, encoding="utf-8", newline="\n")
    assert shape(path.read_text(encoding="utf-8")) == shape(drawn)


def test_a_changed_picture_would_be_seen() -> None:
    assert shape(DRAWN["draw-lock"]()) != shape(DRAWN["draw-cube"]())


def test_the_page_shows_them_all() -> None:
    page = (DOCS / "draw.md").read_text(encoding="utf-8")
    shown = re.findall(r"\(pictures/(draw-[a-z]+)\.svg\)", page)
    assert sorted(shown) == sorted(DRAWN)
