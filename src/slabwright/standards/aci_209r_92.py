"""ACI 209R-92: strength, shrinkage and creep over time."""

import math
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import CUBIC_YARD_M3, INCH_M, POUND_KG

ACI_209R_92 = Source("ACI 209R-92", "Prediction of Creep, Shrinkage, and Temperature Effects in Concrete Structures (ACI 209R-92)")
STRENGTH_GAIN = Clause(ACI_209R_92, "2.2.1, Table 2.2.1", Basis.MEMORY)
SHRINKAGE = Clause(ACI_209R_92, "standard conditions, moist cured 7 days", Basis.QUOTED)
SHRINKAGE_BY_MIX = Clause(
    ACI_209R_92,
    "2.5.3 to 2.5.7, correction factors for shrinkage",
    Basis.MEMORY,
)
SHRINKAGE_IN_PLACE = Clause(
    ACI_209R_92,
    "2.5.4 and 2.5.5, humidity and volume over surface, time by size",
    Basis.MEMORY,
)
CREEP = Clause(ACI_209R_92, "standard conditions", Basis.QUOTED)

ULTIMATE_SHRINKAGE = 780e-6
ULTIMATE_CREEP = 2.35
MOIST_FADING = (1.25, 0.118)
CREEP_GROWTH = (0.6, 10.0)
"""Factor and power of the age at loading; power and scale of the time under load."""


class Hardening(Enum):
    """Cement and curing of the strength table."""

    TYPE_I_MOIST = "I moist"
    TYPE_III_MOIST = "III moist"
    TYPE_I_STEAM = "I steam"
    TYPE_III_STEAM = "III steam"


_GAIN = {
    Hardening.TYPE_I_MOIST: (4.0, 0.85),
    Hardening.TYPE_III_MOIST: (2.3, 0.92),
    Hardening.TYPE_I_STEAM: (1.0, 0.95),
    Hardening.TYPE_III_STEAM: (0.70, 0.98),
}


@published("strength-at-age", STRENGTH_GAIN, validity="At 23 °C; not meant below one day.", limits={"age_days": (1.0, 10_000.0)})
def strength_at_age_pa(
    *, strength_pa: float, age_days: float, hardening: Hardening = Hardening.TYPE_I_MOIST, working: Working | None = None
) -> float:
    """Compressive strength at an age from that at 28 days.

    Parameters
    ----------
    strength_pa : float
        At 28 days. [Pa]
    age_days : float
        Equivalent age. [d]
    hardening : Hardening
        Cement and curing. [-]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For an age below nought.
    """
    if age_days < 0:
        raise OutOfRange("an age cannot be below nought.")
    a, b = _GAIN[hardening]
    share = (working or Working()).line("f(t)/f_28 = t/(a + b*t)", t=(age_days, "d"), a=(a, "d"), b=b)
    return share * strength_pa


@published("shrinkage-strain", SHRINKAGE)
def shrinkage_strain(*, drying_days: float, working: Working | None = None) -> float:
    """Drying shrinkage after curing, standard conditions.

    Parameters
    ----------
    drying_days : float
        Since drying began, after 7 days of moist curing. [d]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        For a time below nought.
    """
    if drying_days < 0:
        raise OutOfRange("a drying time cannot be below nought.")
    return (working or Working()).line("eps = t/(35 + t)*eps_u", t=(drying_days, "d"), eps_u=ULTIMATE_SHRINKAGE)


