"""ACI 318-19, chapters 8, 13 and 22: one-way and two-way shear of reinforced pads, bearing on concrete."""

from dataclasses import dataclass
from enum import Enum

from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19, PHI_BEARING, PHI_PLAIN, PHI_SHEAR, strength_psi
from slabwright.units import INCH_M, POUND_FORCE_N, PSF_PA, PSI_PA

ONE_WAY_SHEAR = Clause(ACI_318_19, "22.5.5.1(c), 22.5.5.1.3, 13.2.6", Basis.MEMORY)
SIZE_EFFECT = Clause(ACI_318_19, "22.5.5.1.3", Basis.QUOTED)
TWO_WAY_SHEAR = Clause(ACI_318_19, "22.6.5.2, 22.6.4.1, 8.4.4.2", Basis.MEMORY)
BEARING = Clause(ACI_318_19, "22.8.3.2, 14.5.6.1, 21.2.1", Basis.MEMORY)


@published("size-effect", SIZE_EFFECT)
def size_factor(*, depth_m: float, working: Working | None = None) -> float:
    """Size-effect factor of shear in members without stirrups.

    Parameters
    ----------
    depth_m : float
        Effective. [m]

    Returns
    -------
    float
        At most 1. [-]
    """
    working = working or Working()
    return working.line("lam_s = min(1, sqrt(2/(1 + d/10)))", d=(depth_m / INCH_M, "in"))


@dataclass(frozen=True, slots=True)
class OneWayShear:
    """Strength in one-way shear.

    Attributes
    ----------
    size_factor, steel_ratio : float
        [-]
    capacity_n : float
        Design strength. [N]
    """

    size_factor: float
    steel_ratio: float
    capacity_n: float


@published("one-way-shear", ONE_WAY_SHEAR, validity="No stirrups, no axial force, normalweight concrete.")
def one_way_shear(
    *,
    strength_pa: float,
    width_m: float,
    depth_m: float,
    steel_area_m2: float,
    size_effect: bool = True,
    stirrups: bool = False,
    working: Working | None = None,
) -> OneWayShear:
    """Design strength of a reinforced footing in one-way shear, at the effective depth from the face.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    width_m, depth_m : float
        Width and effective depth. [m]
    steel_area_m2 : float
        Of the bars across the section. [m²]
    size_effect : bool
        False where 13.2.6.2 is used to neglect it.
    stirrups : bool
        True with at least the least stirrups: the plain term 2 of row (a), as in the 2014 edition.

    Returns
    -------
    OneWayShear
        [-], [-], [N]
    """
    working = working or Working()
    f_c = strength_psi(strength_pa)
    b, d = width_m / INCH_M, depth_m / INCH_M
    lam_s = size_factor(depth_m=depth_m, working=working) if size_effect and not stirrups else 1.0
    rho = working.line("rho_w = A_s/(b*d)", A_s=(steel_area_m2 / INCH_M**2, "in²"), b=(b, "in"), d=(d, "in"))
    if stirrups:
        term = working.line("k = 2*lam", lam=1.0)
    else:
        term = working.line("k = min(8*lam_s*lam*rho_w**(1/3), 5*lam)", lam_s=lam_s, lam=1.0, rho_w=rho)
    capacity = working.line(
        "phi_Vc = phi*k*min(sqrt(f_c), 100)*b*d", "lb", phi=PHI_SHEAR, k=term, f_c=(f_c, "psi"), b=(b, "in"), d=(d, "in")
    )
    return OneWayShear(lam_s, rho, capacity * POUND_FORCE_N)


class PostPlace(Enum):
    """Where the post stands on its pad, by the free sides that cut its punching perimeter."""

    INTERIOR = "interior"
    EDGE = "edge"
    CORNER = "corner"


_ALPHA_S = {PostPlace.INTERIOR: 40.0, PostPlace.EDGE: 30.0, PostPlace.CORNER: 20.0}


@dataclass(frozen=True, slots=True)
class Perimeter:
    """Punching perimeter.

    Attributes
    ----------
    side_1_m, side_2_m : float
        Along the first and the second side of the post; the first runs towards the free side. [m]
    length_m : float
        Of the part that carries shear. [m]
    area_m2 : float
        Inside it. [m²]
    alpha_s : float
        40 interior, 30 edge, 20 corner.
    """

    side_1_m: float
    side_2_m: float
    length_m: float
    area_m2: float
    alpha_s: float


