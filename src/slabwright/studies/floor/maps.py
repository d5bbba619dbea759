"""Filled contours on the plan: what the floor does, with numbers a black and white copy can be read by."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import shapely

from slabwright.geometry.contours import band_between, contours_of
from slabwright.geometry.drawing import area_of, polygons_of, ring_of
from slabwright.geometry.foundation import PartKind
from slabwright.results.picture import Area, Circle, Item, Layer, Line, Note, Picture, Scale
from slabwright.solvers.plate.reference import Floats
from slabwright.studies.floor.body import Body
from slabwright.units import DIMENSIONS, format_number, in_unit

_WANTED_BANDS = 7
_LEAST_AREA_M2 = 1e-3
_STRAIGHTEN_M = 0.01


@dataclass(frozen=True, eq=False, kw_only=True)
class Field:
    """Values on a rectangular lattice, NaN off the slab.

    Attributes
    ----------
    x, y : (nx,), (ny,)
        [m]
    values : (nx, ny)
    suffix : str
    unit : str
        Written unit of the contour numbers.
    """

    x: Floats
    y: Floats
    values: Floats
    suffix: str
    unit: str


@dataclass(frozen=True, eq=False, kw_only=True)
class Map:
    """What a map shows, kept with the answer and drawn when somebody looks.

    Attributes
    ----------
    key, title, scale_title, alt : str
    field : Field
    marks : tuple of ((x, y), value)
        Places whose value is written.
    within : shapely.Polygon or None
        The part of the slab that is shown.
    feet : tuple of shapely.Polygon
        Outlines of what stands there.
    notes : tuple of str
        Sentences under the map.
    """

    key: str
    title: str
    scale_title: str
    alt: str
    field: Field
    marks: tuple[tuple[tuple[float, float], float], ...] = ()
    within: shapely.Polygon | None = None
    feet: tuple[shapely.Polygon, ...] = ()
    notes: tuple[str, ...] = ()


def drawn(one: Map, body: Body) -> Picture:
    """A map with its bands, contour lines, the shape of the slab, and values at marked places."""
    region, field = body.region if one.within is None else one.within, one.field
    levels = _levels(field)
    low, high = levels[0], levels[-1]
    contours = contours_of(field.x, field.y, np.ma.masked_invalid(field.values.T))
    items: list[Item] = [*_bands(contours, levels, region), *_lines(contours, field, levels, region), *_shape(body, region)]
    items += [Line(layer=Layer.POST, points=ring_of(foot.exterior), closed=True) for foot in one.feet]
    for at, value in one.marks:
        items.append(Circle(layer=Layer.POST, centre=at, radius_m=0.02 * math.sqrt(region.area) / 4.0, filled=True))
        items.append(Note(layer=Layer.TEXT, at=at, text=_number(value, field), boxed=True, size=0.9))
    return Picture(
        key=one.key, title=one.title, items=tuple(items), alt=one.alt,
        scale=Scale(title=one.scale_title, low=low, high=high, suffix=field.suffix, levels=tuple(levels), unit=field.unit),
        notes=(f"Numbers on the map in {field.unit}.", *one.notes),
    )  # fmt: skip


def _levels(field: Field) -> list[float]:
    """Round values in the written unit that enclose the field in about seven bands."""
    dimension = DIMENSIONS[field.suffix]
    low, high = (in_unit(float(one), dimension, field.unit) for one in (np.nanmin(field.values), np.nanmax(field.values)))
    if high - low < 1e-9 * max(abs(high), abs(low), 1e-30):
        high = low + max(abs(low), 1.0) * 0.1
    raw = (high - low) / _WANTED_BANDS
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(factor * power for factor in (1.0, 2.0, 2.5, 5.0, 10.0) if factor * power >= raw * (1 - 1e-9))
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    factor = dimension.units[field.unit].factor
    return [number * step * factor for number in range(first, last + 1)]


def _bands(contours: Any, levels: Sequence[float], region: shapely.Polygon) -> Iterator[Area]:
    low, high = levels[0], levels[-1]
    for a, b in pairwise(levels):
        band = band_between(contours, a if a > low else -np.inf, b).intersection(region)
        for piece in polygons_of(band.simplify(_STRAIGHTEN_M)):
            if piece.area > _LEAST_AREA_M2:
                yield area_of(piece, Layer.MAP, value=((a + b) / 2.0 - low) / (high - low))


def _lines(contours: Any, field: Field, levels: Sequence[float], region: shapely.Polygon) -> Iterator[Line]:
    shortest = 0.06 * math.sqrt(region.area)
    for level in levels[1:-1]:
        for points in contours.lines(level):
            for piece in shapely.get_parts(shapely.LineString(points).simplify(_STRAIGHTEN_M).intersection(region)):
                if isinstance(piece, shapely.LineString) and piece.length > shortest:
                    line = tuple((float(x), float(y)) for x, y in shapely.get_coordinates(piece))
                    yield Line(layer=Layer.CONTOUR, points=line, label=_number(level, field), weight=0.7)


def _number(value: float, field: Field) -> str:
    return format_number(in_unit(value, DIMENSIONS[field.suffix], field.unit), 3)


def _shape(body: Body, region: shapely.Polygon) -> Iterator[Item]:
    for part in body.foundation.parts:
        if part.kind is not PartKind.FLOOR:
            for piece in polygons_of(part.bottom.intersection(region)):
                yield Line(layer=Layer.CONCRETE_HIDDEN, points=ring_of(piece.exterior), closed=True, dashed=True)
    for joint in body.joints:
        for piece in shapely.get_parts(shapely.LineString(joint).intersection(region)):
            if piece.geom_type == "LineString" and piece.length > 0.0:
                yield Line(layer=Layer.JOINT, points=tuple((float(x), float(y)) for x, y in shapely.get_coordinates(piece)))
    yield Line(layer=Layer.CONCRETE_CUT, points=ring_of(region.exterior), closed=True)
    for hole in region.interiors:
        yield Line(layer=Layer.CONCRETE_CUT, points=ring_of(hole), closed=True)
