"""Every benchmark net, family by family."""

from __future__ import annotations

from collections.abc import Iterator

from benchmarks.nets import boxes, frames, meshes, mixed, pictures, rounds, sheets
from benchmarks.nets.case import Case, Recipe

FAMILIES: dict[str, tuple[Recipe, ...]] = {
    "boxes": boxes.RECIPES,
    "sheets": sheets.RECIPES,
    "pictures": pictures.RECIPES,
    "frames": frames.RECIPES,
    "rounds": rounds.RECIPES,
    "meshes": meshes.RECIPES,
    "mixed": mixed.RECIPES,
}

NAMES = tuple(recipe.name for recipes in FAMILIES.values() for recipe in recipes)


def cases(*, only: str = "", names: frozenset[str] | None = None) -> Iterator[Case]:
    """The nets whose name holds `only`, and that are among `names` if these are given, in order."""
    for family, recipes in FAMILIES.items():
        for recipe in recipes:
            if only in recipe.name and (names is None or recipe.name in names):
                yield recipe.case(family)
