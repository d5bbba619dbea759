"""Cuts brought to their true height: the falls of the floor shift each plumb line."""

from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Polygon

from slabwright.geometry.blocks import Array
from slabwright.geometry.foundation import Foundation
from slabwright.geometry.section import Run
from slabwright.studies.drawings.cuts import Cut

_EPSILON_M = 1e-6
_GULLY_STEPS = 24


class Profile:
    """Heights along one cut, y upwards from the finished floor level. [m]"""

    def __init__(self, foundation: Foundation, cut: Cut) -> None:
        self._foundation = foundation
        self._start = np.asarray(cut.start)
        line = np.asarray(cut.end) - self._start
        self.length_m = float(np.hypot(*line))
        self._along = line / self.length_m
        self._creases = self._creases_of(LineString([cut.start, cut.end]))

    def drop_at_m(self, place_m: float) -> float:
        """How far the top lies below the finished floor level at a place along the cut. [m]"""
        return float(self._foundation.drop_m([tuple(self._start + place_m * self._along)])[0])

    def stretch(self, run: Run) -> Array:
        """Underside of a run as (place, top, bottom) rows, broken wherever underside or fall changes direction. [m]"""
        rows: list[tuple[float, float, float]] = []
        for (low, high), (low_depth, high_depth) in zip(pairwise(run.along_m), pairwise(run.bottom_m), strict=True):
            inner = self._creases[(self._creases > low + _EPSILON_M) & (self._creases < high - _EPSILON_M)]
            places = np.array([low, *inner, high])
            depths = np.interp(places, [low, high], [low_depth, high_depth]) if high > low else np.array([low_depth, high_depth])
            for (a, b), (p, q) in zip(pairwise(places), pairwise(depths), strict=True):
                inset = min(_EPSILON_M, 0.5 * (b - a))
                fall = self.drop_at_m(a + inset), self.drop_at_m(b - inset)
                rows += [(a, -fall[0] - run.top_m, -fall[0] - p), (b, -fall[1] - run.top_m, -fall[1] - q)]
        return np.array(rows)

    def polygon(self, run: Run) -> Polygon:
        """The cut concrete of a run."""
        rows = self.stretch(run)
        return _tidy([*rows[:, [0, 2]], *rows[::-1, [0, 1]]])

    def below(self, run: Run, to_m: float) -> Polygon:
        """From the underside of a run down to a level. [m]"""
        rows = self.stretch(run)
        return _tidy([*rows[:, [0, 2]], (rows[-1, 0], to_m), (rows[0, 0], to_m)])

    def beneath(self, run: Run, thickness_m: float) -> Polygon:
        """A course of even thickness under a run."""
        rows = self.stretch(run)
        under = rows[:, [0, 2]]
        return _tidy([*under, *(under[::-1] - np.array([0.0, thickness_m]))])

    def _creases_of(self, line: LineString) -> Array:
        """Places where a fall begins, ends or turns."""
        places: list[float] = []
        for fall in self._foundation.floor.falls:
            within = Polygon(fall.within) if fall.within is not None else self._foundation.outline
            marks = [shapely.intersection(within.exterior, line)]
            if len(fall.to) > 1:
                low = LineString([fall.to[0], fall.to[-1]])
                far = 4.0 * (self.length_m + low.length + line.distance(low)) / low.length
                marks.append(shapely.intersection(shapely.affinity.scale(low, far, far), line))
            else:
                places += [self.length_m * k / _GULLY_STEPS for k in range(_GULLY_STEPS + 1)]
                places.append(float((np.asarray(fall.to[0]) - self._start) @ self._along))
            points = np.concatenate([shapely.get_coordinates(mark) for mark in marks])
            places += ((points - self._start) @ self._along).tolist()
        return np.unique(np.array(places))


def _tidy(ring: list[Array | tuple[float, float]]) -> Polygon:
    """A ring as a polygon, doubled points and spikes without width left out."""
    polygon = Polygon(ring)
    if polygon.is_valid:
        return polygon
    pieces = [piece for piece in shapely.get_parts(shapely.make_valid(polygon)) if isinstance(piece, Polygon)]
    return max(pieces, key=lambda piece: piece.area)
