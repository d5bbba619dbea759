"""What lies between ground and concrete, a picture each: the base and its soil-gas layer, the sheet, boards, the electrode."""

import math

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from slabwright.geometry.drawing import area_of, outline_items, plan_items, polygons_of
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.ground import Embed, Insulation, PipeKind
from slabwright.model.job import Job
from slabwright.results.picture import Circle, DimensionLine, Hatch, Item, Layer, Leader, Line, Note, Picture, Point
from slabwright.standards import astm_e1745
from slabwright.studies.drawings.cuts import Cut
from slabwright.studies.drawings.sections import section_picture
from slabwright.studies.under_slab.groundwork import electrodes, in_lifts
from slabwright.studies.under_slab.services import Service, said
from slabwright.units import AREA, format_quantity

_OUTSIDE_M = 0.45
_INSIDE_M = 0.7
_DRAWN_BOARD_M = 0.12
_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)


def ground_pictures(
    job: Job, foundation: Foundation, services: tuple[Service, ...], gas_layer: tuple[shapely.Polygon, ...]
) -> tuple[Picture, ...]:
    """Every one that the job has something to show on.

    Parameters
    ----------
    job : Job
    foundation : Foundation
    services : tuple of Service
    gas_layer : tuple of Polygon
        The base as far as it runs unbroken; empty where no soil-gas layer is asked for.
    """
    pictures = []
    if job.base is not None:
        pictures.append(_base(job, foundation, services, gas_layer))
    if job.retarder is not None:
        pictures.append(_sheet(job, foundation, services))
    if job.insulation:
        pictures.append(_boards(job, foundation))
    if job.edge is not None:
        pictures += [_electrode(number, rod, job, foundation) for number, rod in enumerate(electrodes(job), start=1) if len(rod.line) > 1]
    return tuple(pictures)


def numbered(number: int, service: Service) -> tuple[Circle, Note]:
    """A service where it comes up, never smaller than can be seen, with its number beside it."""
    pipe, (x, y) = service.pipe, service.at
    return (
        Circle(layer=Layer.PIPE, centre=service.at, radius_m=max(0.5 * pipe.diameter_m, 0.06), filled=True, label=pipe.name),
        Note(layer=Layer.PIPE, at=(x + 0.35, y + 0.35), text=str(number), bold=True, boxed=True),
    )


def _under_the_floor(foundation: Foundation) -> BaseGeometry:
    """Where the floor itself is what lies below, no thickened part. [m]"""
    thick = shapely.union_all([part.skirt for part in foundation.parts if part.kind is not PartKind.FLOOR])
    return foundation.region.difference(thick)


def _base(job: Job, foundation: Foundation, services: tuple[Service, ...], gas_layer: tuple[shapely.Polygon, ...]) -> Picture:
    """Where the course lies, the trenches below it, and where soil gas leaves."""
    assert job.base is not None
    shown = _under_the_floor(foundation)
    items: list[Item] = [area_of(piece, Layer.BASE, hatch=Hatch.STONE) for piece in polygons_of(shown)]
    items += plan_items(foundation, hatched=False)
    for service in services:
        if len(service.pipe.run) > 1:
            items.append(Line(layer=Layer.PIPE, points=service.pipe.run, weight=1.8, dashed=True, label=service.pipe.name))
    size = said(job.base.thickness_m, job.family)
    layer = in_lifts(job)
    asked = f"compacted to {100 * job.base.compaction:.0f} %" if job.base.compaction is not None else "compacted"
    notes = [f"{size} of {job.base.material} below {format_quantity(shown.area, AREA, job.family)} of floor, {asked}{layer}"]
    if any(len(one.pipe.run) > 1 for one in services):
        notes.append("Dashed: trenches of pipes, filled and compacted like the rest, rolled first")
    if gas_layer:
        vents = [one for one in services if one.pipe.kind is PipeKind.RADON]
        for vent in vents:
            items.append(Circle(layer=Layer.PIPE, centre=vent.at, radius_m=max(0.5 * vent.pipe.diameter_m, 0.06), filled=True))
            items.append(Note(layer=Layer.PIPE, at=(vent.at[0], vent.at[1] + 0.5), text="vent", bold=True, boxed=True))
        if len(gas_layer) > 1:
            for number, piece in enumerate(gas_layer, start=1):
                place = piece.representative_point()
                items.append(Note(layer=Layer.BASE, at=(place.x, place.y), text=f"bay {number}", bold=True, boxed=True))
            notes.append(f"Thickened concrete cuts the soil-gas layer into {len(gas_layer)} bays")
        else:
            notes.append("The soil-gas layer runs unbroken below the whole floor")
    title = "Base and soil-gas layer below the floor" if gas_layer else "Base below the floor"
    return Picture(key="plan-base", title=title, items=tuple(items), alt=f"Plan: {notes[0]}.", notes=tuple(notes))


