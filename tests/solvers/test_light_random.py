"""The random numbers of the kernels: published outputs, moments, independence of neighbours."""

import numpy as np
import pytest
from scipy.stats import expon, kstest, norm

from slabwright.solvers.light_random import exponential, mixed, next_word, normal, uniform


def stream(word):
    return np.array([word], dtype=np.uint64)


def test_published_outputs():
    """First five words of stream 1234567, as public lists of test vectors of this generator print them; from memory."""
    one = stream(1234567)

    assert [
        6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821,
    ] == [int(next_word(one)) for _ in range(5)]  # fmt: skip


@pytest.mark.parametrize("seed", [0, 20260])
def test_normal_numbers_are_normal(seed):
    """Kolmogorov and Smirnov at 1 in 1000, both of each pair."""
    one, spare = stream(seed), np.full(1, np.nan)
    drawn = np.array([normal(one, spare) for _ in range(20_000)])

    assert kstest(drawn, norm.cdf).pvalue > 1e-3
    assert abs(np.corrcoef(drawn[:-1], drawn[1:])[0, 1]) < 0.03


def test_uniform_and_exponential_numbers():
    one = stream(7)
    flat = np.array([uniform(one) for _ in range(20_000)])
    waits = np.array([exponential(one, 2.0) for _ in range(20_000)])

    assert kstest(flat, "uniform").pvalue > 1e-3
    assert kstest(waits, expon(scale=2.0).cdf).pvalue > 1e-3
    assert 0.0 < flat.min() and flat.max() <= 1.0


def test_neighbouring_streams_are_strangers():
    """First uniform number of 20,000 streams one after the other, as days are given them."""
    first = np.array([uniform(stream(mixed(np.uint64(number)))) for number in range(20_000)])

    assert kstest(first, "uniform").pvalue > 1e-3
    assert abs(np.corrcoef(first[:-1], first[1:])[0, 1]) < 0.03
