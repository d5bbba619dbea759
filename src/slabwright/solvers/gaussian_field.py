"""A surface known at scattered points, with its uncertainty: a Gaussian field whose variogram is not known either.

Candidate variograms (shape, length, share of nugget) are weighted by how likely they make the values, with the
trend and the variance integrated out (restricted likelihood, flat priors); estimates and simulations run over all
that matter. With few values this is what keeps stated chances honest: one best variogram would claim too much. For a
given variogram the estimate is kriging with an unknown trend and follows Student's t.

What changes within less than the spacing of the values is no noise but small bumps: they are given a length of their
own, a fraction of the spacing, so that a value speaks for its surroundings as far as a bump reaches. The instrument's
scatter is part of the values and no part of the field.
"""

import math
from dataclasses import dataclass

import numpy as np
import scipy.linalg
from scipy.spatial import cKDTree
from scipy.spatial.distance import cdist

from slabwright.errors import OutOfRange
from slabwright.solvers.kriging import Trend
from slabwright.solvers.least_squares import Floats
from slabwright.solvers.variogram import COINCIDENT, Shape, Variogram

_SHAPES = (Shape.EXPONENTIAL, Shape.MATERN_32)
_NUGGET_SHARES = (0.03, 0.2, 0.5, 0.85)
_N_LENGTHS = 5
_MOST_FOR_LIKELIHOOD = 240
_LEAST_WEIGHT = 0.01
_BUMP_LENGTH = 0.2
"""Length of the short bumps over the spacing of the values; at the spacing itself their correlation is 0.2 %. Over
500 synthetic sites of many forms this length made the stated scatter of the mean come out right (ratio 1.03)."""
_WORK = 1.5e9
"""Multiplications allowed for candidates beyond the first."""


@dataclass(frozen=True, slots=True, eq=False)
class _Candidate:
    """A variogram scaled to a total variance of 1, solved for the values.

    The parts of the variance: ``1 - nugget`` over the length, ``bumps`` over the short length, the rest the instrument's.
    """

    shape: Shape
    length: float
    nugget: float
    bumps: float
    bump_length: float
    factor: Floats
    solved_terms: Floats
    information_factor: Floats
    trend: Floats
    dual: Floats
    square_sum: float
    log_likelihood: float


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """The fitted field; made by :func:`fitted_field`.

    Attributes
    ----------
    points : (n, 2) float
    values : (n,) float
    noise_sd : float
    trend : Trend
    candidates : tuple of candidates
    weights : (k,) float
        How much each candidate counts; they sum to 1.
    """

    points: Floats
    values: Floats
    noise_sd: float
    trend: Trend
    candidates: tuple[_Candidate, ...]
    weights: Floats

    @property
    def freedom(self) -> int:
        """Values beyond what the trend takes."""
        return len(self.values) - self.trend.value

    @property
    def variogram(self) -> Variogram:
        """The weightiest candidate; the short bumps stand as its nugget, the instrument's share is left out."""
        best = self.candidates[int(np.argmax(self.weights))]
        variance = best.square_sum / self.freedom
        return Variogram(shape=best.shape, sill=variance * (1.0 - best.nugget), length=best.length, nugget=variance * best.bumps)

    def at(self, nodes: Floats) -> "FieldAt":
        """The true surface at nodes, (g, 2), as far as the values tell it."""
        return FieldAt(self, np.asarray(nodes, dtype=float))


def _covariance(candidate: _Candidate, a: Floats, b: Floats) -> Floats:
    """Of the true surface between two sets of places, for a total variance of 1."""
    distance = cdist(a, b)
    covariance = candidate.shape.correlation(distance / candidate.length)
    covariance *= 1.0 - candidate.nugget
    if candidate.bumps > 0.0:
        covariance += candidate.bumps * Shape.MATERN_32.correlation(distance / candidate.bump_length)
    return covariance


