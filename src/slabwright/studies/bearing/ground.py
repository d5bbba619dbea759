"""What the ground may carry, by report or by class, and what must be asked."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.model.ground import Soil
from slabwright.sources import Basis, Clause, Source
from slabwright.standards import ibc
from slabwright.standards.tm_5_818_1 import FROM_BEARING, modulus_from_bearing_pa_m
from slabwright.units import STANDARD_GRAVITY_M_S2

SOILS_REPORT = Source("soils report", "The soils report of the job, as its file states it")
REPORT = Clause(SOILS_REPORT, "allowable bearing", Basis.QUOTED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """The ground under pads and edge.

    Attributes
    ----------
    bearing_pa : float or None
        Allowable pressure; None where nothing may be assumed. [Pa]
    clause : Clause
        Where it comes from.
    problem : str
        Why there is none.
    friction : float or None
        Sliding coefficient.
    cohesion_pa : float or None
        Sliding resistance per area of cohesive ground. [Pa]
    unit_weight_n_m3 : float
        Of the soil removed. [N/m³]
    spring_pa_m : float or None
        Subgrade modulus under edge and pads. [Pa/m]
    spring_clause : Clause or None
        Set where it was estimated.
    """

    bearing_pa: float | None
    clause: Clause
    problem: str = ""
    friction: float | None = None
    cohesion_pa: float | None = None
    unit_weight_n_m3: float = 0.0
    spring_pa_m: float | None = None
    spring_clause: Clause | None = None


def ground_of(soil: Soil) -> Ground:
    """Read the soil section."""
    values = None
    bearing, clause, problem = soil.allowable_bearing_pa, REPORT, ""
    try:
        values = ibc.presumptive_bearing(soil_class=soil.soil_class) if soil.soil_class else None
    except OutOfRange as unknown:
        problem = str(unknown)
    if bearing is None and values is not None:
        bearing, clause = values.vertical_pa, ibc.PRESUMPTIVE_BEARING
    if bearing is not None and bearing <= 0:
        bearing, problem = None, "an allowable bearing of nought carries nothing."
    if bearing is None and not problem:
        problem = "the job file gives neither an allowable bearing nor a soil class."
    spring = soil.pad_subgrade_modulus_pa_m or soil.subgrade_modulus_pa_m
    estimated = None
    if spring is None and bearing is not None:
        spring, estimated = modulus_from_bearing_pa_m(allowable_bearing_pa=bearing), FROM_BEARING
    return Ground(
        bearing_pa=bearing, clause=clause, problem=problem if bearing is None else "",
        friction=soil.friction if soil.friction is not None else (values.friction if values is not None else None),
        cohesion_pa=values.cohesion_pa if values is not None and soil.friction is None else None,
        unit_weight_n_m3=soil.unit_weight_kg_m3 * STANDARD_GRAVITY_M_S2, spring_pa_m=spring, spring_clause=estimated,
    )  # fmt: skip
