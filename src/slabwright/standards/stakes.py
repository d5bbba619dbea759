"""Stakes in the ground, sand or clay: what they hold of a push and of a pull, how deep they are driven."""

import math

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, PCF_KG_M3, POUND_FORCE_N, PSF_PA

BROMS_SAND = Source("Broms 1964", "Lateral resistance of piles in cohesionless soils, ASCE J. Soil Mech. and Found. Div. 90 SM3, 1964")
BROMS_CLAY = Source("Broms 1964a", "Lateral resistance of piles in cohesive soils, ASCE J. Soil Mech. and Found. Div. 90 SM2, 1964")
NAVFAC_DM_7 = Source("NAVFAC DM-7.2", "Foundations and Earth Structures, Design Manual 7.2, Naval Facilities Engineering Command, 1982")
STAKE = Clause(BROMS_SAND, "short rigid pile, free head", Basis.MEMORY)
STAKE_IN_CLAY = Clause(BROMS_CLAY, "short pile, free head: 9 times the strength from 1 1/2 widths down", Basis.TEXT_SEEN)
PULL_OUT = Clause(NAVFAC_DM_7, "chapter 5, driven pile in sand under tension: K 0.6, timber on soil 3/4 of its angle", Basis.MEMORY)
ADHESION = Clause(NAVFAC_DM_7, "chapter 3, table 1: adhesion of cohesive soils", Basis.MEMORY)

_TENSION_K = 0.6
"""Least of the range for a driven pile that is pulled; of a stake that a hammer loosened no more is counted."""
_ADHESION_PSF = ((0.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0), (0.0, 250.0, 500.0, 750.0, 950.0, 1300.0))
"""Undrained strength of the clay and what of it sticks to a stake. [psf]"""


@published("stake-capacity", STAKE, validity="Ultimate, in sand, stake free to turn at its head; divide by a safety factor.")
def stake_capacity_n(
    *,
    width_m: float,
    embedment_m: float,
    load_height_m: float,
    soil_weight_kg_m3: float = 110 * PCF_KG_M3,
    friction_rad: float = math.radians(30),
    working: Working | None = None,
) -> float:
    """Push that a stake in sand holds at its head before it turns over.

    Parameters
    ----------
    width_m : float
        Of the stake. [m]
    embedment_m : float
        In firm ground. [m]
    load_height_m : float
        Of the push above ground. [m]
    soil_weight_kg_m3 : float
        [kg/m³]
    friction_rad : float
        Angle of friction. [rad]
    working : Working, optional

    Returns
    -------
    float
        Ultimate. [N]

    Raises
    ------
    OutOfRange
        For sizes of nought or a friction angle outside 0 to 45 degrees.
    """
    if min(width_m, embedment_m) <= 0 or load_height_m < 0 or not 0 < friction_rad <= math.pi / 4:
        raise OutOfRange("a stake needs a width and an embedment above nought and a friction angle up to 45°.")
    work = working or Working()
    passive = work.line("K_p = tan(pi/4 + phi/2)**2", "", phi=(friction_rad, "rad"))
    pounds = work.line(
        "H_u = 0.5*gamma*d*L**3*K_p/(e + L)",
        "lb",
        gamma=(soil_weight_kg_m3 / PCF_KG_M3, "pcf"),
        d=(width_m / FOOT_M, "ft"),
        L=(embedment_m / FOOT_M, "ft"),
        K_p=passive,
        e=(load_height_m / FOOT_M, "ft"),
    )
    return pounds * POUND_FORCE_N


@published("stake-depth", STAKE, validity="In sand, pushed at the ground, stake free to turn at its head.")
def stake_depth_m(
    *,
    push_n: float,
    width_m: float,
    safety_factor: float,
    soil_weight_kg_m3: float = 110 * PCF_KG_M3,
    friction_rad: float = math.radians(30),
) -> float:
    """How deep a stake is driven to hold a push at the ground.

    Parameters
    ----------
    push_n : float
        [N]
    width_m : float
        Of the stake. [m]
    safety_factor : float
        [-]
    soil_weight_kg_m3 : float
        [kg/m³]
    friction_rad : float
        Angle of friction. [rad]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        For a negative push or a width of nought.
    """
    if push_n < 0:
        raise OutOfRange(f"a push is nought or more (got {push_n:g} N).")
    one_metre = stake_capacity_n(
        width_m=width_m, embedment_m=1.0, load_height_m=0.0, soil_weight_kg_m3=soil_weight_kg_m3, friction_rad=friction_rad
    )
    return math.sqrt(safety_factor * push_n / one_metre)


