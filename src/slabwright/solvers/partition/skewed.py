"""Any simple polygon, with holes: parted at its corners into wings, each cut by lines that divide opposite sides alike.

Every way to part the region (:mod:`wings`) gives four-sided grids (:mod:`patch`), sheaves of lines that run on from grid to grid
(:mod:`sheaves`) and a whole-number programme over their pieces (:mod:`wing_programme`), solved to its proof. Kept is the layout
with the fewest faults, then the least lost length, line length and unevenness: the best of all lines offered.
"""

import math
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from scipy.sparse.csgraph import connected_components
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Infeasible, NotConverged
from slabwright.solvers.partition.islands import Islands
from slabwright.solvers.partition.layout import LOST_WEIGHT, Cut, CutRules, Floats, Layout, SizeAt, least_length, pieces_of
from slabwright.solvers.partition.patch import Patch, patches
from slabwright.solvers.partition.sheaves import is_of_family, sheaves
from slabwright.solvers.partition.wing_programme import WingCuts, programme
from slabwright.solvers.partition.wings import Parting, along, cut_line, from_side_to_side, partings

_MOST_GRIDS = 4
"""Grids tried for a region in one piece."""


@dataclass(frozen=True, slots=True)
class _Found:
    """A layout found for one parting."""

    parting: Parting
    cuts: WingCuts
    cost: float

    @property
    def faults(self) -> int:
        return self.cuts.faults


def cut_skewed(
    region: shapely.Polygon,
    rules: CutRules,
    *,
    dead: BaseGeometry | None = None,
    islands: Islands | None = None,
    keep: tuple[Cut, ...] = (),
    forbid: Sequence[shapely.LineString] = (),
    size_at: SizeAt | None = None,
    least_share: float = 0.0,
    tee_cost: float = math.inf,
    step: float | None = None,
    most_lines: int = 14,
    most_partings: int = 5,
    time_limit_s: float = 20.0,
) -> Layout:
    """Lines for a region of any shape.

    Parameters
    ----------
    region : shapely.Polygon
        Any simple polygon, with holes.
    rules : CutRules
        The largest size is kept by every piece; aspect and smallest size yield where they must, as faults.
    dead : shapely geometry, optional
        Where length is lost.
    islands : Islands, optional
        Holes at whose corners lines should end.
    keep : tuple of Cut
        Lines that must be cut; one that is none of a grid's own is carried on from side to side.
    forbid : sequence of shapely.LineString
        Lines along which none may run; crossing them is allowed.
    size_at : callable, optional
        Largest size of a piece that holds a point, where it is less than ``rules.max_size``.
    least_share : float
        Shortest side of a piece, as a share of the largest size there.
    tee_cost : float
        What a line that dies against another costs, as a length; infinite where each is a fault.
    step : float, optional
        Candidate lines lie about this far apart at least; a twentieth of the largest size if not given.
    most_lines : int
        Candidate lines to a sheaf.
    most_partings : int
        Ways to part the region that are solved, besides the region as it is.
    time_limit_s : float
        After which no further way is tried.

    Raises
    ------
    Infeasible
        If no choice of the candidates keeps the pieces small enough.
    """
    dead = dead if dead is not None else shapely.Polygon()
    islands = islands if islands is not None else Islands.none()
    search = _Search(region, rules, dead, islands, keep, forbid, size_at, least_share, tee_cost, step or rules.max_size / 20, most_lines)
    started = time.perf_counter()
    for parting, grids in _ways(region, rules, most_partings, keep, forbid):
        if search.best is not None and time.perf_counter() - started > time_limit_s:
            search.least_faults = 0  # what was not tried might have none
            break
        search.look(parting, grids, linked=True, time_limit_s=time_limit_s)
        if len(grids) > 1 and (search.best is None or search.best.faults or math.isfinite(tee_cost)):
            search.look(parting, grids, linked=False, time_limit_s=time_limit_s)
    best = search.best
    if best is None:
        raise Infeasible(f"no choice of the lines offered leaves pieces of at most {rules.max_size:g}.")
    cuts, missed = _joined(best, dead), islands.all_missed()
    return Layout(
        cuts=cuts, pieces=pieces_of(region, cuts), cost=best.cost + missed, bound=min(search.bound, best.cost) + missed,
        tees=best.cuts.tees, faults=best.faults, least_faults=int(min(search.least_faults, best.faults)),
        least_length=least_length(region, rules.max_size), n_offered=len(search.offered),
    )  # fmt: skip


