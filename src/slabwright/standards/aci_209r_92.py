"""ACI 209R-92: strength, shrinkage and creep over time."""

import math
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source

ACI_209R_92 = Source("ACI 209R-92", "Prediction of Creep, Shrinkage, and Temperature Effects in Concrete Structures (ACI 209R-92)")
STRENGTH_GAIN = Clause(ACI_209R_92, "2.2.1, Table 2.2.1", Basis.MEMORY)
SHRINKAGE = Clause(ACI_209R_92, "standard conditions, moist cured 7 days", Basis.QUOTED)
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
