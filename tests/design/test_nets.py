"""Designs of nets given one by one: the file beside the design, and what is said about it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import networkx as nx
import pytest

from airweft.base.errors import AirweftError, BadInput, CannotMake
from airweft.design.read import read_design
from airweft.net.file import read_net
from airweft.records.design import Design, NetFile

EXAMPLES = Path(__file__).parents[2] / "examples"
DESIGN = """\
airweft = 1
name = "Cross"
units = "cm"
[balloon]
size = "260"
[form]
kind = "net"
file = "cross.json"
[colours]
R = "red"
"""


def _written(folder: Path, text: str = DESIGN, **changes: Any) -> Path:
    bubble = {"a": 0, "b": 1, "length_mm": 100, "colour": "R", "kind": "frame"} | changes
    net = {
        "joints": [[0, 0, 0], [100, 0, 0], [50, 0, 87]],
        "bubbles": [bubble, bubble | {"a": 1, "b": 2}, bubble | {"a": 2, "b": 0}],
    }
    (folder / "cross.json").write_text(json.dumps(net), encoding="utf-8")
    path = folder / "cross.toml"
    path.write_text(text, encoding="utf-8")
    return path


def _read(path: Path) -> Design:
    return read_design(path, read_net=read_net)


def _codes(path: Path, kind: type[AirweftError]) -> list[str]:
    with pytest.raises(AirweftError) as caught:
        _read(path)
    assert type(caught.value) is kind
    return [finding.code for finding in caught.value.findings]


def test_the_frame_star() -> None:
    """12 joints, 25 bubbles of three colours; each colour alone is one trail (Euler)."""
    design = _read(EXAMPLES / "frame-star.toml")
    assert isinstance(design.form, NetFile)
    net = design.form.net
    assert (net.joint_count, net.bubble_count) == (12, 25)
    assert set(net.sizes) == {"260"}
    assert len(set(net.lengths.tolist())) == 3
    assert design.bubble == 6990  # the most frequent length
    for mark in "GWR":
        ends = [
            e for e, colour in zip(net.ends.tolist(), net.colours, strict=True) if colour == mark
        ]
        assert nx.has_eulerian_path(nx.MultiGraph(ends))


def test_a_net_needs_no_pattern_and_no_bubble(tmp_path: Path) -> None:
    design = _read(_written(tmp_path))
    assert design.pattern.kind == "given"
    assert (design.bubble, design.findings) == (10000, ())


def test_findings_of_both_files_come_together(tmp_path: Path) -> None:
    text = DESIGN.replace('"red"', '"rde"').replace('size = "260"', 'size = "26"')
    codes = _codes(_written(tmp_path, text, length_mm=-1), BadInput)
    assert "bad-colour" in codes
    assert "balloon-size" in codes
    assert any(code.startswith("net-file-") for code in codes)


def test_a_net_file_that_is_missing(tmp_path: Path) -> None:
    path = _written(tmp_path)
    (tmp_path / "cross.json").unlink()
    assert len(_codes(path, BadInput)) == 1


def test_marks_and_sizes_of_the_net_have_to_be_the_design_s(tmp_path: Path) -> None:
    assert _codes(_written(tmp_path, colour="Q"), BadInput) == ["unknown-colour"]
    assert _codes(_written(tmp_path, size="350"), BadInput) == ["other-size"]
    assert _read(_written(tmp_path, size="260")).size == "260"


def test_lengths_of_the_net_are_judged(tmp_path: Path) -> None:
    assert _codes(_written(tmp_path, length_mm=1600), CannotMake) == ["bubble-too-long"]
    short = _read(_written(tmp_path, length_mm=15)).findings
    assert ("risky", "bubble-too-short", 8) in [(f.severity, f.code, f.line) for f in short]


def test_a_bubble_length_beside_a_net_is_only_noted(tmp_path: Path) -> None:
    text = DESIGN.replace('size = "260"', 'size = "260"\nbubble = 2.5')
    design = _read(_written(tmp_path, text))
    assert [f.code for f in design.findings] == ["bubble-has-no-use"]
    assert design.fingerprint == _read(_written(tmp_path)).fingerprint


def test_patterns_over_a_net(tmp_path: Path) -> None:
    hand = '[pattern]\nkind = "hand"\n[pattern.bubbles]\n"b1" = "R"\n'
    assert _read(_written(tmp_path, DESIGN + hand)).pattern.bubbles == {"b1": "R"}
    assert _codes(_written(tmp_path, DESIGN + hand.replace("b1", "b9")), BadInput) == [
        "unknown-bubble"
    ]
    rows = '[pattern]\nkind = "rows"\nrepeat = "R"\n'
    assert _codes(_written(tmp_path, DESIGN + rows), BadInput) == ["pattern-needs-panels"]
    chart = '[pattern]\nkind = "hand"\n[pattern.charts]\nfront = "R"\n'
    assert _codes(_written(tmp_path, DESIGN + chart), BadInput) == ["pattern-needs-panels"]


@pytest.mark.parametrize("name", ["a\\\\b.json", "a\\u0000b.json", " ", "."])
def test_names_of_files_that_cannot_be(tmp_path: Path, name: str) -> None:
    path = _written(tmp_path, DESIGN.replace("cross.json", name))
    with pytest.raises(BadInput) as caught:
        _read(path)
    assert all(finding.remedy for finding in caught.value.findings)
