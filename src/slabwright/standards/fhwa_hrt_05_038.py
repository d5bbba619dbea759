"""FHWA-HRT-05-038 on curing: evaporation against bleeding, and the fit of the evaporation chart."""

import math
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, practice

FHWA_HRT_05_038 = Source("FHWA-HRT-05-038", "Guide for Curing Portland Cement Concrete Pavements, II, FHWA-HRT-05-038, 2006")
RATE_LIMITS = Clause(FHWA_HRT_05_038, "ch. 5: definite action at 1.0 kg/m²/h, caution at 0.5", Basis.TEXT_SEEN)
BLEED_AND_EVAPORATION = Clause(FHWA_HRT_05_038, "ch. 5, bleeding rate and evaporation rate", Basis.TEXT_SEEN)
CHART_FIT = Clause(FHWA_HRT_05_038, "ch. 5, curve fit of the chart", Basis.MEMORY)
BLEED_RATES = practice("bleed rate of slab mixes 0.5 to 1.5 kg/m²·h, of low-bleed ones 0.1 to 0.5; a bleed test decides")
BLEED_TOTAL = practice("a slab mix gives off about 1 to 2 % of its depth as bleed water before it sets")

ACTION_KG_M2_H = 1.0
CAUTION_KG_M2_H = 0.5


class BleedKind(Enum):
    """How freely a mix bleeds; air, silica fume, w/cm below 0.45 or latex make it low."""

    NORMAL = "normal"
    LOW = "low"


BLEED_RANGE_KG_M2_H = {BleedKind.NORMAL: (0.5, 1.5), BleedKind.LOW: (0.1, 0.5)}
"""Lowest and highest usual bleed rate. [kg/m²/h]"""
BLEED_SHARE = {BleedKind.NORMAL: 0.012, BleedKind.LOW: 0.004}
"""Bleed water over the slab's depth, by volume. [-]"""


@published("bleed-limit", RATE_LIMITS)
def bleed_limit_kg_m2_h(*, bleed: BleedKind = BleedKind.NORMAL, bleed_rate_kg_m2_h: float | None = None) -> float:
    """Evaporation that a fresh surface stands without precautions.

    Parameters
    ----------
    bleed : BleedKind
        Normal mixes 1.0 kg/m²/h, low-bleed mixes 0.5. [-]
    bleed_rate_kg_m2_h : float, optional
        From a bleed test; evaporation above it dries the surface whatever the kind of mix. [kg/m²/h]

    Returns
    -------
    float
        [kg/m²/h]

    Raises
    ------
    OutOfRange
        For a bleed rate below nought.
    """
    limit = ACTION_KG_M2_H if bleed is BleedKind.NORMAL else CAUTION_KG_M2_H
    if bleed_rate_kg_m2_h is None:
        return limit
    if bleed_rate_kg_m2_h < 0:
        raise OutOfRange("a bleed rate cannot be below nought.")
    return min(limit, bleed_rate_kg_m2_h)


@published("bleed-deficit", BLEED_AND_EVAPORATION)
def bleed_deficit_kg_m2_h(*, evaporation_kg_m2_h: float, bleed_rate_kg_m2_h: float, working: Working | None = None) -> float:
    """How much faster water leaves than it rises; above nought the surface dries.

    Parameters
    ----------
    evaporation_kg_m2_h, bleed_rate_kg_m2_h : float
        [kg/m²/h]

    Returns
    -------
    float
        [kg/m²/h]
    """
    return (working or Working()).line(
        "D = max(0, E - B)", "kg/m²·h", E=(evaporation_kg_m2_h, "kg/m²·h"), B=(bleed_rate_kg_m2_h, "kg/m²·h")
    )


@published("evaporation-rate-by-chart", CHART_FIT, validity="Fit to the chart of the hot-weather guides.")
def evaporation_by_chart_kg_m2_h(*, concrete_temp_c: float, air_temp_c: float, rel_humidity: float, wind_speed_m_s: float) -> float:
    """Rate of evaporation as the hot-weather chart reads.

    Parameters
    ----------
    concrete_temp_c, air_temp_c : float
        [°C]
    rel_humidity : float
        A fraction from 0 to 1. [-]
    wind_speed_m_s : float
        [m/s]

    Returns
    -------
    float
        [kg/m²/h]
    """
    wind = 0.1113 + 0.04224 * wind_speed_m_s / 0.447
    concrete, air = (math.exp(0.0302 * (1.8 * temp + 32.0)) for temp in (concrete_temp_c, air_temp_c))
    return 4.88 * wind * 0.0443 * (concrete - rel_humidity * air)
