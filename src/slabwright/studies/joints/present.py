"""Pictures and tables of the joints: the sheet for the saw operator, the map of tension, the layouts compared."""

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import shapely

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.supply import JointKind
from slabwright.results.picture import Area, DimensionLine, Hatch, Item, Layer, Line, Note, Picture, Scale
from slabwright.results.table import Column, Table
from slabwright.solvers.partition import Layout
from slabwright.studies import shape
from slabwright.studies.joints.layout import is_rectilinear
from slabwright.studies.joints.options import Option
from slabwright.studies.joints.setting_out import setting_out, sides_of, station
from slabwright.studies.joints.spaced import apart_words, spacing_table
from slabwright.study import Done, Inputs, Presentation
from slabwright.units import LENGTH, Family, format_quantity

if TYPE_CHECKING:
    from slabwright.studies.joints.study import JointsResult

_PROVEN = 1e-4
"""Gap below which a layout is proven best: a tenth of a millimetre to the metre."""
_SAW_STOPS = "The saw stops at the isolation joint round each post."
_BANDS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0, 1.5)


def present(inputs: Inputs, done: Done, result: "JointsResult") -> Presentation:
    """The joint sheet, the tension map, the layouts compared, the saw list."""
    foundation = done[shape.STUDY].foundation
    others = tuple(_option_picture(foundation, option, number) for number, option in enumerate(result.options[1:], start=2))
    return Presentation(
        pictures=(_sheet(inputs, foundation, result), _map(foundation, result), *others),
        tables=(
            _saw_list(result, result.options[0].proposal.region, inputs.job.family),
            _comparison(result, inputs.job.family),
            spacing_table(result.spacing, inputs.job.family),
        ),
    )


def _sheet(inputs: Inputs, foundation: Foundation, result: "JointsResult") -> Picture:
    items: list[Item] = [*_ground(foundation)]
    for box in result.isolated:
        items += [Line(layer=Layer.JOINT, points=run, weight=2.0, label="isolation joint") for run in box.runs]
    for joint in result.joints:
        items += [Line(layer=Layer.JOINT, points=part, weight=1.4, label=joint.name) for part in joint.stretches]
        middle = _label_place(joint.start, joint.end, foundation)
        deep = f", {format_quantity(joint.depth_m, LENGTH, inputs.job.family)}" if len(_depths(result)) > 1 else ""
        items.append(Note(layer=Layer.JOINT, at=middle, text=joint.name + deep, bold=True, boxed=True))
    region = result.options[0].proposal.region
    skewed = not is_rectilinear(region)
    apart = (apart_words(result.spacing, inputs.job.family),) if result.joints else ()
    items += setting_out(region, result.joints) if skewed else _dimensions(foundation, result)
    return Picture(
        key="joints",
        title="Joints, numbered in the order of sawing" + _depth_words(inputs, result),
        items=tuple(items),
        alt=f"Plan of the floor with {len(result.joints)} joints, each dimensioned from the outside edges.",
        notes=(*(_setting_out_notes(region) if skewed else ()), *apart, *((_SAW_STOPS,) if result.isolated else ())),
    )


def _setting_out_notes(region: shapely.Polygon) -> tuple[str, ...]:
    """How the ends of lines are found."""
    sides = sides_of(region)
    straight = "Each end is measured along the side it lies on; corners carry letters."
    curved = "A line that ends on a curve is measured square to itself, from the outermost points of the floor."
    return (
        *((straight,) if any(not side.is_step for side in sides) else ()),
        *((curved,) if any(side.is_step for side in sides) else ()),
    )


def _depth_words(inputs: Inputs, result: "JointsResult") -> str:
    told = [format_quantity(depth, LENGTH, inputs.job.family) for depth in _depths(result)]
    return f"; cut {' or '.join(told)} deep" if told else ""


def _depths(result: "JointsResult") -> list[float]:
    """Depths of cut that differ. [m]"""
    return sorted({round(joint.depth_m, 5) for joint in result.joints if joint.kind is not JointKind.CONSTRUCTION})


