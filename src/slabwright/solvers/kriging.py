"""Best linear unbiased estimate of a field at places between its values, for a known variogram."""

from dataclasses import dataclass
from enum import Enum

import numpy as np
import scipy.linalg

from slabwright.errors import OutOfRange
from slabwright.solvers.least_squares import Floats
from slabwright.solvers.variogram import Variogram


class Trend(Enum):
    """Mean of the field: nought, unknown and level, or an unknown plane."""

    NONE = 0
    LEVEL = 1
    PLANE = 3

    def terms(self, points: Floats) -> Floats:
        """Columns of the trend at points, (n, 0), (n, 1) or (n, 3)."""
        return np.column_stack([np.ones(len(points)), points])[:, : self.value]


@dataclass(frozen=True, slots=True, eq=False)
class Kriged:
    """Estimate at nodes.

    Attributes
    ----------
    mean, variance : (g,) float
        Variance of the true value about the estimate.
    weights : (g, n) float
        Weight of every value in every estimate.
    """

    mean: Floats
    variance: Floats
    weights: Floats


def kriged(
    variogram: Variogram,
    points: Floats,
    values: Floats,
    nodes: Floats,
    *,
    trend: Trend = Trend.LEVEL,
    noise_variance: Floats | float = 0.0,
) -> Kriged:
    """Kriging with a known variogram: simple, ordinary or with a plane drift.

    Parameters
    ----------
    variogram : Variogram
    points : (n, d) float
    values : (n,) float
    nodes : (g, d) float
    trend : Trend
    noise_variance : float or (n,) float
        Variance of the instrument: in the values, not in the field.

    Raises
    ------
    OutOfRange
        If points coincide and nothing tells their values apart.
    """
    points, nodes = np.asarray(points, dtype=float), np.asarray(nodes, dtype=float)
    among = variogram.covariance(points, points)
    among[np.diag_indices(len(points))] += noise_variance
    try:
        factor = scipy.linalg.cho_factor(among, lower=True)
    except np.linalg.LinAlgError:
        raise OutOfRange("two values stand on one spot and the variogram has neither nugget nor noise.") from None
    across = variogram.covariance(nodes, points)
    weights = scipy.linalg.cho_solve(factor, across.T).T
    variance = variogram.sill + variogram.nugget - np.einsum("ij,ij->i", weights, across)
    terms, wanted = trend.terms(points), trend.terms(nodes)
    if trend.value:
        solved = scipy.linalg.cho_solve(factor, terms)
        information = terms.T @ solved
        gap = np.linalg.solve(information, (wanted - weights @ terms).T).T
        weights = weights + gap @ solved.T
        variance = variance + np.einsum("ij,jk,ik->i", gap, information, gap)
    return Kriged(weights @ np.asarray(values, dtype=float), np.maximum(variance, 0.0), weights)
