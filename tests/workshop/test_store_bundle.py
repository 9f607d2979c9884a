"""A piece as one file: there and back, and whatever else somebody may bring in as one."""

from __future__ import annotations

import io
import json
import stat
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airweft.base.errors import BadInput, TooNew
from airweft.base.progress import Progress
from airweft.workshop.planning import checked_plan
from airweft.workshop.store.arrive import safe_path
from airweft.workshop.store.bundle import Bundle, pack, unpack
from airweft.workshop.store.store import Store
from tests.workshop.pieces import SMALL

HEAD = json.dumps({"airweft-piece": 1, "name": "x", "copies": []})


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    one = Store(tmp_path / "home")
    yield one
    one.close()


def zipped(entries: dict[str, bytes | str], **given: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in {
            "airweft-piece.json": HEAD, "design.toml": SMALL, **entries, **given
        }.items():  # fmt: skip
            packed.writestr(name, data)
    return out.getvalue()


def refused(store: Store, data: bytes) -> str:
    """The code with which it is refused; nothing of it may be left anywhere."""
    before = sorted(
        path for path in store.folder.parent.rglob("*") if "workshop.db" not in path.name
    )
    with pytest.raises(BadInput) as refusal:
        store.import_(data)
    after = sorted(
        path for path in store.folder.parent.rglob("*") if "workshop.db" not in path.name
    )
    assert store.pieces() == () and before == after
    finding = refusal.value.findings[0]
    assert finding.message and finding.remedy and finding.where
    return finding.code


def test_there_and_back_with_plan_and_progress(store: Store, tmp_path: Path) -> None:
    desk = store.open(store.new(SMALL).key)
    assert desk.design is not None and desk.net is not None
    plan, *_ = checked_plan(desk.design, desk.net, style="rounds", seed=0, progress=Progress())
    desk.keep_plan(plan)
    desk.making.go(desk.making.add_copy("For the pier"), 1, 0.0)
    desk.set(("form", "rows"), 6, gesture="Height")
    data = store.export(desk.key)
    assert data == store.export(desk.key)
    other = Store(tmp_path / "other")
    piece = other.import_(data)
    there = other.open(piece.key)
    assert piece.name == "Ferry flag" and piece.stale and piece.balloons == len(plan.balloons)
    assert there.text == desk.text and there.texts() == desk.texts()
    assert there.plan_text_changes == ("form: rows 4 -> 6",)
    (copy,) = there.making.copies
    assert (copy.name, copy.step) == ("For the pier", 1)
    other.close()


@pytest.mark.parametrize(
    "path",
    [
        "../evil.toml", "/etc/evil", "files/../../evil.json", "files/..\\..\\evil.json", "C:\\evil",
        "files/evil.py", "files/evil.toml", "evil.json", "files/a/b/c/d/e.json", "files/.json",
        "files/a:b.json", "files/a\nb.json", "files/" + "x" * 300 + ".json", "files//../x.json",
    ],
)  # fmt: skip
def test_paths_that_no_piece_has(store: Store, path: str) -> None:
    assert refused(store, zipped({path: b"{}"})) in ("bundle-refused", "file-kind")


def test_a_bomb_is_not_unpacked(store: Store) -> None:
    assert refused(store, zipped({"files/a.json": b"0" * 30_000_000})) == "bundle-refused"
    assert refused(store, zipped({"files/a.json": bytes(range(256)) * 220_000})) == "bundle-refused"
    many = {f"files/{n}.json": b"0" * 900_000 for n in range(45)}
    assert refused(store, zipped(many)) == "too-many-files"  # type: ignore[arg-type]


def test_a_size_that_lies(store: Store) -> None:
    data = bytearray(zipped({"files/a.json": b"0" * 800_000}))
    for at in (data.find(b"PK\x01\x02", data.find(b"files/a.json") + 100),):
        while at >= 0:  # every size in the directory says 10 bytes
            data[at + 24 : at + 28] = (10).to_bytes(4, "little")
            at = data.find(b"PK\x01\x02", at + 4)
    assert refused(store, bytes(data)) in ("bundle-damaged", "bundle-refused")


def test_links_doubles_and_locks(store: Store) -> None:
    out = io.BytesIO(zipped({}))
    with zipfile.ZipFile(out, "a") as packed:
        link = zipfile.ZipInfo("files/link.json")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        packed.writestr(link, "/etc/passwd")
    assert refused(store, out.getvalue()) == "bundle-refused"
    with pytest.warns(UserWarning, match="Duplicate"):
        out = io.BytesIO(zipped({"files/a.json": b"{}"}))
        with zipfile.ZipFile(out, "a") as packed:
            packed.writestr("files/a.json", b"[]")
    assert refused(store, out.getvalue()) == "bundle-refused"
    assert refused(store, zipped({"files/a.json": b"", "files/A.JSON": b""})) == "bundle-refused"
    locked = zipped({}).replace(
        b"PK\x01\x02\x14\x03\x14\x00\x00", b"PK\x01\x02\x14\x03\x14\x00\x01"
    )
    assert refused(store, locked) == "bundle-refused"


@pytest.mark.parametrize(
    "data",
    [b"", b"PK", b"PK\x05\x06" + b"\0" * 18, SMALL.encode(), zipped({})[:-30], zipped({})[40:],
     zipped({"airweft-piece.json": "[]"}), zipped({"airweft-piece.json": "{"}),
     zipped({"airweft-piece.json": '{"airweft-piece": true}'}), zipped({"design.toml": b"\xff"}),
     zipped({"design.toml": "x = ["}), zipped({"airweft-piece.json": "[" * 100_000})],
)  # fmt: skip
def test_what_is_no_bundle(store: Store, data: bytes) -> None:
    assert refused(store, data)


def test_a_later_version_is_said(store: Store) -> None:
    with pytest.raises(TooNew):
        store.import_(zipped({"airweft-piece.json": '{"airweft-piece": 2}'}))


def test_a_plan_that_breaks_the_rules_is_left_out(store: Store) -> None:
    desk = store.open(store.new(SMALL).key)
    assert desk.design is not None and desk.net is not None
    plan, *_ = checked_plan(desk.design, desk.net, style="rounds", seed=0, progress=Progress())
    desk.keep_plan(plan)
    _, text, _ = desk.texts()
    wrong = json.loads(text)
    del wrong["actions"][3]
    for bad in (json.dumps(wrong), "{}", "\ud800".encode("utf-8", "surrogatepass"), text[:100]):
        piece = store.import_(zipped({"plan.json": bad}))
        assert store.open(piece.key).plan is None
    head = {"airweft-piece": 1, "copies": [{"name": "\x1b[1m<b>", "step": 10**9}, 3, {"name": 1}]}
    piece = store.import_(zipped({"airweft-piece.json": json.dumps(head), "plan.json": text}))
    (copy,) = store.open(piece.key).making.copies
    assert copy.name == "[1m<b>" and copy.done


@given(data=st.binary(max_size=60), at=st.integers(0, 2_000), cut=st.integers(0, 60))
def test_damaged_bundles_never_raise_anything_else(data: bytes, at: int, cut: int) -> None:
    whole = pack(Bundle(text=SMALL, files={"a.json": b"{}"}), name="x")
    at = min(at, len(whole))
    try:
        unpack(whole[:at] + data + whole[at + cut :])
    except BadInput as refusal:
        assert refusal.findings


@given(st.text(max_size=40).map(lambda t: t + ".json"))
def test_safe_paths_stay_inside(file: str) -> None:
    try:
        place = safe_path(file)
    except BadInput:
        return
    assert ".." not in place.split("/") and not place.startswith(("/", ".")) and place.isascii()
    assert not set(place) & set('\\:*?"<>|') and place.isprintable()
