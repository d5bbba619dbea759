"""Sections: breakpoints exact, area under the line, the volume as a sum of sections."""

from itertools import pairwise

import numpy as np
import pytest

from slabwright.errors import GeometryError
from tests.geometry.shapes import Edge, Floor, Foundation, PartKind, Strip, pad, rectangle

FLOOR = Floor(outline=rectangle(10.0, 8.0), thickness_m=0.1, block_outs=(((6.0, 3.0), (7.0, 3.0), (7.0, 4.0), (6.0, 4.0)),))
EDGE = Edge(depth_m=0.5, width_m=0.3, run=1.0, top_above_grade_m=0.2)
SLAB = Foundation.of(FLOOR, EDGE, pads=[pad(0.0, 5.0, 1.0, 0.8), pad(4.0, 3.5, 1.0, 0.6, name="P2")])


def breaks(run):
    return [(round(float(x), 9), round(float(depth), 9)) for x, depth in zip(run.along_m, run.bottom_m, strict=True)]


def test_across_two_edges_and_a_hole():
    """Level bottoms 0.3 wide, slopes 0.4 across, the pad's upright sides as steps, the hole as a gap."""
    section = SLAB.section((-1.0, 3.4), (11.0, 3.4))
    first, second = section.runs

    expected = [(1.0, 0.5), (1.3, 0.5), (1.7, 0.1), (4.5, 0.1), (4.5, 0.6), (5.5, 0.6), (5.5, 0.1), (7.0, 0.1)]
    assert expected == breaks(first)
    assert [(8.0, 0.1), (10.3, 0.1), (10.7, 0.5), (11.0, 0.5)] == breaks(second)
    assert [PartKind.EDGE, PartKind.EDGE, PartKind.FLOOR] == [SLAB.parts[k].kind for k in first.parts[:3]]
    assert pytest.approx(first.polygon().area + second.polygon().area) == section.area_m2


def test_concrete_outside_the_form_line_shows_below_grade():
    outside, inside = SLAB.section((-1.0, 5.0), (3.0, 5.0)).runs

    assert [(0.5, 0.8), (1.0, 0.8)] == breaks(outside)
    assert 0.2 == outside.top_m
    assert 0.0 == inside.top_m


def test_a_cut_along_the_border_of_two_parts_shows_the_deeper():
    """Right along the foot of an upright strip."""
    strip = Strip(name="S1", line=((2.0, 4.0), (8.0, 4.0)), width_m=0.4, depth_m=0.3, run=0.0)
    (run,) = Foundation.of(Floor(outline=rectangle(10.0, 8.0), thickness_m=0.1), strips=[strip]).section((0.0, 4.2), (10.0, 4.2)).runs

    assert [(0.0, 0.1), (2.0, 0.1), (2.0, 0.3), (8.0, 0.3), (8.0, 0.1), (10.0, 0.1)] == breaks(run)


def test_sections_add_up_to_the_volume():
    """Gauss points between every place where the section changes its kind: cut areas are piecewise quadratic along the cut, so exact."""
    floor = Floor(outline=((0.0, 0.0), (9.0, 0.0), (9.0, 5.0), (5.0, 5.0), (5.0, 8.0), (0.0, 8.0)), thickness_m=0.1)
    slab = Foundation.of(floor, Edge(depth_m=0.5, width_m=0.3, run=1.0))
    places = sorted({float(y) for piece in slab.soffit.pieces for _, y in piece.exterior.coords})
    nodes, weights = np.polynomial.legendre.leggauss(3)
    total = 0.0
    for low, high in pairwise(places):
        if high - low > 1e-9:
            half, middle = 0.5 * (high - low), 0.5 * (high + low)
            areas = [slab.section((-1.0, middle + half * node), (12.0, middle + half * node)).area_m2 for node in nodes]
            total += half * float(weights @ areas)

    assert pytest.approx(total, rel=1e-10) == slab.volumes().total_m3


def test_the_section_says_what_the_depth_field_says():
    rng = np.random.default_rng(5)
    for start, end in rng.uniform((-1, -1), (11, 9), (20, 2, 2)):
        section = SLAB.section(tuple(start), tuple(end))
        share = rng.uniform(0.0, 1.0, 200)
        along = share * np.hypot(*(end - start))
        told = np.zeros(200)
        for run in section.runs:
            within = (along > run.along_m[0]) & (along < run.along_m[-1])
            told[within] = np.interp(along[within], run.along_m, run.bottom_m) - run.top_m
        field = SLAB.thickness_m(start + share[:, None] * (end - start))
        assert pytest.approx(field, abs=1e-9) == told


def test_a_cut_needs_a_length():
    with pytest.raises(GeometryError, match="two points"):
        SLAB.section((1.0, 1.0), (1.0, 1.0))
