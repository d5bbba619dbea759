"""Contact areas, form faces, digging and the reckoning by rectangles, against hand figures."""

import math
from dataclasses import replace

import pytest

from slabwright.errors import GeometryError
from slabwright.geometry.takeoff import contact_areas, form_faces, rectangle_only, upright_m2
from slabwright.model.concrete import Fall, PadShape
from tests.geometry.shapes import Edge, Floor, Foundation, Strip, pad, rectangle

FLOOR = Floor(outline=rectangle(10.0, 8.0), thickness_m=0.1)
EDGE = Edge(depth_m=0.5, width_m=0.3, run=1.0, top_above_grade_m=0.2)


def test_contact_areas_of_edge_and_floor():
    """Level bottom 36 x 0.3 less four corners; slope 0.4 across, root two along it; the rest is floor."""
    slab, edge = contact_areas(Foundation.of(FLOOR, EDGE))
    bottom = 36 * 0.3 - 4 * 0.3**2
    plan_of_slope = 36 * 0.7 - 4 * 0.7**2 - bottom

    assert pytest.approx(bottom, rel=1e-9) == edge.level_m2
    assert pytest.approx(plan_of_slope * math.sqrt(2), rel=1e-9) == edge.sloped_m2
    assert pytest.approx(80 - bottom - plan_of_slope, rel=1e-9) == slab.level_m2
    assert 0.0 == slab.sloped_m2


def test_upright_faces_cut_in_the_ground():
    """A pad 1 m square and 0.6 deep with upright sides in the open floor, and one in a straight edge: sides below what surrounds them."""
    alone = Foundation.of(FLOOR, pads=[pad(5.0, 4.0, 1.0, 0.6)])
    in_edge = Foundation.of(FLOOR, replace(EDGE, run=0.0), pads=[pad(5.0, 0.5, 1.0, 0.7)])

    assert pytest.approx(4 * 0.5, rel=1e-9) == upright_m2(alone)
    edge_face = (10 - 0.6 + 8 - 0.6) * 2 * 0.4 - 1.0 * 0.4
    assert pytest.approx(edge_face + 2 * (0.3 * 0.2 + 0.7 * 0.6) + 1.0 * 0.6, rel=1e-9) == upright_m2(in_edge)


def test_forms_stand_as_high_as_the_concrete_at_the_face():
    faces = form_faces(Foundation.of(FLOOR, EDGE, pads=[pad(5.0, 0.5, 1.0, 0.7)]))

    assert pytest.approx(36.0) == sum(face.length_m for face in faces)
    assert pytest.approx(36 * 0.5 + 1.0 * 0.2, rel=1e-5) == sum(face.area_m2 for face in faces)
    assert {0.5, 0.7} == {round(face.start_height_m, 6) for face in faces}


def test_where_concrete_stands_outside_the_form_ends_on_it():
    """A pad half outside: over its 1 m the form is only as high as the floor is above the concrete there."""
    faces = form_faces(Foundation.of(FLOOR, EDGE, pads=[pad(5.0, 0.0, 1.0, 0.9)]))
    low = [face for face in faces if face.start_height_m < 0.3]

    assert pytest.approx(1.0, abs=1e-5) == sum(face.length_m for face in low)
    assert pytest.approx(0.2) == low[0].start_height_m


def test_block_outs_are_formed_all_round():
    floor = replace(FLOOR, block_outs=(((4.0, 3.0), (4.0, 4.0), (5.0, 4.0), (5.0, 3.0)),))
    inner = [face for face in form_faces(Foundation.of(floor, EDGE)) if face.block_out]

    assert pytest.approx(4.0) == sum(face.length_m for face in inner)
    assert pytest.approx(0.4) == sum(face.area_m2 for face in inner)


def test_a_form_follows_a_floor_whose_base_was_left_level():
    """Falling 1:50 along the long side to one end: 0.1 high there, 0.3 at the other."""
    floor = replace(FLOOR, falls=(Fall(slope=0.02, to=((0.0, 0.0), (0.0, 8.0))),), base_parallel=False)
    south = next(face for face in form_faces(Foundation.of(floor)) if face.start[1] == face.end[1] == 0.0)

    assert pytest.approx((0.1, 0.3), abs=1e-6) == (south.start_height_m, south.end_height_m)


