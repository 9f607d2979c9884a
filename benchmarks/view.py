"""The app's view: from a changed number to the new picture, and frames while the piece is turned.

    python -m benchmarks.view

Starts a page of its own, opens it in Debian's Chromium without a screen or a graphics card, and
presses a button that changes the height of a box there and back. Least of several runs.

weave       net and colours from the changed form
pack        what the browser needs of it; `sent` is its size
picture     from the press of the button to the first painted frame: weave and pack are in it; the
            full picture of a large piece follows at rest
paint       the same where only colours have changed: the server's answer to a stroke
full frame  one frame until its pixels can be read; `moving` as it is painted while it turns
turning     frames a second while a key is held down
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from typing import Any

SIZES = ((6, 6), (28, 30), (58, 58))  # across and high: 216, 4,928 and 20,184 bubbles
RUNS = 8
VIEW = "getElement(Number(document.querySelector('.pv').id.slice(1)))"

CHANGE = """async (name) => {
  const stage = VIEW.shown;
  const canvas = stage.main;
  const before = stage.model;
  const start = performance.now();
  const changed = new Promise((done) => {
    const stop = stage.on('model', () => { stop(); done(); });
  });
  [...document.querySelectorAll('button')].find((b) => b.textContent === name).click();
  await changed;
  const frame = stage.last;
  while (stage.last === frame || stage.model === before) await new Promise(requestAnimationFrame);
  canvas.getContext('2d').getImageData(0, 0, 1, 1);
  return performance.now() - start;
}""".replace("VIEW", VIEW)

ORBIT = """async () => {
  const stage = VIEW.shown;
  let frames = 0;
  let seen = stage.last;
  const start = performance.now();
  let now = start;
  while (now - start < 2500) {
    stage.picture.nudge('left');
    await new Promise(requestAnimationFrame);
    if (stage.last !== seen) frames++;
    seen = stage.last;
    now = performance.now();
  }
  return (1000 * frames) / (now - start);
}""".replace("VIEW", VIEW)


def main() -> None:
    """Print the table."""
    from playwright.sync_api import sync_playwright

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    server = subprocess.Popen([sys.executable, "-m", "benchmarks.view", "--serve", str(port)])
    try:
        address = f"http://127.0.0.1:{port}"
        _wait(address, server)
        print("\n## The view (1200 × 800, no graphics card)\n")
        print("| bubbles | weave | pack | sent | picture | paint | full frame | moving | turning |")
        print("|---|---|---|---|---|---|---|---|---|")
        with sync_playwright() as play:
            chromium = play.chromium.launch(
                executable_path=os.environ.get("CHROMIUM") or shutil.which("chromium"),
                args=["--no-sandbox", "--disable-gpu"],
            )
            for across, high in SIZES:
                page = chromium.new_page(viewport={"width": 1200, "height": 800})
                page.goto(f"{address}/?across={across}&high={high}")
                page.wait_for_function(f"{VIEW}?.shown?.last")
                page.wait_for_timeout(800)
                print(_row(page))
                page.close()
            chromium.close()
    finally:
        server.terminate()
        server.wait(10)


def _row(page: Any) -> str:
    changes, made = [], []
    for _ in range(RUNS):
        changes.append(page.evaluate(CHANGE, "change"))
        made.append([float(text) for text in page.locator(".made").inner_text().split()])
    paints = [page.evaluate(CHANGE, "paint") for _ in range(RUNS)]
    full = page.evaluate(f"{VIEW}.shown.picture.time(8, false)")
    moving = page.evaluate(f"{VIEW}.shown.picture.time(8, true)")
    turning = page.evaluate(ORBIT)
    bubbles = page.evaluate(f"{VIEW}.shown.model.bubbleCount")
    weave, pack, sent = (min(column) for column in zip(*made, strict=True))
    return (
        f"| {bubbles:,} | {weave:.0f} ms | {pack:.0f} ms | {sent / 1000:,.0f} KB "
        f"| {min(changes):.0f} ms | {min(paints):.0f} ms | {full:.0f} ms | {moving:.0f} ms "
        f"| {turning:.0f} frames/s |"
    )


def _wait(address: str, server: subprocess.Popen[bytes]) -> None:
    for _ in range(600):
        try:
            urllib.request.urlopen(f"{address}/?across=4&high=4", timeout=20).close()
            return
        except (urllib.error.URLError, ConnectionError):
            if server.poll() is not None:
                raise SystemExit("the page did not start") from None
            time.sleep(0.05)


def serve(port: int) -> None:
    """The page: a box whose height and colours two buttons change."""
    from nicegui import ui

    from airweft.records.design import Box
    from airweft.web.view.pack import Pack, pack_net, repainted
    from airweft.web.view.view import PieceView
    from benchmarks.nets.case import PALETTE
    from benchmarks.nets.make import fabric, striped

    @ui.page("/")
    def page(across: int = 6, high: int = 6) -> None:
        held = {"high": high, "turn": 0}

        def made() -> Pack:
            start = time.perf_counter()
            form = Box(across=across, deep=across, high=held["high"])
            net = striped(fabric(form), "columns", "RW")
            woven = time.perf_counter()
            pack = pack_net(net, PALETTE)
            size = sum(len(str(value)) for value in pack.data.values())
            packed = time.perf_counter()
            said.text = f"{1000 * (woven - start)} {1000 * (packed - woven)} {size}"
            return pack

        def change() -> None:
            held["high"] = high + 2 if held["high"] == high else high
            view.show(made())

        def recolour() -> None:
            assert view.pack is not None
            held["turn"] += 1
            count = len(view.pack.bubbles)
            marks = ["RW"[(k + held["turn"]) % 2] for k in range(count)]
            view.show(repainted(view.pack, PALETTE, marks))

        said = ui.label().classes("made")
        view = PieceView().style("height: 680px; width: 1180px")
        view.show(made())
        for name, act in (("change", change), ("paint", recolour)):
            with ui.element("button").on("click", lambda _, act=act: act()):
                ui.html(name, sanitize=False)

    ui.run(host="127.0.0.1", port=port, show=False, reload=False, show_welcome_message=False)


if __name__ in ("__main__", "__mp_main__"):
    if sys.argv[1:2] == ["--serve"]:
        serve(int(sys.argv[2]))
    else:
        main()
