"""Joint layouts: proof on a floor with a corner, a large floor, again after a line is pinned, and floors with skewed sides."""

import statistics
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import product

from slabwright.geometry.foundation import Foundation
from slabwright.model.concrete import Edge, Floor, Pad
from slabwright.model.job import Job
from slabwright.model.supply import JointWishes
from slabwright.studies.joints.ground import JointGround
from slabwright.studies.joints.layout import Proposal, propose
from slabwright.units import FOOT_M, INCH_M

EDGE = Edge(depth_m=20 * INCH_M, width_m=12 * INCH_M)


def ground(
    outline_ft: list[tuple[float, float]], pads_ft: list[tuple[float, float]], thickness_in: float, wishes: JointWishes
) -> JointGround:
    """A floor with pads 2.5 ft square and 14 in. deep, 45 degrees."""
    pads = tuple(
        Pad(name=f"P{number}", at=(x * FOOT_M, y * FOOT_M), size_x_m=2.5 * FOOT_M, size_y_m=2.5 * FOOT_M, depth_m=14 * INCH_M, run=1.0)
        for number, (x, y) in enumerate(pads_ft, start=1)
    )
    floor = Floor(outline=tuple((x * FOOT_M, y * FOOT_M) for x, y in outline_ft), thickness_m=thickness_in * INCH_M)
    job = Job(name="bench", floor=floor, edge=EDGE, pads=pads, joints=wishes)
    return JointGround.of(job, Foundation.of(floor, EDGE, (), pads))


def timed(solve: Callable[[], Proposal], runs: int = 3) -> tuple[float, Proposal]:
    solve()
    times = []
    for _ in range(runs):
        start = time.process_time()
        found = solve()
        times.append(time.process_time() - start)
    return statistics.median(times), found


def main() -> None:
    corner = [(0.0, 0.0), (60, 0), (60, 24), (32, 24), (32, 40), (0, 40)]
    twelve = [(8.0, 8.0), (20, 8), (32, 8), (44, 8), (54, 8), (8, 18), (20, 18), (44, 18), (54, 18), (8, 32), (20, 32), (27, 32)]
    small = ground(corner, twelve, 5, JointWishes())
    pinned = replace(small, wishes=JointWishes(pinned=(((12 * FOOT_M, 0), (12 * FOOT_M, 40 * FOOT_M)),)))
    many = [(12 + 25.0 * i, 10 + 20.0 * j) for i, j in product(range(20), range(10))]
    large = ground([(0, 0), (500, 0), (500, 200), (0, 200)], many, 6, JointWishes(spacing_thicknesses=36))
    bent = [(0.0, 0.0), (42.43, 0), (73.61, 18), (61.61, 38.78), (36, 24), (0, 24)]
    slanted = [(0.0, 0.0), (56, 0), (52, 22), (28, 22), (28, 44), (0, 44)]
    wedge = [(0.0, 0.0), (200, 0), (180, 120), (20, 120)]
    for name, one in (
        ("60 x 40 ft with a corner, 12 pads", small),
        ("the same, one line pinned", pinned),
        ("200 x 500 ft, 200 pads", large),
        ("two wings at 150 degrees", ground(bent, [], 5, JointWishes())),
        ("L with a skewed side, 2 pads", ground(slanted, [(15, 9), (15, 27)], 5, JointWishes())),
        ("200 x 120 ft, sides leaning in", ground(wedge, [], 6, JointWishes())),
    ):
        seconds, found = timed(lambda one=one: propose(one))
        layout = found.layout
        cut = f"{layout.length / FOOT_M:8.0f} ft, {layout.lost / FOOT_M:5.1f} ft lost"
        print(f"{name:36} {seconds:6.2f} s  {cut}, gap {100 * layout.gap:.2f} %")


if __name__ == "__main__":
    main()
