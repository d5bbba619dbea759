"""Pictures of this study: the pads on the plan with their worst ratio, soil pressure, the edge over a soft spot."""

from typing import TYPE_CHECKING

import numpy as np
import shapely

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.combinations import Level
from slabwright.results.check import Check, State
from slabwright.results.picture import Area, Circle, Hatch, Item, Layer, Line, Mark, Note, Picture
from slabwright.studies import shape
from slabwright.studies.bearing.loads import Array
from slabwright.studies.bearing.soft_spot import SpanFigures
from slabwright.studies.bearing.stand import Stand
from slabwright.studies.bearing.tables import tables
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import MOMENT, PRESSURE, Family, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.bearing.study import BearingResult

_MOST_DIAGRAMS = 4


def present(inputs: Inputs, done: Done, result: "BearingResult") -> Presentation:
    """The plan of pads, pressure diagrams of the fullest pads, the edge over a soft spot; all tables."""
    family = inputs.job.family
    pictures = [_plan(done[shape.STUDY].foundation, result)]
    pictures += [_pressure(stand, result, family) for stand in _fullest(result)]
    pictures += [_span(one, family) for one in result.spans]
    return Presentation(pictures=tuple(pictures), tables=tables(result))


def _fullest(result: "BearingResult") -> list[Stand]:
    """The stands with the highest soil pressures, alike ones once."""
    by_pressure: dict[int, Stand] = {}
    for stand in result.stands:
        if (gross := result.pads[stand.name].gross_pa) is not None:
            by_pressure.setdefault(round(gross), stand)
    return [by_pressure[gross] for gross in sorted(by_pressure, reverse=True)[:_MOST_DIAGRAMS]]


def _plan(foundation: Foundation, result: "BearingResult") -> Picture:
    items: list[Item] = []
    for piece in shapely.get_parts(foundation.region):
        items.append(Line(layer=Layer.CONCRETE_CUT, points=_ring(piece.exterior), closed=True))
        items += [Line(layer=Layer.CONCRETE_CUT, points=_ring(hole), closed=True) for hole in piece.interiors]
    for part in foundation.parts:
        if part.kind is PartKind.FLOOR:
            continue
        hatch = Hatch.MEDIUM if part.kind is PartKind.PAD else Hatch.SPARSE
        for piece in shapely.get_parts(part.bottom):
            if isinstance(piece, shapely.Polygon):
                holes = tuple(_ring(hole) for hole in piece.interiors)
                items.append(Area(layer=Layer.CONCRETE_HIDDEN, outline=_ring(piece.exterior), holes=holes, hatch=hatch, label=part.name))
    for stand in result.stands:
        worst = worst_of(stand.name, result)
        items.append(Circle(layer=Layer.POST, centre=stand.post.at, radius_m=min(stand.foot_m) / 2, filled=True, label=stand.name))
        if worst is not None:
            text = f"{stand.name} {100 * worst.ratio:.0f} %"
            items.append(Mark(layer=Layer.TEXT, at=_beside(stand), state=worst.state, text=text))
    return Picture(
        key="pads",
        title="Pads under posts, each with the ratio of its worst check",
        items=tuple(items),
        alt=f"Plan of the foundation with {len(result.stands)} posts on pads, each marked with its worst check.",
    )


def worst_of(name: str, result: "BearingResult") -> Check | None:
    """The worst check of a post at design depth; rules of detailing only where they do not hold."""
    own = [check for check in result.checks if check.key.startswith(f"{name}.") and ".thin." not in check.key]
    counted = [check for check in own if check.key not in result.details or check.state is State.FAILS]
    return max(counted, key=lambda check: check.ratio, default=None)


def _beside(stand: Stand) -> tuple[float, float]:
    return stand.pad.at[0], stand.pad.at[1] - max(stand.sides_m) * 0.8


def _ring(ring: shapely.Geometry) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(ring)[:-1])


