"""ACI 308, ACI 318 and guide specifications: how long to cure, how much compound, when forms may go."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.standards.cold_weather import UFGS_03300N
from slabwright.units import FOOT_M, GALLON_M3

ACI_308_1 = Source("ACI 308.1-11", "Specification for Curing Concrete (ACI 308.1-11)")
UFGS_03311 = Source("UFGS 03311", "Unified Facilities Guide Specifications 03311 and 03372, 2001")
CONCRETE_CONSTRUCTION = Source("Concrete Construction, curing and wear", "Concrete Construction magazine, Curing and wear resistance")
FORMWORK_SPEC = Source("municipal formwork specification", "A city's formwork specification, 3.02, in the words of ACI 301 and 347")
CURING_DAYS = Clause(ACI_318_19, "26.5.3.2; 50 % longer at 40 to 50 °F by UFGS 03300N", Basis.TEXT_SEEN)
CURING_COLD = Clause(UFGS_03300N, "fog spray: half as long again at 40 to 50 °F", Basis.TEXT_SEEN)
CURING_STRENGTH = Clause(ACI_308_1, "until the strength in place is 70 % of that specified", Basis.MEMORY)
COVERAGE = Clause(UFGS_03311, "two coats, 200 ft²/gal in all", Basis.TEXT_SEEN)
COMPOUND_RULES = Clause(UFGS_03311, "spray again after rain within 3 h; no traffic for 72 h", Basis.TEXT_SEEN)
WEAR = Clause(CONCRETE_CONSTRUCTION, "wear resistance lost against 28 days of curing", Basis.TEXT_SEEN)
SIDE_FORMS = Clause(FORMWORK_SPEC, "24 cumulative hours at 50 °F or more, concrete hard enough", Basis.TEXT_SEEN)
SUPPORTING_FORMS = Clause(FORMWORK_SPEC, "7 days and 75 % of the strength", Basis.TEXT_SEEN)
LOADING = practice(
    "foot traffic after 24 h, light framing after 3 to 7 days at 50 to 70 % of the strength, lifts and outriggers at 75 to 100 %"
)
STRIPPING_WALLS = practice("wall forms 8 to 12 h above 50 °F; no backfill for 7 days, about 80 % of the strength")

STRENGTH_SHARE = 0.70
SIDE_FORM_HOURS_H, SIDE_FORM_C = 24.0, 10.0
SUPPORT_DAYS, SUPPORT_SHARE = 7.0, 0.75
FOOT_TRAFFIC_H = 24.0
FRAMING_DAYS = (3.0, 7.0)
RESPRAY_H, TRAFFIC_H = 3.0, 72.0
COVERAGE_M2_M3 = 200.0 * FOOT_M**2 / GALLON_M3
WEAR_LOSS = {3: 0.35, 7: 0.20}
"""Fraction of wear resistance lost when curing stops at this many days."""


@published("curing-days", CURING_DAYS, validity="Moist or membrane curing above 40 °F.", limits={"temp_c": (40 / 9, 60.0)})
def curing_days(*, temp_c: float, high_early: bool = False) -> float:
    """How long concrete is cured.

    Parameters
    ----------
    temp_c : float
        Mean temperature of the concrete during curing. [°C]
    high_early : bool
        High-early-strength concrete.

    Returns
    -------
    float
        7 days, 3 for high-early concrete, half as long again from 40 to 50 °F. [d]

    Raises
    ------
    OutOfRange
        Below 40 °F, where concrete must be protected and the strength decides.
    """
    if temp_c < 40 / 9 - 1e-9:
        raise OutOfRange("below 40 °F (4.4 °C) no number of days is stated; protect the concrete and cure to a strength.")
    return (3.0 if high_early else 7.0) * (1.5 if temp_c < 10.0 - 1e-9 else 1.0)


@published("curing-compound", COVERAGE)
def curing_compound_m3(*, area_m2: float, coverage_m2_m3: float = COVERAGE_M2_M3, working: Working | None = None) -> float:
    """Curing compound for an area, both coats.

    Parameters
    ----------
    area_m2 : float
        [m²]
    coverage_m2_m3 : float
        Area per volume for both coats together; the maker's rate decides. [m²/m³]

    Returns
    -------
    float
        [m³]

    Raises
    ------
    OutOfRange
        For a coverage not above nought.
    """
    if coverage_m2_m3 <= 0:
        raise OutOfRange("a coverage must be above nought.")
    gallons = (working or Working()).line(
        "V = A/c", "gal", A=(area_m2 / FOOT_M**2, "ft²"), c=(coverage_m2_m3 * GALLON_M3 / FOOT_M**2, "ft²/gal")
    )
    return gallons * GALLON_M3


@published("curing-strength", CURING_STRENGTH)
def curing_strength_pa(*, strength_pa: float) -> float:
    """Strength in place at which curing may end.

    Parameters
    ----------
    strength_pa : float
        Specified. [Pa]

    Returns
    -------
    float
        [Pa]
    """
    return STRENGTH_SHARE * strength_pa