@dataclass(slots=True)
class _Search:
    """The best layout so far, and what is proven of those looked at."""

    region: shapely.Polygon
    rules: CutRules
    dead: BaseGeometry
    islands: Islands
    keep: tuple[Cut, ...]
    forbid: Sequence[shapely.LineString]
    size_at: SizeAt | None
    least_share: float
    tee_cost: float
    step: float
    most_lines: int
    best: _Found | None = None
    least_faults: float = math.inf
    bound: float = math.inf
    offered: set[tuple[float, ...]] = field(default_factory=set)

    def look(self, parting: Parting, grids: list[Patch], *, linked: bool, time_limit_s: float) -> None:
        """Solve one parting, as far as it can beat the best."""
        lines = sheaves(grids, self.rules.max_size, self.dead, self.islands, self.step, self.most_lines, self.keep, linked=linked)
        stated = programme(grids, lines, self.region, self.rules, self.dead, self.islands, self.forbid, self.size_at, self.least_share)
        self.offered |= _told_apart(stated.starts, stated.ends, stated.line) | _told_apart(*_ends(parting.cuts))
        first = sum(cut.length + LOST_WEIGHT * cut_line(cut).intersection(self.dead).length for cut in parting.cuts)
        first += float(self.islands.charge(*_ends(parting.cuts)[:2]).sum())
        is_fault = math.isinf(self.tee_cost)
        beat = None if self.best is None else (self.best.faults, self.best.cost - first)
        try:
            cuts = stated.solve(beat, is_fault, 0.0 if is_fault else self.tee_cost, time_limit_s)
        except NotConverged:
            self.least_faults = 0
            return
        if cuts is None:
            return
        self.least_faults = min(self.least_faults, math.ceil(cuts.least_faults - 1e-6))
        found = _Found(parting, cuts, cuts.cost + first)
        if self.best is None or found.faults < self.best.faults:
            self.bound = math.inf
        self.bound = min(self.bound, cuts.bound + first)
        if self.best is None or (found.faults, found.cost) < (self.best.faults, self.best.cost):
            self.best = found


def _ways(
    region: shapely.Polygon, rules: CutRules, most: int, keep: tuple[Cut, ...], forbid: Sequence[shapely.LineString]
) -> Iterator[tuple[Parting, list[Patch]]]:
    """Ways to part the region, with a grid for every wing."""
    whole = Parting((), (region,))
    tried = [one for one in partings(region, rules.min_size, sharp_rad=rules.sharp_rad, forbidden=forbid) if one.cuts][:most]
    is_convex = region.convex_hull.area < region.area * (1 + 1e-6)
    for parting in (whole, *tried) if is_convex else (*tried, whole):  # what is likely best first: the rest need only be beaten
        choices = [patches(wing, rules.max_size) for wing in parting.wings]
        if len(parting.wings) == 1:
            chosen = [[patch] for patch in choices[0][:_MOST_GRIDS]]
        else:
            chosen = [[one[0] for one in choices]]
        for grids in chosen:
            strange = [cut for cut in keep if not _is_met(cut, parting, grids)]
            yield _with_strange(region, parting, strange, rules.max_size) if strange else (parting, grids)


def _is_met(cut: Cut, parting: Parting, grids: list[Patch]) -> bool:
    return any(along(cut_line(cut), cut_line(own)) for own in parting.cuts) or any(is_of_family(patch, cut) for patch in grids)


def _with_strange(region: shapely.Polygon, parting: Parting, strange: list[Cut], size: float) -> tuple[Parting, list[Patch]]:
    """A parting with given lines that fit none of its grids, carried on from side to side."""
    more = [whole for cut in strange for whole in from_side_to_side(region, cut.start, cut.end)]
    cuts = (*parting.cuts, *more)
    finer = Parting(cuts, pieces_of(region, cuts))
    return finer, [patches(wing, size)[0] for wing in finer.wings]


def _ends(cuts: tuple[Cut, ...]) -> "tuple[Floats, Floats, np.ndarray]":
    starts = np.array([cut.start for cut in cuts]).reshape(-1, 2)
    return starts, np.array([cut.end for cut in cuts]).reshape(-1, 2), np.arange(len(cuts))


def _told_apart(starts: Floats, ends: Floats, line: "np.ndarray") -> set[tuple[float, ...]]:
    """Lines by the sum of their middles, so that one offered twice counts once."""
    n = int(line.max(initial=-1)) + 1
    length = np.hypot(*(ends - starts).T) if len(starts) else np.empty(0)
    total = np.maximum(np.bincount(line, length, minlength=n), 1e-12)
    middles = [np.bincount(line, length * (starts[:, k] + ends[:, k]) / 2, minlength=n) / total for k in (0, 1)]
    return {tuple(row) for row in np.round(np.column_stack([*middles, total]), 2).tolist()}


def _joined(found: _Found, dead: BaseGeometry) -> tuple[Cut, ...]:
    """Stretches that lie end to end on one straight line, as one cut."""
    first = np.array([(cut.start, cut.end) for cut in found.parting.cuts]).reshape(-1, 2, 2)
    runs = np.concatenate([first, np.stack([found.cuts.starts, found.cuts.ends], axis=1)])
    if not len(runs):
        return ()
    way = runs[:, 1] - runs[:, 0]
    way /= np.hypot(*way.T)[:, None]
    straight = np.abs(way[:, None, 0] * way[None, :, 1] - way[:, None, 1] * way[None, :, 0]) < 1e-4
    apart = np.abs(runs[:, None, :, None] - runs[None, :, None, :]).max(axis=-1).min(axis=(2, 3))
    n_cuts, of_cut = connected_components(straight & (apart < 1e-4), directed=False)
    cuts = []
    for number in range(n_cuts):
        own = np.flatnonzero(of_cut == number)
        points = runs[own].reshape(-1, 2)
        ahead = points @ way[own[0]]
        start, end = points[np.argmin(ahead)], points[np.argmax(ahead)]
        lost = shapely.LineString([start, end]).intersection(dead).length
        cuts.append(Cut((float(start[0]), float(start[1])), (float(end[0]), float(end[1])), float(lost)))
    return tuple(cuts)
