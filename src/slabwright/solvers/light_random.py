"""Random numbers inside a kernel: a counter that is mixed, one short stream for each member of a sample.

A general generator carries hundreds of words of state, and seeding it anew for every member costs more than a short member itself.
Here the state is one word; any word begins a stream.

References
----------
"Fast splittable pseudorandom number generators", OOPSLA 2014 (the mixing function and its constants, from memory; the tests hold
the outputs against published ones). Normal numbers from layers: "The ziggurat method for generating random variables", Journal of
Statistical Software 5(8), 2000, with the constants of 128 layers (from memory; the tests hold numbers and tails against the law).
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
def normal(stream: Stream) -> float:
    """A standard normal number: a point under the bell, from layers of equal area of which nearly all lie wholly under it."""
    while True:
        word = next_word(stream)
        layer = word & _LAYER
        u = 2.0 * (((word >> _11) + 1.0) * _UNIT) - 1.0
        x = u * _EDGES[layer]
        if abs(u) < _INNER[layer]:
            return x
        if layer == 0:
            return _beyond(stream, u)
        foot = math.exp(0.5 * (x * x - _EDGES[layer] ** 2))  # of the layer, and its top, over the bell's height here
        top = math.exp(0.5 * (x * x - _EDGES[layer + 1] ** 2))
        if top + uniform(stream) * (foot - top) < 1.0:
            return x


@nb.njit(cache=True)
def _beyond(stream: Stream, side: float) -> float:
    """A normal number beyond the outermost layer."""
    while True:
        x, y = -math.log(uniform(stream)) / _OUTERMOST, -math.log(uniform(stream))
        if 2.0 * y > x * x:
            return -_OUTERMOST - x if side < 0.0 else _OUTERMOST + x


def _layers() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Outer edge of each layer, the lowest first with the tail's area in its width, and the share of it that lies under the bell."""
    edges = np.zeros(_N_LAYERS + 1)
    height = math.exp(-0.5 * _OUTERMOST**2)
    edges[0], edges[1] = _AREA / height, _OUTERMOST
    for k in range(2, _N_LAYERS):
        edges[k] = math.sqrt(-2.0 * math.log(_AREA / edges[k - 1] + height))
        height = math.exp(-0.5 * edges[k] ** 2)
    return edges, edges[1:] / edges[:-1]


_N_LAYERS = 128
_LAYER = np.uint64(_N_LAYERS - 1)
_OUTERMOST, _AREA = 3.442619855899, 9.91256303526217e-3
_EDGES, _INNER = _layers()
