"""The view worked with real clicks, keys and fingers, beside what geometry says of it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from airweft.booklet.phone_data import stops_of
from airweft.booklet.phone_views import looks
from airweft.draw.body import bodies_of
from airweft.workshop.shape import open_design, painted_net
from tests.phone.pages import folded_book
from tests.web.conftest import SIZES, free_port
from tests.web.sight import Sight

ROOT = Path(__file__).parents[2]
DESIGN = ROOT / "examples" / "harbour-lantern.toml"
STAGE = "getElement(Number(document.querySelector('.pv').id.slice(1))).shown"

Look = Callable[..., Any]


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The server of the test pages."""
    port = free_port()
    log = tmp_path_factory.mktemp("view") / "log"
    with log.open("wb") as out:
        process = subprocess.Popen(
            [sys.executable, "-m", "tests.web.view_page", str(DESIGN), str(port)],
            cwd=ROOT, stdout=out, stderr=out,
            # The page builder would take itself for a part of the tests.
            env={k: v for k, v in os.environ.items() if not k.startswith("PYTEST")},
        )  # fmt: skip
    url = f"http://127.0.0.1:{port}"
    for _ in range(600):
        try:
            urllib.request.urlopen(url, timeout=5).close()
            break
        except (urllib.error.URLError, ConnectionError):
            assert process.poll() is None, log.read_text(encoding="utf-8")
            time.sleep(0.05)
    yield url
    process.terminate()
    process.wait(10)
    assert "Traceback" not in log.read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def net() -> Any:
    return painted_net(open_design(DESIGN))


def opened(look: Look, url: str, size: str = "desktop", **wishes: Any) -> Any:
    page = look(url, size, reduced_motion="reduce", **wishes)
    page.wait_for_function(
        "[...document.querySelectorAll('.pv')].every((e) => {"
        "const { shown } = getElement(Number(e.id.slice(1))) || {};"
        "return shown && (shown.last || shown.places); })"
    )
    settle(page)
    return page


def settle(page: Any) -> None:
    """Wait until the page has told what it has to tell, and has the server's answers."""
    page.wait_for_timeout(330)
    page.evaluate(
        "(async () => { const line = document.querySelector('.answered');"
        "const before = line.textContent; document.querySelector('.ask').click();"
        "while (line.textContent === before) await new Promise((done) => setTimeout(done, 10));"
        "for (let k = 0; k < 3; k++) await new Promise(requestAnimationFrame); })()"
    )


def told(page: Any, kind: str) -> list[dict[str, Any]]:
    settle(page)
    said = json.loads(page.locator(".told").inner_text())
    return [event for event in said if event["kind"] == kind]


