"""Stress in a layer that may not move as its matter wants to, told in its parts, with relaxation and growing stiffness.

The free strain over the depth is split into its mean (*axial*), a straight line (*curl*) and the rest (*self-equilibrating*,
which no release takes away). Each part that is held back leaves stress of the opposite sign; increments are added up by
superposition, each with the stiffness it met and the creep it has had since. Tension is positive.
"""

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import ArrayLike, NDArray

from slabwright.errors import OutOfRange

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Creep:
    """Creep coefficient ``ultimate * age**-fading * lag**power / (scale + lag**power)``, ages and lags in days.

    The product form of a time under load and an age at loading; ``ultimate`` 0 is elastic.
    """

    ultimate: float = 0.0
    fading: float = 0.118
    power: float = 0.6
    scale: float = 10.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FreeStrain:
    """What the matter would do if nothing held it, at the top face; growth positive. Arrays (n_members, n_times).

    Attributes
    ----------
    axial, curl, residual : array
        Mean over the depth, the straight line's value at the top, and what is left at the top. The three add up to the
        free strain of the top face.
    """

    axial: Floats
    curl: Floats
    residual: Floats

    @classmethod
    def of_profile(cls, depths_m: ArrayLike, strain: ArrayLike) -> "FreeStrain":
        """Split strains at depths, top first; ``strain`` is (n_times, n_depths) or (n_depths). A straight profile splits exactly."""
        depth, free = np.asarray(depths_m, dtype=float), np.atleast_2d(np.asarray(strain, dtype=float))
        if depth.size < 2 or np.any(np.diff(depth) <= 0):
            raise OutOfRange("a strain profile needs two or more depths, each below the one before.")
        width = np.zeros_like(depth)
        width[:-1] += 0.5 * np.diff(depth)
        width[1:] += 0.5 * np.diff(depth)
        arm = width @ depth / width.sum() - depth
        mean = free @ width / width.sum()
        line = free @ (width * arm) / (width @ arm**2) * arm[0]
        return cls(axial=mean[None, :], curl=line[None, :], residual=(free[:, 0] - mean - line)[None, :])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RestrainedStress:
    """Stress at the top face when every part is fully held; arrays (n_members, n_times), tension positive. [Pa]"""

    axial_pa: Floats
    curl_pa: Floats
    self_equilibrating_pa: Floats

    def at(self, *, held: float, friction_pa: ArrayLike, curl_held: float = 1.0, residual: float = 1.0) -> Floats:
        """Stress with the axial part held to a fraction, but at least as far as friction reaches.

        Parameters
        ----------
        held : float
            Fraction of the axial part: 0 floats on friction alone, 1 is fixed.
        friction_pa : float or array (n_members, 1)
            Largest axial stress that drag along the underside can build up. [Pa]
        curl_held, residual : float
            Fractions of the other parts to count.
        """
        drag = np.clip(self.axial_pa, -np.asarray(friction_pa, dtype=float), np.asarray(friction_pa, dtype=float))
        anchored = held * self.axial_pa
        axial = np.where(np.abs(anchored) > np.abs(drag), anchored, drag)
        return np.asarray(axial + curl_held * self.curl_pa + residual * self.self_equilibrating_pa)


@njit(cache=True, nogil=True)
def _superpose(strain: Floats, modulus: Floats, first: Whole, lag_creep: Floats, age_creep: Floats) -> Floats:
    """Add up relaxed increments of one part for every member; nothing before step ``first``."""
    n_members, n_times = strain.shape
    stress = np.zeros((n_members, n_times))
    for b in range(n_members):
        for i in range(first[b] + 1, n_times):
            total = 0.0
            for j in range(first[b] + 1, i + 1):
                pushed = -0.5 * (modulus[b, j] + modulus[b, j - 1]) * (strain[b, j] - strain[b, j - 1])
                total += pushed / (1.0 + lag_creep[i - j] * age_creep[b, j])
            stress[b, i] = total
    return stress


def restrained_stress(
    times_s: ArrayLike,
    free: FreeStrain,
    modulus_pa: ArrayLike,
    *,
    poisson: float = 0.0,
    creep: Creep | None = None,
    ages_s: ArrayLike | None = None,
    start: ArrayLike = 0,
    creep_factor: ArrayLike = 1.0,
) -> RestrainedStress:
    """Stress of fully held parts over time.

    Parameters
    ----------
    times_s : array (n_times)
        Equally spaced where creep is given. [s]
    free : FreeStrain
    modulus_pa : float or array (n_members, n_times)
        [Pa]
    poisson : float
        0 for a bar held one way; the material's ratio where held both ways.
    creep : Creep, optional
    ages_s : array (n_members, n_times), optional
        Age that creep fades with; the time itself where not given. [s]
    start : int or array (n_members)
        Record at which the matter is free of stress.
    creep_factor : float or array (n_members)
        On each member's creep.

    Raises
    ------
    OutOfRange
        If times do not rise, or are not equally spaced where creep is given.
    """
    times = np.asarray(times_s, dtype=float)
    shape = free.axial.shape
    modulus = np.array(np.broadcast_to(np.asarray(modulus_pa, dtype=float), shape))
    first = np.array(np.broadcast_to(np.asarray(start, dtype=np.int64), shape[0]))
    gaps = np.diff(times)
    if times.size != shape[1] or np.any(gaps <= 0):
        raise OutOfRange("times must rise and be as many as the strains.")
    if creep is not None and np.ptp(gaps) > 1e-6 * gaps[0]:
        raise OutOfRange("creep needs equally spaced times.")
    law = creep or Creep()
    # an increment stands for the middle of its interval, in age as in time under load
    lag_days = (np.arange(times.size) + 0.5) * (float(gaps[0]) if gaps.size else 0.0) / 86400.0
    lag = lag_days**law.power / (law.scale + lag_days**law.power)
    ages = np.array(np.broadcast_to(times if ages_s is None else np.asarray(ages_s, dtype=float), shape)) / 86400.0
    middle = ages.copy()
    middle[:, 1:] = 0.5 * (ages[:, 1:] + ages[:, :-1])
    fade = (
        law.ultimate * np.maximum(middle, 1e-3) ** -law.fading * np.broadcast_to(np.asarray(creep_factor, dtype=float), shape[0])[:, None]
    )
    parts = [
        _superpose(np.ascontiguousarray(part, dtype=float), modulus, first, lag, fade) / (1.0 - poisson)
        for part in (free.axial, free.curl, free.residual)
    ]
    return RestrainedStress(axial_pa=parts[0], curl_pa=parts[1], self_equilibrating_pa=parts[2])
