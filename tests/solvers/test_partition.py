"""The partition solvers against brute force, known layouts and each other."""

from itertools import combinations, pairwise, product

import numpy as np
import pytest
import shapely

from slabwright.errors import Infeasible, OutOfRange
from slabwright.solvers.partition import Cut, CutRules, cut_rectangle, cut_rectilinear
from slabwright.solvers.partition.layout import EVENNESS_WEIGHT, LOST_WEIGHT

ROUNDING = 1e-6


def subsets(values):
    return [tuple(chosen) for n in range(len(values) + 1) for chosen in combinations(values, n)]


def cheapest_rectangle(size, xs, ys, rules, dead):
    """Every choice of lines, tried."""
    best = np.inf
    lost = {("x", x): shapely.LineString([(x, 0), (x, size[1])]).intersection(dead).length for x in xs}
    lost |= {("y", y): shapely.LineString([(0, y), (size[0], y)]).intersection(dead).length for y in ys}
    for chosen_x, chosen_y in product(subsets(xs), subsets(ys)):
        widths = [b - a for a, b in pairwise([0.0, *chosen_x, size[0]])]
        heights = [b - a for a, b in pairwise([0.0, *chosen_y, size[1]])]
        sides = widths + heights
        fits = max(sides) <= rules.max_size + 1e-9 and min(sides) >= rules.min_size - 1e-9
        if fits and all(max(w, h) <= rules.max_aspect * min(w, h) + 1e-9 for w, h in product(widths, heights)):
            length = len(chosen_x) * size[1] + len(chosen_y) * size[0]
            gone = sum(lost["x", x] for x in chosen_x) + sum(lost["y", y] for y in chosen_y)
            best = min(best, length + LOST_WEIGHT * gone)
    return best


@pytest.mark.parametrize("seed", range(250))
def test_a_rectangle_is_cut_as_well_as_by_trying_everything(seed):
    """Random sizes, candidates, dead zones; lines and loss equal the best of all subsets, up to the weight of evenness."""
    draw = np.random.default_rng(seed)
    size = tuple(draw.integers(8, 24, 2).astype(float))
    xs, ys = (np.sort(draw.choice(np.arange(1, side), min(5, int(side) - 1), replace=False)).astype(float) for side in size)
    rules = CutRules(max_size=float(draw.integers(6, 12)), max_aspect=float(draw.choice([1.3, 1.5, 2.0])), min_size=1.5)
    dead = shapely.union_all([shapely.box(x, y, x + 2, y + 2) for x, y in draw.uniform(0, 20, (3, 2))])
    wanted = cheapest_rectangle(size, xs, ys, rules, dead)

    if np.isinf(wanted):
        with pytest.raises(Infeasible):
            cut_rectangle(size, (xs, ys), rules, dead=dead)
    else:
        found = cut_rectangle(size, (xs, ys), rules, dead=dead)
        assert pytest.approx(wanted, abs=0.05) == found.length + LOST_WEIGHT * found.lost
        assert found.gap < ROUNDING


def cheapest_cells(xs, ys, inside, rules, dead, tee_cost):
    """Every set of cut stretches on a small grid, tried: pieces must be rectangles that keep the rules."""
    p, q = inside.shape
    edges = [((i, j), (i + 1, j)) for i in range(p - 1) for j in range(q) if inside[i, j] and inside[i + 1, j]]
    edges += [((i, j), (i, j + 1)) for i in range(p) for j in range(q - 1) if inside[i, j] and inside[i, j + 1]]
    ends = []
    for (i, j), (i2, _) in edges:
        ends.append(((xs[i + 1], ys[j]), (xs[i + 1], ys[j + 1])) if i2 > i else ((xs[i], ys[j + 1]), (xs[i + 1], ys[j + 1])))
    length = np.array([abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in ends])
    lost = np.array([shapely.LineString(one).intersection(dead).length for one in ends])
    follow = [
        (m, n)
        for m, n in product(range(len(edges)), repeat=2)
        if ends[m][1] == ends[n][0] and (ends[m][0][0] == ends[m][1][0]) == (ends[n][0][0] == ends[n][1][0])
    ]
    cells = [tuple(cell) for cell in np.argwhere(inside)]
    best = np.inf
    for kept in product((False, True), repeat=len(edges)):
        cost = float(length @ kept + LOST_WEIGHT * (lost @ kept))
        tees = sum(kept[m] != kept[n] for m, n in follow)
        cost += tee_cost * tees if tees else 0.0
        if cost >= best:
            continue
        group = {cell: cell for cell in cells}

        def root(cell, group=group):
            while group[cell] != cell:
                cell = group[cell]
            return cell

        for cut, (a, b) in zip(kept, edges, strict=True):
            if not cut:
                group[root(a)] = root(b)
        if all(_piece_fits([c for c in cells if root(c) == r], xs, ys, rules) for r in {root(c) for c in cells}) and not any(
            cut and root(a) == root(b) for cut, (a, b) in zip(kept, edges, strict=True)
        ):
            best = cost
    return best


def _piece_fits(cells, xs, ys, rules):
    i, j = np.array(cells).T
    if len(cells) != (np.ptp(i) + 1) * (np.ptp(j) + 1):
        return False
    sides = sorted((xs[i.max() + 1] - xs[i.min()], ys[j.max() + 1] - ys[j.min()]))
    return sides[0] >= rules.min_size and sides[1] <= rules.max_size + 1e-9 and sides[1] <= rules.max_aspect * sides[0] + 1e-9


