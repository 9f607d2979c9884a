"""Random designs, as records and as texts."""

from __future__ import annotations

import string
from collections.abc import Sequence

from hypothesis import strategies as st

from airweft.balloon.sizes import FIGURES, SIZES
from airweft.base.units import UNITS
from airweft.design.css import CSS_COLOURS
from airweft.design.forms import EMPTY_NET, SIDES, panel_sizes
from airweft.records.budget import Budget
from airweft.records.choices import (
    CHOSEN_STYLES,
    WEIGHT_NAMES,
    Choices,
    Inside,
    KeepBefore,
    KeepPanels,
    KeepToward,
    KeepTrail,
    in_stable_order,
)
from airweft.records.design import (
    Ball,
    Blocks,
    Box,
    Colour,
    Cone,
    Design,
    Form,
    NetFile,
    Pattern,
    Ring,
    Sheet,
    Solid,
    Tube,
    Turned,
)

_even = st.integers(1, 6).map(lambda n: 2 * n)
_text = st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=20)
names = _text.map(str.strip).filter(lambda t: t != "" and t.isprintable())
_open = st.sets(st.sampled_from(SIDES), max_size=3).map(
    lambda sides: tuple(side for side in SIDES if side in sides)
)
_size = st.integers(1, 1_000_000)
_ends = st.sampled_from([(), ("bottom",), ("top",), ("bottom", "top")])
_seams = st.sampled_from(["plain", "extra"])

_layer = st.lists(st.text("#.", min_size=3, max_size=3), min_size=2, max_size=2).map(tuple)

forms: st.SearchStrategy[Form] = st.one_of(
    st.builds(Sheet, columns=_even, rows=_even),
    st.builds(Tube, around=st.integers(2, 6).map(lambda n: 2 * n), rows=_even),
    st.builds(Box, across=_even, deep=_even, high=_even, open=_open, seams=_seams),
    st.builds(
        Blocks,
        cell=st.sampled_from([2, 4]),
        layers=st.lists(_layer, min_size=1, max_size=3)
        .map(tuple)
        .filter(lambda layers: "#" in str(layers)),
        open=_open,
        seams=_seams,
    ),
    st.builds(
        Turned,
        profile=st.lists(st.tuples(_size, _size), min_size=1, max_size=5)
        .map(tuple)
        .map(lambda p: p if p[0][1] <= p[-1][1] else p[::-1]),
        around=st.just(0) | st.integers(2, 20).map(lambda n: 2 * n),
        closed=_ends,
    ),
    st.builds(Ball, across=_size),
    st.builds(Ring, across=_size, thick=_size),
    st.builds(Cone, across=_size, high=_size, open=st.sampled_from([(), ("bottom",)])),
    st.builds(
        Solid,
        name=st.sampled_from(["cube", "snub cube", "prism 6", "no such solid"]),
        build=st.sampled_from(["frame", "fabric"]),
        divide=st.integers(1, 40),
    ),
    st.builds(NetFile, file=names.filter(lambda t: "\\" not in t), net=st.just(EMPTY_NET)),
)


@st.composite
def _colours(draw: st.DrawFn, mark: str) -> Colour:
    if draw(st.booleans()):
        name = draw(st.sampled_from(sorted(CSS_COLOURS)))
        return Colour(mark, name, CSS_COLOURS[name])
    digits = draw(st.text("0123456789abcdef", min_size=6, max_size=6))
    name = draw(st.just(f"#{digits}") | names)
    return Colour(mark, name, f"#{digits}")


@st.composite
def palettes(draw: st.DrawFn) -> tuple[Colour, ...]:
    marks = draw(
        st.lists(
            st.sampled_from(string.ascii_letters + string.digits),
            min_size=1,
            max_size=5,
            unique_by=str.lower,
        )
    )
    return tuple(draw(_colours(mark)) for mark in sorted(marks))


