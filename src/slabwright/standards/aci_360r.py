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

SHRINKAGE_BANDS = Clause(
    ACI_360R, "2010, joint spacing by shrinkage: low under 520, typical to 780, high to 1,100 millionths", Basis.MEMORY
)
STEEL_THROUGH = Clause(ACI_360R, "2010: more than 0.1 % of steel through a sawn joint keeps it from opening", Basis.MEMORY)
DRYING_SHRINKAGE = Source("Concrete Construction (drying)", "The drying shrinkage dilemma, Concrete Construction")
SPACING_BY_SHRINKAGE = Clause(
    DRYING_SHRINKAGE,
    "joints closer where the concrete shrinks more than normal; how much: joints open no wider than with 780 millionths (derived)",
    Basis.QUOTED,
)
SHRINKAGE_AND_CURLING = Source(
    "Concrete Construction (curling)", "Control of shrinkage and curling in slabs on grade, Concrete Construction"
)
STEEL_FOR_SPACING = Clause(
    SHRINKAGE_AND_CURLING, "steel for wider joints: by the drag formula, at least 0.15 % in the upper half of the slab", Basis.TEXT_SEEN
)
REINFORCED_LENGTH = Clause(TM_5_822_5, "13-3 c: reinforced slabs at most 75 ft long, whatever their steel", Basis.TEXT_SEEN)

NORMAL_SHRINKAGE = 780e-6
LOW_SHRINKAGE = 520e-6
"""Ends of the band of typical shrinkage. [-]"""
STEEL_FOR_SPACING_RATIO = 0.0015
STEEL_THROUGH_JOINTS = 0.001
"""Steel over concrete from which a sawn joint may stay shut. [-]"""
REINFORCED_LENGTH_M = 75 * FOOT_M
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


@published("joint-spacing-by-shrinkage", SPACING_BY_SHRINKAGE, validity="30 thicknesses at 780 millionths; never outside 24 to 36.")
def thicknesses_by_shrinkage(
    *, ultimate: float, temp_drop_k: float = 10.0, expansion_1_k: float = 9.9e-6, working: Working | None = None
) -> float:
    """Spacing of joints in thicknesses of the slab at which they open as wide as with concrete that shrinks as usual.

    Parameters
    ----------
    ultimate : float
        Drying shrinkage of the concrete in the end, under standard conditions. [-]
    temp_drop_k : float
        From set to the coldest in use. [K]
    expansion_1_k : float
        Thermal expansion of the concrete. [1/K]

    Returns
    -------
    float
        24 to 36. [-]

    Raises
    ------
    OutOfRange
        If shrinkage and cooling are nought or one is less.
    """
    if min(ultimate, temp_drop_k, expansion_1_k) < 0 or ultimate + temp_drop_k <= 0:
        raise OutOfRange("shrinkage and cooling cannot be below nought, nor both nought.")
    return (working or Working()).line(
        "n = min(max(30*(eps_0 + alpha*dT)/(eps_u + alpha*dT), 24), 36)", "",
        eps_0=NORMAL_SHRINKAGE, eps_u=ultimate, alpha=(expansion_1_k / 1.8, "/°F"), dT=(temp_drop_k * 1.8, "°F"),
    )  # fmt: skip


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
