"""What is wrong with a piece: its sides, and the rules it breaks.

The sides of a piece that is no rectangle are measured as a person would: between two pairs of parallels that just hold it, each
along one of its edges or square to one, whichever hold it closest. For a rectangle or a parallelogram these are its sides. A
chord of a curve in steps is no side to measure along, and an angle at it is that of the curve, as near as its steps tell.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numba import njit
from numpy.typing import NDArray

from slabwright.solvers.partition.corners import GENTLE
from slabwright.solvers.partition.layout import SHARP_RAD, CutRules, Floats

_TURN = 0.035
"""Sine of the turn below which two edges are one."""
_STEP = 0.75
"""Share of the longest edge of a piece below which an edge may be a step of a curve."""
_GENTLE_RAD = float(np.arcsin(GENTLE))
_SAME = 1e-4
_TIE = 1e-4
"""Share of area within which two parallelograms hold a piece as closely; the more nearly square one then measures it."""
RE_ENTRANT, SHARP, NARROW, LONG = 3, 2, 2, 1
"""Faults that a re-entrant corner inside a piece, a sharp corner, a sliver, and a piece too long for its width count for.

A re-entrant corner without a line cracks for certain; a sharp corner or sliver breaks off; a long piece may crack across.
"""


@dataclass(frozen=True, slots=True)
class PieceShapes:
    """Measures of n pieces.

    Attributes
    ----------
    long, short : (n,) array
        Sides.
    re_entrant : (n,) array of int
        Corners of more than half a turn.
    sharp : (n,) array of int
        Sharp corners that the lines made, not the region.
    sharpest_rad : (n,) array
        Smallest of those; half a turn where there is none.
    """

    long: Floats
    short: Floats
    re_entrant: NDArray[np.int64]
    sharp: NDArray[np.int64]
    sharpest_rad: Floats


def measured(pieces: Sequence[shapely.Polygon] | NDArray[np.object_], region: shapely.Polygon, sharp_rad: float = SHARP_RAD) -> PieceShapes:
    """Measure pieces of a region.

    Parameters
    ----------
    pieces : sequence of shapely.Polygon
    region : shapely.Polygon
        Its own sharp corners are no fault of a piece that has them whole.
    sharp_rad : float
        Angle below which a corner is sharp.
    """
    pieces = np.asarray(pieces, dtype=object)
    points, of_piece = shapely.get_coordinates(shapely.get_exterior_ring(pieces), return_index=True)
    starts = np.searchsorted(of_piece, np.arange(len(pieces) + 1))
    found = _measure(points, starts, _sharp_corners(region, sharp_rad), sharp_rad)
    holes = shapely.get_num_interior_rings(pieces)
    return PieceShapes(found[:, 0], found[:, 1], found[:, 2].astype(np.int64) + 4 * holes, found[:, 3].astype(np.int64), found[:, 4])


def faults_of(shapes: PieceShapes, rules: CutRules, sizes: Floats, least_share: float) -> Floats:
    """Faults of each piece, weighted.

    Parameters
    ----------
    shapes : PieceShapes
    rules : CutRules
    sizes : (n,) array
        Largest size at each.
    least_share : float
        Shortest side of a piece, as a share of it.
    """
    narrow = shapes.short < np.maximum(rules.min_size, least_share * sizes) - 1e-6
    oblong = shapes.long > rules.max_aspect * shapes.short + 1e-6
    return np.asarray(RE_ENTRANT * shapes.re_entrant + SHARP * shapes.sharp + NARROW * narrow + LONG * oblong)


def corner_angles(piece: shapely.Polygon) -> tuple[Floats, Floats]:
    """Corners of the rim of a polygon and the angle inside each.

    Returns
    -------
    corners, angles : (n, 2) array, (n,) array
        Angles from 0 to a full turn. [rad]
    """
    points = shapely.get_coordinates(shapely.orient_polygons(piece).exterior)[:-1]
    before, after = np.roll(points, 1, axis=0) - points, np.roll(points, -1, axis=0) - points
    angle = np.arctan2(after[:, 0] * before[:, 1] - after[:, 1] * before[:, 0], np.sum(before * after, axis=1))
    return points, angle % (2 * np.pi)


def _sharp_corners(region: shapely.Polygon, sharp_rad: float) -> Floats:
    """Places and angles of the region's own sharp corners, shape (n, 3)."""
    points, angle = corner_angles(region)
    sharp = angle < sharp_rad
    return np.column_stack([points[sharp], angle[sharp]])


