"""Net files: what is read, and that everything else is told with its place."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import networkx as nx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from airweft.base.errors import AirweftError, BadInput, CannotMake, TooNew
from airweft.net.file import read_net
from airweft.net.whole import net_notes
from tests.solids import SOLIDS

SQUARE = {
    "joints": [[0, 0, 0], [25, 0, 0], [25, 0, 25], [0, 0, 25]],
    "bubbles": [{"a": k, "b": (k + 1) % 4, "length_mm": 25} for k in range(4)],
}


def _read(tmp_path: Path, value: object, **options: Any) -> Any:
    path = tmp_path / "net.json"
    path.write_text(value if isinstance(value, str) else json.dumps(value), encoding="utf-8")
    return read_net(path, **options)


def _findings(tmp_path: Path, value: object, error: type[AirweftError] = BadInput) -> list[Any]:
    with pytest.raises(error) as caught:
        _read(tmp_path, value)
    assert type(caught.value) is error
    return list(caught.value.findings)


def _changed(**changes: Any) -> dict[str, Any]:
    return {**json.loads(json.dumps(SQUARE)), **changes}


def _with_bubbles(*more: dict[str, Any]) -> dict[str, Any]:
    return _changed(bubbles=[*SQUARE["bubbles"], *more])


def test_smallest_file(tmp_path: Path) -> None:
    net = _read(tmp_path, SQUARE, size="260")
    assert net.lengths.tolist() == [2500] * 4
    assert net.kinds == ("frame",) * 4
    assert net.colours == ("",) * 4
    assert net.sizes == ("260",) * 4
    assert net.bubble_names == ("b0", "b1", "b2", "b3")
    assert net.joint_names == ("j0", "j1", "j2", "j3")
    assert net.places.tolist() == [[-1, -1]] * 4
    assert (net.cells, net.seams, net.panels) == ((), (), ())


def test_under_a_key_with_everything_given(tmp_path: Path) -> None:
    bubbles = [
        {**b, "colour": "R", "name": f"rail {k}", "size": "160", "kind": "fabric", "extra": [None]}
        for k, b in enumerate(SQUARE["bubbles"])
    ]
    value = {
        "made": "by hand",
        "net": {
            "joints": SQUARE["joints"],
            "bubbles": bubbles,
            "joint_names": ["n", "e", "s", "w"],
            "mood": 7,
        },
    }
    net = _read(tmp_path, value, size="260")
    assert net.bubble_names == ("rail 0", "rail 1", "rail 2", "rail 3")
    assert net.joint_names == ("n", "e", "s", "w")
    assert net.sizes == ("160",) * 4
    assert net.colours == ("R",) * 4
    assert net.kinds == ("fabric",) * 4


def test_lengths_are_rounded_once_to_hundredths(tmp_path: Path) -> None:
    text = json.dumps(SQUARE).replace('"length_mm": 25', '"length_mm": 25.005')
    assert _read(tmp_path, text).lengths.tolist() == [2501] * 4


def test_loops_and_doubled_bubbles(tmp_path: Path) -> None:
    net = _read(
        tmp_path,
        _with_bubbles({"a": 0, "b": 1, "length_mm": 30}, {"a": 2, "b": 2, "length_mm": 20}),
    )
    assert Counter(map(tuple, map(sorted, net.ends.tolist())))[0, 1] == 2
    assert net.kinds[-1] == "loop"


@pytest.mark.parametrize("turned", [False, True])
def test_free_bubbles_hang_by_their_second_end(tmp_path: Path, turned: bool) -> None:
    value = _with_bubbles(
        {"a": 4 if turned else 1, "b": 1 if turned else 4, "length_mm": 40, "kind": "free"}
    )
    value["joints"].append([60, 0, 0])
    assert _read(tmp_path, value).ends[-1].tolist() == [1, 4]


@pytest.mark.parametrize("name", list(SOLIDS))
def test_solids_as_net_files(tmp_path: Path, name: str) -> None:
    solid = SOLIDS[name]
    value = {
        "joints": (solid.positions * 50).tolist(),
        "bubbles": [{"a": a, "b": b, "length_mm": 50} for a, b in solid.edges],
    }
    net = _read(tmp_path, value)
    assert nx.utils.graphs_equal(nx.Graph(net.ends.tolist()), nx.Graph(list(solid.edges)))
    assert net_notes(net) == ()


def test_every_problem_at_once_with_its_path(tmp_path: Path) -> None:
    value = {
        "net": {
            "joints": [[0, 0, 0], [1, 2], "here", [1, 2, None]],
            "bubbles": [
                {"a": 0, "b": 7, "length_mm": -3},
                {"a": True, "b": 1, "length_mm": "25"},
                5,
                {"a": 0, "b": 1, "length_mm": 1e9, "colour": "red", "kind": "frme"},
                {"a": 0, "b": 0, "length_mm": 9, "kind": "frame"},
                {"a": 0, "b": 1, "length_mm": 9, "kind": "loop"},
                {"a": 0.5, "b": 1, "length_mm": 9, "name": ""},
            ],
            "joint_names": ["one"],
        }
    }
    found = {f.where for f in _findings(tmp_path, value)}
    assert found == {
        "net.joints[1]",
        "net.joints[2]",
        "net.joints[3][2]",
        "net.bubbles[0].b",
        "net.bubbles[0].length_mm",
        "net.bubbles[1].a",
        "net.bubbles[1].length_mm",
        "net.bubbles[2]",
        "net.bubbles[3].length_mm",
        "net.bubbles[3].colour",
        "net.bubbles[3].kind",
        "net.bubbles[4].kind",
        "net.bubbles[5].kind",
        "net.bubbles[6].a",
        "net.bubbles[6].name",
        "net.joint_names",
    }


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "not-json"),
        ("{", "not-json"),
        ('{"joints": [[0, 0, 0]],\n "bubbles": [,]}', "not-json"),
        ("[]", "net-file-wrong-type"),
        ("7", "net-file-wrong-type"),
        ("{}", "net-file-missing"),
        ('{"net": 3}', "net-file-wrong-type"),
        ('{"joints": [], "bubbles": []}', "net-file-empty"),
        ("[" * 100_000, "nested-too-deep"),
        (json.dumps(SQUARE).replace("25", "NaN", 1), "net-file-wrong-type"),
        (json.dumps(SQUARE).replace("25", "Infinity", 1), "net-file-wrong-type"),
        (json.dumps(SQUARE).replace("25", "-Infinity"), "net-file-wrong-type"),
        (json.dumps(SQUARE).replace("25", "1e999"), "net-file-wrong-type"),
        (json.dumps(SQUARE).replace("25", "9" * 5000), "net-file-wrong-type"),
        (json.dumps(SQUARE).replace('"a": 1', '"a": 1, "a": 2'), "net-file-key-twice"),
        (json.dumps(SQUARE)[:-1] + ', "bubbles": []}', "net-file-key-twice"),
        (json.dumps(SQUARE).replace('"a": 1', '"a": 1e99'), "net-file-wrong-type"),
        (json.dumps({**SQUARE, "joints": [[0, 0, 0]] * 100_001}), "net-file-too-many"),
        (json.dumps({**SQUARE, "joint_names": ["x"] * 4}), "net-file-name-twice"),
        (
            json.dumps({**SQUARE, "joint_names": ["j1", "j0", "\u0007", "k"]}),
            "net-file-unprintable",
        ),
    ],
)
def test_bad_texts(tmp_path: Path, text: str, code: str) -> None:
    findings = _findings(tmp_path, text)
    assert code in {f.code for f in findings}
    assert all(f.message and f.where for f in findings)


def test_syntax_errors_name_the_line(tmp_path: Path) -> None:
    (finding,) = _findings(tmp_path, '{"joints": [],\n "bubbles" []}')
    assert finding.line == 2
    assert "line 2" in finding.message
    assert finding.context == ' "bubbles" []}'


def test_files_that_are_none(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "missing.json", Path("\0"), tmp_path / ("x" * 5000)):
        with pytest.raises(BadInput) as caught:
            read_net(path)
        assert caught.value.findings[0].remedy
    bad = tmp_path / "bytes.json"
    bad.write_bytes(b'{"joints": "\xff"}')
    with pytest.raises(BadInput, match="byte 13"):
        read_net(bad)
    bad.write_bytes(b"\xef\xbb\xbf" + json.dumps(SQUARE).encode())
    assert read_net(bad).joint_count == 4


def test_a_plan_file_is_a_net_file_too_but_not_a_later_one(tmp_path: Path) -> None:
    value = {"format": "airweft-plan", "version": 1, "net": SQUARE}
    assert _read(tmp_path, value).bubble_count == 4
    (finding,) = _findings(tmp_path, {**value, "version": 2}, TooNew)
    assert "version 2" in finding.message


def test_names_that_clash_with_the_numbered_ones(tmp_path: Path) -> None:
    bubbles = [dict(b) for b in SQUARE["bubbles"]]
    bubbles[3]["name"] = "b0"
    (finding,) = _findings(tmp_path, _changed(bubbles=bubbles))
    assert finding.where == "bubbles[3].name"


def _cannot(tmp_path: Path, value: object) -> dict[str, Any]:
    return {f.code: f for f in _findings(tmp_path, value, CannotMake)}


def test_bare_joint(tmp_path: Path) -> None:
    found = _cannot(tmp_path, _changed(joints=[*SQUARE["joints"], [9, 9, 9]]))
    assert found["bare-joint"].where == "joint j4"
    assert found["bare-joint"].joints == (4,)


def test_single_end_needs_a_free_bubble(tmp_path: Path) -> None:
    value = _with_bubbles({"a": 1, "b": 4, "length_mm": 25})
    value["joints"].append([50, 0, 0])
    finding = _cannot(tmp_path, value)["single-end"]
    assert finding.where == "joint j4"
    assert '"free"' in finding.remedy


def test_free_bubble_with_both_ends_held(tmp_path: Path) -> None:
    value = _with_bubbles({"a": 0, "b": 2, "length_mm": 35, "kind": "free"})
    finding = _cannot(tmp_path, value)["free-end-held"]
    assert finding.rule == "M11"
    assert (finding.where, finding.joints, finding.bubbles) == ("bubble b4", (0, 2), (4,))


def test_separate_parts_name_both(tmp_path: Path) -> None:
    far = [[x + 1000, y, z] for x, y, z in SQUARE["joints"]]
    more = [{**b, "a": b["a"] + 4, "b": b["b"] + 4} for b in SQUARE["bubbles"]]
    value = {"joints": SQUARE["joints"] + far, "bubbles": SQUARE["bubbles"] + more}
    finding = _cannot(tmp_path, value)["separate-parts"]
    assert "j0" in finding.message
    assert "j4" in finding.message
    assert finding.rule == "M10"


def test_crowded_joint_unless_allowed(tmp_path: Path) -> None:
    value = _with_bubbles(*({"a": 0, "b": 0, "length_mm": 20} for _ in range(4)))
    finding = _cannot(tmp_path, value)["crowded-joint"]
    assert finding.rule == "M12"
    assert finding.where == "joint j0"
    assert len(_read(tmp_path, value, most_ends=10).ends_at()[0]) == 10
    del value["bubbles"][-1]
    assert len(_read(tmp_path, value).ends_at()[0]) == 8


def test_many_of_a_kind_are_told_with_their_number(tmp_path: Path) -> None:
    value = _changed(joints=[*SQUARE["joints"], *([9, 9, k] for k in range(30))])
    findings = _findings(tmp_path, value, CannotMake)
    assert len(findings) == 12
    assert "18 further joints" in findings[-1].message
    assert sum(len(f.joints) for f in findings) == 30


def test_positions_in_another_unit_are_noted(tmp_path: Path) -> None:
    value = _changed(joints=[[x / 10, y / 10, z / 10] for x, y, z in SQUARE["joints"]])
    (note,) = net_notes(_read(tmp_path, value))
    assert note.severity == "note"
    assert note.bubbles == (0, 1, 2, 3)


# Anything at all: a net or a finding, and never anything else.

SCRAPS = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["net", "joints", "bubbles", "a", "b", "length_mm", "kind", "name"]),
            inner,
            max_size=5,
        )
    ),
    max_leaves=12,
)
NUMBERS = st.integers(-1, 6) | st.floats(-5, 30) | SCRAPS
BUBBLES = st.fixed_dictionaries(
    {"a": st.integers(0, 4) | SCRAPS, "b": st.integers(0, 4), "length_mm": NUMBERS},
    optional={
        "kind": st.sampled_from(["frame", "loop", "free", "fabric", "", "Free"]) | SCRAPS,
        "colour": st.sampled_from(["R", "W", "", "red"]) | SCRAPS,
        "name": st.text(max_size=3) | SCRAPS,
        "size": st.sampled_from(["160", "260"]) | SCRAPS,
    },
)
NETS = st.fixed_dictionaries(
    {
        "joints": st.lists(st.lists(NUMBERS, min_size=3, max_size=3), max_size=5) | SCRAPS,
        "bubbles": st.lists(BUBBLES, max_size=8) | SCRAPS,
    },
    optional={"joint_names": st.lists(st.text(max_size=2), max_size=5) | SCRAPS},
)


def _accepted(path: Path) -> None:
    try:
        net = read_net(path)
    except AirweftError as error:
        assert error.findings
        assert all(f.message and f.where and f.severity == "cannot" for f in error.findings)
        return
    graph = nx.MultiGraph(net.ends.tolist())
    assert len(graph) == net.joint_count
    assert nx.is_connected(graph)
    hanging = {net.ends[b, 1] for b, kind in enumerate(net.kinds) if kind == "free"}
    for joint, degree in graph.degree():
        assert degree <= 8
        assert degree > 1 or joint in hanging or "free" in net.kinds
    for joint in hanging:
        assert graph.degree(joint) == 1
    assert net.lengths.min() > 0
    assert len(set(net.bubble_names)) == net.bubble_count
    assert len(set(net.joint_names)) == net.joint_count


quick = settings(
    max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


@given(SCRAPS | NETS | st.builds(lambda net: {"net": net}, NETS))
@quick
def test_any_json(tmp_path: Path, value: object) -> None:
    path = tmp_path / "net.json"
    path.write_text(json.dumps(value), encoding="utf-8")
    _accepted(path)


@given(st.binary(max_size=60) | st.text(max_size=60).map(lambda t: t.encode("utf-8", "replace")))
@quick
def test_any_bytes(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "net.json"
    path.write_bytes(content)
    _accepted(path)


@given(st.integers(0, 400), st.sampled_from(['"', "{", "]", "0", "-", ",", "\\", "e", "\0", "é"]))
@quick
def test_one_wrong_character(tmp_path: Path, where: int, mark: str) -> None:
    text = json.dumps(SQUARE)
    path = tmp_path / "net.json"
    path.write_text(text[:where] + mark + text[where + 1 :], encoding="utf-8")
    _accepted(path)


@given(
    st.lists(
        st.tuples(st.integers(0, 5), st.integers(0, 5), st.sampled_from(["frame", "free"])),
        min_size=1,
        max_size=9,
    )
)
@quick
def test_any_small_graph(tmp_path: Path, links: list[tuple[int, int, str]]) -> None:
    bubbles = [
        {"a": a, "b": b, "length_mm": 25, "kind": "loop" if a == b else kind}
        for a, b, kind in links
    ]
    used = 1 + max(max(a, b) for a, b, _ in links)
    path = tmp_path / "net.json"
    path.write_text(json.dumps({"joints": [[k, 0, 0] for k in range(used)], "bubbles": bubbles}))
    _accepted(path)
