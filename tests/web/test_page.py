"""The page in a browser: from questions to a plan, a pad by drag and by keys, two windows, the file underneath, imports."""

import os
import re
import shutil
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from slabwright.files.examples import example_names, example_text, write_example
from slabwright.store.history import digest_of
from slabwright.web.new_job import job_text as new_job_text

playwright = pytest.importorskip("playwright.sync_api")
CHROMIUM = next((found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None)
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")

ROOT = Path(__file__).parents[2]
SCREENS = ROOT / "out" / "screens"
AXE = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
ARGUMENTS = [
    "--no-sandbox", "--disable-dev-shm-usage", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
]  # fmt: skip
PATIENCE_MS = 150_000
EVERYDAY = "store"
COLOURS = """() => {
    const from = document.querySelector("canvas.body"), to = document.createElement("canvas");
    from.dispatchEvent(new CustomEvent("look", {detail: -1}));
    [to.width, to.height] = [from.width, from.height];
    const paper = to.getContext("2d"), seen = new Map();
    paper.drawImage(from, 0, 0);
    const {data} = paper.getImageData(0, 0, to.width, to.height);
    for (let at = 0; at < data.length; at += 4) {
        const key = data[at] << 16 | data[at + 1] << 8 | data[at + 2];
        seen.set(key, (seen.get(key) || 0) + 1);
    }
    return [...seen.values()].filter(one => one > 300).length;
}"""


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """A desk in a process of its own, as a builder starts it."""
    SCREENS.mkdir(parents=True, exist_ok=True)
    folder = tmp_path_factory.mktemp("desk")
    write_example(folder / "store", "store")
    command = [sys.executable, "-m", "slabwright.cli", "serve", str(folder), "--no-browser"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=os.environ)
    address = re.search(r"http://localhost:\d+/", process.stdout.readline())[0]
    for _ in range(600):
        try:
            urllib.request.urlopen(address, timeout=2).close()
            break
        except OSError:
            time.sleep(0.1)
    yield folder, address
    process.terminate()
    process.wait(PATIENCE_MS / 1000)
    process.stdout.close()


@pytest.fixture(scope="module")
def browser():
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def window(browser, served):
    """A window at the size of a small laptop; a fault on the page fails the test.

    Motion is reduced, so that contrast and pictures are those of a page at rest.
    """
    context = browser.new_context(viewport={"width": 1366, "height": 768}, reduced_motion="reduce")
    faults: list[str] = []

    def fresh():
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on(
            "console",
            lambda said: faults.append(said.text) if said.type == "error" and "409" not in said.text and "422" not in said.text else None,
        )
        return page

    yield fresh
    context.close()
    assert [] == faults


def opened(window, served, job: str = "store"):
    page = window()
    page.goto(f"{served[1]}#{job}")
    settled(page, served, job)
    return page


def settled(page, served, job: str = "store") -> None:
    """Wait until every answer to the job file as it is written now is in, and what hangs on them is drawn."""
    page.wait_for_selector(f".work[data-of='{digest_of(job_text(served, job))}'] .tally")


def shown(page, served) -> None:
    """Wait until the page shows the job file as it is written now; its answers may still come in."""
    page.wait_for_selector(f"#sheet[data-version='{digest_of(job_text(served))}']")


def undone(page, served) -> None:
    """Undo until the file is as it was found, which the desk writes before it answers."""
    for _ in range(10):
        if example_text("store") == job_text(served):
            return
        with page.expect_response(lambda one: one.url.endswith("/undo") and one.status == 200):
            page.get_by_role("button", name="Undo", exact=True).click()
    raise AssertionError("ten steps back do not lead to the file as it was found")


def written(served, text: str) -> None:
    """Wait until the job file holds a text."""
    end = time.monotonic() + PATIENCE_MS / 1000
    while text not in job_text(served):
        assert time.monotonic() < end, text
        time.sleep(0.05)


def keep(page, name: str) -> None:
    page.screenshot(path=SCREENS / f"{name}.png")


def answer(page, key: str) -> str:
    return page.inner_text(f"#strip-{key} .answer-text")


def job_text(served, job: str = "store") -> str:
    return (served[0] / job / "job.toml").read_text(encoding="utf-8")


def serious(page) -> list[str]:
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")["violations"]
    return [f"{one['id']}: {one['nodes'][0]['target']}" for one in found if one["impact"] in ("serious", "critical")]


def test_a_field_edited_in_its_strip_changes_the_answer_and_says_what_was(window, served):
    """Open a strip, write another thickness: the volume moves, the earlier answer stands beside it, undo goes back."""
    page = opened(window, served)
    was = answer(page, "shape")
    page.click("#strip-shape .opener")
    page.click("#strip-shape .section[data-path=floor] > summary")
    field = page.locator("#strip-shape input[data-path='floor.thickness']")
    field.fill("6 in")
    field.press("Enter")
    page.wait_for_selector("#strip-shape.moved .before")
    settled(page, served)

    assert was != answer(page, "shape")
    assert was in page.inner_text("#strip-shape .before")
    assert 'thickness = "6 in"' in job_text(served)
    keep(page, "edited")
    page.get_by_role("button", name="Undo", exact=True).click()
    page.wait_for_function("was => document.querySelector('#strip-shape .answer-text').innerText === was", arg=was)
    assert example_text("store") == job_text(served)


def test_a_value_that_cannot_be_read_says_so_at_its_field(window, served):
    page = opened(window, served)
    page.click("#strip-shape .opener")
    page.click("#strip-shape .section[data-path=floor] > summary")
    field = page.locator("#strip-shape input[data-path='floor.thickness']")
    field.fill("6 gn")
    field.press("Enter")
    page.wait_for_selector("#strip-shape .field .refusal:not(:empty)")

    assert "no unit of length" in page.inner_text("#strip-shape .field .refusal:not(:empty)")
    assert example_text("store") == job_text(served)


def test_a_pad_is_dragged_moved_by_keys_and_typed(window, served):
    """Three ways to the same file; the post comes along; undoing gives the file back."""
    page = opened(window, served)
    pad = page.locator("[data-thing='pads-0'] .around")
    box = pad.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 40, box["y"] + box["height"] / 2 - 10, steps=6)
    keep(page, "dragging")
    with page.expect_response(lambda one: one.url.endswith("/move")):
        page.mouse.up()
    dragged = job_text(served)
    assert example_text("store") != dragged
    shown(page, served)

    page.locator("[data-thing='pads-0']").focus()
    with page.expect_response(lambda one: one.url.endswith("/move")):
        page.keyboard.press("ArrowUp")
    nudged = job_text(served)
    assert dragged != nudged
    shown(page, served)

    page.keyboard.press("Enter")
    page.fill("#at-east", "16'-6 1/2\"")
    with page.expect_response(lambda one: one.url.endswith("/move")):
        page.keyboard.press("Enter")
    assert "16'-6 1/2" in job_text(served)
    undone(page, served)


