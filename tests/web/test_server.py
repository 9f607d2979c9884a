"""Starting and ending the app, and what it tells to whom."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx
import pytest

from airweft.cli import main
from tests.web.conftest import Running, end, free_port, start


def test_the_command_line_loads_nothing_of_the_app() -> None:
    code = (
        "import sys, airweft.cli.app\n"
        "assert not {m for m in sys.modules if m.split('.')[0] in ('nicegui', 'fastapi', 'segno')"
        " or m.startswith('airweft.web')}"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


def test_a_port_that_is_taken_and_a_folder_that_is_none(
    app: Running, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    port = app.address.rsplit(":", 1)[1]
    assert main(["app", "--no-open", "--home", str(tmp_path / "a"), "--port", port]) == 2
    assert "cannot be used" in capsys.readouterr().err
    file = tmp_path / "file"
    file.write_bytes(b"")
    assert main(["app", "--no-open", "--home", str(file)]) == 2
    assert "Give --home a folder" in capsys.readouterr().err


def test_a_second_app_for_the_folder_only_names_the_first(
    app: Running, capsys: pytest.CaptureFixture[str]
) -> None:
    given = ["--no-open", "--home", str(app.home), "--port", str(free_port())]
    assert main(["app", *given]) == 0
    assert app.address in capsys.readouterr().out


def test_foreign_requests_are_refused_by_the_real_server(app: Running) -> None:
    assert httpx.get(app.address, headers={"host": "evil.example"}).status_code == 421
    evil = {"origin": "http://evil.example"}
    assert httpx.get(app.address, headers=evil).status_code == 403
    socket = f"{app.address}/_nicegui_ws/socket.io/?EIO=4&transport=polling"
    assert httpx.get(socket, headers=evil).status_code == 403
    assert httpx.post(socket, content="40").status_code == 403
    for path in ("/share", "/join", "/docs", "/openapi.json", "/airweft/../guard.py"):
        assert httpx.get(f"{app.address}{path}").status_code == 404, path


def test_shared_the_code_is_shown_here_and_written_nowhere(
    tmp_path: Path, look: Callable[..., Any]
) -> None:
    running = start(tmp_path / "home", "--share")
    try:
        page = look(f"{running.address}/share", "phone")
        page.get_by_text("No device has joined yet.").or_(
            page.get_by_text("in no network")
        ).wait_for()
        codes = page.locator(".share-code")
        if not codes.count():
            pytest.skip("this computer is in no network")
        code = codes.inner_text().replace(" ", "")
        join = f"{running.address}/join"
        own = {"origin": running.address}
        wrong = httpx.post(join, data={"code": "<b>WRONG"}, headers=own)
        assert wrong.status_code == 403 and "<b>" not in wrong.text
        right = httpx.post(join, data={"code": code}, headers=own)
        cookie = right.headers["set-cookie"]
        assert (
            right.status_code == 303
            and "HttpOnly" in cookie
            and "samesite=strict" in cookie.lower()
        )
        page.get_by_text("One device has joined.").wait_for()
        assert codes.inner_text().replace(" ", "") != code
        assert httpx.post(join, data={"code": code}, headers=own).status_code == 403
        page.context.close()
        joining = look(f"{join}#ABCD2345WXYZ", "phone")
        assert joining.get_by_label("Code").input_value() == "ABCD2345WXYZ"
        assert joining.url == join
        joining.context.close()
    finally:
        assert end(running) == 0
    kept = b"".join(p.read_bytes() for p in tmp_path.rglob("*") if p.is_file())
    value = re.split("[=;]", cookie)[1]
    assert code.encode() not in kept and value.encode() not in kept
