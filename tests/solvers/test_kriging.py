"""Kriging and variograms against printed examples, an independent library and exact statements."""

import numpy as np
import pytest
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, Matern

from slabwright.errors import OutOfRange
from slabwright.solvers.kriging import Trend, kriged
from slabwright.solvers.variogram import Shape, Variogram, experimental, fitted_variogram
from slabwright.sources import Basis, Clause, Source, arithmetic

ISAAKS_SRIVASTAVA = Source("Isaaks & Srivastava", "Isaaks, Srivastava: An Introduction to Applied Geostatistics, 1989")
GSTAT = Source("gstat", "gstat, an open-source package for geostatistics: manual pages of variogram() and fit.variogram(), data set meuse")

POINTS = np.array([[61, 139], [63, 140], [64, 129], [68, 128], [71, 140], [73, 141], [75, 128]], dtype=float)
VALUES = np.array([477.0, 696, 227, 646, 606, 791, 783])


@pytest.mark.published(Clause(ISAAKS_SRIVASTAVA, "ch. 12, ordinary kriging at (65, 137)", Basis.MEMORY))
def test_ordinary_kriging_of_seven_samples():
    """Covariance 10 exp(-0.3 h), no nugget; data, weights and answers from memory."""
    estimate = kriged(Variogram(shape=Shape.EXPONENTIAL, sill=10.0, length=1 / 0.3), POINTS, VALUES, np.array([[65.0, 137.0]]))

    assert pytest.approx([0.173, 0.318, 0.129, 0.086, 0.151, 0.057, 0.086], abs=0.0006) == estimate.weights[0]
    assert pytest.approx(592.7, abs=0.05) == estimate.mean[0]
    assert pytest.approx(8.96, abs=0.005) == estimate.variance[0]


SAMPLE_VARIOGRAM = """
57 79.29244 0.1234479     299 163.97367 0.2162185   419 267.36483 0.3027859   457 372.73542 0.4121448
547 478.47670 0.4634128   533 585.34058 0.5646933   574 693.14526 0.5689683   564 796.18365 0.6186769
589 903.14650 0.6471479   543 1011.29177 0.6915705  500 1117.86235 0.7033984  477 1221.32810 0.6038770
452 1329.16407 0.6517158  457 1437.25620 0.5665318  415 1543.20248 0.5748227
"""


@pytest.mark.published(Clause(GSTAT, "log(zinc): sample variogram and spherical fit", Basis.TEXT_SEEN))
def test_spherical_fit_to_a_printed_sample_variogram():
    """Weights pairs / lag²; printed nugget 0.05066, sill 0.5906, range 897.02 (and 897.00 from another start)."""
    n_pairs, lags, semivariances = np.array(SAMPLE_VARIOGRAM.split(), dtype=float).reshape(-1, 3).T
    fit = fitted_variogram(lags, semivariances, n_pairs, Shape.SPHERICAL)

    assert pytest.approx(0.05066, abs=2e-5) == fit.nugget
    assert pytest.approx(0.59060, abs=2e-5) == fit.sill
    assert pytest.approx(897.01, abs=0.05) == fit.length


def test_sample_variogram_by_hand():
    """Four values on a line at 0, 1, 2, 3: lag 1 has differences 1, 2, -4; lag 2 has 3, -2; lag 3 has -1."""
    lags, semivariances, n_pairs = experimental(np.array([[0.0], [1], [2], [3]]), np.array([0.0, 1, 3, -1]), np.array([0.5, 1.5, 2.5, 3.5]))

    assert pytest.approx([1, 2, 3]) == lags
    assert pytest.approx([(1 + 4 + 16) / 6, (9 + 4) / 4, 1 / 2]) == semivariances
    assert pytest.approx([3, 2, 1]) == n_pairs


