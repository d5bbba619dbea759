"""Which stake moves where: the checks a right outline must pass, and the fewest shifts that pass them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slabwright.errors import SolverError
from slabwright.model.job import Tolerances
from slabwright.solvers.least_moves import Check as ShapeCheck
from slabwright.solvers.least_moves import EqualCheck, LengthCheck, least_moves
from slabwright.solvers.least_squares import Floats
from slabwright.solvers.measurements import Kind, Observation
from slabwright.solvers.network import Network
from slabwright.studies.lines.layout import CheckRectangle
from slabwright.studies.lines.staked import Staked

REACH_M = 0.30
"""A stake that is out by more was set out anew, not moved. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A stake to shift.

    Attributes
    ----------
    stake : str
    east_m, north_m : float
        Along the plan's axes. [m]
    """

    stake: str
    east_m: float
    north_m: float

    @property
    def distance_m(self) -> float:
        """Straight shift. [m]"""
        return math.hypot(self.east_m, self.north_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlineCheck:
    """One length, or one pair of diagonals, against the design.

    Attributes
    ----------
    name : str
        Such as ``side A–B`` or ``diagonals A–C and B–D``.
    design_m : float
        Length wanted; nought for a difference of diagonals. [m]
    found_m : float
        Length, or difference of the diagonals. [m]
    sd_m : float
        Standard error of it. [m]
    tolerance_m : float
    after_m : float
        The same with the moves made. [m]
    """

    name: str
    design_m: float
    found_m: float
    sd_m: float
    tolerance_m: float
    after_m: float

    @property
    def off_m(self) -> float:
        """Signed difference from the design. [m]"""
        return self.found_m - self.design_m


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Checks of the outline and the moves.

    Attributes
    ----------
    checks : tuple of OutlineCheck
    moves : tuple of Move
        Empty where nothing need move, or where no shift within reach would do.
    out_of_reach : bool
        True where no shift of the free stakes within reach meets the checks.
    """

    checks: tuple[OutlineCheck, ...]
    moves: tuple[Move, ...]
    out_of_reach: bool


def side_tolerance_m(tolerances: Tolerances) -> float:
    """Half of what two diagonals may differ: 1/8 in. beside 1/4 in. [m]"""
    return tolerances.square_m / 2


def verdict(found: Staked, corners: Sequence[str], rectangles: Sequence[CheckRectangle], tolerances: Tolerances) -> Verdict:
    """Judge the outline and find the moves.

    Parameters
    ----------
    found : Staked
    corners : sequence of str
        Of the outline, in order; those not measured are left out.
    rectangles : sequence of CheckRectangle
    tolerances : Tolerances
    """
    names = [point.name for point in found.points]
    ring = [name for name in corners if name in names]
    pairs = _pairs(found, ring, rectangles)
    squares = [rectangle for rectangle in rectangles if all(name in names for name in rectangle.corners)]
    side = side_tolerance_m(tolerances)
    design = np.array([point.design for point in found.points])
    number = {name: i for i, name in enumerate(names)}
    checks: list[ShapeCheck] = [
        LengthCheck(first=number[a], second=number[b], target=math.dist(design[number[a]], design[number[b]]), tolerance=side)
        for a, b, _ in pairs
    ]
    for rectangle in squares:
        a, b, c, d = (number[name] for name in rectangle.corners)
        checks.append(EqualCheck(first=(a, c), second=(b, d), tolerance=tolerances.square_m))
    places = np.array([point.found for point in found.points])
    movable = np.array([not point.held and point.name in ring for point in found.points])
    try:
        shift, out_of_reach = least_moves(places, checks, movable=movable, reach=REACH_M), False
    except SolverError:
        shift, out_of_reach = np.zeros_like(places), True
    labels = [f"{'side' if is_side else 'diagonal'} {a}–{b}" for a, b, is_side in pairs]
    labels += ["diagonals {0}–{2} and {1}–{3}".format(*rectangle.corners) for rectangle in squares]
    moves = tuple(
        Move(stake=name, east_m=float(shift[i, 0]), north_m=float(shift[i, 1]))
        for i, name in enumerate(names)
        if float(np.hypot(*shift[i])) > 5e-4
    )
    judged = tuple(_judged(check, label, found, places, places + shift) for check, label in zip(checks, labels, strict=True))
    return Verdict(checks=judged, moves=moves, out_of_reach=out_of_reach)


def _pairs(found: Staked, ring: Sequence[str], rectangles: Sequence[CheckRectangle]) -> list[tuple[str, str, bool]]:
    """Sides of the outline, and as many diagonals as hold its shape beside the rectangles with four stakes."""
    n_sides = len(ring) if len(ring) > 2 else len(ring) - 1
    sides = [(ring[i], ring[(i + 1) % len(ring)], True) for i in range(n_sides)]
    points = np.array([found.point(name).design for name in ring])
    given = [(ring.index(a), ring.index(b)) for a, b, _ in sides]
    for rectangle in rectangles:
        if all(name in ring for name in rectangle.corners):
            given.append((ring.index(rectangle.corners[0]), ring.index(rectangle.corners[2])))
    if len(ring) < 4:
        return sides
    observations = [Observation(kind=Kind.DISTANCE, at=i, to=j, value=math.dist(points[i], points[j]), sd=0.003) for i, j in given]
    _, more = Network(points, np.zeros(len(ring), dtype=bool), observations).missing()
    return sides + [(ring[i], ring[j], False) for i, j in more]


def _judged(check: ShapeCheck, label: str, found: Staked, before: Floats, after: Floats) -> OutlineCheck:
    names = [point.name for point in found.points]
    if isinstance(check, LengthCheck):
        length, sd = found.length(names[check.first], names[check.second])
        moved = float(np.hypot(*(after[check.second] - after[check.first])))
        return OutlineCheck(name=label, design_m=check.target, found_m=length, sd_m=sd, tolerance_m=check.tolerance, after_m=moved)
    assert isinstance(check, EqualCheck)
    slope = np.zeros(before.size)
    lengths = {"before": 0.0, "after": 0.0}
    for sign, (i, j) in ((1.0, check.first), (-1.0, check.second)):
        along = before[j] - before[i]
        lengths["before"] += sign * float(np.hypot(*along))
        lengths["after"] += sign * float(np.hypot(*(after[j] - after[i])))
        slope[2 * j : 2 * j + 2] += sign * along / np.hypot(*along)
        slope[2 * i : 2 * i + 2] -= sign * along / np.hypot(*along)
    sd = math.sqrt(max(0.0, float(slope @ found.covariance_m2 @ slope)))
    return OutlineCheck(name=label, design_m=0.0, found_m=lengths["before"], sd_m=sd, tolerance_m=check.tolerance, after_m=lengths["after"])
