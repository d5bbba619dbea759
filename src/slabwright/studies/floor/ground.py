"""The springs under the floor, and what the ground may carry."""

from dataclasses import dataclass

from slabwright.errors import MissingInput, OutOfRange
from slabwright.model.ground import Soil
from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.sources import Basis, Clause, Source
from slabwright.standards import faa_150_5320_6, ibc
from slabwright.standards.tm_5_818_1 import FROM_BEARING, modulus_from_bearing_pa_m
from slabwright.units import PRESSURE, SUBGRADE_MODULUS, Family, format_quantity

SOILS_REPORT = Source("soils report", "The soils report of the job, as its file states it")
STATED = Clause(SOILS_REPORT, "allowable bearing and subgrade modulus", Basis.QUOTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorGround:
    """Soil as the floor feels it.

    Attributes
    ----------
    floor_pa_m, thick_pa_m : float
        Springs under the floor and under its thickened parts. [Pa/m]
    bearing_pa : float or None
        Allowable pressure. [Pa]
    bearing_clause : Clause
    """

    floor_pa_m: float
    thick_pa_m: float
    bearing_pa: float | None
    bearing_clause: Clause


def ground_under(soil: Soil, family: Family, notes: Notes) -> FloorGround:
    """Springs and allowable pressure, stated or estimated with a question to the soil engineer.

    Raises
    ------
    MissingInput
        If nothing is known from which a spring could be estimated.
    """
    bearing, clause = soil.allowable_bearing_pa, STATED
    if bearing is None and soil.soil_class:
        try:
            bearing, clause = ibc.presumptive_bearing(soil_class=soil.soil_class).vertical_pa, ibc.PRESUMPTIVE_BEARING
        except OutOfRange:
            bearing = None
    if bearing is not None and bearing <= 0.0:
        bearing = None
    floor = soil.subgrade_modulus_pa_m
    if floor is None:
        floor = _estimated(soil, bearing, family, notes)
    if floor <= 0.0 or (soil.pad_subgrade_modulus_pa_m or floor) <= 0.0:
        raise MissingInput("the subgrade modulus must be above nought: correct [soil] subgrade_modulus.")
    if bearing is None:
        notes.ask(Ask.SOIL_ENGINEER, "What pressure may the ground carry under floor, edge and pads?", "ground")
    return FloorGround(floor_pa_m=floor, thick_pa_m=soil.pad_subgrade_modulus_pa_m or floor, bearing_pa=bearing, bearing_clause=clause)


def _estimated(soil: Soil, bearing_pa: float | None, family: Family, notes: Notes) -> float:
    if soil.cbr is not None and soil.cbr > 0.0:
        value, clause = faa_150_5320_6.modulus_from_cbr(bearing_ratio=soil.cbr).lower_pa_m, faa_150_5320_6.FROM_CBR
        origin = f"a bearing ratio of {soil.cbr:g}"
    elif bearing_pa is not None:
        value, clause = modulus_from_bearing_pa_m(allowable_bearing_pa=bearing_pa), FROM_BEARING
        unit = "psf" if family is Family.US else "kPa"
        origin = f"an allowable pressure of {format_quantity(bearing_pa, PRESSURE, family, unit=unit)}"
    else:
        raise MissingInput("how the ground yields is not known: write [soil] subgrade_modulus, cbr, allowable_bearing or class.")
    text = format_quantity(value, SUBGRADE_MODULUS, family, digits=3)
    notes.assume("soil.subgrade_modulus", f"subgrade modulus {text}, estimated from {origin}", clause)
    notes.ask(
        Ask.SOIL_ENGINEER, f"Is a subgrade modulus of {text} right for this ground? It was estimated from {origin}.", "ground", clause
    )
    return value
