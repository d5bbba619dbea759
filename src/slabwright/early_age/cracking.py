"""What a zone's first days pull in it: free strain from cooling and drying, stress in parts, the chance that it cracks."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from slabwright.early_age.drivers import HOUR_S
from slabwright.early_age.simulate import History
from slabwright.solvers.restraint import Creep, FreeStrain, RestrainedStress, restrained_stress
from slabwright.sources import practice
from slabwright.standards.aci_209r_92 import CREEP_GROWTH, MOIST_FADING, ULTIMATE_SHRINKAGE, creep_ultimate
from slabwright.standards.concrete_tension import tensile_strength_pa
from slabwright.standards.en_1992_1_1_time import autogenous_strain
from slabwright.standards.subgrade_drag import subgrade_drag_pa
from slabwright.units import PSI_PA

Floats = NDArray[np.float64]
POISSON = 0.17
ANCHORED = 0.40

RESTRAINT_BAND = practice(
    "restraint of an uncut floor: floating on friction of 1.0 on a sheet or 1.5 on stone, anchored at 40 % by its thickened edge, or fixed"
)
SKIN_DRYING = practice("water lost after set dries a skin whose depth grows with the root of time; its whole loss is the whole shrinkage")
AIR_HUMIDITY = 0.5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cracking:
    """Stress over strength of one zone; arrays (n_members, n_times) at the times of its history.

    Attributes
    ----------
    history : History
    stress : RestrainedStress
        At the surface, every part fully held, without the drying skin. [Pa]
    skin_pa : array
        Of the drying skin alone, on top of it. [Pa]
    tension_pa : array
        Tensile strength of the surface. [Pa]
    friction_pa : float
        Drag that the uncut length can build up. [Pa]
    """

    history: History
    stress: RestrainedStress
    skin_pa: Floats
    tension_pa: Floats
    friction_pa: float

    def ratio(self, held: float) -> Floats:
        """Stress over strength with the axial part held to a fraction; 0 floats, 1 is fixed."""
        return np.asarray(self.stress.at(held=held, friction_pa=self.friction_pa) / self.tension_pa)

    def chance(self, held: float) -> Floats:
        """Fraction of members that have cracked by each time. (n_times)"""
        return np.asarray((np.maximum.accumulate(self.ratio(held), axis=1) > 1.0).mean(axis=0))


def cracking(history: History, *, uncut_m: float, friction: float) -> Cracking:
    """Stress of a zone over its history.

    Parameters
    ----------
    history : History
    uncut_m : float
        Longest way without a joint. [m]
    friction : float
        Of the underside. [-]

    Notes
    -----
    Stress begins at final set. Cooling and drying are split into their mean, a straight line and the rest; modulus is
    57,000 sqrt(f'c) and tension 1.7 f'c^(2/3) in psi, at the age and temperature reached.
    """
    concrete, scatter = history.concrete, history.scatter
    first = _before_set(history)
    strain = _thermal(history)
    loss = _water_lost_after_set(history, first)
    mean, line, skin = _drying(history, loss)
    own = _autogenous(history)
    free = FreeStrain(axial=strain.axial - mean - own, curl=strain.curl - line, residual=strain.residual)
    free = _from_set(free, history, first)
    strength = np.maximum(history.top_strength_pa, 1.0 * PSI_PA)
    modulus = 57000.0 * np.sqrt(np.maximum(history.middle_strength_pa, 1.0 * PSI_PA) / PSI_PA) * PSI_PA
    ages = concrete.strength_age_s(history.middle_age_s)
    creep = Creep(ultimate=creep_ultimate(rel_humidity=AIR_HUMIDITY), fading=MOIST_FADING[1], power=CREEP_GROWTH[0], scale=CREEP_GROWTH[1])
    times = HOUR_S * history.times_h
    stress = restrained_stress(times, free, modulus, poisson=POISSON, creep=creep, ages_s=ages, start=first, creep_factor=scatter.creep)
    nought = np.zeros_like(skin)
    skins = restrained_stress(
        times, FreeStrain(axial=nought, curl=nought, residual=-skin), modulus, poisson=POISSON, creep=creep, ages_s=ages, start=first,
        creep_factor=scatter.creep,
    )  # fmt: skip
    one_psi = tensile_strength_pa(strength_pa=PSI_PA)
    return Cracking(
        history=history,
        stress=stress,
        skin_pa=skins.self_equilibrating_pa,
        tension_pa=scatter.tension[:, None] * one_psi * (strength / PSI_PA) ** (2.0 / 3.0),
        friction_pa=subgrade_drag_pa(friction=friction, length_m=uncut_m, density_kg_m3=concrete.density_kg_m3),
    )


def _before_set(history: History) -> NDArray[np.int64]:
    """Last record at or before final set; the last of all where a member does not set."""
    last = history.times_h.size - 1
    found = np.searchsorted(history.times_h, np.nan_to_num(history.final_set_h, nan=np.inf), side="right") - 1
    return np.clip(found, 0, last).astype(np.int64)


def _thermal(history: History) -> FreeStrain:
    expansion = history.concrete.expansion_1_k * history.scatter.expansion[:, None]
    return FreeStrain(
        axial=expansion * history.mean_c,
        curl=expansion * history.linear_k,
        residual=expansion * (history.top_c - history.mean_c - history.linear_k),
    )


def _water_lost_after_set(history: History, first: NDArray[np.int64]) -> Floats:
    """Pore water lost since final set: what evaporated, less the film that stood then. [kg/m²]

    The loss at set itself runs on from the record before it, since curing often begins in that very moment.
    """
    rows, lost = np.arange(first.size), history.lost_kg_m2
    earlier, following = np.maximum(first - 1, 0), np.minimum(first + 1, history.times_h.size - 1)
    run_on = lost[rows, first] + _part(history, first) * (lost[rows, first] - lost[rows, earlier])
    at_set = np.minimum(run_on, lost[rows, following])
    film = np.maximum(history.water_kg_m2[rows, first], 0.0)
    found = np.maximum(np.maximum.accumulate(lost - (at_set + film)[:, None], axis=1), 0.0)
    found[np.arange(history.times_h.size)[None, :] <= first[:, None]] = 0.0
    return np.asarray(found)


def _part(history: History, first: NDArray[np.int64]) -> Floats:
    """Part of the interval after the record before set at which a member sets; nought for one that does not."""
    step = history.times_h[1] - history.times_h[0]
    return np.asarray(np.clip(np.nan_to_num((history.final_set_h - history.times_h[first]) / step), 0.0, 1.0))


def _drying(history: History, loss_kg_m2: Floats) -> tuple[Floats, Floats, Floats]:
    """Shrinkage of a drying skin: its mean over the depth, the straight line's value on top, and the rest there.

    The loss lies below the surface as ``erfc(z / 2 sqrt(D t))``, which holds its whole amount whatever the depth.
    """
    depth, concrete = history.zone.depth_m, history.concrete
    since_s = HOUR_S * np.maximum(history.times_h[None, :] - history.final_set_h[:, None], 0.25)
    since_s = np.nan_to_num(since_s, nan=900.0)
    reach = np.sqrt(concrete.diffusivity_m2_s * since_s)
    per_kg_m3 = ULTIMATE_SHRINKAGE / concrete.evaporable_kg_m3
    surface = np.minimum(per_kg_m3 * loss_kg_m2 * np.sqrt(np.pi) / (2.0 * reach), ULTIMATE_SHRINKAGE)
    mean = per_kg_m3 * loss_kg_m2 / depth
    # first moment of erfc about mid-depth; the skin's centroid lies sqrt(pi)/2 * reach down
    arm = 0.5 * depth - np.minimum(0.5 * np.sqrt(np.pi) * reach, 0.5 * depth)
    line = 6.0 * mean * arm / depth
    return mean, line, np.maximum(surface - mean - line, 0.0)


def _autogenous(history: History) -> Floats:
    days = np.maximum(history.concrete.strength_age_s(history.middle_age_s) / 86400.0, 0.0)
    ultimate = autogenous_strain(strength_pa=history.concrete.specified_pa, age_days=1e9)
    return np.asarray(ultimate * (1.0 - np.exp(-0.2 * np.sqrt(days))))


def _from_set(free: FreeStrain, history: History, first: NDArray[np.int64]) -> FreeStrain:
    """Free strain with the record before set put to its value at the very moment of set."""
    rows, part = np.arange(first.size), _part(history, first)
    following = np.minimum(first + 1, history.times_h.size - 1)

    def moved(values: Floats) -> Floats:
        found = values.copy()
        found[rows, first] = values[rows, first] + part * (values[rows, following] - values[rows, first])
        return found

    return replace(free, axial=moved(free.axial), curl=moved(free.curl), residual=moved(free.residual))
