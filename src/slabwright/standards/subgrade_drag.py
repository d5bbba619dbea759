"""Restraint of a slab by what it lies on: ACI 360R drag, ACI 207.2R base restraint, hours for the saw."""

import math

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.aci_302_1r import ACI_302_1R
from slabwright.units import FOOT_M, INCH_M, PCF_KG_M3, PSF_PA, PSI_PA

ACI_360R = Source("ACI 360R", "Guide to Design of Slabs-on-Ground, subgrade drag")
ACI_207_2R = Source("ACI 207.2R-07", "Report on Thermal and Volume Change Effects on Cracking of Mass Concrete (ACI 207.2R-07)")
DRAG = Clause(ACI_360R, "classical drag, f gamma L / 2", Basis.TEXT_SEEN)
DRAG_STEEL = Clause(ACI_360R, "A_s = f L w / 2 f_s", Basis.TEXT_SEEN)
DRAG_SPACING = Clause(ACI_360R, "the same, solved for the length: 2 A_s f_s / (F w)", Basis.DERIVED)
PLAIN_SPACING = Clause(ACI_360R, "classical drag, solved for the length: 2 f_t / (f gamma)", Basis.DERIVED)
BASE_RESTRAINT = Clause(ACI_207_2R, "ch. 4 and 5", Basis.MEMORY)
SAW_HOURS = Clause(ACI_302_1R, "2015, with ACI 325.12R and 224.4R, as the ACI question page 915 quotes them", Basis.TEXT_SEEN)

FRICTION_ON_BASE = 1.5
"""Coefficient of drag on a granular base, as the worked example of the drag formula has it."""
FRICTION_ON_SHEET = 1.0
"""The same on a sheet: common practice, no source."""
STEEL_STRESS_SHARE = 2 / 3
"""Working stress of the steel over its yield strength, as the worked example has it."""
CONVENTIONAL_HOURS_H = (4.0, 12.0)
EARLY_ENTRY_HOURS_H = (2.0, 6.0)
EARLY_AFTER_FINISH_H = (1.0, 4.0)
"""Hours after placing, or after finishing, within which saws usually run: an envelope for a computed window."""


def drag_friction(*, stated: float | None, on_sheet: bool) -> float:
    """Coefficient of the underside: the one stated, else the usual one on a sheet or on the base. [-]"""
    return stated or (FRICTION_ON_SHEET if on_sheet else FRICTION_ON_BASE)


@published("subgrade-drag", DRAG, validity="Independent of thickness.")
def subgrade_drag_pa(
    *, friction: float, length_m: float, density_kg_m3: float = 150.0 * PCF_KG_M3, working: Working | None = None
) -> float:
    """Tension at mid-length when a slab's whole underside slides.

    Parameters
    ----------
    friction : float
        Coefficient of the underside. [-]
    length_m : float
        Between free ends. [m]
    density_kg_m3 : float
        Of the slab. [kg/m³]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For a value below nought.
    """
    if min(friction, length_m, density_kg_m3) < 0:
        raise OutOfRange("friction, length and density cannot be below nought.")
    stress = (working or Working()).line(
        "sigma = f*gamma*L/2/144", "psi", f=friction, gamma=(density_kg_m3 / PCF_KG_M3, "pcf"), L=(length_m / FOOT_M, "ft")
    )
    return stress * PSI_PA


@published("subgrade-drag-steel", DRAG_STEEL)
def drag_steel_m2_m(*, friction: float, length_m: float, weight_pa: float, steel_stress_pa: float, working: Working | None = None) -> float:
    """Steel across a slab that drags it as one piece.

    Parameters
    ----------
    friction : float
        [-]
    length_m : float
        Between free ends. [m]
    weight_pa : float
        Of the slab per area. [Pa]
    steel_stress_pa : float
        [Pa]

    Returns
    -------
    float
        [m²/m]

    Raises
    ------
    OutOfRange
        For a steel stress not above nought.
    """
    if steel_stress_pa <= 0:
        raise OutOfRange("a steel stress must be above nought.")
    area_in2_ft = (working or Working()).line(
        "A_s = F*L*w/(2*f_s)", "in²/ft", F=friction, L=(length_m / FOOT_M, "ft"), w=(weight_pa / PSF_PA, "psf"),
        f_s=(steel_stress_pa / PSI_PA, "psi"),
    )  # fmt: skip
    return area_in2_ft * INCH_M**2 / FOOT_M


