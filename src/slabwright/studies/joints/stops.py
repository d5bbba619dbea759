"""Where a pour too long for one day stops: on lines from side to side, as near equal parts as they allow, with dowels."""

import math
from collections.abc import Sequence

import shapely

from slabwright.geometry.foundation import Foundation
from slabwright.model.job import Job
from slabwright.solvers.partition import Cut
from slabwright.units import CUBIC_YARD_M3

LONGEST_DAY_H = 10.0
"""Hours of placing after which a crew stops; common practice, no source."""
_USUAL_RATE_M3_H = 20 * CUBIC_YARD_M3
"""Where the job states no rate: chute from two sides; common practice, no source."""


def day_volume_m3(job: Job) -> float:
    """Concrete that one day's placing takes. [m³]"""
    rates = [rate for rate in (job.crew.placing_rate_m3_h, job.plant.placing_rate_m3_h) if rate]
    return LONGEST_DAY_H * (min(rates) if rates else _USUAL_RATE_M3_H)


def stopping_lines(job: Job, foundation: Foundation, cuts: Sequence[Cut], volume_m3: float) -> tuple[int, ...]:
    """Numbers of the lines that become construction joints; none where one day is enough.

    Parameters
    ----------
    job : Job
    foundation : Foundation
    cuts : sequence of Cut
    volume_m3 : float
        All concrete. [m³]
    """
    n_stops = math.ceil(volume_m3 / day_volume_m3(job) - 1e-9) - 1
    if n_stops < 1:
        return ()
    low_x, low_y, high_x, high_y = foundation.region.bounds
    axis = 0 if high_x - low_x >= high_y - low_y else 1
    low, high = (low_x, high_x) if axis == 0 else (low_y, high_y)
    whole = [number for number, cut in enumerate(cuts) if cut.vertical is (axis == 0) and _from_side_to_side(cut, foundation)]
    chosen: list[int] = []
    for part in range(1, n_stops + 1):
        wanted = low + (high - low) * part / (n_stops + 1)
        free = [number for number in whole if number not in chosen]
        if free:
            chosen.append(min(free, key=lambda number: abs((cuts[number].start[axis] + cuts[number].end[axis]) / 2 - wanted)))
    return tuple(sorted(chosen))


def _from_side_to_side(cut: Cut, foundation: Foundation) -> bool:
    outline = foundation.outline.exterior
    return max(outline.distance(shapely.Point(cut.start)), outline.distance(shapely.Point(cut.end))) < 0.01
