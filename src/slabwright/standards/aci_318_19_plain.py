"""ACI 318-19, chapter 14: pads and footings of plain concrete."""

from dataclasses import dataclass

from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19, LEAST_STRENGTH_PSI, PHI_PLAIN, strength_psi
from slabwright.units import FOOT_M, INCH_M, POUND_FORCE_N, PSF_PA, PSI_PA

FLEXURE = Clause(ACI_318_19, "14.5.2.1(a), 14.5.1.7, 21.2.1", Basis.QUOTED)
ONE_WAY_SHEAR = Clause(ACI_318_19, "Table 14.5.5.1(a)", Basis.MEMORY)
TWO_WAY_SHEAR = Clause(ACI_318_19, "Table 14.5.5.1(b)", Basis.MEMORY)
LEAST_THICKNESS = Clause(ACI_318_19, "14.3.2.1", Basis.MEMORY)

LEAST_THICKNESS_M = 8 * INCH_M
SOIL_DEDUCTION_M = 2 * INCH_M
_LIMITS = {"strength_pa": (LEAST_STRENGTH_PSI * PSI_PA, 1e12), "thickness_m": (LEAST_THICKNESS_M, 1e6)}
_VALIDITY = "Footings on soil, 2,500 psi or more, 8 in. thick or more, no net uplift."


def effective_thickness_m(thickness_m: float, *, cast_against_soil: bool = True, working: Working | None = None) -> float:
    """Thickness that counts: 2 in. less where the concrete is cast against soil.

    Parameters
    ----------
    thickness_m : float
        Overall. [m]
    cast_against_soil : bool

    Returns
    -------
    float
        [m]
    """
    working = working or Working()
    deduction_in = SOIL_DEDUCTION_M / INCH_M if cast_against_soil else 0.0
    return working.line("h = t - c", "in", t=(thickness_m / INCH_M, "in"), c=(deduction_in, "in")) * INCH_M


@dataclass(frozen=True, slots=True)
class Flexure:
    """Bending of a footing at its critical section.

    Attributes
    ----------
    capacity_nm : float
        Design strength. [N·m]
    demand_nm : float
        Of the pressure on the projection; 0 where none was given. [N·m]
    """

    capacity_nm: float
    demand_nm: float


@published("pad-flexure-plain", FLEXURE, validity=_VALIDITY, limits=_LIMITS)
def flexure(
    *,
    strength_pa: float,
    width_m: float,
    thickness_m: float,
    pressure_pa: float = 0.0,
    projection_m: float = 0.0,
    cast_against_soil: bool = True,
    working: Working | None = None,
) -> Flexure:
    """Bending of a plain concrete pad at the face of its post.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    width_m, thickness_m : float
        Of the section across the bending. [m]
    pressure_pa : float
        Factored net pressure on the projection. [Pa]
    projection_m : float
        From the critical section to the pad's side. [m]
    cast_against_soil : bool
        True deducts 2 in. of thickness.

    Returns
    -------
    Flexure
        Design strength and demand. [N·m]

    Notes
    -----
    .. math:: \\phi M_n = 0.60 \\cdot 5 \\lambda \\sqrt{f'_c} \\, b h^2 / 6
    """
    working = working or Working()
    lb_in = POUND_FORCE_N * INCH_M
    demand = working.line(
        "M_u = q*b*p**2/2", "in-lb", q=(pressure_pa / PSI_PA, "psi"), b=(width_m / INCH_M, "in"), p=(projection_m / INCH_M, "in")
    )
    capacity_nm = flexure_capacity_nm(
        strength_pa=strength_pa, width_m=width_m, thickness_m=thickness_m, cast_against_soil=cast_against_soil, working=working
    )
    return Flexure(capacity_nm, demand * lb_in)


def flexure_capacity_nm(
    *, strength_pa: float, width_m: float, thickness_m: float, cast_against_soil: bool = True, working: Working | None = None
) -> float:
    """Design strength of a plain concrete section in bending.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    width_m, thickness_m : float
        Of the section. [m]
    cast_against_soil : bool
        True deducts 2 in. of thickness.

    Returns
    -------
    float
        [N·m]
    """
    working = working or Working()
    h_m = effective_thickness_m(thickness_m, cast_against_soil=cast_against_soil, working=working)
    modulus = working.line("S_m = b*h**2/6", "in³", b=(width_m / INCH_M, "in"), h=(h_m / INCH_M, "in"))
    capacity = working.line(
        "phi_Mn = phi*5*lam*sqrt(f_c)*S_m", "in-lb", phi=PHI_PLAIN, lam=1.0, f_c=(strength_psi(strength_pa), "psi"), S_m=(modulus, "in³")
    )
    return capacity * POUND_FORCE_N * INCH_M


