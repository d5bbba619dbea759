"""ACI 360R-10 and what stands beside it: safety on the modulus of rupture, help across a joint, steel by ratio."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.subgrade_drag import ACI_360R
from slabwright.units import FOOT_M, INCH_M, PSI_PA

TM_5_822_5 = Source("TM 5-822-5", "TM 5-822-5, Pavement Design for Roads, Streets, Walks and Open Storage Areas, 1992; UFC 3-260-02, 2001")
SAFETY = Clause(ACI_360R, "2010, chapter 5: 1.5 to 2.0 for standing loads, 1.7 common for wheels", Basis.MEMORY)
TRANSFER = Clause(TM_5_822_5, "a quarter of an edge load crosses a joint with dowels or interlock", Basis.MEMORY)
STEEL_RATIOS = Clause(ACI_360R, "2010: 0.1 % to hold cracks, 0.5 % without joints; ACI 318-19 24.4.3.2: 0.18 %", Basis.MEMORY)

STANDING_SAFETY = 2.0
WHEEL_SAFETY = 1.7
JOINT_TRANSFER = 0.25
"""Share of an edge load that crosses a joint. [-]"""


@published("rupture-safety", SAFETY)
def rupture_safety(*, rupture_pa: float, stress_pa: float, working: Working | None = None) -> float:
    """Factor of safety of an uncracked floor: modulus of rupture over bending stress.

    Parameters
    ----------
    rupture_pa : float
        Modulus of rupture. [Pa]
    stress_pa : float
        Tension from bending. [Pa]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        If a stress is nought or less.
    """
    if min(rupture_pa, stress_pa) <= 0.0:
        raise OutOfRange("modulus of rupture and stress must be above nought.")
    return (working or Working()).line("SF = MOR/sigma", "", MOR=(rupture_pa / PSI_PA, "psi"), sigma=(stress_pa / PSI_PA, "psi"))


@published("joint-edge-stress", TRANSFER, validity="Joint with dowels or interlock of sawn faces held close.")
def joint_edge_stress_pa(*, free_edge_stress_pa: float, transfer: float = JOINT_TRANSFER, working: Working | None = None) -> float:
    """Stress at a joint that passes a share of the load on, from that of a free edge.

    Parameters
    ----------
    free_edge_stress_pa : float
        [Pa]
    transfer : float
        Share of the load that crosses, a fraction from 0 to 0.5. [-]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For a share outside 0 to 0.5.
    """
    if not 0.0 <= transfer <= 0.5:
        raise OutOfRange(f"the share that crosses a joint lies between 0 and 0.5 (got {transfer:g}).")
    stress = (working or Working()).line("sigma = sigma_e*(1 - T)", "psi", sigma_e=(free_edge_stress_pa / PSI_PA, "psi"), T=transfer)
    return stress * PSI_PA


@published("slab-steel-by-ratio", STEEL_RATIOS)
def steel_by_ratio_m2_m(*, thickness_m: float, ratio: float, working: Working | None = None) -> float:
    """Steel of a slab as a share of its section.

    Parameters
    ----------
    thickness_m : float
        Of the slab. [m]
    ratio : float
        Steel over concrete: 0.001 to hold cracks, 0.0018 by the building code, 0.005 without joints. [-]

    Returns
    -------
    float
        [m²/m]

    Raises
    ------
    OutOfRange
        For a value below nought.
    """
    if thickness_m < 0.0 or ratio < 0.0:
        raise OutOfRange("thickness and ratio cannot be below nought.")
    area = (working or Working()).line("A_s = rho*12*t", "in²/ft", rho=ratio, t=(thickness_m / INCH_M, "in"))
    return area * INCH_M**2 / FOOT_M


@published("steel-per-width", STEEL_RATIOS)
def steel_per_width_m2_m(*, bar_area_m2: float, spacing_m: float, working: Working | None = None) -> float:
    """Steel of equally spaced bars per width.

    Parameters
    ----------
    bar_area_m2 : float
        Of one bar. [m²]
    spacing_m : float
        [m]

    Returns
    -------
    float
        [m²/m]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    if min(bar_area_m2, spacing_m) <= 0.0:
        raise OutOfRange("bar area and spacing must be above nought.")
    area = (working or Working()).line("A_s = 12*A_b/s", "in²/ft", A_b=(bar_area_m2 / INCH_M**2, "in²"), s=(spacing_m / INCH_M, "in"))
    return area * INCH_M**2 / FOOT_M
