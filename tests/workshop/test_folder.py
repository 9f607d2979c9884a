"""The folder: whole or not at all, and nothing of the maker's lost."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from airweft.base.errors import BadInput
from airweft.workshop import folder as folder_module
from airweft.workshop.folder import MARK_NAME, Mark, Placed, look_at, place, read_mark

FILES = {"booklet.pdf": b"pdf", "plan.json": b"{}", "shopping.csv": b"mark\r\n"}
NEWER = {name: data + b" newer" for name, data in FILES.items()}


def mark(name: str = "Lantern") -> Mark:
    return Mark(program="airweft 0", design_name=name, fingerprint="f" * 64, files={})


def make(out: Path, files: dict[str, bytes] = FILES, name: str = "Lantern", **how: bool) -> Placed:
    return place(out, files, mark(name), **how)


def tree(folder: Path) -> dict[str, bytes | None]:
    """Everything under a folder: contents of files, None for folders."""
    return {
        str(path.relative_to(folder)): None if path.is_dir() else path.read_bytes()
        for path in sorted(folder.rglob("*"))
    }


def refused(code: str, out: Path, **how: bool | str) -> BadInput:
    """Both the early look and the placing refuse with `code`, and nothing at all changes."""
    top = out.parent if out.parent.exists() else out.parent.parent
    before = tree(top)
    name = str(how.pop("name", "Lantern"))
    replace = bool(how.get("replace", False))
    with pytest.raises(BadInput) as early:
        look_at(out, tuple(FILES), design_name=name, replace=replace)
    with pytest.raises(BadInput) as late:
        make(out, NEWER, name, replace=replace)
    assert [f.code for f in early.value.findings] == [code]
    assert [f.code for f in late.value.findings] == [code]
    assert late.value.findings[0].remedy and late.value.findings[0].where == str(out)
    assert tree(top) == before
    return late.value


def test_a_new_folder_holds_the_files_and_the_mark(tmp_path: Path) -> None:
    out = tmp_path / "out" / "deep" / "lantern"
    placed = make(out)
    assert placed == Placed(out, ())
    assert {k: v for k, v in tree(out).items() if k != MARK_NAME} == FILES
    found = read_mark(out)
    assert found is not None and found.design_name == "Lantern"
    assert sorted(found.files) == sorted(FILES)
    assert os.listdir(tmp_path) == ["out"] and os.listdir(out.parent) == ["lantern"]


def test_an_empty_folder_is_filled_and_stays_the_same_folder(tmp_path: Path) -> None:
    before = tmp_path.stat().st_ino
    make(tmp_path)
    assert tmp_path.stat().st_ino == before
    assert sorted(tree(tmp_path)) == sorted([*FILES, MARK_NAME])


def test_the_rights_are_the_usual_ones(tmp_path: Path) -> None:
    (tmp_path / "usual").mkdir()
    make(tmp_path / "made")
    assert (tmp_path / "made").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_made_again_untouched_is_replaced_and_other_files_stay(tmp_path: Path) -> None:
    make(tmp_path)
    (tmp_path / "notes.txt").write_text("mine")
    placed = make(tmp_path, NEWER)
    assert placed.kept == ()
    assert {k: v for k, v in tree(tmp_path).items() if k != MARK_NAME} == {
        **NEWER,
        "notes.txt": b"mine",
    }


def test_a_file_of_airwefts_that_was_deleted_comes_back(tmp_path: Path) -> None:
    make(tmp_path)
    (tmp_path / "plan.json").unlink()
    make(tmp_path)
    assert (tmp_path / "plan.json").read_bytes() == b"{}"


def test_a_folder_not_made_by_airweft_is_left_alone(tmp_path: Path) -> None:
    out = tmp_path / "photos"
    out.mkdir()
    (out / "booklet.pdf").write_bytes(b"my own")
    refused("folder-not-ours", out)


def test_told_to_replace_the_makers_file_is_kept_under_a_new_name(tmp_path: Path) -> None:
    (tmp_path / "booklet.pdf").write_bytes(b"my own")
    (tmp_path / "booklet.kept-1.pdf").write_bytes(b"my first")
    placed = make(tmp_path, replace=True)
    assert placed.kept == (("booklet.pdf", "booklet.kept-2.pdf"),)
    assert {k: v for k, v in tree(tmp_path).items() if k != MARK_NAME} == {
        **FILES,
        "booklet.kept-2.pdf": b"my own",
        "booklet.kept-1.pdf": b"my first",
    }


def test_a_changed_file_is_not_replaced_unless_told_and_then_kept(tmp_path: Path) -> None:
    out = tmp_path / "lantern"
    make(out)
    (out / "shopping.csv").write_bytes(b"bought already")
    error = refused("files-changed-since", out)
    assert "shopping.csv" in error.findings[0].message
    assert "plan.json" not in error.findings[0].message
    placed = make(out, NEWER, replace=True)
    assert placed.kept == (("shopping.csv", "shopping.kept-1.csv"),)
    assert (out / "shopping.kept-1.csv").read_bytes() == b"bought already"
    assert (out / "shopping.csv").read_bytes() == NEWER["shopping.csv"]


def test_another_design_is_not_replaced_unless_told(tmp_path: Path) -> None:
    out = tmp_path / "lantern"
    make(out)
    error = refused("folder-of-another-design", out, name="Chest")
    assert "“Lantern”" in error.findings[0].message
    assert make(out, NEWER, "Chest", replace=True).kept == ()


@pytest.mark.parametrize("replace", [False, True])
def test_a_file_in_the_place_of_the_folder(tmp_path: Path, replace: bool) -> None:
    out = tmp_path / "file"
    out.write_text("mine")
    refused("out-is-a-file", out, replace=replace)


def test_a_file_above_the_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    with pytest.raises(BadInput) as error:
        make(tmp_path / "file" / "deep" / "out")
    assert error.value.findings[0].code == "out-under-a-file"
    assert tree(tmp_path) == {"file": b"mine"}


@pytest.mark.parametrize("bad", ["nul\0byte", "x" * 300, "sur\udce9rogate\0"])
def test_names_that_no_system_takes(tmp_path: Path, bad: str) -> None:
    with pytest.raises(BadInput) as error:
        make(tmp_path / bad)
    assert error.value.findings[0].code == "out-cannot-be-written"
    assert tree(tmp_path) == {}


def test_a_link_to_a_folder_is_followed_and_kept(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real", target_is_directory=True)
    make(tmp_path / "link")
    assert (tmp_path / "link").is_symlink()
    assert sorted(os.listdir(tmp_path / "real")) == sorted([*FILES, MARK_NAME])


def test_a_link_in_the_place_of_a_file_is_kept_and_its_target_untouched(tmp_path: Path) -> None:
    (tmp_path / "mine.pdf").write_bytes(b"my own")
    out = tmp_path / "lantern"
    make(out)
    (out / "booklet.pdf").unlink()
    (out / "booklet.pdf").symlink_to(tmp_path / "mine.pdf")
    refused("files-changed-since", out)
    make(out, NEWER, replace=True)
    assert (tmp_path / "mine.pdf").read_bytes() == b"my own"
    assert (out / "booklet.kept-1.pdf").is_symlink()
    assert not (out / "booklet.pdf").is_symlink()


def test_a_folder_in_the_place_of_a_file_is_kept_with_all_in_it(tmp_path: Path) -> None:
    (tmp_path / "plan.json").mkdir()
    (tmp_path / "plan.json" / "mine").write_text("x")
    make(tmp_path, replace=True)
    assert (tmp_path / "plan.kept-1.json" / "mine").read_text() == "x"


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"{",
        b"[]",
        b"7",
        b'"x"',
        b"\xff\xfe",
        b"[" * 100_000,
        b'{"airweft-folder": 2}',
        b'{"airweft-folder": 1, "files": {}}',
        b'{"airweft-folder": 1, "program": 1, "design": {"name": "Lantern", "fingerprint": "f"},'
        b' "files": {}}',
        b'{"airweft-folder": 1, "program": "", "design": {"name": "Lantern", "fingerprint": "f"},'
        b' "files": {"plan.json": 5}}',
        b" " * 1_000_001,
    ],
)
def test_a_damaged_mark_is_no_mark(tmp_path: Path, text: bytes) -> None:
    out = tmp_path / "lantern"
    out.mkdir()
    (out / MARK_NAME).write_bytes(text)
    refused("folder-not-ours", out)
    placed = make(out, replace=True)
    assert placed.kept == ((MARK_NAME, MARK_NAME + ".kept-1"),)


def test_a_mark_with_a_hash_for_a_file_of_the_makers_claims_only_that_file(tmp_path: Path) -> None:
    (tmp_path / "outside").write_text("x")
    out = tmp_path / "lantern"
    make(out)
    values = json.loads((out / MARK_NAME).read_text())
    values["files"]["../outside"] = values["files"]["plan.json"]
    (out / MARK_NAME).write_text(json.dumps(values))
    make(out, NEWER)
    assert (tmp_path / "outside").read_text() == "x"


@pytest.mark.parametrize("existing", [False, True])
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_failure_at_any_moment_leaves_everything_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException, existing: bool
) -> None:
    out = tmp_path / "top" / "lantern"
    if existing:
        make(out)
        (out / "booklet.pdf").write_bytes(b"my own")
    before = tree(tmp_path)
    for moment in steps_of(out, monkeypatch, error):
        with pytest.raises((BadInput, KeyboardInterrupt)):
            make(out, NEWER, replace=True)
        assert tree(tmp_path) == before, f"after a failure at step {moment}"
    make(out, NEWER, replace=True)
    assert (out / "booklet.pdf").read_bytes() == NEWER["booklet.pdf"]


def steps_of(out: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException) -> Iterator[int]:
    """Let the n-th writing or moving fail, once, for n = 1, 2, ... until there are no more."""
    write, rename = folder_module._write, Path.rename
    for moment in range(1, 100):
        done = 0

        def failing(moment: int = moment) -> None:
            nonlocal done
            done += 1
            if done == moment:
                raise error

        def failing_write(path: Path, data: bytes, fail: object = failing) -> None:
            fail()  # type: ignore[operator]
            write(path, data)

        def failing_rename(path: Path, target: Path, fail: object = failing) -> Path:
            fail()  # type: ignore[operator]
            return rename(path, target)

        with monkeypatch.context() as patch:
            patch.setattr(folder_module, "_write", failing_write)
            patch.setattr(Path, "rename", failing_rename)
            copy = out.with_name("count")
            if out.exists():
                shutil.copytree(out, copy)
            try:
                make(copy, NEWER, replace=True)
            except (BadInput, KeyboardInterrupt):
                pass
            else:
                shutil.rmtree(copy)
                remove_empty(copy.parent)
                return
            shutil.rmtree(copy, ignore_errors=True)
            remove_empty(copy.parent)
            done = 0
            yield moment
    raise AssertionError("more steps than thought")


def remove_empty(folder: Path) -> None:
    if folder.is_dir() and not os.listdir(folder):
        folder.rmdir()


@pytest.mark.skipif(sys.platform == "win32", reason="rights work differently there")
def test_a_folder_without_the_right_to_write() -> None:
    # As root every folder is writable, so the child gives its rights up after importing. pytest's
    # own scratch folders are closed to other users, so this one lies beside them.
    code = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from airweft.base.errors import BadInput\n"
        "from airweft.workshop.folder import look_at\n"
        "if os.getuid() == 0: os.setgid(65534); os.setuid(65534)\n"
        "for out in (Path(sys.argv[1]), Path(sys.argv[1]) / 'new' / 'deep'):\n"
        "    try: look_at(out, ('a',), design_name='', replace=False)\n"
        "    except BadInput as error: print(error.findings[0].code)\n"
    )
    with tempfile.TemporaryDirectory() as top:
        os.chmod(top, 0o755)
        locked = Path(top) / "locked"
        locked.mkdir()
        locked.chmod(0o555)
        done = subprocess.run(
            [sys.executable, "-c", code, str(locked)], capture_output=True, text=True, check=False
        )
    assert done.stdout.split() == ["out-not-writable"] * 2, done.stderr
