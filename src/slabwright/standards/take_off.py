"""Counting sheets, rolls and chairs by hand, as estimating courses and training manuals teach it."""

import math
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic
from slabwright.units import FOOT_M

EXERCISES = Source("estimating exercises", "Exercises of an estimating-fundamentals course: mesh rolls and membrane of a slab")
COURSE_NOTES = Source("slab reinforcing notes", "Engineering course notes on slab-on-grade reinforcing")
ROLLS_BY_AREA = Clause(EXERCISES, "mesh rolls, area with an allowance", Basis.QUOTED)
STRIPS = Clause(EXERCISES, "membrane, subtract the lap from the width", Basis.QUOTED)
SHEETS = arithmetic("lapped sheets in rows, both ways tried")
CHAIRS_BY_AREA = Clause(COURSE_NOTES, "one chair to 25 ft² of mesh", Basis.TEXT_SEEN)

AREA_OF_A_CHAIR_M2 = 25 * FOOT_M**2


def pieces_lapped(*, length_m: float, piece_m: float, lap_m: float, working: Working | None = None) -> int:
    """Pieces that cover a length when each laps the one before; one where a single piece is long enough.

    Parameters
    ----------
    length_m, piece_m, lap_m : float
        [m]

    Raises
    ------
    OutOfRange
        If a piece is not longer than its lap.
    """
    if not length_m > 0.0 or not piece_m > lap_m >= 0.0:
        raise OutOfRange("the length must be above nought and a piece longer than its lap; use longer pieces or a shorter lap.")
    working = working or Working()
    steps = working.line("q = (L - l)/(s - l)", L=(length_m, "m"), l=(lap_m, "m"), s=(piece_m, "m"))
    return round(working.line("n = max(1, ceil(q - 0.000001))", q=steps, note="rounded up, a float's last digit aside"))


@dataclass(frozen=True, slots=True)
class SheetCount:
    """Sheets for a rectangle.

    Attributes
    ----------
    rows, sheets_a_row : int
        Of the better way.
    n_sheets : int
    n_sheets_other_way : int
        With the sheets turned.
    """

    rows: int
    sheets_a_row: int
    n_sheets: int
    n_sheets_other_way: int


@published("sheet-count", SHEETS, validity="A rectangle of whole sheets in straight rows.")
def sheet_count(
    *, length_m: float, width_m: float, sheet_length_m: float, sheet_width_m: float, lap_m: float, cover_m: float = 0.0,
    working: Working | None = None,
) -> SheetCount:  # fmt: skip
    """Sheets that cover a rectangle with laps, the better of both ways of turning them.

    Parameters
    ----------
    length_m, width_m : float
        Of the floor. [m]
    sheet_length_m, sheet_width_m : float
        [m]
    lap_m : float
        Least lap, both ways. [m]
    cover_m : float
        From the form to the sheets, on all sides. [m]

    Returns
    -------
    SheetCount
    """
    working = working or Working()
    net_length, net_width = length_m - 2 * cover_m, width_m - 2 * cover_m
    if min(net_length, net_width) <= 0:
        raise OutOfRange("the cover leaves no floor for sheets; check it.")
    ways = []
    for along, across in ((net_length, net_width), (net_width, net_length)):
        in_row = pieces_lapped(length_m=along, piece_m=sheet_length_m, lap_m=lap_m, working=working)
        rows = pieces_lapped(length_m=across, piece_m=sheet_width_m, lap_m=lap_m, working=working)
        ways.append((in_row * rows, rows, in_row))
    (best, rows, in_row), (other, _, _) = sorted(ways)
    return SheetCount(rows, in_row, best, other)


@dataclass(frozen=True, slots=True)
class RollCount:
    """Strips of a roll over a rectangle.

    Attributes
    ----------
    n_strips : int
        Along the given length.
    n_strips_other_way : int
    n_rolls : int
        With strips along the given length, each strip whole where a roll is long enough; what is left of a roll is used.
    """

    n_strips: int
    n_strips_other_way: int
    n_rolls: int


