"""The foundation as drawing primitives: its plan with the thickened parts, its sections."""

import shapely
from shapely import Polygon

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.results import picture
from slabwright.results.picture import Hatch, Item, Layer, Line, Ring

_HATCH = {PartKind.EDGE: Hatch.SPARSE, PartKind.STRIP: Hatch.MEDIUM, PartKind.PAD: Hatch.DENSE}


def ring_of(line: shapely.Geometry) -> Ring:
    """Corners of a closed line, the last not repeated. [m]"""
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(line)[:-1])


def area_of(polygon: Polygon, layer: Layer, *, hatch: Hatch = Hatch.NONE, value: float | None = None, label: str = "") -> picture.Area:
    """A polygon as a filled area."""
    holes = tuple(ring_of(hole) for hole in polygon.interiors)
    return picture.Area(
        layer=layer, outline=ring_of(polygon.exterior), holes=holes, hatch=hatch, value=value, outlined=value is None, label=label
    )


def polygons_of(area: shapely.Geometry) -> tuple[Polygon, ...]:
    """The polygons of a shape that have an area worth drawing."""
    return tuple(part for part in shapely.get_parts(area) if isinstance(part, Polygon) and part.area > 1e-4)


def outline_items(foundation: Foundation) -> list[Item]:
    """The floor's edges and block-outs."""
    items: list[Item] = []
    for piece in polygons_of(foundation.region):
        items.append(Line(layer=Layer.CONCRETE_CUT, points=ring_of(piece.exterior), closed=True))
        items += [Line(layer=Layer.CONCRETE_CUT, points=ring_of(hole), closed=True) for hole in piece.interiors]
    return items


def plan_items(foundation: Foundation, *, hatched: bool = True) -> list[Item]:
    """The plan: thickened parts hatched by kind, then the floor's edges."""
    items: list[Item] = []
    for part in foundation.parts:
        if part.kind is not PartKind.FLOOR:
            hatch = _HATCH[part.kind] if hatched else Hatch.NONE
            seen = shapely.intersection(part.skirt, foundation.region)
            items += [area_of(piece, Layer.CONCRETE_HIDDEN, hatch=hatch) for piece in polygons_of(seen)]
    return items + outline_items(foundation)


def section_items(foundation: Foundation, start: tuple[float, float], end: tuple[float, float]) -> list[Item]:
    """The cut concrete along a line: x along the cut, y upwards from the top of the floor. [m]"""
    return [area_of(run.polygon(), Layer.CONCRETE_CUT, hatch=Hatch.SPARSE) for run in foundation.section(start, end).runs]