def punching_perimeter(
    *,
    post_1_m: float,
    post_2_m: float,
    depth_m: float,
    place: PostPlace = PostPlace.INTERIOR,
    reach_1_m: float = 0.0,
    reach_2_m: float = 0.0,
    working: Working | None = None,
) -> Perimeter:
    """Perimeter at half the effective depth from the post, run out to the free sides.

    Parameters
    ----------
    post_1_m, post_2_m : float
        Sides of the loaded area. [m]
    depth_m : float
        Effective. [m]
    place : PostPlace
    reach_1_m, reach_2_m : float
        From the post's face to the free side: along side 1 for an edge, along both for a corner. [m]

    Returns
    -------
    Perimeter
        [m], [m²]
    """
    working = working or Working()
    c_1, c_2, d = (post_1_m / INCH_M, "in"), (post_2_m / INCH_M, "in"), (depth_m / INCH_M, "in")
    if place is PostPlace.INTERIOR:
        b_1 = working.line("b_1 = c_1 + d", "in", c_1=c_1, d=d)
        b_2 = working.line("b_2 = c_2 + d", "in", c_2=c_2, d=d)
        length = working.line("b_o = 2*(b_1 + b_2)", "in", b_1=(b_1, "in"), b_2=(b_2, "in"))
    elif place is PostPlace.EDGE:
        b_1 = working.line("b_1 = r_1 + c_1 + d/2", "in", r_1=(reach_1_m / INCH_M, "in"), c_1=c_1, d=d)
        b_2 = working.line("b_2 = c_2 + d", "in", c_2=c_2, d=d)
        length = working.line("b_o = 2*b_1 + b_2", "in", b_1=(b_1, "in"), b_2=(b_2, "in"))
    else:
        b_1 = working.line("b_1 = r_1 + c_1 + d/2", "in", r_1=(reach_1_m / INCH_M, "in"), c_1=c_1, d=d)
        b_2 = working.line("b_2 = r_2 + c_2 + d/2", "in", r_2=(reach_2_m / INCH_M, "in"), c_2=c_2, d=d)
        length = working.line("b_o = b_1 + b_2", "in", b_1=(b_1, "in"), b_2=(b_2, "in"))
    return Perimeter(b_1 * INCH_M, b_2 * INCH_M, length * INCH_M, b_1 * b_2 * INCH_M**2, _ALPHA_S[place])


@dataclass(frozen=True, slots=True)
class TwoWayShear:
    """Punching of a post through its pad.

    Attributes
    ----------
    perimeter_m : float
        [m]
    stress_pa, strength_pa : float
        Factored shear stress and design strength. [Pa]
    demand_n, capacity_n : float
        The same as forces on the whole perimeter, moment transfer included in the demand. [N]
    """

    perimeter_m: float
    stress_pa: float
    strength_pa: float
    demand_n: float
    capacity_n: float