@published("stake-pull-out", PULL_OUT, validity="Ultimate, timber stake driven into sand; divide by a safety factor.")
def stake_pull_out_n(
    *,
    width_m: float,
    embedment_m: float,
    soil_weight_kg_m3: float = 110 * PCF_KG_M3,
    friction_rad: float = math.radians(30),
    working: Working | None = None,
) -> float:
    """What holds a square stake in sand against being lifted: friction on its four sides.

    Parameters
    ----------
    width_m, embedment_m : float
        [m]
    soil_weight_kg_m3 : float
        [kg/m³]
    friction_rad : float
        Angle of friction of the sand. [rad]
    working : Working, optional

    Returns
    -------
    float
        Ultimate. [N]

    Raises
    ------
    OutOfRange
        For sizes of nought.
    """
    if min(width_m, embedment_m, soil_weight_kg_m3) <= 0 or not 0 < friction_rad <= math.pi / 4:
        raise OutOfRange("a stake needs a width and an embedment above nought and a friction angle up to 45°.")
    work = working if working is not None else Working()
    pounds = work.line(
        "T_u = K*(gamma*L/2)*tan(0.75*phi)*4*d*L",
        "lb",
        K=_TENSION_K,
        gamma=(soil_weight_kg_m3 / PCF_KG_M3, "pcf"),
        L=(embedment_m / FOOT_M, "ft"),
        phi=(friction_rad, "rad"),
        d=(width_m / FOOT_M, "ft"),
    )
    return pounds * POUND_FORCE_N


@published("stake-capacity-in-clay", STAKE_IN_CLAY, validity="Ultimate, stake free to turn at its head; divide by a safety factor.")
def stake_capacity_in_clay_n(
    *, width_m: float, embedment_m: float, load_height_m: float, undrained_strength_pa: float, working: Working | None = None
) -> float:
    """Push that a stake in clay holds at its head before it turns over.

    The clay presses with nine times its strength, one way above the point about which the stake turns and the other way below it; of the
    top one and a half widths nothing is counted.

    Parameters
    ----------
    width_m : float
        Of the stake. [m]
    embedment_m : float
        In firm ground. [m]
    load_height_m : float
        Of the push above ground. [m]
    undrained_strength_pa : float
        Half the unconfined compressive strength. [Pa]
    working : Working, optional

    Returns
    -------
    float
        Ultimate; nought for a stake that goes no deeper than what is not counted. [N]

    Raises
    ------
    OutOfRange
        For sizes or a strength of nought.
    """
    if min(width_m, embedment_m, undrained_strength_pa) <= 0 or load_height_m < 0:
        raise OutOfRange("a stake needs a width and an embedment above nought, and clay a strength above nought.")
    work = working if working is not None else Working()
    width, deep, strength = (width_m / FOOT_M, "ft"), (embedment_m / FOOT_M, "ft"), (undrained_strength_pa / PSF_PA, "psf")
    arm = work.line("a = e + 1.5*d", "ft", e=(load_height_m / FOOT_M, "ft"), d=width)
    counted = work.line("b = max(L - 1.5*d, 0)", "ft", L=deep, d=width)
    pounds = work.line(
        "H_u = 9*c_u*d*(sqrt((2*a + b)**2 + b**2) - (2*a + b))", "lb", c_u=strength, d=width, a=(arm, "ft"), b=(counted, "ft")
    )
    return pounds * POUND_FORCE_N


@published("stake-depth-in-clay", STAKE_IN_CLAY, validity="Pushed at the ground, stake free to turn at its head.")
def stake_depth_in_clay_m(*, push_n: float, width_m: float, safety_factor: float, undrained_strength_pa: float) -> float:
    """How deep a stake in clay is driven to hold a push at the ground.

    Parameters
    ----------
    push_n : float
        [N]
    width_m : float
        Of the stake. [m]
    safety_factor : float
        [-]
    undrained_strength_pa : float
        Half the unconfined compressive strength. [Pa]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        For a negative push, or a width or a strength of nought.
    """
    if push_n < 0 or min(width_m, undrained_strength_pa) <= 0:
        raise OutOfRange(f"a push is nought or more, a width and a strength above nought (got {push_n:g} N).")
    presses_n_m = 9 * undrained_strength_pa * width_m
    forward_m = safety_factor * push_n / presses_n_m
    backward_m = math.sqrt(4 * forward_m * (1.5 * width_m + forward_m / 2))
    return 1.5 * width_m + forward_m + backward_m


@published("stake-pull-out-of-clay", ADHESION, validity="Ultimate, timber stake driven into clay; divide by a safety factor.")
def stake_pull_out_of_clay_n(*, width_m: float, embedment_m: float, undrained_strength_pa: float, working: Working | None = None) -> float:
    """What holds a square stake in clay against being lifted: what sticks to its four sides.

    Parameters
    ----------
    width_m, embedment_m : float
        [m]
    undrained_strength_pa : float
        Half the unconfined compressive strength; above 4,000 psf no more is counted. [Pa]
    working : Working, optional

    Returns
    -------
    float
        Ultimate. [N]

    Raises
    ------
    OutOfRange
        For sizes or a strength of nought.
    """
    if min(width_m, embedment_m, undrained_strength_pa) <= 0:
        raise OutOfRange("a stake needs a width and an embedment above nought, and clay a strength above nought.")
    import numpy as np

    adhesion = float(np.interp(undrained_strength_pa / PSF_PA, *_ADHESION_PSF))
    work = working if working is not None else Working()
    pounds = work.line("T_u = c_a*4*d*L", "lb", c_a=(adhesion, "psf"), d=(width_m / FOOT_M, "ft"), L=(embedment_m / FOOT_M, "ft"))
    return pounds * POUND_FORCE_N