def _sheet(job: Job, foundation: Foundation, services: tuple[Service, ...]) -> Picture:
    """How far the sheet runs, each place where it is pierced, and what it leaves free for the earth electrode."""
    assert job.retarder is not None
    whole = job.retarder.under_edge
    reach = foundation.region if whole else _under_the_floor(foundation)
    items: list[Item] = [area_of(piece, Layer.SHEET, hatch=Hatch.SPARSE) for piece in polygons_of(reach)]
    items += outline_items(foundation) if whole else plan_items(foundation, hatched=False)
    boots = [(number, one) for number, one in enumerate(services, start=1) if one.pipe.riser and not one.outside_m]
    for number, one in boots:
        items += numbered(number, one)
    lap, patch = (said(value, job.family) for value in (job.retarder.lap_m, astm_e1745.LEAST_PATCH_M))
    notes = ["The sheet runs under edge and pads to the forms" if whole else "The sheet stops at edge, strips and pads"]
    notes.append(f"Laps {lap}, taped; patches {patch} beyond the hole; {_boots(len(boots))}")
    for rod in electrodes(job):
        if len(rod.line) > 1:
            items.append(Line(layer=Layer.STEEL, points=rod.line, weight=2.0, label=rod.name))
            items.append(
                Leader(
                    layer=Layer.STEEL, tip=_place(rod, 0.5), at=_along(_place(rod, 0.5), _way_in(foundation, rod, 0.5), 1.2), text=rod.name
                )
            )
        contact = "has the sheet between it and the earth: it does not count" if whole else "lies on the earth, no sheet below it"
        notes.append(f"The {rod.name} {contact}")
    return Picture(
        key="plan-sheet",
        title="The sheet: how far it runs, where it is pierced",
        items=tuple(items),
        alt=f"Plan: {'; '.join(notes)}.",
        notes=tuple(notes),
    )


def _boots(count: int) -> str:
    return {0: "nothing pierces it", 1: "1 boot, at the riser marked"}.get(count, f"{count} boots, at the risers marked")


def _boards(job: Job, foundation: Foundation) -> Picture:
    """Boards below the floor, against the edge, out in the ground."""
    items, notes = plan_items(foundation, hatched=False), []
    for board in job.insulation:
        items = [*(area_of(piece, Layer.SHEET, hatch=Hatch.MEDIUM) for piece in polygons_of(_board_on_plan(board, foundation))), *items]
        notes.append(_board_in_words(board, job))
    return Picture(
        key="plan-boards",
        title="Insulation below and beside the slab",
        items=tuple(items),
        alt=f"Plan: {'; '.join(notes)}.",
        notes=tuple(notes),
    )


def _board_on_plan(board: Insulation, foundation: Foundation) -> BaseGeometry:
    outline = foundation.outline
    if board.place == "floor":
        under = _under_the_floor(foundation)
        return under if board.width_m is None else under.difference(outline.buffer(-board.width_m, join_style="mitre"))
    out = board.width_m if board.place == "skirt" and board.width_m is not None else max(board.thickness_m, _DRAWN_BOARD_M)
    return outline.buffer(out, join_style="mitre").difference(outline)


