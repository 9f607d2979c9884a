"""The separate process that reads and mends outside models: `python -m` this module.

It gets one request as JSON on the command line and writes one answer: a file of arrays and a file
of findings. Whatever happens in here, a native crash, endless work, too much memory, stays in here.
"""

from __future__ import annotations

import contextlib
import io
import json
import sys
import warnings
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np

from airweft.base.errors import AirweftError
from airweft.base.findings import Finding
from airweft.surface.outside.mend import mend
from airweft.surface.outside.triangles import RawMesh


def main() -> None:
    """Read and mend the model that the request names."""
    request = json.loads(sys.argv[1])
    _limit(request["memory_mb"])
    warnings.simplefilter("ignore")
    answer: dict[str, Any] = {}
    try:
        raw = _load(Path(request["path"]), request["kind"], request["where"])
        mesh, findings, openings = mend(
            raw,
            where=request["where"],
            grid=request["grid"],
            most_faces=request["most_faces"],
            loose=request["kind"] in ("stl", "glb", "gltf"),
            openings=request["openings"],
        )
        np.savez(request["arrays"], vertices=mesh.vertices, faces=mesh.faces)
        answer = {"findings": [asdict(f) for f in findings], "up": mesh.up, "made": True}
        answer["extents"] = _extents(raw)
        answer["openings"] = [asdict(opening) for opening in openings]
    except AirweftError as error:
        answer = {"findings": [asdict(f) for f in error.findings], "made": False}
    Path(request["answer"]).write_text(json.dumps(answer), encoding="utf-8")


def _limit(memory_mb: int) -> None:
    """Hold this process to so much memory, where the system can (not on Windows)."""
    try:
        import resource
    except ImportError:
        return
    with contextlib.suppress(ValueError, OSError):
        most = memory_mb * 1024 * 1024
        resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _load(path: Path, kind: str, where: str) -> RawMesh:
    """The triangles of a file, with everything else in it left aside. Raises AirweftError."""
    import trimesh

    def refuse(why: str) -> AirweftError:
        return AirweftError(
            Finding(
                code="model-unreadable",
                severity="cannot",
                where=where,
                message=f"This is no {kind.upper()} file that can be read, or it is damaged: {why}",
                remedy="Open it in a 3D program and save it again as STL, OBJ, PLY, OFF or GLB.",
            )
        )

    try:
        content = path.read_bytes()
    except OSError as error:
        raise refuse("it may not be read.") from error
    if kind == "stl" and (short := _cut_short(content)):
        raise refuse(short)
    try:
        with io.BytesIO(_as_utf8(content) if kind in ("obj", "off") else content) as file:
            loaded = trimesh.load(
                file,
                file_type=kind,
                process=False,
                skip_materials=True,
                resolver=_beside(path.parent),
            )
    except MemoryError:
        raise
    except Exception as error:  # readers of outside files fail in every way there is
        raise refuse(_why(error)) from error
    meshes = loaded.dump() if isinstance(loaded, trimesh.Scene) else [loaded]
    vertices, faces, first = [np.zeros((0, 3))], [np.zeros((0, 3), dtype=np.int64)], 0
    for mesh in meshes:
        if isinstance(mesh, trimesh.Trimesh):
            vertices.append(np.asarray(mesh.vertices, dtype=np.float64).reshape(-1, 3))
            faces.append(np.asarray(mesh.faces, dtype=np.int64).reshape(-1, 3) + first)
            first += len(vertices[-1])
    up = "y" if kind in ("glb", "gltf") else "z"
    return RawMesh(np.concatenate(vertices), np.concatenate(faces), up)


class _OutsideFolder(ValueError):
    """A model names a file that is not beside it."""


def _beside(folder: Path) -> Any:
    """What gives the reader other files that a model names: only those beside it, by plain name."""
    from trimesh.resolvers import Resolver

    class Beside(Resolver):
        """Files in one folder, to be read only."""

        def __init__(self) -> None:
            pass

        def get(self, name: str) -> bytes:
            if not name or name != Path(name).name or len(name) > 200:
                raise _OutsideFolder("it names a file outside its own folder.")
            return (folder / name).read_bytes()

        def keys(self) -> list[str]:
            return []

        def namespaced(self, namespace: str) -> Any:
            return self

        def write(self, name: str, data: Any) -> None:
            raise ValueError("models are only read")

    return Beside()


def _extents(raw: RawMesh) -> list[float]:
    """Width, depth and height in the file's own numbers, along its own axes."""
    used = raw.vertices[np.unique(raw.faces)]
    used = used[np.isfinite(used).all(axis=1)]
    return [float(x) for x in np.ptp(used, axis=0)]


def _cut_short(content: bytes) -> str:
    """What is missing of a binary STL file (80 bytes, a count, 50 bytes for each triangle)."""
    if len(content) < 84 or content[:5].lower() == b"solid" or b"\0" not in content[:512]:
        return ""
    wanted = 84 + 50 * int.from_bytes(content[80:84], "little")
    if len(content) >= wanted:
        return ""
    return f"it speaks of {wanted:,} bytes and has {len(content):,}, so it was cut short."


def _as_utf8(content: bytes) -> bytes:
    """Text in UTF-8; of other writings only names and remarks are spoilt, which are not used."""
    return content.decode("utf-8", errors="replace").encode("utf-8")


def _why(error: Exception) -> str:
    """Why a reader gave up, for people: its own words are for programmers."""
    if isinstance(error, _OutsideFolder):
        return str(error)
    if isinstance(error, FileNotFoundError):
        return "another file that belongs to it is not beside it."
    if "length" in str(error).lower() or isinstance(error, EOFError):
        return "it ends too early, as if it was cut short."
    return "its contents are not what such a file holds, or it was cut short."


if __name__ == "__main__":
    main()