@published("two-way-shear", TWO_WAY_SHEAR, validity="No shear reinforcement, normalweight concrete.")
def two_way_shear(
    *,
    strength_pa: float,
    post_x_m: float,
    post_y_m: float,
    depth_m: float,
    load_n: float = 0.0,
    pressure_pa: float = 0.0,
    moment_x_nm: float | None = None,
    moment_y_nm: float | None = None,
    place: PostPlace = PostPlace.INTERIOR,
    reach_x_m: float = 0.0,
    reach_y_m: float = 0.0,
    size_effect: bool = True,
    working: Working | None = None,
) -> TwoWayShear:
    """Punching of a post through a reinforced pad.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    post_x_m, post_y_m : float
        Loaded area; x runs towards the free side of an edge post. [m]
    depth_m : float
        Effective, average of both layers. [m]
    load_n : float
        Factored. [N]
    pressure_pa : float
        Factored net pressure, which relieves inside the perimeter. [Pa]
    moment_x_nm, moment_y_nm : float or None
        Moments that tilt an interior post along x and along y and pass into the pad; a share goes by shear. [N·m]
    place : PostPlace
    reach_x_m, reach_y_m : float
        From the post's face to the free side. [m]
    size_effect : bool
        False where 13.2.6.2 is used to neglect it.

    Returns
    -------
    TwoWayShear
        [m], [Pa], [N]
    """
    working = working or Working()
    lines = punching_perimeter(
        post_1_m=post_x_m, post_2_m=post_y_m, depth_m=depth_m, place=place, reach_1_m=reach_x_m, reach_2_m=reach_y_m, working=working
    )
    b_1, b_2, b_o, d = (value / INCH_M for value in (lines.side_1_m, lines.side_2_m, lines.length_m, depth_m))
    shear = working.line(
        "V_u = P_u - q_u*b_1*b_2/144", "lb",
        P_u=(load_n / POUND_FORCE_N, "lb"), q_u=(pressure_pa / PSF_PA, "psf"), b_1=(b_1, "in"), b_2=(b_2, "in"),
    )  # fmt: skip
    stress = working.line("v_u = V_u/(b_o*d)", "psi", V_u=(shear, "lb"), b_o=(b_o, "in"), d=(d, "in"))
    if place is PostPlace.INTERIOR:
        if moment_x_nm is not None:
            stress = stress + _moment_stress_psi(moment_x_nm / (POUND_FORCE_N * INCH_M), b_1, b_2, d, working)
        if moment_y_nm is not None:
            stress = stress + _moment_stress_psi(moment_y_nm / (POUND_FORCE_N * INCH_M), b_2, b_1, d, working)
    lam_s = size_factor(depth_m=depth_m, working=working) if size_effect else 1.0
    aspect = working.line("beta = max(c_1, c_2)/min(c_1, c_2)", c_1=(post_x_m / INCH_M, "in"), c_2=(post_y_m / INCH_M, "in"))
    term = working.line("k = min(4, 2 + 4/beta, 2 + alpha_s*d/b_o)", beta=aspect, alpha_s=lines.alpha_s, d=(d, "in"), b_o=(b_o, "in"))
    strength = working.line(
        "phi_vc = phi*k*lam_s*lam*min(sqrt(f_c), 100)", "psi",
        phi=PHI_SHEAR, k=term, lam_s=lam_s, lam=1.0, f_c=(strength_psi(strength_pa), "psi"),
    )  # fmt: skip
    area_m2 = b_o * d * INCH_M**2
    return TwoWayShear(lines.length_m, stress * PSI_PA, strength * PSI_PA, stress * PSI_PA * area_m2, strength * PSI_PA * area_m2)


def _moment_stress_psi(moment: float, b_1: float, b_2: float, d: float, working: Working) -> float:
    """Shear stress at the perimeter from the share of a moment that passes by eccentricity of shear."""
    share = working.line("gamma_v = 1 - 1/(1 + (2/3)*sqrt(b_1/b_2))", b_1=(b_1, "in"), b_2=(b_2, "in"))
    polar = working.line("J_c = d*b_1**3/6 + b_1*d**3/6 + d*b_2*b_1**2/2", "in⁴", d=(d, "in"), b_1=(b_1, "in"), b_2=(b_2, "in"))
    return working.line(
        "Delta_vu = gamma_v*M_u*(b_1/2)/J_c", "psi", gamma_v=share, M_u=(moment, "in-lb"), b_1=(b_1, "in"), J_c=(polar, "in⁴")
    )


@published("bearing-on-concrete", BEARING)
def bearing_on_concrete_n(
    *, strength_pa: float, loaded_area_m2: float, support_area_m2: float, plain: bool = False, working: Working | None = None
) -> float:
    """Design bearing strength of a pad under a post base.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength of the pad. [Pa]
    loaded_area_m2 : float
        Of the base. [m²]
    support_area_m2 : float
        Base of the largest frustum inside the pad, sides 1 vertical to 2 horizontal. [m²]
    plain : bool
        True for a pad of plain concrete.

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    capacity = working.line(
        "phi_Bn = phi*0.85*f_c*A_1*min(2, sqrt(A_2/A_1))", "lb",
        phi=PHI_PLAIN if plain else PHI_BEARING, f_c=(strength_psi(strength_pa), "psi"), A_1=(loaded_area_m2 / INCH_M**2, "in²"),
        A_2=(support_area_m2 / INCH_M**2, "in²"),
    )  # fmt: skip
    return capacity * POUND_FORCE_N
