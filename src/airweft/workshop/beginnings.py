"""What a new piece can begin with: a starter of each form, or one of the festival's examples."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from airweft.design.starters import STARTERS

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
SUFFIX = ".toml"


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
    for path in sorted(folder.glob(f"*{SUFFIX}")):
        text = path.read_text(encoding="utf-8")
        files = {name: at.read_bytes() for name, at in sorted(others.items()) if name in text}
        title = path.stem.replace("-", " ").capitalize()
        found.append(Beginning(f"example-{path.stem}", title, "", text, files))
    return tuple(sorted(found, key=lambda one: (bool(one.files), one.key)))


def beginning(key: str) -> Beginning | None:
    """The one of this key."""
    return next((one for one in (*forms(), *examples()) if one.key == key), None)


def _examples_folder() -> Path | None:
    """In the installed package, or beside the sources."""
    package = Path(__file__).parent.parent
    places = (package / "examples", package.parent.parent / "examples")
    return next((place for place in places if place.is_dir()), None)
