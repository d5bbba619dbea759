"""Thickness at points: read off by hand, against Monte-Carlo sums, and the same as the pieces of the soffit say."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings

from slabwright.geometry.overlay import as_array, shared
from slabwright.model.concrete import PadShape
from tests.geometry.shapes import Edge, Floor, Foundation, Strip, pad, rectangle
from tests.strategies import slabs

HOLE = ((4.0, 4.0), (5.0, 4.0), (5.0, 5.0), (4.0, 5.0))
YARD = Foundation.of(
    Floor(outline=rectangle(12.0, 9.0), thickness_m=0.1, block_outs=(HOLE,)),
    Edge(depth_m=0.5, width_m=0.3, run=1.0, top_above_grade_m=0.2),
    [Strip(name="S1", line=((6.0, 1.0), (6.0, 8.0)), width_m=0.4, depth_m=0.3, run=0.5)],
    [pad(9.0, 4.0, 1.0, 0.6, run=1.0), pad(12.0, 4.0, 0.8, 0.7, name="P2")],
)


@pytest.mark.parametrize(
    ("place", "expected_m", "name"),
    [
        ((2.0, 4.0), 0.1, "floor"),
        ((2.0, 0.1), 0.5, "edge"),
        ((2.0, 0.5), 0.3, "edge"),
        ((0.5, 0.4), 0.4, "edge"),
        ((6.1, 4.0), 0.3, "S1"),
        ((6.25, 4.0), 0.2, "S1"),
        ((9.0, 4.2), 0.6, "P1"),
        ((9.0, 4.7), 0.4, "P1"),
        ((9.7, 4.8), 0.3, "P1"),
        ((11.9, 4.0), 0.7, "P2"),
        ((12.2, 4.0), 0.5, "P2"),
    ],
)
def test_thickness_read_off_by_hand(place, expected_m, name):
    """Level bottoms; then one step down the slope from each; corners by the nearer side; outside counted from grade, 0.2 m down."""
    assert pytest.approx(expected_m, abs=1e-12) == YARD.thickness_m([place])[0]
    assert name == YARD.parts[YARD.part_at([place])[0]].name


@pytest.mark.parametrize("place", [(4.5, 4.5), (-0.1, 3.0), (13.0, 4.0), (6.0, 100.0), (float("nan"), 1.0)])
def test_there_is_nothing_in_a_block_out_or_off_the_slab(place):
    assert 0.0 == YARD.thickness_m([place])[0]
    assert -1 == YARD.part_at([place])[0]


def test_no_points_give_no_thickness():
    assert (0,) == YARD.thickness_m(np.zeros((0, 2))).shape


def monte_carlo_m3(foundation, n, seed):
    """Mean thickness times area, and its standard error."""
    low_x, low_y, high_x, high_y = foundation.outline.buffer(1.5).bounds
    points = np.random.default_rng(seed).uniform((low_x, low_y), (high_x, high_y), (n, 2))
    thickness = foundation.thickness_m(points)
    area = (high_x - low_x) * (high_y - low_y)
    return float(thickness.mean() * area), float(thickness.std() / np.sqrt(n) * area)


def test_volume_agrees_with_monte_carlo():
    """A million random points: within four standard errors, which are 0.1 % of the volume."""
    volume, error = monte_carlo_m3(YARD, 1_000_000, seed=1)

    assert 0.002 * volume > error
    assert abs(volume - YARD.volumes().total_m3) < 4 * error


@settings(max_examples=20, deadline=None)
@given(slabs())
def test_volume_agrees_with_monte_carlo_on_any_shape(job):
    """The field is made of the parts as they are, the volume of the pieces they leave each other: two ways to one figure."""
    foundation = Foundation.of(*job)
    volume, error = monte_carlo_m3(foundation, 40_000, seed=2)

    assert abs(volume - foundation.volumes().total_m3) < 6 * error


@settings(max_examples=20, deadline=None)
@given(slabs())
def test_pieces_of_the_soffit_cover_the_floor_once(job):
    soffit = Foundation.of(*job).soffit
    tree_pairs = soffit.tree.query(soffit.pieces, predicate="intersects").T
    pairs = tree_pairs[tree_pairs[:, 0] < tree_pairs[:, 1]]
    overlap, _ = shared(soffit.pieces[pairs[:, 0]], soffit.pieces[pairs[:, 1]])

    assert pytest.approx(Foundation.of(job[0]).region.area, rel=1e-11) == soffit.areas_m2().sum()
    assert 1e-9 > sum(piece.area for piece in overlap)


def test_two_pieces_that_differ_in_the_last_digit_share_nothing():
    """Two quadrilaterals side by side whose shared side differs in one bit; plain floating-point overlay finds 0.019 m² there."""
    digits = float.fromhex
    edge = [(digits("0x1.77f78f3abd49cp+1"), digits("-0x1.7fa3cc4354c40p-5"))]
    one = [
        *edge,
        (digits("0x1.a425ae5f44987p+1"), digits("0x1.6ee8ad323e058p-5")),
        (digits("0x1.a7c89ac3df63fp+1"), digits("0x1.6b75764d2b436p-6")),
        (digits("0x1.af02f743d8307p+1"), digits("-0x1.18dc64d79d7b6p-5")),
        (digits("0x1.a6d6934fadd40p+1"), digits("-0x1.7fa3cc4354c40p-5")),
    ]
    other = [
        (digits("0x1.5ba8bdca4788ep+1"), digits("-0x1.7fa3cc4354c40p-5")),
        (digits("0x1.9866d26bb1ce0p+1"), digits("0x1.ceee1d2889b7dp-4")),
        (digits("0x1.a425ae5f44987p+1"), digits("0x1.6ee8ad323e057p-5")),
        *edge,
    ]
    pieces, _ = shared(as_array([shapely.Polygon(one)]), shapely.Polygon(other))

    assert 0 == len(pieces)


def test_a_round_pad_is_as_deep_on_every_side():
    foundation = Foundation.of(
        Floor(outline=rectangle(6.0, 6.0), thickness_m=0.1), pads=[pad(3.0, 3.0, 1.0, 0.6, run=1.0, shape=PadShape.CIRCLE)]
    )
    turn = np.linspace(0, 2 * np.pi, 97)
    ring = 3.0 + np.column_stack([np.cos(turn), np.sin(turn)]) * 0.7

    assert np.ptp(foundation.thickness_m(ring)) < 0.002
    assert pytest.approx(0.4, abs=0.002) == foundation.thickness_m(ring).mean()
