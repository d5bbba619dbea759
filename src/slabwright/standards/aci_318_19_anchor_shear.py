"""ACI 318-19, chapter 17: cast-in anchors in shear."""

from dataclasses import dataclass

from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19, strength_psi
from slabwright.standards.aci_318_19_anchors import PHI_CONCRETE
from slabwright.units import INCH_M, POUND_FORCE_N, PSI_PA

STEEL_SHEAR = Clause(ACI_318_19, "17.7.1", Basis.MEMORY)
SHEAR_BREAKOUT = Clause(ACI_318_19, "17.7.2", Basis.MEMORY)
PRYOUT = Clause(ACI_318_19, "17.7.3", Basis.MEMORY)

PHI_STEEL_SHEAR = 0.65


@published("anchor-steel-shear", STEEL_SHEAR, validity="Ductile steel, cast-in bolts.")
def steel_shear_n(
    *, area_m2: float, steel_strength_pa: float, anchors: int = 1, grout_pad: bool = False, working: Working | None = None
) -> float:
    """Design strength of anchor rods in shear.

    Parameters
    ----------
    area_m2 : float
        Effective area of one in shear. [m²]
    steel_strength_pa : float
        Specified tensile strength. [Pa]
    anchors : int
        That carry the shear.
    grout_pad : bool
        True takes 0.8 of it.

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    capacity = working.line(
        "phi_Vsa = phi*k*n*0.6*A_se*f_uta", "lb",
        phi=PHI_STEEL_SHEAR, k=0.8 if grout_pad else 1.0, n=anchors, A_se=(area_m2 / INCH_M**2, "in²"),
        f_uta=(steel_strength_pa / PSI_PA, "psi"),
    )  # fmt: skip
    return capacity * POUND_FORCE_N


@dataclass(frozen=True, slots=True)
class ShearBreakout:
    """Concrete breakout towards an edge.

    Attributes
    ----------
    basic_n : float
        Of one anchor. [N]
    area_m2, single_area_m2 : float
        Projected areas on the side face. [m²]
    strength_n, capacity_n : float
        Nominal and design. [N]
    """

    basic_n: float
    area_m2: float
    single_area_m2: float
    strength_n: float
    capacity_n: float


@published(
    "anchor-shear-breakout", SHEAR_BREAKOUT, validity="Cast-in, cracked concrete, no supplementary reinforcement; shear towards the edge."
)
def shear_breakout(
    *,
    strength_pa: float,
    diameter_m: float,
    embedment_m: float,
    edge_m: float,
    left_m: float = 1e3,
    right_m: float = 1e3,
    thickness_m: float = 1e3,
    spread_along_edge_m: float = 0.0,
    working: Working | None = None,
) -> ShearBreakout:
    """Concrete breakout of the row of anchors nearest an edge under shear towards it.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    diameter_m, embedment_m : float
        Of the rods; effective embedment, read up to 8 diameters. [m]
    edge_m : float
        From the row to the edge. [m]
    left_m, right_m : float
        From the outermost anchors to the edges beside. [m]
    thickness_m : float
        Of the concrete. [m]
    spread_along_edge_m : float
        From the first to the last anchor of the row. [m]

    Returns
    -------
    ShearBreakout
        [N], [m²]
    """
    working = working or Working()
    d_a, edge, thickness = diameter_m / INCH_M, edge_m / INCH_M, thickness_m / INCH_M
    sides = [left_m / INCH_M, right_m / INCH_M]
    f_c = (strength_psi(strength_pa), "psi")
    length = working.line("l_e = min(h_ef, 8*d_a)", "in", h_ef=(embedment_m / INCH_M, "in"), d_a=(d_a, "in"))
    basic = working.line(
        "V_b = min(7*(l_e/d_a)**0.2*sqrt(d_a), 9)*lam*sqrt(f_c)*c_a1**1.5", "lb",
        l_e=(length, "in"), d_a=(d_a, "in"), lam=1.0, f_c=f_c, c_a1=(edge, "in"),
    )  # fmt: skip
    single = working.line("A_Vco = 4.5*c_a1**2", "in²", c_a1=(edge, "in"))
    left, right = (min(side, 1.5 * edge) for side in sides)
    area = working.line(
        "A_Vc = (c_l + s + c_r)*min(1.5*c_a1, h_a)", "in²",
        c_l=(left, "in"), s=(spread_along_edge_m / INCH_M, "in"), c_r=(right, "in"), c_a1=(edge, "in"), h_a=(thickness, "in"),
        note="sides beyond 1.5 c_a1 count as 1.5 c_a1",
    )  # fmt: skip
    beside = working.line("psi_ed = min(1, 0.7 + 0.3*c_a2/(1.5*c_a1))", c_a2=(min(sides), "in"), c_a1=(edge, "in"))
    thin = working.line("psi_h = max(1, sqrt(1.5*c_a1/h_a))", c_a1=(edge, "in"), h_a=(thickness, "in"))
    nominal = working.line(
        "V_cb = A_Vc/A_Vco*psi_ed*psi_c*psi_h*V_b", "lb",
        A_Vc=(area, "in²"), A_Vco=(single, "in²"), psi_ed=beside, psi_c=1.0, psi_h=thin, V_b=(basic, "lb"),
    )  # fmt: skip
    capacity = working.line("phi_Vcb = phi*V_cb", "lb", phi=PHI_CONCRETE, V_cb=(nominal, "lb"))
    pound = POUND_FORCE_N
    return ShearBreakout(basic * pound, area * INCH_M**2, single * INCH_M**2, nominal * pound, capacity * pound)


@published("anchor-pryout", PRYOUT)
def pryout_n(*, breakout_n: float, embedment_m: float, working: Working | None = None) -> float:
    """Design strength of anchors against prying out behind the shear.

    Parameters
    ----------
    breakout_n : float
        Nominal breakout strength in tension. [N]
    embedment_m : float
        Effective. [m]

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    factor = 1.0 if embedment_m < 2.5 * INCH_M else 2.0
    capacity = working.line("phi_Vcp = phi*k_cp*N_cb", "lb", phi=PHI_CONCRETE, k_cp=factor, N_cb=(breakout_n / POUND_FORCE_N, "lb"))
    return capacity * POUND_FORCE_N
