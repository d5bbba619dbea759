"""How shapes are written in a job file: points, lines, outlines, sizes, slopes, falls, grids."""

import math
import re
from dataclasses import dataclass
from typing import Any

from slabwright.errors import OutOfRange
from slabwright.files.jobfile.outline import faults_of_ring
from slabwright.files.jobfile.values import Quantity, Sign
from slabwright.files.jobfile.written import KIND, Faults, Refused, Written, shown
from slabwright.units import ANGLE, LENGTH, parse_quantity

Point = tuple[float, float]
Ring = tuple[Point, ...]

PLACE = Quantity(LENGTH, "30 ft", "9.1 m", Sign.ANY, most="10 km")
_SPAN = Quantity(LENGTH, "12 ft", "6 m")


def read_point(value: object) -> Point:
    """Two lengths, east and north of the origin."""
    if not isinstance(value, list) or len(value) != 2:
        raise Refused.because(f'{shown(value)} is no point; write two lengths, such as ["30 ft", "0"].')
    faults = Faults()
    x, y = (faults.take(place, PLACE.read, one) for place, one in enumerate(value))
    faults.settle()
    assert x is not None
    assert y is not None
    return x, y


def read_points(value: object, least: int = 1) -> Ring:
    """A list of points."""
    if not isinstance(value, list):
        raise Refused.because(f'{shown(value)} is no list of points; write [["0", "0"], ["30 ft", "0"]].')
    faults = Faults()
    points = [faults.take(place, read_point, one) for place, one in enumerate(value)]
    faults.settle()
    if len(points) < least:
        raise Refused.because(f"has {len(points)} {'point' if len(points) == 1 else 'points'}; it takes at least {least}.")
    return tuple(point for point in points if point is not None)


_POINT: dict[str, Any] = {KIND: "point"}
SHARED_SCHEMAS: dict[str, dict[str, Any]] = {
    "point": {
        "description": "East and north of the origin.",
        "type": "array",
        "prefixItems": [PLACE.schema(), PLACE.schema()],
        "items": False,
        "minItems": 2,
        "examples": [["30 ft", "0"]],
    },
    "closed-shape": {
        "description": "Corners in order, or a rectangle by two opposite corners.",
        "anyOf": [
            {"type": "array", "items": _POINT, "minItems": 3},
            {"type": "object", "properties": {"from": _POINT, "to": _POINT}, "required": ["from", "to"], "additionalProperties": False},
        ],
    },
}


def _is_point(value: object) -> bool:
    return isinstance(value, list) and not any(isinstance(one, list | dict) for one in value)


@dataclass(frozen=True, slots=True)
class Points(Written):
    """One point, or a list of them."""

    least: int = 1

    def read(self, value: object) -> Ring:
        if self.least == 1 and _is_point(value):
            return (read_point(value),)
        return read_points(value, self.least)

    def schema(self) -> dict[str, Any]:
        points = {"type": "array", "items": _POINT, "minItems": self.least}
        line = [["0", "12 ft"], ["30 ft", "12 ft"]]
        if self.least > 1:
            return {**points, "examples": [line]}
        return {"anyOf": [_POINT, points], "examples": [["15 ft", "9 ft"], line]}


@dataclass(frozen=True, slots=True)
class Area(Written):
    """A closed shape: its corners in order, or a rectangle by two opposite corners."""

    def read(self, value: object) -> Ring:
        ring = _rectangle(value) if isinstance(value, dict) else read_points(value, 0)
        if len(ring) > 3 and ring[0] == ring[-1]:
            ring = ring[:-1]
        if faults := faults_of_ring(ring):
            raise Refused(*(((), fault) for fault in faults))
        return ring

    def schema(self) -> dict[str, Any]:
        corners = [["0", "0"], ["30 ft", "0"], ["30 ft", "36 ft"], ["0", "36 ft"]]
        return {KIND: "closed-shape", "examples": [corners, {"from": ["0", "0"], "to": ["9 m", "11 m"]}]}


def _rectangle(value: dict[str, object]) -> Ring:
    if set(value) != {"from", "to"}:
        raise Refused.because('takes "from" and "to", two opposite corners, such as { from = ["0", "0"], to = ["30 ft", "36 ft"] }.')
    faults = Faults()
    start, end = (faults.take(key, read_point, value[key]) for key in ("from", "to"))
    faults.settle()
    assert start is not None
    assert end is not None
    (x0, x1), (y0, y1) = sorted((start[0], end[0])), sorted((start[1], end[1]))
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


