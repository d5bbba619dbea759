"""Carriers going round between a source that fills them one at a time and a sink that empties them one at a time.

Event by event, thousands of days at once: a carrier is filled, travels, waits its turn (first come, first served), is emptied, is
cleaned, travels back. Fills are released not before given times. Every day draws from its own stream, so results do not depend on
the number of threads.
"""

import math
from dataclasses import dataclass
from enum import IntEnum

import numba as nb
import numpy as np
from numpy.typing import NDArray

from slabwright.errors import OutOfRange
from slabwright.solvers.light_random import Stream, exponential, mixed, normal, uniform

Floats = NDArray[np.float64]


class Law(IntEnum):
    """Distribution of a duration."""

    FIXED = 0
    LOGNORMAL = 1
    EXPONENTIAL = 2


@dataclass(frozen=True, slots=True)
class Duration:
    """A random duration.

    Attributes
    ----------
    mean : float
    variation : float
        Coefficient of variation; read by the lognormal law.
    law : Law
    """

    mean: float
    variation: float = 0.0
    law: Law = Law.LOGNORMAL

    def __post_init__(self) -> None:
        if not (np.isfinite(self.mean) and self.mean >= 0 and self.variation >= 0):
            raise OutOfRange(f"a duration needs a mean and a variation of nought or more (got {self.mean}, {self.variation}).")

    @property
    def packed(self) -> tuple[float, float, float]:
        """Law and its two parameters, for the kernel."""
        if self.law is Law.LOGNORMAL and self.variation > 0 and self.mean > 0:
            sigma = float(np.sqrt(np.log1p(self.variation**2)))
            return float(Law.LOGNORMAL), float(np.log(self.mean) - sigma**2 / 2), sigma
        if self.law is Law.EXPONENTIAL:
            return float(Law.EXPONENTIAL), self.mean, 0.0
        return float(Law.FIXED), self.mean, 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HaulLoop:
    """One loop and its day's work.

    Attributes
    ----------
    n_carriers : int
    amounts : tuple of float
        What each fill holds, in order; the sum is the day's work.
    release : tuple of float
        Earliest start of each fill. [h]
    fill_h, out_h, back_h, clean_h : Duration
        Filling at the source, travel out and back, cleaning after emptying. [h]
    pace_h : Duration
        Time to empty one unit of amount; drawn for each load. [h per unit]
    setback_chance : float
        Chance that a travel out suffers a setback.
    setback_h : tuple of float
        Least and greatest setback, uniform. [h]
    """

    n_carriers: int
    amounts: tuple[float, ...]
    release: tuple[float, ...]
    fill_h: Duration
    out_h: Duration
    back_h: Duration
    clean_h: Duration
    pace_h: Duration
    setback_chance: float = 0.0
    setback_h: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        if self.n_carriers < 1:
            raise OutOfRange(f"a loop needs at least one carrier (got {self.n_carriers}).")
        if len(self.amounts) != len(self.release) or not self.amounts:
            raise OutOfRange("every fill needs an amount and a release time.")
        if min(self.amounts) <= 0 or self.pace_h.mean <= 0:
            raise OutOfRange("amounts and the time to empty one unit must be above nought.")
        if not 0.0 <= self.setback_chance <= 1.0 or self.setback_h[0] > self.setback_h[1]:
            raise OutOfRange("the chance of a setback is a fraction and its range runs upwards.")

    def simulate(self, n_days: int, seed: int = 0) -> "Days":
        """Run so many independent days.

        Parameters
        ----------
        n_days : int
        seed : int
            Day ``i`` draws from stream ``seed + i``.
        """
        laws = np.array([one.packed for one in (self.fill_h, self.out_h, self.back_h, self.clean_h, self.pace_h)])
        times = _days(
            n_days, seed, self.n_carriers, np.array(self.amounts), np.array(self.release), laws, self.setback_chance, *self.setback_h
        )
        return Days(self, *np.moveaxis(times, 2, 0))


@dataclass(frozen=True, slots=True)
class Days:
    """Times of every load on every day, shape (days, loads), in the order in which loads were emptied. [h]

    Attributes
    ----------
    loop : HaulLoop
    fill_start, arrive, start, end : ndarray
        Filling begins, arrival at the sink, emptying begins and ends.
    amount : ndarray
        What each load held.
    """

    loop: HaulLoop
    fill_start: Floats
    arrive: Floats
    start: Floats
    end: Floats
    amount: Floats

    @property
    def finish(self) -> Floats:
        """End of the last load of each day. [h]"""
        return np.asarray(self.end[:, -1])

    @property
    def wait(self) -> Floats:
        """Waiting of each load at the sink. [h]"""
        return self.start - self.arrive

    @property
    def gap(self) -> Floats:
        """Idle time of the sink before each load but the first, shape (days, loads - 1). [h]"""
        return np.asarray(self.start[:, 1:] - self.end[:, :-1])

    @property
    def age(self) -> Floats:
        """From the start of filling to the last of each load. [h]"""
        return self.end - self.fill_start


