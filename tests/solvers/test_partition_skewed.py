"""Cutting floors with skewed sides: rules by geometry, every choice tried, lines kept and barred."""

import math
from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest
import shapely
from tests.solvers.skewed_floors import FLOORS

from slabwright.errors import Infeasible, OutOfRange
from slabwright.solvers.partition import Cut, CutRules, corner_angles, cut_skewed, measured, pieces_of
from slabwright.solvers.partition.corners import re_entrant
from slabwright.solvers.partition.islands import Islands
from slabwright.solvers.partition.layout import LOST_WEIGHT, least_length
from slabwright.solvers.partition.panels import LONG, NARROW, RE_ENTRANT, SHARP
from slabwright.solvers.partition.patch import patches
from slabwright.solvers.partition.sheaves import sheaves
from slabwright.solvers.partition.wings import partings

RULES = CutRules(max_size=12.5, min_size=5.6)


def cut(region, **kwargs):
    return cut_skewed(region, RULES, least_share=0.45, step=0.5, **kwargs)


def line(one):
    return shapely.LineString([one.start, one.end])


@pytest.fixture(scope="module")
def layouts():
    """Each floor cut once."""
    return {name: cut(region) for name, region in FLOORS.items()}


@pytest.mark.parametrize("name", FLOORS)
def test_each_floor_is_cut_as_a_finisher_would_take_it(layouts, name):
    """By geometry alone: the pieces are the floor, no corner under 60 degrees, no sliver, no L, every inner corner on a line."""
    region, found = FLOORS[name], layouts[name]
    angles = np.concatenate([corner_angles(piece.simplify(1e-5))[1] for piece in found.pieces])
    inner = [corner for ring in (region.exterior,) for corner, _, _ in re_entrant(ring)]
    inner += [corner for hole in region.interiors for corner, _, _ in re_entrant(hole, is_hole=True)]

    assert pytest.approx(region.area, rel=1e-6) == sum(piece.area for piece in found.pieces)
    assert 60.0 <= math.degrees(angles.min()) + 1e-6
    assert math.degrees(angles.max()) <= 180.0 + 2.1
    assert all(min(line(one).distance(shapely.Point(corner)) for one in found.cuts) < 1e-6 for corner in inner)
    assert all(line(one).centroid.distance(region.boundary) > 1e-6 for one in found.cuts)
    for piece in found.pieces:
        box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(piece))
        sides = sorted(float(np.hypot(*(box[k + 1] - box[k]))) for k in (0, 1))
        assert sides[0] >= 0.45 * 12.5 - 1e-6
        assert piece.area <= 12.5**2


@pytest.mark.parametrize("name", FLOORS)
def test_what_is_proven_is_told(layouts, name):
    """No fault, no gap among the lines offered, and less than the general bound is not possible."""
    found = layouts[name]

    assert 0 == found.faults == found.least_faults == found.tees
    assert found.gap < 1e-6
    assert found.bound <= found.cost + 1e-9
    assert 0 < found.least_length < found.length
    assert found.n_offered >= len(found.cuts)


@pytest.mark.parametrize("seed", range(16))
def test_a_floor_of_four_sides_is_cut_as_well_as_by_trying_everything(seed):
    """Random quadrilaterals and dead zones; every subset of the lines of every grid, valued by geometry: faults first, then cost."""
    draw = np.random.default_rng(seed)
    corners = np.array([(0, 0), (18, 0), (18, 14), (0, 14)]) + draw.uniform(-4, 4, (4, 2))
    region = shapely.Polygon(corners)
    rules = CutRules(max_size=float(draw.uniform(9, 13)), min_size=3.0)
    dead = shapely.Point(draw.uniform(4, 14, 2)).buffer(1.5)
    best = (math.inf, math.inf)
    for patch in patches(region)[:4]:
        families = sheaves([patch], rules.max_size, dead, Islands.none(), 0.5, 5, (), linked=True)
        chosen = []
        for family in families:
            way = family.members[0][1]
            inner = [one for one in family.shares if 0 < one < 1]
            ends = [patch.points(*([at, [0.0, 1.0]] if way == 0 else [[0.0, 1.0], at])) for at in inner]
            chosen.append([lines for n in range(len(inner) + 1) for lines in combinations(ends, n)])
        for first, second in product(*chosen):
            best = min(best, valued(region, [*first, *second], rules, dead))
    if math.isinf(best[0]):
        with pytest.raises(Infeasible):
            cut_skewed(region, rules, dead=dead, step=0.5, most_lines=5)
    else:
        found = cut_skewed(region, rules, dead=dead, step=0.5, most_lines=5)
        assert best[0] == found.faults
        assert pytest.approx(best[1], abs=0.05) == found.length + LOST_WEIGHT * found.lost


