"""A straight beam on springs that may have gaps and may lift off: cubic finite elements, sparse band solution."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import LinAlgError, solveh_banded

from slabwright.errors import Mechanism, NotConverged, OutOfRange

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BeamLine:
    """State along a beam, at its nodes.

    Attributes
    ----------
    x : array
        From the left end. [m]
    deflection : array
        Positive down. [m]
    moment : array
        Positive where it stretches the bottom. [N·m]
    shear : array
        Force with which the part to the left presses down on the part to the right. [N]
    reaction : array
        Of the springs, per length. [N/m]
    contact : array
        True for each element whose springs bear.
    """

    x: Array
    deflection: Array
    moment: Array
    shear: Array
    reaction: Array
    contact: NDArray[np.bool_]


def elastic_beam(
    *,
    length: float,
    stiffness: float,
    spring: float,
    uniform: float = 0.0,
    points: Sequence[tuple[float, float]] = (),
    gaps: Sequence[tuple[float, float]] = (),
    lifts: bool = True,
    n_elements: int = 240,
) -> BeamLine:
    """Bending of a free-ended beam on springs.

    Parameters
    ----------
    length : float
        [m]
    stiffness : float
        Bending stiffness EI. [N·m²]
    spring : float
        Spring per length: subgrade modulus times width. [N/m²]
    uniform : float
        Load per length, downward. [N/m]
    points : sequence of (x, load)
        Point loads, downward; moved to the nearest node. [m], [N]
    gaps : sequence of (start, end)
        Stretches without springs. [m]
    lifts : bool
        True where the springs carry no tension.
    n_elements : int

    Returns
    -------
    BeamLine

    Raises
    ------
    OutOfRange
        If a stiffness or the length is not above nought.
    Mechanism
        If nothing holds the beam.
    NotConverged
        If the contact does not settle.
    """
    if min(length, stiffness, spring) <= 0:
        raise OutOfRange("length, stiffness and spring of a beam must be above nought.")
    x = _nodes(length, [end for gap in gaps for end in gap] + [place for place, _ in points], n_elements)
    h = np.diff(x)
    middle = (x[1:] + x[:-1]) / 2
    springs = np.full(h.size, spring)
    for start, end in gaps:
        springs[(middle > start) & (middle < end)] = 0.0
    load = np.zeros(2 * x.size)
    np.add.at(load, 2 * np.arange(h.size), uniform * h / 2)
    np.add.at(load, 2 * np.arange(h.size) + 2, uniform * h / 2)
    np.add.at(load, 2 * np.arange(h.size) + 1, uniform * h**2 / 12)
    np.add.at(load, 2 * np.arange(h.size) + 3, -uniform * h**2 / 12)
    for place, force in points:
        load[2 * int(np.argmin(np.abs(x - place)))] += force
    bearing = springs > 0
    for _ in range(60):
        w = _solve(stiffness, h, np.where(bearing, springs, 0.0), load)
        mid = (w[0:-2:2] + w[2::2]) / 2 + h * (w[1:-2:2] - w[3::2]) / 8
        now = (springs > 0) & (mid > 0) if lifts else springs > 0
        if np.array_equal(now, bearing):
            return _line(x, h, w, stiffness, np.where(bearing, springs, 0.0), bearing, uniform)
        bearing = now
    raise NotConverged("the contact of the beam with the ground did not settle.")


def _nodes(length: float, marks: Sequence[float], n_elements: int) -> Array:
    """Evenly spaced nodes with the marks among them."""
    even = np.linspace(0.0, length, n_elements + 1)
    inside = [mark for mark in marks if 0.0 < mark < length]
    nodes = np.unique(np.concatenate([even, inside]))
    least = length / n_elements * 1e-3
    keep = np.concatenate([[True], np.diff(nodes) > least])
    return nodes[keep]


def _solve(stiffness: float, h: Array, springs: Array, load: Array) -> Array:
    """Deflections and slopes from bending stiffness and consistent springs, in a band of four."""
    band = np.zeros((4, load.size))
    bend, ground = stiffness / h**3, springs * h / 420
    entries = {
        (0, 0): 12 * bend + 156 * ground, (0, 1): 6 * h * bend + 22 * h * ground, (0, 2): -12 * bend + 54 * ground,
        (0, 3): 6 * h * bend - 13 * h * ground, (1, 1): 4 * h**2 * bend + 4 * h**2 * ground, (1, 2): -6 * h * bend + 13 * h * ground,
        (1, 3): 2 * h**2 * bend - 3 * h**2 * ground, (2, 2): 12 * bend + 156 * ground, (2, 3): -6 * h * bend - 22 * h * ground,
        (3, 3): 4 * h**2 * bend + 4 * h**2 * ground,
    }  # fmt: skip
    first = 2 * np.arange(h.size)
    for (i, j), value in entries.items():
        np.add.at(band[3 + i - j], first + j, value)
    try:
        found: Array = solveh_banded(band, load)
    except LinAlgError:
        raise Mechanism("nothing holds the beam: no ground bears under it.") from None
    return found


def _line(x: Array, h: Array, w: Array, stiffness: float, springs: Array, bearing: NDArray[np.bool_], uniform: float) -> BeamLine:
    """Moment and shear at the nodes from the end forces of the elements."""
    w1, t1, w2, t2 = w[0:-2:2], w[1:-2:2], w[2::2], w[3::2]
    bend, ground = stiffness / h**3, springs * h / 420
    m1 = bend * h * (6 * w1 + 4 * h * t1 - 6 * w2 + 2 * h * t2) + ground * h * (22 * w1 + 4 * h * t1 + 13 * w2 - 3 * h * t2)
    m2 = bend * h * (6 * w1 + 2 * h * t1 - 6 * w2 + 4 * h * t2) + ground * h * (-13 * w1 - 3 * h * t1 - 22 * w2 + 4 * h * t2)
    v1 = bend * (12 * w1 + 6 * h * t1 - 12 * w2 + 6 * h * t2) + ground * (156 * w1 + 22 * h * t1 + 54 * w2 - 13 * h * t2)
    moment = np.zeros_like(x)
    # end moments less the load's own fixed-end part; the start of each element, and the end of the last
    moment[:-1] = m1 - uniform * h**2 / 12
    moment[-1] = -(m2[-1] + uniform * h[-1] ** 2 / 12)
    shear = np.zeros_like(x)
    shear[:-1] = v1 - uniform * h / 2
    reaction = np.zeros_like(x)
    reaction[:-1] = springs * w1
    reaction[-1] = springs[-1] * w2[-1]
    return BeamLine(x, w[0::2], moment, shear, reaction, bearing)
