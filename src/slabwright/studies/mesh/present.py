"""Pictures and tables of the mesh: the sheet for the steel fixer, the chairs, the cut plan."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

import shapely
from shapely import LineString, Point

from slabwright.geometry.drawing import area_of, outline_items, plan_items, polygons_of
from slabwright.geometry.foundation import Foundation
from slabwright.geometry.overlay import as_area
from slabwright.results.picture import Circle, DimensionLine, Hatch, Item, Layer, Line, Note, Picture
from slabwright.results.table import Column, Table
from slabwright.studies import shape
from slabwright.studies.mesh.cut_outs import CutOut
from slabwright.studies.mesh.layout import MeshLayout, Placed, sticks_out
from slabwright.study import Done, Inputs, Presentation

if TYPE_CHECKING:
    from slabwright.studies.mesh.study import MeshResult

_HEIGHT_STEP_M = 0.005


def present(inputs: Inputs, done: Done, result: "MeshResult") -> Presentation:  # noqa: ARG001 - one signature for all studies
    """The mesh sheet, the chairs, the sheets and their cuts, the layouts compared."""
    if result.layout is None:
        return Presentation()
    foundation = done[shape.STUDY].foundation
    return Presentation(
        pictures=(_sheet(foundation, result, result.layout), _chairs(foundation, result)),
        tables=(
            _places(result, result.layout),
            _cut_plan(result.layout),
            *([_cut_out_table(result.cut_outs)] if result.cut_outs else []),
            _chair_table(result),
            _compared(result),
        ),
    )


def _sheet(foundation: Foundation, result: "MeshResult", layout: MeshLayout) -> Picture:
    items: list[Item] = [*plan_items(foundation, hatched=False)]
    bare = shapely.union_all([one.outline for one in result.cut_outs])
    for one in layout.placed:
        items += _drawn(one, layout.along_y, bare)
    for cut in result.cut_outs:
        items += [area_of(piece, Layer.STEEL, hatch=Hatch.DENSE) for piece in polygons_of(cut.outline)]
    items += _row_dimensions(layout)
    return Picture(
        key="mesh",
        title="Mesh: sheets in their places, laid from the first row on",
        items=tuple(items),
        alt=f"Plan of the floor with {len(layout.placed)} pieces of {layout.n_sheets} sheets, numbered by row.",
        notes=(
            "Each piece is named by row and place. One diagonal: a whole sheet; two: cut or ripped, see the cut plan.",
            f"Laps are the figures between sheets, never less than asked; at most {result.found.most_over_another if result.found else 3} "
            "sheets lie over one another.",
            *(["Close hatching: mesh cut out over a pad."] if result.cut_outs else []),
        ),
    )


def _drawn(one: Placed, along_y: bool, bare: shapely.Geometry) -> list[Item]:
    """A piece, as far as it is not cut out, with its diagonals and its mark."""
    x0, y0, x1, y1 = one.outline.bounds
    left = one.outline.difference(bare)
    diagonals = [LineString([(x0, y0), (x1, y1)])] + ([LineString([(x0, y1), (x1, y0)])] if one.is_cut else [])
    items: list[Item] = [area_of(piece, Layer.STEEL, label=one.mark) for piece in polygons_of(left)]
    for diagonal in diagonals:
        seen = [part for part in shapely.get_parts(diagonal.difference(bare)) if part.length > 0]
        items += [Line(layer=Layer.STEEL, points=tuple(part.coords), weight=0.4) for part in seen]
    share = 0.35 if one.row % 2 else 0.65
    at = (0.5 * (x0 + x1), y0 + share * (y1 - y0)) if along_y else (x0 + share * (x1 - x0), 0.5 * (y0 + y1))
    if not left.contains(Point(at)):
        inside = left.representative_point()
        at = (inside.x, inside.y)
    items.append(Note(layer=Layer.STEEL, at=at, text=one.mark, bold=True, boxed=True))
    return items


def _row_dimensions(layout: MeshLayout) -> list[Item]:
    """Where each row begins, and the pieces of the first two rows with their laps, outside the floor."""
    bounds = [one.outline.bounds for one in layout.placed]
    west, south = min(b[0] for b in bounds), min(b[1] for b in bounds)
    east, north = max(b[2] for b in bounds), max(b[3] for b in bounds)
    offset = 0.05 * max(east - west, north - south)
    starts = sorted({round(b[0] if layout.along_y else b[1], 4) for b in bounds})
    far = east if layout.along_y else north
    stops = [*starts, round(far, 4)]
    items: list[Item] = []
    for low, high in pairwise(stops):
        if layout.along_y:
            items.append(DimensionLine(start=(high, south), end=(low, south), offset_m=offset))
        else:
            items.append(DimensionLine(start=(west, low), end=(west, high), offset_m=offset))
    for row in (0, 1):
        pieces = sorted(
            ((b[1], b[3]) if layout.along_y else (b[0], b[2])) for one, b in zip(layout.placed, bounds, strict=True) if one.row == row
        )
        marks = sorted({round(at, 4) for piece in pieces for at in piece})
        for low, high in pairwise(marks):
            if layout.along_y:
                items.append(DimensionLine(start=(west, low), end=(west, high), offset_m=(row + 1) * offset))
            else:
                items.append(DimensionLine(start=(high, south), end=(low, south), offset_m=(row + 1) * offset))
    return items


def _chairs(foundation: Foundation, result: "MeshResult") -> Picture:
    items: list[Item] = [*outline_items(foundation)]
    items += [Circle(layer=Layer.STEEL, centre=one.at, radius_m=0.05, filled=not one.is_over_thickening) for one in result.chairs]
    return Picture(
        key="chairs",
        title="Chairs under the mesh",
        items=tuple(items),
        alt=f"Plan with {len(result.chairs)} chairs in lines.",
        notes=("Filled: on the base or the sheet. Open: over edge, strip or pad, on the cage or as a stand.",),
    )


def _places(result: "MeshResult", layout: MeshLayout) -> Table:
    rows = []
    cut = {mark for one in result.cut_outs for mark in one.pieces}
    with_cut_outs = as_area(polygons_of(shapely.union_all([result.region, *(one.outline for one in result.cut_outs)])))
    for one in layout.placed:
        x0, y0, x1, y1 = one.outline.bounds
        words = ["cut" if one.is_cut else "whole"]
        words += ["cut out at a pad"] if one.mark in cut else []
        words += ["trimmed in place"] if one.is_trimmed and sticks_out(one.outline, with_cut_outs) else []
        rows.append((one.mark, one.sheet, x0, y0, x1 - x0, y1 - y0, ", ".join(words)))
    return Table.of(
        "Mesh: pieces in their places",
        ["Piece", "From sheet", Column("Corner x", "m"), Column("Corner y", "m"), Column("Along x", "m"), Column("Along y", "m"), "What"],
        rows,
        note="Measured from the south-west form corner to the south-west corner of the piece.",
    )


def _cut_plan(layout: MeshLayout) -> Table:
    """Sheets that are cut, each with its pieces; whole ones only counted."""
    by_sheet: dict[int, list[Placed]] = defaultdict(list)
    for one in layout.placed:
        by_sheet[one.sheet].append(one)
    rows: list[tuple[object, ...]] = []
    for sheet, pieces in sorted(by_sheet.items()):
        rows += [(sheet, one.mark, one.length_m, one.width_m) for one in pieces if one.is_cut]
    whole = sum(all(not one.is_cut for one in pieces) for pieces in by_sheet.values())
    return Table.of(
        "Mesh: cut plan",
        ["Sheet", "Piece", Column("Length", "m"), Column("Width", "m")],
        rows,  # type: ignore[arg-type]
        note=f"{whole} sheets stay whole. Cut between the wires; what is left of a sheet serves the pieces beside it in this list.",
    )


def _cut_out_table(cut_outs: Sequence[CutOut]) -> Table:
    rows = []
    for one in cut_outs:
        if one.pieces:
            x0, y0, x1, y1 = one.outline.bounds
            rows.append((one.pad, ", ".join(one.pieces), x0, y0, x1 - x0, y1 - y0))
    return Table.of(
        "Mesh: cut-outs at pads",
        ["Pad", "From pieces", Column("Corner x", "m"), Column("Corner y", "m"), Column("Along x", "m"), Column("Along y", "m")],
        rows,
        note="Cut once the sheets lie. What is cut out is not used again.",
    )


def _chair_table(result: "MeshResult") -> Table:
    heights = sorted((one.is_over_thickening, round(one.height_m / _HEIGHT_STEP_M) * _HEIGHT_STEP_M) for one in result.chairs)
    counted = Counter(heights)
    rows = [(height, "over edge, strip or pad" if deep else "floor", n) for (deep, height), n in sorted(counted.items())]
    if len(rows) > 12:
        rows = _grouped(result)
    return Table.of(
        "Chairs", [Column("Height", "m"), "Where", "Chairs"], rows, note="Height from base, sheet or cage to the underside of the mesh."
    )


def _grouped(result: "MeshResult") -> list[tuple[float, str, int]]:
    """Heights in groups of 50 mm where there are many."""
    rows = []
    for deep, group in groupby(
        sorted(result.chairs, key=lambda one: (one.is_over_thickening, one.height_m)), key=lambda one: one.is_over_thickening
    ):
        steps = Counter(round(one.height_m / 0.05) * 0.05 for one in group)
        rows += [(height, "over edge, strip or pad" if deep else "floor", n) for height, n in sorted(steps.items())]
    return rows


def _compared(result: "MeshResult") -> Table:
    return Table.of(
        "Mesh: layouts compared",
        ["Layout", "Sheets", "Least this way", "Cuts", "Ripped", "Trimmed"],
        [
            ("north and south" if one.along_y else "east and west", one.n_sheets, one.least_sheets, one.n_cuts, one.n_rips, one.n_trimmed)
            for one in result.options
        ],
        note="The first is drawn. Least this way: proven for straight rows in that direction, laps free to stretch.",
    )