@published(
    "ultimate-shrinkage",
    SHRINKAGE_BY_MIX,
    validity="Standard conditions. An estimate: measured shrinkage scatters about it by a third and more.",
    limits={"fine_share": (0.3, 0.7)},
)
def ultimate_shrinkage(
    *, slump_m: float, cement_kg_m3: float, air: float, fine_share: float = 0.50, moist_days: float = 7.0, working: Working | None = None
) -> float:
    r"""Drying shrinkage in the end under standard conditions, from the mix.

    Parameters
    ----------
    slump_m : float
        As placed. [m]
    cement_kg_m3 : float
        Cementitious material. [kg/m³]
    air : float
        Total air, a fraction. [-]
    fine_share : float
        Fine aggregate over all aggregate, by mass, a fraction; 0.50 changes nothing. [-]
    moist_days : float
        Moist curing. [d]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        For a slump, content or time of nought, or a fraction that is none.

    Notes
    -----
    .. math:: \epsilon_u = 780\times10^{-6}\,\gamma_s\,\gamma_\psi\,\gamma_c\,\gamma_\alpha\,\gamma_{cp}
    """
    if min(slump_m, cement_kg_m3, moist_days) <= 0:
        raise OutOfRange("slump, cement and days of moist curing must be above nought.")
    if not (0.0 <= air <= 0.3 and 0.0 < fine_share <= 1.0):
        raise OutOfRange("air and share of fine aggregate are fractions; divide a percentage by 100.")
    work = working or Working()
    return work.line(
        "eps_u = eps_0*g_s*g_psi*g_c*g_a*g_t",
        eps_0=ULTIMATE_SHRINKAGE,
        g_s=work.line("g_s = 0.89 + 0.041*s", s=(slump_m / INCH_M, "in"), note="slump"),
        g_psi=work.line("g_psi = min(0.30 + 0.014*psi, 0.90 + 0.002*psi)", psi=(100.0 * fine_share, "%"), note="fine aggregate"),
        g_c=work.line("g_c = 0.75 + 0.00036*c", c=(cement_kg_m3 * CUBIC_YARD_M3 / POUND_KG, "lb/yd³"), note="cement"),
        g_a=work.line("g_a = max(0.95 + 0.008*a, 1)", a=(100.0 * air, "%"), note="air"),
        g_t=1.0 if moist_days == 7.0 else work.line("g_t = 1.202 - 0.2337*ln(t)/ln(10)", t=(moist_days, "d"), note="moist curing"),
    )


@published(
    "shrinkage-in-place",
    SHRINKAGE_IN_PLACE,
    validity="Volume over surface is the thickness where only the top dries.",
    limits={"rel_humidity": (0.4, 1.0)},
)
def shrinkage_in_place(
    *, ultimate: float, drying_days: float, rel_humidity: float, volume_over_surface_m: float, working: Working | None = None
) -> float:
    r"""Drying shrinkage of concrete of a size in air of a humidity, after a time.

    Parameters
    ----------
    ultimate : float
        In the end, under standard conditions. [-]
    drying_days : float
        Since drying began. [d]
    rel_humidity : float
        Of the air, a fraction of 0.4 or more. [-]
    volume_over_surface_m : float
        Of the concrete. [m]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        For a value below nought or a humidity that is no fraction.

    Notes
    -----
    .. math:: \epsilon = \frac{t}{26\,e^{0.36 v} + t}\;\max(\gamma_h\,\gamma_v,\ 0.2)\;\epsilon_u
    """
    if min(ultimate, drying_days, volume_over_surface_m) < 0 or not 0.0 < rel_humidity <= 1.0:
        raise OutOfRange("shrinkage, time and size cannot be below nought, and humidity is a fraction; divide a percentage by 100.")
    work = working or Working()
    size = (volume_over_surface_m / INCH_M, "in")
    humid = "g_h = 1.40 - 0.0102*h" if rel_humidity <= 0.8 else "g_h = 3.00 - 0.030*h"
    return work.line(
        "eps = t/(f + t)*max(g_h*g_v, 0.2)*eps_u",
        t=(drying_days, "d"),
        f=(work.line("f = 26*exp(0.36*v)", "d", v=size, note="time of half the drying"), "d"),
        g_h=work.line(humid, h=(100.0 * rel_humidity, "%"), note="humidity"),
        g_v=work.line("g_v = 1.2*exp(-0.12*v)", v=size, note="size"),
        eps_u=ultimate,
    )


def creep_ultimate(*, rel_humidity: float) -> float:
    """Final creep coefficient for loading at the age of one day in air of a humidity. [-]"""
    return ULTIMATE_CREEP * MOIST_FADING[0] * (1.27 - 0.0067 * 100.0 * rel_humidity)


@published("creep-coefficient", CREEP, validity="Loading from 7 days on; early relaxation is larger.", limits={"loading_days": (7.0, 1e4)})
def creep_coefficient(*, loaded_for_days: float, loading_days: float, rel_humidity: float = 0.5) -> float:
    """Creep over elastic strain.

    Parameters
    ----------
    loaded_for_days : float
        Time under load. [d]
    loading_days : float
        Age at loading. [d]
    rel_humidity : float
        Of the air, a fraction of 0.4 or more. [-]

    Returns
    -------
    float
        [-]
    """
    power, scale = CREEP_GROWTH
    grown = math.pow(loaded_for_days, power) / (scale + math.pow(loaded_for_days, power))
    return creep_ultimate(rel_humidity=rel_humidity) * math.pow(loading_days, -MOIST_FADING[1]) * grown
