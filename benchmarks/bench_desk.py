"""The desk in a browser: a pad moved to changed answers, first load, frames a second; weight of the page, memory over edits."""

import gzip
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from itertools import pairwise
from pathlib import Path
from typing import Any

import slabwright.web.server as server
from slabwright.files.examples import write_example
from slabwright.web.new_job import job_text

EDITS = int(os.environ.get("SLABWRIGHT_BENCH_EDITS", "1000"))
MOVES = 7
LOADS = 5
WATCH = """
window.seen = new Map();
window.said = new Map();
window.first = 0;
window.count = () => [...document.querySelectorAll('.strip .answer-text')].filter(one => one.innerText).length;
const drawnAt = () => new Promise(done => requestAnimationFrame(() => setTimeout(() => done(performance.now()))));
new MutationObserver(async changes => {
  const places = changes.map(one => one.target).filter(one => one.closest);
  const strips = places.flatMap(one => one.closest('.strip') ?? [...one.querySelectorAll('.strip')]);
  const answers = places.filter(one => one.matches('.answer-text')).map(one => one.closest('.strip'));
  const now = await drawnAt();
  for (const strip of strips) seen.set(strip.dataset.key, now);
  for (const strip of answers) said.set(strip.dataset.key, now);
  if (!first && count()) window.first = now;
}).observe(document, {childList: true, subtree: true});
window.through = version => new Promise(done => {
  const look = () => document.querySelector('.work')?.dataset.of === version && drawnAt().then(done);
  new MutationObserver(look).observe(document, {childList: true, subtree: true, attributes: true, attributeFilter: ['data-of']});
  look();
});
"""
"""Notes when the page shows each answer and the latest of each strip, in the page's own time from navigation.

``through`` waits for a run's last answer. Nothing asks the desk meanwhile: who polls takes its processors from what is measured.
"""
LETTING_GO = """() => {
  seen.clear();
  said.clear();
  addEventListener('pointerup', () => { window.began = performance.now(); }, {once: true, capture: true});
}"""
NOTE = "const note = now => { drawn.push(now); requestAnimationFrame(note); }; requestAnimationFrame(note);"


def ask(address: str, path: str, body: dict[str, Any] | None = None) -> Any:
    """One request of the page."""
    data = None if body is None else json.dumps(body).encode()
    request = urllib.request.Request(address + path, data=data, headers={"X-Slabwright": "1", "Content-Type": "application/json"})
    with urllib.request.urlopen(request, timeout=120) as answer:
        return json.loads(answer.read())


def settled(address: str) -> dict[str, Any]:
    """The plan once its run is through."""
    while True:
        plan = ask(address, "api/jobs/store/plan")
        if not plan["running"]:
            return plan
        time.sleep(0.005)


def resident_mb(process: int) -> float:
    """Memory of a process; nought where the system does not tell."""
    status = Path(f"/proc/{process}/status")
    found = [line for line in status.read_text().splitlines() if line.startswith("VmRSS")] if status.exists() else []
    return int(found[0].split()[1]) / 1024 if found else 0.0


def page_kb() -> tuple[float, float]:
    """Compressed weight of the page without the body in three dimensions, and of that body's part."""
    sizes = {
        path.name: len(path.read_bytes() if path.suffix == ".woff2" else gzip.compress(path.read_bytes()))
        for path in server.PAGE.rglob("*")
        if path.is_file()
    }
    body = sum(size for name, size in sizes.items() if name.startswith("body"))
    return (sum(sizes.values()) - body) / 1000, body / 1000


def from_start(page: Any, address: str) -> None:
    """Seconds from where a window is sent to the answers on it, the plan being known."""
    times = []
    for _ in range(LOADS):
        page.goto("about:blank")
        page.goto(f"{address}#store", wait_until="commit")
        page.wait_for_function("() => count() > 0 && count() === document.querySelectorAll('.strip').length")
        times.append(page.evaluate("[first, seen.size ? Math.max(...seen.values()) : 0]"))
        page.goto("about:blank")
    first, last = (statistics.median(column) / 1000 for column in zip(*times, strict=True))
    print(f"first load: first answer {first:.2f} s after navigation, all answers {last:.2f} s (limit 1 s)")


