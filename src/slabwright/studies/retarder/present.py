"""Pictures and tables of the retarder: the lengths, the way into the trench, the cut list of each roll."""

from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from shapely import Point

from slabwright.geometry.drawing import area_of, plan_items, polygons_of, ring_of, section_items
from slabwright.geometry.foundation import Foundation
from slabwright.model.ground import Retarder
from slabwright.results.picture import Area, Circle, DimensionLine, Hatch, Item, Layer, Leader, Line, Note, Picture
from slabwright.results.table import Cell, Column, Table
from slabwright.studies import shape
from slabwright.studies.retarder.lay import SheetLayout, SheetPiece
from slabwright.studies.retarder.sheet import Ground
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.retarder.study import RetarderResult

_CLEAR_M = 0.25
_MOST_NAMED = 60
_LIFT_M = 0.015
"""The sheet is drawn so far below the concrete that it can be seen. [m]"""


def present(inputs: Inputs, done: Done, result: "RetarderResult") -> Presentation:
    """The sheet of lengths, a section of the edge with the sheet, the cut list, the ways compared."""
    sheet = inputs.job.retarder
    if result.layout is None or result.ground is None or sheet is None:
        return Presentation()
    foundation = done[shape.STUDY].foundation
    pictures = [_plan(foundation, result.ground, result.layout)]
    if foundation.edge is not None:
        pictures.append(_edge(foundation, sheet))
    return Presentation(
        pictures=tuple(pictures), tables=(_cut_list(result.layout), _places(result.layout), _liners(result.ground), _compared(result))
    )


def _plan(foundation: Foundation, ground: Ground, layout: SheetLayout) -> Picture:
    items: list[Item] = [area_of(piece, Layer.SHEET, hatch=Hatch.NONE) for piece in polygons_of(ground.flat)]
    items += plan_items(foundation, hatched=False)
    for one in layout.pieces:
        items.append(Area(layer=Layer.SHEET, outline=ring_of(one.outline.exterior), label=one.mark))
        items.append(Note(layer=Layer.SHEET, at=_clear_place(one, layout, ground), text=one.mark, bold=True, boxed=True))
    for liner in ground.liners:
        items += [area_of(piece, Layer.SHEET, hatch=Hatch.SPARSE) for piece in polygons_of(liner.hole)]
        if len(ground.liners) <= _MOST_NAMED:
            middle = liner.hole.representative_point()
            items.append(Note(layer=Layer.SHEET, at=(middle.x, middle.y), text=liner.name, size=0.8))
    for pipe in ground.risers:
        items.append(Circle(layer=Layer.PIPE, centre=pipe.run[-1], radius_m=max(pipe.diameter_m / 2, 0.05)))
    items += _dimensions(foundation, layout)
    return Picture(
        key="retarder",
        title="Retarder: lengths opened out flat, laid from the first on",
        items=tuple(items),
        alt=f"Plan of the floor with {len(layout.pieces)} pieces of sheet, numbered by row.",
        notes=(
            "What lies beyond the form line goes down the slope, along the bottom and up the outer side of the trench; more is folded in.",
            "Hatched: pads and strips with a liner of their own; see the list. Circles: pipes with a boot or collar.",
        ),
    )


def _clear_place(one: SheetPiece, layout: SheetLayout, ground: Ground) -> tuple[float, float]:
    """Where the mark of a length stands: along its middle, off the liners where that can be."""
    x0, y0, x1, y1 = one.outline.bounds
    shares = (0.3, 0.4, 0.2, 0.5, 0.1) if one.row % 2 else (0.7, 0.6, 0.8, 0.5, 0.9)
    places = [
        (0.5 * (x0 + x1), y0 + share * (y1 - y0)) if layout.along_y else (x0 + share * (x1 - x0), 0.5 * (y0 + y1)) for share in shares
    ]
    far = [min((liner.hole.distance(Point(place)) for liner in ground.liners), default=1.0) for place in places]
    return next((place for place, distance in zip(places, far, strict=True) if distance > _CLEAR_M), places[far.index(max(far))])


def _dimensions(foundation: Foundation, layout: SheetLayout) -> list[Item]:
    """Where each length begins and the last one ends; and how far the sheet reaches beyond the forms."""
    bounds = [one.outline.bounds for one in layout.pieces]
    west, south = min(b[0] for b in bounds), min(b[1] for b in bounds)
    east, north = max(b[2] for b in bounds), max(b[3] for b in bounds)
    offset = 0.05 * max(east - west, north - south)
    forms = foundation.outline.bounds
    starts = [*sorted({round(b[0] if layout.along_y else b[1], 4) for b in bounds}), round(east if layout.along_y else north, 4)]
    first, last = (forms[0], forms[2]) if layout.along_y else (forms[1], forms[3])
    chains = [(starts, 1), (sorted({starts[0], round(first, 4), round(last, 4), starts[-1]}), 2)]
    items: list[Item] = []
    for marks, line in chains:
        for low, high in pairwise(marks):
            ends = ((high, south), (low, south)) if layout.along_y else ((west, low), (west, high))
            items.append(DimensionLine(start=ends[0], end=ends[1], offset_m=line * offset))
    return items


