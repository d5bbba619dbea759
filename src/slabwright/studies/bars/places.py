"""Where the bars of each zone lie: long runs that must be lapped, and single bars of given length."""

from collections.abc import Sequence
from dataclasses import replace

import shapely

from slabwright.geometry.foundation import Foundation
from slabwright.model.job import Job
from slabwright.model.steel import Zone
from slabwright.studies.bars.continuous import Corners, edge_bars, floor_bars, strip_bars
from slabwright.studies.bars.mats import pad_bars
from slabwright.studies.bars.paths import Point
from slabwright.studies.bars.singles import block_out_bars, corner_diagonals, joint_dowels, thrust_ties
from slabwright.studies.bars.wanted import Wanted


def wanted_bars(
    job: Job, foundation: Foundation, joints: Sequence[tuple[Point, Point]], corners: Corners = Corners.BENT,
    cuts: Sequence[shapely.LineString] = (), choice: int = 0,
) -> tuple[Wanted, ...]:  # fmt: skip
    """Every line of steel, set by set.

    Parameters
    ----------
    job : Job
    foundation : Foundation
    joints : sequence of (start, end)
        Construction joints, for dowels. [m]
    corners : Corners
        Of the edge.
    cuts : sequence of shapely.LineString
        All joints, which the laps of bars bent alike keep clear of.
    choice : int
        Which of the ways to bend bars alike, from nought.

    Raises
    ------
    MissingInput
        For a set whose count, spacing or length is not stated, or whose cover leaves no room.
    """
    found: list[Wanted] = []
    for number, asked in enumerate(job.bars):
        makers = {
            Zone.STRIPS: strip_bars,
            Zone.PADS: pad_bars,
            Zone.FLOOR: floor_bars,
            Zone.RE_ENTRANT: corner_diagonals,
            Zone.BLOCK_OUTS: block_out_bars,
            Zone.TIES: thrust_ties,
        }
        if asked.zone is Zone.JOINT_DOWELS:
            lines = joint_dowels(job, foundation, asked, joints)
        elif asked.zone is Zone.EDGE:
            lines = edge_bars(job, foundation, asked, corners, cuts, choice)
        else:
            lines = makers[asked.zone](job, foundation, asked)
        found += [replace(one, asked=number) for one in lines]
    return tuple(found)
