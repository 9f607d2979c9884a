"""The page's look: the same bodies as in print, and colours that can be read."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from airweft.draw import body, paint, picture
from airweft.draw.camera import Camera
from airweft.draw.palette import contrast

SOURCES = files("airweft.booklet") / "phone"
STYLE = (SOURCES / "look.css").read_text(encoding="utf-8")
PAINTER = "\n".join(
    (files("airweft.draw") / "canvas" / name).read_text(encoding="utf-8")
    for name in ("inks.js", "painter.js", "writing.js")
)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("PULL", body.PULL),
        ("REACH", Camera().reach),
        ("INSIDE", picture.INSIDE),
        ("DISC", picture.DISC),
        ("LONG", paint.LONG),
    ],
)
def test_the_painter_draws_the_bodies_of_the_printed_pictures(name, value):
    found = re.search(rf"^(?:export )?const {name} = (-?[0-9.]+);", PAINTER, re.MULTILINE)
    assert found and float(found[1]) == pytest.approx(value)


def _tokens(selector: str) -> dict[str, str]:
    block = STYLE.partition(selector + " {")[2].partition("}")[0]
    return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6});", block))


LIGHT = _tokens(":root")
DARK = LIGHT | _tokens(':root[data-theme="dark"]')


# WCAG 2.1, 1.4.3: 4.5 to 1 for text; 1.4.11: 3 to 1 for the edges of controls and signs.
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize(
    ("ink", "ground", "least"),
    [
        ("ink", "paper", 7),
        ("ink", "card", 7),
        ("soft", "paper", 4.5),
        ("soft", "card", 4.5),
        ("sea", "paper", 4.5),
        ("sea", "card", 4.5),
        ("sea", "sea-pale", 4.5),
        ("sea-ink", "sea", 4.5),
        ("amber", "paper", 4.5),
        ("amber", "amber-pale", 4.5),
        ("ink", "amber-pale", 7),
        ("red", "card", 4.5),
        ("good", "paper", 3),
        ("good", "card", 4.5),
        ("focus", "paper", 3),
        ("focus", "card", 3),
    ],
)
def test_colours_of_the_page_can_be_read(theme, ink, ground, least):
    assert contrast(theme[ink], theme[ground]) >= least
