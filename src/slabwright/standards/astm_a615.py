"""ASTM A615: deformed bars, inch-pound and soft-metric designations."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, INCH_M, POUND_KG

ASTM_A615 = Source("ASTM A615", "Standard Specification for Deformed and Plain Carbon-Steel Bars for Concrete Reinforcement")
BAR_TABLE = Clause(ASTM_A615, "Table 1", Basis.TEXT_SEEN)
MASS_TOLERANCE = Clause(ASTM_A615, "permissible variation in mass, 94 per cent", Basis.MEMORY)


@dataclass(frozen=True, slots=True)
class Bar:
    """Nominal bar.

    Attributes
    ----------
    name : str
    diameter_m : float
        [m]
    area_m2 : float
        Cross-section. [m²]
    mass_kg_m : float
        [kg/m]
    """

    name: str
    diameter_m: float
    area_m2: float
    mass_kg_m: float


# number: lb/ft, diameter in, area in²; soft-metric number
_US = {
    3: (0.376, 0.375, 0.11, 10), 4: (0.668, 0.500, 0.20, 13), 5: (1.043, 0.625, 0.31, 16), 6: (1.502, 0.750, 0.44, 19),
    7: (2.044, 0.875, 0.60, 22), 8: (2.670, 1.000, 0.79, 25), 9: (3.400, 1.128, 1.00, 29), 10: (4.303, 1.270, 1.27, 32),
    11: (5.313, 1.410, 1.56, 36),
}  # fmt: skip
# soft-metric number: kg/m, diameter mm, area mm²
_SOFT_METRIC = {
    10: (0.560, 9.5, 71), 13: (0.994, 12.7, 129), 16: (1.552, 15.9, 199), 19: (2.235, 19.1, 284), 22: (3.042, 22.2, 387),
    25: (3.973, 25.4, 510), 29: (5.060, 28.7, 645), 32: (6.404, 32.3, 819), 36: (7.907, 35.8, 1006),
}  # fmt: skip

BARS: Mapping[int, Bar] = MappingProxyType(
    {
        number: Bar(f"No.{number}", diameter * INCH_M, area * INCH_M**2, mass * POUND_KG / FOOT_M)
        for number, (mass, diameter, area, _) in _US.items()
    }
)
SOFT_METRIC_BARS: Mapping[int, Bar] = MappingProxyType(
    {number: Bar(f"#{number}M", diameter / 1e3, area / 1e6, mass) for number, (mass, diameter, area) in _SOFT_METRIC.items()}
)


def bar_of_number(*, number: int) -> Bar:
    """Nominal diameter, area and mass of a US bar.

    Parameters
    ----------
    number : int
        3 to 11.

    Returns
    -------
    Bar
        [m], [m²], [kg/m]

    Raises
    ------
    OutOfRange
        For a number not made.
    """
    if number not in BARS:
        raise OutOfRange(f"No.{number} is no bar of this standard; write a number from 3 to 11.")
    return BARS[number]


_US_NAME = re.compile(r"^\s*(?:no\.?|#)\s*(\d+)\s*$", re.IGNORECASE)


def bar_named(*, name: str) -> Bar:
    """The bar called ``No.4`` or ``#4``.

    Parameters
    ----------
    name : str

    Returns
    -------
    Bar
        [m], [m²], [kg/m]

    Raises
    ------
    OutOfRange
        For another way of writing or a size not made.
    """
    match = _US_NAME.match(name)
    if match is None:
        raise OutOfRange(f'"{name}" is no US bar; write it as "No.4".')
    return bar_of_number(number=int(match[1]))


def least_mass_kg_m(*, bar: Bar) -> float:
    """Lightest a lot of bars may be: 94 per cent of the nominal mass.

    Parameters
    ----------
    bar : Bar

    Returns
    -------
    float
        [kg/m]
    """
    return 0.94 * bar.mass_kg_m