@published("roll-count", STRIPS, validity="A rectangle; strips along its length.")
def roll_count(
    *, length_m: float, width_m: float, roll_width_m: float, roll_length_m: float, lap_m: float, working: Working | None = None
) -> RollCount:
    """Strips and rolls of sheet that cover a rectangle with laps.

    Parameters
    ----------
    length_m, width_m : float
        Of the floor. [m]
    roll_width_m, roll_length_m : float
        [m]
    lap_m : float
        Along the strips, and across them where a strip is longer than a roll. [m]

    Returns
    -------
    RollCount
    """
    working = working or Working()
    strips = pieces_lapped(length_m=width_m, piece_m=roll_width_m, lap_m=lap_m, working=working)
    other = pieces_lapped(length_m=length_m, piece_m=roll_width_m, lap_m=lap_m, working=working)
    whole = pieces_lapped(length_m=length_m, piece_m=roll_length_m, lap_m=lap_m, working=working) - 1
    rest = length_m - whole * (roll_length_m - lap_m)
    a_roll = math.floor(roll_length_m / rest + 1e-9)
    return RollCount(strips, other, strips * whole + -(-strips // a_roll))


@dataclass(frozen=True, slots=True)
class RollsByArea:
    """Rolls for an area.

    Attributes
    ----------
    exact : float
        Before rounding up. [-]
    n_rolls : int
    """

    exact: float
    n_rolls: int


@published("roll-count-by-area", ROLLS_BY_AREA, validity="A first guess; the area is the plan of the floor, not the surface of the solid.")
def rolls_by_area(*, area_m2: float, roll_area_m2: float, allowance: float, working: Working | None = None) -> RollsByArea:
    """Rolls for an area with an allowance for laps and waste.

    Parameters
    ----------
    area_m2, roll_area_m2 : float
        [m²]
    allowance : float
        Fraction added. [-]

    Returns
    -------
    RollsByArea
    """
    if min(area_m2, roll_area_m2) <= 0 or allowance < 0:
        raise OutOfRange("areas must be above nought and the allowance not below.")
    working = working or Working()
    exact = working.line("n = A*(1 + w)/A_r", A=(area_m2, "m²"), w=allowance, A_r=(roll_area_m2, "m²"))
    return RollsByArea(exact, math.ceil(exact - 1e-9))


@published("chair-count-by-area", CHAIRS_BY_AREA)
def chairs_by_area(*, area_m2: float, area_of_a_chair_m2: float = AREA_OF_A_CHAIR_M2) -> int:
    """Chairs under mesh, one to so much of it.

    Parameters
    ----------
    area_m2, area_of_a_chair_m2 : float
        [m²]

    Returns
    -------
    int
    """
    if area_m2 < 0 or area_of_a_chair_m2 <= 0:
        raise OutOfRange("areas must be above nought.")
    return math.ceil(area_m2 / area_of_a_chair_m2 - 1e-9)


@published("chair-count", arithmetic("a grid of chairs no further apart than the spacing"))
def chair_count(*, length_m: float, width_m: float, spacing_m: float, edge_m: float = 0.0, working: Working | None = None) -> int:
    """Chairs in a grid under a rectangle of mesh.

    Parameters
    ----------
    length_m, width_m : float
        Of the mesh. [m]
    spacing_m : float
        Largest, both ways. [m]
    edge_m : float
        From the edge of the mesh to the first chair. [m]

    Returns
    -------
    int
    """
    if spacing_m <= 0 or edge_m < 0 or min(length_m, width_m) < 2 * edge_m:
        raise OutOfRange("the spacing must be above nought and the edge distance less than half the mesh.")
    working = working or Working()
    return round(
        working.line(
            "n = (ceil((L - 2*e)/s - 0.000001) + 1)*(ceil((W - 2*e)/s - 0.000001) + 1)",
            L=(length_m, "m"), W=(width_m, "m"), e=(edge_m, "m"), s=(spacing_m, "m"),
        )
    )  # fmt: skip
