"""Outlines out of a drawing file or a pasted table: closed shapes by layer, in metres, the largest first."""

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import shapely

from slabwright.errors import Finding, InputError, OutOfRange
from slabwright.units import FOOT_M, INCH_M, LENGTH, parse_quantity

UNITS_M = {"mm": 0.001, "cm": 0.01, "m": 1.0, "in": INCH_M, "ft": FOOT_M}
_DRAWING_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m"}
BUILDING_M = (2.0, 100.0)
"""Between these lies the short side of a building, to guess the unit of a drawing that states none; a choice, no source. [m]"""
_MOST_ENTITIES = 200_000
_MOST_POINTS = 2000
_MOST_RINGS = 60
_SAME = 1e-6

Ring = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Outlines:
    """Closed shapes of a file.

    Attributes
    ----------
    layers : tuple of str
        Layers on which something is drawn.
    layer : str
        The one that was read; empty for a table.
    unit : str
        Of the drawing.
    stated : bool
        True where the file itself states it.
    rings : tuple of Ring
        Corners, the south-west one of the largest at the origin. [m]
    """

    layers: tuple[str, ...]
    layer: str
    unit: str
    stated: bool
    rings: tuple[Ring, ...]


def outlines_in_drawing(content: bytes, layer: str, unit: str, likely: tuple[str, ...] = tuple(UNITS_M)) -> Outlines:
    """Closed shapes of a DXF drawing.

    Parameters
    ----------
    content : bytes
    layer : str
        The one with the largest shape if empty.
    unit : str
        A key of :data:`UNITS_M`; the drawing's own if empty, and where it has none the first likely one in which the largest
        shape is as large as a building.
    likely : tuple of str
        Keys of :data:`UNITS_M`, the likeliest first.

    Raises
    ------
    InputError
        If it is no drawing, or nothing on the layer closes.
    """
    drawing = _document(content)
    lines = _lines_by_layer(drawing)
    if not lines:
        raise _refused("the drawing", "holds no lines; draw the outline in model space.")
    own = _DRAWING_UNITS.get(int(drawing.header.get("$INSUNITS", 0)), "")
    if unit and unit not in UNITS_M:
        raise _refused("unit", f'"{unit}" is no unit of a drawing; there are {", ".join(UNITS_M)}.')
    shapes = {name: _closed(found) for name, found in lines.items()}
    layer = layer or max(shapes, key=lambda name: max((one.area for one in shapes[name]), default=0.0))
    if layer not in shapes:
        raise _refused("layer", f'"{layer}" is no layer that is drawn on; there are {", ".join(lines)}.')
    unit = unit or own or _likeliest(shapes[layer], likely)
    rings = _in_metres(shapes[layer], UNITS_M[unit])
    if not rings:
        raise _refused("layer", f'nothing on layer "{layer}" closes; choose another, or close the outline.')
    return Outlines(tuple(lines), layer, unit, bool(own), rings)


def outlines_in_table(text: str, unit: str) -> Outlines:
    """The outline of a pasted table: one corner a line, east and north.

    Parameters
    ----------
    text : str
        Each line two lengths, such as ``30 ft, 0``; or numbers alone, when ``unit`` says what they are.
    unit : str

    Raises
    ------
    InputError
        With every line that cannot be read.
    """
    faults, points = [], []
    for number, row in enumerate(text.strip().splitlines(), start=1):
        parts = [part for part in re.split(r"\s*[;,\t]\s*|\s{2,}", row.strip()) if part]
        if len(parts) != 2 and len(parts := row.split()) != 2:
            faults.append(
                Finding(where=f"line {number}", message=f'"{row.strip()[:40]}" is no corner; write two lengths, such as 30 ft, 0.')
            )
            continue
        try:
            points.append(tuple(_length(part, unit) for part in parts))
        except OutOfRange as error:
            faults.append(Finding(where=f"line {number}", message=str(error)))
    if not faults and not 3 <= len(points) <= _MOST_POINTS:
        faults.append(Finding(where="the table", message=f"has {len(points)} corners; an outline takes 3 to {_MOST_POINTS:,}."))
    if not faults and not shapely.Polygon(points).is_valid:
        faults.append(Finding(where="the table", message="makes an outline that crosses itself; check the order of the corners."))
    if faults:
        raise InputError("table", faults[:50])
    return Outlines((), "", unit or "as written", True, _in_metres([shapely.Polygon(points)], 1.0))


