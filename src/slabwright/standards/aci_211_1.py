"""ACI 211.1: water-cement ratio by strength and absolute volumes, to see whether a supplier's mix is plausible."""

from itertools import pairwise

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import PSI_PA

ACI_211_1 = Source("ACI 211.1-91", "Standard Practice for Selecting Proportions for Normal, Heavyweight and Mass Concrete, 1991")
WATER_CEMENT = Clause(ACI_211_1, "Table 6.3.4(a)", Basis.MEMORY)

ABSOLUTE_VOLUMES = Clause(ACI_211_1, "6.3.7.2, absolute volume method", Basis.MEMORY)
TRAPPED_AIR = 0.02
"""Air in concrete without entrained air, 3/4 in. (19 mm) stone: 6.3.3, table. [-]"""
CEMENT_KG_M3, AGGREGATE_KG_M3, _WATER_KG_M3 = 3150.0, 2650.0, 1000.0
"""Usual densities of the grains; a supplier's own are better. [kg/m³]"""

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


@published("absolute-volume", ABSOLUTE_VOLUMES, validity="A sanity check of a supplier's mix, not a design.")
def absolute_volume_m3(
    *,
    cement_kg: float,
    water_kg: float,
    aggregate_kg: float,
    air: float = TRAPPED_AIR,
    cement_density_kg_m3: float = CEMENT_KG_M3,
    aggregate_density_kg_m3: float = AGGREGATE_KG_M3,
) -> float:
    """Volume that ingredients fill, with the air between them.

    Parameters
    ----------
    cement_kg, water_kg, aggregate_kg : float
        All of each; stone and sand together. [kg]
    air : float
        Of the concrete, a fraction. [-]
    cement_density_kg_m3, aggregate_density_kg_m3 : float
        Of the grains. [kg/m³]

    Returns
    -------
    float
        [m³]

    Raises
    ------
    OutOfRange
        For a density of nought or air that is no fraction.
    """
    if min(cement_density_kg_m3, aggregate_density_kg_m3) <= 0 or not 0.0 <= air < 1.0:
        raise OutOfRange(f"densities are above nought and air is a fraction (got {air!r}).")
    solid = cement_kg / cement_density_kg_m3 + water_kg / _WATER_KG_M3 + aggregate_kg / aggregate_density_kg_m3
    return solid / (1.0 - air)
