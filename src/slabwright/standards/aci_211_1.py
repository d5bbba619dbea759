"""ACI 211.1: water-cement ratio by strength and absolute volumes, to see whether a supplier's mix is plausible."""

from dataclasses import dataclass
from itertools import pairwise

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import CUBIC_YARD_M3, INCH_M, PCF_KG_M3, POUND_KG, PSI_PA

ACI_211_1 = Source("ACI 211.1-91", "Standard Practice for Selecting Proportions for Normal, Heavyweight and Mass Concrete, 1991")
WATER_CEMENT = Clause(ACI_211_1, "Table 6.3.4(a)", Basis.MEMORY)

ABSOLUTE_VOLUMES = Clause(ACI_211_1, "6.3.7.2, absolute volume method", Basis.MEMORY)
TRAPPED_AIR = 0.02
"""Air in concrete without entrained air, 3/4 in. (19 mm) stone: 6.3.3, table. [-]"""
CEMENT_KG_M3, AGGREGATE_KG_M3, _WATER_KG_M3 = 3150.0, 2650.0, 1000.0
"""Usual densities of the grains; a supplier's own are better. [kg/m³]"""

MIXING_WATER = Clause(ACI_211_1, "Table 6.3.3", Basis.MEMORY)
COARSE = Clause(ACI_211_1, "Table 6.3.6, sand of fineness 2.8", Basis.MEMORY)
_SIZES_IN = (0.375, 0.5, 0.75, 1.0, 1.5, 2.0)
_WATER = {  # lb/yd³ by size, for slumps of 1 to 2, 3 to 4, 6 to 7 in.
    False: ((350, 335, 315, 300, 275, 260), (385, 365, 340, 325, 300, 285), (410, 385, 360, 340, 315, 300)),
    True: ((305, 295, 280, 270, 250, 240), (340, 325, 305, 295, 275, 265), (365, 345, 325, 310, 290, 280)),
}
_TRAPPED = (0.03, 0.025, 0.02, 0.015, 0.01, 0.005)
_COARSE = (0.46, 0.55, 0.62, 0.67, 0.71, 0.74)
"""Dry-rodded coarse aggregate in the volume of concrete."""
_RODDED_KG_M3 = 100 * PCF_KG_M3
ENTRAINED_FROM = 0.03
"""Air above this is entrained on purpose. [-]"""

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


@dataclass(frozen=True, slots=True)
class FirstMix:
    """A first proportioning.

    Attributes
    ----------
    w_cm : float
    air : float
        A fraction. [-]
    water_kg_m3, cement_kg_m3, coarse_kg_m3, fine_kg_m3 : float
        [kg/m³]
    """

    w_cm: float
    air: float
    water_kg_m3: float
    cement_kg_m3: float
    coarse_kg_m3: float
    fine_kg_m3: float


@published("first-mix", MIXING_WATER, validity="Plain cement, angular stone, a first trial: to see whether a supplier's mix is plausible.")
def first_mix(
    *,
    strength_pa: float,
    slump_m: float,
    aggregate_size_m: float,
    air: float = 0.0,
    max_w_cm: float | None = None,
    rodded_kg_m3: float = _RODDED_KG_M3,
    coarse_share: float | None = None,
    coarse_density_kg_m3: float = AGGREGATE_KG_M3,
    fine_density_kg_m3: float = AGGREGATE_KG_M3,
) -> FirstMix:
    """Weights of a first trial by absolute volumes.

    Parameters
    ----------
    strength_pa : float
        Required mean at 28 days. [Pa]
    slump_m : float
        Takes the nearest column of the table. [m]
    aggregate_size_m : float
        Nominal largest; takes the nearest column. [m]
    air : float
        Total; more than 0.03 is entrained, less is what gets in by itself. [-]
    max_w_cm : float, optional
        Ratio that durability allows.
    rodded_kg_m3 : float
        Of dry, rodded stone. [kg/m³]
    coarse_share : float, optional
        Rodded stone in the volume of concrete; by the table for sand of fineness 2.8 if not given.
    coarse_density_kg_m3, fine_density_kg_m3 : float
        Of the grains. [kg/m³]

    Returns
    -------
    FirstMix
        [kg/m³]

    Raises
    ------
    OutOfRange
        For a slump or a stone outside the tables.
    """
    inches, stone = slump_m / INCH_M, aggregate_size_m / INCH_M
    if not (0.75 <= inches <= 7.5 and 0.3 <= stone <= 2.25):
        raise OutOfRange("the tables of a first mix go from 1 to 7 in. of slump and from 3/8 to 2 in. of stone.")
    column = min(range(len(_SIZES_IN)), key=lambda k: abs(_SIZES_IN[k] - stone))
    entrained = air > ENTRAINED_FROM
    row = 0 if inches < 2.5 else 1 if inches < 5.0 else 2
    ratio = w_cm_for_strength(strength_pa=strength_pa, air_entrained=entrained)
    ratio = min(ratio, max_w_cm) if max_w_cm is not None else ratio
    water = _WATER[entrained][row][column] * POUND_KG / CUBIC_YARD_M3
    cement = water / ratio
    void = air if entrained else _TRAPPED[column]
    coarse = (coarse_share if coarse_share is not None else _COARSE[column]) * rodded_kg_m3
    rest = 1.0 - water / _WATER_KG_M3 - cement / CEMENT_KG_M3 - coarse / coarse_density_kg_m3 - void
    return FirstMix(ratio, void, water, cement, coarse, max(rest, 0.0) * fine_density_kg_m3)