def evenly(n: int, start: float, spacing: float) -> tuple[float, ...]:
    """Release times at one spacing."""
    return tuple(start + spacing * i for i in range(n))


def finite_source_busy(n_carriers: int, away: float, serve: float) -> float:
    """Share of time that a single server is busy with carriers that stay away and are served for exponential times.

    Parameters
    ----------
    n_carriers : int
    away, serve : float
        Mean times.

    Returns
    -------
    float
        1 - p0 of the machine-repair queue.
    """
    ratio, term, total = serve / away, 1.0, 1.0
    for k in range(n_carriers):
        term *= (n_carriers - k) * ratio
        total += term
    return 1.0 - 1.0 / total


@nb.njit(cache=True, inline="always")
def _draw(laws: Floats, k: int, stream: Stream) -> float:
    if laws[k, 0] == 1.0:
        return math.exp(laws[k, 1] + laws[k, 2] * normal(stream))
    if laws[k, 0] == 2.0:
        return exponential(stream, laws[k, 1])
    return float(laws[k, 1])


@nb.njit(cache=True, inline="always")
def _in_line(times: Floats, first: int, end: int, time: float) -> int:
    """Room for a time in a line that rises from ``first`` on, behind those that are not later; the later ones step back."""
    place = end
    while place > first and times[place - 1] > time:
        times[place] = times[place - 1]
        place -= 1
    times[place] = time
    return place


@nb.njit(cache=True)
def _day(
    stream: Stream,
    n_carriers: int,
    amounts: Floats,
    release: Floats,
    laws: Floats,
    chance: float,
    least: float,
    most: float,
    desk: Floats,
    out: Floats,
) -> None:
    """One day; ``out`` has a row per load in the order of emptying: fill start, arrival, start, end, amount.

    Carriers are alike, so two lines of times tell all of them: when each is back at the source, and when each that is on the way or
    waits comes to the sink, with the beginning of its fill and what it holds. ``desk`` is room for them, a row each.
    """
    n = len(amounts)
    home, arrive, filled, holds = desk[0], desk[1], desk[2], desk[3]
    home[:n_carriers] = 0.0
    source_free, sink_free = 0.0, 0.0
    given, emptied, back = 0, 0, n_carriers
    while emptied < n:
        fill_at, serve_at = np.inf, np.inf
        if given < n and given < back:
            fill_at = max(home[given], source_free, release[given])
        if emptied < given:
            serve_at = max(arrive[emptied], sink_free)
        if fill_at <= serve_at:
            source_free = fill_at + _draw(laws, 0, stream)
            away = _draw(laws, 1, stream)
            if chance > 0.0 and uniform(stream) <= chance:
                away += least + (most - least) * uniform(stream)
            place = _in_line(arrive, emptied, given, source_free + away)
            for k in range(given, place, -1):
                filled[k], holds[k] = filled[k - 1], holds[k - 1]
            filled[place], holds[place] = fill_at, amounts[given]
            given += 1
        else:
            sink_free = serve_at + holds[emptied] * _draw(laws, 4, stream)
            row = out[emptied]
            row[0], row[1], row[2], row[3], row[4] = filled[emptied], arrive[emptied], serve_at, sink_free, holds[emptied]
            _in_line(home, given, back, sink_free + _draw(laws, 3, stream) + _draw(laws, 2, stream))
            back += 1
            emptied += 1


@nb.njit(parallel=True, cache=True)
def _days(
    n_days: int, seed: int, n_carriers: int, amounts: Floats, release: Floats, laws: Floats, chance: float, least: float, most: float
) -> Floats:
    """Every day's loads, shape (days, loads, 5)."""
    times = np.empty((n_days, len(amounts), 5))
    n_parts = min(n_days, 64)
    for part in nb.prange(n_parts):
        desk = np.empty((4, len(amounts) + n_carriers))
        stream = np.empty(1, dtype=np.uint64)
        for day in range(part * n_days // n_parts, (part + 1) * n_days // n_parts):
            stream[0] = mixed(np.uint64(seed + day))
            _day(stream, n_carriers, amounts, release, laws, chance, least, most, desk, times[day])
    return times
