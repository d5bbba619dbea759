"""The desk: a pad moved to changed answers, first load, weight of the page, memory of the server over edits."""

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


def moved(address: str, number: int) -> dict[str, float]:
    """Seconds from a moved pad to each strip that was worked anew, over the event stream."""
    version = ask(address, "api/jobs/store")["version"]
    with urllib.request.urlopen(address + "api/jobs/store/events", timeout=120) as news:
        news.readline()
        body = {"version": version, "section": "pads", "number": 0, "to": ["15 ft", f"{8 * 12 + number} in"]}
        began = time.perf_counter()
        after = ask(address, "api/jobs/store/move", body)["version"]
        seconds: dict[str, float] = {"written": time.perf_counter() - began}
        for line in news:
            if line.startswith(b"data: "):
                told = json.loads(line[6:])
                if told.get("version") == after and told["type"] == "strip":
                    seconds[told["strip"]["key"]] = time.perf_counter() - began
                elif told.get("version") == after and told["type"] == "done":
                    seconds["all"] = time.perf_counter() - began
                    return seconds
    return seconds


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


def frames(address: str) -> None:
    """Frames a second while a pad of two hundred is dragged about in Chromium; nothing where there is none."""
    browser = next((found for name in ("chromium", "chromium-browser", "google-chrome") if (found := shutil.which(name))), None)
    if browser is None:
        return
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        window = driver.chromium.launch(executable_path=browser, args=["--no-sandbox", "--disable-dev-shm-usage"])
        page = window.new_page(viewport={"width": 1366, "height": 768})
        page.goto(f"{address}#pads")
        page.wait_for_selector("[data-thing='pads-199']", state="attached")
        box = page.locator("[data-thing='pads-90'] .around").bounding_box()
        assert box is not None
        page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        page.mouse.down()
        page.evaluate(f"() => {{ window.drawn = []; {NOTE} }}")
        for step in range(150):
            page.mouse.move(box["x"] + step % 50, box["y"] + step % 30)
        times = page.evaluate("drawn")
        gaps = sorted(after - before for before, after in pairwise(times))
        window.close()
    rate, slow = 1000 * len(gaps) / (times[-1] - times[0]), gaps[-len(gaps) // 20]
    print(f"200 pads, one dragged: {rate:.0f} frames a second (limit 30), slowest in twenty {slow:.0f} ms")


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
            began = time.perf_counter()
            for path in ("api/settings", "api/desk", "api/jobs/store", "api/jobs/store/plan"):
                ask(address, path)
            print(f"first load, what the page asks for: {time.perf_counter() - began:.2f} s (limit 1 s)")
            runs = [moved(address, number) for number in range(MOVES)]
            for key in sorted(runs[0], key=lambda one: runs[0][one]):
                print(f"pad moved to {key}: {statistics.median(run.get(key, 0.0) for run in runs):.2f} s")
            frames(address)
            process.terminate()
        edits(Path(folder) / "store")


if __name__ == "__main__":
    main()
