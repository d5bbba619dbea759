"""ACI 305, ACI 301 and ASTM C94: limits on concreting in the heat."""

from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source

ACI_305_1 = Source("ACI 305.1-14", "Specification for Hot Weather Concreting (ACI 305.1-14)")
ACI_305R = Source("ACI 305R-99", "Hot Weather Concreting (ACI 305R-99)")
ACI_301 = Source("ACI 301-20", "Specifications for Concrete Construction (ACI 301-20)")
ASTM_C94 = Source("ASTM C94", "Specification for Ready-Mixed Concrete, 2015")
HOT_WEATHER = Clause(ACI_305_1, "1.3 definitions", Basis.TEXT_SEEN)
HOTTEST = Clause(ACI_301, "at most 95 °F at discharge unless otherwise specified; also ACI 305.1-14", Basis.QUOTED)
HOTTEST_HEATED = Clause(ASTM_C94, "12.11: at most 90 °F with heated materials", Basis.TEXT_SEEN)
EVAPORATION_CHART = Clause(ACI_305R, "Fig. 2.1.5, example on the chart", Basis.MEMORY)

HOT_AIR_C = (80.0 - 32.0) / 1.8
HOT_EVAPORATION_KG_M2_H = 1.0
HOTTEST_CONCRETE_C = 35.0
HOTTEST_HEATED_C = (90.0 - 32.0) / 1.8


@published("is-hot-weather", HOT_WEATHER, validity="As revised by the architect or engineer.")
def is_hot_weather(*, air_temp_c: float, evaporation_kg_m2_h: float) -> bool:
    """Whether the specification calls this hot weather: warm air and fast drying together.

    Parameters
    ----------
    air_temp_c : float
        [°C]
    evaporation_kg_m2_h : float
        [kg/m²/h]

    Returns
    -------
    bool
    """
    return air_temp_c >= HOT_AIR_C - 1e-9 and evaporation_kg_m2_h > HOT_EVAPORATION_KG_M2_H