def _board_in_words(board: Insulation, job: Job) -> str:
    size = said(board.thickness_m, job.family)
    if board.place == "floor":
        where = "below the floor" if board.width_m is None else f"below the outer {said(board.width_m, job.family)} of the floor"
    elif board.place == "skirt":
        where = "laid out in the ground round the slab" + (f", {said(board.width_m, job.family)} wide" if board.width_m else "")
    else:
        where = "upright against the edge" + (f", {said(board.width_m, job.family)} down" if board.width_m else "")
    return f"{size} board {where}"


def _electrode(number: int, rod: Embed, job: Job, foundation: Foundation) -> Picture:
    """The edge cut square to the bar: how much concrete lies below it, and that nothing lies between that and the earth."""
    assert job.edge is not None
    middle, start, end = _cut_across(rod, job, foundation)
    picture = section_picture(job, foundation, Cut(f"section-electrode-{number}", f"edge with the {rod.name}", "E", start, end, "edge"))
    x, deep = math.dist(start, middle), rod.embedment_m + float(foundation.drop_m([middle])[0])
    below = -float(foundation.thickness_m([middle])[0]) - float(foundation.drop_m([middle])[0])
    items: list[Item] = [
        Circle(layer=Layer.STEEL, centre=(x, -deep), radius_m=0.5 * rod.diameter_m, filled=True),
        DimensionLine(start=(x, -deep - 0.5 * rod.diameter_m), end=(x, below)),
        Leader(layer=Layer.STEEL, tip=(x, -deep), at=(x + 0.25, -0.6 * deep), text=f"{rod.name}, {said(rod.diameter_m, job.family)}"),
    ]
    length = said(LineString(rod.line).length, job.family)
    note = f"The bar runs {length} in the edge; its clamp and tail stay in sight until they are photographed"
    return Picture(
        key=picture.key, title=f"Edge with the {rod.name}", items=(*picture.items, *items), alt=f"Section: {note}.", notes=(note,)
    )


def _cut_across(rod: Embed, job: Job, foundation: Foundation) -> tuple[Point, Point, Point]:
    """Where on the bar the edge is cut, and the ends of the cut: clear of strips and pads where that goes, near the middle. [m]"""
    assert job.edge is not None
    slope_m = job.edge.run * max(0.0, job.edge.depth_m - foundation.floor.thickness_m)
    others = shapely.union_all([part.skirt for part in foundation.parts if part.kind in (PartKind.STRIP, PartKind.PAD)])
    cuts = []
    for share in _SHARES:
        place, way = _place(rod, share), _way_in(foundation, rod, share)
        face = _face_m(foundation, place, way)
        inner = max(0.0, job.edge.width_m - face) + slope_m + _INSIDE_M
        cuts.append((place, _along(place, way, -face - _OUTSIDE_M), _along(place, way, inner)))
    return next((cut for cut in cuts if not others.intersects(LineString(cut[1:]))), cuts[0])


def _place(rod: Embed, share: float) -> Point:
    point = LineString(rod.line).interpolate(share, normalized=True)
    return point.x, point.y


def _way_in(foundation: Foundation, rod: Embed, share: float) -> Point:
    """The direction square to the bar, towards the floor."""
    before, after = _place(rod, share - 0.01), _place(rod, share + 0.01)
    length, place = math.dist(before, after), _place(rod, share)
    square = (-(after[1] - before[1]) / length, (after[0] - before[0]) / length)
    return max((square, (-square[0], -square[1])), key=lambda way: _depth_inside(foundation, _along(place, way, _OUTSIDE_M)))


def _depth_inside(foundation: Foundation, place: Point) -> float:
    """How far inside the outline a point lies, negative outside. [m]"""
    point = shapely.Point(place)
    away = foundation.outline.exterior.distance(point)
    return away if foundation.outline.covers(point) else -away


def _face_m(foundation: Foundation, middle: Point, way: Point) -> float:
    """From the bar out to the form line, square to the bar. [m]"""
    ray = LineString([middle, _along(middle, way, -100.0)])
    crossing = ray.intersection(foundation.outline.exterior)
    return 0.0 if crossing.is_empty else float(shapely.Point(middle).distance(crossing))


def _along(start: Point, way: Point, distance_m: float) -> Point:
    return start[0] + distance_m * way[0], start[1] + distance_m * way[1]
