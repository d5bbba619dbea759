"""Lines that follow the plate, cells that are cut exactly, points found again."""

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from slabwright.errors import GeometryError, OutOfRange
from slabwright.solvers.plate.description import Fold, Plate, Region
from slabwright.solvers.plate.grid import Focus, Grid, graded_lines
from slabwright.solvers.plate.mesh import build, grid_lines

SQUARE = [(0.0, 0.0), (6.0, 0.0), (6.0, 5.0), (0.0, 5.0)]


def plate(**changes):
    """A plain slab."""
    return Plate(**({"outline": SQUARE, "thickness": 0.15, "modulus": 30e9, "poisson": 0.15, "spring": 50e6} | changes))


def test_lines_keep_fixed_positions_and_grow_from_a_focus():
    lines = graded_lines([0.0, 10.0], [3.0, 3.001, 7.0], 1.0, [(3.0, 0.1)], merge=0.01)

    assert {0.0, 3.0, 7.0, 10.0} <= set(lines)
    assert 3.001 not in lines
    steps = np.diff(lines)
    assert steps.max() <= 1.0 + 1e-9
    assert 0.1 * 1.5 >= steps[np.searchsorted(lines, 3.0)]
    assert (steps[1:] / steps[:-1]).max() < 2.0


def test_an_outline_along_the_axes_cuts_no_cell():
    grid = Grid.over(shapely.Polygon([(0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (0, 4)]), np.arange(5.0), np.arange(5.0))

    assert 12 == grid.active.sum()
    assert 0 == len(grid.cut.cell)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.tuples(st.floats(0.5, 1.0), st.floats(0.02, 0.15)), min_size=5, max_size=9), st.floats(0.3, 1.1))
def test_the_pieces_of_any_polygon_add_up_to_its_area_and_moments(corners, size):
    """Area and second moment from the quadrature against the polygon formulas of the geometry library."""
    angle = np.cumsum([0.0, *(0.2 + step * 8.0 for _, step in corners[1:])])
    angle *= 2.0 * np.pi / (angle[-1] + 0.8)
    polygon = shapely.Polygon([(4.0 * r * np.cos(a), 4.0 * r * np.sin(a)) for (r, _), a in zip(corners, angle, strict=True)])
    one = plate(outline=polygon)
    mesh = build(one, *grid_lines(one, size))
    assert mesh.elements.area.sum() == pytest.approx(polygon.area, rel=1e-5)
    x = mesh.points[:, 0]
    ring = np.asarray(polygon.exterior.coords)
    cross = ring[:-1, 0] * ring[1:, 1] - ring[1:, 0] * ring[:-1, 1]
    second = (cross * (ring[:-1, 0] ** 2 + ring[:-1, 0] * ring[1:, 0] + ring[1:, 0] ** 2)).sum() / 12.0
    assert mesh.elements.area @ x**2 == pytest.approx(second, rel=1e-4)


def test_a_hole_and_a_skewed_region_are_integrated_over_their_true_shape():
    hole = shapely.box(1.0, 1.0, 1.5, 1.7)
    pad = shapely.Point(4.0, 3.0).buffer(0.6)
    one = plate(outline=shapely.Polygon(SQUARE, [hole.exterior.coords]), regions=[Region(within=pad, thickness=0.5)])
    mesh = build(one, *grid_lines(one, 0.7))
    elements = mesh.elements

    assert 30.0 - hole.area == pytest.approx(elements.area.sum(), rel=1e-12)
    assert pad.area == pytest.approx(elements.area[elements.thickness == 0.5].sum(), rel=1e-9)


def test_points_on_lines_and_on_a_skewed_rim_are_found():
    one = plate(outline=[(0.0, 0.0), (6.0, 0.0), (5.0, 4.0), (1.0, 4.0)])
    mesh = build(one, *grid_lines(one, 0.9))
    rim = [(0.5, 2.0), (5.25, 3.0), (1.0, 4.0), (3.0, 0.0), (mesh.grid.x[2], 2.0)]
    cell, at = mesh.grid.locate(np.array(rim))
    i, j = mesh.grid.cells()
    found = np.stack([mesh.grid.x[i[cell]], mesh.grid.y[j[cell]]], axis=1) + at * mesh.elements.side[cell]

    assert np.allclose(rim, found, atol=1e-9)
    with pytest.raises(OutOfRange, match="lies off the plate"):
        mesh.grid.locate(np.array([[0.1, 2.0]]))


def test_a_fold_keeps_its_two_lines_however_narrow():
    one = plate(folds=[Fold(start=(2.0, 0.0), end=(2.0, 5.0), width=0.005)])
    x, _ = grid_lines(one, 0.8)

    assert {1.9975, 2.0025} <= set(np.round(x, 9))


def test_a_focus_refines_both_axes():
    one = plate()
    x, y = grid_lines(one, 0.8, [Focus(2.0, 3.0, 0.1)])

    assert 0.2 > np.diff(x).min()
    assert 0.2 > np.diff(y).min()


def test_outlines_that_cross_themselves_are_refused():
    one = plate(outline=[(0, 0), (4, 4), (4, 0), (0, 4)])
    with pytest.raises(GeometryError, match="outline"):
        build(one, np.arange(5.0), np.arange(5.0))


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"spring": 0.0}, "spring constant k of the soil must be above nought"),
        ({"spring": -1.0}, "spring constant k of the soil must be above nought"),
        ({"thickness": 0.0}, "thickness must be above nought"),
        ({"layer": -5.0}, "shear layer of the soil must not be negative"),
    ],
)
def test_values_that_make_no_plate_are_refused_with_their_place(changes, message):
    one = plate(**changes)
    with pytest.raises(OutOfRange, match=rf"at \(.*\): .*{message}"):
        build(one, np.arange(7.0), np.arange(6.0))


@pytest.mark.parametrize(("name", "value"), [("modulus", 0.0), ("poisson", 0.5), ("modulus", float("nan"))])
def test_elastic_constants_without_meaning_are_refused(name, value):
    with pytest.raises(OutOfRange, match=name):
        plate(**{name: value})
