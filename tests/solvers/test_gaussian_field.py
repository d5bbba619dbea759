"""A field with an unknown variogram: exactness, consistency of its draws, and that its chances are honest."""

import numpy as np
import pytest
from scipy.stats import t as student

from slabwright.errors import OutOfRange
from slabwright.solvers.gaussian_field import fitted_field
from slabwright.solvers.kriging import Trend, kriged
from slabwright.solvers.variogram import Shape, Variogram


def grid(nx, ny, width, height):
    x, y = np.meshgrid((np.arange(nx) + 0.5) * width / nx, (np.arange(ny) + 0.5) * height / ny)
    return np.column_stack([x.ravel(), y.ravel()])


def drawn(points, sill, length, nugget, rng, shape=Shape.MATERN_32):
    covariance = Variogram(shape=shape, sill=sill, length=length, nugget=nugget).covariance(points, points)
    return np.linalg.cholesky(covariance + 1e-12 * np.eye(len(points))) @ rng.standard_normal(len(points))


def test_a_plane_is_known_everywhere():
    points = grid(5, 4, 10, 8)
    values = 0.13 + 0.004 * points[:, 0] - 0.002 * points[:, 1]
    nodes = grid(13, 11, 10, 8)
    surface = fitted_field(points, values, noise_sd=0.0).at(nodes)

    assert np.allclose(0.13 + 0.004 * nodes[:, 0] - 0.002 * nodes[:, 1], surface.mean, atol=1e-9)
    assert surface.sd.max() < 1e-6


def test_shots_are_honoured_but_for_the_instrument():
    rng = np.random.default_rng(1)
    points = grid(6, 5, 12, 10)
    values = drawn(points, 1e-4, 3.0, 2e-5, rng)
    exact = fitted_field(points, values).at(points)
    noisy = fitted_field(points, values, noise_sd=0.004).at(points)

    assert np.allclose(values, exact.mean, atol=1e-8)
    assert 1e-4 < np.abs(values - noisy.mean).max() < 0.012
    assert 0.0005 < noisy.sd.min() <= noisy.sd.max() < 0.0045


def test_one_candidate_is_kriging_with_students_t():
    """For a single variogram the estimate is that of :func:`kriged`, with the variance scaled from the values."""
    rng = np.random.default_rng(2)
    points = grid(16, 16, 30, 30)
    values = drawn(points, 1e-4, 6.0, 1e-5, rng)
    nodes = grid(9, 9, 30, 30) + 0.013
    field = fitted_field(points, values)
    surface = field.at(nodes)
    means, variances = [], []
    for candidate in field.candidates:
        form = Variogram(shape=candidate.shape, sill=1 - candidate.nugget, length=candidate.length, nugget=candidate.nugget)
        estimate = kriged(form, points, values, nodes, trend=Trend.PLANE)
        means.append(estimate.mean)
        variances.append(estimate.variance * candidate.square_sum / (field.freedom - 2))
    mean = field.weights @ np.array(means)
    assert np.allclose(mean, surface.mean, atol=1e-10)
    assert np.allclose(field.weights @ (np.array(variances) + np.array(means) ** 2) - mean**2, surface.sd**2, rtol=1e-6)


def test_draws_have_the_mean_and_spread_of_the_estimate():
    """4,000 draws: means within 5 standard errors, deviations within 6 %."""
    rng = np.random.default_rng(3)
    points = rng.uniform(0, 10, (40, 2))
    values = drawn(points, 1e-4, 4.0, 2e-5, rng)
    nodes = grid(7, 6, 10, 10)
    surface = fitted_field(points, values, noise_sd=0.001).at(nodes)
    draws = surface.simulate(4000, np.random.default_rng(4))

    assert (4000, 42) == draws.shape
    assert np.abs((draws.mean(axis=0) - surface.mean) / surface.sd).max() < 5 / np.sqrt(4000) + 0.02
    assert np.allclose(surface.sd, draws.std(axis=0), rtol=0.07)


