"""A reaction over its equivalent age: the three-parameter curve, its clock, and fits of both to measurements."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from slabwright.errors import NotConverged, OutOfRange

Floats = NDArray[np.float64]
GAS_CONSTANT_J_MOLK = 8.314462618
KELVIN = 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Reaction:
    """Degree of reaction ``ultimate * exp(-(tau / age)**beta)`` over an Arrhenius equivalent age.

    Attributes
    ----------
    ultimate : float
        Degree that is never passed.
    tau_s, beta : float
        Time scale and shape. [s, -]
    activation_j_mol : float
        Activation energy of the clock. [J/mol]
    reference_c : float
        Temperature at which the clock runs true. [°C]
    start_age_s : float
        Equivalent age when the run begins. [s]
    """

    ultimate: float
    tau_s: float
    beta: float
    activation_j_mol: float
    reference_c: float = 21.1
    start_age_s: float = 0.0

    @property
    def activation_k(self) -> float:
        """Activation energy over the gas constant. [K]"""
        return self.activation_j_mol / GAS_CONSTANT_J_MOLK

    @property
    def reference_k(self) -> float:
        """Reference temperature. [K]"""
        return self.reference_c + KELVIN

    def degree(self, age_s: ArrayLike) -> Floats:
        """Degree of reaction at equivalent ages."""
        age = np.maximum(np.asarray(age_s, dtype=float), 1.0)
        return self.ultimate * np.exp(-((self.tau_s / age) ** self.beta)) * (np.asarray(age_s) > 1.0)

    def age_s(self, degree: float) -> float:
        """Equivalent age at which a degree is reached. [s]

        Raises
        ------
        OutOfRange
            If the reaction never reaches it.
        """
        if not 0.0 < degree < self.ultimate:
            raise OutOfRange(f"a degree of reaction of {degree:.3f} is not between 0 and the ultimate {self.ultimate:.3f}.")
        return self.tau_s / float((-math.log(degree / self.ultimate)) ** (1.0 / self.beta))

    def clock_rate(self, temp_c: ArrayLike) -> Floats:
        """Equivalent seconds that pass per second at temperatures."""
        kelvin = np.asarray(temp_c, dtype=float) + KELVIN
        return np.asarray(np.exp(self.activation_k * (1.0 / self.reference_k - 1.0 / kelvin)))

    def rebased(self, ratio: float) -> "Reaction":
        """The same curve stretched in time: ``ratio`` above 1 is slower."""
        return Reaction(
            ultimate=self.ultimate,
            tau_s=self.tau_s * ratio,
            beta=self.beta,
            activation_j_mol=self.activation_j_mol,
            reference_c=self.reference_c,
            start_age_s=self.start_age_s,
        )


def equivalent_ages_s(times_s: ArrayLike, temps_c: ArrayLike, reaction: Reaction) -> Floats:
    """Equivalent age along a temperature history, by the mean temperature of each interval. [s]

    Parameters
    ----------
    times_s, temps_c : array (n)
        History, times ascending. [s, °C]
    reaction : Reaction
        Its clock and start age.
    """
    times, temps = np.asarray(times_s, dtype=float), np.asarray(temps_c, dtype=float)
    rates = reaction.clock_rate(0.5 * (temps[1:] + temps[:-1]))
    return np.asarray(reaction.start_age_s + np.concatenate([[0.0], np.cumsum(rates * np.diff(times))]))


def fitted_to_heat(ages_s: Sequence[float], degrees: Sequence[float], *, activation_j_mol: float, reference_c: float = 21.1) -> Reaction:
    """The reaction whose curve lies closest to measured degrees of reaction (heat released over heat in full).

    Parameters
    ----------
    ages_s : sequence of float
        Equivalent ages, ascending. [s]
    degrees : sequence of float
        At least three, each between 0 and 1.

    Raises
    ------
    OutOfRange
        For fewer than three points or degrees that do not rise.
    NotConverged
        If no curve fits.
    """
    age, degree = np.asarray(ages_s, dtype=float), np.asarray(degrees, dtype=float)
    if age.size < 3 or np.any(np.diff(age) <= 0) or np.any(np.diff(degree) <= 0) or degree[0] <= 0 or degree[-1] >= 1:
        raise OutOfRange("a heat curve needs three or more points with ages and heat rising, heat between nought and the full heat.")
    ultimate, tau, beta = three_parameter_fit(age, degree)
    return Reaction(ultimate=ultimate, tau_s=tau, beta=beta, activation_j_mol=activation_j_mol, reference_c=reference_c)


def three_parameter_fit(ages: Floats, values: Floats) -> tuple[float, float, float]:
    """Limit, time scale and shape of ``limit * exp(-(tau / age)**beta)`` closest to points in relative terms.

    For a given limit the curve is a straight line in log-log, so that only the limit is searched.

    Raises
    ------
    NotConverged
        If no rising curve fits.
    """
    from scipy.optimize import minimize_scalar

    log_age = np.log(ages)

    def line(limit: float) -> tuple[float, float, float]:
        y = np.log(-np.log(values / limit))
        slope, height = np.polyfit(log_age, y, 1)
        wanted = limit * np.exp(-np.exp(height + slope * log_age))
        return float(slope), float(height), float(np.sum(np.log(wanted / values) ** 2))

    top = float(values.max())
    best = minimize_scalar(
        lambda over: line(top * (1.0 + math.exp(over)))[2], bounds=(-9.0, 1.5), method="bounded", options={"xatol": 1e-6}
    )
    limit = top * (1.0 + math.exp(float(best.x)))
    slope, height, _ = line(limit)
    if not slope < 0:
        raise NotConverged("no rising curve passes through these points; check their order and units.")
    return limit, math.exp(-height / slope), -slope
