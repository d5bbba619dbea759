"""Heat flow through a section: a grid of rectangles of any materials, voids included, with a reaction inside.

For places where layers are not enough: a thick rim beside a thin plate. Finite volumes of second order, the same two-stage
time stepping as for layers, and the same bookkeeping of energy. x runs to the right, y downward from the top.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

from slabwright.errors import NotConverged, OutOfRange
from slabwright.solvers.heat.column import Balance, Film, Floats
from slabwright.solvers.hydration import Reaction

GAMMA = 1.0 - np.sqrt(0.5)
TOLERANCE_K = 1e-6
MOST_ITERATIONS = 30
STEPS_PER_FACTOR = 6
VOID = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a rectangle is made of; fields as those of :class:`~slabwright.solvers.heat.column.Layer`."""

    conductivity_w_mk: float
    heat_capacity_j_m3k: float
    reaction_j_m3: float = 0.0
    softening: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Section:
    """A grid of rectangles.

    Attributes
    ----------
    x_m, y_m : array (nx + 1), (ny + 1)
        Grid lines, ascending, y downward. [m]
    material : int array (ny, nx)
        Index into ``materials``; ``VOID`` where there is nothing.
    materials : tuple of Material
    """

    x_m: Floats
    y_m: Floats
    material: NDArray[np.int64]
    materials: tuple[Material, ...]

    def __post_init__(self) -> None:
        shape = (self.y_m.size - 1, self.x_m.size - 1)
        if self.material.shape != shape or np.any(np.diff(self.x_m) <= 0) or np.any(np.diff(self.y_m) <= 0):
            raise OutOfRange(f"a section needs rising grid lines and one material per rectangle (got {self.material.shape} for {shape}).")
        if not np.any(self.material >= 0):
            raise OutOfRange("a section needs at least one rectangle of matter.")

    @property
    def x_mid_m(self) -> Floats:
        """Centres across. [m]"""
        return np.asarray(0.5 * (self.x_m[1:] + self.x_m[:-1]))

    @property
    def y_mid_m(self) -> Floats:
        """Centres downward. [m]"""
        return np.asarray(0.5 * (self.y_m[1:] + self.y_m[:-1]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """Faces that meet a film: those of some materials toward the top (``up``) or toward a side.

    Attributes
    ----------
    film : Film
    up : bool
        True for top faces, False for left and right ones; only faces toward a void or the grid's top edge are exposed.
    materials : tuple of int
    """

    film: Film
    up: bool
    materials: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SectionRun:
    """Temperatures of a section over time.

    Attributes
    ----------
    times_s : array (n_times)
    temps_c : array (n_times, ny, nx)
        At the centres; not a number in a void. [°C]
    ages_s : array (n_times, ny, nx)
        Equivalent ages, nought where nothing reacts. [s]
    balance : Balance
        Per metre of the third direction; here J/m.
    """

    times_s: Floats
    temps_c: Floats
    ages_s: Floats
    balance: Balance


def conduct_section(
    section: Section,
    *,
    start_c: ArrayLike,
    exposures: Sequence[Exposure],
    bottom_c: float | None,
    duration_s: float,
    step_s: float,
    every: int = 1,
    reaction: Reaction | None = None,
) -> SectionRun:
    """Carry a section through time; faces without an exposure let nothing through.

    Parameters
    ----------
    section : Section
    start_c : float or array (ny, nx)
        [°C]
    exposures : sequence of Exposure
    bottom_c : float or None
        Temperature the grid's bottom edge is held at; None insulates it. [°C]
    duration_s, step_s : float
        [s]
    every : int
        Steps between records.
    reaction : Reaction, optional

    Raises
    ------
    NotConverged
        If a step finds no temperature.
    """
    body = _Body(section, exposures, bottom_c, reaction)
    n_steps = max(1, round(duration_s / step_s))
    temps = np.broadcast_to(np.asarray(start_c, dtype=float), section.material.shape)[body.solid].copy()
    ages = np.full(temps.size, body.reaction.start_age_s)
    first = body.sensible(temps), body.reacted(ages)
    shown, aged = [body.spread(temps)], [body.spread(ages, 0.0)]
    through = np.zeros(2)
    for k in range(n_steps):
        if k % STEPS_PER_FACTOR == 0:
            body.factor(ages, (k + 0.5) * step_s, GAMMA * step_s)
        temps, ages, gained = body.stride(temps, ages, k * step_s, step_s)
        through += gained
        if (k + 1) % every == 0:
            shown.append(body.spread(temps))
            aged.append(body.spread(ages, 0.0))
    balance = Balance(
        stored_j_m2=body.sensible(temps) - first[0],
        reacted_j_m2=body.reacted(ages) - first[1],
        sourced_j_m2=0.0,
        top_j_m2=float(through[0]),
        evaporated_j_m2=0.0,
        bottom_j_m2=float(through[1]),
    )
    times = np.arange(0, n_steps + 1, every, dtype=np.float64) * float(step_s)
    return SectionRun(times_s=times, temps_c=np.array(shown), ages_s=np.array(aged), balance=balance)


class _Body:
    """The solid rectangles in a row, their links and exposed faces."""

    def __init__(self, section: Section, exposures: Sequence[Exposure], bottom_c: float | None, reaction: Reaction | None) -> None:
        self.solid = section.material >= 0
        self.number = np.where(self.solid, np.cumsum(self.solid).reshape(self.solid.shape) - 1, -1)
        self.n = int(self.solid.sum())
        kind = section.material[self.solid]
        self.dx = np.broadcast_to(np.diff(section.x_m)[None, :], self.solid.shape)[self.solid]
        self.dy = np.broadcast_to(np.diff(section.y_m)[:, None], self.solid.shape)[self.solid]
        area = self.dx * self.dy
        self.capacity = area * np.array([m.heat_capacity_j_m3k for m in section.materials])[kind]
        self.heat = area * np.array([m.reaction_j_m3 for m in section.materials])[kind]
        self.fresh = np.array([m.conductivity_w_mk for m in section.materials])[kind]
        self.softening = np.array([m.softening for m in section.materials])[kind]
        self.reaction = reaction or Reaction(ultimate=0.0, tau_s=1.0, beta=1.0, activation_j_mol=0.0)
        beside = self.solid[:, :-1] & self.solid[:, 1:]
        below = self.solid[:-1] & self.solid[1:]
        self.across = self.number[:, :-1][beside], self.number[:, 1:][beside]
        self.down = self.number[:-1][below], self.number[1:][below]
        self.faces = [(exposure.film, *self._exposed(section, exposure)) for exposure in exposures]
        self.bottom_c = bottom_c
        self.foot = self.number[-1][self.solid[-1]]
        self._lu: Any = None

    def _exposed(self, section: Section, exposure: Exposure) -> tuple[NDArray[np.int64], Floats, Floats]:
        """Cells, face lengths and half depths of an exposure."""
        wanted = np.isin(section.material, exposure.materials)
        empty = np.pad(~self.solid, 1, constant_values=False)
        empty[0] = True
        if exposure.up:
            cells = self.number[wanted & empty[:-2, 1:-1]]
            return cells, self.dx[cells], 0.5 * self.dy[cells]
        left, right = self.number[wanted & empty[1:-1, :-2]], self.number[wanted & empty[1:-1, 2:]]
        cells = np.concatenate([left, right])
        return cells, self.dy[cells], 0.5 * self.dx[cells]

    def spread(self, values: Floats, void: float = np.nan) -> Floats:
        """Values of the solid back on the grid."""
        grid = np.full(self.solid.shape, void)
        grid[self.solid] = values
        return grid

    def sensible(self, temps: Floats) -> float:
        return float(self.capacity @ temps)

    def reacted(self, ages: Floats) -> float:
        return float(self.heat @ self.reaction.degree(ages))

    def _conductivity(self, ages: Floats) -> Floats:
        if self.reaction.ultimate <= 0:
            return self.fresh
        return np.asarray(self.fresh * (1.0 - self.softening * self.reaction.degree(ages) / self.reaction.ultimate))

    def _links(self, k: Floats) -> tuple[Floats, Floats]:
        (a, b), (c, d) = self.across, self.down
        sideways = 0.5 * (self.dy[a] + self.dy[b]) / (0.5 * self.dx[a] / k[a] + 0.5 * self.dx[b] / k[b])
        downward = 0.5 * (self.dx[c] + self.dx[d]) / (0.5 * self.dy[c] / k[c] + 0.5 * self.dy[d] / k[d])
        return sideways, downward

    def _outlets(self, k: Floats, time_s: float) -> list[tuple[NDArray[np.int64], Floats, float]]:
        """Cells, conductance to what they meet and its temperature, for every exposed face and the held bottom."""
        outlets = []
        for film, cells, length, half in self.faces:
            coefficient, temp = _value(film.coefficient_w_m2k, time_s), _value(film.temp_c, time_s)
            outlets.append((cells, length / (1.0 / max(coefficient, 1e-9) + half / k[cells]), temp))
        if self.bottom_c is not None:
            outlets.append((self.foot, self.dx[self.foot] * k[self.foot] / (0.5 * self.dy[self.foot]), self.bottom_c))
        return outlets

    def factor(self, ages: Floats, time_s: float, weight: float) -> None:
        """Factor ``C + weight * K`` at a moment; iterations of the steps that follow use it."""
        k = self._conductivity(ages)
        sideways, downward = self._links(k)
        i = np.concatenate([self.across[0], self.down[0]])
        j = np.concatenate([self.across[1], self.down[1]])
        link = np.concatenate([sideways, downward])
        diagonal = np.bincount(i, link, self.n) + np.bincount(j, link, self.n)
        for cells, outlet, _ in self._outlets(k, time_s):
            diagonal += np.bincount(cells, outlet, self.n)
        everyone = np.arange(self.n)
        rows, columns = np.concatenate([everyone, i, j]), np.concatenate([everyone, j, i])
        entries = np.concatenate([self.capacity + weight * diagonal, -weight * link, -weight * link])
        matrix = coo_matrix((entries, (rows, columns)), shape=(self.n, self.n)).tocsc()
        self._lu = splu(matrix, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})

    def _flow(
        self, temps: Floats, links: tuple[Floats, Floats], outlets: list[tuple[NDArray[np.int64], Floats, float]]
    ) -> tuple[Floats, Floats]:
        """Heat into every rectangle, and through exposed faces and bottom."""
        flow, through = np.zeros(self.n), np.zeros(2)
        for (i, j), link in zip((self.across, self.down), links, strict=True):
            passed = link * (temps[i] - temps[j])
            flow += np.bincount(j, passed, self.n) - np.bincount(i, passed, self.n)
        for number, (cells, outlet, temp) in enumerate(outlets):
            gained = outlet * (temp - temps[cells])
            flow += np.bincount(cells, gained, self.n)
            through[int(number >= len(self.faces))] += gained.sum()
        return flow, through

    def _stage(self, rhs: Floats, age_rhs: Floats, temps: Floats, time_s: float, weight: float) -> tuple[Floats, Floats, Floats]:
        """Solve one implicit stage by iterating with the factored matrix."""
        k = self._conductivity(age_rhs + weight * self.reaction.clock_rate(temps))
        links, outlets = self._links(k), self._outlets(k, time_s)
        for _ in range(MOST_ITERATIONS):
            ages = age_rhs + weight * self.reaction.clock_rate(temps)
            flow, through = self._flow(temps, links, outlets)
            residual = rhs + weight * flow + self.heat * self.reaction.degree(ages) - self.capacity * temps
            move = self._lu.solve(residual)
            temps = temps + move
            largest = float(np.abs(move).max())
            if largest < TOLERANCE_K:
                return temps, ages, through
            if not largest < 1e5:
                break
        raise NotConverged(f"heat flow through the section found no temperature at {time_s:g} s; shorten the step.")

    def stride(self, temps: Floats, ages: Floats, time_s: float, h: float) -> tuple[Floats, Floats, Floats]:
        """One step of two stages; heat through the faces is what the stages agree on."""
        weight, carry = GAMMA * h, (1.0 - GAMMA) / GAMMA
        enthalpy = self.capacity * temps - self.heat * self.reaction.degree(ages)
        mid, mid_ages, one = self._stage(enthalpy, ages, temps, time_s + weight, weight)
        gained = self.capacity * mid - self.heat * self.reaction.degree(mid_ages) - enthalpy
        end, end_ages, two = self._stage(
            enthalpy + carry * gained, ages + carry * (mid_ages - ages), mid + carry * (mid - temps), time_s + h, weight
        )
        return end, end_ages, h * ((1.0 - GAMMA) * one + GAMMA * two)


def _value(series: Any, time_s: float) -> float:
    return float(np.asarray(series(np.array([time_s]))).ravel()[0]) if callable(series) else float(series)