def test_concrete_below_a_level():
    """Upright edge 0.3 wide, 0.4 below the floor: what lies more than 0.15 below has 0.25 of that."""
    slab = Foundation.of(FLOOR, replace(EDGE, run=0.0))
    ring = 36 * 0.3 - 4 * 0.3**2

    assert pytest.approx(ring * 0.4, rel=1e-9) == slab.below_m3(0.0)
    assert pytest.approx(ring * 0.25, rel=1e-9) == slab.below_m3(0.15)
    assert 0.0 == slab.below_m3(0.5)


def test_concrete_below_a_level_follows_the_slope():
    """45 degrees: 0.15 below the floor the edge is wider by what is left of the slope; mitred ring of B = 0.3, r = 0.25, e = 0.25."""
    b, r, e = 0.3, 0.25, 0.25
    ring = e * (36 * (b + r / 2) - 4 * (b * b + b * r + r * r / 3))

    assert pytest.approx(ring, rel=1e-9) == Foundation.of(FLOOR, EDGE).below_m3(0.15)


def test_reckoning_by_rectangles():
    """Form line times width times depth; pads straight down, round ones as circles; strips by their length."""
    strip = Strip(name="S1", line=((2.0, 2.0), (5.0, 2.0), (5.0, 6.0)), width_m=0.4, depth_m=0.3)
    pads = [pad(3.0, 4.0, 1.0, 0.6, run=1.0), pad(8.0, 4.0, 1.0, 0.6, name="P2", shape=PadShape.CIRCLE)]
    plain = rectangle_only(Foundation.of(FLOOR, EDGE, [strip], pads))

    assert pytest.approx(36 * 0.3 * 0.4) == plain.edge_m3
    assert pytest.approx(7.0 * 0.4 * 0.2) == plain.strips_m3
    assert pytest.approx((1 + math.pi / 4) * 0.5) == plain.pads_m3
    assert pytest.approx(8.0 + plain.edge_m3 + plain.strips_m3 + plain.pads_m3) == plain.total_m3


@pytest.mark.parametrize(
    ("floor", "words"),
    [
        (replace(FLOOR, outline=((0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0))), "may not cross"),
        (replace(FLOOR, outline=((0.0, 0.0), (1.0, 0.0))), "three or more"),
        (replace(FLOOR, outline=((0.0, 0.0), (1.0, 0.0), (2.0, 0.0))), "no area|may not cross"),
        (replace(FLOOR, outline=((0.0, 0.0), (float("inf"), 0.0), (2.0, 1.0))), "no number"),
        (replace(FLOOR, block_outs=(((-1.0, -1.0), (11.0, -1.0), (11.0, 9.0), (-1.0, 9.0)),)), "leave nothing"),
        (replace(FLOOR, thickness_m=0.0), "above nought"),
        (replace(FLOOR, outline=tuple((float(k), float(k % 2)) for k in range(2001))), "2,001 corners"),
        (replace(FLOOR, falls=(Fall(slope=0.01, to=((0.0, 0.0), (5.0, 0.0), (5.0, 5.0))),), base_parallel=False), "one straight line"),
    ],
)
def test_shapes_that_cannot_be_built_say_why(floor, words):
    with pytest.raises(GeometryError, match=words):
        Foundation.of(floor)


def test_a_pad_beside_the_floor_is_refused():
    with pytest.raises(GeometryError, match="pad P1 has nothing under the floor"):
        Foundation.of(FLOOR, pads=[pad(20.0, 4.0, 1.0, 0.6)])


def test_an_edge_without_width_is_refused():
    with pytest.raises(GeometryError, match="the edge has nothing under the floor"):
        Foundation.of(FLOOR, replace(EDGE, width_m=0.0))


def test_falls_lower_the_top_towards_the_drain():
    """1:80 to a channel in the middle of 13 m: 81 mm over half the width."""
    floor = Floor(outline=rectangle(31.0, 13.0), thickness_m=0.15, falls=(Fall(slope=1 / 80, to=((5.2, 6.5), (25.8, 6.5))),))
    slab = Foundation.of(floor)

    assert pytest.approx([0.0, 0.08125, 0.08125, 0.040625]) == slab.drop_m([(15.0, 0.0), (15.0, 6.5), (1.0, 6.5), (15.0, 9.75)]).tolist()
    assert pytest.approx(0.15) == slab.thickness_m([(15.0, 6.5)])[0]
