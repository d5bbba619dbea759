"""Retarder, mesh and bars of a 60 x 40 ft floor, and of 100,000 ft² with 200 pads: processor time, and how far above the proven least."""

import statistics
import time
from dataclasses import replace
from itertools import product
from types import SimpleNamespace
from typing import Any

from slabwright.model.concrete import Edge, Floor, Pad
from slabwright.model.ground import Retarder
from slabwright.model.job import Job
from slabwright.model.loads import Post
from slabwright.model.steel import Bars, Face, Mesh, Zone
from slabwright.model.supply import Mix
from slabwright.studies import bars, joints, mesh, retarder, shape
from slabwright.study import Inputs, Plan, run_studies
from slabwright.units import FOOT_M, INCH_M, PSI_PA

STOCK = (20 * FOOT_M, 40 * FOOT_M)
NO_JOINTS: Any = replace(joints.STUDY, run=lambda _inputs, _done: SimpleNamespace(joints=()))
BARS = replace(bars.STUDY, needs=(shape.STUDY, NO_JOINTS))


def job(length_ft: float, width_ft: float, pads_ft: list[tuple[float, float]]) -> Job:
    """A floor with an edge, pads 2.5 ft square, 10 mil sheet, mesh, edge bars and mats."""
    outline = ((0.0, 0.0), (length_ft * FOOT_M, 0.0), (length_ft * FOOT_M, width_ft * FOOT_M), (0.0, width_ft * FOOT_M))
    pads = tuple(
        Pad(name=f"P{n}", at=(x * FOOT_M, y * FOOT_M), size_x_m=2.5 * FOOT_M, size_y_m=2.5 * FOOT_M, depth_m=14 * INCH_M, run=1.0)
        for n, (x, y) in enumerate(pads_ft, start=1)
    )
    edge_bars = Bars(zone=Zone.EDGE, size="No.4", n_bars=2, lap_m=20 * INCH_M, stock_lengths_m=STOCK)
    return Job(
        name="bench",
        floor=Floor(outline=outline, thickness_m=5 * INCH_M),
        edge=Edge(depth_m=20 * INCH_M, width_m=12 * INCH_M, top_above_grade_m=8 * INCH_M),
        pads=pads,
        posts=tuple(Post(name=f"A{n}", at=pad.at, base_x_m=0.15, base_y_m=0.15) for n, pad in enumerate(pads, start=1)),
        retarder=Retarder(thickness_m=0.000254, sheet_class="A"),
        mesh=Mesh(style="6x6-W2.9xW2.9", chair_spacing_m=2 * FOOT_M),
        bars=(
            edge_bars,
            replace(edge_bars, face=Face.TOP, n_bars=1, cover_m=2 * INCH_M),
            replace(edge_bars, zone=Zone.PADS, n_bars=3, lap_m=None),
        ),
        mix=Mix(strength_pa=3500 * PSI_PA),
    )


def timed(one: Job, runs: int) -> tuple[dict[str, float], Plan]:
    """Median processor time of each layout, after one run that warms the compiled code."""
    times: dict[str, list[float]] = {}
    for number in range(runs + 1):
        for study in (retarder.STUDY, mesh.STUDY, BARS):
            base = run_studies((shape.STUDY, NO_JOINTS), Inputs(job=one))
            start = time.process_time()
            run_studies((shape.STUDY, NO_JOINTS, study), Inputs(job=one), earlier=base)
            if number:
                times.setdefault(study.key, []).append(time.process_time() - start)
    plan = run_studies((shape.STUDY, NO_JOINTS, retarder.STUDY, mesh.STUDY, BARS), Inputs(job=one))
    return {key: statistics.median(each) for key, each in times.items()}, plan


def main() -> None:
    small = job(60, 40, [(x, y) for x in (15.0, 30, 45) for y in (12.0, 28)])
    large = job(400, 250, [(20 + 40.0 * i, 12.0 + 25 * j) for i, j in product(range(10), range(10))] * 2)
    large = replace(
        large,
        pads=tuple(replace(pad, name=f"Q{n}", at=(pad.at[0] + (n >= 100) * 20 * FOOT_M, pad.at[1])) for n, pad in enumerate(large.pads)),
    )
    large = replace(large, posts=tuple(Post(name=f"B{n}", at=pad.at, base_x_m=0.15, base_y_m=0.15) for n, pad in enumerate(large.pads)))
    for name, one, runs in (("60 x 40 ft, 6 pads", small, 5), ("400 x 250 ft, 200 pads", large, 1)):
        times, plan = timed(one, runs)
        sheet, steel, rods = plan[retarder.STUDY], plan[mesh.STUDY], plan[bars.STUDY]
        print(f"{name}: {sum(times.values()):.2f} s in all; " + ", ".join(f"{key} {seconds:.2f} s" for key, seconds in times.items()))
        assert sheet.layout is not None and steel.layout is not None
        n_bars, least = (sum(getattr(batch.plan.cut, what) for batch in rods.batches) for what in ("cost", "bound"))
        print(
            f"   rolls {sheet.layout.n_rolls} (least {sheet.layout.least_rolls}), sheets {steel.layout.n_sheets} "
            f"(least {steel.layout.least_sheets}), bars {100 * (n_bars / least - 1):.2f} % above the least"
        )


if __name__ == "__main__":
    main()