def test_what_lies_under_other_things_is_reached_by_clicking_again(window, served):
    """The corner of the floor under the ends of two walls: each click takes the next, and what is held is what is dragged."""
    page = opened(window, served)
    box = page.locator(".outline .corner[data-point='0']").bounding_box()
    spot = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    found = []
    for _ in range(3):
        page.mouse.click(*spot)
        found.append(page.locator(".thing.picked").get_attribute("data-thing"))
    assert "outline-0" == found[-1] and 3 == len(set(found))
    assert 2 == page.locator(".panel .here button").count()
    assert "0" == page.locator(".outline .corner.held").get_attribute("data-point")
    assert 1 == page.locator(".held-mark").count()

    page.mouse.move(*spot)
    page.mouse.down()
    page.mouse.move(spot[0] + 30, spot[1], steps=5)
    assert page.locator(".held-mark").get_attribute("transform")
    page.mouse.move(*spot, steps=5)
    page.mouse.up()
    page.locator(".panel .here button").first.click()
    assert page.locator(".thing.picked").get_attribute("data-thing") in found[:2]


def test_the_tab_key_comes_to_each_kind_of_thing_once(window, served):
    """Page Up and Down, Home and End lead from there to the others of a kind."""
    page = opened(window, served)
    kinds = page.eval_on_selector_all(".living .layer", "all => all.map(one => one.getAttribute('aria-label'))")
    stops = page.eval_on_selector_all(
        ".living [data-thing]", "all => all.filter(one => one.tabIndex === 0).map(one => one.parentElement.ariaLabel)"
    )
    assert "walls, 6" in kinds
    assert kinds == stops

    page.locator("[data-thing='walls-0']").focus()
    walked = []
    for key in ("PageDown", "End", "PageUp", "Home"):
        page.keyboard.press(key)
        walked.append(page.evaluate("document.activeElement.dataset.thing"))
    assert ["walls-1", "walls-5", "walls-4", "walls-0"] == walked
    page.keyboard.press("PageDown")
    page.keyboard.press("Tab")
    page.keyboard.press("Shift+Tab")
    assert "walls-1" == page.evaluate("document.activeElement.dataset.thing")


