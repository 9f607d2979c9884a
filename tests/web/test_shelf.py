"""The shelf used with real clicks, at three sizes, and audited for accessibility."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.web.conftest import SIZES, Running, end, start

ROOT = Path(__file__).parent.parent.parent
NASTY = '<img src=x onerror="document.title=1">[b]&amp; "Röhre" \\ 💡'


def begin(page: Any, title: str) -> str:
    """Begin with a form or an example, and back to the shelf; the name of the new card."""
    page.get_by_role("button", name=title, exact=True).click()
    back_to_the_shelf(page)
    return str(page.locator(".card-name").first.inner_text())


def back_to_the_shelf(page: Any) -> None:
    """From a piece that was begun or brought in, which the app opens by itself."""
    page.wait_for_url("**/piece/**")
    page.goto(page.url.split("/piece/")[0])
    page.get_by_role("heading", name="Shelf", exact=True).wait_for()


def card(page: Any, name: str) -> Any:
    return page.locator(".card", has=page.get_by_text(name, exact=True))


def choose(page: Any, name: str, what: str) -> None:
    card(page, name).locator("summary").click()
    card(page, name).get_by_text(what, exact=True).click()


def no_wider_than_the_screen(page: Any) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


def audit(page: Any) -> None:
    """Nothing serious or critical, by axe-core; nor anything moderate."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    found = axe.Axe().run(page).response["violations"]
    told = [
        (v["id"], v["impact"], [n["html"][:150] for n in v["nodes"][:3]])
        for v in found
        if v["impact"] != "minor"
    ]
    assert not told


def test_an_empty_shelf_says_what_to_do_and_leads_to_the_first_piece(
    tmp_path: Path, look: Callable[..., Any]
) -> None:
    running = start(tmp_path / "home")
    try:
        page = look(running.address, "phone")
        page.get_by_role("heading", name="Your shelf is empty").wait_for()
        no_wider_than_the_screen(page)
        audit(page)
        name = begin(page, "Box")
        assert page.locator(".card").count() == 1
        facts = card(page, name).locator(".card-facts").inner_text()
        assert "bubbles" in facts and "today" in facts
        page.context.close()
    finally:
        assert end(running) == 0
    assert (tmp_path / "home" / "designs").is_dir()
    said = running.said()
    assert "Ctrl-C" in said and "Everything is saved" in said and "Traceback" not in said


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("light", ["light", "dark"])
def test_every_size_and_light_is_sound(
    app: Running, look: Callable[..., Any], size: str, light: str
) -> None:
    page = look(f"{app.address}/new", size, color_scheme=light)
    if size == "desktop":
        begin(page, "Tube")
    else:
        page.goto(app.address)
    page.locator("#work").wait_for()
    no_wider_than_the_screen(page)
    audit(page)
    small = page.evaluate(
        "[...document.querySelectorAll('button, a.btn, summary, .tabs a, .home')]"
        ".filter(e => e.checkVisibility() && !e.closest('.card-name'))"
        ".map(e => [e.outerHTML.slice(0, 120), e.getBoundingClientRect()])"
        ".filter(([, r]) => r.width < 43.5 || r.height < 43.5).map(([html]) => html)"
    )
    assert not small
    assert "CHOKING HAZARD" in page.locator("footer").inner_text()


def test_a_piece_is_renamed_duplicated_binned_and_restored(
    app: Running, look: Callable[..., Any]
) -> None:
    page = look(f"{app.address}/new")
    name = begin(page, "Ring")
    choose(page, name, "Rename")
    field = page.get_by_label("Name", exact=True)
    assert field.input_value() == name
    field.fill("   ")
    page.get_by_role("button", name="Rename", exact=True).last.click()
    page.get_by_text("A piece needs a name.").wait_for()
    field.fill(NASTY)
    field.press("Enter")
    card(page, NASTY).wait_for()
    assert page.locator(".card img[src=x]").count() == 0

    choose(page, NASTY, "Duplicate")
    page.get_by_text(re.compile("^Duplicated as ")).wait_for()
    assert page.get_by_text(NASTY).count() >= 2

    choose(page, NASTY, "Put in the bin")
    page.get_by_role("button", name="Undo", exact=True).click()
    card(page, NASTY).wait_for()
    choose(page, NASTY, "Put in the bin")
    card(page, NASTY).wait_for(state="detached")
    page.get_by_role("link", name=re.compile(r"^Bin \(")).click()
    page.get_by_role("heading", name="Bin", level=1).wait_for()
    audit(page)
    card(page, NASTY).get_by_role("button", name="Restore").click()
    card(page, NASTY).wait_for(state="detached")
    page.goto(app.address)
    card(page, NASTY).wait_for()


