"""The shelf: new, duplicate, rename, bin; plain files that the maker owns; two programs at once."""

from __future__ import annotations

import os
import threading
import time
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from airweft.base.errors import BadInput
from airweft.workshop.store.names import free, is_slug, next_name, slug
from airweft.workshop.store.store import Store
from tests.workshop.pieces import SMALL

EXAMPLES = Path(__file__).parents[2] / "examples"
ODD = [
    "Ä ß ŷ ñ", "🎈 flag", "../../up", "..\\..\\up", "CON", "nul.txt", "a/b\\c:d", "-rf", ".hidden",
    "'; DROP TABLE piece;--", "<script>alert(1)</script>", "x" * 90, "漢字", "a'b\"c", "%s %d {0}",
]  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    one = Store(tmp_path / "home")
    yield one
    one.close()


def quoted(name: str) -> str:
    return SMALL.replace('"Ferry flag"', '"' + name.replace("\\", "\\\\").replace('"', '\\"') + '"')


def test_new_pieces_have_names_files_and_pictures_of_their_own(store: Store) -> None:
    first, second, third = (store.new(SMALL) for _ in range(3))
    assert [p.name for p in (first, second, third)] == [
        "Ferry flag", "Ferry flag 2", "Ferry flag 3",
    ]  # fmt: skip
    assert len({p.key for p in (first, second, third)}) == 3
    assert first.bubbles == 16 and first.picture.startswith("<svg")
    assert (store.designs / f"{first.key}.toml").read_text(encoding="utf-8") == SMALL
    assert [p.key for p in store.pieces()] == [third.key, second.key, first.key]


@pytest.mark.parametrize("name", ODD)
def test_odd_names_stay_as_they_are_and_files_stay_inside(store: Store, name: str) -> None:
    piece = store.new(quoted(name))
    assert piece.name == name and is_slug(piece.key)
    store.flush()
    assert [p.parent for p in store.folder.parent.rglob("*.toml")] == [store.designs]
    other = store.new(SMALL)
    store.rename(other.key, name + "!")
    assert store.piece(other.key).name == name + "!"
    assert store.import_(store.export(piece.key)).name == next_name(name, set())


@pytest.mark.parametrize(
    "text", ["", "not toml [", "airweft = 1", SMALL.replace("4 ", "5 ", 1), "\0"]
)
def test_a_text_that_is_no_design_makes_nothing(store: Store, text: str) -> None:
    with pytest.raises(BadInput) as refusal:
        store.new(text, files={"net.json": b"{}"})
    assert refusal.value.findings[0].message
    assert store.pieces() == () and list(store.designs.iterdir()) == []


def test_a_model_comes_with_its_design_and_goes_with_it(store: Store) -> None:
    text = (EXAMPLES / "frame-star.toml").read_text(encoding="utf-8")
    net = (EXAMPLES / "frame-star.net.json").read_bytes()
    piece = store.new(text, files={"somewhere/frame-star.net.json": net})
    assert piece.bubbles > 0
    own = tomllib.loads(store.open(piece.key).text)["form"]["file"]
    assert own.startswith(f"{piece.key}/") and (store.designs / own).read_bytes() == net
    again = store.import_(store.export(piece.key))
    twin = store.duplicate(piece.key)
    for key in (again.key, twin.key):
        assert tomllib.loads(store.open(key).text)["form"]["file"].startswith(f"{key}/")
    store.bin(piece.key)
    assert not (store.designs / piece.key).exists() and (store.bin_folder / piece.key).is_dir()
    store.erase(piece.key)
    assert list(store.bin_folder.iterdir()) == [] and len(store.pieces()) == 2
    assert store.open(twin.key).net is not None
    with pytest.raises(BadInput, match="no piece"):
        store.open(piece.key)
    assert store.new(SMALL).key != piece.key


@pytest.mark.parametrize("file", ["/etc/hostname", "../secret.json", "C:/x.json", "a\\\\b.json"])
def test_a_design_reads_no_file_outside(store: Store, file: str) -> None:
    (store.folder / "secret.json").write_text("{}")
    desk = store.open(store.new(SMALL).key)
    desk.set(("form",), {"kind": "net", "file": file}, gesture="Form")
    assert desk.design is None and desk.findings[0].code == "file-outside"


def test_a_link_leads_no_net_outside(store: Store) -> None:
    (store.folder / "secret.json").write_bytes((EXAMPLES / "frame-star.net.json").read_bytes())
    os.symlink(store.folder / "secret.json", store.designs / "link.json")
    desk = store.open(store.new(SMALL).key)
    desk.set(("form",), {"kind": "net", "file": "link.json"}, gesture="Form")
    assert desk.design is None and desk.findings[0].code == "file-outside"