def test_a_joint_that_the_plan_lays_is_moved_and_forbidden_on_the_plan(window, served):
    """By keys: nudged it is kept where it was put; another, taken out, is forbidden; the plan lays its lines anew."""
    page = opened(window, served)
    page.wait_for_selector("[data-thing='laid-0']", state="attached")
    page.locator("[data-thing='laid-0']").focus()
    page.keyboard.press("Shift+ArrowUp")
    page.wait_for_selector("[data-thing='joints-0']", state="attached")
    page.locator("[data-thing='laid-0']").focus()
    page.keyboard.press("Delete")
    page.wait_for_selector("[data-thing='forbidden-0']", state="attached")
    page.wait_for_selector("#strip-joints .before")
    keep(page, "joints-wished")
    assert "pinned = " in job_text(served) and "forbidden = " in job_text(served)
    assert [] == serious(page)
    undone(page, served)


def test_the_count_of_states_leads_to_the_answers(window, served):
    """Each press goes to the next answer that does not hold, with the keyboard on it."""
    page = opened(window, served)
    page.locator(".tally button", has_text="does not hold").press("Enter")

    assert page.evaluate("document.activeElement.closest('.strip').querySelector('.state').dataset.state") == "does not hold"


def test_two_windows_on_one_job_lose_nothing(window, served):
    """Each edits another value from the same version: both stand, and both windows show them."""
    one, other = opened(window, served), opened(window, served)
    for page, path, value in ((one, "edge.width", "14 in"), (other, "floor.live_load", "150 psf")):
        page.click("#strip-bearing .opener")
        for section in ("edge", "floor"):
            page.click(f"#strip-bearing .section[data-path={section}] > summary")
        page.locator(f"#strip-bearing input[data-path='{path}']").fill(value)
    one.locator("#strip-bearing input[data-path='edge.width']").press("Enter")
    other.locator("#strip-bearing input[data-path='floor.live_load']").press("Enter")
    written(served, 'width = "14 in"')
    written(served, 'live_load = "150 psf"')
    for page in (one, other):
        shown(page, served)
        settled(page, served)
        assert ["14 in", "150 psf"] == [
            page.locator(f"#strip-bearing input[data-path='{path}']").input_value() for path in ("edge.width", "floor.live_load")
        ]
    undone(one, served)


def test_a_file_changed_underneath_is_offered(window, served):
    page = opened(window, served)
    path, saved = served[0] / "store" / "job.toml", served[0] / "saved.toml"
    saved.write_text(example_text("store").replace('thickness = "5 in"', 'thickness = "7 in"'), encoding="utf-8")
    saved.replace(path)
    page.wait_for_selector(".banner")

    assert "Floor: thickness" in page.inner_text(".banner")
    keep(page, "underneath")
    page.click("text=Keep what is here")
    page.wait_for_selector(".banner", state="detached")
    assert example_text("store") == job_text(served)

    saved.write_text(example_text("store").replace("[floor]", "[floor"), encoding="utf-8")
    saved.replace(path)
    page.wait_for_selector("text=As it stands it cannot be read")
    page.click("text=Take the file as it is now")
    page.wait_for_selector("text=The job file cannot be read as it stands")
    with page.expect_response(lambda one: one.url.endswith("/undo")):
        page.get_by_role("button", name="Undo", exact=True).click()
    page.wait_for_selector(".banner", state="detached")
    page.wait_for_selector(".outline .corner >> nth=3", state="attached")
    assert example_text("store") == job_text(served)


def test_units_and_light_change_the_page(window, served):
    page = opened(window, served)
    page.get_by_role("button", name="SI", exact=True).click()
    page.wait_for_function("() => document.querySelector('#strip-shape .answer-text').innerText.includes('m³')")
    settled(page, served)
    keep(page, "metres")
    page.get_by_role("button", name="Undo", exact=True).click()
    page.wait_for_function("() => document.querySelector('#strip-shape .answer-text').innerText.includes('yd³')")
    settled(page, served)
    for mode in ("dark", "sun", "light"):
        page.get_by_role("button", name=mode, exact=True).click()
        assert (mode if mode != "light" else None) == page.get_attribute("html", "data-mode")
        keep(page, mode)
        assert [] == serious(page), mode