@njit(cache=True)
def _measure(points: Floats, starts: NDArray[np.int64], own: Floats, sharp_rad: float) -> Floats:
    """Long, short, re-entrant, sharp, sharpest for each ring; the last point of a ring repeats its first."""
    out = np.zeros((len(starts) - 1, 5))
    for k in range(len(out)):
        ring = _bare(points[starts[k] : starts[k + 1] - 1])
        edges = np.roll(ring, -2) - ring
        length = np.sqrt(edges[:, 0] ** 2 + edges[:, 1] ** 2)
        bends = _bends(edges)
        chord = _chords(bends, length)
        out[k, 0], out[k, 1] = _sides(ring, edges, length, chord)
        area = np.sum(ring[:, 0] * edges[:, 1] - ring[:, 1] * edges[:, 0])
        out[k, 4] = np.pi
        for i in range(len(ring)):
            turn = (edges[i - 1, 0] * edges[i, 1] - edges[i - 1, 1] * edges[i, 0]) * np.sign(area)
            angle = np.pi - np.arctan2(turn, edges[i - 1, 0] * edges[i, 0] + edges[i - 1, 1] * edges[i, 1])
            if turn < 0:
                out[k, 2] += turn < -GENTLE * length[i - 1] * length[i]
            elif angle + _play(bends, chord, i) < sharp_rad - 1e-6:
                forced = False
                for c in range(len(own)):
                    at = np.hypot(own[c, 0] - ring[i, 0], own[c, 1] - ring[i, 1])
                    forced = forced or (at < _SAME and abs(own[c, 2] - angle) < 1e-3)
                if not forced:
                    out[k, 3] += 1
                    out[k, 4] = min(out[k, 4], angle)
    return out


@njit(cache=True)
def _bare(ring: Floats) -> Floats:
    """The corners of a ring at which it turns."""
    kept = np.ones(len(ring), dtype=np.bool_)
    for i in range(len(ring)):
        kept[i] = np.hypot(ring[i, 0] - ring[i - 1, 0], ring[i, 1] - ring[i - 1, 1]) > 1e-6
    apart = ring[kept]
    n = len(apart)
    edges = np.roll(apart, -2) - apart
    bends = _bends(edges)
    first = int(np.argmax(np.abs(bends)))
    turns = np.zeros(n, dtype=np.bool_)
    turned = 0.0
    for step in range(n):  # fine steps of a curve add up until they turn
        i = (first + step) % n
        turned += bends[i]
        if abs(turned) > _TURN:
            turns[i] = True
            turned = 0.0
    return apart[turns] if np.sum(turns) > 2 else apart


@njit(cache=True)
def _bends(edges: Floats) -> Floats:
    """Angle turned at the start of each edge of a ring, positive to the left. [rad]"""
    bends = np.zeros(len(edges))
    for i in range(len(edges)):
        a, b = edges[i - 1], edges[i]
        bends[i] = np.arctan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])
    return bends


@njit(cache=True)
def _chords(bends: Floats, length: Floats) -> NDArray[np.bool_]:
    """Edges that are steps of a curve: short ones that meet another at less than 15 degrees."""
    n = len(length)
    chord = np.zeros(n, dtype=np.bool_)
    for i in range(n):
        is_gentle = abs(bends[i]) < _GENTLE_RAD or abs(bends[(i + 1) % n]) < _GENTLE_RAD
        chord[i] = is_gentle and length[i] < _STEP * length.max()
    if np.sum(~chord) < 2:
        chord[:] = False
    return chord


@njit(cache=True)
def _play(bends: Floats, chord: NDArray[np.bool_], i: int) -> float:
    """How much blunter a curve may meet the corner at the start of an edge than its chord: half of what it turns at the next step."""
    n = len(bends)
    before = abs(bends[i - 1]) / 2 if chord[i - 1] and abs(bends[i - 1]) < _GENTLE_RAD else 0.0
    after = abs(bends[(i + 1) % n]) / 2 if chord[i] and abs(bends[(i + 1) % n]) < _GENTLE_RAD else 0.0
    return before + after


@njit(cache=True)
def _sides(ring: Floats, edges: Floats, length: Floats, chord: NDArray[np.bool_]) -> tuple[float, float]:
    """Sides of the smallest parallelogram round a ring that has one of its edges, and another of them or a right angle."""
    best, long, short = np.inf, 0.0, 0.0
    n = len(ring)
    for i in range(n):
        if chord[i]:
            continue
        u = edges[i] / length[i]
        for j in range(i, n):
            if chord[j]:
                continue
            v = edges[j] / length[j] if j > i else np.array([-u[1], u[0]])
            across = u[0] * v[1] - u[1] * v[0]
            if abs(across) < 0.7071:
                continue
            a, b = (ring[:, 0] * v[1] - ring[:, 1] * v[0]) / across, (u[0] * ring[:, 1] - u[1] * ring[:, 0]) / across
            one, other = a.max() - a.min(), b.max() - b.min()
            size = one * other * abs(across)
            if size < best * (1 - _TIE) or (
                size < best * (1 + _TIE) and (max(one, other) < long - 1e-6 or (max(one, other) < long + 1e-6 and min(one, other) > short))
            ):
                best, long, short = min(size, best), max(one, other), min(one, other)
    return long, short
