"""TM 5-818-1, Soils and Geology: Foundations (1983): subgrade modulus by size and from an allowable pressure, clay by feel."""

from enum import Enum

from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, PCI_PA_M, PSF_PA

TM_5_818_1 = Source("TM 5-818-1", "TM 5-818-1, Soils and Geology: Procedures for Foundation Design of Buildings, 1983")
SIZE_CONVERSION = Clause(TM_5_818_1, "chapter 10, after Terzaghi 1955", Basis.QUOTED)
OBLONG = Clause(TM_5_818_1, "equation 10-3", Basis.QUOTED)
FROM_BEARING = Clause(TM_5_818_1, "equation 10-4", Basis.TEXT_SEEN)
CONSISTENCY = Clause(TM_5_818_1, "table 2-2: consistency of clays by thumb and fist", Basis.TEXT_SEEN)
_VALIDITY = "Estimates for preliminary checks only."
_PCF_PER_PCI = 1728.0
MEDIUM_CLAY_PA = 0.5 * 2000 * PSF_PA / 2
"""Least undrained strength of clay that a thumb enters only with moderate effort: half of 0.5 tons per square foot. [Pa]"""


class Ground(Enum):
    """Kind of ground, for the effect of size."""

    SAND = "sand"
    CLAY = "clay"


@published("subgrade-modulus-by-size", SIZE_CONVERSION, validity=_VALIDITY)
def modulus_by_size_pa_m(*, plate_modulus_pa_m: float, width_m: float, ground: Ground, working: Working | None = None) -> float:
    """Subgrade modulus under a footing from a test on a 1 ft plate.

    Parameters
    ----------
    plate_modulus_pa_m : float
        From a plate 1 ft wide. [Pa/m]
    width_m : float
        Of the footing. [m]
    ground : Ground

    Returns
    -------
    float
        [Pa/m]
    """
    working = working or Working()
    k_1, width = (plate_modulus_pa_m / PCI_PA_M, "pci"), (width_m / FOOT_M, "ft")
    formula = "k = k_1*((B + 1)/(2*B))**2" if ground is Ground.SAND else "k = k_1/B"
    return working.line(formula, "pci", k_1=k_1, B=width) * PCI_PA_M


@published("subgrade-modulus-oblong", OBLONG, validity=_VALIDITY)
def oblong_modulus_pa_m(*, square_modulus_pa_m: float, aspect: float, working: Working | None = None) -> float:
    """Subgrade modulus under an oblong footing from that under a square of its width.

    Parameters
    ----------
    square_modulus_pa_m : float
        [Pa/m]
    aspect : float
        Length over width, 1 or more. [-]

    Returns
    -------
    float
        [Pa/m]
    """
    working = working or Working()
    return working.line("k = k_sq*(m + 0.5)/(1.5*m)", "pci", k_sq=(square_modulus_pa_m / PCI_PA_M, "pci"), m=aspect) * PCI_PA_M


@published("subgrade-modulus-from-bearing", FROM_BEARING, validity=_VALIDITY)
def modulus_from_bearing_pa_m(*, allowable_bearing_pa: float, working: Working | None = None) -> float:
    """Subgrade modulus from the allowable pressure, read as that of about 1 in. of settlement with a safety of about 3.

    Parameters
    ----------
    allowable_bearing_pa : float
        [Pa]

    Returns
    -------
    float
        [Pa/m]
    """
    working = working or Working()
    k_kcf = working.line("k = 36*q_a", "kcf", q_a=(allowable_bearing_pa / PSF_PA / 1000, "ksf"))
    return k_kcf * 1000 / _PCF_PER_PCI * PCI_PA_M
