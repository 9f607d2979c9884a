"""From a design file to a checked design, or to everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from airweft.base.errors import BadInput, CannotMake
from airweft.base.nearest import misspelt, said_list
from airweft.base.units import UNITS, Unit
from airweft.design.balloons import LENGTH_CODES, Balloons, check_bubbles, read_balloons
from airweft.design.canonical import fingerprint
from airweft.design.choices import read_choices
from airweft.design.colours import marks_of, read_palette
from airweft.design.explain import validate
from airweft.design.forms import EMPTY_NET, form_kind, read_form
from airweft.design.joined import FillNet, read_joined
from airweft.design.lines import key_lines
from airweft.design.patterns import read_pattern
from airweft.design.report import SECTIONS, Report, said
from airweft.design.schema import PART_KINDS, VERSION, JoinedPart, TopPart
from airweft.design.source import decode, read_text
from airweft.design.syntax import Parsed, parse
from airweft.records.choices import Choices
from airweft.records.design import Colour, Design, Form, Joined, NetFile, Part, Pattern
from airweft.records.net import Net

ReadNet = Callable[..., Net]

_TOP_KEYS = tuple(TopPart.model_fields)


def read_design(path: Path, *, read_net: ReadNet | None = None) -> Design:
    """The design that a file holds; risky and merely notable findings are in `design.findings`.

    `read_net` reads the file of a form of kind "net" (its path is taken from the design file's
    folder) and raises BadInput or CannotMake for a bad one; without it the net stays empty, and the
    fingerprint does not cover it. Raises BadInput or TooNew with every finding, each with its line,
    or CannotMake if all is well written but cannot be woven.
    """
    path = Path(path)
    return design_from_text(read_text(path), name=path.name, folder=path.parent, read_net=read_net)


def design_from_bytes(data: bytes, *, name: str = "design") -> Design:
    """The design in the bytes of a file, as `read_design` reads it; a net file is not read."""
    return design_from_text(decode(data, name), name=name)


def design_from_text(
    text: str, *, name: str = "design", folder: Path | None = None, read_net: ReadNet | None = None
) -> Design:
    """The design in a text, as `read_design` reads it; nets are looked for in `folder`."""
    parsed = parse(text, name)
    if parsed.data is None:
        raise BadInput(parsed.findings)
    _check_not_newer(parsed)
    report = Report(text.split("\n"), key_lines(parsed.text))
    report.add_bad(parsed.findings)
    design = _read(parsed.data, report, folder, read_net)
    if parsed.lost:
        report.forget(lambda f: f.code == "missing-key" and _names_any(f.message, parsed.lost))
    report.stop_if_needed()
    assert design is not None, "a reader gave nothing and did not say why"
    design = replace(design, findings=report.advice, places=report.places("form"))
    return replace(design, fingerprint=fingerprint(design))


def _names_any(message: str, keys: frozenset[str]) -> bool:
    """True if a message about a missing key is about a key whose line could not be read."""
    return message.split(" ")[0] in keys or any(f"[{key}]" in message.split(".")[0] for key in keys)


def _check_not_newer(parsed: Parsed) -> None:
    """Raise TooNew, and nothing else, for a file of a later version."""
    version = (parsed.data or {}).get("airweft")
    if isinstance(version, int) and not isinstance(version, bool) and version > VERSION:
        report = Report(parsed.text.split("\n"), key_lines(parsed.text))
        report.stop_as_too_new(("airweft",), "design", version, VERSION)


def _read(
    data: dict[str, Any], report: Report, folder: Path | None, read_net: ReadNet | None
) -> Design | None:
    """The design, without findings and fingerprint, or None after reporting."""
    top = _read_top(data, report)
    units = data.get("units")
    unit: Unit = units if units in UNITS else "cm"
    kind = None
    if _has_section("form", data, report, 'kind = "box"'):
        kind = form_kind(data["form"], report)
    balloons: Balloons | None = None
    if _has_section("balloon", data, report, 'size = "260"'):
        balloons = read_balloons(
            data["balloon"], report, unit=unit, needs_bubble=kind not in (None, "net")
        )
        if units not in UNITS:  # without a unit, nothing can be said about how long things are
            report.forget(lambda f: f.code in LENGTH_CODES)
    palette: tuple[Colour, ...] | None = None
    if _has_section("colours", data, report, 'R = "red"'):
        palette = read_palette(data["colours"], report)
    marks = marks_of(data.get("colours"))
    form: Form | None = None
    if kind == "joined":
        size = balloons.size.code if balloons is not None else ""

        def fill_net(part: NetFile, inside: Report, own: str) -> NetFile | None:
            return _fill_net(part, own, marks, inside, folder, read_net, is_part=True)

        form = _joined(data["form"], report, unit, size, marks, fill_net)
    elif kind is not None:
        form = read_form(kind, data["form"], report, unit=unit)
    if isinstance(form, NetFile):
        size = balloons.size.code if balloons is not None else ""
        form = _fill_net(form, size, marks, report, folder, read_net)
        if form is not None and balloons is not None and units in UNITS:
            lengths = form.net.lengths.tolist()
            check_bubbles(balloons, lengths, report, unit, path=("form", "file"))
    pattern: Pattern | None = None
    painted = isinstance(form, Joined) and all(map(_is_painted, form.parts))
    if (kind == "net" or painted) and "pattern" not in data:
        pattern = Pattern(kind="given")
    elif _has_section("pattern", data, report, 'kind = "plain" and colour = "R"'):
        pattern = read_pattern(data["pattern"], report, form_kind=kind, form=form, marks=marks)
    choices: Choices | None = Choices()
    if "plan" in data:
        choices = read_choices(data["plan"], report, unit=unit, marks=marks)
    if top is None or balloons is None or form is None or palette is None or pattern is None:
        return None
    return None if choices is None else _assemble(top, balloons, form, palette, pattern, choices)


def _is_painted(part: Part) -> bool:
    """True if the design's pattern has nothing left to say about a part."""
    own = isinstance(part.form, NetFile) and "" not in part.form.net.colours
    return part.pattern is not None or own


