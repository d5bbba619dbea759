"""Volumes against closed forms, each worked twice: by the plane pieces of the soffit and by the closed body.

The formulas are elementary geometry; where a published example is the source it is named.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from slabwright.geometry.blocks import CIRCLE_SIDES
from slabwright.model.concrete import Fall, PadShape, ThicknessRegion
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M
from tests.geometry.shapes import FT3_M3, Edge, Floor, Foundation, PartKind, Strip, below_floor_m3, feet, pad, rectangle

MITRED_EDGE = arithmetic("V = e [P (B + r/2) - K (B² + B r + r²/3)], K = sum of cot(theta/2) over the inside corners")
FRUSTUM = arithmetic("V = h/3 (A1 + A2 + sqrt(A1 A2))")
TUTORIAL = Source("slab tutorial", "Trade tutorial on figuring concrete for a monolithic house slab")
SLAB_TUTORIAL = Clause(TUTORIAL, "worked example", Basis.QUOTED)
EXACT = 1e-9


def agree(expected_m3, foundation, *, of=None):
    """The wanted volume, read from the plane pieces; and the closed body holds the same as all pieces together."""
    got = below_floor_m3(foundation) if of is None else foundation.volumes().of_kind_m3(of)
    assert pytest.approx(expected_m3, rel=EXACT) == got
    assert pytest.approx(foundation.volumes().total_m3, rel=EXACT) == foundation.solid().volume()


def mitred_edge_m3(ring, edge, thickness_m):
    """Closed form of a thickened edge; a side is too short for it where its mitres meet before the slope ends."""
    e, b = edge.depth_m - thickness_m, edge.width_m
    r = edge.run * e
    points = np.asarray(ring)
    back, ahead = np.roll(points, 1, axis=0) - points, np.roll(points, -1, axis=0) - points
    turn = np.arctan2(back[:, 1], back[:, 0]) - np.arctan2(ahead[:, 1], ahead[:, 0])
    inside = np.mod(turn, 2 * np.pi)
    k = float(np.sum(1 / np.tan(inside / 2)))
    return e * (shapely.LinearRing(ring).length * (b + r / 2) - k * (b * b + b * r + r * r / 3))


def test_a_flat_slab_is_a_prism():
    foundation = Foundation.of(Floor(outline=rectangle(12.0, 7.5), thickness_m=0.125))

    assert pytest.approx(12.0 * 7.5 * 0.125, rel=EXACT) == foundation.volumes().total_m3 == foundation.solid().volume()


@pytest.mark.published(MITRED_EDGE)
def test_thickened_perimeter_of_a_rectangle():
    """40 ft x 24 ft, 4 in. slab, edge 12 in. deep and 12 in. wide, taper 8 in.: 108.9383 ft³ below the slab, 15.8866 yd³ in all."""
    floor = Floor(outline=feet((0, 0), (40, 0), (40, 24), (0, 24)), thickness_m=4 * INCH_M)
    foundation = Foundation.of(floor, Edge(depth_m=12 * INCH_M, width_m=12 * INCH_M, run=1.0))

    assert pytest.approx(108.9383, abs=0.001) == below_floor_m3(foundation) / FT3_M3
    assert pytest.approx(15.8866, abs=0.0001) == foundation.volumes().total_m3 / CUBIC_YARD_M3
    agree(mitred_edge_m3(foundation.floor.outline, foundation.edge, 4 * INCH_M), foundation, of=PartKind.EDGE)


@pytest.mark.published(MITRED_EDGE)
def test_perimeter_times_section_counts_the_corners_twice():
    """The same slab: 128 ft of the section 0.88889 ft² make 113.7778 ft³, 4.8395 ft³ more than there is."""
    edge = Edge(depth_m=12 * INCH_M, width_m=12 * INCH_M, run=1.0)
    foundation = Foundation.of(Floor(outline=feet((0, 0), (40, 0), (40, 24), (0, 24)), thickness_m=4 * INCH_M), edge)
    shortcut_ft3 = 128 * (1.0 * 8 / 12 + 0.5 * (8 / 12) ** 2)

    assert pytest.approx(113.7778, abs=0.001) == shortcut_ft3
    assert pytest.approx(4.8395, abs=0.001) == shortcut_ft3 - below_floor_m3(foundation) / FT3_M3


@pytest.mark.published(MITRED_EDGE)
def test_thickened_perimeter_of_an_l_shape():
    """Five corners out and one in, P = 42, K = 4, B = 0.3, r = 0.2, e = 0.2: 3.229333 m³; the mitre holds at the inside corner too."""
    outline = ((0.0, 0.0), (12.0, 0.0), (12.0, 5.0), (7.0, 5.0), (7.0, 9.0), (0.0, 9.0))
    foundation = Foundation.of(Floor(outline=outline, thickness_m=0.1), Edge(depth_m=0.3, width_m=0.3, run=1.0))

    assert pytest.approx(3.229333, abs=1e-6) == below_floor_m3(foundation)
    agree(mitred_edge_m3(outline, foundation.edge, 0.1), foundation)


@pytest.mark.parametrize("run", [0.0, 0.5, 1.0, 2.0])
@pytest.mark.parametrize(
    "outline",
    [
        ((0.0, 0.0), (14.0, 1.0), (17.0, 8.0), (9.0, 12.0), (-2.0, 7.0)),
        ((0.0, 0.0), (18.0, 0.0), (18.0, 9.0), (10.0, 9.0), (12.0, 15.0), (1.0, 14.0)),
        ((0.0, 0.0), (20.0, -3.0), (12.0, 6.0), (20.0, 16.0), (2.0, 14.0)),
    ],
    ids=["skewed", "skewed with an inside corner", "sharp corners"],
)
def test_thickened_perimeter_of_skewed_plans(outline, run):
    """The closed form holds for any corner angle as long as no side vanishes within the taper."""
    foundation = Foundation.of(Floor(outline=outline, thickness_m=0.12), Edge(depth_m=0.55, width_m=0.35, run=run))

    agree(mitred_edge_m3(outline, foundation.edge, 0.12), foundation)


def test_a_clockwise_outline_is_the_same_slab():
    outline = ((0.0, 0.0), (12.0, 0.0), (12.0, 5.0), (7.0, 5.0), (7.0, 9.0), (0.0, 9.0))
    edge = Edge(depth_m=0.5, width_m=0.3, run=1.0)
    one, other = (Foundation.of(Floor(outline=ring, thickness_m=0.1), edge) for ring in (outline, outline[::-1]))

    assert pytest.approx(one.volumes().total_m3, rel=1e-13) == other.volumes().total_m3


@pytest.mark.published(FRUSTUM)
def test_square_pad_with_tapers():
    """3 ft square, 8 in. below the slab, tapers of 45 degrees: 9.0617 ft³."""
    floor = Floor(outline=feet((0, 0), (20, 0), (20, 20), (0, 20)), thickness_m=4 * INCH_M)
    foundation = Foundation.of(floor, pads=[pad(10 * FOOT_M, 10 * FOOT_M, 3 * FOOT_M, 12 * INCH_M, run=1.0)])

    assert pytest.approx(9.0617, abs=0.0001) == below_floor_m3(foundation) / FT3_M3
    top = 3 + 2 * 8 / 12
    agree(8 / 12 / 3 * (9 + top**2 + 3 * top) * FT3_M3, foundation)


@pytest.mark.published(arithmetic("V = h [L W + s h (L + W) + 4/3 s² h²]"))
def test_oblong_frustum_with_side_slopes():
    """44 ft x 28 ft, 1.5 ft high, slopes 2:1: 2,190 ft³; here upside down, as a pad below a floor."""
    floor = Floor(outline=feet((0, 0), (80, 0), (80, 60), (0, 60)), thickness_m=0.5 * FOOT_M)
    one = pad(40 * FOOT_M, 30 * FOOT_M, 44 * FOOT_M, 2.0 * FOOT_M, size_y=28 * FOOT_M, run=2.0, rotation_rad=0.2)
    foundation = Foundation.of(floor, pads=[one])

    agree(2190.0 * FT3_M3, foundation)


@pytest.mark.parametrize("run", [0.0, 0.7, 1.0])
def test_round_pad_holds_what_a_round_pad_holds(run):
    """A frustum of a cone, exactly, whatever the number of sides it is cast with."""
    floor = Floor(outline=rectangle(6.0, 6.0), thickness_m=0.15)
    foundation = Foundation.of(floor, pads=[pad(3.0, 3.0, 1.2, 0.75, run=run, shape=PadShape.CIRCLE)])
    r, top, h = 0.6, 0.6 + run * 0.6, 0.6

    agree(math.pi * h / 3 * (r * r + top * top + r * top), foundation)


def test_the_rim_of_a_round_pad_is_round_to_a_thousandth():
    """Equal area puts corners a little outside the circle and the middles of sides a little inside."""
    one = pad(3.0, 3.0, 2.0, 0.5, shape=PadShape.CIRCLE)
    foundation = Foundation.of(Floor(outline=rectangle(6.0, 6.0), thickness_m=0.15), pads=[one])
    ring = np.asarray(foundation.parts[1].bottom.exterior.coords)
    half_turn = math.pi / CIRCLE_SIDES

    assert pytest.approx(1.0, abs=0.0015) == np.hypot(*(ring - 3.0).T).max()
    assert pytest.approx(1.0, abs=0.0015) == np.hypot(*(ring - 3.0).T).max() * math.cos(half_turn)
    assert pytest.approx(math.pi, rel=1e-12) == shapely.Polygon(ring).area


@pytest.mark.published(arithmetic("overlapping thickenings count once: 8.0 ft³, not 9.5"))
def test_overlapping_thickenings_count_once():
    """Edge 10 ft x 1 ft and pad 3 ft x 3 ft that share 3 ft x 1 ft, both half a foot below: the greater depth counts."""
    floor = Floor(outline=feet((0, 0), (10, 0), (10, 10), (0, 10)), thickness_m=0.5 * FOOT_M)
    strip = Strip(name="S", line=feet((0, 0.5), (10, 0.5)), width_m=FOOT_M, depth_m=FOOT_M, run=0.0)
    foundation = Foundation.of(floor, strips=[strip], pads=[pad(1.5 * FOOT_M, 1.5 * FOOT_M, 3 * FOOT_M, FOOT_M)])

    agree(8.0 * FT3_M3, foundation)
    assert pytest.approx(5.0) == foundation.volumes().of_kind_m3(PartKind.STRIP) / FT3_M3
    assert pytest.approx(3.0) == foundation.volumes().of_kind_m3(PartKind.PAD) / FT3_M3


def test_a_pad_right_through_an_edge_adds_only_what_is_deeper():
    """Upright edge 0.4 wide and 0.5 deep, pad 1 m square and 0.7 deep with its face on the form line, worked by hand."""
    floor = Floor(outline=rectangle(8.0, 6.0), thickness_m=0.1)
    foundation = Foundation.of(floor, Edge(depth_m=0.5, width_m=0.4, run=0.0), pads=[pad(4.0, 0.5, 1.0, 0.7)])

    assert pytest.approx(0.4 * 1.0 * 0.2 + 0.6 * 1.0 * 0.6, rel=EXACT) == foundation.volumes().of_kind_m3(PartKind.PAD)


def test_strip_with_tapers_and_square_ends():
    """16 in. wide, 14 in. deep under a 4 in. floor, 45 degrees, 20 ft long: section 16 x 10 + 10² in², upright ends."""
    floor = Floor(outline=feet((0, 0), (40, 0), (40, 20), (0, 20)), thickness_m=4 * INCH_M)
    strip = Strip(name="S", line=feet((10, 10), (30, 10)), width_m=16 * INCH_M, depth_m=14 * INCH_M)

    agree((160 + 100) / 144 * 20 * FT3_M3, Foundation.of(floor, strips=[strip]))


def test_a_bent_strip_is_mitred_so_its_length_is_that_of_its_centre_line():
    """What the outer half gains at a square bend the inner half gives up."""
    floor = Floor(outline=rectangle(20.0, 20.0), thickness_m=0.1)
    strip = Strip(name="S", line=((3.0, 3.0), (12.0, 3.0), (12.0, 15.0)), width_m=0.5, depth_m=0.4, run=1.0)

    agree((0.5 * 0.3 + 0.3**2) * 21.0, Foundation.of(floor, strips=[strip]))


def test_a_strip_that_turns_back_sharply_is_cut_across_at_the_bend():
    """At a turn of 150 degrees a mitre would run out 3.9 half-widths; two cuts of 75 degrees end at 1 / cos 37.5 of one."""
    floor = Floor(outline=rectangle(20.0, 20.0), thickness_m=0.1)
    back = (10.0 - 5.0 * math.cos(math.radians(30)), 10.0 + 5.0 * math.sin(math.radians(30)))
    strip = Strip(name="S", line=((4.0, 10.0), (10.0, 10.0), back), width_m=0.6, depth_m=0.4, run=0.0)
    rim = np.asarray(Foundation.of(floor, strips=[strip]).parts[1].bottom.exterior.coords)
    beyond = rim[rim[:, 0] > 10.0 + 1e-6]

    assert pytest.approx(0.3 / math.cos(math.radians(37.5)), rel=1e-9) == np.hypot(*(beyond - 10.0).T).max()


@pytest.mark.published(SLAB_TUTORIAL)
def test_house_slab_of_a_tutorial():
    """220 lf of footing 1 ft x 1 ft and 153 lf of beam 1 ft x 4 in. below 2,200 ft² of 4 in. slab: 27.16, 8.148 and 1.889 yd³.

    The tutorial measures lengths straight; here a floor of that area with strips that do not meet.
    """
    floor = Floor(outline=feet((0, 0), (220, 0), (220, 10), (0, 10)), thickness_m=4 * INCH_M)
    footing = Strip(name="footing", line=feet((0, 2), (220, 2)), width_m=FOOT_M, depth_m=16 * INCH_M, run=0.0)
    beam = Strip(name="beam", line=feet((30, 7), (183, 7)), width_m=FOOT_M, depth_m=8 * INCH_M, run=0.0)
    volumes = Foundation.of(floor, strips=[footing, beam]).volumes()

    assert pytest.approx(27.16, abs=0.01) == volumes.parts[0].inside_m3 / CUBIC_YARD_M3
    assert pytest.approx(8.148, abs=0.001) == volumes.parts[1].inside_m3 / CUBIC_YARD_M3
    assert pytest.approx(1.889, abs=0.001) == volumes.parts[2].inside_m3 / CUBIC_YARD_M3


def test_block_outs_go_right_through():
    """A hole half in the edge and half in the floor, by subtraction."""
    floor = Floor(outline=rectangle(10.0, 8.0), thickness_m=0.1, block_outs=(((2.0, 0.0), (3.0, 0.0), (3.0, 1.0), (2.0, 1.0)),))
    edge = Edge(depth_m=0.5, width_m=0.4, run=0.0)
    whole, holed = Foundation.of(replace(floor, block_outs=()), edge), Foundation.of(floor, edge)

    assert pytest.approx(whole.volumes().total_m3 - 0.4 * 1.0 * 0.5 - 0.6 * 1.0 * 0.1, rel=EXACT) == holed.volumes().total_m3
    agree(below_floor_m3(whole) - 0.4 * 1.0 * 0.4, holed)


def test_parts_of_another_thickness_replace_the_floor():
    """The one listed later holds where two overlap."""
    regions = (
        ThicknessRegion(within=((5.0, 0.0), (10.0, 0.0), (10.0, 8.0), (5.0, 8.0)), thickness_m=0.2),
        ThicknessRegion(within=((8.0, 0.0), (12.0, 0.0), (12.0, 8.0), (8.0, 8.0)), thickness_m=0.09),
    )
    foundation = Foundation.of(Floor(outline=rectangle(10.0, 8.0), thickness_m=0.1, thickness_regions=regions))

    assert pytest.approx(8.0 * (5.0 * 0.1 + 3.0 * 0.2 + 2.0 * 0.09), rel=EXACT) == foundation.volumes().total_m3
    assert pytest.approx(foundation.volumes().total_m3, rel=EXACT) == foundation.solid().volume()


def test_a_level_base_under_a_falling_floor_makes_a_wedge():
    """48 ft x 60 ft falling 1/8 in. per ft to a line across the middle: 3 3/4 in. at the walls, 450 ft³ or 16.7 yd³ extra."""
    fall = Fall(slope=1 / 96, to=feet((4, 30), (44, 30)))
    floor = Floor(outline=feet((0, 0), (48, 0), (48, 60), (0, 60)), thickness_m=7 * INCH_M, falls=(fall,), base_parallel=False)
    wedge, parallel = Foundation.of(floor), Foundation.of(replace(floor, base_parallel=True))

    assert pytest.approx(450.0, rel=EXACT) == (wedge.volumes().total_m3 - parallel.volumes().total_m3) / FT3_M3
    assert pytest.approx(16.7, abs=0.05) == 450.0 / 27
    assert pytest.approx(wedge.volumes().total_m3, rel=EXACT) == wedge.solid().volume()
    assert pytest.approx([10.75 * INCH_M, 7 * INCH_M]) == wedge.thickness_m([(24 * FOOT_M, 0.0), (24 * FOOT_M, 30 * FOOT_M)]).tolist()


def test_a_level_base_under_a_floor_that_falls_to_a_gully():
    """A disc with a gully in the middle: the wedge is the slope times the mean distance, 2/3 of the radius.

    The disc is drawn with 720 corners and the cone laid in 64 planes: within 0.01 %.
    """
    turn = 2 * np.pi * np.arange(720) / 720
    outline = tuple((5.0 * math.cos(a), 5.0 * math.sin(a)) for a in turn)
    floor = Floor(outline=outline, thickness_m=0.1, falls=(Fall(slope=0.02, to=((0.0, 0.0),)),), base_parallel=False)
    extra = Foundation.of(floor).volumes().total_m3 - math.pi * 25 * 0.1

    assert pytest.approx(0.02 * 2 / 3 * math.pi * 5.0**3, rel=1e-3) == extra


def test_concrete_outside_the_form_line_stands_up_to_its_own_top():
    """A pad 1 m square, 0.9 m deep, its middle on the form line; upright outside, up to grade 0.2 m below the floor."""
    floor = Floor(outline=rectangle(8.0, 6.0), thickness_m=0.1)
    edge = Edge(depth_m=0.5, width_m=0.4, run=0.0, top_above_grade_m=0.2)
    to_grade = Foundation.of(floor, edge, pads=[pad(4.0, 0.0, 1.0, 0.9, run=1.0)])
    lower = Foundation.of(floor, edge, pads=[pad(4.0, 0.0, 1.0, 0.9, run=1.0, outside_top_m=0.35)])

    assert pytest.approx(0.5 * 0.7, rel=EXACT) == to_grade.volumes().outside_m3
    assert pytest.approx(0.5 * 0.55, rel=EXACT) == lower.volumes().outside_m3
    assert pytest.approx(to_grade.volumes().total_m3, rel=EXACT) == to_grade.solid().volume()


def test_pads_that_overlap_outside_count_once_there():
    floor = Floor(outline=rectangle(8.0, 6.0), thickness_m=0.1)
    edge = Edge(depth_m=0.5, width_m=0.4, run=0.0, top_above_grade_m=0.2)
    foundation = Foundation.of(floor, edge, pads=[pad(4.0, 0.0, 1.0, 0.9), pad(4.5, 0.0, 1.0, 0.7, name="P2", outside_top_m=0.3)])

    assert pytest.approx(0.5 * (1.0 * 0.7 + 0.5 * 0.4), rel=EXACT) == foundation.volumes().outside_m3
    assert pytest.approx(foundation.volumes().total_m3, rel=EXACT) == foundation.solid().volume()