@dataclass(frozen=True, slots=True)
class Areas(Written):
    """A list of closed shapes."""

    def read(self, value: object) -> tuple[Ring, ...]:
        if not isinstance(value, list):
            raise Refused.because(f'{shown(value)} is no list of shapes; write [{{ from = ["5 ft", "5 ft"], to = ["7 ft", "7 ft"] }}].')
        faults = Faults()
        areas = [faults.take(place, Area().read, one) for place, one in enumerate(value)]
        faults.settle()
        return tuple(area for area in areas if area is not None)

    def schema(self) -> dict[str, Any]:
        return {"type": "array", "items": {KIND: "closed-shape"}, "examples": [[{"from": ["5 ft", "5 ft"], "to": ["7 ft", "7 ft"]}]]}


@dataclass(frozen=True, slots=True)
class Size(Written):
    """Two lengths ``12 ft x 16 ft``; one alone stands for a square, unless ``square`` is False."""

    us: str = "2.5 ft x 2.5 ft"
    si: str = "750 mm x 750 mm"
    square: bool = True

    def read(self, value: object) -> tuple[float, float]:
        if not isinstance(value, str):
            raise Refused.because(f'{shown(value)} is no size; write "{self.us}" or "{self.si}".')
        parts = re.split(r"\s*(?:×|(?<![a-z])x(?![a-z])|\bby\b)\s*", value.strip(), flags=re.IGNORECASE)
        if len(parts) == 1 and self.square:
            parts *= 2
        if len(parts) != 2:
            raise Refused.because(f'{shown(value)} is no size of two lengths; write "{self.us}" or "{self.si}".')
        first, second = (_SPAN.read(part) for part in parts)
        return first, second

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "examples": [self.us, self.si]}


@dataclass(frozen=True, slots=True)
class Slope(Written):
    """Slope of a thickening's side, read as its horizontal run for one of rise."""

    def read(self, value: object) -> float:
        if isinstance(value, str):
            text = value.strip().lower().replace("°", " deg")
            if text == "vertical":
                return 0.0
            if ratio := re.fullmatch(r"(\d+(?:\.\d+)?)\s*h?\s*:\s*(\d+(?:\.\d+)?)\s*v?", text, re.ASCII):
                run, rise = float(ratio[1]), float(ratio[2])
                if rise > 0 and run / rise <= 5:
                    return run / rise
            elif re.search(r"[a-z]", text):
                try:
                    angle = parse_quantity(text, ANGLE)
                except OutOfRange:
                    angle = 0.0
                if math.radians(10) <= angle <= math.pi / 2 * (1 + 1e-12):
                    return max(0.0, round(1.0 / math.tan(angle), 12))
        raise Refused.because(
            f'{shown(value)} is no slope of a side; write "vertical", "45 deg" from the level, '
            'or "1:1", out before down, no flatter than 5:1.'
        )

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "examples": ["45 deg", "1:1", "vertical"]}


@dataclass(frozen=True, slots=True)
class Fall(Written):
    """Fall of a floor or a pipe, read as drop per run."""

    def read(self, value: object) -> float:
        fall = self._fall(value) if isinstance(value, str) else None
        if fall is None or not 0 <= fall <= 0.25:
            raise Refused.because(f'{shown(value)} is no fall; write "1/8 in per ft", "1:80" or "1 %", not steeper than 1:4.')
        return fall

    @staticmethod
    def _fall(text: str) -> float | None:
        if ratio := re.fullmatch(r"\s*1\s*(?::|in)\s*(\d+(?:\.\d+)?)\s*", text, re.ASCII):
            return 1.0 / float(ratio[1]) if float(ratio[1]) > 0 else None
        if percent := re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*%\s*", text, re.ASCII):
            return float(percent[1]) / 100.0
        drop, _, run = text.replace("/ft", " per ft").replace("/m", " per m").partition(" per ")
        try:
            distance = parse_quantity(f"1 {run.strip()}" if run.strip().isalpha() else run, LENGTH)
            return parse_quantity(drop, LENGTH) / distance if distance > 0 else None
        except OutOfRange:
            return None

    def schema(self) -> dict[str, Any]:
        return {"type": "string", "examples": ["1/8 in per ft", "1:80", "1 %"]}