def _ground(foundation: Foundation) -> list[Item]:
    items: list[Item] = []
    for part in foundation.parts:
        if part.kind is PartKind.FLOOR:
            continue
        hatch = {PartKind.EDGE: Hatch.SPARSE, PartKind.STRIP: Hatch.MEDIUM, PartKind.PAD: Hatch.DENSE}[part.kind]
        for piece in shapely.get_parts(shapely.intersection(part.skirt, foundation.region)):
            if isinstance(piece, shapely.Polygon) and piece.area > 1e-4:
                items.append(_area(piece, Layer.CONCRETE_HIDDEN, hatch=hatch))
    for piece in shapely.get_parts(foundation.region):
        items.append(Line(layer=Layer.CONCRETE_CUT, points=_ring(piece.exterior), closed=True))
        items += [Line(layer=Layer.CONCRETE_CUT, points=_ring(hole), closed=True) for hole in piece.interiors]
    return items


def _area(piece: shapely.Polygon, layer: Layer, *, hatch: Hatch = Hatch.NONE, value: float | None = None) -> Area:
    return Area(
        layer=layer,
        outline=_ring(piece.exterior),
        holes=tuple(_ring(hole) for hole in piece.interiors),
        hatch=hatch,
        value=value,
        outlined=value is None,
    )


def _ring(ring: shapely.Geometry) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in shapely.get_coordinates(ring)[:-1])


def _label_place(start: tuple[float, float], end: tuple[float, float], foundation: Foundation) -> tuple[float, float]:
    """A third of the way along, so that names of crossing lines do not meet in the middle."""
    share = 0.36 if abs(start[0] - end[0]) < abs(start[1] - end[1]) else 0.18
    x, y = start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
    low_x, low_y, high_x, high_y = foundation.region.bounds
    return min(max(x, low_x), high_x), min(max(y, low_y), high_y)


def _dimensions(foundation: Foundation, result: "JointsResult") -> list[Item]:
    """Running dimensions: lines that reach the south or west side from there, the others from the north or east."""
    low, high = foundation.region.bounds[:2], foundation.region.bounds[2:]
    offset = 0.06 * max(high[0] - low[0], high[1] - low[1])
    corners = shapely.get_coordinates(foundation.region)
    items: list[Item] = []
    for axis in (0, 1):
        across = [joint for joint in result.joints if abs(joint.start[axis] - joint.end[axis]) < 1e-6]
        near = [joint for joint in across if min(joint.start[1 - axis], joint.end[1 - axis]) < low[1 - axis] + 0.01]
        far = [joint for joint in across if joint not in near]
        items += _chain(axis, low[1 - axis], [low[axis], high[axis]], [joint.start[axis] for joint in near], offset, far_side=False)
        items += _chain(axis, low[1 - axis], [low[axis], high[axis]], [], 2 * offset, far_side=False)
        if far:
            side = corners[np.abs(corners[:, 1 - axis] - high[1 - axis]) < 1e-6, axis]
            ends = [float(side.min()), float(side.max())]
            items += _chain(axis, high[1 - axis], ends, [joint.start[axis] for joint in far], offset, far_side=True)
    return items


def _chain(axis: int, at: float, ends: list[float], inner: list[float], offset: float, *, far_side: bool) -> list[Item]:
    """Dimension lines from station to station along one side of the floor, outside it."""
    stations = sorted({round(one, 4) for one in [*ends, *inner]})
    points = [(one, at) if axis == 0 else (at, one) for one in stations]
    if (axis == 0) is not far_side:  # a dimension stands to the left of its direction
        points = points[::-1]
    return [DimensionLine(start=a, end=b, offset_m=offset) for a, b in pairwise(points)]


def _map(foundation: Foundation, result: "JointsResult") -> Picture:
    pull = result.restraint
    cells = np.asarray(shapely.polygons(pull.corners))
    band = np.clip(np.digitize(pull.index, _BANDS) - 1, 0, len(_BANDS) - 2)
    items: list[Item] = []
    for number in range(len(_BANDS) - 1):
        merged = shapely.union_all(cells[band == number])
        if not is_rectilinear(result.options[0].proposal.region):  # cells along a skewed side stick out in steps
            merged = merged.intersection(foundation.region)
        items += [
            _area(piece, Layer.MAP, value=(number + 0.5) / (len(_BANDS) - 1))
            for piece in shapely.get_parts(merged)
            if isinstance(piece, shapely.Polygon)
        ]
    items += [Line(layer=Layer.JOINT, points=part) for joint in result.joints for part in joint.stretches]
    items += [Line(layer=Layer.JOINT, points=run) for box in result.isolated for run in box.runs]
    items += [Line(layer=Layer.CONCRETE_CUT, points=_ring(piece.exterior), closed=True) for piece in shapely.get_parts(foundation.region)]
    for piece, index in zip(result.options[0].layout.pieces, result.panel_index, strict=True):
        place = shapely.point_on_surface(piece)
        items.append(Note(layer=Layer.TEXT, at=(place.x, place.y), text=f"{index:.2f}", boxed=True))
    return Picture(
        key="pull",
        title="Tension of drying and cooling over the strength of the concrete, with the joints cut",
        items=tuple(items),
        scale=Scale(title="tension over strength", low=0.0, high=_BANDS[-1], suffix="", levels=_BANDS, banded=True),
        alt="Map of in-plane tension; the number in each panel is its largest ratio to the modulus of rupture.",
        notes=("1.00 and more: expect a crack beside the joint. The bands are 0.2 wide up to 1.0.",),
    )