def press(page: Any, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()
    settle(page)


def pose(page: Any) -> dict[str, Any]:
    """The eye in canvas pixels, and where the canvas lies on the page."""
    eye = page.evaluate(f"{STAGE}.picture.seen.eye")
    box = page.locator(".pv-main").first.bounding_box()
    return {**eye, "box": box, "ratio": page.evaluate(f"{STAGE}.main.width") / box["width"]}


def on_page(eye: dict[str, Any], x: float, y: float) -> tuple[float, float]:
    return eye["box"]["x"] + x / eye["ratio"], eye["box"]["y"] + y / eye["ratio"]


def clear_spots(sight: Sight, eye: dict[str, Any], count: int, seed: int) -> list[tuple[Any, ...]]:
    """Places where geometry is sure of the bubble in front, drawn by lot, with that bubble."""
    draw = np.random.default_rng(seed)
    found: list[tuple[Any, ...]] = []
    width = eye["box"]["width"] * eye["ratio"]
    high = (eye["box"]["height"] - 80) * eye["ratio"]
    while len(found) < count:
        x, y = draw.uniform(30, width - 30), draw.uniform(30, high)
        front = sight.front(x, y)
        if front is not None and (front >= 0 or len(found) % 4 == 3):
            found.append((x, y, front))
    return found


@pytest.mark.parametrize("side", ["corner", "back", "above"])
def test_a_click_picks_the_bubble_that_lies_in_front(
    look: Look, address: str, net: Any, side: str
) -> None:
    page = opened(look, f"{address}/?only=view")
    press(page, side)
    eye = pose(page)
    sight = Sight(bodies_of(net), eye)
    spots = clear_spots(sight, eye, 12, seed=5)
    assert len({front for _, _, front in spots}) > 6
    for x, y, front in spots:
        page.mouse.click(*on_page(eye, x, y))
        picked = told(page, "pick")[-1]["bubbles"]
        assert picked == ([net.bubble_names[front]] if front >= 0 else [])


def test_a_click_close_to_a_joint_picks_the_joint(look: Look, address: str, net: Any) -> None:
    page = opened(look, f"{address}/?only=view")
    press(page, "front")
    eye = pose(page)
    middle, distance = np.array(bodies_of(net).scene.centre), 9 * bodies_of(net).scene.radius
    axes = np.array(eye["matrix"]).reshape(3, 3)
    wanted = "front (3, 4)"
    seen = axes @ (net.joints[net.joint_names.index(wanted)] - middle)
    pivot = axes @ (np.array(eye["pivot"]) - middle)
    k, kp = (eye["scale"] * distance / (distance - v[2]) for v in (seen, pivot))
    x, y = eye["x"] + seen[0] * k - pivot[0] * kp, eye["y"] - seen[1] * k + pivot[1] * kp
    page.mouse.click(*on_page(eye, x + 2, y - 2))
    assert told(page, "pick")[-1]["joint"] == wanted
    lit = page.evaluate(f"{STAGE}.state.marks")
    assert lit[0]["joints"] == [net.joint_names.index(wanted)]


def test_a_stroke_paints_what_lies_under_it_and_only_that(
    look: Look, address: str, net: Any
) -> None:
    page = opened(look, address)
    press(page, "paint")
    eye = pose(page)
    sight = Sight(bodies_of(net), eye)
    a = (eye["x"] - 90 * eye["ratio"], eye["y"] - 70 * eye["ratio"])
    b = (eye["x"] + 90 * eye["ratio"], eye["y"] + 50 * eye["ratio"])
    page.mouse.move(*on_page(eye, *a))
    page.mouse.down()
    page.mouse.move(*on_page(eye, *b), steps=9)
    page.mouse.up()
    parts = told(page, "stroke")
    painted = [name for part in parts for name in part["bubbles"]]
    assert len(painted) == len(set(painted)) and parts[-1]["done"]
    assert len({part["number"] for part in parts}) == 1
    line = [np.array(a) + (np.array(b) - np.array(a)) * t for t in np.linspace(0, 1, 400)]
    fronts = [sight.front(*spot) for spot in line]
    names = [net.bubble_names[i] for i in fronts if i is not None and i >= 0]
    sure = {name for name in names if names.count(name) >= 8}  # at least 4 pixels of the line
    assert sure <= set(painted), sure - set(painted)
    depth = {n: max(sight.cuts(*spot)[net.bubble_names.index(n)] for spot in line) for n in painted}
    assert min(depth.values()) > -0.02  # nothing that the line does not touch
    # The page shows it at once, and view and chart agree after the answer.
    colours = page.evaluate(
        "[...document.querySelectorAll('.pv')].map((e) => {"
        "const part = getElement(Number(e.id.slice(1)));"
        "const { model } = part.shown;"
        "return [...model.colour].map((c) => model.palette[c].mark).join(''); })"
    )
    wanted = "".join(
        "R" if name in painted else mark
        for name, mark in zip(net.bubble_names, net.colours, strict=True)
    )
    assert colours == [wanted, wanted]


def test_a_drag_beside_the_piece_turns_it_while_painting(look: Look, address: str) -> None:
    page = opened(look, f"{address}/?only=view")
    press(page, "paint")
    box = page.locator(".pv-main").bounding_box()
    x, y = box["x"] + 30, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 90, y, steps=4)
    page.mouse.up()
    assert told(page, "camera") and not told(page, "stroke")