@dataclass(frozen=True, slots=True)
class Lines(Written):
    """A list of straight lines: two points each, or a whole line across the floor by its ``x`` or ``y``."""

    def read(self, value: object) -> tuple[Ring | tuple[str, float], ...]:
        if not isinstance(value, list):
            raise Refused.because(f'{shown(value)} is no list of lines; write [{{ x = "10 ft" }}, [["0", "12 ft"], ["30 ft", "12 ft"]]].')
        faults = Faults()
        lines = [faults.take(place, self._line, one) for place, one in enumerate(value)]
        faults.settle()
        return tuple(line for line in lines if line is not None)

    @staticmethod
    def _line(value: object) -> Ring | tuple[str, float]:
        if isinstance(value, dict):
            if len(value) != 1 or not set(value) <= {"x", "y"}:
                raise Refused.because('takes either "x" or "y", such as { x = "10 ft" }.')
            ((axis, place),) = value.items()
            return axis, PLACE.read(place)
        points = read_points(value, 2)
        if len(points) != 2 or points[0] == points[1]:
            raise Refused.because(f"has {len(points)} points; a line takes two different ones.")
        return points

    def schema(self) -> dict[str, Any]:
        whole = {"type": "object", "properties": {"x": PLACE.schema(), "y": PLACE.schema()}, "minProperties": 1, "maxProperties": 1}
        line = {"type": "array", "items": _POINT, "minItems": 2, "maxItems": 2}
        return {
            "type": "array",
            "items": {"anyOf": [line, {**whole, "additionalProperties": False}]},
            "examples": [[{"x": "10 ft"}, [["0", "12 ft"], ["30 ft", "12 ft"]]]],
        }


@dataclass(frozen=True, slots=True)
class Grid(Written):
    """Positions at every crossing of grid lines, counted along x first, then row by row along y."""

    def read(self, value: object) -> Ring:
        if not isinstance(value, dict) or set(value) != {"x", "y"}:
            raise Refused.because(
                'takes "x" and "y", each a list of lengths or { from, step, count }, such as '
                '{ x = { from = "2 ft", step = "12 ft", count = 11 }, y = ["2 ft", "62 ft"] }.'
            )
        faults = Faults()
        xs, ys = (faults.take(axis, self._stations, value[axis]) for axis in ("x", "y"))
        faults.settle()
        if len(xs or ()) * len(ys or ()) > 5000:
            raise Refused.because(f"has {len(xs or ()) * len(ys or ()):,} crossings; up to 5,000 are taken.")
        return tuple((x, y) for y in ys or () for x in xs or ())

    @staticmethod
    def _stations(value: object) -> tuple[float, ...]:
        faults = Faults()
        if isinstance(value, list):
            stations = [faults.take(place, PLACE.read, one) for place, one in enumerate(value)]
            faults.settle()
            return tuple(one for one in stations if one is not None)
        if not isinstance(value, dict) or set(value) != {"from", "step", "count"}:
            raise Refused.because('takes a list of lengths or { from = "2 ft", step = "12 ft", count = 11 }.')
        first, step = faults.take("from", PLACE.read, value["from"]), faults.take("step", PLACE.read, value["step"])
        count = value["count"]
        if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= 1000:
            faults.found.append((("count",), f"{shown(count)} is no count; write a whole number from 1 to 1000."))
        faults.settle()
        return tuple((first or 0.0) + number * (step or 0.0) for number in range(int(str(count))))

    def schema(self) -> dict[str, Any]:
        even = {
            "type": "object",
            "properties": {"from": PLACE.schema(), "step": PLACE.schema(), "count": {"type": "integer", "minimum": 1, "maximum": 1000}},
            "required": ["from", "step", "count"],
            "additionalProperties": False,
        }
        stations = {"anyOf": [even, {"type": "array", "items": PLACE.schema(), "minItems": 1}]}
        return {
            "type": "object",
            "properties": {"x": stations, "y": stations},
            "required": ["x", "y"],
            "additionalProperties": False,
            "examples": [{"x": {"from": "2 ft", "step": "12 ft", "count": 11}, "y": ["2 ft", "62 ft"]}],
        }
