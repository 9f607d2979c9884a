"""Moving frames: bodies as pixels look as the canvas's own paths, and the full picture follows.

The browser's rasteriser is the reference here, which shares nothing with `pixels.js`.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest

from airweft.booklet.phone_data import page_data
from airweft.records.design import Box
from tests.booklet.books import make_book

HOST = "http://canvas.test"
SIDES = {"few": 6, "many": 14}  # 216 and 1,176 bubbles

PAGE = """<!doctype html><canvas id="place" style="width:640px;height:480px"></canvas>
<script type="module">
import { readModel } from "/data.js";
import { makeInks } from "/inks.js";
import { makePace } from "/pace.js";
import { makePicture } from "/picture.js";
import { makeScratch, paint } from "/painter.js";
import { orientationOf } from "/turning.js";
Object.assign(window, { readModel, makeInks, makePace, makePicture, makeScratch, paint });
window.orientationOf = orientationOf;
window.raw = await (await fetch("/raw.json")).json();
window.ready = true;
</script>"""

# Both ways of painting one frame: how far they are apart where the piece is, of 255.
COMPARE = """({ scale, slender, made, whole, dark }) => {
  const model = readModel(raw);
  model.waist = model.waist.map((waist) => waist * slender);
  model.cap = model.cap.map((cap) => cap * slender);
  const eye = { matrix: orientationOf(-30, 20), scale, pivot: model.scene.middle, x: 320, y: 240 };
  const [paths, pixels] = [false, true].map((swift) => {
    const canvas = document.createElement("canvas");
    canvas.width = 640;
    canvas.height = 480;
    const ctx = canvas.getContext("2d", { alpha: false });
    const inks = makeInks(ctx, model.palette, dark);
    const how = { base: 0, colour: model.colour, whole, swift, quick: true, pixel: 1 };
    const count = whole ? model.bubbleCount : Math.min(model.bubbleCount, made + 40);
    paint(ctx, model, inks, eye, made, count, makeScratch(model), how);
    return ctx.getImageData(0, 0, 640, 480).data;
  });
  let there = 0, off = 0, bias = 0, far = 0;
  for (let at = 0; at < paths.length; at += 4) {
    const most = Math.max(...[0, 1, 2].map((k) => Math.abs(paths[at + k] - pixels[at + k])));
    const ground = [0, 1, 2].every((k) => paths[at + k] === paths[k]);
    if (ground && most === 0) continue;
    there++;
    off += most;
    far += most > 96 ? 1 : 0;
    for (const k of [0, 1, 2]) bias += (pixels[at + k] - paths[at + k]) / 3;
  }
  return { there, off: off / there, bias: bias / there, far: far / there };
}"""

# Frames of a piece that is shown, turned and left alone: how each was painted.
LIVE = """async () => {
  const frames = [];
  const canvas = document.getElementById("place");
  const picture = makePicture(canvas, readModel(raw), {
    isDark: () => false,
    padding: () => [0, 0, 0],
    onLook: () => {},
    over: (scratch, eye, how) => frames.push(how.swift ? (how.quick ? "moving" : "soon") : "full"),
  });
  const model = readModel(raw);
  picture.show({ shown: model.bubbleCount });
  const rest = () => new Promise((done) => setTimeout(done, 1500));
  await rest();
  const shown = frames.splice(0);
  picture.nudge("left");
  await new Promise(requestAnimationFrame);
  await new Promise(requestAnimationFrame);
  await rest();
  const ctx = canvas.getContext("2d");
  const last = ctx.getImageData(0, 0, canvas.width, canvas.height).data;
  const { eye, pixel } = picture.seen;
  const inks = makeInks(ctx, model.palette, false);
  const how = { base: 0, colour: model.colour, whole: true, pixel };
  paint(ctx, model, inks, eye, 0, model.bubbleCount, makeScratch(model), how);
  const own = ctx.getImageData(0, 0, canvas.width, canvas.height).data;
  return { shown, turned: frames, same: last.every((value, at) => value === own[at]) };
}"""


@pytest.fixture(scope="module", params=list(SIDES))
def page(request: pytest.FixtureRequest, browser: Any) -> Iterator[Any]:
    """A page with the modules of the canvas and a box, and nothing from outside."""
    side = SIDES[request.param]
    raw = json.dumps(page_data(make_book(Box(across=side, deep=side, high=side))))
    opened = browser.new_page()

    def answer(route: Any) -> None:
        name = route.request.url.removeprefix(f"{HOST}/")
        if name.endswith(".js"):
            text = (files("airweft.draw") / "canvas" / name).read_text(encoding="utf-8")
            route.fulfill(body=text, content_type="text/javascript")
        elif name == "raw.json":
            route.fulfill(body=raw, content_type="application/json")
        else:
            route.fulfill(body=PAGE, content_type="text/html")

    errors: list[str] = []
    opened.on("pageerror", lambda error: errors.append(str(error)))
    opened.route(f"{HOST}/**", answer)
    opened.goto(f"{HOST}/")
    opened.wait_for_function("window.ready")
    opened.many = request.param == "many"
    yield opened
    opened.close()
    assert not errors


CASES: dict[str, dict[str, Any]] = {
    "whole": {},
    "close": {"scale": 2.5},
    "tiny": {"scale": 0.2},
    "slender": {"slender": 0.4},
    "steps": {"whole": False, "made": 120},
    "dark": {"dark": True},
    "dark steps": {"whole": False, "made": 120, "dark": True},
}


@pytest.mark.parametrize("case", CASES)
def test_bodies_as_pixels_look_as_the_browsers_own_paths(page: Any, case: str) -> None:
    usual: dict[str, Any] = {"scale": 0.8, "slender": 1, "made": 0, "whole": True, "dark": False}
    seen = page.evaluate(COMPARE, usual | CASES[case])
    assert seen["there"] > 600
    # Bubbles of two or three pixels are nearly all edge, where two rasterisers differ.
    assert seen["off"] < (12 if case == "tiny" else 6), seen
    assert abs(seen["bias"]) < 4, seen
    assert seen["far"] < 0.01, seen


def test_the_full_picture_follows_when_the_hand_rests(page: Any) -> None:
    seen = page.evaluate(LIVE)
    assert seen["shown"][-1] == seen["turned"][-1] == "full"
    assert seen["same"]
    if page.many:
        assert seen["shown"][0] == "soon" and seen["turned"][0] == "moving"
    else:
        assert "soon" not in seen["shown"] + seen["turned"]


PACE = """(frames) => {
  const pace = makePace();
  return frames.map(([ms, count]) => {
    if (ms) pace.took(ms, count);
    else pace.begin();
    return [pace.swift(count), pace.coarser(count)];
  });
}"""


def test_frames_get_coarser_only_while_they_are_slow(page: Any) -> None:
    few, many = 216, 20_000
    told = page.evaluate(PACE, [[20, few], [40, few], [20, few], [40, few], [40, few]])
    assert told == [[False, 1]] * 4 + [[True, 1]]
    slow = [[90, many], [30, many], *[[90, many]] * 2, *[[80, many]] * 4]
    told = page.evaluate(PACE, slow)
    assert [coarser for _, coarser in told] == [1, 1, 1, 2, 2, 3, 3, 3]
    # The next movement is as fine again as the last one would have allowed.
    told = page.evaluate(PACE, [*[[90, many]] * 2, [25, many], [0, many], [10, many], [0, many]])
    assert [coarser for _, coarser in told] == [1, 2, 2, 2, 2, 1]