def valued(region, lines, rules, dead):
    """Faults and cost of lines; infinite where a piece is too long."""
    parts = [max(shapely.get_parts(shapely.LineString(one).intersection(region)), key=lambda part: part.length) for one in lines]
    cuts = tuple(Cut(part.coords[0], part.coords[-1]) for part in parts if part.length > 1e-6)
    shapes = measured(pieces_of(region, cuts), region)
    if shapes.long.max() > rules.max_size + 1e-6:
        return math.inf, math.inf
    faults = RE_ENTRANT * shapes.re_entrant + SHARP * shapes.sharp
    faults = faults + NARROW * (shapes.short < rules.min_size - 1e-6) + LONG * (shapes.long > 1.5 * shapes.short + 1e-6)
    return int(faults.sum()), sum(one.length + LOST_WEIGHT * line(one).intersection(dead).length for one in cuts)


def test_a_square_grid_on_a_turned_square_is_found():
    """24 x 24 at 20 degrees, pieces of at most 12.5: two lines of 24, worked by hand."""
    square = shapely.affinity.rotate(shapely.box(0, 0, 24, 24), 20, origin=(0, 0))

    assert pytest.approx(48.0) == cut(square).length


def test_no_grid_beats_the_general_bound_and_a_large_one_comes_near():
    """n x n squares of side a take 2 n (n - 1) a; the bound tends to (2 + sqrt(pi)) / 4 = 0.943 of it, worked by hand."""
    for n in (1, 2, 5, 200):
        assert least_length(shapely.box(0, 0, 3.0 * n, 3.0 * n), 3.0) <= 2 * n * (n - 1) * 3.0 + 1e-9
    assert pytest.approx((2 + math.sqrt(math.pi)) / 4, abs=0.01) == least_length(shapely.box(0, 0, 600, 600), 3.0) / (2 * 200 * 199 * 3)


def test_sides_of_pieces_are_those_a_person_would_measure():
    """A rectangle, a rhomb of 60 degrees, a square less a corner, a turned rectangle; worked by hand."""
    rhomb = shapely.Polygon([(0, 0), (12, 0), (18, 12 * math.sin(math.pi / 3)), (6, 12 * math.sin(math.pi / 3))])
    cut_off = shapely.Polygon([(0, 0), (10, 0), (10, 2), (2, 10), (0, 10)])
    turned = shapely.affinity.rotate(shapely.box(0, 0, 9, 7), 33)
    shapes = measured([shapely.box(0, 0, 3, 2), rhomb, cut_off, turned], rhomb)

    assert pytest.approx([3, 12, 10, 9]) == shapes.long.tolist()
    assert pytest.approx([2, 12, 10, 7]) == shapes.short.tolist()
    assert [0, 0, 0, 0] == shapes.sharp.tolist()


def test_a_sharp_corner_of_the_floor_is_no_fault_of_its_piece_but_one_made_by_a_line_is():
    """A triangle of 45 degrees whole, and halved through the right angle: the two new corners of 45 are the line's."""
    triangle = shapely.Polygon([(0, 0), (8, 0), (0, 8)])
    halves = pieces_of(triangle, (Cut((0, 0), (4, 4)),))

    assert 0 == measured([triangle], triangle).sharp.sum()
    assert 2 == measured(halves, triangle).sharp.sum()


def test_what_counts_as_sharp_is_a_rule_of_the_caller():
    """The corners of 45 degrees of the halved triangle are none where corners down to 40 are accepted; a rule past 90 is refused."""
    triangle = shapely.Polygon([(0, 0), (8, 0), (0, 8)])
    halves = pieces_of(triangle, (Cut((0, 0), (4, 4)),))

    assert 0 == measured(halves, triangle, math.radians(40)).sharp.sum()
    with pytest.raises(OutOfRange, match="right angle"):
        CutRules(max_size=5.0, sharp_rad=2.0)


def test_the_fewest_faults_are_those_of_the_corner_asked_for():
    """Lines on a parallelogram of 50 degrees must meet its ends at 50 or at 40 beside a square corner: no fault below 40."""
    leaning = shapely.Polygon([(0, 0), (40, 0), (63.5, 28), (23.5, 28)])

    assert cut(leaning).faults > 0
    assert 0 == cut_skewed(leaning, replace(RULES, sharp_rad=math.radians(35)), least_share=0.45, step=0.5).faults


