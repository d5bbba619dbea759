"""How long the papers of a plan take: drawings, sheet, results, workbook, book.

Run ``python benchmarks/bench_outputs.py``; prints medians of processor time, which other work on the machine does not
disturb, and the peak memory of the process.
"""

import resource
import statistics
import time
from collections.abc import Callable

from tests.outputs.pictures import map_picture, plan_picture, square
from tests.outputs.plans import ALL, FAILS, NEAR, plan

from slabwright.outputs.book import book_data, book_pdf
from slabwright.outputs.plan_sheet import plan_sheet
from slabwright.outputs.results_json import results_data
from slabwright.outputs.svg import picture_svg
from slabwright.outputs.workbook import workbook_bytes
from slabwright.results.picture import Area, DimensionLine, Hatch, Layer, Note, Picture
from slabwright.units import FOOT_M, Family


def median_ms(work: Callable[[], object], runs: int = 5) -> float:
    """Median processor time of a few runs. [ms]"""
    work()
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(1000 * (time.process_time() - start))
    return statistics.median(times)


def many_pads(count: int = 200) -> Picture:
    """A plan with so many pads, each named and dimensioned."""
    places = [(20.0 * (n % 20), 20.0 * (n // 20)) for n in range(count)]
    pads = [
        Area(layer=Layer.CONCRETE_HIDDEN, outline=square(x, y, 4.0), hatch=Hatch.DENSE, label=f"P{n}") for n, (x, y) in enumerate(places)
    ]
    names = [Note(layer=Layer.TEXT, at=(x * FOOT_M, y * FOOT_M), text=f"P{n}") for n, (x, y) in enumerate(places)]
    dims = [DimensionLine(start=(x * FOOT_M, 0.0), end=((x + 20) * FOOT_M, 0.0), offset_m=-3.0) for x, y in places if y == 0]
    return Picture(key="plan", title="Many pads", items=(*pads, *names, *dims))


def main() -> None:
    """Print the table."""
    twelve = plan(*ALL, FAILS_AGAIN, NEAR_AGAIN)
    rows: list[tuple[str, Callable[[], object]]] = [
        ("plan with 8 pads as SVG", lambda: picture_svg(plan_picture(), Family.US)),
        ("plan with 200 pads as SVG", lambda: picture_svg(many_pads(), Family.US)),
        ("map of 10,000 cells as SVG", lambda: picture_svg(map_picture(100), Family.US)),
        ("plan sheet", lambda: plan_sheet(twelve)),
        ("plan.json", lambda: results_data(twelve)),
        ("quantities.xlsx", lambda: workbook_bytes(twelve)),
        ("book of 12 studies: its data", lambda: book_data(twelve)),
        ("book of 12 studies: whole", lambda: book_pdf(twelve)),
    ]
    for name, work in rows:
        print(f"{name:32} {median_ms(work):8.1f} ms")
    print(f"{'peak memory':32} {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:8.0f} MB")


if __name__ == "__main__":
    from dataclasses import replace

    FAILS_AGAIN = replace(FAILS, key="pads-2")
    NEAR_AGAIN = replace(NEAR, key="uplift-2")
    main()
