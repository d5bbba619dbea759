"""Tables of the job file about posts and walls and what they carry."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Any

from slabwright.files.jobfile.assembled import assembled
from slabwright.files.jobfile.positions import Path
from slabwright.files.jobfile.shapes import Points, Ring, Size
from slabwright.files.jobfile.tables_shape import Placed
from slabwright.files.jobfile.trade import JobTable, Trade, about, needed, one_of
from slabwright.files.jobfile.values import Choice, Flag, Listed, Quantity, Sign, Text, Whole
from slabwright.files.jobfile.written import Faults, Refused, Written, shown
from slabwright.model.loads import Anchor, BaseFixity, LoadCase, Reaction, Tributary, Wall
from slabwright.sources import practice
from slabwright.standards.irc import ANCHOR_BOLTS
from slabwright.units import ANGLE, AREA, FORCE, LENGTH, LINE_LOAD, MOMENT, PRESSURE

_DOWN = Quantity(FORCE, "4.2 kip", "18 kN", Sign.NOT_NEGATIVE)
_SHEAR = Quantity(FORCE, "1.3 kip", "6 kN", Sign.ANY)
_MOMENT = Quantity(MOMENT, "5 kip-ft", "7 kN·m", Sign.ANY)
_PARTS: dict[str, Quantity] = {
    "down": _DOWN,
    "up": _DOWN,
    "shear_x": _SHEAR,
    "shear_y": _SHEAR,
    "moment_x": _MOMENT,
    "moment_y": _MOMENT,
}
ALL_PADS = ("all pads",)
_CASES = {case.value: case for case in LoadCase}


def _unknown(key: str, allowed: "dict[str, Any]", what: str) -> str:
    return f"{key} is no {what}; there are {', '.join(allowed)}."


@dataclass(frozen=True, slots=True)
class Loads(Written):
    """Reactions of a post by case: a force down, or for wind_uplift up; or a table with shears and moments too."""

    def read(self, value: object) -> dict[LoadCase, Reaction]:
        if not isinstance(value, dict):
            raise Refused.because(f'{shown(value)} is no table of loads; write {{ dead = "2.4 kip", snow = "6.1 kip" }}.')
        faults, found = Faults(), {}
        for key, load in value.items():
            if key not in _CASES:
                faults.found.append(((key,), _unknown(key, _CASES, "load case")))
            elif (reaction := faults.take(key, _uplift if key == "wind_uplift" else _gravity, load)) is not None:
                found[_CASES[key]] = reaction
        faults.settle()
        return {case: found[case] for case in LoadCase if case in found}

    def schema(self) -> dict[str, Any]:
        return {
            "type": "object",
            "properties": {key: _reaction_schema("up" if key == "wind_uplift" else "down") for key in _CASES},
            "additionalProperties": False,
            "examples": [{"dead": "2.4 kip", "snow": "6.1 kip", "wind_uplift": {"up": "3.3 kip", "shear_x": "1.3 kip"}}],
        }


def _reaction_schema(vertical: str) -> dict[str, Any]:
    parts = {key: part.schema() for key, part in _PARTS.items() if key not in {"down", "up"} - {vertical}}
    return {"anyOf": [_DOWN.schema(), {"type": "object", "properties": parts, "additionalProperties": False}]}


def _reaction(value: object, vertical: str) -> Reaction:
    if not isinstance(value, dict):
        force = _DOWN.read(value)
        return Reaction(down_n=force if vertical == "down" else 0.0 - force)
    allowed = {key: part for key, part in _PARTS.items() if key not in {"down", "up"} - {vertical}}
    faults = Faults()
    found = dict.fromkeys(allowed, 0.0)
    for key, part in value.items():
        if key not in allowed:
            faults.found.append(((key,), _unknown(key, allowed, "part of a reaction")))
        else:
            found[key] = faults.take(key, allowed[key].read, part) or 0.0
    faults.settle()
    down = found["down"] if vertical == "down" else 0.0 - found["up"]
    sideways = {f"{key}_{unit}": found[key] for key, unit in _SIDEWAYS.items()}
    return Reaction(down_n=down, **sideways)


_SIDEWAYS = {"shear_x": "n", "shear_y": "n", "moment_x": "nm", "moment_y": "nm"}


def _gravity(value: object) -> Reaction:
    return _reaction(value, "down")


def _uplift(value: object) -> Reaction:
    return _reaction(value, "up")


@dataclass(frozen=True, slots=True)
class LineLoads(Written):
    """Load of a wall per length, by case."""

    def read(self, value: object) -> dict[LoadCase, float]:
        if not isinstance(value, dict):
            raise Refused.because(f'{shown(value)} is no table of loads; write {{ dead = "180 plf", snow = "255 plf" }}.')
        faults, found = Faults(), {}
        for key, load in value.items():
            if key not in _CASES:
                faults.found.append(((key,), _unknown(key, _CASES, "load case")))
            elif (number := faults.take(key, _LINE.read, load)) is not None:
                found[_CASES[key]] = 0.0 - number if key == "wind_uplift" else number
        faults.settle()
        return {case: found[case] for case in LoadCase if case in found}

    def schema(self) -> dict[str, Any]:
        cases = {key: _LINE.schema() for key in _CASES}
        example = {"dead": "180 plf", "snow": "255 plf"}
        return {"type": "object", "properties": cases, "additionalProperties": False, "examples": [example]}


_LINE = Quantity(LINE_LOAD, "180 plf", "2.6 kN/m", Sign.NOT_NEGATIVE)
_PSF = ("25 psf", "1.2 kPa", Sign.NOT_NEGATIVE, "", ("0 psf", "500 psf"))


class TributaryTable(JobTable):
    """Area of roof that a post carries, from which its loads are built."""

    size: Annotated[tuple[float, float], Size("12 ft x 16 ft", "6 m x 6.5 m", square=False)] = needed("Of the area, on plan.")
    roof_dead: Annotated[float | None, Quantity(PRESSURE, *_PSF)] = about("Weight of the roof, on plan.")
    roof_live: Annotated[float | None, Quantity(PRESSURE, *_PSF)] = about("People and tools on the roof.")
    snow: Annotated[float | None, Quantity(PRESSURE, *_PSF)] = about("Snow on the roof.")
    wind_down: Annotated[float | None, Quantity(PRESSURE, *_PSF)] = about("Wind pressing down.")
    wind_uplift: Annotated[float | None, Quantity(PRESSURE, *_PSF)] = about("Wind lifting, as a positive number.")

    def built(self) -> Tributary:
        return assembled(Tributary, self, length_m=self.size[0], width_m=self.size[1])


class AnchorTable(JobTable):
    """Rods cast in under a post's base."""

    kind: Annotated[
        str | None, Text("headed", among=("headed", "hooked")), Trade("headed", "headed", "Anchor rods are {}.", ANCHOR_BOLTS)
    ] = about("End of the rod in the concrete.")
    diameter: Annotated[
        float | None,
        Quantity(LENGTH, "1/2 in", "16 mm", usual=("3/8 in", "2 in")),
        Trade("1/2 in", "12 mm", "Anchor rods are {} thick.", ANCHOR_BOLTS),
    ] = about("Of one rod.")
    embedment: Annotated[
        float | None,
        Quantity(LENGTH, "7 in", "180 mm", usual=("2 in", "4 ft")),
        Trade("7 in", "180 mm", "Anchor rods reach {} into the concrete.", ANCHOR_BOLTS),
    ] = about("Effective depth in the concrete.")
    steel_strength: Annotated[
        float | None,
        Quantity(PRESSURE, "58 ksi", "400 MPa", usual=("50 ksi", "150 ksi")),
        Trade("58 ksi", "400 MPa", "Anchor steel has a tensile strength of {}.", practice("plain mild steel rod")),
    ] = about("Tensile strength of the rod's steel.")
    rods_x: Annotated[int | None, Whole(2, least=1, most=12)] = about("Rods along x; one if silent.")
    rods_y: Annotated[int | None, Whole(2, least=1, most=12)] = about("Rods along y; one if silent.")
    spacing_x: Annotated[float | None, Quantity(LENGTH, "4 in", "100 mm")] = about("Between rods along x.")
    spacing_y: Annotated[float | None, Quantity(LENGTH, "4 in", "100 mm")] = about("Between rods along y.")
    head_area: Annotated[float | None, Quantity(AREA, "0.29 in2", "190 mm2")] = about("Net bearing area of one head.")

    def built(self) -> Anchor:
        return assembled(Anchor, self, n_x=self.rods_x, n_y=self.rods_y)


