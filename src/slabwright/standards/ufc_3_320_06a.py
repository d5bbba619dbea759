"""UFC 3-320-06A, Concrete Floor Slabs on Grade Subjected to Heavy Loads (2005): walls and stationary loads on a floor."""

from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, INCH_M, PCI_PA_M, POUND_FORCE_N, PSF_PA, PSI_PA

UFC_3_320_06A = Source(
    "UFC 3-320-06A", "UFC 3-320-06A, Concrete Floor Slabs on Grade Subjected to Heavy Loads, 2005 (TM 5-809-12 / AFM 88-3 ch. 15, 1987)"
)
WALL_LOAD = Clause(UFC_3_320_06A, "tables 3-2 and 3-3, appendix B; allowable stress 1.6 sqrt(f'c)", Basis.TEXT_SEEN)
THICKNESS_BY_K = Clause(UFC_3_320_06A, "note to table 3-2", Basis.TEXT_SEEN)
STATIONARY_LOAD = Clause(UFC_3_320_06A, "table 3-1 and appendix B", Basis.MEMORY)
REACTION_TABLE = Clause(UFC_3_320_06A, "table 4-1, modulus of soil reaction", Basis.MEMORY)
_PLF = POUND_FORCE_N / FOOT_M


@dataclass(frozen=True, slots=True)
class WallCapacity:
    """Line load that a strip of floor under a wall may carry. [N/m]

    Attributes
    ----------
    interior_n_m : float
        Near the middle of the slab, or at a keyed or doweled joint. [N/m]
    free_edge_n_m : float
        At a free edge. [N/m]
    """

    interior_n_m: float
    free_edge_n_m: float


@published(
    "thickened-edge-line-load", WALL_LOAD, validity="Thickness 4 to 10 in. tabulated, k 25 to 300 pci; stress at f_r/9 times 1.6.",
    limits={"thickness_m": (4 * INCH_M, 10 * INCH_M), "subgrade_modulus_pa_m": (25 * PCI_PA_M, 300 * PCI_PA_M)},
)  # fmt: skip
def wall_capacity(
    *, rupture_pa: float, thickness_m: float, subgrade_modulus_pa_m: float = 100.0 * PCI_PA_M, working: Working | None = None
) -> WallCapacity:
    """Allowable wall load on a floor or its thickened part, per length of wall.

    Parameters
    ----------
    rupture_pa : float
        Flexural strength of the concrete; nine times the root of its cylinder strength. [Pa]
    thickness_m : float
        Under the wall. [m]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]

    Returns
    -------
    WallCapacity
        [N/m]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    if min(rupture_pa, thickness_m, subgrade_modulus_pa_m) <= 0.0:
        raise OutOfRange("flexural strength, thickness and subgrade modulus must be above nought.")
    working = working or Working()
    root = (working.line("s = f_r/9", "√psi", f_r=(rupture_pa / PSI_PA, "psi"), note="root of f'c"), "√psi")
    t, k = (thickness_m / INCH_M, "in"), (subgrade_modulus_pa_m / PCI_PA_M, "pci")
    interior = working.line("P = 12.8*s*t**2*(k/(19000*s*t**3))**0.25", "lb/ft", s=root, t=t, k=k)
    edge = working.line("P_e = 9.9256*s*t**2*(k/(19000*s*t**3))**0.25", "lb/ft", s=root, t=t, k=k)
    return WallCapacity(interior * _PLF, edge * _PLF)


@published("thickness-factor-by-subgrade", THICKNESS_BY_K, limits={"subgrade_modulus_pa_m": (25 * PCI_PA_M, 300 * PCI_PA_M)})
def thickness_factor(*, subgrade_modulus_pa_m: float, working: Working | None = None) -> float:
    """Factor on a thickness found for k = 100 pci, for another ground.

    Parameters
    ----------
    subgrade_modulus_pa_m : float
        [Pa/m]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        If the modulus is nought or less.
    """
    if subgrade_modulus_pa_m <= 0.0:
        raise OutOfRange("subgrade modulus must be above nought.")
    return (working or Working()).line("f = (100/k)**0.2", "", k=(subgrade_modulus_pa_m / PCI_PA_M, "pci"))


@published(
    "stationary-load-beside-aisle", STATIONARY_LOAD, validity="Unloaded aisle, interior of a slab, safety 2 on the modulus of rupture."
)
def stationary_load_pa(
    *, rupture_pa: float, thickness_m: float, subgrade_modulus_pa_m: float = 100.0 * PCI_PA_M, modulus_pa: float = 4e6 * PSI_PA,
    working: Working | None = None,
) -> float:  # fmt: skip
    """Load per area beside an empty aisle at which the aisle cracks, with a safety of two.

    Parameters
    ----------
    rupture_pa : float
        Modulus of rupture. [Pa]
    thickness_m : float
        Of the slab. [m]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]
    modulus_pa : float
        Of the concrete. [Pa]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    if min(rupture_pa, thickness_m, subgrade_modulus_pa_m, modulus_pa) <= 0.0:
        raise OutOfRange("modulus of rupture, thickness, subgrade modulus and modulus must be above nought.")
    working = working or Working()
    s = (working.line("s = MOR/2", "psi", MOR=(rupture_pa / PSI_PA, "psi")), "psi")
    load = working.line(
        "w = 257.876*s*sqrt(k*h/E)", "psf",
        s=s, k=(subgrade_modulus_pa_m / PCI_PA_M, "pci"), h=(thickness_m / INCH_M, "in"), E=(modulus_pa / PSI_PA, "psi"),
    )  # fmt: skip
    return load * PSF_PA


