"""A mix as matter that sets, heats and hardens: from its composition, or from the tests the builder has."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slabwright.errors import NotConverged
from slabwright.model.mix_tests import MixTests
from slabwright.model.supply import Mix
from slabwright.results.check import Assumption
from slabwright.solvers.hydration import Reaction, fitted_to_heat
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.standards.en_1992_1_1 import EN_1992_1_1
from slabwright.standards.en_1992_1_1_time import STRENGTH_OVER_TIME, CementClass, strength_share
from slabwright.standards.fhwa_hrt_05_038 import BLEED_RANGE_KG_M2_H, BLEED_RATES, BLEED_SHARE, BleedKind
from slabwright.standards.heat_of_hydration import (
    CONDUCTIVITY_FRESH,
    CONDUCTIVITY_SOFTENING,
    CURVE,
    EXPANSION_1_K,
    REFERENCE_C,
    TYPICAL,
    hydration_parameters,
)
from slabwright.standards.setting import SET_DEGREE, SET_STRENGTH, STRENGTH_AT_FINAL_SET_PA, set_degrees
from slabwright.units import DENSITY, EVAPORATION, Family, format_quantity

Floats = NDArray[np.float64]
STRENGTH_REFERENCE_C = 20.0
HARDENED_CONDUCTIVITY_W_MK = 1.6
SPECIFIC_HEAT_J_KGK = 1050.0
DEFAULT_CEMENT_KG_M3, DEFAULT_W_CM = 335.0, 0.50
OVERDESIGN_PA, IN_PLACE = 8e6, 0.85
MEAN_STRENGTH = Clause(EN_1992_1_1, "Table 3.1: mean 8 MPa above the characteristic strength; 85 % of it in place", Basis.MEMORY)
BATCH_AGE_S = 0.75 * 3600.0
CONCRETE_HEAT = practice("concrete conducts 1.6 W/mK when hard and holds 1,050 J/kgK")
MODEL_CODE = Clause(Source("CEB-FIP Model Code 1990", "CEB-FIP Model Code 1990, moisture diffusivity"), "2.1.8.4.2", Basis.MEMORY)


class _Cement(NamedTuple):
    """Compounds as mass fractions, and fineness in m²/kg; the defaults are a typical Type I."""

    c3s: float = 0.57
    c2s: float = 0.16
    c3a: float = 0.09
    c4af: float = 0.08
    so3: float = 0.029
    fineness_m2_kg: float = 370.0


_CEMENTS = {
    "I": _Cement(),
    "II": _Cement(c3s=0.52, c2s=0.22, c3a=0.06, c4af=0.11, so3=0.027),
    "III": _Cement(so3=0.034, fineness_m2_kg=540.0),
    "IL": _Cement(fineness_m2_kg=420.0),
    "V": _Cement(c3s=0.54, c2s=0.22, c3a=0.04, c4af=0.13, so3=0.023),
}
_RAPID = ("III", "52.5", "42.5 R")


@dataclass(frozen=True, slots=True, kw_only=True)
class StrengthCurve:
    """Strength over equivalent age at 20 °C: ``limit * exp(-sqrt(tau / (age - delay)))``, the code's form begun later. [Pa, s]

    The code's own curve has a delay of nought and would give concrete a tenth of its strength while it is still being
    floated; the delay puts it where it hardly has any at final set.
    """

    limit_pa: float
    tau_s: float
    delay_s: float

    def at(self, age_s: ArrayLike) -> Floats:
        """Strength at equivalent ages at 20 °C. [Pa]"""
        age = np.maximum(np.asarray(age_s, dtype=float) - self.delay_s, 1.0)
        return np.asarray(self.limit_pa * np.exp(-np.sqrt(self.tau_s / age)))

    @classmethod
    def through(cls, points: Sequence[tuple[float, float]], set_age_s: float, set_strength_pa: float) -> "StrengthCurve":
        """The curve closest to points (age, strength) in relative terms that passes a strength at final set.

        Raises
        ------
        NotConverged
            If strengths do not rise with age.
        """
        from scipy.optimize import brentq

        ages, strengths = np.array(sorted(points)).T

        def line(delay: float) -> tuple[float, float]:
            """Slope and height of the logarithm of strength over 1 / sqrt(age - delay): straight for this form."""
            slope, height = np.polyfit((ages - delay) ** -0.5, np.log(strengths), 1)
            return float(slope), float(height)

        def excess(delay: float) -> float:
            slope, height = line(delay)
            return height + slope / math.sqrt(set_age_s - delay) - math.log(set_strength_pa)

        if line(0.0)[0] >= 0:
            raise NotConverged("the strengths of these breaks do not rise with age; check their ages and temperatures.")
        latest = min(set_age_s, float(ages[0])) * (1.0 - 1e-6)
        delay = float(brentq(excess, 0.0, latest)) if excess(0.0) > 0 > excess(latest) else 0.0
        slope, height = line(delay)
        return cls(limit_pa=math.exp(height), tau_s=slope * slope, delay_s=delay)


@dataclass(frozen=True, slots=True, kw_only=True)
class Concrete:
    """One mix.

    Attributes
    ----------
    reaction : Reaction
        Degree of hydration over equivalent age at 21.1 °C.
    heat_j_m3 : float
        Of full hydration. [J/m³]
    conductivity_w_mk, softening : float
        Of fresh concrete, and the fraction lost at full hydration. [W/mK, -]
    heat_capacity_j_m3k, density_kg_m3 : float
        [J/m³K, kg/m³]
    strength : StrengthCurve
    specified_pa : float
        [Pa]
    initial_set, final_set : float
        Degrees of hydration. [-]
    bleed_kg_m2_h, bleed_share : float
        Bleed rate, and bleed water over depth. [kg/m²h, -]
    bleed : BleedKind
    expansion_1_k : float
        [1/K]
    evaporable_kg_m3 : float
        Water whose loss is the whole drying shrinkage. [kg/m³]
    diffusivity_m2_s : float
        Of moisture when nearly saturated. [m²/s]
    """

    reaction: Reaction
    heat_j_m3: float
    conductivity_w_mk: float
    softening: float
    heat_capacity_j_m3k: float
    density_kg_m3: float
    strength: StrengthCurve
    specified_pa: float
    initial_set: float
    final_set: float
    bleed_kg_m2_h: float
    bleed_share: float
    bleed: BleedKind
    expansion_1_k: float
    evaporable_kg_m3: float
    diffusivity_m2_s: float

    def strength_age_s(self, age_s: ArrayLike) -> Floats:
        """Equivalent age at 20 °C from that of the reaction's own reference. [s]"""
        return np.asarray(np.asarray(age_s, dtype=float) / self.reaction.clock_rate(STRENGTH_REFERENCE_C))

    def strength_pa(self, age_s: ArrayLike) -> Floats:
        """Compressive strength at equivalent ages of the reaction. [Pa]"""
        return self.strength.at(self.strength_age_s(age_s))


