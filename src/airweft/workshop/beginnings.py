"""What a new piece can begin with: a starter of each form, or one of the festival's examples."""

from __future__ import annotations

import hashlib
import os
import tempfile
import threading
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from airweft import __version__
from airweft.base.errors import AirweftError
from airweft.design.starters import STARTERS
from airweft.workshop.shape import open_design, painted_net
from airweft.workshop.sheets import picture_svg

# In the order in which they are offered; a model or a net of one's own begins with its file.
_FORMS = {
    "box": ("Box", "six sides, any of them open"),
    "ball": ("Ball", "round all over"),
    "tube": ("Tube", "open at both ends"),
    "turned": ("Turned", "a profile turned round: posts, bells, vases"),
    "blocks": ("Blocks", "cubes in layers: letters, steps, houses"),
    "ring": ("Ring", "a lifebelt, a wreath"),
    "cone": ("Cone", "a roof, a hat"),
    "sheet": ("Sheet", "flat: a banner, a pennant"),
    "solid": ("Solid", "regular bodies, woven or as a frame"),
    "joined": ("Joined", "several forms sewn together"),
}
_SUFFIX = ".toml"
_DRAWING = threading.Lock()


@dataclass(frozen=True, slots=True)
class Beginning:
    """Something to begin with: its design, and the files that this names."""

    key: str
    title: str
    words: str
    text: str = field(repr=False)
    files: Mapping[str, bytes] = field(repr=False, default_factory=dict)


@cache
def forms() -> tuple[Beginning, ...]:
    """A starter of each form that needs no file."""
    return tuple(
        Beginning(f"form-{form}", title, words, STARTERS[form])
        for form, (title, words) in _FORMS.items()
    )


@cache
def examples() -> tuple[Beginning, ...]:
    """The pieces of the harbour festival; none where they were not installed."""
    folder = _examples_folder()
    if folder is None:
        return ()
    others = {path.name: path for path in folder.iterdir() if path.suffix in (".obj", ".json")}
    found = []
    for path in sorted(folder.glob(f"*{_SUFFIX}")):
        text = path.read_text(encoding="utf-8")
        files = {name: at.read_bytes() for name, at in sorted(others.items()) if name in text}
        title = path.stem.replace("-", " ").capitalize()
        found.append(Beginning(f"example-{path.stem}", title, "", text, files))
    return tuple(sorted(found, key=lambda one: (bool(one.files), one.key)))


def beginning(key: str) -> Beginning | None:
    """The one of this key."""
    return next((one for one in (*forms(), *examples()) if one.key == key), None)


def drawn(one: Beginning, kept: Path) -> str:
    """Its picture as SVG, "" if there is none; drawn once, then taken from the folder `kept`."""
    mark = hashlib.sha256(f"{__version__}\n{one.key}\n{one.text}".encode()).hexdigest()[:16]
    file = kept / f"{one.key}-{mark}.svg"
    try:
        return file.read_text(encoding="utf-8")
    except OSError:
        pass
    with _DRAWING:  # one at a time: they are asked for all at once, and pages come first
        svg = _draw(one)
    try:
        kept.mkdir(parents=True, exist_ok=True)
        beside = file.with_name(f"{file.name}.{os.getpid()}-{threading.get_ident()}")
        beside.write_text(svg, encoding="utf-8")
        beside.replace(file)
    except OSError:
        pass  # not kept then, and drawn again next time
    return svg


def _draw(one: Beginning) -> str:
    with tempfile.TemporaryDirectory(prefix="airweft-") as folder:
        design_file = Path(folder, f"design{_SUFFIX}")
        design_file.write_text(one.text, encoding="utf-8", newline="\n")
        for name, data in one.files.items():
            Path(folder, name).write_bytes(data)
        try:
            design = open_design(design_file)
            return picture_svg(painted_net(design), design)
        except AirweftError:
            return ""


def _examples_folder() -> Path | None:
    """In the installed package, or beside the sources."""
    package = Path(__file__).parent.parent
    places = (package / "examples", package.parent.parent / "examples")
    return next((place for place in places if place.is_dir()), None)