def _option_picture(foundation: Foundation, option: Option, number: int) -> Picture:
    items: list[Item] = [*_ground(foundation)]
    items += [Line(layer=Layer.JOINT, points=part, weight=1.4) for cut in option.layout.cuts for part in cut.stretches]
    return Picture(key=f"option-{number}", title=option.title, items=tuple(items), alt=f"Another layout of joints: {option.title}.")


def _saw_list(result: "JointsResult", region: shapely.Polygon, family: Family) -> Table:
    """Lines in their order, each from the end at which its saw begins."""
    lines, turns = result.joints, result.turns
    ends = [(line.end, line.start) if turn.backwards else (line.start, line.end) for line, turn in zip(lines, turns, strict=True)]
    if is_rectilinear(region):
        places: list[Column | str] = [Column("From x", "m"), Column("From y", "m"), Column("To x", "m"), Column("To y", "m")]
        told: list[tuple[float | str, ...]] = [(*start, *end) for start, end in ends]
        origin = "from the south-west form corner"
    else:
        sides = sides_of(region)
        places = ["From", "To"]
        told = [tuple(station(end, sides, lines, family) for end in pair) for pair in ends]
        on_curves = "; on a curve by x and y of the plan" if any(side.is_step for side in sides) else ""
        origin = f"along the sides, from the corner named{on_curves}"
    saws = max((turn.saw for turn in turns), default=1)
    figures: list[Column | str] = [
        *places, Column("Length", "m"), Column("Depth", "m"), Column("Over thick concrete", "m"), Column("Expected opening", "m"),
        *(["Saw"] if saws > 1 else []),
    ]  # fmt: skip
    rows = [
        (line.name, *place, line.length_m, line.depth_m, line.lost_m, line.opening_m, *([turn.saw] if saws > 1 else []))
        for line, turn, place in zip(lines, turns, told, strict=True)
    ]
    note = f"Measured {origin}; the saw begins at the first end. All lines together take about {result.sawing_h:.1f} h."
    return Table.of("Saw list", ["Line", *figures], rows, note=note)


def proof_words(layout: Layout, family: Family) -> str:
    """How good a layout is known to be, in one or two sentences."""
    if not layout.n_offered:
        if layout.gap < _PROVEN:
            return "No other choice of the candidate lines that keeps the rules is shorter: proven."
        return f"Another choice of the candidate lines might save {100 * layout.gap:.0f} % at most."
    offered = f"the {layout.n_offered} lines offered"
    if layout.faults > layout.least_faults:
        said = f"It is the best found; another choice of {offered} might break fewer rules."
    elif layout.gap >= _PROVEN:
        said = f"Another choice of {offered} might save {100 * layout.gap:.0f} % at most."
    elif layout.faults:
        said = f"No choice of {offered} breaks fewer rules, and of those that break as few none is shorter: proven."
    else:
        said = f"It breaks no rule, and of {offered} no choice that breaks none is shorter: proven."
    if layout.least_length <= 0:
        return said
    unit = "ft" if family is Family.US else "m"
    least = format_quantity(layout.least_length, LENGTH, family, unit=unit, digits=3)
    return f"{said} However cut, panels of this size take at least {least}."


def _comparison(result: "JointsResult", family: Family) -> Table:
    return Table.of(
        "Layouts compared",
        [
            "Layout",
            Column("Saw-cut", "m"),
            Column("Over thick concrete", "m"),
            Column("Panels"),
            Column("Longest side", "m"),
            Column("Worst shape"),
            Column("Lines that die against another"),
        ],
        [
            (
                option.title,
                option.length_m,
                option.lost_m,
                len(option.layout.pieces),
                option.longest_side_m,
                f"{option.aspect:.2f} : 1",
                option.layout.tees,
            )
            for option in result.options
        ],
        note=proof_words(result.options[0].layout, family),
    )