def _pressure(stand: Stand, result: "BearingResult", family: Family) -> Picture:
    """Section along the pad with the soil pressure drawn below it to scale."""
    service = stand.factored(Level.SERVICE)
    names = [one.name for one in service.combinations]
    figures = result.pads[stand.name]
    case = stand.single(service, names.index(figures.bearing_combination))
    half, depth = stand.sides_m[0] / 2, stand.pad.depth_m
    along = np.linspace(-half, half, 41)
    pressure = case.contact.at(along, 0.0)
    scale = 0.7 * depth / max(float(pressure.max()), 1.0)
    shape_points = tuple((float(x), -depth - float(p) * scale) for x, p in zip(along, pressure, strict=True))
    block = ((-half, 0.0), (half, 0.0), (half, -depth), (-half, -depth))
    foot = stand.foot_m[0] / 2
    middle = stand.offset_m[0]
    items: list[Item] = [
        Area(layer=Layer.CONCRETE_CUT, outline=block, hatch=Hatch.MEDIUM),
        Line(layer=Layer.POST, points=((middle - foot, 0.0), (middle - foot, depth / 2), (middle + foot, depth / 2), (middle + foot, 0.0))),
        Area(layer=Layer.SOIL, outline=((-half, -depth), *shape_points, (half, -depth)), hatch=Hatch.EARTH),
    ]
    for x, p, anchor in ((-half, pressure[0], "end"), (half, pressure[-1], "start")):
        text = format_quantity(float(p), PRESSURE, family, unit="psf" if family is Family.US else "kPa")
        items.append(Note(layer=Layer.DIMENSION, at=(float(x), -depth - float(p) * scale), text=text, anchor=anchor))
    if result.bearing_pa is not None:
        limit = format_quantity(result.bearing_pa, PRESSURE, family, unit="psf" if family is Family.US else "kPa")
        items.append(Note(layer=Layer.DIMENSION, at=(0.0, -depth - 0.35 * depth), text=f"allowable {limit}", boxed=True))
    return Picture(
        key=f"pressure-{stand.name}",
        title=f"Soil pressure under {stand.name}: {figures.bearing_combination}",
        items=tuple(items),
        alt=f"Section of the pad under {stand.name} with the pressure of the soil below it.",
    )


def _span(span: SpanFigures, family: Family) -> Picture:
    """The edge over the gap, its sag and its moments, both exaggerated."""
    beam = span.beam
    middle, shown = float(beam.x[-1]) / 2, 2.5 * span.gap_m
    keep = np.abs(beam.x - middle) <= shown
    x = beam.x[keep] - middle
    moment, sag = beam.moment[keep], beam.deflection[keep]
    height = 0.35 * span.gap_m
    curve = moment / max(float(np.abs(moment).max()), 1e-9) * height
    bent = (sag - sag.min()) / max(float(sag.max() - sag.min()), 1e-12) * 0.15 * span.gap_m
    gap = span.gap_m / 2
    top, low = -0.3 * height, -height
    items: list[Item] = [
        Area(layer=Layer.SOIL, outline=((-shown, top), (-gap, top), (-gap, low), (-shown, low)), hatch=Hatch.EARTH),
        Area(layer=Layer.SOIL, outline=((gap, top), (shown, top), (shown, low), (gap, low)), hatch=Hatch.EARTH),
        Line(layer=Layer.CONCRETE_CUT, points=_points(x, -bent), weight=2.0),
        Line(layer=Layer.DIMENSION, points=_points(x, height * 2 + 0 * x)),
        Line(layer=Layer.CHALK, points=_points(x, height * 2 - curve), label="moment, drawn on the side in tension"),
    ]
    for place, value in ((int(np.argmax(moment)), float(moment.max())), (int(np.argmin(moment)), float(moment.min()))):
        if abs(value) < 0.05 * float(np.abs(moment).max()):
            continue
        text = format_quantity(abs(value), MOMENT, family)
        items.append(Note(layer=Layer.CHALK, at=(float(x[place]), float(height * 2 - curve[place])), text=text))
    return Picture(
        key=f"soft-spot-{span.part}",
        title=f"{span.part} over a soft spot: sag and moments, not to scale",
        items=tuple(items),
        alt=f"The {span.part} bending over a gap in the ground with its moments.",
    )


def _points(x: Array, y: Array) -> tuple[tuple[float, float], ...]:
    return tuple((float(a), float(b)) for a, b in zip(x, y, strict=True))
