"""How the difference of two values grows with the distance between them: measured, modelled, fitted."""

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from scipy.spatial.distance import cdist, pdist

from slabwright.errors import OutOfRange
from slabwright.solvers.least_squares import Floats


class Shape(Enum):
    """Form of the correlation with distance h over length a."""

    EXPONENTIAL = "exponential"
    SPHERICAL = "spherical"
    MATERN_32 = "Matern 3/2"
    GAUSSIAN = "gaussian"

    def correlation(self, relative: Floats) -> Floats:
        """Correlation at h / a: exp(-h/a); 1 - 1.5 h/a + 0.5 (h/a)^3 within a; (1 + s) exp(-s) with s = 3^½ h/a; exp(-(h/a)²)."""
        if self is Shape.EXPONENTIAL:
            return np.exp(-relative)
        if self is Shape.SPHERICAL:
            near = np.minimum(relative, 1.0)
            return np.asarray(1.0 - 1.5 * near + 0.5 * near**3)
        if self is Shape.MATERN_32:
            scaled = math.sqrt(3.0) * relative
            return np.asarray((1.0 + scaled) * np.exp(-scaled))
        return np.exp(-(relative**2))


@dataclass(frozen=True, slots=True, kw_only=True)
class Variogram:
    """gamma(h) = nugget + sill (1 - correlation(h / length)) for h > 0.

    Attributes
    ----------
    shape : Shape
    sill : float
        Variance of the part that is correlated over distance.
    length : float
    nugget : float
        Variance of what changes within less than the spacing of the values.
    """

    shape: Shape
    sill: float
    length: float
    nugget: float = 0.0

    def semivariance(self, distance: Floats) -> Floats:
        """Half the mean squared difference at a distance; nought at nought."""
        return np.where(distance > 0.0, self.nugget + self.sill * (1.0 - self.shape.correlation(distance / self.length)), 0.0)

    def covariance(self, a: Floats, b: Floats) -> Floats:
        """Between two sets of points, (n, d) and (m, d) to (n, m); the nugget counts where points coincide."""
        distance = cdist(a, b)
        return np.asarray(self.sill * self.shape.correlation(distance / self.length) + self.nugget * (distance < COINCIDENT))


COINCIDENT = 1e-9
"""Points nearer than this are one point."""


def experimental(points: Floats, values: Floats, edges: Floats) -> tuple[Floats, Floats, Floats]:
    """Mean distance, semivariance and number of pairs within classes of distance.

    Parameters
    ----------
    points : (n, d) float
    values : (n,) float
    edges : (k + 1,) float
        Limits of the classes.

    Returns
    -------
    lags, semivariances, n_pairs : (<= k,) float
        Classes without a pair are left out.
    """
    distance = pdist(points)
    square = pdist(np.asarray(values, dtype=float)[:, None], "sqeuclidean")
    which = np.digitize(distance, edges) - 1
    inside = (which >= 0) & (which < len(edges) - 1)
    n_pairs = np.bincount(which[inside], minlength=len(edges) - 1).astype(float)
    lags = np.bincount(which[inside], distance[inside], minlength=len(edges) - 1)
    sums = np.bincount(which[inside], square[inside], minlength=len(edges) - 1)
    kept = n_pairs > 0
    return lags[kept] / n_pairs[kept], sums[kept] / n_pairs[kept] / 2.0, n_pairs[kept]


def fitted_variogram(lags: Floats, semivariances: Floats, n_pairs: Floats, shape: Shape) -> Variogram:
    """Weighted least-squares fit with weights n_pairs / lag².

    Nugget and sill enter linearly and are held at nought or more; only the length is searched.

    Parameters
    ----------
    lags, semivariances, n_pairs : (k,) float
        At least three classes.
    shape : Shape
    """
    from scipy.optimize import minimize_scalar, nnls

    if len(lags) < 3:
        raise OutOfRange(f"a variogram needs three classes of distance or more (got {len(lags)}).")
    root = np.sqrt(n_pairs) / lags

    def solved(log_length: float) -> tuple[float, Floats]:
        rising = 1.0 - shape.correlation(lags / math.exp(log_length))
        parts, misfit = nnls(root[:, None] * np.column_stack([np.ones_like(lags), rising]), root * semivariances)
        return misfit, parts

    trials = np.log(np.geomspace(lags.min() / 3.0, 4.0 * lags.max(), 60))
    best = int(np.argmin([solved(trial)[0] for trial in trials]))
    bounds = (trials[max(0, best - 1)], trials[min(len(trials) - 1, best + 1)])
    log_length = float(minimize_scalar(lambda trial: solved(trial)[0], bounds=bounds, method="bounded", options={"xatol": 1e-10}).x)
    nugget, sill = solved(log_length)[1]
    return Variogram(shape=shape, sill=float(sill), length=math.exp(log_length), nugget=float(nugget))
