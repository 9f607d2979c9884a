"""The page of print: what it gives out and what it refuses, and real clicks on it."""

from __future__ import annotations

import hashlib
import io
import json
import struct
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import trimesh
from nicegui.testing import User

from airweft.records.planfile import write_plan
from airweft.web.frame import Frame
from airweft.web.pages import print as print_page
from airweft.words.cautions import CAUTIONS
from airweft.workshop import tasks
from airweft.workshop.desk import Desk
from airweft.workshop.printing import PRINTED, is_made, made_file, made_folder, pages_there
from airweft.workshop.sheets import model_glb
from tests.draw.gltf_rules import Gltf
from tests.web.conftest import Running
from tests.web.test_frame import use
from tests.web.test_plan_clicks import new_piece
from tests.web.test_plan_page import desk_of, planned, processes  # noqa: F401
from tests.web.test_shelf import audit, no_wider_than_the_screen


def shown(desk: Desk) -> Callable[[], None]:
    def page() -> None:
        frame = Frame(desk, "print")
        with frame:
            print_page.page(desk, frame)

    return page


def print_it(desk: Desk) -> Any:
    out = made_folder(desk, "standard", "a4")
    options = {"plan": desk.texts()[1], "out": out, "edition": "standard", "paper": "a4"}
    task = tasks.start("print", desk.text, desk.folder, options)
    assert task.wait(180) and task.state == "done", task.findings
    return task.result


def test_without_a_plan_it_leads_to_the_plan(tmp_path: Path) -> None:
    async def deed(user: User) -> None:
        await user.should_see("There is no plan to print yet")
        for caution in CAUTIONS:
            await user.should_see(caution.text)

    use(shown(desk_of(tmp_path)), deed)


def test_what_is_printed_is_the_plan_that_was_chosen_until_it_is_out_of_date(
    tmp_path: Path,
) -> None:
    desk = desk_of(tmp_path)
    planned(desk)
    assert desk.plan is not None and is_made(desk, "standard", "a4") is None
    made = print_it(desk)
    out = made_folder(desk, "standard", "a4")
    assert is_made(desk, "standard", "a4") and set(made.files) == set(PRINTED)
    assert (out / "plan.json").read_text(encoding="utf-8") == write_plan(desk.plan)
    pdf = (out / "booklet.pdf").read_bytes()
    pypdf = pytest.importorskip("pypdf")
    pages = len(pypdf.PdfReader(out / "booklet.pdf").pages)
    assert pdf.startswith(b"%PDF-") and pages_there(desk, "standard", "a4") == pages == made.pages
    for number in range(1, pages + 1):
        picture = made_file(desk, "standard-a4", f"{number}.png")
        assert picture is not None
        wide, high = struct.unpack(">II", picture.read_bytes()[16:24])
        # A4 is 210 x 297 mm (ISO 216); 96 dots to the inch.
        assert abs(wide - 210 / 25.4 * 96) <= 1 and abs(high - 297 / 25.4 * 96) <= 1
    digest = {name: hashlib.sha256((out / name).read_bytes()).hexdigest() for name in PRINTED}
    mark = json.loads((out / ".airweft-folder").read_text(encoding="utf-8"))
    assert mark["files"] == digest
    assert (out / "model.glb").read_bytes() == model_glb(desk.plan.net, desk.design)
    print_it(desk)  # the same again: the same bytes
    assert digest == {n: hashlib.sha256((out / n).read_bytes()).hexdigest() for n in PRINTED}

    async def fresh(user: User) -> None:
        for title in ("Booklet", "Phone page", "Chart", "Shopping list", "3D model", "Page 1"):
            await user.should_see(title)
        await user.should_see("Make it again")

    use(shown(desk), fresh)
    across = tomllib.loads(desk.text)["form"]["across"]
    desk.set(("form", "across"), across + 2, gesture="Wider")
    assert made_file(desk, "standard-a4", "booklet.pdf") is None

    async def stale(user: User) -> None:
        await user.should_see("This plan is out of date, so it is not printed")
        await user.should_see(f"form: across {across} -> {across + 2}")
        await user.should_not_see("Download")
        await user.should_not_see("Make it again")

    use(shown(desk), stale)
    planned(desk)
    assert is_made(desk, "standard", "a4") is False
    use(shown(desk), lambda user: user.should_see("of an earlier plan"))


@pytest.mark.parametrize(
    "name",
    ["../plan.json", "..", ".airweft-folder", "x.png", "²2.png", "-1.png", "design.toml", ""],
)
def test_nothing_else_is_given_out(tmp_path: Path, name: str) -> None:
    desk = desk_of(tmp_path)
    assert made_file(desk, "standard-a4", name) is None
    assert made_file(desk, "..", name) is None


def test_real_clicks_make_look_and_take_away(app: Running, look: Callable[..., Any]) -> None:
    page = new_piece(app, look, "Box")
    page.get_by_role("button", name="Plan it at once").click()
    page.get_by_role("heading", name="The plan is ready").wait_for()
    page.get_by_role("link", name="Print").last.click()
    page.get_by_role("heading", name="Print", exact=True).wait_for()
    audit(page)
    page.get_by_label("Large type, one column").check()
    page.get_by_label("US Letter").check()
    page.get_by_text("Not made yet in this edition on this paper.").wait_for()
    page.get_by_role("button", name="Make booklet and files").press("Enter")
    page.locator(".sheets img").first.wait_for()
    assert page.get_by_label("Large type, one column").is_checked()
    page.wait_for_function("document.querySelector('.sheets img').naturalWidth > 100")
    for size in ((1280, 800), (820, 1180), (360, 740)):
        page.set_viewport_size({"width": size[0], "height": size[1]})
        no_wider_than_the_screen(page)
    audit(page)
    with page.expect_download() as got:
        page.get_by_label("Download: Booklet").click()
    assert Path(got.value.path()).read_bytes().startswith(b"%PDF-")
    assert got.value.suggested_filename.endswith("booklet.pdf")
    with page.expect_download() as got:
        page.get_by_label("Download: 3D model").click()
    assert got.value.suggested_filename.endswith("model.glb")
    data = Path(got.value.path()).read_bytes()
    scene: Any = trimesh.load(io.BytesIO(data), file_type="glb")
    with page.context.expect_page() as opened:
        page.get_by_label("Open: Phone page").click()
    opened.value.wait_for_load_state()
    assert "CHOKING HAZARD" in opened.value.locator("body").inner_text()
    assert opened.value.evaluate("location.origin === 'null' || window.origin === 'null'")
    opened.value.close()
    at = page.url.rpartition("/")[0]
    for name in ("booklet.pdf", "model.glb"):  # of an edition that was not made
        assert page.request.get(f"{at}/made/standard-a4/{name}").status == 404
    made = f"{at}/made/large-letter"
    model = page.request.get(f"{made}/model.glb")
    assert model.headers["content-type"] == "model/gltf-binary" and model.body() == data
    net = page.request.get(f"{made}/plan.json").json()["net"]
    assert {node["name"] for node in Gltf(data).all("nodes")[1:]} == {
        bubble["name"] for bubble in net["bubbles"]
    }
    assert len(scene.graph.nodes_geometry) == len(net["bubbles"]) and (scene.extents > 0.05).all()