def test_a_new_job_from_questions_to_plan(window, served):
    """At most eight answers, all by keyboard, end with answered strips."""
    page = window()
    page.goto(f"{served[1]}#new")
    page.wait_for_selector(".talk")
    page.locator("#talk-name").fill("Wash bay")
    asked = 0
    while page.locator(".talk button.main:visible").count() == 0:
        page.keyboard.press("Enter") if asked else page.locator("#talk-name").press("Enter")
        asked += 1
        assert asked <= 8
    keep(page, "questions")
    page.locator(".talk button.main").press("Enter")
    page.wait_for_url("**#wash-bay")
    settled(page, served, "wash-bay")

    assert "yd³" in answer(page, "shape")
    waiting = [key for key in page.eval_on_selector_all(".strip", "all => all.map(one => one.dataset.key)")
               if page.locator(f"#strip-{key} .below [data-state='waiting']").count()]  # fmt: skip
    assert ["pour_window", "set_and_saw", "curing", "moisture"] == waiting, "only what hangs on the weather may wait"
    assert 'name = "Wash bay"' in job_text(served, "wash-bay")


def test_an_outline_from_a_drawing_becomes_the_floor(window, served, tmp_path):
    """A DXF written here; layer and unit shown; taken, the plan has six corners."""
    from tests.web.test_imports import drawing

    (served[0] / "drawn").mkdir()
    (served[0] / "drawn" / "job.toml").write_text(new_job_text({"posts": "0"}), encoding="utf-8")
    page = opened(window, served, "drawn")
    (tmp_path / "plan.dxf").write_bytes(drawing(0))
    page.click("text=In and out")
    page.set_input_files("#outline-file", tmp_path / "plan.dxf")
    page.wait_for_selector("#outline-layer")

    assert "states no unit" in page.inner_text(".preview")
    assert page.get_by_role("button", name="Make it the outline").is_disabled()
    page.select_option("#outline-unit", label="mm: 39'-4 1/2\" x 29'-6 3/8\"")
    page.wait_for_selector("dialog button.main:enabled")
    keep(page, "outline")
    page.click("text=Make it the outline")
    page.wait_for_selector(".thing.outline .corner >> nth=5", state="attached")
    assert 6 == page.locator(".thing.outline .corner").count()


def test_the_body_is_drawn(window, served):
    """The solid in three dimensions: lit pixels, not an empty canvas."""
    page = opened(window, served)
    page.click("text=See the body")
    page.wait_for_selector("canvas.body[data-drawn]")
    colours = page.evaluate(COLOURS)
    assert colours >= 3

    page.locator("canvas.body").press("Enter")
    page.wait_for_selector("text=Pick the second point")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("+")
    page.keyboard.press("Enter")
    page.wait_for_selector(".measure-label:not([hidden])")
    keep(page, "body")
    assert "in a straight line" in page.inner_text("dialog > p.small")
    assert [] == serious(page)


def test_a_grid_of_pads_is_typed_without_a_pointer(window, served):
    """Tool, counts and both corners by keys alone; lengths are read by the desk, which says what it cannot read."""
    page = opened(window, served)
    page.locator(".adds > summary").press("Enter")
    page.get_by_role("button", name="Add a grid of pads", exact=True).press("Enter")
    page.wait_for_selector("#aim-count-0:focus")
    page.keyboard.type("3")
    for east, north in (("4", "5 ft"), ("4 ft", "5 ft"), ("26 ft", "15 ft")):
        page.fill("#aim-east", east)
        page.fill("#aim-north", north)
        if east == "4":
            page.locator("#aim-north").press("Enter")
            page.wait_for_selector(".panel .refusal:not(:empty)")
        else:
            with page.expect_response(lambda one: "/point?" in one.url or one.url.endswith("/place")):
                page.locator("#aim-north").press("Enter")
            if east == "4 ft":
                page.wait_for_selector("text=The centre of the last")
    written(served, "count = 3")
    page.wait_for_selector("[data-thing='pads-7']", state="attached")
    keep(page, "grid")
    undone(page, served)