def test_two_fingers_drop_the_stroke_and_come_closer(look: Look, address: str, net: Any) -> None:
    page = opened(look, f"{address}/?only=view", "phone", has_touch=True)
    press(page, "paint")
    page.locator(".pv").scroll_into_view_if_needed()
    before, eye = page.evaluate(f"{STAGE}.picture.eye.scale"), pose(page)
    x, y = on_page(eye, eye["x"], eye["y"])
    touch = page.context.new_cdp_session(page)

    def send(kind: str, *points: tuple[float, float]) -> None:
        fingers = [{"x": x, "y": y, "id": k} for k, (x, y) in enumerate(points)]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": fingers})

    send("touchStart", (x - 20, y))
    send("touchStart", (x - 20, y), (x + 20, y))
    for far in (30, 45, 60):
        send("touchMove", (x - far, y), (x + far, y))
    send("touchEnd")
    settle(page)
    assert page.evaluate(f"{STAGE}.picture.eye.scale") > 1.6 * before
    assert not told(page, "stroke")
    marks = page.evaluate(
        f"[...{STAGE}.model.colour].map((c) => {STAGE}.model.palette[c].mark).join('')"
    )
    assert marks == "".join(net.colours)


def test_keys_turn_come_closer_move_and_go_home(look: Look, address: str) -> None:
    page = opened(look, f"{address}/?only=view")
    view = page.get_by_role("application")
    view.focus()
    seen = page.locator(".pv-seen")
    home = page.evaluate(f"{STAGE}.picture.eye")
    assert seen.inner_text() == "Seen from the front, a little from the right and above."
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    camera = told(page, "camera")[-1]
    assert abs(camera["around"] - 25) == 30 and camera["above"] == 24
    assert page.locator(".pv-frame [role=status]").first.inner_text() == seen.inner_text()
    page.keyboard.press("+")
    page.keyboard.press("Shift+ArrowRight")
    settle(page)
    eye = page.evaluate(f"{STAGE}.picture.eye")
    assert eye["scale"] > 1.1 * home["scale"] and eye["panX"] > home["panX"] + 20
    page.keyboard.press("0")
    settle(page)
    assert page.evaluate(f"{STAGE}.picture.eye") == home
    assert "228 bubbles, 120 joints" in view.get_attribute("aria-label")


def test_the_focus_can_be_seen_on_everything_that_takes_it(look: Look, address: str) -> None:
    page = opened(look, f"{address}/?open=1")
    page.locator("body").click(position={"x": 2, "y": 2})
    reached: list[str] = []
    for _ in range(34):
        page.keyboard.press("Tab")
        found = page.evaluate(
            "(() => { const e = document.activeElement; const part = e.closest('.pv, .pv-twin');"
            "if (!part) return null;"
            "const wide = (x) => { const s = getComputedStyle(x);"
            "return s.outlineStyle === 'none' ? 0 : parseFloat(s.outlineWidth); };"
            "return [e.className, Math.max(wide(e), wide(e.parentElement))]; })()"
        )
        if found:
            assert found[1] >= 2, found
            reached.append(found[0])
        if reached and reached[-1] == "pv-text":
            break
    kinds = {"pv-main", "pv-button", "pv-select", "pv-entry", "pv-text"}
    assert kinds <= set(" ".join(reached).split())
    assert (
        reached.count("pv-main") == 2 and sum(name.startswith("pv-entry") for name in reached) == 1
    )


def test_a_section_opens_the_piece_and_what_is_inside_can_be_picked(
    look: Look, address: str, net: Any
) -> None:
    page = opened(look, f"{address}/?only=view")
    press(page, "front")
    press(page, "cut")
    eye, bodies = pose(page), bodies_of(net)
    depth = bodies.centres[:, 1]
    hidden = depth < depth.min() + 0.5 * (depth.max() - depth.min())
    assert page.evaluate(f"{STAGE}.last.s.drawn") == int((~hidden).sum())
    sight = Sight(bodies, eye)
    front = None
    for dx in range(0, 200, 7):
        x, y = eye["x"] + dx, eye["y"] - dx / 3
        front = sight.front(x, y, hidden)
        if front is not None and front >= 0:
            page.mouse.click(*on_page(eye, x, y))
            assert told(page, "pick")[-1]["bubbles"] == [net.bubble_names[front]]
            break
    assert front is not None and net.bubble_panels[front] == "back"
    slider = page.get_by_role("slider", name="How much is cut off")
    slider.focus()
    page.keyboard.press("Home")
    settle(page)
    assert page.evaluate(f"{STAGE}.last.s.drawn") == net.bubble_count
    press(page, "Look inside")
    assert page.evaluate(f"{STAGE}.state.section") is None