def test_a_piece_is_exported_as_one_file_and_brought_in_again(
    app: Running, look: Callable[..., Any], tmp_path: Path
) -> None:
    page = look(f"{app.address}/new")
    name = begin(page, "Cone")
    with page.expect_download() as download:
        choose(page, name, "Export")
    file = tmp_path / "piece.zip"
    download.value.save_as(file)
    assert any(one.endswith(".toml") for one in zipfile.ZipFile(file).namelist())
    before = page.locator(".card").count()
    page.locator("input[type=file]").set_input_files(file)
    back_to_the_shelf(page)
    page.wait_for_function(f"document.querySelectorAll('.card').length == {before + 1}")


def test_a_design_with_its_files_and_a_model_alone_are_brought_in(
    app: Running, look: Callable[..., Any], tmp_path: Path
) -> None:
    page = look(f"{app.address}/new")
    star = [ROOT / "examples" / name for name in ("frame-star.toml", "frame-star.net.json")]
    page.locator("input[type=file]").set_input_files(star)
    back_to_the_shelf(page)
    card(page, "Pier-head star").wait_for()
    model = tmp_path / "_knob <b>.obj"
    corners = [(x, y, z) for x in (0, 3) for y in (0, 3) for z in (0, 3)]
    faces = ["1 2 4 3", "5 7 8 6", "1 5 6 2", "3 4 8 7", "1 3 7 5", "2 6 8 4"]
    model.write_text(
        "".join(f"v {x} {y} {z}\n" for x, y, z in corners)
        + "".join(f"f {face}\n" for face in faces)
    )
    page.locator("input[type=file]").set_input_files(model)
    back_to_the_shelf(page)
    card(page, "Knob b").wait_for()


def test_files_dropped_on_the_page_are_taken(app: Running, look: Callable[..., Any]) -> None:
    page = look(f"{app.address}/new")
    text = (ROOT / "examples" / "signal-pennant.toml").read_text(encoding="utf-8")
    page.evaluate(
        """text => {
            const given = new DataTransfer();
            given.items.add(new File([text], "../../pennant.toml"));
            const all = {bubbles: true, cancelable: true, dataTransfer: given};
            const event = type => new DragEvent(type, all);
            document.body.dispatchEvent(event("dragenter"));
            if (!document.querySelector("html.dragging")) throw new Error("no sign");
            document.body.dispatchEvent(event("drop"));
        }""",
        text,
    )
    back_to_the_shelf(page)
    card(page, "Signal pennant").first.wait_for()


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("evil.exe", b"MZ", "no kind of file"),
        ("page.html", b"<script>", "no kind of file"),
        ("design.toml", b"\xff\xfe", "UTF-8"),
        ("design.toml", b"airweft = 1\n", "missing"),
        ("model.stl", b"not a model", "model"),
        ("bad.zip", b"PK\x03\x04 no", "zip"),
        ("net.json", b"{}", "named by no design"),
        (
            "out.toml",
            b'airweft = 1\nname = "x"\n[form]\nkind="net"\nfile="../../x.json"\n',
            "outside",
        ),
    ],
)
def test_what_cannot_be_taken_is_refused_in_words(
    app: Running, look: Callable[..., Any], name: str, data: bytes, said: str
) -> None:
    page = look(f"{app.address}/new")
    given = {"name": name, "mimeType": "application/octet-stream", "buffer": data}
    page.locator("input[type=file]").set_input_files(given)
    page.get_by_role("heading", name="This cannot be brought in").wait_for()
    sheet = page.locator(".sheet", has_text="This cannot be brought in")
    assert said.lower() in sheet.inner_text().lower()
    assert "Traceback" not in app.said()


def test_light_and_dark_are_remembered_and_keys_reach_everything(
    app: Running, look: Callable[..., Any]
) -> None:
    page = look(app.address)
    page.locator("#work").wait_for()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the work"
    page.get_by_role("button", name="Light or dark").press("Enter")
    assert page.evaluate("document.documentElement.dataset.light") == "dark"
    page.reload()
    assert page.evaluate("document.documentElement.dataset.light") == "dark"


def test_nothing_here_is_said_kindly(app: Running, look: Callable[..., Any]) -> None:
    for path in (
        "/piece/none/shape",
        "/piece/..%2f..%2fetc/shape",
        "/piece/x/frame",
        "/none",
        "/piece/x/../../y",
    ):
        page = look(f"{app.address}{path}")
        page.get_by_role("heading", name="There is no such page").wait_for()
        page.get_by_role("link", name="To the shelf").click()
        page.get_by_text("Shelf", exact=True).or_(
            page.get_by_text("Your shelf is empty")
        ).first.wait_for()
