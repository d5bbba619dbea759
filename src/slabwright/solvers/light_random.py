"""Random numbers inside a kernel: a counter that is mixed, one short stream for each member of a sample.

A general generator carries hundreds of words of state, and seeding it anew for every member costs more than a short member itself.
Here the state is one word; any word begins a stream.

References
----------
"Fast splittable pseudorandom number generators", OOPSLA 2014 (the mixing function and its constants, from memory; the tests hold
the outputs against published ones). The pair of normals from a point in a circle: SIAM Review 6, 1964.
"""

import math

import numba as nb
import numpy as np
from numpy.typing import NDArray

Stream = NDArray[np.uint64]
_STEP = np.uint64(0x9E3779B97F4A7C15)
_MIX_1, _MIX_2 = np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB)
_30, _27, _31, _11 = np.uint64(30), np.uint64(27), np.uint64(31), np.uint64(11)
_UNIT = 1.0 / 9007199254740992.0


@nb.njit(cache=True, inline="always")
def mixed(word: np.uint64) -> np.uint64:
    """A word with its bits spread: neighbours become strangers."""
    word = (word ^ (word >> _30)) * _MIX_1
    word = (word ^ (word >> _27)) * _MIX_2
    return word ^ (word >> _31)


@nb.njit(cache=True, inline="always")
def next_word(stream: Stream) -> np.uint64:
    """The next 64 bits of a stream, an array of one word."""
    stream[0] += _STEP
    return mixed(stream[0])


@nb.njit(cache=True, inline="always")
def uniform(stream: Stream) -> float:
    """A number above 0 and up to 1."""
    return ((next_word(stream) >> _11) + 1.0) * _UNIT


@nb.njit(cache=True, inline="always")
def exponential(stream: Stream, mean: float) -> float:
    """An exponential number."""
    return -mean * math.log(uniform(stream))


@nb.njit(cache=True)
def normal(stream: Stream, spare: NDArray[np.float64]) -> float:
    """A standard normal number; they come in pairs, and the second waits in ``spare``, not a number where none does."""
    if spare[0] == spare[0]:
        kept = spare[0]
        spare[0] = np.nan
        return float(kept)
    while True:
        x, y = 2.0 * uniform(stream) - 1.0, 2.0 * uniform(stream) - 1.0
        square = x * x + y * y
        if 0.0 < square < 1.0:
            break
    reach = math.sqrt(-2.0 * math.log(square) / square)
    spare[0] = y * reach
    return x * reach