class SoilGroup(Enum):
    """Rows of the table of soil reaction."""

    HIGH_PLASTICITY = "CH MH OH"
    LOW_PLASTICITY = "CL ML OL"
    FINE_SAND = "SM SC"
    CLEAN_SAND = "SW SP"
    FINE_GRAVEL = "GM GC"
    CLEAN_GRAVEL = "GW GP"


_MOISTURE_TOPS = (0.04, 0.08, 0.12, 0.16, 0.20, 0.24, 0.28, 1.0)
_REACTION_PCI: dict[SoilGroup, tuple[float | None, ...]] = {
    SoilGroup.HIGH_PLASTICITY: (None, 175, 150, 125, 100, 75, 50, 25),
    SoilGroup.LOW_PLASTICITY: (None, 200, 175, 150, 125, 100, 75, 50),
    SoilGroup.FINE_SAND: (300, 250, 225, 200, 150, None, None, None),
    SoilGroup.CLEAN_SAND: (350, 300, 250, None, None, None, None, None),
    SoilGroup.FINE_GRAVEL: (400, 350, 300, 250, None, None, None, None),
    SoilGroup.CLEAN_GRAVEL: (500, 450, None, None, None, None, None, None),
}


def soil_group(soil_class: str) -> SoilGroup | None:
    """Row of the table for a class of the unified classification; None for a class it does not hold."""
    wanted = soil_class.strip().upper()
    return next((group for group in SoilGroup if wanted in group.value.split()), None)


@published("subgrade-modulus-from-class", REACTION_TABLE, validity="Estimate for preliminary checks only; measure it where it matters.")
def modulus_from_class_pa_m(*, group: SoilGroup, moisture: float) -> float:
    """Subgrade modulus by group of soil and moisture.

    Parameters
    ----------
    group : SoilGroup
        Classes of the unified classification.
    moisture : float
        Moisture content, a fraction. [-]

    Returns
    -------
    float
        [Pa/m]

    Raises
    ------
    OutOfRange
        Where the table has no value.
    """
    if not 0.0 <= moisture <= 1.0:
        raise OutOfRange(f"moisture must be a fraction from 0 to 1 (got {moisture:g}); divide a percentage by 100.")
    column = next(number for number, top in enumerate(_MOISTURE_TOPS) if moisture <= top)
    value = _REACTION_PCI[group][column]
    if value is None:
        raise OutOfRange(f"the table holds no value for {group.value} at a moisture of {moisture:.0%}.")
    return value * PCI_PA_M
