"""ASTM C1074 and the 1977 maturity function: age that counts temperature."""

import math
from collections.abc import Sequence
from itertools import pairwise

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source

ASTM_C1074 = Source("ASTM C1074", "Practice for Estimating Concrete Strength by the Maturity Method, 2019")
NORDISK_BETONG_1977 = Source(
    "Nordisk Betong 1977", "Maturity computer for controlled curing and hardening of concrete, Nordisk Betong 1, 1977"
)
TEMPERATURE_TIME = Clause(ASTM_C1074, "eq. 1", Basis.MEMORY)
EQUIVALENT_AGE = Clause(ASTM_C1074, "eq. 2; Q 5000 K and datum 0 °C for Type I without admixtures", Basis.MEMORY)
COLD_ACTIVATION = Clause(NORDISK_BETONG_1977, "activation energy 33.5 kJ/mol from 20 °C, 1.47 more per kelvin below", Basis.MEMORY)

ACTIVATION_TEMP_K = 5000.0
DATUM_C = 0.0
GAS_CONSTANT_J_MOLK = 8.314462618


def _intervals(times_h: Sequence[float], temps_c: Sequence[float]) -> list[tuple[float, float]]:
    """Lengths and mean temperatures of a history's intervals."""
    if len(times_h) != len(temps_c) or len(times_h) < 2:
        raise OutOfRange("a history needs two or more times and as many temperatures.")
    lengths = [later - earlier for earlier, later in pairwise(times_h)]
    if min(lengths) <= 0:
        raise OutOfRange("times of a history must rise.")
    means = [0.5 * (earlier + later) for earlier, later in pairwise(temps_c)]
    return list(zip(lengths, means, strict=True))


@published("maturity", TEMPERATURE_TIME)
def maturity_kh(*, times_h: Sequence[float], temps_c: Sequence[float], datum_c: float = DATUM_C) -> float:
    r"""Temperature-time factor of a temperature history.

    Parameters
    ----------
    times_h : sequence of float
        Rising. [h]
    temps_c : sequence of float
        One per time. [°C]
    datum_c : float
        Below it nothing counts; 0 °C for Type I without admixtures, traditionally -10 °C. [°C]

    Returns
    -------
    float
        [K·h]

    Raises
    ------
    OutOfRange
        If times do not rise or do not match the temperatures.

    Notes
    -----
    .. math:: M = \sum \max(0, T - T_0)\,\Delta t

    with the mean temperature of each interval, as the practice prescribes.
    """
    return sum(length * max(0.0, mean - datum_c) for length, mean in _intervals(times_h, temps_c))


@published("equivalent-age", EQUIVALENT_AGE, validity="0 to 40 °C for the suggested constants.")
def equivalent_age_h(
    *, times_h: Sequence[float], temps_c: Sequence[float], activation_temp_k: float = ACTIVATION_TEMP_K, reference_c: float = 23.0
) -> float:
    r"""Age at the reference temperature that counts as much as a temperature history.

    Parameters
    ----------
    times_h : sequence of float
        Rising. [h]
    temps_c : sequence of float
        One per time. [°C]
    activation_temp_k : float
        Activation energy over the gas constant. [K]
    reference_c : float
        [°C]

    Returns
    -------
    float
        [h]

    Raises
    ------
    OutOfRange
        If times do not rise or do not match the temperatures.

    Notes
    -----
    .. math:: t_e = \sum \exp[-Q(1/T - 1/T_s)]\,\Delta t

    Examples
    --------
    >>> round(equivalent_age_h(times_h=[0, 24], temps_c=[10, 10]), 3)
    11.055
    """
    return sum(
        length * age_factor(temp_c=mean, activation_temp_k=activation_temp_k, reference_c=reference_c)
        for length, mean in _intervals(times_h, temps_c)
    )


def age_factor(*, temp_c: float, activation_temp_k: float = ACTIVATION_TEMP_K, reference_c: float = 23.0) -> float:
    """Equivalent hours per hour at a temperature. [-]"""
    return math.exp(-activation_temp_k * (1.0 / (temp_c + 273.15) - 1.0 / (reference_c + 273.15)))


@published("age-factor-linear", TEMPERATURE_TIME)
def linear_age_factor(*, temp_c: float, reference_c: float = 20.0, datum_c: float = DATUM_C) -> float:
    """Equivalent hours per hour by the temperature-time factor; the datum decides in the cold.

    Parameters
    ----------
    temp_c, reference_c, datum_c : float
        [°C]

    Returns
    -------
    float
        [-]
    """
    return max(0.0, temp_c - datum_c) / (reference_c - datum_c)


@published("age-factor-cold", COLD_ACTIVATION)
def cold_age_factor(*, temp_c: float) -> float:
    """Equivalent hours per hour at 20 °C with an activation energy that grows in the cold.

    Parameters
    ----------
    temp_c : float
        [°C]

    Returns
    -------
    float
        [-]
    """
    energy_j_mol = 33500.0 + max(0.0, 1470.0 * (20.0 - temp_c))
    return math.exp(energy_j_mol / GAS_CONSTANT_J_MOLK * (1.0 / 293.15 - 1.0 / (temp_c + 273.15)))
