"""Speed of the shape: a 100,000 ft² floor with 200 pads, and thickness at a million points. Wanted: under 1 s, under 0.5 s.

Run with ``python benchmarks/bench_shape.py``; prints medians of five runs and the peak memory of the process.
"""

import statistics
import sys
import time
from collections.abc import Callable

import numpy as np

from slabwright.geometry.foundation import Foundation
from slabwright.model.concrete import Edge, Floor, Pad, PadShape
from slabwright.units import FOOT_M, INCH_M


def hall(shape: PadShape) -> Foundation:
    """400 ft x 250 ft, 6 in., edge 24 in., 200 pads of 4 ft at 45 degrees."""
    floor = Floor(outline=((0.0, 0.0), (400 * FOOT_M, 0.0), (400 * FOOT_M, 250 * FOOT_M), (0.0, 250 * FOOT_M)), thickness_m=6 * INCH_M)
    pads = [
        Pad(
            name=f"P{k}",
            at=((10 + 20 * (k % 20)) * FOOT_M, (12.5 + 25 * (k // 20)) * FOOT_M),
            size_x_m=4 * FOOT_M,
            size_y_m=4 * FOOT_M,
            depth_m=30 * INCH_M,
            shape=shape,
            run=1.0,
        )
        for k in range(200)
    ]
    return Foundation.of(floor, Edge(depth_m=24 * INCH_M, width_m=16 * INCH_M), (), pads)


def median_s(action: Callable[[], object]) -> float:
    """Median of five runs after one to warm up. [s]"""
    action()
    times = []
    for _ in range(5):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def peak_mb() -> float:
    """Peak memory of this process so far. [MB]"""
    if sys.platform == "win32":
        return float("nan")
    import resource

    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / 1e6 if sys.platform == "darwin" else peak / 1e3


def main() -> None:
    points = np.random.default_rng(0).uniform((0.0, 0.0), (400 * FOOT_M, 250 * FOOT_M), (1_000_000, 2))
    for shape in PadShape:
        foundation = hall(shape)
        print(f"200 pads, {shape.value}: volumes {median_s(lambda shape=shape: hall(shape).volumes()):.3f} s", end=", ")
        print(f"volumes and solid {median_s(lambda shape=shape: hall(shape).solid()):.3f} s", end=", ")
        print(f"a million points {median_s(lambda foundation=foundation: foundation.thickness_m(points)):.3f} s", end=", ")
        print(f"a section {1e3 * median_s(lambda foundation=foundation: foundation.section((0.0, 3.81), (121.0, 3.81))):.1f} ms")
    print(f"peak memory {peak_mb():.0f} MB")


if __name__ == "__main__":
    main()
