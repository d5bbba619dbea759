"""Reading job files: the first example, and an outline of ten thousand points with four hundred pads."""

import math
import statistics
import subprocess
import sys
import time

from slabwright.files.examples import example_text
from slabwright.files.jobfile import edited, parse_job

ROUND = [f'["{20 * math.cos(math.tau * k / 10_000):.6f} m", "{20 * math.sin(math.tau * k / 10_000):.6f} m"]' for k in range(10_000)]
AXIS = '{ from = "-9.5 m", step = "1 m", count = 20 }'
LONG = f"""\
[floor]
thickness = "150 mm"
outline = [{", ".join(ROUND)}]
[edge]
depth = "600 mm"
width = "400 mm"
[[pads]]
grid = {{ x = {AXIS}, y = {AXIS} }}
size = "500 mm"
depth = "600 mm"
[[posts]]
on = "all pads"
base = "100 mm"
"""


def median_s(work, runs: int) -> float:
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    store = example_text("store")
    parse_job(store)
    load = "import slabwright.files.jobfile"
    print(
        f"loading the reader, a process of its own: {median_s(lambda: subprocess.run([sys.executable, '-c', load], check=True), 5):.2f} s"
    )
    print(f"reading the first example: {1000 * median_s(lambda: parse_job(store), 21):.1f} ms")
    print(f"changing one value of it: {1000 * median_s(lambda: edited(store, {'pads[1].depth': '15 in'}), 5):.1f} ms")
    print(f"an outline of 10,000 points with 400 pads and posts: {median_s(lambda: parse_job(LONG), 3):.2f} s")


if __name__ == "__main__":
    main()