def one_way_shear_n(*, strength_pa: float, width_m: float, effective_m: float, working: Working | None = None) -> float:
    """Design strength of plain concrete in one-way shear, at the effective thickness from the face.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    width_m : float
        Of the section. [m]
    effective_m : float
        Thickness less 2 in. where cast against soil. [m]

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    return (
        working.line(
            "phi_Vn = phi*(4/3)*lam*sqrt(f_c)*b*h", "lb",
            phi=PHI_PLAIN, lam=1.0, f_c=(strength_psi(strength_pa), "psi"), b=(width_m / INCH_M, "in"), h=(effective_m / INCH_M, "in"),
        )
        * POUND_FORCE_N
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class TwoWayShear:
    """Punching of a post through a plain pad.

    Attributes
    ----------
    perimeter_m : float
        At half the effective thickness from the post. [m]
    capacity_n, demand_n : float
        Design strength; load less the pressure inside the perimeter. [N]
    """

    perimeter_m: float
    capacity_n: float
    demand_n: float


@published("two-way-shear-plain", TWO_WAY_SHEAR, validity=_VALIDITY, limits=_LIMITS)
def two_way_shear(
    *,
    strength_pa: float,
    post_x_m: float,
    post_y_m: float,
    thickness_m: float,
    load_n: float = 0.0,
    pressure_pa: float = 0.0,
    cast_against_soil: bool = True,
    working: Working | None = None,
) -> TwoWayShear:
    """Punching of a post through a plain concrete pad, all round the post.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    post_x_m, post_y_m : float
        Loaded area. [m]
    thickness_m : float
        Of the pad. [m]
    load_n : float
        Factored. [N]
    pressure_pa : float
        Factored net pressure under the pad. [Pa]
    cast_against_soil : bool
        True deducts 2 in. of thickness.

    Returns
    -------
    TwoWayShear
        [m], [N]
    """
    working = working or Working()
    h_m = effective_thickness_m(thickness_m, cast_against_soil=cast_against_soil, working=working)
    c_1, c_2, h = (post_x_m / INCH_M, "in"), (post_y_m / INCH_M, "in"), (h_m / INCH_M, "in")
    perimeter = working.line("b_o = 2*(c_1 + h) + 2*(c_2 + h)", "in", c_1=c_1, c_2=c_2, h=h)
    demand = working.line(
        "V_u = P_u - q_u*(c_1 + h)*(c_2 + h)/144", "lb",
        P_u=(load_n / POUND_FORCE_N, "lb"), q_u=(pressure_pa / PSF_PA, "psf"), c_1=c_1, c_2=c_2, h=h,
    )  # fmt: skip
    capacity = two_way_capacity_n(
        strength_pa=strength_pa, post_x_m=post_x_m, post_y_m=post_y_m, perimeter_m=perimeter * INCH_M, effective_m=h_m, working=working
    )
    return TwoWayShear(perimeter * INCH_M, capacity, demand * POUND_FORCE_N)


def two_way_capacity_n(
    *, strength_pa: float, post_x_m: float, post_y_m: float, perimeter_m: float, effective_m: float, working: Working | None = None
) -> float:
    """Design strength of plain concrete in two-way shear on a given perimeter.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    post_x_m, post_y_m : float
        Loaded area. [m]
    perimeter_m, effective_m : float
        [m]

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    aspect = working.line("beta = max(c_1, c_2)/min(c_1, c_2)", c_1=(post_x_m / INCH_M, "in"), c_2=(post_y_m / INCH_M, "in"))
    capacity = working.line(
        "phi_Vn = phi*min((1 + 2/beta)*(4/3), 2*(4/3))*lam*sqrt(f_c)*b_o*h", "lb",
        phi=PHI_PLAIN, beta=aspect, lam=1.0, f_c=(strength_psi(strength_pa), "psi"), b_o=(perimeter_m / INCH_M, "in"),
        h=(effective_m / INCH_M, "in"),
    )  # fmt: skip
    return capacity * POUND_FORCE_N


@published("one-way-shear-plain", ONE_WAY_SHEAR, validity=_VALIDITY, limits=_LIMITS)
def one_way_shear_of_strip_n(*, strength_pa: float, thickness_m: float, width_m: float = FOOT_M, cast_against_soil: bool = True) -> float:
    """Design strength of a plain footing in one-way shear from its overall thickness.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    thickness_m, width_m : float
        [m]
    cast_against_soil : bool
        True deducts 2 in. of thickness.

    Returns
    -------
    float
        [N]
    """
    h_m = effective_thickness_m(thickness_m, cast_against_soil=cast_against_soil)
    return one_way_shear_n(strength_pa=strength_pa, width_m=width_m, effective_m=h_m)
