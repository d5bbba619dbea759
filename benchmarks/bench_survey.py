"""Adjusting a thousand points; two thousand shots to a map and a thousand simulations; ten million scanned points to a map.

Prints medians of wall time, the peak memory of the scan, and its ratio to the plain NumPy and SciPy way
(``histogram2d`` twice, ``griddata`` for the holes). Run it by itself: every figure is for one thread of linear algebra.
"""

import math
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median

import numpy as np
from scipy.interpolate import griddata
from scipy.spatial import Delaunay

from slabwright.files.surveyfile.columns import Sheet
from slabwright.files.surveyfile.scan import ScanPlace, read_scan
from slabwright.geometry.foundation import Foundation
from slabwright.model.concrete import Edge, Floor
from slabwright.solvers.gaussian_field import fitted_field
from slabwright.solvers.measurements import Kind, Observation
from slabwright.solvers.network import Network
from slabwright.solvers.scan_grid import Frame, ScanGrid
from slabwright.studies.grade.surface import surface_of
from slabwright.units import Family

N_POINTS, N_SHOTS, N_DRAWS, N_SCANNED = 1000, 2000, 1000, 10_000_000
WIDTH_M, DEPTH_M = 38.0, 20.0


def timed(work: Callable[[], object], n: int = 3) -> float:
    """Median seconds of a few runs after one to warm up."""
    work()
    seconds = []
    for _ in range(n):
        began = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - began)
    return median(seconds)


def network(*, free: bool) -> Network:
    """A thousand points on a 5 m grid with every edge of a triangulation taped to 3 mm."""
    rng = np.random.default_rng(1)
    truth = np.array([[5.0 * (i % 40), 5.0 * (i // 40)] for i in range(N_POINTS)])
    edges = {
        tuple(sorted((int(a), int(b))))
        for s in Delaunay(truth + rng.normal(0, 0.5, truth.shape)).simplices
        for a, b in zip(s, np.roll(s, 1), strict=True)
    }
    observations = [
        Observation(kind=Kind.DISTANCE, at=i, to=j, value=math.dist(truth[i], truth[j]) + rng.normal(0, 0.003), sd=0.003)
        for i, j in sorted(edges)
    ]
    held = np.zeros(N_POINTS, dtype=bool)
    start = truth + rng.normal(0, 0.02, truth.shape)
    if not free:
        held[[0, 39]] = True
        start[held] = truth[held]
    return Network(start, held, observations)


def map_and_simulations() -> None:
    """Fit, map and a thousand surfaces of two thousand shots."""
    rng = np.random.default_rng(3)
    shots = rng.uniform(0, 1, (N_SHOTS, 2)) * [WIDTH_M, DEPTH_M]
    values = 0.01 * np.sin(shots[:, 0] / 3) + rng.normal(0, 0.004, N_SHOTS)
    nodes = np.stack(np.meshgrid(np.linspace(0.2, WIDTH_M - 0.2, 66), np.linspace(0.2, DEPTH_M - 0.2, 36)), -1).reshape(-1, 2)
    fitted_field(shots, values, noise_sd=0.0015).at(nodes).simulate(N_DRAWS, rng)


def cloud() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Ten million points of a waved base with 3 mm of noise."""
    rng = np.random.default_rng(0)
    x, y = rng.uniform(0, WIDTH_M, N_SCANNED), rng.uniform(0, DEPTH_M, N_SCANNED)
    return x, y, -0.15 + 0.008 * np.sin(x / 3) + 0.004 * np.cos(y / 2) + rng.normal(0, 0.003, N_SCANNED)


def gridded(points: tuple[np.ndarray, np.ndarray, np.ndarray]) -> None:
    """This program's way, cleaning included."""
    grid = ScanGrid(Frame.over((0, 0), (WIDTH_M, DEPTH_M), cell=0.1, z_low=-0.5, z_high=0.5, layer=0.004))
    for start in range(0, N_SCANNED, 1_000_000):
        grid.add(*(column[start : start + 1_000_000] for column in points))
    grid.ground(thickness=0.02, object_size=0.6, object_height=0.025)


def plain(points: tuple[np.ndarray, np.ndarray, np.ndarray]) -> None:
    """The plain way, without any cleaning: counts and sums by histogram2d, means, holes by griddata."""
    x, y, z = points
    shape, span = (round(WIDTH_M / 0.1), round(DEPTH_M / 0.1)), ((0, WIDTH_M), (0, DEPTH_M))
    count, *_ = np.histogram2d(x, y, bins=shape, range=span)
    total, *_ = np.histogram2d(x, y, bins=shape, range=span, weights=z)
    seen = count > 0
    griddata(np.argwhere(seen), total[seen] / count[seen], np.argwhere(np.ones_like(seen)), method="linear")


def write_laz(path: Path) -> None:
    """The cloud as a compressed file."""
    import laspy

    header = laspy.LasHeader(point_format=0, version="1.2")
    header.scales = [0.0001] * 3
    las = laspy.LasData(header)
    las.x, las.y, las.z = cloud()
    las.write(path)


def scan_to_map(path: Path) -> None:
    """From the file to the thickness map with its uncertainty."""
    foundation = Foundation.of(
        Floor(outline=((0, 0), (WIDTH_M, 0), (WIDTH_M, DEPTH_M), (0, DEPTH_M)), thickness_m=0.15), Edge(depth_m=0.5, width_m=0.35)
    )
    survey = read_scan(Sheet(path.name), path, foundation, ScanPlace(), Family.SI)
    surface_of(foundation, survey, np.random.default_rng(1))


def main() -> None:
    free, tied = network(free=True), network(free=False)
    print(f"adjustment of {N_POINTS} points, {len(free.observations)} distances: free {timed(free.adjusted):.2f} s, ", end="")
    print(f"two points held {timed(tied.adjusted):.2f} s")
    print(f"{N_SHOTS} shots: fit, map and {N_DRAWS} simulations {timed(map_and_simulations):.2f} s")
    compare_gridding()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "scan.laz"
        write_laz(path)
        again = f"import sys; sys.path.insert(0, {str(Path(__file__).parent)!r}); import bench_survey; bench_survey.report({str(path)!r})"
        print(subprocess.run([sys.executable, "-c", again], capture_output=True, text=True, check=True).stdout, end="")


def compare_gridding() -> None:
    """Both ways on the same points."""
    points = cloud()
    ours, theirs = timed(lambda: gridded(points)), timed(lambda: plain(points), 1)
    print(
        f"{N_SCANNED:,} points in memory to a cleaned grid {ours:.2f} s, histogram2d and griddata {theirs:.2f} s: ratio {theirs / ours:.1f}"
    )


def report(path: str) -> None:
    """In a process of its own, so that the peak memory is the scan's."""
    scan_to_map(Path(path))
    began = time.perf_counter()
    scan_to_map(Path(path))
    seconds = time.perf_counter() - began
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    print(f"LAZ file of {N_SCANNED:,} points to thickness map and {N_DRAWS} simulations {seconds:.1f} s, peak memory {peak:.2f} GB")


if __name__ == "__main__":
    main()
