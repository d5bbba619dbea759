"""What measurements in a plane, or of heights, say of the coordinates: values and derivatives, many at a time.

Angles are counted clockwise from the first target to the second, as an instrument turns; x is to the right and y
up the sheet; a bearing runs clockwise from the y axis.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from slabwright.errors import Mechanism
from slabwright.solvers.least_squares import Floats, Ints, Rows


class Kind(Enum):
    """What was measured."""

    DISTANCE = "distance"
    ANGLE = "angle"
    DIRECTION = "direction"
    X = "x"
    Y = "y"
    RISE = "height difference"


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One measurement between numbered points.

    Attributes
    ----------
    kind : Kind
    at : int
        Point it was taken from.
    to : int
        Point it was taken to; for an angle the first target. Ignored for single coordinates.
    second : int
        Second target of an angle.
    value : float
        Length, angle [rad], coordinate or rise from ``at`` to ``to``.
    sd : float
        Standard error, in the unit of the value.
    round : int
        Number of the round a direction belongs to; each round has an orientation of its own.
    """

    kind: Kind
    at: int
    value: float
    sd: float
    to: int = -1
    second: int = -1
    round: int = 0


class Measured:
    """A list of measurements as arrays, each touching numbered unknowns.

    Parameters
    ----------
    observations : sequence of Observation
    column : (n + 1,) int
        First unknown of each point, -1 for held points; the last entry stands for no point.
    n_coordinates : int
        Unknown coordinates; the orientations of the rounds follow them.
    """

    def __init__(self, observations: Sequence[Observation], column: Ints, n_coordinates: int) -> None:
        self.column = column
        self.n_coordinates = n_coordinates
        self.kind = np.array([one.kind.value for one in observations])
        self.at = np.array([one.at for one in observations])
        self.to = np.array([one.to for one in observations])
        self.second = np.array([one.second for one in observations])
        self.value = np.array([one.value for one in observations], dtype=float)
        self.weight = np.array([one.sd for one in observations], dtype=float) ** -2.0
        number = {name: i for i, name in enumerate(sorted({one.round for one in observations if one.kind is Kind.DIRECTION}))}
        self.round = np.array([number[one.round] if one.kind is Kind.DIRECTION else -1 for one in observations])
        self.n_unknowns = n_coordinates + len(number)

    def orientations(self, points: Floats) -> Floats:
        """First guess of each round's orientation, from its first direction. [rad]"""
        _, first = np.unique(self.round, return_index=True)
        first = first[self.round[first] >= 0]
        along = points[self.to[first]] - points[self.at[first]]
        return np.asarray(np.arctan2(along[:, 0], along[:, -1]) - self.value[first])

    def linearised(self, points: Floats, orientations: Floats) -> tuple[Rows, Floats]:
        """Rows of derivatives, and measured minus computed."""
        columns = np.full((len(self.kind), 6), -1, dtype=np.int64)
        coefficients = np.zeros((len(self.kind), 6))
        computed = np.zeros(len(self.kind))
        for kind, form in _FORMS.items():
            (mine,) = np.nonzero(self.kind == kind.value)
            if len(mine):
                computed[mine] = form(self, points, mine, columns, coefficients)
        directed = self.round >= 0
        computed[directed] -= orientations[self.round[directed]]
        columns[directed, 4] = self.n_coordinates + self.round[directed]
        coefficients[directed, 4] = -1.0
        misclosure = self.value - computed
        turning = np.isin(self.kind, (Kind.ANGLE.value, Kind.DIRECTION.value))
        misclosure[turning] = (misclosure[turning] + math.pi) % (2 * math.pi) - math.pi
        return Rows(columns, coefficients, self.weight, self.n_unknowns), misclosure


_Form = Callable[[Measured, Floats, Ints, Ints, Floats], Floats]


def _leg(measured: Measured, points: Floats, mine: Ints, ends: Ints) -> tuple[Floats, Floats, Floats]:
    """dx, dy and squared length from the station to a target."""
    dx, dy = (points[ends[mine]] - points[measured.at[mine]]).T
    square = dx**2 + dy**2
    if (square <= 0.0).any():
        raise Mechanism("two points of one measurement lie on each other; give approximate places apart.")
    return dx, dy, square


def _enter(
    measured: Measured, mine: Ints, ends: Ints, columns: Ints, coefficients: Floats, slopes: tuple[Floats, Floats], slot: int
) -> None:
    """Enter the derivatives at a target from a slot on, and their opposite at the station in slots 0 and 1."""
    at, to = measured.column[measured.at[mine]], measured.column[ends[mine]]
    for axis, slope in enumerate(slopes):
        columns[mine, slot + axis] = np.where(to >= 0, to + axis, -1)
        coefficients[mine, slot + axis] = slope
        columns[mine, axis] = np.where(at >= 0, at + axis, -1)
        coefficients[mine, axis] -= slope


def _distance(measured: Measured, points: Floats, mine: Ints, columns: Ints, coefficients: Floats) -> Floats:
    dx, dy, square = _leg(measured, points, mine, measured.to)
    length = np.sqrt(square)
    _enter(measured, mine, measured.to, columns, coefficients, (dx / length, dy / length), 2)
    return np.asarray(length)


def _bearing(
    measured: Measured, points: Floats, mine: Ints, ends: Ints, columns: Ints, coefficients: Floats, sign: float, slot: int
) -> Floats:
    dx, dy, square = _leg(measured, points, mine, ends)
    _enter(measured, mine, ends, columns, coefficients, (sign * dy / square, -sign * dx / square), slot)
    return np.asarray(np.arctan2(dx, dy))


def _angle(measured: Measured, points: Floats, mine: Ints, columns: Ints, coefficients: Floats) -> Floats:
    first = _bearing(measured, points, mine, measured.to, columns, coefficients, -1.0, 2)
    return _bearing(measured, points, mine, measured.second, columns, coefficients, 1.0, 4) - first


def _direction(measured: Measured, points: Floats, mine: Ints, columns: Ints, coefficients: Floats) -> Floats:
    return _bearing(measured, points, mine, measured.to, columns, coefficients, 1.0, 2)


def _coordinate(axis: int) -> _Form:
    def form(measured: Measured, points: Floats, mine: Ints, columns: Ints, coefficients: Floats) -> Floats:
        at = measured.column[measured.at[mine]]
        columns[mine, 0] = np.where(at >= 0, at + axis, -1)
        coefficients[mine, 0] = 1.0
        return np.asarray(points[measured.at[mine], axis])

    return form


def _rise(measured: Measured, points: Floats, mine: Ints, columns: Ints, coefficients: Floats) -> Floats:
    columns[mine, 0], columns[mine, 1] = measured.column[measured.at[mine]], measured.column[measured.to[mine]]
    coefficients[mine, 0], coefficients[mine, 1] = -1.0, 1.0
    return np.asarray(points[measured.to[mine], 0] - points[measured.at[mine], 0])


_FORMS: dict[Kind, _Form] = {
    Kind.DISTANCE: _distance,
    Kind.ANGLE: _angle,
    Kind.DIRECTION: _direction,
    Kind.X: _coordinate(0),
    Kind.Y: _coordinate(1),
    Kind.RISE: _rise,
}
