"""Fewest shifts: identities of the parallelogram, brute force over subsets, and refusals."""

import math
from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import linprog

from slabwright.errors import Infeasible
from slabwright.solvers.least_moves import EqualCheck, LengthCheck, PlaceCheck, least_moves, misses
from slabwright.sources import arithmetic

INCH = 1 / 12
ALL = np.ones(4, dtype=bool)


def rectangle_checks(length, width, tolerance, square):
    sides = [(0, 1, length), (1, 2, width), (2, 3, length), (3, 0, width)]
    checks = [LengthCheck(first=i, second=j, target=target, tolerance=tolerance) for i, j, target in sides]
    return [*checks, EqualCheck(first=(0, 2), second=(1, 3), tolerance=square)]


def parallelogram(length, width, rack):
    rise = math.sqrt(width**2 - rack**2)
    return np.array([[0.0, 0.0], [length, 0.0], [length + rack, rise], [rack, rise]])


@pytest.mark.published(arithmetic("rack of a parallelogram, (d1² - d2²) / 4a"))
def test_a_racked_rectangle_is_slid_back_by_its_rack():
    """40 x 24 ft, diagonals 46.679 and 46.6165 ft: one long side is moved 0.4373 in. along itself."""
    rack = (46.679**2 - 46.6165**2) / (4 * 40)
    points = parallelogram(40.0, 24.0, rack)
    assert pytest.approx([46.679, 46.6165], abs=2e-4) == [math.dist(points[0], points[2]), math.dist(points[1], points[3])]

    shift = least_moves(points, rectangle_checks(40, 24, INCH / 8, INCH / 4), movable=ALL, reach=0.5)
    touched = np.abs(shift).max(axis=1) > 1e-6
    assert [True, True] == list(touched[touched])
    assert set(np.flatnonzero(touched)) in ({0, 1}, {2, 3})
    assert pytest.approx([0.4373, 0.4373], abs=0.001) == 12 * np.abs(shift[touched, 0])


def test_one_stray_corner_is_put_back_where_it_belongs():
    points = np.array([[0.0, 0.0], [30.0, 0.0], [30.05, 35.94], [0.0, 36.0]])
    shift = least_moves(points, rectangle_checks(30, 36, INCH / 8, INCH / 4), movable=ALL, reach=0.5)

    assert np.allclose([[0, 0], [0, 0], [-0.05, 0.06], [0, 0]], shift, atol=1e-6)


def test_a_figure_within_tolerance_is_left_alone():
    points = parallelogram(30.0, 36.0, 0.004)
    assert np.allclose(0.0, least_moves(points, rectangle_checks(30, 36, INCH / 8, INCH / 4), movable=ALL, reach=0.5))


def test_held_corners_stay():
    points = np.array([[0.0, 0.0], [30.0, 0.0], [30.05, 35.94], [0.0, 36.0]])
    movable = np.array([True, True, False, True])
    checks = rectangle_checks(30, 36, INCH / 8, INCH / 4)
    shift = least_moves(points, checks, movable=movable, reach=0.5)

    assert np.allclose(0.0, shift[2])
    assert np.abs(misses(points + shift, checks)).max() <= 1.0


def test_a_place_ties_the_figure_to_the_boundary():
    points = parallelogram(30.0, 36.0, 0.0) + np.array([0.2, 0.0])
    checks = [*rectangle_checks(30, 36, INCH / 8, INCH / 4), PlaceCheck(point=0, target=(0.0, 0.0), tolerance=INCH / 4)]
    shift = least_moves(points, checks, movable=ALL, reach=0.5)

    assert np.abs(misses(points + shift, checks)).max() <= 1.0
    assert pytest.approx(0.0, abs=INCH / 4) == (points + shift)[0, 0]


def _fewest_by_trying(points, checks, reach):
    """Smallest subset of corners that can meet the linear checks, by a linear program for every subset (SciPy)."""
    for size in range(len(points) + 1):
        for subset in combinations(range(len(points)), size):
            rows, limits = [], []
            for check in checks:
                pairs = [(check.first, check.second)] if isinstance(check, LengthCheck) else [check.first, check.second]
                row, value = np.zeros((len(points), 2)), -check.target if isinstance(check, LengthCheck) else 0.0
                for sign, (i, j) in zip((1.0, -1.0), pairs, strict=False):
                    along = points[j] - points[i]
                    value += sign * np.hypot(*along)
                    row[j] += sign * along / np.hypot(*along)
                    row[i] -= sign * along / np.hypot(*along)
                rows += [row.ravel(), -row.ravel()]
                limits += [check.tolerance - value, check.tolerance + value]
            bounds = [(-reach, reach) if number // 2 in subset else (0.0, 0.0) for number in range(2 * len(points))]
            if linprog(np.zeros(2 * len(points)), A_ub=np.array(rows), b_ub=limits, bounds=bounds).status == 0:
                return size
    return None


@pytest.mark.parametrize("seed", range(12))
def test_no_smaller_set_of_stakes_would_do(seed):
    rng = np.random.default_rng(seed)
    points = np.array([[0, 0], [12.0, 0], [12, 5], [7, 5], [7, 9], [0, 9]]) + rng.normal(0, 0.012, (6, 2))
    design = [(0, 1, 12.0), (1, 2, 5.0), (2, 3, 5.0), (3, 4, 4.0), (4, 5, 7.0), (5, 0, 9.0), (0, 2, 13.0), (0, 4, math.hypot(7, 9))]
    checks = [LengthCheck(first=i, second=j, target=target, tolerance=0.004) for i, j, target in design]
    shift = least_moves(points, checks, movable=np.ones(6, dtype=bool), reach=0.2)

    assert _fewest_by_trying(points, checks, 0.2) == int((np.abs(shift).max(axis=1) > 1e-7).sum())
    assert np.abs(misses(points + shift, checks)).max() <= 1.0


def test_no_answer_is_said_to_be_none():
    points = parallelogram(30.0, 36.0, 0.0)
    with pytest.raises(Infeasible):
        least_moves(points, rectangle_checks(40, 36, INCH / 8, INCH / 4), movable=ALL, reach=0.5)
