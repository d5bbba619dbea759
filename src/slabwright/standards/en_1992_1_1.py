"""EN 1992-1-1: pads of plain and reinforced concrete in bending and shear, least steel, pressure under a post."""

import math
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source

EN_1992_1_1 = Source("EN 1992-1-1", "EN 1992-1-1:2004, Eurocode 2: design of concrete structures, part 1-1")
STRENGTH = Clause(EN_1992_1_1, "Table 3.1", Basis.MEMORY)
FLEXURE = Clause(EN_1992_1_1, "3.1.7, 6.1", Basis.MEMORY)
MINIMUM_STEEL = Clause(EN_1992_1_1, "9.2.1.1(1), 9.3.1.1", Basis.MEMORY)
SPACING = Clause(EN_1992_1_1, "9.3.1.1(3)", Basis.MEMORY)
ONE_WAY_SHEAR = Clause(EN_1992_1_1, "6.2.2(1)", Basis.MEMORY)
LOADED_AREA = Clause(EN_1992_1_1, "6.7(2)", Basis.MEMORY)
PLAIN_FLEXURE = Clause(EN_1992_1_1, "12.3.1, 12.6.1", Basis.MEMORY)
PLAIN_FOOTING = Clause(EN_1992_1_1, "12.9.3", Basis.MEMORY)

GAMMA_C = 1.5
GAMMA_S = 1.15
_ALPHA_PLAIN = 0.8


def mean_tensile_mpa(f_ck: float, working: Working) -> float:
    """Mean tensile strength up to class C50/60. [MPa]"""
    return working.line("f_ctm = 0.30*f_ck**(2/3)", "MPa", f_ck=(f_ck, "MPa"))


def cylinder_mpa(strength_pa: float) -> float:
    """Characteristic cylinder strength in MPa, refused outside C12/15 to C50/60.

    Raises
    ------
    OutOfRange
        Outside the classes for which these formulas hold.
    """
    if not 12e6 * (1 - 1e-9) <= strength_pa <= 50e6 * (1 + 1e-9):
        raise OutOfRange("concrete must be of class C12/15 to C50/60 for these formulas; write the cylinder strength.")
    return strength_pa / 1e6


def concrete_modulus_pa(*, strength_pa: float) -> float:
    """Secant modulus of concrete with quartzite aggregate.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]

    Returns
    -------
    float
        [Pa]
    """
    return 22e9 * math.pow((cylinder_mpa(strength_pa) + 8) / 10, 0.3)


@dataclass(frozen=True, slots=True)
class Flexure:
    """Bending resistance of a reinforced section.

    Attributes
    ----------
    lever_arm_m : float
        [m]
    capacity_nm : float
        Design resistance. [N·m]
    """

    lever_arm_m: float
    capacity_nm: float


@published(
    "pad-flexure-en", FLEXURE, validity="Rectangular section, bars on the tension side only, C50/60 or less; neutral axis within 0.45 d."
)
def flexure(
    *,
    strength_pa: float,
    width_m: float,
    depth_m: float,
    steel_area_m2: float,
    yield_strength_pa: float = 500e6,
    working: Working | None = None,
) -> Flexure:
    """Bending resistance of a reinforced pad at the face of its post.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    width_m, depth_m : float
        Width and effective depth. [m]
    steel_area_m2 : float
        Of the bars across the section. [m²]
    yield_strength_pa : float
        Characteristic. [Pa]

    Returns
    -------
    Flexure
        [m], [N·m]

    Notes
    -----
    The lever arm is held to 0.95 d, as is customary, and the stress block to the depth of 0.45 d x 0.8.
    """
    working = working or Working()
    f_ck = (cylinder_mpa(strength_pa), "MPa")
    d, b, area = (depth_m * 1e3, "mm"), (width_m * 1e3, "mm"), (steel_area_m2 * 1e6, "mm²")
    f_yd = working.line("f_yd = f_yk/gamma_s", "MPa", f_yk=(yield_strength_pa / 1e6, "MPa"), gamma_s=GAMMA_S)
    f_cd = working.line("f_cd = 0.85*f_ck/gamma_c", "MPa", f_ck=f_ck, gamma_c=GAMMA_C)
    block = working.line("s = min(A_s*f_yd/(b*f_cd), 0.36*d)", "mm", A_s=area, f_yd=(f_yd, "MPa"), b=b, f_cd=(f_cd, "MPa"), d=d)
    arm = working.line("z = min(d - s/2, 0.95*d)", "mm", d=d, s=(block, "mm"))
    capacity = working.line(
        "M_Rd = min(A_s*f_yd, b*s*f_cd)*z/1e6", "kN·m",
        A_s=area, f_yd=(f_yd, "MPa"), b=b, s=(block, "mm"), f_cd=(f_cd, "MPa"), z=(arm, "mm"),
    )  # fmt: skip
    return Flexure(arm / 1e3, capacity * 1e3)


@published("minimum-steel-en", MINIMUM_STEEL)
def minimum_steel_m2(
    *, strength_pa: float, width_m: float, depth_m: float, yield_strength_pa: float = 500e6, working: Working | None = None
) -> float:
    """Least steel across a pad.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    width_m, depth_m : float
        Width and effective depth. [m]
    yield_strength_pa : float
        Characteristic. [Pa]

    Returns
    -------
    float
        [m²]
    """
    working = working or Working()
    f_ctm = mean_tensile_mpa(cylinder_mpa(strength_pa), working)
    area = working.line(
        "A_min = max(0.26*f_ctm/f_yk, 0.0013)*b*d", "mm²",
        f_ctm=(f_ctm, "MPa"), f_yk=(yield_strength_pa / 1e6, "MPa"), b=(width_m * 1e3, "mm"), d=(depth_m * 1e3, "mm"),
    )  # fmt: skip
    return area / 1e6


