"""Gridding of scans: counts by hand, agreement with NumPy's histogram, and cleaning of planted objects and strays."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.errors import OutOfRange
from slabwright.solvers.scan_grid import Frame, ScanGrid

CLEANING = {"thickness": 0.016, "object_size": 0.6, "object_height": 0.025}


def frame(width=6.0, height=4.0, cell=0.1, layer=0.004):
    return Frame.over((0.0, 0.0), (width, height), cell=cell, z_low=-0.5, z_high=0.5, layer=layer)


def scanned(x, y, z, over=None, blocks=1):
    grid = ScanGrid(over or frame())
    for part in np.array_split(np.arange(len(x)), blocks):
        grid.add(x[part], y[part], z[part])
    return grid


def ground_scan(rng, n=240_000, noise=0.003):
    x, y = rng.uniform(0, 6, n), rng.uniform(0, 4, n)
    return x, y, surface(x, y) + rng.normal(0, noise, n)


def surface(x, y):
    return -0.15 + 0.006 * np.sin(x / 1.5) + 0.01 * y / 4


def test_counts_and_mean_of_a_handful_by_hand():
    """Two cells of 1 m: three points about -0.100 and four about -0.200; one outside, one too high, one too low."""
    over = Frame.over((0.0, 0.0), (2.0, 1.0), cell=1.0, z_low=-0.5, z_high=0.5, layer=0.01)
    x = np.array([0.2, 0.5, 0.7, 1.2, 1.3, 1.6, 1.9, 2.5, 0.5, 0.5])
    z = np.array([-0.101, -0.100, -0.099, -0.202, -0.200, -0.199, -0.199, 0.0, 0.7, -0.6])
    ground = scanned(x, np.full(10, 0.5), z, over).ground(thickness=0.03, object_size=0.5, object_height=0.5)

    assert pytest.approx([-0.100, -0.200], abs=1e-6) == ground.height[0]
    assert [3, 4] == list(ground.n_points[0])
    assert (1, 1, 1) == (ground.n_outside, ground.n_low, ground.n_high)


def test_clean_ground_agrees_with_numpys_histogram_means():
    """With a window wider than the noise the cell means are those of histogram2d, to single precision of the sums."""
    x, y, z = ground_scan(np.random.default_rng(1))
    grid = scanned(x, y, z)
    ground = grid.ground(thickness=0.06, object_size=0.6, object_height=0.5)
    bins, span = (40, 60), ((0, 4), (0, 6))
    count, *_ = np.histogram2d(y, x, bins=bins, range=span)
    total, *_ = np.histogram2d(y, x, bins=bins, range=span, weights=z)

    assert np.array_equal(count.astype(int), ground.n_points)
    assert np.allclose(total / count, ground.height, atol=1e-5)
    assert np.abs(ground.height - surface(*np.meshgrid(*ground.frame.centres()))).max() < 0.002
    assert pytest.approx(0.003, rel=0.05) == np.median(ground.scatter)


def test_blocks_make_no_difference():
    x, y, z = ground_scan(np.random.default_rng(2), 30_000)
    whole, parts = (scanned(x, y, z, blocks=n).ground(**CLEANING) for n in (1, 7))

    assert np.allclose(whole.height, parts.height, equal_nan=True, atol=1e-7)
    assert np.array_equal(whole.n_points, parts.n_points)


def test_boots_boards_and_strays_are_not_ground():
    """A board 0.4 x 0.3 m hides the ground, a man stands in a circle, one return in 500 comes from below."""
    rng = np.random.default_rng(3)
    x, y, z = ground_scan(rng)
    board = (np.abs(x - 2.0) < 0.2) & (np.abs(y - 1.0) < 0.15)
    z[board] = -0.11 + rng.normal(0, 0.002, board.sum())
    man = (np.hypot(x - 4.0, y - 3.0) < 0.2) & (rng.random(len(x)) < 0.6)
    z[man] += rng.uniform(0.05, 0.6, man.sum())
    stray = rng.random(len(x)) < 0.002
    z[stray] -= rng.uniform(0.05, 0.2, stray.sum())
    ground = scanned(x, y, z).ground(**CLEANING)

    error = ground.height - surface(*np.meshgrid(*ground.frame.centres()))
    assert np.nanmax(np.abs(error)) < 0.006
    assert np.nanstd(error) < 0.0006
    row, column = np.nonzero(ground.standing)
    assert 8 <= len(row) <= 40
    assert set(column) <= set(range(17, 23))
    assert set(row) <= set(range(8, 12))
    assert pytest.approx(0.04, abs=0.012) == np.median(ground.proud[ground.standing])


def test_a_slope_and_a_broad_rise_are_kept():
    """A 2 % slope and a hump of 15 mm over 2 m are the base, not objects."""
    rng = np.random.default_rng(4)
    x, y = rng.uniform(0, 6, 120_000), rng.uniform(0, 4, 120_000)
    z = -0.2 + 0.02 * x + 0.015 * np.exp(-((x - 3) ** 2 + (y - 2) ** 2) / 0.8) + rng.normal(0, 0.002, 120_000)
    ground = scanned(x, y, z).ground(**CLEANING)

    assert not ground.standing.any()
    assert not np.isnan(ground.height).any()


@given(seed=st.integers(0, 1000), n=st.integers(1, 400))
@settings(max_examples=30, deadline=None)
def test_every_point_is_accounted_for(seed, n):
    rng = np.random.default_rng(seed)
    x, y, z = rng.uniform(-1, 7, n), rng.uniform(-1, 5, n), rng.normal(-0.15, 0.3, n)
    z[rng.random(n) < 0.02] = np.nan
    grid = scanned(x, y, z, frame(cell=1.0))
    assert n == grid.n_seen
    try:
        ground = grid.ground(**CLEANING)
    except OutOfRange:
        return
    counted = ground.n_points.sum() + ground.n_outside + ground.n_low + ground.n_high + ground.n_above_ground + ground.n_below_ground
    assert n == counted


def test_a_great_grid_gets_larger_cells_not_more_memory():
    great = Frame.over((0.0, 0.0), (60.0, 60.0), cell=0.05, z_low=-1.0, z_high=1.0, layer=0.002)

    assert 0.99 * 24_000_000 < great.n_x * great.n_y * great.n_layers < 1.01 * 24_000_000


def test_an_empty_plan_is_refused():
    with pytest.raises(OutOfRange, match="units and axes"):
        scanned(np.array([100.0]), np.array([100.0]), np.array([0.0])).ground(**CLEANING)