def test_a_map_lies_under_the_plan(window, served):
    page = opened(window, served)
    chooser = page.get_by_label("Map under the plan")
    chooser.focus()
    page.wait_for_selector("option[value='joints/pull']", state="attached")
    for value in ("drawn/thickness", "joints/pull"):
        chooser.select_option(value)
        page.wait_for_selector(".under-legend svg")
        page.wait_for_selector(".living .under path", state="attached")
        keep(page, value.replace("/", "-"))
    chooser.select_option("")
    page.wait_for_selector(".under-legend", state="hidden")

    assert 0 == page.locator(".living .under path").count()


def test_tickets_dropped_on_the_sheet_are_shown_then_followed(window, served):
    """Known by its name; understood, taken, and told in the strip of the pour day, whose levers move figures."""
    from tests.web.test_imports import TICKETS

    write_example(served[0] / "poured", "store")
    page = opened(window, served, "poured")
    carried = page.evaluate_handle(
        "text => { const all = new DataTransfer(); all.items.add(new File([text], 'tickets.csv')); return all; }", TICKETS
    )
    page.dispatch_event("#sheet", "drop", {"dataTransfer": carried})
    page.wait_for_selector(".understood")
    assert "2 loads, 20" in page.inner_text(".understood")
    keep(page, "tickets")
    page.get_by_role("button", name="Take it", exact=True).click()
    page.wait_for_selector("text=Taken as tickets.csv")
    page.get_by_role("button", name="Close", exact=True).click()

    page.click("#strip-placement .opener")
    page.wait_for_selector("text=still to place")
    page.click("#strip-placement .what-if > summary")
    page.locator("#lever-trucks").press("ArrowLeft")
    page.wait_for_selector(".what-if tr.moved")
    page.locator("#strip-placement .what-if").screenshot(path=SCREENS / "what-if.png")


def test_a_section_is_cut_where_the_line_is_drawn(window, served):
    page = opened(window, served)
    page.click("text=Cut a section")
    plan = page.locator("svg.living").bounding_box()
    page.mouse.click(plan["x"] + plan["width"] * 0.2, plan["y"] + plan["height"] * 0.5)
    page.mouse.click(plan["x"] + plan["width"] * 0.8, plan["y"] + plan["height"] * 0.5)
    page.wait_for_selector(".cut svg.drawing")

    was = page.inner_text(".cut figcaption")
    assert "30'-0" in was
    with page.expect_response(lambda one: one.url.endswith("/api/jobs/store") and one.request.method == "PATCH"):
        page.get_by_role("button", name="SI", exact=True).click()
    page.wait_for_function("was => document.querySelector('.cut figcaption').innerText !== was", arg=was)
    assert "m²" in page.inner_text(".cut figcaption")
    undone(page, served)


@pytest.mark.parametrize("job", [pytest.param(one, marks=() if one == EVERYDAY else pytest.mark.long) for one in example_names()])
def test_every_strip_of_every_example_opens(window, served, job):
    """Opened one after the other, each shows its drawing, and none has a serious fault for who cannot see it."""
    if not (served[0] / job).exists():
        write_example(served[0] / job, job)
    page = opened(window, served, job)
    keep(page, f"{job}-sheet")
    keys = page.eval_on_selector_all(".strip", "all => all.map(one => one.dataset.key)")
    for key in keys:
        page.click(f"#strip-{key} .opener")
        page.wait_for_selector(f"#strip-{key}[data-opened]")
        strip = page.locator(f"#strip-{key}")
        strip.screenshot(path=SCREENS / f"{job}-{key}.png")
        assert strip.locator(".detail > .refusal").count() == 0, key
        if job != "store":
            page.click(f"#strip-{key} .opener")
    if job == "store":
        assert [] == serious(page)


def test_the_page_fits_a_tablet(browser, served):
    """Upright tablet: nothing wider than the window, touch targets of 44 px and more."""
    context = browser.new_context(viewport={"width": 820, "height": 1180}, has_touch=True)
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    page.goto(f"{served[1]}#store")
    settled(page, served)
    keep(page, "tablet")
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    small = page.eval_on_selector_all(
        "#head button", "all => all.filter(one => one.getBoundingClientRect().height < 44).map(one => one.innerText)"
    )
    context.close()

    assert 0 == wide
    assert [] == small
