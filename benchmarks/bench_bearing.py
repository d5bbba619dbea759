"""Two hundred posts with every combination, every check worked out on paper, and the fewest kinds of pad.

Prints the median wall and processor time of the study beside that of the shape it needs, and the wall time of one ``reckon`` call.
"""

import random
import subprocess
import sys
import time
from collections.abc import Callable
from statistics import median

from slabwright.model.concrete import Edge, Floor, Pad
from slabwright.model.ground import Soil
from slabwright.model.job import Codes, Job, LoadStandard
from slabwright.model.loads import LoadCase, Post, Reaction
from slabwright.model.steel import Bars, Face, Zone
from slabwright.model.supply import Mix
from slabwright.studies import bearing, shape
from slabwright.study import Inputs, run_studies
from slabwright.units import FOOT_M, INCH_M, KIP_N, PSF_PA, PSI_PA

N_POSTS = 200


def job(n_posts: int = N_POSTS) -> Job:
    """A long shed: two rows of posts with loads that all differ, one in ten with a moment at its foot."""
    draw = random.Random(7)
    bay, width = 12 * FOOT_M, 60 * FOOT_M
    length = (n_posts / 2 - 1) * bay + 4 * FOOT_M
    posts, pads = [], []
    for number in range(n_posts):
        at = (2 * FOOT_M + bay * (number // 2), 2 * FOOT_M if number % 2 == 0 else width - 2 * FOOT_M)
        moment = draw.uniform(1, 3) * KIP_N * FOOT_M if number % 10 == 0 else 0.0
        reactions = {
            LoadCase.DEAD: Reaction(down_n=draw.uniform(2, 6) * KIP_N),
            LoadCase.LIVE: Reaction(down_n=draw.uniform(0, 3) * KIP_N),
            LoadCase.SNOW: Reaction(down_n=draw.uniform(4, 12) * KIP_N),
            LoadCase.WIND_DOWN: Reaction(down_n=draw.uniform(1, 3) * KIP_N, shear_y_n=KIP_N, moment_y_nm=moment),
            LoadCase.WIND_UPLIFT: Reaction(down_n=-draw.uniform(4, 10) * KIP_N, shear_y_n=1.3 * KIP_N),
        }
        posts.append(Post(name=f"P{number + 1}", at=at, base_x_m=8 * INCH_M, base_y_m=8 * INCH_M, reactions=reactions))
        pads.append(Pad(name=f"P{number + 1}", at=at, size_x_m=3.5 * FOOT_M, size_y_m=3.5 * FOOT_M, depth_m=30 * INCH_M, run=1.0))
    bars = [Bars(zone=Zone.PADS, size="No.5", n_bars=5)]
    bars += [Bars(zone=Zone.EDGE, size="No.5", face=face, n_bars=2) for face in Face]
    return Job(
        name="benchmark",
        floor=Floor(outline=((0, 0), (length, 0), (length, width), (0, width)), thickness_m=6 * INCH_M),
        edge=Edge(depth_m=26 * INCH_M, width_m=14 * INCH_M, top_above_grade_m=6 * INCH_M),
        codes=Codes(loads=LoadStandard.ASCE_7_16),
        soil=Soil(soil_class="CL", allowable_bearing_pa=2000 * PSF_PA),
        posts=tuple(posts), pads=tuple(pads), bars=tuple(bars), mix=Mix(strength_pa=3500 * PSI_PA),
    )  # fmt: skip


def timed(work: Callable[[], object], repeats: int = 5, clock: Callable[[], float] = time.perf_counter) -> float:
    """Median time by a clock. [s]"""
    times = []
    for _ in range(repeats):
        start = clock()
        work()
        times.append(clock() - start)
    return median(times)


def main() -> None:
    """Print the figures."""
    inputs = Inputs(job=job())
    first = run_studies((shape.STUDY, bearing.STUDY), inputs)
    result = first[bearing.STUDY]
    cast = {first.outcomes[shape.STUDY.key].digest: first.outcomes[shape.STUDY.key]}

    def study() -> object:
        return run_studies((shape.STUDY, bearing.STUDY), inputs, known=cast)

    wall, busy = timed(study), timed(study, clock=time.process_time)
    alone = timed(lambda: run_studies((shape.STUDY,), inputs))
    print(f"{N_POSTS} posts: bearing study {wall:.2f} s, {busy:.2f} s of a processor, {len(result.checks)} checks; shape {alone:.2f} s")
    kinds = [(len(one.sizes), round(one.concrete_m3, 2)) for one in result.suggestions.sets]
    print(f"kinds of pad and their concrete in m³: {kinds}")
    values = ["bar-diameter=1/2 in", "strength=3000 psi"]
    command = [sys.executable, "-m", "slabwright.cli", "reckon", "development-length", *values]
    print(f"one reckon call: {timed(lambda: subprocess.run(command, capture_output=True, check=True)):.3f} s")


if __name__ == "__main__":
    main()