def test_draws_of_the_average_agree_with_draws_of_the_surface():
    rng = np.random.default_rng(5)
    points = rng.uniform(0, 10, (30, 2))
    values = drawn(points, 1e-4, 3.0, 2e-5, rng)
    nodes = grid(8, 8, 10, 10)
    weights = rng.uniform(0.5, 1.5, 64)
    surface = fitted_field(points, values, noise_sd=0.001).at(nodes)
    short = surface.simulate_average(weights, 8000, np.random.default_rng(6))
    long = surface.simulate(8000, np.random.default_rng(7)) @ weights / weights.sum()

    assert pytest.approx(long.mean(), abs=4 * long.std() / np.sqrt(4000)) == short.mean()
    assert pytest.approx(long.std(), rel=0.06) == short.std()


@pytest.mark.parametrize(("length", "nugget"), [(1.0, 0.2), (4.0, 0.2), (12.0, 0.1)])
def test_stated_chances_of_the_mean_come_true(length, nugget):
    """120 sites of 28 shots: the true mean lies above the stated 90 % point in 10 %, with a standard error of 2.7 %.

    Over 500 sites a form the fit does not know cost up to 3 % more; the bounds allow for that and two standard errors.
    """
    rng = np.random.default_rng(int(10 * length))
    nodes, shots = grid(11, 13, 9, 11), grid(4, 7, 9, 11)
    above = 0
    for _ in range(120):
        both = np.vstack([shots, nodes])
        truth = drawn(both, (1 - nugget) * 1e-4, length, nugget * 1e-4, rng) + 0.002 * rng.standard_normal()
        values = truth[:28] + rng.normal(0, 0.0015, 28)
        draws = fitted_field(shots, values, noise_sd=0.0015).at(nodes).simulate_average(np.ones(len(nodes)), 400, rng)
        above += truth[28:].mean() > np.quantile(draws, 0.90)
    assert 0.02 <= above / 120 <= 0.19


def test_uncorrelated_values_give_the_textbook_interval_of_the_mean():
    """Pure scatter and a level trend: mean ± t s / n^½, with 16 values (Student's t, SciPy)."""
    rng = np.random.default_rng(9)
    points = rng.uniform(0, 100, (16, 2))
    values = rng.normal(0.104, 0.006, 16)
    nodes = grid(30, 30, 100, 100)
    draws = fitted_field(points, values, trend=Trend.LEVEL).at(nodes).simulate_average(np.ones(900), 20000, rng)
    half = student.ppf(0.975, 15) * values.std(ddof=1) / 4

    assert pytest.approx(values.mean(), abs=0.2 * half) == draws.mean()
    assert 0.75 < (np.quantile(draws, 0.975) - np.quantile(draws, 0.025)) / (2 * half) < 1.25


def test_many_values_need_few_candidates():
    rng = np.random.default_rng(10)
    points = rng.uniform(0, 38, (700, 2))
    values = 0.01 * np.sin(points[:, 0] / 3) + rng.normal(0, 0.002, 700)
    field = fitted_field(points, values, noise_sd=0.002)
    nodes = grid(12, 12, 38, 38)

    assert len(field.candidates) <= 3
    assert np.abs(field.at(nodes).mean - 0.01 * np.sin(nodes[:, 0] / 3)).std() < 0.0015


def test_what_cannot_be_fitted_is_refused():
    line = np.column_stack([np.arange(8.0), np.zeros(8)])
    with pytest.raises(OutOfRange, match="one line"):
        fitted_field(line, np.zeros(8))
    with pytest.raises(OutOfRange, match="6 values"):
        fitted_field(line[:4], np.zeros(4))
    with pytest.raises(OutOfRange, match="one spot"):
        fitted_field(np.vstack([grid(3, 3, 9, 9)] * 2), np.zeros(18))
    with pytest.raises(OutOfRange, match="finite"):
        fitted_field(grid(3, 3, 9, 9), np.append(np.zeros(8), np.nan))