class FieldAt:
    """A fitted field looked at in some places.

    Attributes
    ----------
    mean, sd : (g,) float
        Estimate of the true surface and its standard deviation.
    """

    def __init__(self, field: Field, nodes: Floats) -> None:
        self.field, self.nodes = field, nodes
        terms = field.trend.terms(nodes)
        self._parts: list[tuple[Floats, Floats, Floats]] = []
        mean, square = np.zeros(len(nodes)), np.zeros(len(nodes))
        for weight, candidate in zip(field.weights, field.candidates, strict=True):
            across = _covariance(candidate, nodes, field.points).T
            estimate = terms @ candidate.trend + candidate.dual @ across
            gap = terms - (candidate.solved_terms.T @ across).T
            gap = scipy.linalg.solve_triangular(candidate.information_factor, gap.T, lower=True).T if gap.size else gap
            half = scipy.linalg.blas.dtrsm(1.0, candidate.factor, across, lower=1, overwrite_b=1)
            share = 1.0 - candidate.nugget + candidate.bumps
            variance = share - np.einsum("ij,ij->j", half, half) + np.einsum("ij,ij->i", gap, gap)
            mean += weight * estimate
            square += weight * (np.maximum(variance, 0.0) * candidate.square_sum / max(field.freedom - 2, 1) + estimate**2)
            self._parts.append((estimate, half, gap))
        self.mean = mean
        self.sd = np.sqrt(np.maximum(square - mean**2, 0.0))

    def simulate(self, n: int, rng: np.random.Generator) -> Floats:
        """Equally likely true surfaces that agree with the values, (n, g); the nodes must be distinct."""
        drawn = []
        for number, count in self._shared_out(n, rng):
            estimate, half, gap = self._parts[number]
            candidate = self.field.candidates[number]
            spread = _covariance(candidate, self.nodes, self.nodes).T
            spread[np.diag_indices(len(self.nodes))] += 1e-9
            spread = scipy.linalg.blas.dsyrk(-1.0, half, beta=1.0, c=spread, trans=1, lower=1, overwrite_c=1)
            spread += gap @ gap.T
            lower, info = scipy.linalg.lapack.dpotrf(spread, lower=1, clean=0, overwrite_a=1)
            if info:
                raise OutOfRange("two nodes of the simulation coincide.")
            draws = rng.standard_normal((count, len(self.nodes))).T
            draws = scipy.linalg.blas.dtrmm(1.0, lower, draws, lower=1, overwrite_b=1)
            draws *= np.sqrt(candidate.square_sum / rng.chisquare(self.field.freedom, count))
            drawn.append(draws.T + estimate)
        return np.asarray(np.vstack(drawn)[rng.permutation(n)]) if len(drawn) > 1 else drawn[0]

    def simulate_average(self, node_weights: Floats, n: int, rng: np.random.Generator) -> Floats:
        """Draws of the weighted mean of the surface over the nodes, (n,), without simulating the surface itself."""
        share = np.asarray(node_weights, dtype=float) / np.sum(node_weights)
        counts = rng.multinomial(n, self.field.weights)
        drawn = []
        for candidate, (estimate, half, gap), count in zip(self.field.candidates, self._parts, counts, strict=True):
            spread = share @ _covariance(candidate, self.nodes, self.nodes) @ share
            variance = spread - np.square(half @ share).sum() + np.square(share @ gap).sum()
            scale = np.sqrt(max(float(variance), 0.0) * candidate.square_sum / rng.chisquare(self.field.freedom, count))
            drawn.append(float(estimate @ share) + scale * rng.standard_normal(count))
        return rng.permutation(np.concatenate(drawn))

    def _shared_out(self, n: int, rng: np.random.Generator) -> list[tuple[int, int]]:
        """Candidates with how many draws each gets: all in proportion where that is cheap, else a fair sample of them."""
        cost = len(self.nodes) ** 2 * (len(self.nodes) / 3.0 + len(self.field.values))
        n_distinct = min(n, 1 + int(_WORK / cost))
        weights = self.field.weights
        if n_distinct == 1:
            return [(int(np.argmax(weights)), n)]
        steps = (rng.random() + np.arange(n_distinct)) / n_distinct
        chosen = np.minimum(np.searchsorted(np.cumsum(weights), steps), len(weights) - 1)
        draws = np.diff(np.linspace(0, n, n_distinct + 1).round().astype(int))
        totals = np.bincount(chosen, draws, minlength=len(weights)).astype(int)
        return [(int(number), int(totals[number])) for number in np.flatnonzero(totals)]