def concrete_of(mix: Mix, tests: MixTests | None = None, family: Family = Family.US) -> tuple[Concrete, tuple[Assumption, ...]]:
    """A mix as matter, and what had to be assumed.

    Parameters
    ----------
    mix : Mix
    tests : MixTests, optional
        Heat curve, set times and cylinder breaks of this mix; each replaces what would be assumed for it.
    family : Family
        Units of the statements.

    Raises
    ------
    NotConverged
        If no strength curve passes through the breaks.
    """
    said: list[Assumption] = []
    cement, water_ratio = _proportions(mix, said, family)
    reaction, heat_j_kg = _reaction(mix, water_ratio, tests, said)
    degrees = set_degrees(w_cm=water_ratio)
    initial, final = _set(reaction, degrees.initial, degrees.final, tests, said)
    low = (mix.air is not None and mix.air >= 0.03) or water_ratio < 0.45
    bleed = BleedKind.LOW if low else BleedKind.NORMAL
    rate = 0.5 * sum(BLEED_RANGE_KG_M2_H[bleed])
    shown = format_quantity(rate, EVAPORATION, family, digits=2)
    said.append(Assumption(where="mix: bleed", statement=f"bleeds like a {bleed.value} slab mix, {shown}", clause=BLEED_RATES))
    said.append(Assumption(where="mix: heat", statement="1.6 W/mK and 1,050 J/kgK", clause=CONCRETE_HEAT))
    return Concrete(
        reaction=reaction,
        heat_j_m3=cement * heat_j_kg,
        conductivity_w_mk=HARDENED_CONDUCTIVITY_W_MK * CONDUCTIVITY_FRESH,
        softening=CONDUCTIVITY_SOFTENING,
        heat_capacity_j_m3k=mix.unit_weight_kg_m3 * SPECIFIC_HEAT_J_KGK,
        density_kg_m3=mix.unit_weight_kg_m3,
        strength=_strength(mix, reaction, final, tests, said),
        specified_pa=mix.strength_pa,
        initial_set=initial,
        final_set=final,
        bleed_kg_m2_h=rate,
        bleed_share=BLEED_SHARE[bleed],
        bleed=bleed,
        expansion_1_k=EXPANSION_1_K["gravel"],
        evaporable_kg_m3=0.5 * water_ratio * cement,
        diffusivity_m2_s=1e-8 * 10e6 / mix.strength_pa,
    ), tuple(said)


def _proportions(mix: Mix, said: list[Assumption], family: Family) -> tuple[float, float]:
    """Cementitious material [kg/m³] and water over it, stated or assumed."""
    cement = mix.cement_kg_m3 or DEFAULT_CEMENT_KG_M3
    if mix.cement_kg_m3 is None:
        shown = format_quantity(cement, DENSITY, family, unit="lb/yd3" if family is Family.US else "kg/m3")
        said.append(Assumption(where="mix.cement", statement=f"{shown} of cementitious material", clause=TYPICAL))
    if mix.w_cm is not None:
        return cement, mix.w_cm
    if mix.water_kg_m3 is not None:
        return cement, mix.water_kg_m3 / cement
    said.append(Assumption(where="mix.w_cm", statement=f"water-cement ratio {DEFAULT_W_CM:.2f}", clause=TYPICAL))
    return cement, DEFAULT_W_CM


