"""Tensile strength of concrete from its compressive strength, by several published laws."""

import math

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.units import PSI_PA

ACI_JOURNAL_81_17 = Source("ACI Journal 81-17", "Tensile Strength of Concrete, ACI Journal 81-17, 1984")
FHWA_HRT_12_031 = Source("FHWA-HRT-12-031", "User's Guide: Estimation of Key PCC, Base, Subbase, and Pavement Engineering Properties, 2012")
TWO_THIRDS = Clause(ACI_JOURNAL_81_17, "splitting, 1.7 f^(2/3) psi", Basis.MEMORY)
SPLITTING = Clause(ACI_318_19, "19.2.4, splitting 6.7 sqrt(f'c)", Basis.MEMORY)
FLEXURAL = Clause(FHWA_HRT_12_031, "Table 11, Fig. 38", Basis.TEXT_SEEN)


def _psi(strength_pa: float) -> float:
    if strength_pa < 0:
        raise OutOfRange("a compressive strength cannot be below nought.")
    return strength_pa / PSI_PA


@published("tensile-strength", TWO_THIRDS, validity="Splitting; follows green concrete better than a square root.")
def tensile_strength_pa(*, strength_pa: float) -> float:
    """Splitting tensile strength by the two-thirds law.

    Parameters
    ----------
    strength_pa : float
        Compressive, at the same age. [Pa]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For a strength below nought.
    """
    return 1.7 * math.pow(_psi(strength_pa), 2.0 / 3.0) * PSI_PA


@published("splitting-strength", SPLITTING, validity="Flatters green concrete.")
def splitting_strength_pa(*, strength_pa: float) -> float:
    """Splitting tensile strength by the square-root law.

    Parameters
    ----------
    strength_pa : float
        Compressive. [Pa]

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For a strength below nought.
    """
    return 6.7 * math.sqrt(_psi(strength_pa)) * PSI_PA


@published("flexural-strength", FLEXURAL, validity="Fit to pavement test sections.")
def flexural_strength_pa(*, strength_pa: float, square_root: bool = True) -> float:
    """Flexural strength fitted to pavement concrete.

    Parameters
    ----------
    strength_pa : float
        Compressive. [Pa]
    square_root : bool
        10.3022 f^0.50; otherwise 2.4277 f^0.67.

    Returns
    -------
    float
        [Pa]

    Raises
    ------
    OutOfRange
        For a strength below nought.
    """
    factor, power = (10.3022, 0.50) if square_root else (2.4277, 0.67)
    return factor * math.pow(_psi(strength_pa), power) * PSI_PA
