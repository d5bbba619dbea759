"""Squaring and setting out: the 3-4-5 triangle, diagonals, racked rectangles, crossing strings, errors of a length."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic

EN0069 = Source("EN0069", "US Army Engineer School, carpentry subcourse EN0069: squaring building lines")
ADJUSTMENT_COMPUTATIONS = Source("Ghilani & Wolf", "Ghilani, Wolf: Adjustment Computations, 4th edition, 2006")
ELEMENTARY_SURVEYING = Source("Wolf & Ghilani", "Wolf, Ghilani: Elementary Surveying, taping and temperature correction")
THREE_FOUR_FIVE = Clause(EN0069, "sheet 46, 3-4-5 method", Basis.TEXT_SEEN)
DIAGONALS = Clause(EN0069, "sheet 46, diagonal method", Basis.TEXT_SEEN)
DISTANCE_ERROR = Clause(ADJUSTMENT_COMPUTATIONS, "errors in electronic distance measurement", Basis.MEMORY)
TAPE_TEMPERATURE = Clause(ELEMENTARY_SURVEYING, "temperature correction of a steel tape", Basis.MEMORY)
CORNER_ERROR = arithmetic("derivative of the law of cosines at a right angle")
RACK = arithmetic("diagonals of a parallelogram, (d1² - d2²) / 4a")
PARALLELOGRAM_LAW = arithmetic("parallelogram law, d1² + d2² = 2 (a² + b²)")
CROSSING_STRINGS = arithmetic("intersection of two straight lines")
INVERSE = arithmetic("length and bearing from coordinates")

STEEL_EXPANSION_1_K = 11.6e-6
"""Steel tape: 6.45 millionths per °F. [1/K]"""
TAPE_STANDARD_TEMP_C = 20.0
"""Temperature at which a steel tape has its marked length. [°C]"""


@dataclass(frozen=True, slots=True)
class SquaringTriangle:
    """A right triangle with sides 3 : 4 : 5. [m]"""

    short_leg_m: float
    long_leg_m: float
    hypotenuse_m: float


@published("three-four-five", THREE_FOUR_FIVE, validity="Any multiple; the larger the triangle, the squarer the corner.")
def three_four_five(*, short_leg_m: float, working: Working | None = None) -> SquaringTriangle:
    """Sides of the 3-4-5 triangle that squares a corner.

    Parameters
    ----------
    short_leg_m : float
        Length measured along the first string; the three. [m]

    Returns
    -------
    SquaringTriangle
        [m]

    Examples
    --------
    >>> three_four_five(short_leg_m=9.0).hypotenuse_m
    15.0
    """
    if not short_leg_m > 0:
        raise OutOfRange(f"short_leg_m must be above nought (got {short_leg_m!r}).")
    working = working or Working()
    long_leg = working.line("b = a*4/3", "m", a=(short_leg_m, "m"))
    return SquaringTriangle(short_leg_m, long_leg, working.line("c = sqrt(a**2 + b**2)", "m", a=(short_leg_m, "m"), b=(long_leg, "m")))


@dataclass(frozen=True, slots=True)
class CornerError:
    """What a misread hypotenuse does: turn of the corner, and how far its side drifts. [rad, m]"""

    angle_rad: float
    drift_m: float


@published("corner-error", CORNER_ERROR, validity="Small errors of the hypotenuse.")
def corner_error(*, leg_a_m: float, leg_b_m: float, hypotenuse_error_m: float, run_m: float, working: Working | None = None) -> CornerError:
    """Error of a squared corner from an error of the hypotenuse.

    Parameters
    ----------
    leg_a_m, leg_b_m : float
        Legs of the measuring triangle. [m]
    hypotenuse_error_m : float
        Read minus true. [m]
    run_m : float
        Length of the side that is laid off from the corner. [m]

    Returns
    -------
    CornerError
        [rad, m]
    """
    if min(leg_a_m, leg_b_m) <= 0:
        raise OutOfRange("both legs must be above nought.")
    working = working or Working()
    hypotenuse = working.line("c = sqrt(a**2 + b**2)", "m", a=(leg_a_m, "m"), b=(leg_b_m, "m"))
    angle = working.line("theta = c*e/(a*b)", "rad", c=(hypotenuse, "m"), e=(hypotenuse_error_m, "m"), a=(leg_a_m, "m"), b=(leg_b_m, "m"))
    return CornerError(angle, working.line("d = L*tan(theta)", "m", L=(run_m, "m"), theta=(angle, "rad")))


@published("diagonal", DIAGONALS, validity="A rectangle is square when both diagonals are equal and its opposite sides are.")
def diagonal_m(*, length_m: float, width_m: float, working: Working | None = None) -> float:
    """Diagonal of a rectangle.

    Parameters
    ----------
    length_m, width_m : float
        Sides. [m]

    Returns
    -------
    float
        [m]
    """
    if min(length_m, width_m) <= 0:
        raise OutOfRange("both sides must be above nought.")
    return (working or Working()).line("d = sqrt(L**2 + W**2)", "m", L=(length_m, "m"), W=(width_m, "m"))


@dataclass(frozen=True, slots=True)
class Racked:
    """A rectangle whose diagonals differ.

    Attributes
    ----------
    rack_m : float
        How far one side must slide along itself to be square. [m]
    angle_rad : float
        The corner from which the long diagonal springs. [rad]
    misclosure_m2 : float
        Of the parallelogram law; far from nought when a length was misread. [m²]
    length_error_m : float
        The same as an error of a diagonal. [m]
    """

    rack_m: float
    angle_rad: float
    misclosure_m2: float
    length_error_m: float


@published("rack-of-rectangle", RACK, validity="Opposite sides equal; not half the difference of the diagonals.")
def rack_of_rectangle(
    *, slid_side_m: float, other_side_m: float, long_diagonal_m: float, short_diagonal_m: float, working: Working | None = None
) -> Racked:
    """How far to slide a side so that the diagonals become equal.

    Parameters
    ----------
    slid_side_m : float
        The side that is slid along itself. [m]
    other_side_m : float
        [m]
    long_diagonal_m, short_diagonal_m : float
        As measured. [m]

    Returns
    -------
    Racked
    """
    if min(slid_side_m, other_side_m, long_diagonal_m, short_diagonal_m) <= 0:
        raise OutOfRange("sides and diagonals must be above nought.")
    working = working or Working()
    sides = {"a": (slid_side_m, "m"), "b": (other_side_m, "m"), "d1": (long_diagonal_m, "m"), "d2": (short_diagonal_m, "m")}
    a, b, d1, d2 = (sides[name] for name in ("a", "b", "d1", "d2"))
    rack = working.line("s = (d1**2 - d2**2)/(4*a)", "m", a=a, d1=d1, d2=d2)
    cosine = working.line("k = (d1**2 - d2**2)/(4*a*b)", a=a, b=b, d1=d1, d2=d2)
    if abs(cosine) > 1.0:
        raise OutOfRange("no parallelogram has these sides and diagonals; measure again.")
    misclosure = working.line("m = d1**2 + d2**2 - 2*(a**2 + b**2)", "m²", a=a, b=b, d1=d1, d2=d2)
    error = working.line("e = m/(2*(d1 + d2))", "m", m=(misclosure, "m²"), d1=d1, d2=d2)
    return Racked(rack, math.acos(cosine), misclosure, error)


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where two strings cross. [m]"""

    x_m: float
    y_m: float


