"""The edge's section beside the floor it belongs to."""

import numpy as np
import pytest

from slabwright.early_age.concrete import concrete_of
from slabwright.early_age.drivers import drivers
from slabwright.early_age.edge_section import edge_section
from slabwright.early_age.simulate import BARE, COMPOUND_AT_SET
from slabwright.early_age.zones import bare_ground
from slabwright.model.concrete import Edge
from tests.early_age.days import BASE, COLD, MILD, MIX, PLACE, SOIL, floor, run

EDGE = Edge(depth_m=0.508, width_m=0.3048, run=1.0, top_above_grade_m=0.2)


def section(weather, hour, temp):
    air = drivers(weather, PLACE)
    history = run(weather, hour, temp)
    concrete, _ = concrete_of(MIX)
    return edge_section(EDGE, 0.127, concrete, air, bare_ground(air, SOIL, BASE), SOIL, BASE, history, (BARE, COMPOUND_AT_SET)), history


def test_far_from_the_edge_the_section_is_the_floor():
    """Mid-depth at the inner end against the chain of nodes: within 0.6 K at every hour of two days (half-hour steps)."""
    found, history = section(MILD, 8.0, 20.0)
    mid = found.run.temps_c[:, 3, -1]
    chain = np.interp(found.run.times_s / 3600, history.times_h, history.middle_c[0])

    assert np.abs(mid - chain).max() < 0.6
    assert found.run.balance.gap < 1e-4


def test_the_rim_lies_between_the_floor_and_a_slab_as_deep_as_itself():
    """Its core is warmer than the floor and cooler than an endless slab of its depth, which loses nothing sideways."""
    found, history = section(MILD, 8.0, 20.0)
    endless = run(MILD, 8.0, 20.0, zone=floor(0.508))

    assert history.middle_c.max() + 2.0 < found.hottest_c < endless.middle_c.max()
    assert 5.0 < found.hottest_h < 30.0
    assert found.largest_difference_k > 5.0


def test_the_corner_loses_on_two_faces():
    """In the cold it falls lower than the surface over the rim's core, a foot further in."""
    found, _ = section(COLD, 10.0, 17.0)
    inward = int(np.searchsorted(found.section.x_m, 0.3048))

    assert found.corner_c < found.run.temps_c[:, 0, inward].min() - 0.3


def test_the_section_holds_the_concrete_the_drawing_does():
    """12 in. wide at the bottom, 45 degrees inside, 20 in. deep: area of the rim and floor by hand within 3 %."""
    found, _ = section(MILD, 8.0, 20.0)
    dx, dy = np.diff(found.section.x_m), np.diff(found.section.y_m)
    inside = found.section.x_m[-1]
    by_hand = 0.127 * inside + 0.3048 * (0.508 - 0.127) + 0.5 * (0.508 - 0.127) ** 2

    assert pytest.approx(by_hand, rel=0.03) == float((found.concrete * dy[:, None] * dx[None, :]).sum())