def test_the_bin_keeps_everything_and_nothing_is_changed_there(store: Store) -> None:
    key = store.new(SMALL).key
    desk = store.open(key)
    desk.set(("form", "columns"), 6, gesture="Width")
    store.bin(key)
    assert store.pieces() == () and [p.key for p in store.pieces(binned=True)] == [key]
    assert list(store.designs.iterdir()) == []
    with pytest.raises(BadInput, match="in the bin"):
        desk.set(("form", "columns"), 8, gesture="Width")
    with pytest.raises(BadInput):
        store.erase(store.new(SMALL).key)
    store.restore(key)
    assert desk.notices == ()
    assert store.open(key).undo() == "Width" and store.open(key).text == SMALL
    with pytest.raises(BadInput, match="no piece"):
        store.open("nothing")
    with pytest.raises(BadInput):
        store.bin("../x")


def test_two_tabs_share_one_desk(store: Store) -> None:
    key = store.new(SMALL).key
    assert store.open(key) is store.open(key)


def test_what_an_editor_writes_is_a_gesture(store: Store) -> None:
    desk = store.open(store.new(SMALL).key)
    desk.set(("form", "rows"), 6, gesture="Height")
    desk.look()
    heard: list[str] = []
    desk.listen(heard.append)
    desk.file.write_bytes(SMALL.replace("columns = 4", "columns = 8").encode())
    desk.look()
    assert desk.net is not None and desk.net.bubble_count == 32
    assert desk.can_undo == "Changed in the file" and "notice" in heard
    assert desk.notices[-1].code == "changed-in-file"
    desk.undo()
    desk.look()
    assert (
        desk.file.read_text(encoding="utf-8")
        == desk.text
        == SMALL.replace("rows    = 4", "rows    = 6")
    )


def test_the_watch_does_it_unasked_within_two_seconds(store: Store) -> None:
    desk = store.open(store.new(SMALL).key)
    desk.set(("form", "rows"), 6, gesture="Height")
    until = time.monotonic() + 10
    while "rows    = 6" not in desk.file.read_text(encoding="utf-8"):
        assert time.monotonic() < until
        time.sleep(0.05)
    desk.file.write_text(SMALL, encoding="utf-8")
    while desk.text != SMALL:
        assert time.monotonic() < until
        time.sleep(0.05)


def test_line_ends_and_mark_of_the_file_stay(store: Store) -> None:
    desk = store.open(store.new(SMALL).key)
    desk.file.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode())
    desk.look()
    assert desk.text == SMALL and desk.can_undo is None
    desk.set(("form", "rows"), 6, gesture="Height")
    desk.look()
    written = desk.file.read_bytes()
    assert written.startswith(b"\xef\xbb\xbf#") and written.count(b"\n") == written.count(b"\r\n")


def test_a_file_that_cannot_be_read_is_left_alone(store: Store) -> None:
    desk = store.open(store.new(SMALL).key)
    desk.file.write_bytes(b"\xff\xfe\x00 no text")
    desk.look()
    desk.set(("form", "rows"), 6, gesture="Height")
    desk.look()
    assert desk.file.read_bytes() == b"\xff\xfe\x00 no text"
    assert desk.notices[-1].code == "file-left-alone"
    desk.file.unlink()
    desk.look()
    assert desk.file.read_text(encoding="utf-8") == desk.text


def test_designs_put_into_the_folder_come_onto_the_shelf(store: Store) -> None:
    (store.designs / "Mein Boot ✓.toml").write_text(SMALL, encoding="utf-8")
    (store.designs / "broken.toml").write_bytes(b"\xff\x00")
    (store.designs / "notes.txt").write_text("x")
    (piece,) = store.pieces()
    desk = store.open(piece.key)
    desk.set(("form", "rows"), 6, gesture="Height")
    desk.look()
    assert desk.file.name == "Mein Boot ✓.toml" and "rows    = 6" in desk.file.read_text("utf-8")


def test_everything_is_there_after_closing(tmp_path: Path) -> None:
    store = Store(tmp_path)
    key = store.new(SMALL).key
    store.open(key).set(("form", "rows"), 6, gesture="Height")
    store.close()
    store = Store(tmp_path)
    desk = store.open(key)
    assert desk.can_undo == "Height" and desk.undo() and desk.text == SMALL and desk.can_redo
    store.close()


