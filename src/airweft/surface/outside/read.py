"""Reading an outside model: cheap looks first, then a separate process that may fail."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from airweft.base.errors import BadInput, CannotMake
from airweft.base.findings import Finding
from airweft.records.arrays import points
from airweft.surface.outside.openings import Opening, Wish
from airweft.surface.outside.triangles import RawMesh

KINDS = ("stl", "obj", "ply", "off", "glb", "gltf")
"""Kinds of file, by the ending of their name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLimits:
    """What reading one model may take.

    seconds      until the reading is ended
    memory_mb    memory of the reading process (kept on Linux; elsewhere only the time is)
    file_mb      largest file that is opened
    most_faces   triangles above which the surface is drawn anew, coarser
    """

    seconds: float = 120
    memory_mb: int = 6000
    file_mb: int = 400
    most_faces: int = 200_000


@dataclass(frozen=True, slots=True)
class Read:
    """A mended model: about unit size around the origin, clean, one part, oriented outwards.

    `extents` are its width, depth and height in the file's own numbers, along the file's axes.
    `openings` are those that it had, in the numbers of `mesh`.
    """

    mesh: RawMesh
    findings: tuple[Finding, ...]
    extents: tuple[float, float, float]
    openings: tuple[Opening, ...] = ()


def read_model(
    path: Path,
    *,
    limits: ReadLimits | None = None,
    grid: int = 64,
    openings: Wish | None = None,
) -> Read:
    """The model in a file, mended; every repair is among the findings or the openings.

    `grid` is how fine a new skin is drawn (steps along the longest side) where the surface cannot
    be kept. `openings` says whether they are all kept or all closed (see openings.py). Raises
    BadInput where the file cannot be read, CannotMake where it holds no surface that a piece can
    be made of.
    """
    limits = limits or ReadLimits()
    kind = _look(path, limits)
    where = path.name
    arrays_file = "mesh.npz"
    with tempfile.TemporaryDirectory() as folder:
        request = {
            "path": str(path.resolve()),
            "kind": kind,
            "where": where,
            "memory_mb": limits.memory_mb,
            "most_faces": limits.most_faces,
            "grid": grid,
            "openings": openings,
            "arrays": str(Path(folder) / arrays_file),
            "answer": str(Path(folder) / "answer.json"),
        }
        answer = _ask(request, limits.seconds, where)
        findings = tuple(_finding(one) for one in answer["findings"])
        if not answer["made"]:
            unreadable = any(f.code == "model-unreadable" for f in findings)
            raise (BadInput if unreadable else CannotMake)(findings)
        with np.load(Path(folder) / arrays_file) as arrays:
            vertices, faces = points(arrays["vertices"]), arrays["faces"].astype(np.int64)
    wide, deep, high = answer["extents"]
    found = tuple(Opening(**{**o, "place": tuple(o["place"])}) for o in answer["openings"])
    return Read(RawMesh(vertices, faces, answer["up"]), findings, (wide, deep, high), found)


def _look(path: Path, limits: ReadLimits) -> str:
    """The kind of the file, after the looks that cost nothing. Raises BadInput."""
    kind = path.suffix.lower().lstrip(".")
    said = ", ".join(KINDS)
    if path.is_dir():
        raise _bad(path, "file-is-folder", "This is a folder.", "Give the model file in it.")
    try:
        size = path.stat().st_size if path.is_file() else -1
    except OSError:
        size = -1
    if size < 0:
        raise _bad(
            path, "file-not-found", "There is no such file.", "Check the name and the folder."
        )
    if kind not in KINDS:
        raise _bad(
            path,
            "model-kind",
            f'Models ending in "{path.suffix[:12]}" are not read.',
            f"Save the model as one of: {said}.",
        )
    if size == 0:
        raise _bad(path, "file-empty", "The file is empty.", "Get or save the model once more.")
    if size > limits.file_mb * 1_000_000:
        raise _bad(
            path,
            "file-too-large",
            f"The file has {size / 1e6:,.0f} MB; up to {limits.file_mb} MB are read.",
            "Save the model with fewer triangles; some ten thousand are plenty for balloons.",
        )
    return kind


def _ask(request: dict[str, Any], seconds: float, where: str) -> dict[str, Any]:
    """What the separate process answers. Raises CannotMake when it takes too long or breaks."""
    keep = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}
    try:
        done = subprocess.run(
            [sys.executable, "-m", "airweft.surface.outside.worker", json.dumps(request)],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=seconds,
            check=False,
            env={**os.environ, **keep},
        )
    except subprocess.TimeoutExpired as error:
        raise CannotMake(
            Finding(
                code="model-too-slow",
                severity="cannot",
                where=where,
                message=f"Reading this model was ended after {seconds:.0f} seconds.",
                remedy="Save it with fewer triangles (some ten thousand are plenty), or clean it "
                "in a 3D program.",
            )
        ) from error
    answer = Path(request["answer"])
    if done.returncode != 0 or not answer.exists():
        out_of_memory = b"MemoryError" in done.stderr
        raise CannotMake(
            Finding(
                code="model-too-large" if out_of_memory else "model-broke-reader",
                severity="cannot",
                where=where,
                message=f"Reading this model needed more than {request['memory_mb']} MB of memory."
                if out_of_memory
                else "The part that reads models broke down on this one.",
                remedy="Open it in a 3D program, reduce it to some ten thousand triangles, and "
                "save it again.",
            )
        )
    found: dict[str, Any] = json.loads(answer.read_text(encoding="utf-8"))
    return found


def _finding(fields: dict[str, Any]) -> Finding:
    for key in ("joints", "bubbles", "balloons"):
        fields[key] = tuple(fields[key])
    return Finding(**fields)


def _bad(path: Path, code: str, message: str, remedy: str) -> BadInput:
    return BadInput(
        Finding(code=code, severity="cannot", where=path.name, message=message, remedy=remedy)
    )