@pytest.mark.parametrize(
    "name",
    [
        "parallelogram",
        "ell with a skewed side",
        pytest.param("wing at 30 degrees", marks=pytest.mark.long),
        pytest.param("opening", marks=pytest.mark.long),
    ],
)
def test_a_line_kept_stays_and_a_line_barred_goes(layouts, name):
    """The middle line of the layout: kept it changes nothing, barred nothing runs along it."""
    region, before = FLOORS[name], layouts[name]
    one = before.cuts[len(before.cuts) // 2]
    kept, barred = cut(region, keep=(one,)), cut(region, forbid=(line(one),))

    assert any(line(other).buffer(1e-3).covers(line(one)) for other in kept.cuts)
    assert pytest.approx(before.length, rel=0.002) == kept.length
    assert all(line(other).intersection(line(one).buffer(0.05)).length < 0.5 * one.length for other in barred.cuts)
    assert (barred.faults, barred.cost) >= (before.faults, before.cost - 1e-6)


def test_a_line_that_fits_no_grid_is_carried_from_side_to_side():
    """Askew through a trapezoid: it is among the cuts, whole, and the pieces still are the floor."""
    region = FLOORS["trapezoid"]
    found = cut(region, keep=(Cut((14.0, 8.0), (17.0, 20.0)),))
    whole = max(found.cuts, key=lambda one: line(one).intersection(shapely.LineString([(14, 8), (17, 20)]).buffer(1e-3)).length)

    assert line(whole).buffer(1e-3).covers(shapely.LineString([(14, 8), (17, 20)]))
    assert region.boundary.distance(shapely.Point(whole.start)) < 1e-4
    assert region.boundary.distance(shapely.Point(whole.end)) < 1e-4
    assert pytest.approx(region.area, rel=1e-6) == sum(piece.area for piece in found.pieces)


def test_a_line_across_all_of_a_floor_with_a_notch_is_kept_on_both_sides_of_it():
    """y = 4 from side to side, as a job file says it: left of the notch and right of it."""
    region = FLOORS["skewed notch"]
    found = cut(region, keep=(Cut((0.0, 4.0), (58.0, 4.0)),))
    runs = sorted(one for cuts in found.cuts for one in [sorted((cuts.start[0], cuts.end[0]))] if max(cuts.start[1], cuts.end[1]) < 4.1)

    assert runs[0] == pytest.approx([0.0, 21.0], abs=1e-3)
    assert pytest.approx(32.0, abs=1e-3) == min(run[0] for run in runs if run[0] > 30)


def test_a_thinner_part_takes_closer_lines():
    """The right half at most 8 long: no piece with its middle there is longer."""
    found = cut(FLOORS["parallelogram"], size_at=lambda x, y: 8.0 if x > 25 else 12.5)
    shapes = measured(found.pieces, FLOORS["parallelogram"])
    there = np.array([piece.centroid.x > 29 for piece in found.pieces])

    assert shapes.long[there].max() <= 8.0 + 1e-6


def test_a_floor_with_no_place_for_small_enough_pieces_is_refused():
    """Lines half a foot apart cannot leave pieces of a tenth."""
    with pytest.raises(Infeasible):
        cut(FLOORS["parallelogram"], size_at=lambda x, y: 0.1)


def test_a_wide_floor_is_offered_as_many_lines_as_it_needs():
    """200 long at 12.5: sixteen pieces in a row take fifteen lines, more than the usual number of candidates."""
    wide = shapely.Polygon([(0, 0), (200, 0), (198, 12), (2, 12)])
    shapes = measured(cut(wide, most_lines=6).pieces, wide)

    assert 16 <= len(shapes.long)
    assert shapes.long.max() <= 12.5 + 1e-6


def test_steps_of_a_curve_are_no_corners_but_the_curve_is_parted_across():
    """A quarter of a ring in steps of 6 degrees: no re-entrant corner; the first lines offered lead from the inner curve outwards."""
    angles = np.linspace(0, np.pi / 2, 16)
    ring = [(40 * np.cos(a), 40 * np.sin(a)) for a in angles] + [(20 * np.cos(a), 20 * np.sin(a)) for a in angles[::-1]]
    region = shapely.Polygon(ring)
    best = next(one for one in partings(region, RULES.min_size) if one.cuts)

    assert [] == list(re_entrant(region.exterior))
    assert best.cuts
    for one in best.cuts:
        inner, outer = sorted((np.array(one.start), np.array(one.end)), key=lambda end: np.hypot(*end))
        assert np.hypot(*inner) < 20.1
        assert np.hypot(*outer) > 39
        assert (outer - inner) @ inner / (np.hypot(*(outer - inner)) * np.hypot(*inner)) > 0.8
