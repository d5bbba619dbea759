"""How deep each line is cut, and up to which thickness that makes it a joint."""

import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.model.job import Job
from slabwright.model.supply import JointKind
from slabwright.solvers.partition import Cut
from slabwright.standards import aci_302_1r
from slabwright.studies.joints.ground import JointGround
from slabwright.units import INCH_M

_GRAZED_M = 0.05
"""Length in m within which a line only grazes a part of the floor."""
_EARLY_ENTRY_TO_M = 9 * INCH_M
"""Thickness for which the shallow cut of an early-entry saw is published."""


def line_depth_m(job: Job, ground: JointGround, cut: Cut) -> float:
    """What the job asks for, else the rule for its saw in the thickest part of the floor that the line crosses. [m]"""
    saw = aci_302_1r.SawKind.EARLY_ENTRY if job.joints.kind is JointKind.EARLY_ENTRY else aci_302_1r.SawKind.CONVENTIONAL
    return job.joints.depth_m or aci_302_1r.saw_depth_m(thickness_m=thickest_along_m(ground, cut), saw=saw)


def thickest_along_m(ground: JointGround, cut: Cut) -> float:
    """Thickest part of the floor along a line, edge and pads not counted. [m]"""
    line: BaseGeometry = shapely.LineString([cut.start, cut.end])
    crossed = []
    for part in ground.floor.thickness_regions:
        within = shapely.Polygon(part.within)
        if line.intersection(within).length > _GRAZED_M:
            crossed.append(part.thickness_m)
        line = line.difference(within)
    if line.length > _GRAZED_M or not crossed:
        crossed.append(ground.floor.thickness_m)
    return max(crossed)


def works_to_m(job: Job, depth_m: float) -> float:
    """Thickness up to which a cut of this depth is a joint. [m]"""
    reach = depth_m / aci_302_1r.EFFECTIVE_DEPTH
    if job.joints.kind is JointKind.EARLY_ENTRY and depth_m >= aci_302_1r.LEAST_CUT_M - 1e-9:
        return max(reach, _EARLY_ENTRY_TO_M)
    return reach
