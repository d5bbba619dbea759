"""A rectangle cut by lines from side to side: exact, by dynamic programming over each direction.

The aspect rule couples the directions only through their smallest and largest spacing. So for every pair of those in x the
best sequence in x is joined with the best in y among the spacings the pair still allows.
"""

import numba as nb
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Infeasible
from slabwright.solvers.partition.islands import Islands
from slabwright.solvers.partition.layout import EVENNESS_WEIGHT, LOST_WEIGHT, Cut, CutRules, Floats, Layout, lost_lengths, pieces_of

_TINY = 1e-9


def cut_rectangle(
    size: tuple[float, float],
    candidates: tuple[Floats, Floats],
    rules: CutRules,
    *,
    dead: BaseGeometry | None = None,
    islands: Islands | None = None,
    keep: tuple[Floats, Floats] | None = None,
) -> Layout:
    """Best lines from side to side of the rectangle (0, 0) to ``size``.

    Parameters
    ----------
    size : tuple of float
        Width and height.
    candidates : tuple of ndarray
        Positions at which a line may run, in x and in y; the sides themselves are added.
    rules : CutRules
    dead : shapely geometry, optional
        Where length is lost.
    islands : Islands, optional
        Holes at whose corners lines should end.
    keep : tuple of ndarray, optional
        Positions in x and in y that must be used.

    Raises
    ------
    Infeasible
        If no choice of the candidates meets the rules.
    """
    dead = dead if dead is not None else shapely.Polygon()
    islands = islands if islands is not None else Islands.none()
    kept = keep if keep is not None else (np.empty(0), np.empty(0))
    axes = [_Axis.of(size, axis, candidates[axis], kept[axis], rules, dead, islands) for axis in (0, 1)]
    cost, chosen = _joined(axes[0], axes[1], rules.max_aspect)
    if chosen is None:
        raise Infeasible(
            f"no choice of the candidate lines leaves pieces of at most {rules.max_size:g} with an aspect of at most {rules.max_aspect:g}."
        )
    cost += islands.all_missed()
    cuts = tuple(axes[0].cuts(chosen[0]) + axes[1].cuts(chosen[1]))
    return Layout(cuts=cuts, pieces=pieces_of(shapely.box(0, 0, *size), cuts), cost=cost, bound=cost)


class _Axis:
    """Candidate lines across one direction, their costs, and the best sequence for each range of spacings."""

    def __init__(
        self, axis: int, span: float, across: float, at: Floats, line_cost: Floats, lost: Floats, must: NDArray[np.bool_], rules: CutRules
    ):
        self.axis, self.across, self.at, self.lost = axis, across, at, lost
        self.line_cost, self.must = line_cost, must
        gaps = at[None, :] - at[:, None]
        usable = gaps[(gaps >= max(rules.min_size, _TINY) - _TINY) & (gaps <= rules.max_size + _TINY)]
        self.spacings = _distinct(usable)
        self.evenness = EVENNESS_WEIGHT * across / max(span, _TINY)

    @classmethod
    def of(
        cls, size: tuple[float, float], axis: int, candidates: Floats, keep: Floats, rules: CutRules, dead: BaseGeometry,
        islands: Islands,
    ) -> "_Axis":  # fmt: skip
        span, across = size[axis], size[1 - axis]
        inside = np.concatenate([np.asarray(candidates, float), np.asarray(keep, float)])
        at = _distinct(np.concatenate([[0.0, span], inside[(inside > _TINY) & (inside < span - _TINY)]]))
        starts, ends = np.zeros((len(at), 2)), np.zeros((len(at), 2))
        starts[:, axis] = ends[:, axis] = at
        ends[:, 1 - axis] = across
        lost = lost_lengths(dead, starts, ends)
        lost[[0, -1]] = 0.0
        cost = across + LOST_WEIGHT * lost + islands.charge(starts, ends)
        cost[[0, -1]] = 0.0
        must = np.array([bool(np.any(np.abs(keep - one) < 1e-6)) for one in at]) if len(keep) else np.zeros(len(at), dtype=bool)
        return cls(axis, span, across, at, cost, lost, must, rules)

    def best(self, low: float, high: float) -> tuple[float, NDArray[np.int64]]:
        """Cheapest sequence with spacings between ``low`` and ``high``; infinite where there is none."""
        cost, before = _sequence(self.at, self.line_cost, self.must, low - _TINY, high + _TINY, self.evenness)
        if not np.isfinite(cost):
            return np.inf, np.empty(0, dtype=np.int64)
        chain = [len(self.at) - 1]
        while chain[-1] != 0:
            chain.append(int(before[chain[-1]]))
        return float(cost), np.array(chain[-2:0:-1], dtype=np.int64)

    def cuts(self, chosen: NDArray[np.int64]) -> list[Cut]:
        """The chosen lines."""
        made = []
        for index in chosen:
            ends = [(float(self.at[index]), 0.0), (float(self.at[index]), self.across)]
            if self.axis == 1:
                ends = [(y, x) for x, y in ends]
            made.append(Cut(ends[0], ends[1], float(self.lost[index])))
        return made


def _joined(x: _Axis, y: _Axis, aspect: float) -> tuple[float, tuple[NDArray[np.int64], NDArray[np.int64]] | None]:
    """Best pair of sequences; every range of x spacings, widest first, with what it leaves to y."""
    best: tuple[float, tuple[NDArray[np.int64], NDArray[np.int64]] | None] = (np.inf, None)
    if len(x.spacings) == 0 or len(y.spacings) == 0:
        return best
    floor_y = y.best(y.spacings[0], y.spacings[-1])[0]
    seen: dict[tuple[float, float], tuple[float, NDArray[np.int64]]] = {}
    for high in x.spacings[::-1]:
        if x.best(x.spacings[0], high)[0] + floor_y >= best[0]:
            break
        for low in x.spacings[(x.spacings >= high / aspect**2 - _TINY) & (x.spacings <= high + _TINY)]:
            cost_x, chosen_x = x.best(low, high)
            if cost_x + floor_y >= best[0]:
                break
            allowed = y.spacings[(y.spacings >= high / aspect - _TINY) & (y.spacings <= low * aspect + _TINY)]
            if len(allowed) == 0:
                continue
            key = (float(allowed[0]), float(allowed[-1]))
            if key not in seen:
                seen[key] = y.best(*key)
            cost_y, chosen_y = seen[key]
            if cost_x + cost_y < best[0]:
                best = (cost_x + cost_y, (chosen_x, chosen_y))
    return best


def _distinct(values: Floats) -> Floats:
    """Sorted values, those within a hair of each other merged."""
    ordered = np.sort(np.asarray(values, float))
    return ordered[np.concatenate([[True], np.diff(ordered) > 1e-7])] if len(ordered) else ordered


@nb.njit(cache=True)
def _sequence(
    at: Floats, line_cost: Floats, must: NDArray[np.bool_], low: float, high: float, evenness: float
) -> tuple[float, NDArray[np.int64]]:
    n = len(at)
    cost = np.full(n, np.inf)
    before = np.full(n, -1, dtype=np.int64)
    cost[0] = 0.0
    for j in range(1, n):
        for i in range(j - 1, -1, -1):
            gap = at[j] - at[i]
            if gap > high:
                break
            if gap >= low and cost[i] + line_cost[j] + evenness * gap * gap < cost[j]:
                cost[j] = cost[i] + line_cost[j] + evenness * gap * gap
                before[j] = i
            if must[i]:
                break
    return cost[n - 1], before
