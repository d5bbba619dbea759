"""CIRIA report 108: what fresh concrete presses on forms, in European practice."""

import math
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import STANDARD_GRAVITY_M_S2

CIRIA_108 = Source("CIRIA 108", "Concrete pressure on formwork, report 108, 1985")
PRESSURE = Clause(CIRIA_108, "design formula and coefficients", Basis.QUOTED)


class CiriaCement(Enum):
    """Cement and admixture as the report groups them."""

    PLAIN = "plain"
    RETARDED_OR_BLENDED = "retarded or blended"
    RETARDED_BLEND = "retarded blend"


_C2 = {CiriaCement.PLAIN: 0.30, CiriaCement.RETARDED_OR_BLENDED: 0.45, CiriaCement.RETARDED_BLEND: 0.60}


@published("form-pressure-ciria", PRESSURE, validity="Walls and columns, concrete at 5 to 30 °C.", limits={"concrete_temp_c": (5.0, 30.0)})
def form_pressure_pa(
    *,
    placed_height_m: float,
    form_height_m: float,
    rise_m_h: float,
    concrete_temp_c: float,
    unit_weight_kg_m3: float = 25000 / STANDARD_GRAVITY_M_S2,
    cement: CiriaCement = CiriaCement.PLAIN,
    column: bool = False,
    working: Working | None = None,
) -> float:
    """Greatest pressure on a form.

    Parameters
    ----------
    placed_height_m : float
        Of concrete placed in one go. [m]
    form_height_m : float
        Of the form. [m]
    rise_m_h : float
        [m/h]
    concrete_temp_c : float
        [°C]
    unit_weight_kg_m3 : float
        [kg/m³]
    cement : CiriaCement
    column : bool
    working : Working, optional

    Returns
    -------
    float
        The formula or the liquid head, the smaller. [Pa]

    Raises
    ------
    OutOfRange
        For heights or a rise without meaning.
    """
    if min(placed_height_m, form_height_m, rise_m_h) <= 0 or concrete_temp_c <= -16:
        raise OutOfRange("form pressure needs heights and a rise above nought and a concrete temperature above -16 °C.")
    work = working or Working()
    weight = (unit_weight_kg_m3 * STANDARD_GRAVITY_M_S2 / 1000, "kN/m³")
    head = work.line("p_h = D*h", "kN/m²", D=weight, h=(placed_height_m, "m"))
    c1 = 1.5 if column else 1.0
    if c1 * math.sqrt(rise_m_h) >= form_height_m:
        return head * 1000
    k = work.line("K = (36/(T + 16))**2", "", T=(concrete_temp_c, "°C"))
    formula = work.line(
        "p_f = D*(C_1*sqrt(R) + C_2*K*sqrt(H - C_1*sqrt(R)))", "kN/m²",
        D=weight, C_1=c1, C_2=_C2[cement], K=k, R=(rise_m_h, "m/h"), H=(form_height_m, "m"),
    )  # fmt: skip
    return min(head, formula) * 1000
