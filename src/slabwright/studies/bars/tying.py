"""Ties and cages: how many crossings are tied, and what is tied on the bench before the sheet goes down."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.model.job import Job
from slabwright.model.steel import Zone
from slabwright.sources import practice
from slabwright.studies.bars.order import Placed
from slabwright.studies.bars.verify import Lap

TIES = practice("laps tied twice, every crossing round the edge of a mat and every other inside, long bars every 4 ft (1.2 m)")
TIE_SPACING_M = 1.2192
BENCH = practice("mats and cages tied on a bench or stands, lowered on blocks once the sheet lies")


@dataclass(frozen=True, slots=True)
class TyingLine:
    """One row of the tying plan."""

    what: str
    n_ties: int
    where_tied: str
    when: str


def tying_plan(job: Job, placed: Sequence[Placed], laps: Sequence[Lap]) -> tuple[TyingLine, ...]:
    """Ties by zone, and where and when each cage is tied.

    Parameters
    ----------
    job : Job
    placed : sequence of Placed
    laps : sequence of Lap
    """
    below = job.retarder is not None and job.retarder.under_edge
    rows = []
    mats: dict[str, list[Placed]] = defaultdict(list)
    runs: dict[Zone, float] = defaultdict(float)
    for one in placed:
        if one.wanted.zone is Zone.PADS:
            mats[one.wanted.where].append(one)
        elif one.wanted.zone in (Zone.EDGE, Zone.STRIPS):
            runs[one.wanted.zone] += one.cut_m
    if mats:
        n = sum(_mat_ties(mine) for mine in mats.values())
        when = "lowered once the sheet lies in the pit" if below else "set in the pit on blocks"
        rows.append(TyingLine(f"mats of {len(mats)} pads", n, "on a bench, all alike on one jig", when))
    for zone, length in runs.items():
        n = round(length / TIE_SPACING_M)
        trench = "on stands over the trench, let down on blocks" if below else "in the trench on blocks"
        when = "after the sheet lies; nothing is dragged over it" if below else "before the forms are closed"
        rows.append(TyingLine(f"bars along the {zone.value}", n, trench, when))
    floor = [one for one in placed if one.wanted.zone is Zone.FLOOR]
    if floor:
        rows.append(TyingLine("bars of the floor", _floor_ties(floor), "in place, on chairs", "last, from the far side back"))
    other = sum(one.wanted.zone in (Zone.RE_ENTRANT, Zone.BLOCK_OUTS, Zone.TIES) for one in placed)
    if other:
        rows.append(TyingLine("corner, block-out and tie bars", 3 * other, "in place, to the mesh or the bars", "last"))
    if laps:
        rows.append(TyingLine(f"{len(laps)} laps", 2 * len(laps), "in place", "with the bars"))
    return tuple(rows)


def _mat_ties(mine: Sequence[Placed]) -> int:
    depths = sorted({round(one.path.depth_m, 4) for one in mine})
    ways = [sum(round(one.path.depth_m, 4) == depth for one in mine) for depth in depths]
    if len(ways) < 2:
        return 2 * len(mine)
    a, b = ways[0], ways[1]
    rim = 2 * (a + b) - 4 if min(a, b) > 1 else a * b
    return rim + (a * b - rim + 1) // 2


def _floor_ties(floor: Sequence[Placed]) -> int:
    """Every other crossing; crossings as the product of lines each way."""
    ways: dict[int, set[int]] = defaultdict(set)
    for one in floor:
        ways[one.wanted.chain].add(one.wanted.rank)
    counts = [len(ranks) for ranks in ways.values()]
    return counts[0] * counts[1] // 2 if len(counts) == 2 else 0