@published("string-crossing", CROSSING_STRINGS)
def string_crossing(*, first_m: Sequence[tuple[float, float]], second_m: Sequence[tuple[float, float]]) -> Crossing:
    """Point where two string lines cross, each given by two points.

    Parameters
    ----------
    first_m, second_m : sequence of (x, y)
        Two points of each string. [m]

    Returns
    -------
    Crossing
        [m]

    Raises
    ------
    OutOfRange
        For strings that run side by side.
    """
    if len(first_m) != 2 or len(second_m) != 2:
        raise OutOfRange("each string needs two points, such as first=0 ft,0 ft;30 ft,0 ft.")
    (x1, y1), (x2, y2) = first_m
    (x3, y3), (x4, y4) = second_m
    ux, uy, vx, vy = x2 - x1, y2 - y1, x4 - x3, y4 - y3
    cross = ux * vy - uy * vx
    if abs(cross) <= 1e-12 * math.hypot(ux, uy) * math.hypot(vx, vy):
        raise OutOfRange("the strings run side by side and do not cross.")
    share = ((x3 - x1) * vy - (y3 - y1) * vx) / cross
    return Crossing(x1 + share * ux, y1 + share * uy)


@dataclass(frozen=True, slots=True)
class LineOnPlan:
    """Length and bearing of a line, the bearing clockwise from north. [m, rad]"""

    length_m: float
    bearing_rad: float