def _edge(foundation: Foundation, sheet: Retarder) -> Picture:
    """A cut through the longest side of the form line with the sheet below it."""
    ring = np.asarray(foundation.outline.exterior.coords)
    sides = np.diff(ring, axis=0)
    longest = int(np.argmax(np.hypot(sides[:, 0], sides[:, 1])))
    along = sides[longest] / np.hypot(*sides[longest])
    inward = np.array([-along[1], along[0]])
    middle = ring[longest] + 0.43 * sides[longest]
    edge = foundation.edge
    depth = edge.depth_m if edge is not None else 0.0
    reach = edge.width_m + (edge.run + 1.0) * edge.depth_m if edge is not None else 0.5
    start, end = middle - 1e-3 * inward, middle + reach * inward
    cut = foundation.section((float(start[0]), float(start[1])), (float(end[0]), float(end[1])))
    items: list[Item] = section_items(foundation, (float(start[0]), float(start[1])), (float(end[0]), float(end[1])))
    run = cut.runs[0]
    points = [(float(x), -float(z) - _LIFT_M) for x, z in zip(run.along_m, run.bottom_m, strict=True)]
    if sheet.under_edge:
        grade = -(edge.top_above_grade_m if edge is not None else 0.0)
        points = [(points[0][0] - _LIFT_M, grade), (points[0][0] - _LIFT_M, points[0][1]), *points[1:]]
    else:
        points = [(x, z) for x, z in points if z >= points[-1][1] - 1e-6]
    items.append(Line(layer=Layer.SHEET, points=tuple(points), weight=1.6, label="sheet"))
    tip = points[len(points) // 2]
    items.append(Leader(layer=Layer.SHEET, tip=tip, at=(tip[0] + 0.3 * depth, tip[1] - 0.4 * depth), text="retarder"))
    extra = "turned up to the grade" if sheet.under_edge else "stops at the trench, sealed to its side"
    return Picture(
        key="retarder-edge",
        title=f"Retarder at the edge: {extra}",
        items=tuple(items),
        alt="Section of the edge with the sheet beneath it.",
    )


def _cut_list(layout: SheetLayout) -> Table:
    cuts = [(one.roll, f"length {one.mark}", one.length_m) for one in layout.pieces]
    cuts += [(patch.roll, "liner " + ", ".join(patch.names), patch.length_m) for patch in layout.patches]
    rows: list[tuple[Cell, ...]] = [*sorted(cuts, key=lambda one: (one[0], -one[2]))]
    return Table.of(
        "Retarder: what to cut from each roll",
        ["Roll", "Piece", Column("Length", "m")],
        rows,
        note=f"{layout.n_rolls} rolls; {layout.least_rolls} is the least for these pieces.",
    )


def _places(layout: SheetLayout) -> Table:
    rows = []
    for one in layout.pieces:
        x0, y0, x1, y1 = one.outline.bounds
        rows.append((one.mark, x0, y0, x1 - x0, y1 - y0))
    return Table.of(
        "Retarder: lengths in their places",
        ["Length", Column("Corner x", "m"), Column("Corner y", "m"), Column("Along x", "m"), Column("Along y", "m")],
        rows,
        note="Opened out flat; measured from the south-west form corner, beyond it negative.",
    )


def _liners(ground: Ground) -> Table:
    alike: dict[tuple[float, float], list[str]] = {}
    for liner in ground.liners:
        alike.setdefault((round(liner.length_m, 4), round(liner.width_m, 4)), []).append(liner.name)
    what = "liner, folded at its corners, lapped on the floor all round"
    liners: list[tuple[Cell, ...]] = [(", ".join(names), len(names), *size, what) for size, names in alike.items()]
    return Table.of(
        "Retarder: liners of pads and strips, pipes",
        ["For", "Count", Column("Length", "m"), Column("Width", "m"), "What"],
        liners + [(pipe.name, 1, None, None, "boot or collar") for pipe in ground.risers],
    )


def _compared(result: "RetarderResult") -> Table:
    return Table.of(
        "Retarder: ways compared",
        ["Way", Column("Seam", "m"), "Rolls", "Cuts", "Pads and pipes under a seam"],
        [
            ("north and south" if one.along_y else "east and west", one.seam_m, one.n_rolls, one.n_cuts, one.over_keep_off)
            for one in result.options
        ],
        note="The first is drawn: least seam, then fewest rolls, then fewest cuts.",
    )