@st.composite
def patterns(draw: st.DrawFn, form: Form, marks: Sequence[str]) -> Pattern:
    mark = st.sampled_from(marks)
    panels = panel_sizes(form)
    kinds = ["plain", "given"] if isinstance(form, NetFile) else ["plain", "columns", "rows"]
    kinds += [] if isinstance(form, NetFile) else ["checks", "panels", "given"]
    kind = draw(st.sampled_from(kinds))
    bubbles: dict[str, str] = {}
    if (kind == "given" and not isinstance(form, NetFile)) or draw(st.booleans()):
        if panels is None:
            keys = draw(st.lists(names, min_size=1, max_size=3, unique=True))
        else:
            panel = draw(st.sampled_from(sorted(panels)))
            columns, rows = panels[panel]
            keys = [f"{panel} {draw(st.integers(1, columns))}.{draw(st.integers(1, rows))}"]
        bubbles = {key: draw(mark) for key in sorted(keys)}
    if kind == "panels":
        if panels is None:
            named = {key: draw(mark) for key in draw(st.sets(st.sampled_from(SIDES), max_size=2))}
            return Pattern(
                kind="panels",
                repeat=draw(mark),
                panels=dict(sorted(named.items())),
                bubbles=bubbles,
            )
        return Pattern(kind="panels", panels={p: draw(mark) for p in panels}, bubbles=bubbles)
    least = {"plain": 1, "columns": 1, "rows": 1, "checks": 2, "given": 0}[kind]
    most = {"plain": 1, "given": 0}.get(kind, 6)
    repeat = "".join(draw(st.lists(mark, min_size=least, max_size=most)))
    return Pattern(kind=kind, repeat=repeat, bubbles=bubbles)


@st.composite
def choices(draw: st.DrawFn, marks: Sequence[str]) -> Choices:
    several = st.lists(names, min_size=2, max_size=4, unique=True)
    keep: list[st.SearchStrategy[KeepTrail | KeepPanels | KeepBefore | KeepToward]] = [
        several.map(lambda names: KeepTrail(tuple(names))),
        several.map(lambda names: KeepPanels(tuple(names))),
        several.map(lambda names: KeepToward(names[0], names[1])),
    ]
    if len(marks) > 1:
        order = st.permutations(marks).map(lambda marks: KeepBefore(tuple(marks[:3])))
        keep.append(order)
    weight = st.floats(0, 1e6) | st.integers(0, 10**6).map(float)
    weights = draw(st.dictionaries(st.sampled_from(WEIGHT_NAMES), weight))
    return Choices(
        style=draw(st.sampled_from(["", *CHOSEN_STYLES])),
        crew=draw(st.integers(0, 9)),
        seed=draw(st.none() | st.integers(0, 10**6)),
        start=draw(st.just("") | names),
        weights=tuple((name, weights[name]) for name in WEIGHT_NAMES if name in weights),
        keep=in_stable_order(tuple(draw(st.lists(st.one_of(keep), max_size=4)))),
        inside=draw(st.none() | st.builds(Inside, names, st.integers(1, 100_000))),
    )


@st.composite
def designs(draw: st.DrawFn) -> Design:
    form = draw(forms)
    palette = draw(palettes())
    size = draw(st.sampled_from(sorted(SIZES)))
    own = draw(st.sets(st.sampled_from(FIGURES[2:])))
    shipped = SIZES[size].budget
    figures = {f: getattr(shipped, f) for f in FIGURES}
    figures |= {f: draw(st.integers(0, 5000)) for f in sorted(own)}
    bubble = 2500 if isinstance(form, NetFile) else draw(st.integers(500, 20_000))
    return Design(
        name=draw(names),
        units=draw(st.sampled_from(UNITS)),
        size=size,
        bubble=bubble,
        hands=draw(st.integers(1, 8)),
        most_bubbles=draw(st.none() | st.integers(1, 30)),
        tail=draw(st.none() | st.integers(5000, 9000)),
        tail_step=draw(st.integers(1, 5000)),
        budget=Budget(**figures),
        assumed=tuple(f for f in FIGURES if f not in own),
        form=form,
        palette=palette,
        pattern=draw(patterns(form, [colour.mark for colour in palette])),
        notes="\n".join(draw(st.lists(names, max_size=3))),
        placed=draw(st.sampled_from((None, "table", "hanging"))),
        choices=draw(st.just(Choices()) | choices([colour.mark for colour in palette])),
    )