@published("line-from-coordinates", INVERSE)
def line_from_coordinates(*, from_east_m: float, from_north_m: float, to_east_m: float, to_north_m: float) -> LineOnPlan:
    """Length and bearing from one point to another.

    Parameters
    ----------
    from_east_m, from_north_m, to_east_m, to_north_m : float
        [m]

    Returns
    -------
    LineOnPlan
        [m, rad]
    """
    east, north = to_east_m - from_east_m, to_north_m - from_north_m
    return LineOnPlan(math.hypot(east, north), math.atan2(east, north) % (2 * math.pi))


@published("error-of-distance", DISTANCE_ERROR, validity="Independent errors; one standard deviation each.")
def error_of_distance_m(
    *,
    length_m: float,
    instrument_m: float,
    part_of_length: float = 0.0,
    centring_m: float = 0.0,
    target_m: float = 0.0,
    n_lengths: int = 1,
    working: Working | None = None,
) -> float:
    """Standard error of a measured length.

    Parameters
    ----------
    length_m : float
        [m]
    instrument_m : float
        Constant part of the instrument's error, or the error of one tape length. [m]
    part_of_length : float
        Further part in proportion to the length, such as 10 in a million = 1e-5. [-]
    centring_m, target_m : float
        Setting up over the point, holding the target. [m]
    n_lengths : int
        Tape lengths it was measured in; 1 for an electronic distance.

    Returns
    -------
    float
        [m]
    """
    if min(length_m, instrument_m, part_of_length, centring_m, target_m) < 0 or n_lengths < 1:
        raise OutOfRange("lengths and errors must not be below nought, and there is at least one tape length.")
    return (working or Working()).line(
        "E = sqrt(n*a**2 + (p*L)**2 + E_i**2 + E_t**2)", "m",
        n=n_lengths, a=(instrument_m, "m"), p=part_of_length, L=(length_m, "m"), E_i=(centring_m, "m"), E_t=(target_m, "m"),
    )  # fmt: skip


@published("tape-temperature", TAPE_TEMPERATURE, limits={"tape_temp_c": (-30.0, 60.0)})
def tape_temperature_m(*, length_m: float, tape_temp_c: float, working: Working | None = None) -> float:
    """What to add to a length read on a steel tape because the tape is warm or cold.

    Parameters
    ----------
    length_m : float
        As read. [m]
    tape_temp_c : float
        [°C]

    Returns
    -------
    float
        Positive for a warm tape, which reads short. [m]
    """
    return (working or Working()).line(
        "C_t = k*L*(T - T_0)", "m",
        k=(STEEL_EXPANSION_1_K, "/°C"), L=(length_m, "m"), T=(tape_temp_c, "°C"), T_0=(TAPE_STANDARD_TEMP_C, "°C"),
    )  # fmt: skip