def _joined(
    data: Any, report: Report, unit: Unit, size: str, marks: list[str], fill_net: FillNet
) -> Joined | None:
    part = validate(JoinedPart, data, ("form",), report, unit=unit)
    if part is None:
        return None
    return read_joined(
        part,
        report,
        unit=unit,
        size=size,
        read_form=lambda kind, keys, inside: read_form(kind, keys, inside, unit=unit),
        read_pattern=lambda keys, inside, kind, form: read_pattern(
            keys, inside, form_kind=kind, form=form, marks=marks, path=("form", "pattern")
        ),
        fill_net=fill_net,
        kinds=PART_KINDS,
    )


def _assemble(
    top: TopPart,
    balloons: Balloons,
    form: Form,
    palette: tuple[Colour, ...],
    pattern: Pattern,
    choices: Choices,
) -> Design:
    return Design(
        name=top.name,
        units=top.units,
        size=balloons.size.code,
        bubble=balloons.bubble or _usual_length(form),
        hands=balloons.hands,
        most_bubbles=balloons.most_bubbles,
        tail=balloons.tail,
        tail_step=balloons.tail_step,
        budget=balloons.budget,
        assumed=balloons.assumed,
        form=form,
        palette=palette,
        pattern=pattern,
        notes=top.notes,
        placed=top.placed,
        choices=choices,
    )


def _read_top(data: dict[str, Any], report: Report) -> TopPart | None:
    """What stands above the sections; unknown sections are reported along with unknown keys."""
    version = data.get("airweft")
    if isinstance(version, int) and not isinstance(version, bool) and version < 1:
        report.bad(
            "out-of-range",
            ("airweft",),
            f"There is no version {said(version)} of the design file.",
            f"Write airweft = {VERSION}.",
        )
    return validate(TopPart, {k: v for k, v in data.items() if k not in SECTIONS}, (), report)


def _has_section(name: str, data: dict[str, Any], report: Report, example: str) -> bool:
    if name in data:
        return True
    if misspelt(name, (key for key, value in data.items() if isinstance(value, dict)), SECTIONS):
        return False  # misspelt, and reported as unknown
    report.bad_at_end(
        "missing-key",
        f"The section [{name}] is missing.",
        f"Add a heading [{name}] and its keys under it, for example: {example}",
    )
    return False


def _fill_net(
    form: NetFile,
    size: str,
    marks: list[str],
    report: Report,
    folder: Path | None,
    read_net: ReadNet | None,
    *,
    is_part: bool = False,
) -> NetFile | None:
    """The form with its net read, all bubbles of one balloon size ("" where it is not known)."""
    here = ("form", "file")
    if read_net is None or folder is None:
        return form
    if "\\" in form.file or "\0" in form.file:
        report.bad(
            "net-file",
            here,
            "The name of the net's file has a \\ in it.",
            "Use / between folder and file, such as parts/star.json.",
        )
        return None
    try:
        net = read_net(folder / form.file, **({"is_part": True} if is_part else {}))
    except BadInput as error:
        report.add_bad(error.findings)
        return None
    except CannotMake as error:
        report.add_cannot(error.findings)
        return None
    strange = sorted(set(net.colours) - {*marks, ""}) if marks else []
    for mark in strange:
        report.bad(
            "unknown-colour",
            here,
            f"The net's file uses the colour {said(mark)}, which is no mark of [colours].",
            f"Add a line for it under [colours], or use {said_list(marks, last='or')} in the file.",
        )
    others = sorted(set(net.sizes) - {size, ""}) if size else []
    if others:
        report.bad(
            "other-size",
            here,
            f"The net's file has bubbles of balloon size {said_list(others)}, but "
            + (
                f"this part has {size}; a part has one size."
                if is_part
                else f"[balloon] says {size}; a design has one size."
            ),
            "Take the sizes out of the net's file, or give that size "
            + ("to the part." if is_part else "under [balloon]."),
        )
    if strange or others:
        return None
    net = replace(net, sizes=(size,) * net.bubble_count)
    return replace(form, net=net)


def _usual_length(form: Form) -> int:
    """The most frequent bubble length of a net (the shortest among equals); 25 mm for no net."""
    lengths = form.net.lengths.tolist() if isinstance(form, NetFile) else []
    counts: dict[int, int] = {}
    for length in sorted(lengths):
        counts[length] = counts.get(length, 0) + 1
    return max(counts, key=lambda length: counts[length]) if counts else 2500


__all__ = ["EMPTY_NET", "ReadNet", "design_from_bytes", "design_from_text", "read_design"]
