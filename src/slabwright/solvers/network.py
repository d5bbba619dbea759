"""Adjustment of points in a plane, or of heights, from redundant measurements.

Points carry approximate coordinates; measurements are distances, angles, directions in rounds, single coordinates
or height differences, each with its standard error. Held points do not move; where nothing holds the figure in
place it is a free network, and its place and turn are those that move the approximate points least.

The mathematics is that of any text on adjustment computations.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from slabwright.errors import NotConverged, OutOfRange
from slabwright.solvers.least_squares import Floats, Rows, cofactors, loose_directions, redundancies, step, unknowns_to_hold
from slabwright.solvers.measurements import Kind, Measured, Observation

_MAX_STEPS = 40


@dataclass(frozen=True, slots=True, eq=False)
class Adjustment:
    """Adjusted points and how well they are known.

    Attributes
    ----------
    points : (n, 2) or (n, 1) float
        Adjusted coordinates, or heights.
    cofactor : (2n, 2n) or (n, n) float
        Covariance for a unit error of 1; nought for held points.
    residuals : (m,) float
        Adjusted minus measured.
    redundancies : (m,) float
        Share of each measurement's error that shows in its residual, 0 to 1.
    standardised : (m,) float
        Residual over its own standard error; nought where the measurement is unchecked.
    n_redundant : int
    square_sum : float
        Weighted sum of squared residuals.
    """

    points: Floats
    cofactor: Floats
    residuals: Floats
    redundancies: Floats
    standardised: Floats
    n_redundant: int
    square_sum: float

    @property
    def unit_error(self) -> float:
        """Standard error of unit weight from the residuals: 1 where the instruments did as stated."""
        return math.sqrt(self.square_sum / self.n_redundant) if self.n_redundant else 1.0

    def deviations(self, unit_error: float = 1.0) -> Floats:
        """Standard errors of the coordinates, shaped like ``points``.

        Parameters
        ----------
        unit_error : float
            1 to trust the stated instruments, :attr:`unit_error` to trust the residuals.
        """
        return unit_error * np.sqrt(np.maximum(np.diag(self.cofactor), 0.0)).reshape(self.points.shape)

    def ellipses(self, unit_error: float = 1.0) -> Floats:
        """Standard error ellipses of plane points.

        Returns
        -------
        (n, 3) float
            Half axes, greater first, and the direction of the greater from the x axis [rad].
        """
        n = len(self.points)
        index = 2 * np.arange(n)
        xx, yy = self.cofactor[index, index], self.cofactor[index + 1, index + 1]
        xy = self.cofactor[index, index + 1]
        half, radius = (xx + yy) / 2, np.hypot((xx - yy) / 2, xy)
        axes = unit_error * np.sqrt(np.maximum(np.column_stack([half + radius, half - radius]), 0.0))
        return np.column_stack([axes, 0.5 * np.arctan2(2 * xy, xx - yy)])

    def probability_of_fit(self) -> float:
        """Chance that residuals this large or larger come from instruments as good as stated."""
        import scipy.special

        return float(scipy.special.chdtrc(self.n_redundant, self.square_sum)) if self.n_redundant else 1.0


def ellipse_factor(confidence: float) -> float:
    """What a standard ellipse is multiplied by to hold a point with a given confidence; 2.448 for 95 %."""
    return math.sqrt(-2.0 * math.log1p(-confidence))


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """Points with approximate coordinates, which of them are held, and what was measured.

    Attributes
    ----------
    points : (n, 2) float, or (n, 1) for heights
    held : (n,) bool
    observations : sequence of Observation
    """

    points: Floats
    held: NDArray[np.bool_]
    observations: Sequence[Observation]

    def __post_init__(self) -> None:
        if not len(self.observations):
            raise OutOfRange("a network needs at least one measurement.")
        bad = [number for number, one in enumerate(self.observations) if not (one.sd > 0.0 and math.isfinite(one.value))]
        if bad:
            raise OutOfRange(f"measurement {bad[0] + 1} needs a finite value and a standard error above nought.")
        flat = self.points.shape[1] == 1
        if any((one.kind is Kind.RISE) is not flat for one in self.observations):
            raise OutOfRange("height differences are adjusted apart from measurements in plan.")

    def adjusted(self) -> Adjustment:
        """Least-squares adjustment.

        Raises
        ------
        Mechanism
            If the measurements leave a point undetermined; :meth:`missing` says what would hold it.
        NotConverged
            If the corrections do not die out, which happens with gross errors or far-off approximate points.
        """
        system = _System(self)
        state = system.start
        for _ in range(_MAX_STEPS):
            state = system.solved(state)
            state, moved = system.recentred(state)
            if not moved:
                break
        return system.judged(state)

    def missing(self) -> tuple[tuple[int, ...], tuple[tuple[int, int], ...]]:
        """What the measurements leave undetermined, and a way to determine it.

        Returns
        -------
        loose : tuple of int
            Points that can move without any measurement noticing; empty where all is determined.
        measure : tuple of (int, int)
            Pairs of points between which a further distance (or rise) would hold everything, fewest first found.
        """
        system = _System(self)
        rows, _ = system.linearised(system.start)
        whole = system.free_directions(system.start)
        loose = system.per_point(loose_directions(rows, whole))
        if not loose.shape[2]:
            return (), ()
        loose = _stillest(loose, system.per_point(whole), {(one.at, one.to) for one in self.observations})
        size = np.sqrt((loose**2).sum(axis=(1, 2)))
        names = tuple(int(i) for i in np.flatnonzero(size > 1e-6 * size.max()))
        return names, _pairs_that_hold(self.points, loose, names)


def _stillest(loose: Floats, whole: Floats, pairs: set[tuple[int, int]]) -> Floats:
    """The free motions, with shifts and turns of the whole added so that as many points as can be stay where they are."""
    best, most = loose, -1
    for pair in pairs if whole.shape[2] else ():
        there = [i for i in pair if i >= 0]
        amounts, *_ = np.linalg.lstsq(whole[there].reshape(-1, whole.shape[2]), -loose[there].reshape(-1, loose.shape[2]), rcond=None)
        trial = loose + whole @ amounts
        size = np.sqrt((trial**2).sum(axis=(1, 2)))
        still = int((size <= 1e-6 * size.max()).sum())
        if still > most:
            best, most = trial, still
    return best


def _pairs_that_hold(points: Floats, motion: Floats, loose: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    """Greedy choice of pairs whose distance (or rise) sees the remaining free motion best."""
    pairs = [pair for pair in combinations(range(len(points)), 2) if set(pair) & set(loose)]
    first, second = np.array(pairs).T
    along = points[second] - points[first] if points.shape[1] == 2 else np.ones((len(pairs), 1))
    along = along / np.maximum(np.linalg.norm(along, axis=1, keepdims=True), 1e-12)
    seen = np.einsum("pa,pam->pm", along, motion[second] - motion[first])
    chosen = []
    while np.linalg.norm(seen, axis=1).max() > 1e-6:
        best = int(np.linalg.norm(seen, axis=1).argmax())
        chosen.append(pairs[best])
        unit = seen[best] / np.linalg.norm(seen[best])
        seen = seen - np.outer(seen @ unit, unit)
    return tuple(chosen)


class _System:
    """The unknowns of a network, its linear form, and the steps of its solution."""

    def __init__(self, network: Network) -> None:
        self.network = network
        dim = network.points.shape[1]
        self.moving = np.flatnonzero(~network.held)
        self.n_coordinates = dim * len(self.moving)
        column = np.full(len(network.points) + 1, -1, dtype=np.int64)
        column[self.moving] = dim * np.arange(len(self.moving))
        self.measured = Measured(network.observations, column, self.n_coordinates)
        self.n_unknowns = self.measured.n_unknowns
        self.start = np.concatenate([network.points[self.moving].astype(float).ravel(), self.measured.orientations(network.points)])
        self.size = max(1.0, float(np.ptp(network.points, axis=0).max()))

    def points(self, state: Floats) -> Floats:
        """All points, held ones included."""
        points = self.network.points.astype(float).copy()
        points[self.moving] = state[: self.n_coordinates].reshape(-1, points.shape[1])
        return points

    def linearised(self, state: Floats) -> tuple[Rows, Floats]:
        """Rows of derivatives, and measured minus computed."""
        return self.measured.linearised(self.points(state), state[self.n_coordinates :])

    def free_directions(self, state: Floats) -> Floats:
        """Shifts, turn and stretch of the whole figure that no measurement notices, as orthonormal columns."""
        rows, _ = self.linearised(state)
        candidates = self._whole_figure(self.points(state)[self.moving])
        left, size, _ = np.linalg.svd(candidates, full_matrices=False)
        basis = left[:, size > 1e-9 * max(size.max(initial=0.0), 1e-300)]
        seen = rows.matrix() @ basis * np.sqrt(self.measured.weight / self.measured.weight.max())[:, None]
        _, size, right = np.linalg.svd(np.vstack([seen, np.zeros((basis.shape[1], basis.shape[1]))]), full_matrices=False)
        return np.asarray(basis @ right[size < 1e-9 * max(1.0, size.max(initial=0.0))].T)

    def _whole_figure(self, points: Floats) -> Floats:
        """Shifts in each axis, turn and stretch of all moving points; about the held one where one is held."""
        n, dim = points.shape
        held = self.network.points[self.network.held]
        if len(held) > 1 or not n:
            return np.zeros((self.n_unknowns, 0))
        motions = [np.tile(axis, (n, 1)) for axis in np.eye(dim)] if not len(held) else []
        if dim == 2:
            away = (points - (held[0] if len(held) else points.mean(axis=0))) / self.size
            motions += [away @ np.array([[0.0, 1.0], [-1.0, 0.0]]), away]
        columns = np.zeros((self.n_unknowns, len(motions)))
        columns[: self.n_coordinates] = np.array([motion.ravel() for motion in motions]).T.reshape(self.n_coordinates, len(motions))
        if dim == 2:
            columns[self.n_coordinates :, -2] = -1.0 / self.size
        return columns

    def per_point(self, directions: Floats) -> Floats:
        """Directions of the unknowns as motions of all points, (n, dim, d)."""
        dim = self.network.points.shape[1]
        motion = np.zeros((len(self.network.points), dim, directions.shape[1]))
        motion[self.moving] = directions[: self.n_coordinates].reshape(len(self.moving), dim, -1)
        return motion

    def solved(self, state: Floats) -> Floats:
        """Corrected until the corrections die out."""
        if not self.n_unknowns:
            return state
        held = unknowns_to_hold(self.free_directions(state))
        for _ in range(_MAX_STEPS):
            rows, misclosure = self.linearised(state)
            correction = step(rows, misclosure, held)
            state = state + correction
            if not np.isfinite(correction).all() or np.abs(correction).max() > 1e3 * self.size:
                break
            if np.abs(correction[: self.n_coordinates]).max(initial=0.0) < 1e-10 * self.size:
                return state
        raise NotConverged("the adjustment does not settle; look for a gross error, swapped points or far-off approximate points.")

    def recentred(self, state: Floats) -> tuple[Floats, bool]:
        """A free figure put back over its approximate points; True where that moved it."""
        directions = self.free_directions(state)
        if not directions.shape[1]:
            return state, False
        away = state - self.start
        away[self.n_coordinates :] = 0.0
        coordinates = directions[: self.n_coordinates]
        amounts, *_ = np.linalg.lstsq(coordinates, away[: self.n_coordinates], rcond=None)
        shift = directions @ amounts
        return state - shift, bool(np.abs(shift[: self.n_coordinates]).max(initial=0.0) > 1e-9 * self.size)

    def _for_all(self, cofactor: Floats) -> Floats:
        """The cofactor matrix with noughts for held points."""
        if not self.network.held.any():
            return cofactor
        dim = self.network.points.shape[1]
        whole = np.zeros((self.network.points.size, self.network.points.size))
        place = (dim * self.moving[:, None] + np.arange(dim)).ravel()
        whole[np.ix_(place, place)] = cofactor
        return whole

    def judged(self, state: Floats) -> Adjustment:
        """Residuals and cofactors at the solution."""
        rows, misclosure = self.linearised(state)
        directions = self.free_directions(state)
        inner = directions.copy()
        inner[self.n_coordinates :] = 0.0
        cofactor = cofactors(rows, directions, inner)
        redundancy = redundancies(rows, cofactor)
        residuals = -misclosure
        checked = redundancy > 1e-9
        standardised = np.zeros(len(residuals))
        weight = self.measured.weight
        standardised[checked] = residuals[checked] * np.sqrt(weight[checked] / redundancy[checked])
        return Adjustment(
            points=self.points(state),
            cofactor=self._for_all(cofactor[: self.n_coordinates, : self.n_coordinates]),
            residuals=residuals,
            redundancies=redundancy,
            standardised=standardised,
            n_redundant=len(residuals) - self.n_unknowns + directions.shape[1],
            square_sum=float(weight @ residuals**2),
        )
