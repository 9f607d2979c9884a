"""Every finding that these stages can make is explained on the stage's page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import airweft

PACKAGE = Path(airweft.__file__).parent
DOCS = Path(__file__).parents[2] / "docs"
CODE = re.compile(r'code="([a-z-]+)"|_finding\(\s*"([a-z-]+)"|\.problem\(\s*"([a-z-]+)"')


@pytest.mark.parametrize("stage", ["surface", "net", "colour"])
def test_findings_are_explained(stage: str) -> None:
    page = (DOCS / f"{stage}.md").read_text(encoding="utf-8")
    codes = {
        code.removeprefix("net-file-")
        for source in (PACKAGE / stage).glob("*.py")
        for match in CODE.findall(source.read_text(encoding="utf-8"))
        for code in match
        if code
    }
    assert len(codes) > 5
    assert [code for code in sorted(codes) if f"`{code}`" not in page] == []
