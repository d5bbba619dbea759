"""Westergaard's slab on springs: radius of relative stiffness."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M, PCI_PA_M, PSI_PA

WESTERGAARD = Source(
    "Westergaard 1926", "Westergaard, Stresses in Concrete Pavements Computed by Theoretical Analysis, Public Roads 7, 1926"
)
RADIUS = Clause(WESTERGAARD, "radius of relative stiffness; results in Huang, Pavement Analysis and Design, 2004, ch. 4", Basis.TEXT_SEEN)


@published("radius-of-relative-stiffness", RADIUS, validity="Uniform thickness on springs.", limits={"poisson": (0.0, 0.5)})
def radius_of_relative_stiffness_m(
    *,
    modulus_pa: float,
    thickness_m: float,
    subgrade_modulus_pa_m: float,
    poisson: float = 0.15,
    working: Working | None = None,
) -> float:
    """Length that measures how far a slab spreads a load.

    Parameters
    ----------
    modulus_pa : float
        Of the concrete. [Pa]
    thickness_m : float
        Of the slab. [m]
    subgrade_modulus_pa_m : float
        Of the ground. [Pa/m]
    poisson : float
        Of the concrete. [-]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        If a value is nought or less.
    """
    if min(modulus_pa, thickness_m, subgrade_modulus_pa_m) <= 0:
        raise OutOfRange("modulus, thickness and subgrade modulus must be above nought.")
    working = working or Working()
    length_in = working.line(
        "l = (E*h**3/(12*(1 - nu**2)*k))**0.25", "in",
        E=(modulus_pa / PSI_PA, "psi"), h=(thickness_m / INCH_M, "in"), nu=poisson, k=(subgrade_modulus_pa_m / PCI_PA_M, "pci"),
    )  # fmt: skip
    return length_in * INCH_M
