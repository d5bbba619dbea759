"""Ways to part a region into wings, each simple enough for one grid of lines.

At every re-entrant corner a first line leaves into the region: one of its sides carried on, both, the bisector, or the line to
a corner across from it, which is the mitre of two wings of unlike width. A region without such corners may be parted from
corner to corner. All these lines run from side to side, so that no line need die against another.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
import shapely

from slabwright.solvers.partition.corners import STRAIGHT, re_entrant
from slabwright.solvers.partition.layout import SHARP_RAD, Cut, Floats, pieces_of
from slabwright.solvers.partition.panels import NARROW, RE_ENTRANT, SHARP, measured

_Corner = tuple[Floats, Floats, Floats]
_SIDEWAYS = np.deg2rad(35.0)
"""How far from the bisector a line to a corner across may run."""
_CURVE = 0.1
"""Share of the least size of a piece by which a curve may leave its chord before it is parted there."""
_MOST_WAYS = 48
"""Ways to part a region that are looked at; the most promising of them are solved."""
_NEAR = 0.05
"""Distance in m within which two lines are one to a builder."""


@dataclass(frozen=True, slots=True)
class Parting:
    """First lines and the wings they leave."""

    cuts: tuple[Cut, ...]
    wings: tuple[shapely.Polygon, ...]


def partings(
    region: shapely.Polygon,
    min_size: float,
    *,
    sharp_rad: float = SHARP_RAD,
    forced: tuple[Cut, ...] = (),
    forbidden: Iterable[shapely.LineString] = (),
) -> list[Parting]:
    """Ways to part a region, the most promising first; the region as it is among them.

    Parameters
    ----------
    region : shapely.Polygon
    min_size : float
        Wings narrower than this are slivers.
    sharp_rad : float
        Angle below which a corner is sharp.
    forced : tuple of Cut
        Lines that every parting has.
    forbidden : iterable of shapely.LineString
        Lines that none has.
    """
    barred = tuple(forbidden)
    seen: dict[frozenset[tuple[float, ...]], Parting] = {}
    for cuts in _sets_of_cuts(region, forced, _CURVE * min_size, sharp_rad):
        if any(along(cut_line(cut), line) for cut in cuts for line in barred):
            continue
        key = frozenset(tuple(np.round(sorted([cut.start, cut.end]), 3).ravel().tolist()) for cut in cuts)
        if key not in seen:
            seen[key] = Parting(cuts, pieces_of(region, cuts))
    return sorted(seen.values(), key=lambda one: _promise(one, region, min_size, sharp_rad))


def cut_line(cut: Cut) -> shapely.LineString:
    """The line of a cut."""
    return shapely.LineString([cut.start, cut.end])


def along(line: shapely.LineString, other: shapely.LineString) -> bool:
    """Whether two lines run along each other for half of the shorter."""
    return bool(line.intersection(other.buffer(_NEAR)).length > 0.5 * min(line.length, other.length))


def from_side_to_side(region: shapely.Polygon, start: tuple[float, float], end: tuple[float, float]) -> tuple[Cut, ...]:
    """The line through two points, carried on both ways to the rim of the region; in parts where the region is not whole between them."""
    a, b = np.asarray(start, dtype=float), np.asarray(end, dtype=float)
    towards = (b - a) / max(float(np.hypot(*(b - a))), 1e-12)
    far = 2.0 * float(np.hypot(*np.ptp(np.array(region.bounds).reshape(2, 2), axis=0))) + region.distance(shapely.Point(start))
    asked = shapely.LineString([a, b]).buffer(1e-6)
    parts = shapely.get_parts(shapely.LineString([a - far * towards, b + far * towards]).intersection(region))
    meant = [part for part in parts if part.geom_type == "LineString" and part.intersection(asked).length > 1e-5]
    return tuple(Cut(part.coords[0], part.coords[-1]) for part in meant)


def _sets_of_cuts(region: shapely.Polygon, forced: tuple[Cut, ...], curve: float, sharp_rad: float) -> Iterator[tuple[Cut, ...]]:
    yield forced
    corners = [(corner, ways) for corner, ways in _ways_by_corner(region, curve, sharp_rad) if ways and not _touched(corner, forced)]
    if not corners:
        yield from ((*forced, cut) for cut in _diagonals(region))
        return
    while np.prod([len(ways) for _, ways in corners], dtype=float) > _MOST_WAYS:
        longest = max(corners, key=lambda one: len(one[1]))
        longest[1].pop()
    for chosen in product(*(ways for _, ways in corners)):
        cuts = forced
        for (corner, _), way in zip(corners, chosen, strict=True):
            if not _touched(corner, cuts):
                cuts = (*cuts, *way)
        yield cuts


def _touched(corner: Floats, cuts: tuple[Cut, ...]) -> bool:
    return any(cut_line(cut).distance(shapely.Point(corner)) < 1e-6 for cut in cuts)


def _ways_by_corner(region: shapely.Polygon, curve: float, sharp_rad: float) -> Iterator[tuple[Floats, list[tuple[Cut, ...]]]]:
    """For each re-entrant corner the lines that may leave it, those with the bluntest corners first."""
    across = shapely.get_coordinates(region)
    for ring, is_hole in ((region.exterior, False), *((hole, True) for hole in region.interiors)):
        corners = list(re_entrant(ring, is_hole=is_hole))
        coarse = shapely.LinearRing(ring.simplify(curve).coords)
        bends = re_entrant(coarse, is_hole=is_hole, least_turn=STRAIGHT)
        sharp = [corner for corner, _, _ in corners]
        curves = _runs([one for one in bends if all(np.abs(one[0] - other).max() > 1e-9 for other in sharp)], coarse)
        corners += [run[0] for run in curves if len(run) == 1]
        for run in curves:
            if len(run) > 1:
                yield _across_curve(region, run, sharp_rad)
        for corner, onward, backward in corners:
            middle = onward + backward
            half = middle / np.hypot(*middle)
            sights = across - corner
            far = np.hypot(*sights.T)
            turned = np.arccos(np.clip(sights @ half / np.maximum(far, 1e-12), -1, 1))
            mitres = [sights[k] / far[k] for k in np.argsort(turned)[:3] if far[k] > 1e-6 and turned[k] < _SIDEWAYS]
            single = [_chord(region, corner, towards) for towards in (onward, backward, half, *mitres)]
            ways: list[tuple[Cut, ...]] = [(cut,) for cut in single if cut is not None]
            if single[0] is not None and single[1] is not None:
                ways.append((single[0], single[1]))
            yield corner, sorted(ways, key=lambda way: _sharp(region, way, sharp_rad))


def _runs(bends: list[_Corner], coarse: shapely.LinearRing) -> list[list[_Corner]]:
    """Bends that follow one another round a ring, together: the curve that turns into the region."""
    points = shapely.get_coordinates(coarse)[:-1]
    number = {int(np.argmin(np.abs(points - one[0]).max(axis=1))): one for one in bends}
    n = len(points)
    runs = []
    for first in (k for k in number if (k - 1) % n not in number):
        run, k = [number[first]], (first + 1) % n
        while k in number:
            run.append(number[k])
            k = (k + 1) % n
        runs.append(run)
    return runs


def _across_curve(region: shapely.Polygon, run: list[_Corner], sharp_rad: float) -> tuple[Floats, list[tuple[Cut, ...]]]:
    """Lines that part a region square to a curve that turns into it: at both its ends, there and halfway, or halfway alone."""
    square: list[Cut | None] = []
    for corner, onward, backward in (run[0], run[-1]):
        side = onward if not square else backward
        chords = [_chord(region, corner, turn * np.array([-side[1], side[0]])) for turn in (1.0, -1.0)]
        square.append(max((one for one in chords if one is not None), key=lambda one: one.length, default=None))
    corner, onward, backward = run[len(run) // 2]
    half = _chord(region, corner, (onward + backward) / np.hypot(*(onward + backward)))
    chosen = [(square[0], square[1]), (square[0], half, square[1]), (half,), (square[0],), (square[1],)]
    ways = [tuple(one for one in way if one is not None) for way in chosen]
    kept = [way for way, asked in zip(ways, chosen, strict=True) if len(way) == len(asked)]
    return corner, sorted(kept, key=lambda way: _sharp(region, way, sharp_rad))


def _sharp(region: shapely.Polygon, cuts: tuple[Cut, ...], sharp_rad: float) -> tuple[int, float]:
    shapes = measured(pieces_of(region, cuts), region, sharp_rad)
    return int(shapes.sharp.sum()), sum(cut.length for cut in cuts)


def _diagonals(region: shapely.Polygon) -> Iterator[Cut]:
    """Lines from corner to corner of a region with more than four corners and no re-entrant one."""
    points = shapely.get_coordinates(region.exterior.simplify(1e-6))[:-1]
    n = len(points)
    if region.interiors or not 5 <= n <= 8:
        return
    for i, j in combinations(range(n), 2):
        if min(j - i, n - j + i) >= n // 2:
            yield Cut((float(points[i, 0]), float(points[i, 1])), (float(points[j, 0]), float(points[j, 1])))


def _chord(region: shapely.Polygon, at: Floats, towards: Floats) -> Cut | None:
    """The straight way from a point to the rim of the region."""
    far = 2.0 * float(np.hypot(*np.ptp(np.array(region.bounds).reshape(2, 2), axis=0)))
    ray = shapely.LineString([at, at + far * towards]).intersection(region)
    parts = [part for part in shapely.get_parts(ray) if part.geom_type == "LineString" and part.length > 1e-6]
    if not parts:
        return None
    line = min(parts, key=lambda part: part.distance(shapely.Point(at)))
    if line.distance(shapely.Point(at)) > 1e-6 or line.interpolate(0.5, normalized=True).distance(region.boundary) < 1e-6:
        return None
    (x1, y1), (x2, y2) = line.coords[0], line.coords[-1]
    return Cut((float(x1), float(y1)), (float(x2), float(y2)))


def _promise(parting: Parting, region: shapely.Polygon, min_size: float, sharp_rad: float) -> tuple[float, float]:
    """Faults that the wings themselves bring, those that four sides do not bound among them; then the length of line."""
    shapes = measured(parting.wings, region, sharp_rad)
    corners = np.array([len(shapely.get_coordinates(wing.exterior.simplify(1e-4))) - 1 for wing in parting.wings])
    faults = RE_ENTRANT * shapes.re_entrant + SHARP * shapes.sharp + NARROW * (shapes.short < min_size) + (corners != 4)
    return float(faults.sum()), sum(cut.length for cut in parting.cuts)