def test_light_shows_where_and_turns_to_what_lies_behind(
    look: Look, address: str, net: Any
) -> None:
    page = opened(look, f"{address}/?only=view")

    def ink() -> int:
        """How much is painted over the picture."""
        return int(
            page.evaluate(
                "(() => { const c = document.querySelector('.pv-over');"
                "return c.getContext('2d').getImageData(0, 0, c.width, c.height)"
                ".data.reduce((a, b) => a + b, 0); })()"
            )
        )

    assert ink() == 0
    press(page, "light")
    assert ink() > 0
    joint = net.joint_names[-1]
    bubbles = [i for i, ends in enumerate(net.ends.tolist()) if net.joint_count - 1 in ends]
    press(page, "reveal")
    eye = pose(page)
    sight = Sight(bodies_of(net), eye)
    fronts = {sight.front(float(sight.x[i]), float(sight.y[i])) for i in bubbles}
    assert fronts & set(bubbles), joint


def test_the_twin_says_the_piece_in_words_and_keeps_step(
    look: Look, address: str, net: Any
) -> None:
    page = opened(look, f"{address}/?open=1&only=view")
    twin = page.locator(".pv-twin")
    assert "228 bubbles, 120 joints" in twin.locator(".pv-about").inner_text()
    assert "Seen from the front" in twin.locator(".pv-about").inner_text()
    page.get_by_label("Find").fill("front 3.2,")
    settle(page)
    (entry,) = twin.locator(".pv-entry").all()
    mark = net.colours[net.bubble_names.index("front 3.2")]
    name = {"R": "red", "W": "white"}[mark]
    assert entry.inner_text().startswith(f"front 3.2, {name} ({mark}). From ")
    ends = net.ends[net.bubble_names.index("front 3.2")].tolist()
    assert all(net.joint_names[j] in entry.inner_text() for j in ends)
    entry.focus()
    assert page.evaluate(f"{STAGE}.pointed") == net.bubble_names.index("front 3.2")
    page.keyboard.press("Enter")
    assert told(page, "pick")[-1]["bubbles"] == ["front 3.2"]
    assert entry.get_attribute("aria-selected") == "true"
    press(page, "paint")
    entry.focus()
    page.keyboard.press("Enter")
    stroke = told(page, "stroke")[-1]
    assert stroke["bubbles"] == ["front 3.2"] and stroke["done"]
    assert "front 3.2, red (R)" in twin.locator(".pv-entry").inner_text()
    page.get_by_label("Find").fill("")
    page.locator(".pv-twin select").select_option(label="front: 48 bubbles")
    settle(page)
    options = twin.locator(".pv-entry")
    assert options.count() == 48
    options.first.focus()
    page.keyboard.press("End")
    assert page.evaluate("document.activeElement.textContent").startswith("front 6.8,")
    # And the other way round: what the mouse points to in the view.
    page.evaluate("window.scrollTo(0, 0)")
    eye = pose(page)
    sight = Sight(bodies_of(net), eye)
    i = net.bubble_names.index("front 5.5")
    page.mouse.move(*on_page(eye, float(sight.x[i]), float(sight.y[i])))
    settle(page)
    pointed = twin.locator(".is-pointed")
    assert pointed.count() == 1 and pointed.inner_text().startswith("front 5.5,")


def test_steps_veil_what_is_done_follow_the_work_and_are_said(look: Look, address: str) -> None:
    book = folded_book()
    stops = stops_of(book)
    views = looks(book.net, bodies_of(book.net), [stop.bubbles for stop in stops])
    page = opened(look, f"{address}/steps")
    made = 0
    for number, stop in enumerate(stops[:4]):
        if number:
            press(page, "next")
        how = page.evaluate(
            f"(({{ made, shown, whole }}) => [made, shown, whole])({STAGE}.last.how)"
        )
        assert how == [made, made + len(stop.bubbles), False]
        seen = page.evaluate(f"{STAGE}.seenFrom")
        assert seen == [views[number].around, views[number].above]
        options = page.locator(".pv-entry")
        assert options.count() == len(stop.bubbles) + len(stop.locks)
        first = book.net.bubble_names[stop.bubbles[0]]
        assert options.first.inner_text().startswith(f"{first}, ")
        made += len(stop.bubbles)
    press(page, "whole")
    assert page.evaluate(f"{STAGE}.last.how.whole") is True


