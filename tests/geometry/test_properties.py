"""What must hold for any slab: moving, turning and unit families change nothing; parts sum to the whole; more never means thinner."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.units import FOOT_M
from tests.geometry.shapes import Foundation, PartKind
from tests.strategies import pads_on, slabs

few = settings(max_examples=20, deadline=None)


def moved(job, place):
    """The job with every plan point sent elsewhere."""
    floor, edge, lines, bases = job
    return (
        replace(floor, outline=tuple(map(place, floor.outline))),
        edge,
        [replace(line, line=tuple(map(place, line.line))) for line in lines],
        [replace(base, at=place(base.at)) for base in bases],
    )


def turned(job, angle):
    c, s = math.cos(angle), math.sin(angle)
    floor, edge, lines, bases = moved(job, lambda p: (c * p[0] - s * p[1], s * p[0] + c * p[1]))
    return floor, edge, lines, [replace(base, rotation_rad=base.rotation_rad + angle) for base in bases]


def scaled(job, factor):
    """Every length times a factor."""
    floor, edge, lines, bases = moved(job, lambda p: (factor * p[0], factor * p[1]))
    return (
        replace(floor, thickness_m=factor * floor.thickness_m),
        replace(edge, depth_m=factor * edge.depth_m, width_m=factor * edge.width_m, top_above_grade_m=factor * edge.top_above_grade_m),
        [replace(line, width_m=factor * line.width_m, depth_m=factor * line.depth_m) for line in lines],
        [replace(b, size_x_m=factor * b.size_x_m, size_y_m=factor * b.size_y_m, depth_m=factor * b.depth_m) for b in bases],
    )


def volumes(job):
    return [one.inside_m3 + one.outside_m3 for one in Foundation.of(*job).volumes().parts]


@few
@given(slabs(), st.tuples(st.floats(-300, 300), st.floats(-300, 300)))
def test_moving_the_slab_changes_no_volume(job, by):
    there = moved(job, lambda p: (p[0] + by[0], p[1] + by[1]))

    assert pytest.approx(volumes(job), rel=1e-9, abs=1e-9) == volumes(there)


@few
@given(slabs(), st.floats(0.0, 6.3))
def test_turning_the_slab_changes_no_volume(job, angle):
    assert pytest.approx(volumes(job), rel=1e-9, abs=1e-9) == volumes(turned(job, angle))


@few
@given(slabs())
def test_a_slab_drawn_in_feet_holds_the_same_as_in_metres(job):
    """The same numbers read as feet: every volume is smaller by the cube of the foot."""
    assert pytest.approx(np.array(volumes(job)) * FOOT_M**3, rel=1e-9, abs=1e-9) == volumes(scaled(job, FOOT_M))


@few
@given(slabs(), st.data())
def test_adding_a_pad_never_thins_the_concrete_anywhere(job, data):
    floor, edge, lines, bases = job
    one = data.draw(pads_on(floor.outline, "P9"))
    before, after = Foundation.of(floor, edge, lines, bases), Foundation.of(floor, edge, lines, [*bases, one])
    points = np.random.default_rng(3).uniform((-15, -15), (30, 30), (4000, 2))

    assert (after.thickness_m(points) >= before.thickness_m(points) - 1e-12).all()
    assert after.volumes().total_m3 >= before.volumes().total_m3 - 1e-9


@few
@given(slabs())
def test_parts_sum_to_the_whole(job):
    """By part as let down one after the other; all pieces of the final soffit; the closed body."""
    foundation = Foundation.of(*job)
    within, beyond = foundation.soffit, foundation.outside
    thickness = replace(within, roofs=np.zeros_like(within.roofs))
    whole = thickness.volume_m3() + beyond.volume_m3()
    by_kind = sum(foundation.volumes().of_kind_m3(kind) for kind in PartKind) + foundation.volumes().outside_m3

    assert pytest.approx(whole, rel=1e-9) == foundation.volumes().total_m3 == pytest.approx(by_kind, rel=1e-12)
    assert pytest.approx(whole, rel=1e-9) == foundation.solid().volume()


@few
@given(slabs())
def test_a_part_is_deepest_only_within_its_skirt(job):
    foundation = Foundation.of(*job)
    points = np.random.default_rng(4).uniform((-15, -15), (30, 30), (2000, 2))
    deepest = foundation.part_at(points)
    for number, part in enumerate(foundation.parts[1:], start=1):
        mine = points[deepest == number]
        room = shapely.union(part.skirt, part.bottom).buffer(1e-6)
        assert shapely.intersects_xy(room, mine[:, 0], mine[:, 1]).all()


@few
@given(slabs())
def test_an_edge_reaches_in_no_further_than_its_mitres(job):
    """At the sharpest inside corner that is mitred, twice its width and slope; elsewhere less."""
    floor, edge, _, _ = job
    foundation = Foundation.of(floor, edge)
    reach = edge.width_m + edge.run * (edge.depth_m - floor.thickness_m)
    band = foundation.outline.exterior.buffer(2.0 * reach + 1e-6)

    assert foundation.parts[1].skirt.within(band)
    assert foundation.parts[1].bottom.within(foundation.outline.exterior.buffer(2.0 * edge.width_m + 1e-6))