@pytest.mark.parametrize("seed", range(250))
def test_a_floor_with_a_corner_is_cut_as_well_as_by_trying_everything(seed):
    """Random L-shapes on a grid of at most 3 x 3 cells, with and without lines that die against another."""
    draw = np.random.default_rng(1000 + seed)
    xs = np.concatenate([[0.0], np.cumsum(draw.integers(2, 6, 3))]).astype(float)
    ys = np.concatenate([[0.0], np.cumsum(draw.integers(2, 6, int(draw.integers(2, 4))))]).astype(float)
    inside = np.ones((len(xs) - 1, len(ys) - 1), bool)
    inside[2:, 1:] = False
    region = shapely.union_all([shapely.box(xs[i], ys[j], xs[i + 1], ys[j + 1]) for i, j in np.argwhere(inside)])
    region = shapely.Polygon(region.exterior.simplify(0))
    dead = shapely.box(*draw.uniform(0, 6, 2), *draw.uniform(6, 10, 2))
    rules = CutRules(max_size=float(draw.integers(5, 12)), max_aspect=float(draw.choice([1.5, 2.0, 3.0])))
    tee_cost = float(draw.choice([np.inf, 1.0, 4.0]))
    wanted = cheapest_cells(xs, ys, inside, rules, dead, tee_cost)
    call = {"dead": dead, "tee_cost": tee_cost}

    if np.isinf(wanted):
        with pytest.raises(Infeasible):
            cut_rectilinear(region, (xs, ys), rules, **call)
    else:
        found = cut_rectilinear(region, (xs, ys), rules, **call)
        total = found.length + LOST_WEIGHT * found.lost + (tee_cost * found.tees if found.tees else 0.0)
        assert pytest.approx(wanted, abs=0.05) == total
        assert found.gap < ROUNDING


def test_the_integer_programme_agrees_with_dynamic_programming_on_a_rectangle():
    """Two methods, one floor with two pads: x = 10, 20 and y = 12, 24."""
    dead = shapely.union_all([shapely.box(13, 7, 17, 11), shapely.box(13, 25, 17, 29)])
    candidates = (np.array([5.0, 7, 8, 10, 12, 15, 18, 20, 22, 25]), np.array([6.0, 9, 12, 15, 18, 21, 24, 27, 30]))
    rules = CutRules(max_size=12.5, min_size=3)
    one = cut_rectangle((30, 36), candidates, rules, dead=dead)
    other = cut_rectilinear(shapely.box(0, 0, 30, 36), candidates, rules, dead=dead)

    assert pytest.approx(132.0) == one.length == other.length
    assert 0.0 == one.lost == other.lost
    assert {10.0, 20.0} == {cut.start[0] for cut in one.cuts if cut.vertical}


@pytest.mark.parametrize("scale", [1.0, 0.30778975668698])  # at which the height of the inner corners rounds down
def test_every_piece_keeps_the_rules_and_together_they_are_the_region(scale):
    """By geometry, not by the solver's own arithmetic; and where candidates are rounded and corners are not, lines still end on the rim."""
    region = shapely.Polygon(scale * np.array([(0, 0), (60, 0), (60, 24), (44, 24), (44, 40), (20, 40), (20, 24), (0, 24)]))
    rules = CutRules(max_size=13 * scale, min_size=3 * scale)
    found = cut_rectilinear(region, (np.round(scale * np.arange(4, 60, 4.0), 6), np.round(scale * np.arange(4, 40, 4.0), 6)), rules)

    assert pytest.approx(region.area) == sum(piece.area for piece in found.pieces)
    for piece in found.pieces:
        low_x, low_y, high_x, high_y = piece.bounds
        long, short = max(high_x - low_x, high_y - low_y), min(high_x - low_x, high_y - low_y)
        assert pytest.approx(piece.area) == long * short
        assert long <= 13 * scale + 1e-6
        assert long <= 1.5 * short + 1e-6


def test_a_pinned_line_stays_and_a_forbidden_one_goes():
    """The rest is solved round them."""
    region, rules = shapely.box(0, 0, 24, 24), CutRules(max_size=12)
    candidates = (np.arange(2, 24, 2.0), np.arange(2, 24, 2.0))
    pinned = cut_rectilinear(region, candidates, rules, keep=(Cut((10, 0), (10, 24)),))
    barred = cut_rectilinear(region, candidates, rules, forbid=shapely.LineString([(12, 1), (12, 23)]))

    assert 10.0 in {cut.start[0] for cut in pinned.cuts if cut.vertical}
    assert 12.0 not in {cut.start[0] for cut in barred.cuts if cut.vertical}
    assert 10.0 in {cut.start[0] for cut in cut_rectangle((24, 24), candidates, rules, keep=(np.array([10.0]), np.empty(0))).cuts}


def test_evenness_only_breaks_ties():
    """Its whole weight on the largest test floor stays below a millimetre of line."""
    assert EVENNESS_WEIGHT * 60 * 13**2 < 0.05


@pytest.mark.parametrize(
    "call",
    [
        lambda: CutRules(max_size=1.0, min_size=2.0),
        lambda: CutRules(max_size=1.0, max_aspect=0.5),
        lambda: cut_rectilinear(
            shapely.Polygon([(0, 0), (4, 1), (4, 4), (0, 4)]), (np.array([2.0]), np.array([2.0])), CutRules(max_size=3)
        ),
    ],
)
def test_senseless_rules_and_outlines_are_refused(call):
    """With what to do instead."""
    with pytest.raises(OutOfRange):
        call()