def test_events_of_an_earlier_piece_and_nonsense_pick_nothing(look: Look, address: str) -> None:
    page = opened(look, f"{address}/?only=view")
    send = "getElement(Number(document.querySelector('.pv').id.slice(1))).$emit"
    serial = 1
    for args in (
        '{bubbles: [0], joint: 0, serial: -7}',
        f'{{bubbles: ["x", 1e9, -1, null, 1.5], joint: "y", serial: {serial}}}',
        "null", "[1]", '"text"',
    ):  # fmt: skip
        page.evaluate(f"{send}('pick', {args})")
    picks = told(page, "pick")
    assert len(picks) == 5 and all(p["bubbles"] == [] and p["joint"] is None for p in picks)
    press(page, "hole")
    page.evaluate(f"{send}('pick', {{bubbles: [0], joint: 0, serial: 1}})")
    assert told(page, "pick")[-1]["bubbles"] == []
    assert page.evaluate(f"{STAGE}.model.bubbleCount") == 227


def test_the_chart_is_picked_painted_and_walked(look: Look, address: str, net: Any) -> None:
    page = opened(look, address)
    board = "getElement(Number(document.querySelectorAll('.pv')[1].id.slice(1))).shown"
    main = page.locator(".pv-main").nth(1)
    box = main.bounding_box()
    # Columns count from the left and rows from the bottom of a panel: the corners are enough.
    part = page.evaluate(f"{board}.model.parts.find((p) => p.name === 'Front')")
    number = page.evaluate(f"{board}.model.parts.findIndex((p) => p.name === 'Front')")
    seen = page.evaluate(
        f"(() => {{ const {{ eye, set }} = {board}.view;"
        f"return {{ ...eye, shift: set.shifts[{number}] }}; }})()"
    )
    left = box["x"] + seen["x"] + (part["box"][0] + seen["shift"][0]) * seen["scale"]
    low = (
        box["y"] + seen["y"] + (part["box"][1] + part["box"][3] + seen["shift"][1]) * seen["scale"]
    )

    def spot(column: int, row: int) -> tuple[float, float]:
        return left + (column - 0.5) * seen["scale"], low - (row - 0.5) * seen["scale"]

    page.mouse.click(*spot(2, 3))
    assert told(page, "pick")[-1]["bubbles"] == ["front 2.3"]
    page.mouse.move(*spot(5, 7))
    settle(page)
    assert page.evaluate(f"{STAGE}.pointed") == net.bubble_names.index("front 5.7")
    press(page, "paint")
    page.mouse.move(*spot(1, 8))
    page.mouse.down()
    page.mouse.move(*spot(6, 8), steps=12)
    page.mouse.up()
    painted = [name for part in told(page, "stroke") for name in part["bubbles"]]
    assert painted == [f"front {column}.8" for column in range(1, 7)]
    main.focus()
    page.mouse.move(*spot(3, 4))
    settle(page)
    for key in ("ArrowRight", "ArrowDown", "ArrowDown", "Enter"):
        page.keyboard.press(key)
    assert told(page, "stroke")[-1]["bubbles"] == ["front 4.2"]
    assert page.locator(".pv-frame [role=status]").last.inner_text().startswith("front 4.2, red")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("light", ["light", "dark"])
def test_nothing_serious_is_found_by_the_audit_at_any_size(
    look: Look, address: str, size: str, light: str
) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page = opened(look, f"{address}/?open=1&light={light}", size)
    press(page, "cut")
    assert page.evaluate("document.documentElement.scrollWidth") <= SIZES[size][0]
    found = axe.Axe().run(page).response["violations"]
    own = [
        (v["id"], [n["html"][:120] for n in v["nodes"] if "pv-" in n["html"]])
        for v in found
        if v["impact"] in ("serious", "critical", "moderate")
    ]
    assert [entry for entry in own if entry[1]] == []
