"""Vertical sections: the concrete along a straight cut, with exact breakpoints."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, Polygon

from slabwright.errors import GeometryError
from slabwright.geometry.blocks import Array
from slabwright.geometry.foundation import Foundation
from slabwright.geometry.overlay import Integers
from slabwright.geometry.soffit import Soffit

Point = tuple[float, float]
_SAME_M = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """A stretch of concrete along a cut without a gap.

    Attributes
    ----------
    along_m : (n,) array
        Distance from the start of the cut; a step in depth repeats its place. [m]
    top_m : float
        Depth of its top below the top of the floor: 0 within the form line. [m]
    bottom_m : (n,) array
        Depth of its underside. [m]
    parts : (n - 1,) array of int
        Number of the part that forms the underside, or the step, from each place to the next.
    """

    along_m: Array
    top_m: float
    bottom_m: Array
    parts: Integers

    @property
    def area_m2(self) -> float:
        """Cut area. [m²]"""
        return float(np.sum(np.diff(self.along_m) * (0.5 * (self.bottom_m[1:] + self.bottom_m[:-1]) - self.top_m)))

    def polygon(self) -> Polygon:
        """Cut area with x along the cut and y upwards from the top of the floor. [m]"""
        ring = [*zip(self.along_m, -self.bottom_m, strict=True), (self.along_m[-1], -self.top_m), (self.along_m[0], -self.top_m)]
        return Polygon(ring)


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """The concrete along a straight cut, in runs from start to end."""

    start: Point
    end: Point
    runs: tuple[Run, ...]

    @property
    def area_m2(self) -> float:
        """Cut area. [m²]"""
        return sum(run.area_m2 for run in self.runs)


def section(foundation: Foundation, start: Point, end: Point) -> Section:
    """Cut the foundation along a line.

    Raises
    ------
    GeometryError
        For a cut of no length.
    """
    if not np.hypot(end[0] - start[0], end[1] - start[1]) > _SAME_M:
        raise GeometryError("a cut needs two points apart from each other.")
    within, beyond = foundation.soffit, foundation.outside
    runs = [*runs_of(within, np.zeros(len(within.pieces)), start, end), *runs_of(beyond, beyond.roofs[:, 2], start, end)]
    return Section(start, end, tuple(sorted(runs, key=lambda run: (float(run.along_m[0]), run.top_m))))


@dataclass(frozen=True, slots=True)
class _Span:
    """A stretch of a cut through one plane piece."""

    start_m: float
    end_m: float
    top_m: float
    start_depth_m: float
    end_depth_m: float
    part: int

    def goes_on_as(self, other: "_Span") -> bool:
        """True where the other continues this one in the same plane."""
        rise, next_rise = self.end_depth_m - self.start_depth_m, other.end_depth_m - other.start_depth_m
        length, next_length = self.end_m - self.start_m, other.end_m - other.start_m
        same_slope = abs(rise * next_length - next_rise * length) <= _SAME_M * length * next_length
        return self.part == other.part and same_slope and abs(other.start_depth_m - self.end_depth_m) <= _SAME_M


def runs_of(soffit: Soffit, tops: Array, start: Point, end: Point) -> list[Run]:
    """Runs through one soffit, given the depth of the top of the concrete over each of its pieces."""
    runs: list[list[_Span]] = []
    for span in _spans(soffit, tops, start, end):
        last = runs[-1][-1] if runs else None
        if last is None or span.start_m - last.end_m > _SAME_M or abs(span.top_m - last.top_m) > _SAME_M:
            runs.append([span])
        elif last.goes_on_as(span):
            runs[-1][-1] = replace(last, end_m=span.end_m, end_depth_m=span.end_depth_m)
        else:
            runs[-1].append(span)
    return [_run(spans) for spans in runs]


def _spans(soffit: Soffit, tops: Array, start: Point, end: Point) -> list[_Span]:
    """Stretches in order along the cut; where it runs along the border of two pieces the deeper one counts."""
    cut = LineString([start, end])
    near = soffit.tree.query(cut, predicate="intersects")
    lines, index = shapely.get_parts(shapely.intersection(soffit.pieces[near], cut), return_index=True)
    is_line = shapely.get_type_id(lines) == shapely.GeometryType.LINESTRING
    number = near[index[is_line]]
    direction = np.subtract(end, start) / cut.length
    firsts, lasts = shapely.get_point(lines[is_line], 0), shapely.get_point(lines[is_line], -1)
    reach = np.sort(
        np.column_stack([(shapely.get_coordinates(points) - np.asarray(start)) @ direction for points in (firsts, lasts)]), axis=1
    )
    breaks = np.unique(reach)
    breaks = breaks[np.append(True, np.diff(breaks) > _SAME_M)] if len(breaks) else breaks
    depth = np.column_stack(
        [soffit.planes[number, :2] @ direction, soffit.planes[number, :2] @ np.asarray(start) + soffit.planes[number, 2]]
    )
    spans = []
    for low, high in pairwise(breaks.tolist()):
        middle = 0.5 * (low + high)
        there = np.flatnonzero((reach[:, 0] < middle) & (middle < reach[:, 1]))
        if len(there):
            k = there[np.argmax(depth[there] @ (middle, 1.0))]
            bottoms = float(depth[k] @ (low, 1.0)), float(depth[k] @ (high, 1.0))
            spans.append(_Span(low, high, float(tops[number[k]]), *bottoms, int(soffit.owners[number[k]])))
    return spans


def _run(spans: list[_Span]) -> Run:
    along, bottom = [spans[0].start_m], [spans[0].start_depth_m]
    parts = []
    for before, span in zip([None, *spans], spans, strict=False):
        if before is not None and abs(span.start_depth_m - before.end_depth_m) > _SAME_M:
            along.append(span.start_m)
            bottom.append(span.start_depth_m)
            parts.append(max(before, span, key=lambda one: one.start_depth_m + one.end_depth_m).part)
        along.append(span.end_m)
        bottom.append(span.end_depth_m)
        parts.append(span.part)
    return Run(np.array(along), spans[0].top_m, np.array(bottom), np.array(parts, dtype=np.int64))
