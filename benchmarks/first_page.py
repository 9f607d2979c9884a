"""The app's first page: from the command to the shelf, and from the first press to the piece.

    python -m benchmarks.first_page [--runs N]

Starts `airweft app` from an empty folder, opens its first page in Debian's Chromium without a
screen or a graphics card, with nothing of it kept in the browser, and begins a box; then the same
again from the folder that is there now. Seconds, the least of several runs; wanted: the first page
under 2.

open        from the command until the app says that it is open
answered    from asking for the page to the first of its bytes
first page  from asking for it until its heading and its ways to begin are painted
pictures    until all pictures in sight are there; they are drawn once for each version
once more   the first page asked for again by the same browser
piece       from the press on Box to the painted piece, by which time it is on the shelf

The last three columns are processor seconds, which other programs do not lengthen: of the app until
it is open, and of app and browser from asking for the first page until it is painted (Linux only).
"""

from __future__ import annotations

import argparse
import math
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

COLUMNS = ("open", "answered", "first page", "pictures", "once more", "piece",
           "to open", "app", "browser")  # fmt: skip
PAINTED = """async () => {
  await new Promise(requestAnimationFrame);
  await new Promise((done) => setTimeout(done));
  const { responseStart } = performance.getEntriesByType('navigation')[0];
  return [responseStart / 1000, performance.now() / 1000];
}"""
PICTURES = """() => {
  const pictures = [...document.querySelectorAll('.forms img')];
  const seen = pictures.filter((p) => p.getBoundingClientRect().top < innerHeight);
  return seen.length && seen.every((p) => p.complete && p.naturalWidth);
}"""
PIECE = """() => {
  const view = document.querySelector('.pv canvas') && document.querySelector('.pv');
  return view && getElement(Number(view.id.slice(1)))?.shown?.last;
}"""


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=5)
    runs = parser.parse_args().runs
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        chromium = play.chromium.launch(
            executable_path=os.environ.get("CHROMIUM") or shutil.which("chromium"),
            args=["--no-sandbox", "--disable-gpu"],
        )
        chromium.new_page().goto("about:blank")
        first, again = [], []
        for _ in range(runs):
            with tempfile.TemporaryDirectory(prefix="airweft-") as folder:
                first.append(_measured(chromium, Path(folder)))
                shutil.rmtree(Path(folder, "designs"))
                for kept in Path(folder).glob("workshop.db*"):
                    kept.unlink()
                again.append(_measured(chromium, Path(folder)))
        chromium.close()
    print(f"\n## The app's first page (least of {runs} runs, seconds)\n")
    print(f"| | {' | '.join(COLUMNS)} |")
    print("|---" * (len(COLUMNS) + 1) + "|")
    for name, rows in (("first start", first), ("started again", again)):
        least = [min(column) for column in zip(*rows, strict=True)]
        print(f"| {name} | {' | '.join(f'{seconds:.2f}' for seconds in least)} |")
    if hasattr(os, "getloadavg"):
        print(f"\n{os.cpu_count()} processors, {os.getloadavg()[0]:.1f} busy by all programs.")


def _measured(chromium: Any, folder: Path) -> list[float]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    command = [sys.executable, "-m", "airweft", "app", "--no-open", f"--port={port}"]
    start = time.perf_counter()
    app = subprocess.Popen([*command, f"--home={folder}"], stdout=subprocess.PIPE)
    try:
        assert app.stdout is not None
        app.stdout.readline()
        times = [time.perf_counter() - start]
        to_open, before = _worked(app.pid), _browser_worked(chromium)
        context = chromium.new_context(viewport={"width": 1280, "height": 800})
        page = context.new_page()
        page.goto(f"http://127.0.0.1:{port}/", wait_until="commit")
        page.get_by_role("button", name="Box", exact=True).wait_for()
        times += page.evaluate(PAINTED)
        worked = [to_open, _worked(app.pid) - to_open, _browser_worked(chromium) - before]
        page.wait_for_function(PICTURES)
        times.append(page.evaluate("performance.now() / 1000"))
        page.reload(wait_until="commit")
        page.get_by_role("button", name="Box", exact=True).wait_for()
        times.append(page.evaluate(PAINTED)[1])
        page.wait_for_function(PICTURES)
        start = time.perf_counter()
        page.get_by_role("button", name="Box", exact=True).click()
        page.wait_for_function(PIECE, timeout=60_000)
        times.append(time.perf_counter() - start)
        context.close()
        return times + worked
    finally:
        app.send_signal(signal.SIGINT)
        app.wait(20)


def _worked(process: int) -> float:
    """Processor seconds of a process so far."""
    try:
        told = Path(f"/proc/{process}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    except OSError:
        return math.nan
    return (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")


def _browser_worked(chromium: Any) -> float:
    """Processor seconds of all processes of the browser so far."""
    told = chromium.new_browser_cdp_session().send("SystemInfo.getProcessInfo")
    return sum(float(one["cpuTime"]) for one in told["processInfo"])


if __name__ == "__main__":
    main()
