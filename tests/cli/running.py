"""Running the command in tests: inside this process, or as a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from airweft.cli import main

SMALL = """\
airweft = 1
name    = "Pennant [small]"
units   = "cm"

[balloon]
size   = "260"
bubble = 2.5

[form]
kind    = "sheet"
columns = 4
rows    = 4

[colours]
R = "red"

[pattern]
kind   = "plain"
colour = "R"
"""


@dataclass(frozen=True, slots=True)
class Ran:
    """How a command ended and what it wrote."""

    code: int
    out: str
    err: str


def run(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> Ran:
    """Run the command inside this process. It must never reach its last resort."""
    capsys.readouterr()
    code = main([str(argument) for argument in arguments])
    out, err = capsys.readouterr()
    assert "fault of its own" not in err, err
    assert "Traceback" not in out + err
    return Ran(code, out, err)


def start(*arguments: str | Path, **environment: str) -> subprocess.Popen[bytes]:
    """Start the command as a process of its own, with more in its environment."""
    return subprocess.Popen(
        [sys.executable, "-m", "airweft", *map(str, arguments)],
        env={**os.environ, **environment},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def finish(process: subprocess.Popen[bytes], encoding: str = "utf-8") -> Ran:
    """Wait for a started command."""
    out, err = process.communicate(timeout=120)
    return Ran(process.returncode, out.decode(encoding), err.decode(encoding))


def contents(folder: Path) -> dict[str, Any]:
    """Every file in a folder by its name."""
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}