def greatest_spacing_m(thickness_m: float) -> float:
    """Greatest spacing of the bars of a pad: 3 thicknesses and 400 mm. [m]"""
    return min(3 * thickness_m, 0.400)


@dataclass(frozen=True, slots=True)
class ShearStrength:
    """Shear stress that concrete without shear steel resists.

    Attributes
    ----------
    size_factor, steel_ratio : float
        [-]
    stress_pa : float
        Design value v_Rd,c. [Pa]
    """

    size_factor: float
    steel_ratio: float
    stress_pa: float


@published("one-way-shear-en", ONE_WAY_SHEAR, validity="No shear steel, no axial force.")
def shear_strength(
    *, strength_pa: float, width_m: float, depth_m: float, steel_area_m2: float, working: Working | None = None
) -> ShearStrength:
    """Shear stress that a section resists without shear steel.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    width_m, depth_m : float
        Width and effective depth. [m]
    steel_area_m2 : float
        Of the bars across the section. [m²]

    Returns
    -------
    ShearStrength
        [-], [-], [Pa]
    """
    working = working or Working()
    f_ck = (cylinder_mpa(strength_pa), "MPa")
    d = (depth_m * 1e3, "mm")
    k = working.line("k = min(2, 1 + sqrt(200/d))", d=d)
    rho = working.line("rho_l = min(0.02, A_s/(b*d))", A_s=(steel_area_m2 * 1e6, "mm²"), b=(width_m * 1e3, "mm"), d=d)
    least = working.line("v_min = 0.035*k**1.5*f_ck**0.5", "MPa", k=k, f_ck=f_ck)
    stress = working.line(
        "v_Rd = max(0.18/gamma_c*k*(100*rho_l*f_ck)**(1/3), v_min)", "MPa",
        gamma_c=GAMMA_C, k=k, rho_l=rho, f_ck=f_ck, v_min=(least, "MPa"),
    )  # fmt: skip
    return ShearStrength(k, rho, stress * 1e6)


@published("bearing-on-concrete-en", LOADED_AREA)
def loaded_area_capacity_n(*, strength_pa: float, loaded_area_m2: float, spread_area_m2: float, working: Working | None = None) -> float:
    """Resistance of a pad under a post base.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    loaded_area_m2 : float
        Of the base. [m²]
    spread_area_m2 : float
        Largest similar area within the pad, at most 3 times as wide. [m²]

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    f_cd = working.line("f_cd = 0.85*f_ck/gamma_c", "MPa", f_ck=(cylinder_mpa(strength_pa), "MPa"), gamma_c=GAMMA_C)
    capacity = working.line(
        "F_Rdu = A_c0*f_cd*min(3, sqrt(A_c1/A_c0))/1000", "kN",
        A_c0=(loaded_area_m2 * 1e6, "mm²"), f_cd=(f_cd, "MPa"), A_c1=(spread_area_m2 * 1e6, "mm²"),
    )  # fmt: skip
    return capacity * 1e3


def plain_flexure_nm(*, strength_pa: float, width_m: float, thickness_m: float, working: Working | None = None) -> float:
    """Bending resistance of a plain concrete section, stressed in tension up to its design strength.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    width_m, thickness_m : float
        Of the section. [m]

    Returns
    -------
    float
        [N·m]
    """
    working = working or Working()
    f_ctm = mean_tensile_mpa(cylinder_mpa(strength_pa), working)
    f_ctd = working.line("f_ctd = alpha_ct*0.7*f_ctm/gamma_c", "MPa", alpha_ct=_ALPHA_PLAIN, f_ctm=(f_ctm, "MPa"), gamma_c=GAMMA_C)
    moment = working.line("M_Rd = f_ctd*b*h**2/6/1e6", "kN·m", f_ctd=(f_ctd, "MPa"), b=(width_m * 1e3, "mm"), h=(thickness_m * 1e3, "mm"))
    return moment * 1e3


@published("plain-footing-en", PLAIN_FOOTING, validity="Plain strip and pad footings under axial load; pressure from the design loads.")
def plain_footing_thickness_m(*, strength_pa: float, projection_m: float, pressure_pa: float, working: Working | None = None) -> float:
    """Least thickness of a footing of plain concrete from its projection and the pressure under it.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    projection_m : float
        From the post's face to the side. [m]
    pressure_pa : float
        Design value under the footing. [Pa]

    Returns
    -------
    float
        [m]

    Notes
    -----
    .. math:: 0.85 h_F / a \\ge \\sqrt{9 \\sigma_{gd} / f_{ctd,pl}}, \\quad\\text{and } h_F/a = 2 \\text{ is always enough.}
    """
    working = working or Working()
    f_ctm = mean_tensile_mpa(cylinder_mpa(strength_pa), working)
    f_ctd = working.line("f_ctd = alpha_ct*0.7*f_ctm/gamma_c", "MPa", alpha_ct=_ALPHA_PLAIN, f_ctm=(f_ctm, "MPa"), gamma_c=GAMMA_C)
    thickness = working.line(
        "h_F = a*min(2, sqrt(9*sigma_gd/f_ctd)/0.85)", "mm",
        a=(projection_m * 1e3, "mm"), sigma_gd=(pressure_pa / 1e6, "MPa"), f_ctd=(f_ctd, "MPa"),
    )  # fmt: skip
    return thickness / 1e3
