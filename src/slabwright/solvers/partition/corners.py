"""Corners at which a region spans more than half a turn."""

from collections.abc import Iterator

import numpy as np
import shapely

from slabwright.solvers.partition.layout import Floats

STRAIGHT, GENTLE = 0.05, 0.26
"""Sine of the turn below which a corner counts as straight, and as a step of a curve: 3 and 15 degrees."""


def sides_apart(
    ring: Floats, size: float
) -> "tuple[np.ndarray[tuple[int], np.dtype[np.bool_]], np.ndarray[tuple[int], np.dtype[np.bool_]]]":
    """Which corners of a ring are corners to a builder, and which sides are sides, not steps of a curve.

    Parameters
    ----------
    ring : (n, 2) array
        The first not repeated.
    size : float
        A side of half this length is no step.

    Returns
    -------
    corners, sides : (n,) arrays of bool
        The side of a number begins at the corner of that number. Where a curve begins is a corner.
    """
    after = np.roll(ring, -1, axis=0) - ring
    before = np.roll(after, 1, axis=0)
    length = np.hypot(*after.T)
    turn = np.abs(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0])
    is_gentle = turn < GENTLE * length * np.roll(length, 1)
    steps = (is_gentle | np.roll(is_gentle, -1)) & (length < size / 2)
    return ~(is_gentle & steps & np.roll(steps, 1)), ~steps


def re_entrant(ring: shapely.LinearRing, *, is_hole: bool = False, least_turn: float = GENTLE) -> Iterator[tuple[Floats, Floats, Floats]]:
    """Each such corner of one ring of a region, and where its two sides lead when carried on into the region.

    Parameters
    ----------
    ring : shapely.LinearRing
    is_hole : bool
        True where the region lies outside the ring.
    least_turn : float
        Sine of the turn below which it is no corner.

    Yields
    ------
    corner, onward, backward : (2,) array
        The last two are unit vectors; their sum is the direction of the bisector.
    """
    points = shapely.get_coordinates(ring)[:-1]
    if ring.is_ccw is is_hole:
        points = points[::-1]
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    sides, next_sides = np.hypot(*before.T), np.hypot(*after.T)
    for k in np.nonzero(turn < -least_turn * sides * next_sides)[0]:
        yield points[k], before[k] / sides[k], -after[k] / next_sides[k]