@pytest.mark.parametrize(
    ("shape", "kernel"),
    [
        (Shape.EXPONENTIAL, lambda length: Matern(length, "fixed", nu=0.5)),
        (Shape.MATERN_32, lambda length: Matern(length, "fixed", nu=1.5)),
        (Shape.GAUSSIAN, lambda length: RBF(length / np.sqrt(2.0), "fixed")),
    ],
)
def test_simple_kriging_agrees_with_an_independent_library(shape, kernel):
    """scikit-learn's Gaussian process with the same fixed kernel and noise: mean and deviation to 1e-6."""
    rng = np.random.default_rng(2)
    points, nodes = rng.uniform(0, 10, (40, 2)), rng.uniform(-1, 11, (60, 2))
    values = np.sin(points[:, 0]) + 0.3 * points[:, 1] + rng.normal(0, 0.1, 40)
    process = GaussianProcessRegressor(ConstantKernel(2.5, "fixed") * kernel(3.0), alpha=0.04, optimizer=None).fit(points, values)
    mean, sd = process.predict(nodes, return_std=True)
    estimate = kriged(Variogram(shape=shape, sill=2.5, length=3.0), points, values, nodes, trend=Trend.NONE, noise_variance=0.04)

    assert np.allclose(mean, estimate.mean, atol=1e-6)
    assert np.allclose(sd, np.sqrt(estimate.variance), atol=1e-6)


def test_a_plane_drift_agrees_with_a_diffuse_prior_on_its_coefficients():
    """Universal kriging is the limit of simple kriging with a vague prior on the plane (scikit-learn, DotProduct kernel)."""
    from sklearn.gaussian_process.kernels import DotProduct

    rng = np.random.default_rng(3)
    points, nodes = rng.uniform(-1, 1, (25, 2)), rng.uniform(-1, 1, (10, 2))
    values = 4.0 + 2.0 * points[:, 0] - points[:, 1] + rng.normal(0, 0.3, 25)
    vague = ConstantKernel(1e5, "fixed") * DotProduct(1.0, "fixed")
    process = GaussianProcessRegressor(vague + ConstantKernel(0.1, "fixed") * Matern(0.8, "fixed", nu=1.5), alpha=0.02, optimizer=None)
    mean, sd = process.fit(points, values).predict(nodes, return_std=True)
    estimate = kriged(Variogram(shape=Shape.MATERN_32, sill=0.1, length=0.8), points, values, nodes, trend=Trend.PLANE, noise_variance=0.02)

    assert np.allclose(mean, estimate.mean, atol=1e-4)
    assert np.allclose(sd, np.sqrt(estimate.variance), atol=1e-4)


@pytest.mark.published(arithmetic("a linear drift reproduces a plane; inverse distances do not"))
def test_a_plane_is_reproduced():
    points = np.array([[0.0, 0.0], [10, 0], [10, 6], [0, 6], [4, 2.5], [7, 5], [2, 4]])
    values = 0.02 * points[:, 0] - 0.01 * points[:, 1] + 1.5
    estimate = kriged(Variogram(shape=Shape.SPHERICAL, sill=1.0, length=5.0), points, values, np.array([[3.3, 2.7]]), trend=Trend.PLANE)

    assert pytest.approx(1.539, abs=1e-9) == estimate.mean[0]
    distance = np.hypot(*(points - [3.3, 2.7]).T)
    assert pytest.approx(1.547234, abs=1e-6) == (values / distance**2).sum() / (1 / distance**2).sum()


@pytest.mark.parametrize("shape", list(Shape))
def test_values_are_returned_at_their_places(shape):
    estimate = kriged(Variogram(shape=shape, sill=2.0, length=4.0, nugget=0.5), POINTS, VALUES, POINTS)

    assert np.allclose(VALUES, estimate.mean, atol=1e-6)
    assert np.allclose(0.0, estimate.variance, atol=1e-6)


def test_two_values_on_one_spot_need_noise_to_tell_them_apart():
    twice = np.vstack([POINTS, POINTS[:1]])
    with pytest.raises(OutOfRange, match="one spot"):
        kriged(Variogram(shape=Shape.EXPONENTIAL, sill=1.0, length=5.0), twice, np.append(VALUES, 500.0), POINTS)
