"""Fewest points to shift, and where to, so that a figure meets its checks.

A search over linear programs chooses which points move: first as few as will do, then as little as will do. With the
choice made, the chosen points are brought to where all checks come closest to nought, because who lifts a stake
once wants it right, not just inside the limit.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, pairwise

import numpy as np
from numpy.typing import NDArray

from slabwright.errors import Infeasible, NotConverged
from slabwright.solvers.least_squares import Floats

_WITHIN = 0.999
"""Part of a tolerance that is used up at most, so that the last digits of the arithmetic do not break the check."""

_MOST_SETS = 64
"""Sets of equal size that are compared for the least movement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthCheck:
    """Distance between two points against its target."""

    first: int
    second: int
    target: float
    tolerance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EqualCheck:
    """Two distances that should be equal, such as the diagonals of a rectangle."""

    first: tuple[int, int]
    second: tuple[int, int]
    tolerance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceCheck:
    """A point against its given place, per axis; ties a figure to a boundary or to work already done."""

    point: int
    target: tuple[float, float]
    tolerance: float


Check = LengthCheck | EqualCheck | PlaceCheck


def misses(points: Floats, checks: Sequence[Check]) -> Floats:
    """How far each check is from nought, over its tolerance; 1 is just met.

    Parameters
    ----------
    points : (n, 2) float
    checks : sequence of checks

    Returns
    -------
    (k,) float
        Signed; the greater axis for a place.
    """
    values, _, tolerances = _linear(points, checks)
    starts = np.cumsum([0] + [2 if isinstance(check, PlaceCheck) else 1 for check in checks])
    ratio = values / tolerances
    return np.array([max(ratio[a:b], key=abs) for a, b in pairwise(starts)])


def least_moves(points: Floats, checks: Sequence[Check], *, movable: NDArray[np.bool_], reach: float) -> Floats:
    """Shift of every point; nought for those that stay.

    Parameters
    ----------
    points : (n, 2) float
        Where the points are.
    checks : sequence of checks
    movable : (n,) bool
    reach : float
        Farthest a point may be shifted along an axis.

    Returns
    -------
    (n, 2) float

    Raises
    ------
    Infeasible
        If no shift of the movable points within reach meets the checks.
    """
    points = np.asarray(points, dtype=float)
    if np.abs(misses(points, checks)).max(initial=0.0) <= 1.0:
        return np.zeros_like(points)
    for within in (0.999, 0.98, 0.95, 0.9):
        touched = _chosen(points, checks, movable, reach, within)
        placed = _squared(points, checks, touched)
        if not _meets(placed, checks):
            placed = _bounded(placed, checks, touched)
        if _meets(placed, checks) and np.abs(placed - points).max() <= reach:
            return placed - points
    raise NotConverged("the shifts do not settle; the points lie far from where they should be.")


def _meets(points: Floats, checks: Sequence[Check]) -> bool:
    return bool(np.abs(misses(points, checks)).max() <= 1.0)


def _linear(points: Floats, checks: Sequence[Check]) -> tuple[Floats, Floats, Floats]:
    """Value, derivative by every coordinate, and tolerance of each check."""
    values: list[float] = []
    slopes: list[Floats] = []
    tolerances: list[float] = []
    for check in checks:
        if isinstance(check, PlaceCheck):
            for axis in range(2):
                row = np.zeros_like(points)
                row[check.point, axis] = 1.0
                values.append(points[check.point, axis] - check.target[axis])
                slopes.append(row.ravel())
                tolerances.append(check.tolerance)
            continue
        pairs = [(check.first, check.second)] if isinstance(check, LengthCheck) else [check.first, check.second]
        row = np.zeros_like(points)
        total = -check.target if isinstance(check, LengthCheck) else 0.0
        for sign, (i, j) in zip((1.0, -1.0), pairs, strict=False):
            along = points[j] - points[i]
            length = float(np.hypot(*along))
            total += sign * length
            row[j] += sign * along / length
            row[i] -= sign * along / length
        values.append(total)
        slopes.append(row.ravel())
        tolerances.append(check.tolerance)
    return np.array(values), np.array(slopes), np.array(tolerances)