def test_two_programs_change_one_piece_and_nothing_is_lost(tmp_path: Path) -> None:
    one, two = Store(tmp_path), Store(tmp_path)
    key = one.new(SMALL).key
    left, right = one.open(key), two.open(key)
    left.set(("form", "columns"), 6, gesture="Width")
    right.set(("form", "rows"), 8, gesture="Height")  # on top of what the other one made
    assert tomllib.loads(right.text)["form"] == {"kind": "sheet", "columns": 6, "rows": 8}
    assert right.notices[-1].code == "changed-elsewhere" and "Width" in right.notices[-1].message
    left.look()
    assert left.text == right.text and left.notices[-1].code == "changed-elsewhere"
    left.replace(SMALL + "# left\n", gesture="Text")
    assert right.undo() is None and right.text == SMALL + "# left\n"  # shown first
    assert right.undo() == "Text" and right.undo() == "Height"
    one.close()
    two.close()


def test_a_whole_text_over_another_programs_text_keeps_both(tmp_path: Path) -> None:
    one, two = Store(tmp_path), Store(tmp_path)
    key = one.new(SMALL).key
    left, right = one.open(key), two.open(key)
    left.replace(SMALL + "# left\n", gesture="Text")
    right.replace(SMALL + "# right\n", gesture="Text")
    assert right.text == SMALL + "# right\n"
    assert right.notices[-1].code == "both-kept"
    copies = [p for p in two.pieces() if p.key != key]
    assert len(copies) == 1 and two.open(copies[0].key).text.endswith("# left\n")
    assert right.undo() == "Text" and right.text == SMALL + "# left\n"
    one.close()
    two.close()


def test_two_programs_at_full_speed(tmp_path: Path) -> None:
    stores = [Store(tmp_path), Store(tmp_path)]
    key = stores[0].new(SMALL).key

    def work(store: Store, mark: str) -> None:
        desk = store.open(key)
        for n in range(15):
            desk.set(("plan", "weights", mark), n, gesture=f"{mark}{n}")
            store.flush()

    threads = [
        threading.Thread(target=work, args=(s, m)) for s, m in zip(stores, "ab", strict=True)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    desk = stores[0].open(key)
    desk.look()
    assert tomllib.loads(desk.text)["plan"]["weights"] == {"a": 14, "b": 14}
    assert desk.file.read_text(encoding="utf-8") == desk.text
    count = 0
    while desk.undo():
        count += 1
    assert count == 30 and desk.text == SMALL  # every gesture of both is there
    for store in stores:
        store.close()


def test_many_gestures_are_thinned_and_the_beginning_is_kept(store: Store) -> None:
    desk = store.open(store.new(SMALL).key)
    for n in range(330):
        desk.replace(SMALL + f"# {n}\n", gesture="Type")
    kept = desk.generations()
    assert 200 <= len(kept) < 290
    assert [g.number for g in kept[:200]] == list(range(330, 130, -1))
    assert sum(g.gestures for g in kept) == 331
    count = 0
    while desk.undo():
        count += 1
    assert desk.text == SMALL and count == len(kept) - 1


def test_what_a_killed_program_left_half_written_goes(tmp_path: Path) -> None:
    Store(tmp_path).close()
    old, young = (tmp_path / "designs" / f".a.toml.0000000{n}" for n in (1, 2))
    old.write_text("half")
    young.write_text("half")
    os.utime(old, (0, 0))
    store = Store(tmp_path)
    assert store.pieces() == () and not old.exists() and young.exists()
    store.close()


def test_an_edit_far_back_in_the_history_can_be_undone(store: Store) -> None:
    desk = store.open(store.new(SMALL).key)
    for n in range(239):
        desk.replace(SMALL + f"# {n}\n", gesture="Type")
    for _ in range(236):
        desk.undo()
    there = desk.text
    assert there == SMALL + "# 2\n"
    for n in range(50):  # now older than two hundred gestures, and thinned around it
        desk.replace(SMALL + f"# other {n}\n", gesture="Type", merge="" if n < 45 else "m")
    for _ in range(46):
        assert desk.undo() == "Type"
    assert desk.text == there


def test_slugs() -> None:
    assert slug("Hafenlaterne, groß (2)") == "hafenlaterne-gross-2" and slug("…") == "piece"
    assert slug("CON") == "con-piece" and not is_slug("con") and not is_slug("../x")
    assert free("a", {"a", "a-2"}.__contains__) == "a-3"
    assert next_name("Buoy 2", {"Buoy 3"}) == "Buoy 4"


def test_a_folder_that_cannot_be_used(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(BadInput) as refusal:
        Store(tmp_path / "file")
    assert refusal.value.findings[0].code == "store-folder"
