"""Ordering ready-mixed concrete: how much more than the plan, what goes lost, and how it comes in truck loads."""

import math
from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic, practice

CIP_8 = Source("NRMCA CIP 8", "Concrete in Practice 8: Discrepancies in Yield, a trade leaflet, as reprinted by members")
ORDER_RANGE = Clause(CIP_8, "order 4 to 10 % over plan dimensions", Basis.QUOTED)
HARDENED_LOSS = Clause(CIP_8, "hardened volume may be about 2 % under fresh volume", Basis.QUOTED)
ESTIMATING_TEXT = Source("estimating texts", "Waste allowances of estimating texts and of the US Navy (P-405) and Army (FM 5-428) manuals")
WASTE = Clause(ESTIMATING_TEXT, "waste of footings 5 %, of slabs 8 %, Navy example 10 %", Basis.QUOTED)
ARMY_WASTE = Clause(ESTIMATING_TEXT, "Army rule: 10 % up to 200 yd³, 5 % above", Basis.MEMORY)
LOADS = arithmetic("whole loads, and the rest as a balance load")
BASE_MATERIAL = practice("loose volume = compacted volume x shrink factor; about 1.4 to 1.5 short tons to the loose cubic yard")

LEAST_ALLOWANCE, GREATEST_ALLOWANCE = 0.04, 0.10
HARDENED_LOSS_SHARE = 0.02
ARMY_LIMIT_M3 = 200 * 0.9144**3


@dataclass(frozen=True, slots=True)
class TruckCount:
    """Loads of one order.

    Attributes
    ----------
    n_loads : int
        Balance load included.
    n_full : int
    balance_m3 : float
        Last load; nought where the full ones suffice. [m³]
    """

    n_loads: int
    n_full: int
    balance_m3: float


@published("truck-count", LOADS)
def truck_count(*, volume_m3: float, truck_m3: float, working: Working | None = None) -> TruckCount:
    """Full loads and balance load that make up a volume.

    Parameters
    ----------
    volume_m3 : float
        [m³]
    truck_m3 : float
        Load of one truck. [m³]

    Returns
    -------
    TruckCount

    Raises
    ------
    OutOfRange
        For a volume below nought or a truck without room.
    """
    if volume_m3 < 0 or not truck_m3 > 0:
        raise OutOfRange("the volume must not be below nought and the truck's load above it.")
    shares = (working or Working()).line("n = V/T", V=(volume_m3, "m³"), T=(truck_m3, "m³"))
    n_full = math.floor(shares + 1e-9)
    balance = volume_m3 - n_full * truck_m3
    balance = balance if balance > 1e-9 * truck_m3 else 0.0
    return TruckCount(n_full + (balance > 0), n_full, balance)


@dataclass(frozen=True, slots=True)
class LooseMaterial:
    """Base material as it is bought.

    Attributes
    ----------
    loose_m3 : float
        On the truck. [m³]
    mass_kg : float
        [kg]
    """

    loose_m3: float
    mass_kg: float


@published("loose-from-compacted", BASE_MATERIAL, validity="Factor and density are properties of the material; ask the quarry.")
def loose_from_compacted(
    *, compacted_m3: float, shrink_factor: float, loose_density_kg_m3: float, working: Working | None = None
) -> LooseMaterial:
    """Loose volume and mass of base material for a compacted course.

    Parameters
    ----------
    compacted_m3 : float
        In place. [m³]
    shrink_factor : float
        Loose over compacted volume, 1.1 to 1.4 as a rule. [-]
    loose_density_kg_m3 : float
        On the truck. [kg/m³]

    Returns
    -------
    LooseMaterial

    Raises
    ------
    OutOfRange
        For a factor below 1 or a density not above nought.
    """
    if compacted_m3 < 0 or shrink_factor < 1 or not loose_density_kg_m3 > 0:
        raise OutOfRange("the volume must not be below nought, the factor not below 1 and the density above nought.")
    working = working or Working()
    loose = working.line("V_l = V_c*f", "m³", V_c=(compacted_m3, "m³"), f=shrink_factor)
    mass = working.line("M = V_l*rho", "kg", V_l=(loose, "m³"), rho=(loose_density_kg_m3, "kg/m³"))
    return LooseMaterial(loose, mass)


class WasteOf(Enum):
    """What a published waste allowance is for."""

    FOOTINGS = "footings"
    SLABS = "slabs"
    NAVY = "navy"
    ARMY = "army"


@published("concrete-waste", WASTE, validity="One figure for everything; allowances line by line say more.")
def waste_share(*, of: WasteOf, volume_m3: float = 0.0) -> float:
    """Waste that estimating texts add to the plan volume.

    Parameters
    ----------
    of : WasteOf
    volume_m3 : float
        Of the job; the Army's rule depends on it. [m³]

    Returns
    -------
    float
        Fraction of the plan volume. [-]
    """
    if of is WasteOf.ARMY:
        return 0.10 if volume_m3 <= ARMY_LIMIT_M3 else 0.05
    return {WasteOf.FOOTINGS: 0.05, WasteOf.SLABS: 0.08, WasteOf.NAVY: 0.10}[of]
