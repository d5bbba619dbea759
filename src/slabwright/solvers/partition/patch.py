"""Four sides round a wing, and straight lines between points that divide opposite sides alike.

Between parallel sides such lines are parallel, between others they fan from the one to the other; both families stay straight,
since a map that is linear along each of two ways takes straight lines to straight lines.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely

from slabwright.solvers.partition.corners import sides_apart
from slabwright.solvers.partition.layout import Floats

_BLUNT, _LEAST = np.deg2rad(135.0), np.deg2rad(45.0)
"""Corners of four sides that a grid may fill."""
_LOOSE = 1.4
"""How much larger than the wing four of its own sides may be when they are carried on until they meet."""


@dataclass(frozen=True, slots=True)
class Patch:
    """A wing and the four sides round it.

    Attributes
    ----------
    wing : shapely.Polygon
    quad : (4, 2) array
        Corners, counter-clockwise; share 0 of the first way lies on the side from the last to the first.
    fits : bool
        Whether the wing fills the four sides.
    """

    wing: shapely.Polygon
    quad: Floats
    fits: bool

    def points(self, first: Floats, second: Floats) -> Floats:
        """Places of shares of the two ways, broadcast; shape (..., 2)."""
        s, t = np.asarray(first)[..., None], np.asarray(second)[..., None]
        a, b, c, d = self.quad
        return np.asarray((1 - s) * (1 - t) * a + s * (1 - t) * b + s * t * c + (1 - s) * t * d)

    def shares(self, points: Floats) -> Floats:
        """Shares of places, shape (n, 2); not a number where there are none."""
        a, b, c, d = self.quad
        shares = np.full((len(points), 2), 0.5)
        for _ in range(12):
            s, t = shares[:, :1], shares[:, 1:]
            miss = self.points(shares[:, 0], shares[:, 1]) - points
            by_s, by_t = (1 - t) * (b - a) + t * (c - d), (1 - s) * (d - a) + s * (c - b)
            det = by_s[:, 0] * by_t[:, 1] - by_s[:, 1] * by_t[:, 0]
            det = np.where(np.abs(det) < 1e-12, np.nan, det)
            step_s = (miss[:, 0] * by_t[:, 1] - miss[:, 1] * by_t[:, 0]) / det
            step_t = (by_s[:, 0] * miss[:, 1] - by_s[:, 1] * miss[:, 0]) / det
            shares = np.clip(shares - np.column_stack([step_s, step_t]), -5.0, 5.0)
        miss = np.hypot(*(self.points(shares[:, 0], shares[:, 1]) - points).T)
        shares[~(miss < 1e-6)] = np.nan
        return shares

    def span(self, way: int) -> float:
        """Longer of the two sides that lines of one way divide."""
        a, b, c, d = self.quad
        pair = (b - a, c - d) if way == 0 else (d - a, c - b)
        return float(max(np.hypot(*side) for side in pair))

    def sides(self) -> tuple[tuple[int, int, Floats, Floats], ...]:
        """Way whose lines end on a side, the end (0 or 1) of those lines there, and the side from share 0 to 1."""
        a, b, c, d = self.quad
        return (0, 0, a, b), (0, 1, d, c), (1, 0, a, d), (1, 1, b, c)


def patches(wing: shapely.Polygon, size: float = 0.0) -> list[Patch]:
    """Four-sided grids for a wing, the closest first; sides shorter than half a size may be steps of a curve, and lead no grid."""
    ring = shapely.get_coordinates(shapely.orient_polygons(wing).exterior.simplify(1e-4))[:-1]
    found = []
    if len(ring) == 4 and not wing.interiors and _is_fair(ring):
        found.append(Patch(wing, ring, True))
    round_it = shapely.Polygon(shapely.get_coordinates(wing.convex_hull))
    hull = shapely.get_coordinates(shapely.orient_polygons(round_it).exterior.simplify(1e-4))[:-1]
    if len(ring) != 4:
        found += [Patch(wing, quad, False) for quad in _carried_on(hull, round_it.area, size)[:2]]
    found += [Patch(wing, quad, False) for quad in _along_directions(ring, hull, size)]
    kept: list[Patch] = []
    for one in found:
        if not any(np.abs(one.quad - np.roll(other.quad, k, axis=0)).max() < 1e-4 for other in kept for k in range(4)):
            kept.append(one)
    return kept


def _is_fair(quad: Floats) -> bool:
    before, after = quad - np.roll(quad, 1, axis=0), np.roll(quad, -1, axis=0) - quad
    turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], np.sum(before * after, axis=1))
    return bool(np.all((np.pi - turn > _LEAST - 1e-6) & (np.pi - turn < _BLUNT + 1e-6)))


def _carried_on(hull: Floats, area: float, size: float) -> list[Floats]:
    """Four of the sides, carried on until they meet, the tightest first."""
    sides = np.roll(hull, -1, axis=0) - hull
    length = np.where(sides_apart(hull, size)[1], np.hypot(*sides.T), 0.0)
    longest = np.sort(np.argsort(-length)[: min(8, int(np.sum(length > 0.0)))])
    found = []
    for four in combinations(longest, 4):
        corners = []
        for k in range(4):
            i, j = four[k - 1], four[k]
            cross = sides[i, 0] * sides[j, 1] - sides[i, 1] * sides[j, 0]
            if cross < 1e-9:
                break
            gap = hull[j] - hull[i]
            corners.append(hull[i] + sides[i] * (gap[0] * sides[j, 1] - gap[1] * sides[j, 0]) / cross)
        if len(corners) == 4 and _is_fair(np.array(corners)):
            size = shapely.Polygon(corners).area
            if size < _LOOSE * area:
                found.append((size, np.array(corners)))
    return [quad for _, quad in sorted(found, key=lambda one: one[0])]


def _along_directions(ring: Floats, hull: Floats, size: float) -> list[Floats]:
    """Rectangles along the one or two main directions, and the parallelogram along both."""
    sides = np.roll(ring, -1, axis=0) - ring
    real = sides_apart(ring, size)[1]
    if not real.any():  # round all over: along the axes
        return [_round(hull, 0.0, np.pi / 2)]
    sides = sides[real]
    angle, length = np.arctan2(sides[:, 1], sides[:, 0]) % np.pi, np.hypot(*sides.T)
    alike = np.cos(2 * (angle[:, None] - angle[None, :])) > np.cos(2 * np.deg2rad(0.5))
    weight = alike @ length
    first = angle[np.argmax(weight)]
    found = [_round(hull, first, first + np.pi / 2)]
    apart = np.abs((angle - first + np.pi / 2) % np.pi - np.pi / 2)
    others = np.flatnonzero((apart > np.deg2rad(3)) & (apart < np.deg2rad(87)))
    if len(others):
        second = angle[others[np.argmax(weight[others])]]
        found.append(_round(hull, second, second + np.pi / 2))
        if apart[others[np.argmax(weight[others])]] >= _LEAST:
            found.append(_round(hull, first, second))
    return found


def _round(hull: Floats, first: float, second: float) -> Floats:
    """The parallelogram along two directions that just holds a hull, counter-clockwise."""
    u, v = (np.array([np.cos(one), np.sin(one)]) for one in (first, second))
    if u[0] * v[1] - u[1] * v[0] < 0:
        v = -v
    a, b = np.linalg.solve(np.column_stack([u, v]), hull.T)
    return np.array([a.min() * u + b.min() * v, a.max() * u + b.min() * v, a.max() * u + b.max() * v, a.min() * u + b.max() * v])
