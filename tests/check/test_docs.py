"""The pages list every code that the checker and the plan file give."""

from __future__ import annotations

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
CODE = re.compile(r"`([a-z][a-z0-9]*(?:-[a-z0-9]+)+)`")


def texts_in(*files: str) -> set[str]:
    """First arguments, as far as they are texts, of every call in these modules."""
    found: set[str] = set()
    for file in files:
        for path in sorted((ROOT / "src" / "airweft").glob(file)):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call):
                    found |= {
                        arg.value
                        for arg in node.args[:2]
                        if isinstance(arg, ast.Constant) and isinstance(arg.value, str)
                    }
    return {text for text in found if re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)+", text)}


def test_every_code_of_the_checker_has_its_entry() -> None:
    listed = set(CODE.findall((ROOT / "docs" / "check.md").read_text(encoding="utf-8")))
    codes = texts_in("check/*.py") - {"utf-8"}
    assert len(codes) > 25
    assert codes <= listed, codes - listed
    for rule, what in [("m2", "balloon"), ("m6", "joint"), ("m7", "joint"), ("m9", "balloon")]:
        assert f"{rule}-no-such-{what}" in listed


def test_every_code_of_the_plan_file_has_its_entry() -> None:
    page = (ROOT / "docs" / "plan-file.md").read_text(encoding="utf-8")
    codes = texts_in("records/json*.py", "records/plan*.py") - {
        "utf-8",
        "utf-8-sig",
        "airweft-plan",
    }
    assert len(codes) > 12
    missing = [code for code in sorted(codes) if f"`{code.removeprefix('plan-file-')}`" not in page]
    assert not missing
