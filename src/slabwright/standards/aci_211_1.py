"""ACI 211.1: water-cement ratio by strength, to see whether a supplier's mix is plausible."""

from itertools import pairwise

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import PSI_PA

ACI_211_1 = Source("ACI 211.1-91", "Standard Practice for Selecting Proportions for Normal, Heavyweight and Mass Concrete, 1991")
WATER_CEMENT = Clause(ACI_211_1, "Table 6.3.4(a)", Basis.MEMORY)

_ROWS = ((2000, 0.82, 0.74), (3000, 0.68, 0.59), (4000, 0.57, 0.48), (5000, 0.48, 0.40))


@published(
    "max-water-cement",
    WATER_CEMENT,
    validity="Plain cement, 28 days; a sanity check of a supplier's mix, not a design.",
    limits={"strength_pa": (2000 * PSI_PA, 5000 * PSI_PA)},
)
def w_cm_for_strength(*, strength_pa: float, air_entrained: bool = False) -> float:
    """Water-cement ratio that gives a mean strength at 28 days.

    Parameters
    ----------
    strength_pa : float
        Required mean. [Pa]
    air_entrained : bool

    Returns
    -------
    float
        Between the lines of the table; at its ends beyond them. [-]

    Raises
    ------
    OutOfRange
        For a strength of nought.
    """
    psi = strength_pa / PSI_PA
    if psi <= 0:
        raise OutOfRange(f"a strength is above nought (got {psi:g} psi).")
    column = 2 if air_entrained else 1
    if psi <= _ROWS[0][0]:
        return _ROWS[0][column]
    for low, high in pairwise(_ROWS):
        if psi <= high[0]:
            return low[column] + (psi - low[0]) / (high[0] - low[0]) * (high[column] - low[column])
    return _ROWS[-1][column]