def _length(text: str, unit: str) -> float:
    if re.fullmatch(r"[-+]?(\d+\.?\d*|\.\d+)", text):
        if float(text) == 0:
            return 0.0
        if unit in UNITS_M:
            return float(text) * UNITS_M[unit]
    return parse_quantity(text, LENGTH)


def _document(content: bytes) -> Any:
    import ezdxf
    from ezdxf import recover

    try:
        drawing, _ = recover.read(io.BytesIO(content))
    except (ezdxf.DXFError, OSError, ValueError):
        raise _refused("the file", "is no DXF drawing; save it as DXF and try again.") from None
    return drawing


def _lines_by_layer(drawing: Any) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = {}
    for number, entity in enumerate(drawing.modelspace()):
        if number >= _MOST_ENTITIES:
            raise _refused("the drawing", f"holds more than {_MOST_ENTITIES:,} things; save the outline by itself.")
        for line in _lines(entity):
            found.setdefault(str(entity.dxf.layer), []).append(line)
    return found


def _lines(entity: Any) -> Iterator[Any]:
    from ezdxf import path

    if entity.dxftype() not in {"LWPOLYLINE", "POLYLINE", "LINE", "ARC", "CIRCLE", "SPLINE", "ELLIPSE"}:
        return
    try:
        drawn = path.make_path(entity)
        size = max(drawn.bbox().size) if hasattr(drawn, "bbox") else 1.0
        points = [(point.x, point.y) for point in drawn.flattening(max(size, 1e-6) * 2e-4)]
    except (TypeError, ValueError, ZeroDivisionError):
        return
    if len(points) > 1:
        yield shapely.LineString(points)


def _closed(lines: list[Any]) -> list[Any]:
    """Closed shapes that lines make, the outer ones whole, the largest first."""
    left, bottom, right, top = shapely.total_bounds(lines)
    net = shapely.unary_union(shapely.set_precision(lines, _SAME * 0.1 * max(right - left, top - bottom, 1e-9)))
    pieces = shapely.get_parts(shapely.polygonize([net]))
    whole = shapely.unary_union([shapely.Polygon(piece.exterior) for piece in pieces])
    outer = [shapely.Polygon(piece.exterior) for piece in shapely.get_parts(whole) if piece.area > 0]
    inner = [shapely.Polygon(piece.exterior) for piece in pieces if len(pieces) > 1]
    return sorted([*outer, *inner], key=lambda one: -one.area)[:_MOST_RINGS]


def _likeliest(shapes: list[Any], likely: tuple[str, ...]) -> str:
    """The first unit in which the largest shape is as large as a building."""
    if not shapes:
        return likely[0]
    left, bottom, right, top = shapes[0].bounds
    fits = (one for one in likely if BUILDING_M[0] <= UNITS_M[one] * min(right - left, top - bottom) <= BUILDING_M[1])
    return next(fits, likely[0])


def _in_metres(shapes: list[Any], factor: float) -> tuple[Ring, ...]:
    if not shapes:
        return ()
    left, bottom, *_ = shapes[0].bounds
    rings = []
    for shape in shapes:
        plain = shape.simplify(_SAME * shape.length)
        corners = shapely.get_coordinates(shapely.orient_polygons(plain).exterior)[:-1]
        if 3 <= len(corners) <= _MOST_POINTS:
            ring = tuple((round(float(x - left) * factor, 6), round(float(y - bottom) * factor, 6)) for x, y in corners)
            if ring not in rings:
                rings.append(ring)
    return tuple(rings)


def _refused(where: str, message: str) -> InputError:
    return InputError("outline", [Finding(where=where, message=message)])