def moves(page: Any, address: str) -> None:
    """Seconds from the pointer letting go of a pad to each answer worked anew, as drawn on the page."""
    page.goto(f"{address}#store")
    page.wait_for_selector("[data-thing='pads-0'] .around", state="attached")
    runs: list[list[tuple[str, float, float]]] = []
    for number in range(MOVES + 1):  # the first loads what is loaded once
        box = page.locator("[data-thing='pads-0'] .around").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 7, y + (5 if number % 2 else -5), steps=4)
        page.evaluate(LETTING_GO)
        with page.expect_response(lambda one: one.url.endswith("/move")) as moved:
            page.mouse.up()
        page.evaluate("version => through(version)", moved.value.json()["version"])
        runs.append(page.evaluate("[...said].map(([key, at]) => [key, (at - began) / 1000, (seen.get(key) - began) / 1000])"))
    for key in [key for key, *_ in sorted(runs[-1], key=lambda one: one[1])]:
        said, drawn = (sorted(times) for times in zip(*(one[1:] for run in runs[1:] for one in run if one[0] == key), strict=True))
        middle = f"{statistics.median(said):.2f} s (slowest of {len(said)}: {said[-1]:.2f})"
        print(f"pad moved to {key} on the page: {middle}, drawn {statistics.median(drawn):.2f} s")


def frames(page: Any, address: str) -> None:
    """Frames a second while a pad of two hundred is dragged about."""
    page.goto(f"{address}#pads")
    page.wait_for_selector("[data-thing='pads-199']", state="attached")
    box = page.locator("[data-thing='pads-90'] .around").bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.evaluate(f"() => {{ window.drawn = []; {NOTE} }}")
    for step in range(150):
        page.mouse.move(box["x"] + step % 50, box["y"] + step % 30)
    times = page.evaluate("drawn")
    gaps = sorted(after - before for before, after in pairwise(times))
    rate, slow = 1000 * len(gaps) / (times[-1] - times[0]), gaps[-len(gaps) // 20]
    print(f"200 pads, one dragged: {rate:.0f} frames a second (limit 30), slowest in twenty {slow:.0f} ms")


def in_browser(address: str) -> None:
    """What a builder sees, measured in Chromium; nothing where there is none."""
    browser = next((found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None)
    if browser is None:
        print("no Chromium on this machine: nothing is measured on the page")
        return
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        window = driver.chromium.launch(executable_path=browser, args=["--no-sandbox", "--disable-dev-shm-usage"])
        page = window.new_page(viewport={"width": 1366, "height": 768})
        page.add_init_script(WATCH)
        for measure in (from_start, moves, frames):
            measure(page, address)
        window.close()


def edits(folder: Path) -> None:
    """Edits one after the other in this process: time of each, memory at the start and at the end."""
    from slabwright.store import History, connected
    from slabwright.store.database import sqlite_url
    from slabwright.web.session import Session

    session = Session(folder, History(connected(sqlite_url(folder)), "."), "store")
    marks = []
    began = time.perf_counter()
    for number in range(EDITS):
        session.changed(session.standing.version, {"floor.thickness": f"{5 + number % 3} in"})
        session.view("store")
        if number in (EDITS // 10, EDITS - 1):
            marks.append(resident_mb(os.getpid()))
    seconds = (time.perf_counter() - began) / EDITS
    print(f"{EDITS} edits: {1000 * seconds:.0f} ms each, memory {marks[0]:.0f} MB after a tenth, {marks[-1]:.0f} MB at the end")
    session.history.close()


def main() -> None:
    """Print every figure."""
    whole, body = page_kb()
    print(f"page compressed: {whole:.0f} kB (limit 300), body in three dimensions {body:.0f} kB more")
    with tempfile.TemporaryDirectory() as folder:
        write_example(Path(folder) / "store", "store")
        pads = Path(folder) / "pads" / "job.toml"
        pads.parent.mkdir()
        pads.write_text(job_text({"size": "100 ft x 200 ft", "posts": "10 x 20"}), encoding="utf-8")
        command = [sys.executable, "-m", "slabwright.cli", "serve", folder, "--no-browser"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None
            address = process.stdout.readline().split(" at ")[1].split()[0]
            while True:
                try:
                    ask(address, "api/settings")
                    break
                except OSError:
                    time.sleep(0.05)
            settled(address)
            in_browser(address)
            process.terminate()
        edits(Path(folder) / "store")


if __name__ == "__main__":
    main()
