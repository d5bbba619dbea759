"""ACI 306 and what quotes it: limits on concreting in the cold, protection and its end."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.setting import NRMCA_CIP_27
from slabwright.units import INCH_M, POUND_KG, PSI_PA, YARD_M

ACI_306R = Source("ACI 306R-16", "Guide to Cold Weather Concreting (ACI 306R-16)")
ACI_306_1 = Source("ACI 306.1-90", "Standard Specification for Cold Weather Concreting (ACI 306.1-90)")
UFGS_03300N = Source("UFGS 03300N", "Unified Facilities Guide Specification 03300N, Cast-in-Place Concrete, 2001")
PCA_DESIGN = Source("PCA ch. 14", "Design and Control of Concrete Mixtures, chapter 14, Concreting in Cold Weather, 2002")
COLD_WEATHER = Clause(ACI_306R, "air below 40 °F expected during protection", Basis.TEXT_SEEN)
LEAST_TEMP = Clause(ACI_306R, "Table 5.1, line 1", Basis.TEXT_SEEN)
GREATEST_DROP = Clause(ACI_306_1, "greatest gradual drop in the first 24 hours", Basis.TEXT_SEEN)
UNCOVERING = Clause(ACI_306_1, "3.2.3: protection may go when the surface is within 20 °F of the air", Basis.TEXT_SEEN)
PROTECTION_DAYS = Clause(ACI_306_1, "protection period", Basis.TEXT_SEEN)
COOLING = Clause(UFGS_03300N, "cold weather: 5 °F in any hour, 50 °F in 24 hours", Basis.TEXT_SEEN)
FIRST_FREEZE = Clause(PCA_DESIGN, "no freezing before 500 psi; also NRMCA CIP 27", Basis.TEXT_SEEN)
FREEZING = Clause(NRMCA_CIP_27, "fresh concrete freezes below about 25 °F; cycles only from 3500 psi", Basis.TEXT_SEEN)
CORE_TO_FACE = Clause(NRMCA_CIP_27, "core and surface within about 35 °F", Basis.TEXT_SEEN)

COLD_AIR_C = (40.0 - 32.0) / 1.8
FREEZE_SAFE_PA = 500.0 * PSI_PA
CYCLES_SAFE_PA = 3500.0 * PSI_PA
FRESH_FREEZES_C = (25.0 - 32.0) / 1.8
UNCOVERING_K = 20.0 / 1.8
CORE_TO_FACE_K = 35.0 / 1.8
COOLING_1H_K, COOLING_24H_K = 5.0 / 1.8, 50.0 / 1.8
RICH_KG_M3 = 100.0 * POUND_KG / YARD_M**3
"""Extra cement that shortens protection. [kg/m³]"""
_BY_DIMENSION = ((12.0, 55.0, 50.0), (36.0, 50.0, 40.0), (72.0, 45.0, 30.0), (float("inf"), 40.0, 20.0))
"""Below this least dimension (inches): least temperature and greatest drop in 24 hours (°F)."""


def _row(least_dimension_m: float) -> tuple[float, float, float]:
    if least_dimension_m <= 0:
        raise OutOfRange("a least dimension must be above nought.")
    return next(row for row in _BY_DIMENSION if least_dimension_m / INCH_M < row[0] - 1e-9)


@published("coldest-concrete", LEAST_TEMP, validity="Columns above 12 in. from memory.")
def coldest_concrete_c(*, least_dimension_m: float) -> float:
    """Least temperature of concrete as placed and kept, by the least dimension of the section.

    Parameters
    ----------
    least_dimension_m : float
        [m]

    Returns
    -------
    float
        [°C]

    Raises
    ------
    OutOfRange
        For a dimension not above nought.
    """
    return (_row(least_dimension_m)[1] - 32.0) / 1.8


@published("greatest-cooling", GREATEST_DROP, validity="Columns above 12 in. from memory.")
def greatest_cooling_k(*, least_dimension_m: float) -> float:
    """Greatest gradual drop of the surface in 24 hours after protection ends.

    Parameters
    ----------
    least_dimension_m : float
        [m]

    Returns
    -------
    float
        [K]

    Raises
    ------
    OutOfRange
        For a dimension not above nought.
    """
    return _row(least_dimension_m)[2] / 1.8


@published("protection-days", PROTECTION_DAYS, validity="Sections below 12 in., kept at 55 °F.")
def protection_days(*, type_iii: bool = False, accelerator: bool = False, extra_cement_kg_m3: float = 0.0) -> float:
    """How long fresh concrete is protected in the cold.

    Parameters
    ----------
    type_iii, accelerator : bool
        High-early cement, an accelerating admixture.
    extra_cement_kg_m3 : float
        Beyond the mix without it; 100 lb/yd³ shorten the period. [kg/m³]

    Returns
    -------
    float
        [d]
    """
    return 2.0 if type_iii or accelerator or extra_cement_kg_m3 >= RICH_KG_M3 - 1e-6 else 3.0


@published("may-uncover", UNCOVERING)
def may_uncover(*, surface_temp_c: float, air_temp_c: float) -> bool:
    """Whether all protection may go at once.

    Parameters
    ----------
    surface_temp_c, air_temp_c : float
        [°C]

    Returns
    -------
    bool
    """
    return surface_temp_c - air_temp_c <= UNCOVERING_K + 1e-9
