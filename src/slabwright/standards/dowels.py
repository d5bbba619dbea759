"""Dowels across joints: size, length and spacing by the thickness of the slab."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M

UFC_3_260_02 = Source("UFC 3-260-02", "Pavement Design for Airfields, 30 June 2001")
HEAVY_DOWELS = Clause(UFC_3_260_02, "Table 12-8", Basis.TEXT_SEEN)
FLOOR_DOWELS = Clause(
    Source("ACI 302/360 dowels", "Round dowels of floors as the floor guides tabulate them"), "table by slab thickness", Basis.MEMORY
)

# slab in: diameter in, length in; 12 in. apart
_FLOOR = {5: (0.625, 12), 6: (0.75, 14), 7: (0.875, 14), 8: (1.0, 14), 9: (1.125, 16), 10: (1.25, 16)}
# up to slab in: diameter in, length in, spacing in; of a range the larger diameter
_HEAVY = (
    (8.0, 0.75, 16, 12),
    (12.0, 1.0, 16, 12),
    (16.0, 1.25, 20, 15),
    (21.0, 1.5, 20, 18),
    (26.0, 2.0, 24, 18),
    (float("inf"), 3.0, 30, 18),
)


@dataclass(frozen=True, slots=True)
class Dowel:
    """One row of dowels. [m]"""

    diameter_m: float
    length_m: float
    spacing_m: float


@published(
    "dowel",
    FLOOR_DOWELS,
    validity="Round, smooth, greased at one end; floors of 5 to 10 in.",
    limits={"thickness_m": (5 * INCH_M, 10 * INCH_M)},
)
def dowel(*, thickness_m: float) -> Dowel:
    """Dowel of a construction joint in a floor.

    Parameters
    ----------
    thickness_m : float
        Of the floor; between two lines the thinner is read, below 5 in. that of 5 in. [m]

    Returns
    -------
    Dowel
        [m]

    Raises
    ------
    OutOfRange
        For a thickness of nought.
    """
    inches = thickness_m / INCH_M
    if inches <= 0:
        raise OutOfRange(f"a floor needs a thickness above nought (got {thickness_m:g} m).")
    line = min(max(int(inches + 1e-6), 5), 10)
    diameter, length = _FLOOR[line]
    return Dowel(diameter * INCH_M, length * INCH_M, 12 * INCH_M)


@published("dowel-heavy", HEAVY_DOWELS, validity="Pavements and heavily loaded floors.")
def heavy_dowel(*, thickness_m: float) -> Dowel:
    """Dowel of a pavement or heavily loaded floor.

    Parameters
    ----------
    thickness_m : float
        [m]

    Returns
    -------
    Dowel
        [m]

    Raises
    ------
    OutOfRange
        For a thickness of nought.
    """
    inches = thickness_m / INCH_M
    if inches <= 0:
        raise OutOfRange(f"a slab needs a thickness above nought (got {thickness_m:g} m).")
    _, diameter, length, spacing = next(row for row in _HEAVY if inches < row[0])
    return Dowel(diameter * INCH_M, length * INCH_M, spacing * INCH_M)