def fitted_field(points: Floats, values: Floats, *, noise_sd: float = 0.0, trend: Trend = Trend.PLANE) -> Field:
    """Fit a field to scattered values.

    Parameters
    ----------
    points : (n, 2) float
        Distinct places.
    values : (n,) float
    noise_sd : float
        Standard deviation of the instrument, in the unit of the values.
    trend : Trend

    Raises
    ------
    OutOfRange
        For too few values, values that are not finite, or points that coincide.
    """
    points, values = np.asarray(points, dtype=float), np.asarray(values, dtype=float)
    n = len(values)
    if n < trend.value + 3:
        raise OutOfRange(f"a surface with this trend needs {trend.value + 3} values or more (got {n}).")
    if not (np.isfinite(points).all() and np.isfinite(values).all()):
        raise OutOfRange("points and values must be finite numbers.")
    nearest = np.asarray(cKDTree(points).query(points, k=2)[0])[:, 1]
    if nearest.min() < COINCIDENT:
        raise OutOfRange("two values stand on one spot; average them or set one aside.")
    centre = points.mean(axis=0)
    if np.linalg.matrix_rank(trend.terms(points - centre)) < trend.value:
        raise OutOfRange("the points lie on one line; a plane needs points beside it.")
    spacing = float(np.median(nearest))
    few = np.sort(np.random.default_rng(0).permutation(n)[:_MOST_FOR_LIKELIHOOD])
    forms = _candidate_forms(points, spacing)
    tried = [_solved(points[few], values[few], noise_sd, trend, *form) for form in forms]
    weights = np.exp([one.log_likelihood - max(other.log_likelihood for other in tried) for one in tried])
    weights /= weights.sum()
    order = np.argsort(-weights)
    order = order[weights[order] > _LEAST_WEIGHT * weights.max()][: 1 + int(_WORK / (4.0 * n**3))]
    kept = []
    for i in order:
        shape, length, nugget = forms[i]
        noise = min(nugget, noise_sd**2 * (len(few) - trend.value) / tried[i].square_sum)
        kept.append(_solved(points, values, noise_sd, trend, shape, length, nugget, nugget - noise, _BUMP_LENGTH * spacing))
    return Field(points, values, noise_sd, trend, tuple(kept), weights[order] / weights[order].sum())


def _candidate_forms(points: Floats, spacing: float) -> list[tuple[Shape, float, float]]:
    across = float(np.linalg.norm(np.ptp(points, axis=0)))
    lengths = np.geomspace(0.5 * spacing, max(across, spacing), _N_LENGTHS)
    smooth = [(shape, float(length), share) for shape in _SHAPES for length in lengths for share in _NUGGET_SHARES]
    return [*smooth, (Shape.EXPONENTIAL, spacing, 1.0)]


def _solved(
    points: Floats,
    values: Floats,
    noise_sd: float,
    trend: Trend,
    shape: Shape,
    length: float,
    nugget: float,
    bumps: float = 0.0,
    bump_length: float = 1.0,
) -> _Candidate:
    """Generalised least squares of the trend and the restricted likelihood, for a total variance of 1."""
    n, p = len(values), trend.value
    distance = cdist(points, points)
    correlation = shape.correlation(distance / length).T
    correlation *= 1.0 - nugget
    if bumps > 0.0:
        correlation += bumps * Shape.MATERN_32.correlation(distance / bump_length).T
    correlation[np.diag_indices(n)] = 1.0
    factor, info = scipy.linalg.lapack.dpotrf(correlation, lower=1, clean=1, overwrite_a=1)
    if info:
        raise OutOfRange("two values stand on one spot.")
    terms = trend.terms(points)
    both = scipy.linalg.cho_solve((factor, True), np.column_stack([terms, values]), check_finite=False)
    solved_terms, solved_values = both[:, :p], both[:, p]
    information_factor = np.asarray(np.linalg.cholesky(terms.T @ solved_terms), dtype=np.float64)
    coefficients = scipy.linalg.cho_solve((information_factor, True), terms.T @ solved_values) if p else np.zeros(0)
    dual = solved_values - solved_terms @ coefficients
    floor = (n - p) * max(noise_sd, 1e-9 * max(1.0, float(np.abs(values).max()))) ** 2
    square_sum = max(float((values - terms @ coefficients) @ dual), floor)
    log_determinants = np.log(np.diag(factor)).sum() + np.log(np.diag(information_factor)).sum()
    log_likelihood = float(-log_determinants - 0.5 * (n - p) * math.log(square_sum))
    form = (shape, length, nugget, bumps, bump_length)
    return _Candidate(*form, factor, solved_terms, information_factor, coefficients, dual, square_sum, log_likelihood)
