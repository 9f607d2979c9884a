"""`airweft model`: the piece in 3D in a new file, without a plan."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
import trimesh

from airweft.workshop.as_model import save_model
from airweft.workshop.job import run as run_job
from airweft.workshop.sheets import model_glb
from tests.cli.running import SMALL, run
from tests.draw.gltf_rules import Gltf


def names_in(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_a_file_and_a_summary_with_the_cautions(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    ran = run(capsys, "model", small, "--out", tmp_path / "pennant.glb")
    assert (ran.code, ran.err) == (0, "")
    for said in ("Pennant [small]", "16 bubbles", "wide", "Hangs", "WARNING: CHOKING HAZARD",
                 f"Wrote {tmp_path / 'pennant.glb'}"):  # fmt: skip
        assert said in ran.out, said
    data = (tmp_path / "pennant.glb").read_bytes()
    whole = Gltf(data).all("nodes")[0]
    assert whole["name"] == whole["extras"]["name"] == "Pennant [small]"
    assert "Children under 8 yrs. can choke or suffocate" in whole["extras"]["cautions"]
    scene: Any = trimesh.load(io.BytesIO(data), file_type="glb")
    assert len(scene.graph.nodes_geometry) == 16
    assert names_in(tmp_path) == {"pennant.toml", "pennant.glb"}


def test_the_answer_for_programs(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path
) -> None:
    out = tmp_path / "m.GLB"
    ran = run(capsys, "model", small, "--out", out, "--json", "--seed", "3")
    answer = json.loads(ran.out)
    assert (ran.code, ran.err, answer["done"]) == (0, "", True)
    assert answer["file"] == str(out) and answer["bytes"] == out.stat().st_size
    assert answer["bubbles"] == 16 and answer["shape"]["stand"] == "hang"
    assert "CHOKING" in answer["cautions"] and ran.out.isascii()


def test_it_is_the_shape_of_the_plan_to_the_byte(small: Path, tmp_path: Path) -> None:
    """The picture of the plan and the model without one show the same piece."""
    outcome = run_job(small, tmp_path / "made")
    modelled = save_model(small, tmp_path / "m.glb")
    assert modelled.file.read_bytes() == model_glb(outcome.plan.net, outcome.design)
    assert modelled.size == modelled.file.stat().st_size
    again = save_model(small, tmp_path / "again.glb")
    assert again.file.read_bytes() == modelled.file.read_bytes()


@pytest.mark.parametrize(
    "name", ["taken.glb", "folder.glb", "no/where.glb", "m.stl", "m", "m.glb/"]
)
def test_nothing_is_written_over_or_beside(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path, name: str
) -> None:
    (tmp_path / "taken.glb").write_text("mine")
    (tmp_path / "folder.glb").mkdir()
    (tmp_path / "m.glb").symlink_to(tmp_path / "nowhere")
    before = names_in(tmp_path)
    ran = run(capsys, "model", small, "--out", tmp_path / name)
    assert ran.code == 2 and ran.out == "" and "What to do:" in ran.err
    assert names_in(tmp_path) == before and (tmp_path / "taken.glb").read_text() == "mine"


@pytest.mark.parametrize("out", ["", ".", "..", "/", ".glb", "~.glb/x.glb"])
def test_odd_names_are_refused_in_words(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path, out: str, monkeypatch: Any
) -> None:
    monkeypatch.chdir(tmp_path)
    ran = run(capsys, "model", small, "--out", out)
    assert ran.code == 2 and "What to do:" in ran.err
    assert names_in(tmp_path) == {"pennant.toml"}


@pytest.mark.parametrize("json_too", [False, True])
def test_a_design_that_cannot_be_made_gives_no_model(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, json_too: bool
) -> None:
    bad = tmp_path / "bad.toml"
    for text, code in (
        (SMALL.replace('kind   = "plain"', 'kind   = "panels"'), {1, 2}),
        (SMALL.replace("columns = 4", "columns = 5"), {1, 2}),
        ("", {2}),
        ("\0", {2}),
    ):
        bad.write_text(text)
        options = ["--json"] if json_too else []
        ran = run(capsys, "model", bad, "--out", tmp_path / "m.glb", *options)
        assert ran.code in code, ran.err
        assert names_in(tmp_path) == {"bad.toml"}
        if json_too:
            assert json.loads(ran.out)["done"] is False


def test_a_full_disk_leaves_no_half_file(
    capsys: pytest.CaptureFixture[str], small: Path, tmp_path: Path, monkeypatch: Any
) -> None:
    class Full(io.BytesIO):
        def write(self, data: Any) -> int:
            raise OSError(28, "No space left on device")

    real = Path.open

    def opened(path: Path, mode: str = "r", *args: Any, **kwargs: Any) -> Any:
        if mode == "xb" and path.suffix == ".glb":
            real(path, mode).close()
            return Full()
        return real(path, mode, *args, **kwargs)

    monkeypatch.setattr(Path, "open", opened)
    ran = run(capsys, "model", small, "--out", tmp_path / "m.glb")
    assert ran.code == 2 and "No space left" in ran.err
    assert names_in(tmp_path) == {"pennant.toml"}
