"""The plan cut out round one service: what it comes through, its two ties, its wrap, its rim."""

from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.geometry.drawing import area_of, plan_items, polygons_of
from slabwright.model.ground import Wrap
from slabwright.results.picture import Area, Circle, DimensionLine, Item, Layer, Leader, Line, Picture, Point, Ring
from slabwright.studies import joints, shape
from slabwright.studies.under_slab.services import Service, said
from slabwright.study import Done, Inputs

_LEAST_SIDE_M = 1.2
_LONGEST_RUN_M = 6.0
_MARGIN = 0.2


def cut_out(number: int, service: Service, inputs: Inputs, done: Done) -> Picture:
    """One service with everything within reach of its ties."""
    job, pipe = inputs.job, service.pipe
    window = _window(service)
    items: list[Item] = []
    for item in plan_items(done[shape.STUDY].foundation):
        items += _within(item, window)
    for wall in job.walls:
        band = shapely.LineString(wall.line).buffer(0.5 * wall.thickness_m, cap_style="flat")
        items += [area_of(piece, Layer.WALL, label=wall.name) for piece in polygons_of(band & window)]
    for joint in done[joints.STUDY].joints:
        items += [Line(layer=Layer.JOINT, points=run) for run in _runs(shapely.MultiLineString(joint.stretches) & window)]
    if len(pipe.run) > 1:
        items += [Line(layer=Layer.PIPE, points=run, weight=1.8) for run in _runs(shapely.LineString(pipe.run) & window)]
    items.append(Circle(layer=Layer.PIPE, centre=service.at, radius_m=max(0.5 * pipe.diameter_m, 0.01), filled=True))
    if pipe.wrap_thickness_m > 0:
        items.append(Circle(layer=Layer.PIPE, centre=service.at, radius_m=service.half_m, dashed=True))
    items += [DimensionLine(start=tie.foot, end=service.at) for tie in service.ties]
    size = said(pipe.diameter_m, job.family)
    items.append(Leader(layer=Layer.TEXT, tip=service.at, at=_beside(service, window), text=f"{pipe.kind.value}, {size}"))
    return Picture(
        key=f"service-{number}",
        title=f"{number}  {pipe.name}",
        items=tuple(items),
        alt=f"Plan cut out round {pipe.name} with its ties.",
        notes=(f"{number}: {_in_words(service, inputs)}.",),
    )


def goes_through(service: Service) -> str:
    """What a service meets, in words."""
    told = [part.name for part in service.through] + [f"sloped side of {part.name}" for part in service.beside]
    return ", ".join(told) or "floor only"


def _in_words(service: Service, inputs: Inputs) -> str:
    pipe, family = service.pipe, inputs.job.family
    met = goes_through(service).replace("floor only", "the floor only")
    told = [f"{'through' if pipe.riser else 'crosses below'} {met}"]
    if pipe.wrap is not Wrap.NONE:
        told.append(f"{pipe.wrap.value} {said(pipe.wrap_thickness_m, family)}" if pipe.wrap_thickness_m else pipe.wrap.value)
    elif not service.is_drain:
        told.append("no wrap")
    if pipe.depth_m is not None:
        told.append(f"crown {said(pipe.depth_m, family)} below the top of the floor")
    if pipe.fall:
        told.append(f"falls 1 in {1 / pipe.fall:.0f}")
    if service.rim_below_m is not None:
        told.append(f"rim {said(service.rim_below_m, family)} below floor level at the walls")
    return "; ".join(told)


def _beside(service: Service, window: shapely.Polygon) -> Point:
    """A place for words, on the side of the riser away from its ties. [m]"""
    x, y = service.at
    low_x, _, high_x, _ = window.bounds
    reach = 0.12 * (high_x - low_x)
    to_east = sum(tie.foot[0] - x for tie in service.ties) <= 0
    to_north = sum(tie.foot[1] - y for tie in service.ties) <= 0
    return x + (reach if to_east else -reach), y + (reach if to_north else -reach)


def _window(service: Service) -> shapely.Polygon:
    """Round the riser, the feet of its ties and a run that is not too long; never so small that nothing is recognised. [m]"""
    places = [service.at, *(tie.foot for tie in service.ties)]
    if len(service.pipe.run) > 1 and shapely.LineString(service.pipe.run).length <= _LONGEST_RUN_M:
        places += service.pipe.run
    low_x, low_y, high_x, high_y = shapely.MultiPoint(places).bounds
    side = max(high_x - low_x, high_y - low_y, _LEAST_SIDE_M)
    x, y, half = (low_x + high_x) / 2, (low_y + high_y) / 2, (0.5 + _MARGIN) * side
    return shapely.box(x - half, y - half, x + half, y + half)


def _within(item: Item, window: shapely.Polygon) -> Iterator[Item]:
    """The part of an area or a closed line that lies within the window."""
    if isinstance(item, Area):
        for piece in polygons_of(shapely.Polygon(item.outline, item.holes) & window):
            yield area_of(piece, item.layer, hatch=item.hatch)
    elif isinstance(item, Line):
        for run in _runs(shapely.LinearRing(item.points) & window):
            yield Line(layer=item.layer, points=run, weight=item.weight)


def _runs(shape: BaseGeometry) -> Iterator[Ring]:
    """The lines of a shape, those that meet end to end joined."""
    lines = [part for part in shapely.get_parts(shape) if isinstance(part, shapely.LineString) and part.length > 0]
    for part in shapely.get_parts(shapely.line_merge(shapely.MultiLineString(lines))) if lines else ():
        yield tuple((float(x), float(y)) for x, y in shapely.get_coordinates(part))