class PostTable(Placed):
    """Posts on the foundation: one, or several alike."""

    on: Annotated[tuple[str, ...] | None, Listed(Text("P1", most=40))] = about(
        'Pads on whose centres they stand, by name; "all pads" for one on each.'
    )
    base: Annotated[tuple[float, float], Size("6 in x 6 in", "300 mm x 300 mm")] = needed("Size of the post's foot or base plate.")
    rotation: Annotated[float | None, Quantity(ANGLE, "30 deg", sign=Sign.ANY, most="360 deg")] = about("Of the base, counter-clockwise.")
    fixity: Annotated[
        BaseFixity | None,
        Choice(BaseFixity),
        Trade("pinned", "pinned", "Post bases are {}: they carry no moment.", practice("brackets carry none unless an engineer says so")),
    ] = about("Whether the base carries moment.")
    isolated: Annotated[bool | None, Flag()] = about("A joint parts the post from the floor.")
    loads: Annotated[dict[LoadCase, Reaction] | None, Loads()] = about(
        "By case: dead, live, roof_live, snow, wind_down, wind_uplift, seismic. A force down (wind_uplift: up), or "
        "{ down, shear_x, shear_y, moment_x, moment_y }; moments tilt the base towards +x and +y."
    )
    tributary: TributaryTable | None = about("The roof it carries, in place of loads.")
    anchor: AnchorTable | None = about("Its anchor rods.")

    @classmethod
    def clashes(cls, raw: Mapping[str, object]) -> Iterator[tuple[Path, str]]:
        yield from one_of(raw, "on", "at", "grid", example='on = "P1" for the pad it stands on, or at = ["15 ft", "9 ft"]')
        if "loads" in raw and "tributary" in raw:
            yield ("tributary",), "stands beside loads; keep one of the two."


class WallTable(JobTable):
    """A wall on the foundation."""

    name: Annotated[str | None, Text("W1", most=40)] = about("Name on the plan; W1, W2 and so on if silent.")
    line: Annotated[Ring, Points(2)] = needed("Its centre line.")
    thickness: Annotated[float, Quantity(LENGTH, "6 in", "150 mm", usual=("2 in", "30 in"))] = needed("Of the wall.")
    loads: Annotated[dict[LoadCase, float] | None, LineLoads()] = about("Per length, by the same cases; wind_uplift counts upwards.")

    def built(self, name: str) -> Wall:
        return assembled(Wall, self, name=name, line_loads_n_m=MappingProxyType(self.loads or {}))