@dataclass(frozen=True, slots=True, eq=False)
class _Linear:
    """The checks straightened: ``ratio + slope @ shift / reach``, each to stay within plus or minus ``within``."""

    ratio: Floats
    slope: Floats
    within: float

    def of(self, touched: Sequence[int]) -> Floats:
        """Columns of the points that may move."""
        return self.slope[:, [2 * point + axis for point in touched for axis in range(2)]]

    def excess(self, touched: Sequence[int]) -> tuple[float, Floats]:
        """Least excess over the limits when only these points move, and how each check presses for more."""
        from scipy.optimize import linprog

        part = self.of(touched)
        rows = np.vstack([part, -part])
        cost = np.append(np.zeros(part.shape[1]), 1.0)
        limits = np.concatenate([self.within - self.ratio, self.within + self.ratio])
        bounds = [(-1.0, 1.0)] * part.shape[1] + [(0.0, None)]
        result = linprog(cost, A_ub=np.hstack([rows, -np.ones((len(rows), 1))]), b_ub=limits, bounds=bounds)
        press = -np.asarray(result.ineqlin.marginals)
        return float(cost @ result.x), press[: len(part)] - press[len(part) :]

    def movement(self, touched: Sequence[int]) -> float:
        """Least sum of shifts along the axes with which these points meet the checks."""
        from scipy.optimize import linprog

        part = self.of(touched)
        whole = np.vstack([np.hstack([part, -part]), np.hstack([-part, part])])
        limits = np.concatenate([self.within - self.ratio, self.within + self.ratio])
        result = linprog(np.ones(2 * part.shape[1]), A_ub=whole, b_ub=limits + 1e-7, bounds=(0.0, 1.0))
        return math.inf if result.x is None else float(np.sum(result.x))


def _chosen(points: Floats, checks: Sequence[Check], movable: NDArray[np.bool_], reach: float, within: float) -> NDArray[np.bool_]:
    """Which points to touch: fewest first, least movement among equals; with the checks straightened.

    Where a set of points cannot meet the checks, the duals of its linear program name the points of which at least
    one more must move; the search branches on those, one more point at a time.
    """
    values, slopes, tolerances = _linear(points, checks)
    linear = _Linear(values / tolerances, slopes * reach / tolerances[:, None], within)
    for n_touched in range(1, int(movable.sum()) + 1):
        found = list(islice(_sets(linear, (), tuple(np.flatnonzero(~movable)), n_touched), _MOST_SETS))
        if found:
            best = min(found, key=linear.movement)
            return np.isin(np.arange(len(points)), best)
    raise Infeasible("no shift of the points that may move, within reach, meets every check.")


def _sets(linear: _Linear, touched: tuple[int, ...], barred: tuple[int, ...], spare: int) -> Iterator[tuple[int, ...]]:
    """Sets of points that can meet the checks: these, and up to ``spare`` more that are not barred."""
    excess, press = linear.excess(touched)
    if excess <= 1e-9:
        yield touched
        return
    if spare == 0:
        return
    pull = np.abs(press @ linear.slope).reshape(-1, 2).max(axis=1)
    pull[list(touched + barred)] = 0.0
    for point in np.argsort(-pull):
        if pull[point] <= 1e-9:
            return
        yield from _sets(linear, (*touched, int(point)), barred, spare - 1)
        barred = (*barred, int(point))


def _bounded(points: Floats, checks: Sequence[Check], touched: NDArray[np.bool_]) -> Floats:
    """The same, with no check beyond its tolerance."""
    from scipy.optimize import NonlinearConstraint, minimize

    free = np.repeat(touched, 2)

    def spread(state: Floats) -> Floats:
        whole = points.ravel().copy()
        whole[free] = state
        return whole.reshape(points.shape)

    def ratios(state: Floats) -> tuple[Floats, Floats]:
        values, slopes, tolerances = _linear(spread(state), checks)
        return values / tolerances, slopes[:, free] / tolerances[:, None]

    def squares(state: Floats) -> float:
        return float((ratios(state)[0] ** 2).sum())

    def slope(state: Floats) -> Floats:
        ratio, slopes = ratios(state)
        return np.asarray(2.0 * ratio @ slopes)

    inside = NonlinearConstraint(lambda state: ratios(state)[0], -_WITHIN, _WITHIN, jac=lambda state: ratios(state)[1])
    result = minimize(squares, points.ravel()[free], jac=slope, method="SLSQP", constraints=inside, options={"maxiter": 300})
    return spread(result.x)


def _squared(points: Floats, checks: Sequence[Check], touched: NDArray[np.bool_]) -> Floats:
    """The touched points where the squares of all checks over their tolerances are least."""
    free = np.repeat(touched, 2)
    for _ in range(20):
        values, slopes, tolerances = _linear(points, checks)
        correction = np.zeros(points.size)
        correction[free], *_ = np.linalg.lstsq(slopes[:, free] / tolerances[:, None], -values / tolerances, rcond=1e-9)
        points = points + correction.reshape(points.shape)
        if np.abs(correction).max() < 1e-12:
            break
    return points