@published(
    "joint-spacing-by-steel",
    DRAG_SPACING,
    validity="Steel that runs through, in a slab free to slide; gives strength, not the width of cracks.",
)
def spacing_by_steel_m(
    *, friction: float, steel_m2_m: float, weight_pa: float, steel_stress_pa: float, working: Working | None = None
) -> float:
    """Length of slab that its steel can drag as one piece.

    Parameters
    ----------
    friction : float
        Coefficient of the underside. [-]
    steel_m2_m : float
        Area of steel per width. [m²/m]
    weight_pa : float
        Of the slab per area. [Pa]
    steel_stress_pa : float
        Working stress of the steel. [Pa]

    Returns
    -------
    float
        Between free ends. [m]

    Raises
    ------
    OutOfRange
        For friction or weight not above nought, or steel below it.
    """
    if min(friction, weight_pa) <= 0 or min(steel_m2_m, steel_stress_pa) < 0:
        raise OutOfRange("friction and weight must be above nought, steel and its stress not below it.")
    feet = (working or Working()).line(
        "L = 2*A_s*f_s/(F*w)", "ft", A_s=(steel_m2_m * FOOT_M / INCH_M**2, "in²/ft"), f_s=(steel_stress_pa / PSI_PA, "psi"), F=friction,
        w=(weight_pa / PSF_PA, "psf"),
    )  # fmt: skip
    return feet * FOOT_M


@published("joint-spacing-by-drag", PLAIN_SPACING, validity="Drag alone: neither curl nor what edges and pads hold.")
def spacing_by_drag_m(
    *, friction: float, tension_pa: float, density_kg_m3: float = 150.0 * PCF_KG_M3, working: Working | None = None
) -> float:
    """Length of slab that the concrete alone can drag as one piece.

    Parameters
    ----------
    friction : float
        Coefficient of the underside. [-]
    tension_pa : float
        Tensile strength of the concrete at the time. [Pa]
    density_kg_m3 : float
        Of the slab. [kg/m³]

    Returns
    -------
    float
        Between free ends. [m]

    Raises
    ------
    OutOfRange
        For friction or density not above nought, or a strength below it.
    """
    if min(friction, density_kg_m3) <= 0 or tension_pa < 0:
        raise OutOfRange("friction and density must be above nought, a strength not below it.")
    feet = (working or Working()).line(
        "L = 2*144*f_t/(f*gamma)", "ft", f_t=(tension_pa / PSI_PA, "psi"), f=friction, gamma=(density_kg_m3 / PCF_KG_M3, "pcf")
    )
    return feet * FOOT_M


@published("base-restraint", BASE_RESTRAINT, validity="Rigid continuous base, length over height 2.5 or more; not a slab on a sheet.")
def base_restraint(*, length_over_height: float, height_share: float) -> float:
    r"""Degree of restraint above a rigid base.

    Parameters
    ----------
    length_over_height : float
        [-]
    height_share : float
        Height above the base over the block's height. [-]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        For a block shorter than 2.5 heights.

    Notes
    -----
    .. math:: K_R = \left[\frac{L/H - 2}{L/H + 1}\right]^{h/H}
    """
    if length_over_height < 2.5:
        raise OutOfRange(f"the formula starts at a length of 2.5 heights (got {length_over_height:g}).")
    return math.pow((length_over_height - 2.0) / (length_over_height + 1.0), height_share)
