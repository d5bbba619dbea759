"""Tests of the mix that a builder may have: cylinder breaks, times of setting, a heat curve."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """Strength of cylinders cured at a temperature. [s, Pa, °C]"""

    age_s: float
    strength_pa: float
    temp_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SetTime:
    """Time of setting by penetration at a temperature. [s, °C]"""

    age_s: float
    temp_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatReading:
    """Heat set free per mass of cementitious material up to an age at a temperature. [s, J/kg, °C]"""

    age_s: float
    heat_j_kg: float
    temp_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MixTests:
    """What is known of the very mix.

    Attributes
    ----------
    breaks : tuple of Break
        Two or more replace the generic strength curve.
    initial_set, final_set : SetTime or None
    heat : tuple of HeatReading
        Three or more replace the generic heat curve.
    """

    breaks: tuple[Break, ...] = ()
    initial_set: SetTime | None = None
    final_set: SetTime | None = None
    heat: tuple[HeatReading, ...] = ()
