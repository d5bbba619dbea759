"""ACI 318-19, chapters 19 and 21: properties of concrete and strength reduction factors."""

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import PSI_PA

ACI_318_19 = Source("ACI 318-19", "Building Code Requirements for Structural Concrete (ACI 318-19)")
MODULUS = Clause(ACI_318_19, "19.2.2.1(b)", Basis.MEMORY)
RUPTURE = Clause(ACI_318_19, "19.2.3.1", Basis.MEMORY)

PHI_PLAIN = 0.60
PHI_SHEAR = 0.75
PHI_BEARING = 0.65
"""Strength reduction factors of Table 21.2.1."""
LEAST_STRENGTH_PSI = 2500.0


def strength_psi(strength_pa: float) -> float:
    """Specified strength in psi, refused where it is nought.

    Raises
    ------
    OutOfRange
        If the strength is not above nought.
    """
    if not strength_pa > 0:
        raise OutOfRange("the concrete's strength must be above nought; write it as in [mix] strength.")
    return strength_pa / PSI_PA


@published("concrete-modulus", MODULUS, validity="Normalweight concrete.")
def concrete_modulus_pa(*, strength_pa: float, working: Working | None = None) -> float:
    """Modulus of elasticity of normalweight concrete.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]

    Returns
    -------
    float
        [Pa]
    """
    working = working or Working()
    return working.line("E_c = 57000*sqrt(f_c)", "psi", f_c=(strength_psi(strength_pa), "psi")) * PSI_PA


@published("modulus-of-rupture", RUPTURE, validity="Normalweight concrete.")
def rupture_modulus_pa(*, strength_pa: float, working: Working | None = None) -> float:
    """Modulus of rupture of normalweight concrete.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]

    Returns
    -------
    float
        [Pa]
    """
    working = working or Working()
    return working.line("f_r = 7.5*sqrt(f_c)", "psi", f_c=(strength_psi(strength_pa), "psi")) * PSI_PA