def _reaction(mix: Mix, water_ratio: float, tests: MixTests | None, said: list[Assumption]) -> tuple[Reaction, float]:
    """How the mix hydrates, and its full heat. [J/kg]"""
    kind = _cement(mix.cement_type)
    found = hydration_parameters(
        w_cm=water_ratio, c3s=kind.c3s, c2s=kind.c2s, c3a=kind.c3a, c4af=kind.c4af, so3=kind.so3, fineness_m2_kg=kind.fineness_m2_kg,
        fly_ash=mix.fly_ash, slag=mix.slag,
    )  # fmt: skip
    reaction = Reaction(
        ultimate=found.ultimate, tau_s=3600.0 * found.tau_h, beta=found.beta, activation_j_mol=found.activation_j_mol,
        reference_c=REFERENCE_C, start_age_s=BATCH_AGE_S,
    )  # fmt: skip
    if tests is not None and len(tests.heat) >= 3:
        return _from_heat(tests, reaction, found.heat_j_kg), found.heat_j_kg
    said.append(
        Assumption(where="mix_tests: heat", statement=f"heat of hydration of a typical type {mix.cement_type} cement", clause=CURVE)
    )
    return reaction, found.heat_j_kg


def _cement(cement_type: str) -> _Cement:
    name = cement_type.upper().replace("TYPE", "").replace("CEM", "").strip()
    head = name.partition("(")[0].partition("/")[0].partition(" ")[0]
    return _CEMENTS.get(head, _CEMENTS["I"])


def _from_heat(tests: MixTests, reaction: Reaction, heat_j_kg: float) -> Reaction:
    """The curve through the measured heat, its clock that of the composition."""
    ages = [float(reaction.clock_rate(test.temp_c)) * test.age_s for test in tests.heat]
    fitted = fitted_to_heat(
        ages,
        [test.heat_j_kg / heat_j_kg for test in tests.heat],
        activation_j_mol=reaction.activation_j_mol,
        reference_c=reaction.reference_c,
    )
    return replace(fitted, start_age_s=reaction.start_age_s)


def _set(reaction: Reaction, initial: float, final: float, tests: MixTests | None, said: list[Assumption]) -> tuple[float, float]:
    """Degrees at set, those of the penetration test where there is one."""
    if tests is None or tests.final_set is None:
        said.append(
            Assumption(where="mix_tests: set", statement=f"sets at degrees of hydration {initial:.3f} and {final:.3f}", clause=SET_DEGREE)
        )
        return initial, final
    measured = float(reaction.degree(float(reaction.clock_rate(tests.final_set.temp_c)) * tests.final_set.age_s))
    if tests.initial_set is None:
        return measured * initial / final, measured
    first = float(reaction.degree(float(reaction.clock_rate(tests.initial_set.temp_c)) * tests.initial_set.age_s))
    return first, measured


def _strength(mix: Mix, reaction: Reaction, final: float, tests: MixTests | None, said: list[Assumption]) -> StrengthCurve:
    """Strength in place: through the breaks where there are two or more, else the code's; hardly anything at final set."""
    clock = float(reaction.clock_rate(STRENGTH_REFERENCE_C))
    set_age = reaction.age_s(final) / clock
    said.append(Assumption(where="mix_tests: breaks", statement="about 100 psi (0.7 MPa) at final set", clause=SET_STRENGTH))
    if tests is not None and len(tests.breaks) >= 2:
        points = [(float(reaction.clock_rate(test.temp_c)) / clock * test.age_s, test.strength_pa) for test in tests.breaks]
        return StrengthCurve.through(points, set_age, STRENGTH_AT_FINAL_SET_PA)
    rapid = any(mark in mix.cement_type.upper() for mark in _RAPID)
    cement = CementClass.RAPID if rapid else CementClass.SLOW if mix.slag + mix.fly_ash > 0.35 else CementClass.NORMAL
    mean = IN_PLACE * (mix.strength_pa + OVERDESIGN_PA)
    points = [(86400.0 * days, mean * strength_share(age_days=days, cement=cement)) for days in (1.0, 3.0, 7.0, 28.0)]
    said.append(
        Assumption(
            where="mix_tests: breaks",
            statement=f"strength grows as the code's class {cement.value} cement; a generic curve is worth a factor of 1.5 at one day, "
            "two or three cylinder breaks replace it",
            clause=STRENGTH_OVER_TIME,
        )
    )
    said.append(
        Assumption(
            where="mix.strength",
            statement="cylinders come 1,200 psi (8 MPa) above the specified strength in the mean, and the floor has 85 % of them",
            clause=MEAN_STRENGTH,
        )
    )
    return StrengthCurve.through(points, set_age, STRENGTH_AT_FINAL_SET_PA)
