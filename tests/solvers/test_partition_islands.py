"""Lines that end at islands: every choice of lines tried, and valued by geometry."""

from itertools import combinations, pairwise, product

import numpy as np
import pytest
import shapely

from slabwright.errors import Infeasible
from slabwright.solvers.partition import CutRules, Islands, cut_rectangle, cut_rectilinear, cut_skewed
from slabwright.solvers.partition.layout import LOST_WEIGHT


def subsets(values):
    return [tuple(chosen) for n in range(len(values) + 1) for chosen in combinations(values, n)]


def valued(lines, islands):
    """Length, less what lies inside an island that a line goes through the middle of and the worth of its corners; loss beside it."""
    total = 0.0
    for line in lines:
        total += line.length
        for (x, y), reach in zip(islands.at, islands.reach, strict=True):
            inside = line.intersection(shapely.Point(x, y).buffer(reach, quad_segs=400)).length
            corners = sum(shapely.Point(end).distance(shapely.Point(x, y)) > 1e-6 for end in line.coords)
            if line.distance(shapely.Point(x, y)) < 1e-6:
                total -= inside + corners * islands.worth
            else:
                total += LOST_WEIGHT * inside
    return total


@pytest.mark.parametrize("seed", range(60))
def test_a_rectangle_with_islands_is_cut_as_well_as_by_trying_everything(seed):
    """Random sides and candidates, two islands of which one stands on candidates; by both exact methods."""
    draw = np.random.default_rng(seed)
    size = tuple(draw.integers(8, 20, 2).astype(float))
    xs, ys = (np.sort(draw.choice(np.arange(1, side), min(5, int(side) - 1), replace=False)).astype(float) for side in size)
    rules = CutRules(max_size=float(draw.integers(6, 12)), max_aspect=2.0, min_size=1.0)
    at = np.array([(draw.choice(xs), draw.choice(ys)), draw.uniform(2, 6, 2)])
    islands = Islands(at, np.array([0.45, 0.3]), float(draw.choice([0.5, 2.0, 6.0])))
    best = np.inf
    for chosen_x, chosen_y in product(subsets(xs), subsets(ys)):
        widths = [b - a for a, b in pairwise([0.0, *chosen_x, size[0]])]
        heights = [b - a for a, b in pairwise([0.0, *chosen_y, size[1]])]
        sides = widths + heights
        if max(sides) <= rules.max_size and all(max(w, h) <= 2 * min(w, h) + 1e-9 for w, h in product(widths, heights)):
            lines = [shapely.LineString([(x, 0), (x, size[1])]) for x in chosen_x]
            best = min(best, valued(lines + [shapely.LineString([(0, y), (size[0], y)]) for y in chosen_y], islands))
    for cut in (lambda: cut_rectangle(size, (xs, ys), rules, islands=islands),
                lambda: cut_rectilinear(shapely.box(0, 0, *size), (xs, ys), rules, islands=islands)):  # fmt: skip
        if np.isinf(best):
            with pytest.raises(Infeasible):
                cut()
        else:
            found = cut()
            assert pytest.approx(best, abs=0.05) == valued([shapely.LineString([one.start, one.end]) for one in found.cuts], islands)
            assert pytest.approx(best + 4 * 2 * islands.worth, abs=0.05) == found.cost
            assert found.gap < 1e-6


def test_a_line_of_a_skewed_floor_runs_through_an_island_where_even_spacing_would_miss_it():
    """A parallelogram 20 long, whose even division passes an island a metre off."""
    region = shapely.Polygon([(0, 0), (20, 0), (23, 10), (3, 10)])
    rules = CutRules(max_size=12.0)
    even = cut_skewed(region, rules)
    drawn = cut_skewed(region, rules, islands=Islands(np.array([(9 + 1.5, 5.0)]), np.array([0.5]), 3.0))
    (line,) = drawn.cuts

    assert 0.5 < shapely.LineString([even.cuts[0].start, even.cuts[0].end]).distance(shapely.Point(10.5, 5.0))
    assert shapely.LineString([line.start, line.end]).distance(shapely.Point(10.5, 5.0)) < 1e-6
    assert 0 == drawn.faults
