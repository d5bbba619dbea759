"""ACI 347R: what fresh concrete presses on forms."""

from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.units import FOOT_M, INCH_M, PCF_KG_M3, POUND_FORCE_N, PSF_PA

ACI_347R = Source("ACI 347R-14", "Guide to Formwork for Concrete, 2014")
LATERAL_PRESSURE = Clause(ACI_347R, "chapter 4, lateral pressure", Basis.QUOTED)
LIQUID_HEAD = arithmetic("liquid head: unit weight times depth")

GREATEST_SLUMP_M = 7 * INCH_M
"""Above it, or with vibration deeper than 4 ft, the reduced formula may not be used. [m]"""


class CementGroup(Enum):
    """Cement and admixture as the formula groups them."""

    PLAIN = "plain"
    RETARDED_OR_BLENDED = "retarded or blended"
    RETARDED_BLEND = "retarded blend"


_CHEMISTRY = {CementGroup.PLAIN: 1.0, CementGroup.RETARDED_OR_BLENDED: 1.2, CementGroup.RETARDED_BLEND: 1.4}


def unit_weight_coefficient(unit_weight_pcf: float) -> float:
    """C_w of the formula; 1.0 for 140 to 150 pcf."""
    if unit_weight_pcf < 140:
        return max(0.5 * (1 + unit_weight_pcf / 145), 0.80)
    return 1.0 if unit_weight_pcf <= 150 else unit_weight_pcf / 145


@published("liquid-head", LIQUID_HEAD)
def liquid_head_pa(*, depth_m: float, unit_weight_kg_m3: float = 150 * PCF_KG_M3, working: Working | None = None) -> float:
    """Pressure of fresh concrete as a liquid.

    Parameters
    ----------
    depth_m : float
        Below its surface. [m]
    unit_weight_kg_m3 : float
        Fresh density. [kg/m³]
    working : Working, optional

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For a negative depth.
    """
    if depth_m < 0:
        raise OutOfRange(f"a depth is nought or more (got {depth_m:g} m).")
    psf = (working or Working()).line("p = w*h", "psf", w=(unit_weight_kg_m3 / PCF_KG_M3, "pcf"), h=(depth_m / FOOT_M, "ft"))
    return psf * PSF_PA


@published(
    "form-pressure",
    LATERAL_PRESSURE,
    validity="Reduced formula: slump up to 7 in., internal vibration to 4 ft depth, rise up to 15 ft/h; otherwise the liquid head.",
    limits={"concrete_temp_c": (4.4, 32.3), "slump_m": (0.0, GREATEST_SLUMP_M)},
)
def form_pressure_pa(
    *,
    height_m: float,
    rise_m_h: float,
    concrete_temp_c: float,
    unit_weight_kg_m3: float = 150 * PCF_KG_M3,
    cement: CementGroup = CementGroup.PLAIN,
    slump_m: float = 4 * INCH_M,
    column: bool = False,
    working: Working | None = None,
) -> float:
    """Greatest pressure on a wall or column form.

    Parameters
    ----------
    height_m : float
        Of concrete placed in one go. [m]
    rise_m_h : float
        Rate at which it rises. [m/h]
    concrete_temp_c : float
        When placed. [°C]
    unit_weight_kg_m3 : float
        Fresh density. [kg/m³]
    cement : CementGroup
    slump_m : float
        [m]
    column : bool
        True for columns, where the first formula holds at any rise.
    working : Working, optional

    Returns
    -------
    float
        Never above the liquid head, never under 600 psf where the head reaches that. [Pa]

    Raises
    ------
    OutOfRange
        For a height, rise or temperature without meaning.
    """
    temp_f = concrete_temp_c * 1.8 + 32
    if height_m <= 0 or rise_m_h <= 0 or temp_f <= 0:
        raise OutOfRange("form pressure needs a height and a rise above nought and a concrete temperature above 0 °F.")
    work = working or Working()
    head = liquid_head_pa(depth_m=height_m, unit_weight_kg_m3=unit_weight_kg_m3, working=work) / PSF_PA
    r, w = rise_m_h / FOOT_M, unit_weight_kg_m3 / PCF_KG_M3
    if slump_m > GREATEST_SLUMP_M + 1e-9 or (r > 15 and not column):
        return head * PSF_PA
    c_w, c_c = unit_weight_coefficient(w), _CHEMISTRY[cement]
    if column or (r < 7 and height_m / FOOT_M <= 14 + 1e-9):
        formula = "p_f = C_w*C_c*(150 + 9000*R/T)"
    else:
        formula = "p_f = C_w*C_c*(150 + 43400/T + 2800*R/T)"
    reduced = work.line(formula, "psf", C_w=c_w, C_c=c_c, R=(r, "ft/h"), T=(temp_f, "°F"))
    return work.line("p = min(max(p_f, 600*C_w), p_h)", "psf", p_f=(reduced, "psf"), C_w=c_w, p_h=(head, "psf")) * PSF_PA


@published("form-thrust", arithmetic("triangle of liquid pressure"))
def form_thrust_n_m(*, height_m: float, unit_weight_kg_m3: float = 150 * PCF_KG_M3, working: Working | None = None) -> float:
    """Thrust of liquid concrete on each length of an edge form; it acts at a third of the height.

    Parameters
    ----------
    height_m : float
        Of concrete against the form. [m]
    unit_weight_kg_m3 : float
        [kg/m³]
    working : Working, optional

    Returns
    -------
    float
        [N/m]

    Raises
    ------
    OutOfRange
        For a negative height.
    """
    if height_m < 0:
        raise OutOfRange(f"a height is nought or more (got {height_m:g} m).")
    plf = (working or Working()).line("F = w*h**2/2", "lb/ft", w=(unit_weight_kg_m3 / PCF_KG_M3, "pcf"), h=(height_m / FOOT_M, "ft"))
    return plf * POUND_FORCE_N / FOOT_M
