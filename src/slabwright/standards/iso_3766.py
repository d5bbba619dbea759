"""ISO 3766 and BS 8666: shapes of bent bars, their dimensions and the length to cut.

Dimensions run out to out, over the outside of the bar, as a bar list states them. The length to cut is that of the
bar's centre line: legs are shorter than their outside dimensions by what each bend saves.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic

ISO_3766 = Source("ISO 3766:2003", "Construction drawings: simplified representation of concrete reinforcement")
BS_8666 = Source("BS 8666:2020", "Scheduling, dimensioning, cutting and bending of steel reinforcement for concrete")
SHAPES = Clause(ISO_3766, "Table 3, shape codes", Basis.MEMORY)
LENGTHS = Clause(BS_8666, "Table 5, lengths of the shape codes", Basis.MEMORY)
CUT_LENGTH = arithmetic("length of the centre line of the bent bar")


class Shape(Enum):
    """Shape code of a bar; the letters are its dimensions in order along the bar."""

    STRAIGHT = "00"
    L_BAR = "11"
    U_BAR = "21"
    HAIRPIN = "13"


BENDS: Mapping[Shape, tuple[float, ...]] = MappingProxyType(
    {Shape.STRAIGHT: (), Shape.L_BAR: (90.0,), Shape.U_BAR: (90.0, 90.0), Shape.HAIRPIN: (180.0,)}
)
"""Angles turned at the bends, in degrees."""


@dataclass(frozen=True, slots=True)
class CutLength:
    """What to cut for a bent bar.

    Attributes
    ----------
    outside_m : float
        Sum of its outside dimensions. [m]
    saved_m : float
        What the bends save. [m]
    cut_m : float
        Length of the centre line. [m]
    """

    outside_m: float
    saved_m: float
    cut_m: float


@published("bar-cut-length", CUT_LENGTH, validity="Bends of less than 180 degrees; legs measured over the outside of the bar.")
def bar_cut_length(
    *,
    legs_m: Sequence[float],
    bar_diameter_m: float,
    bend_diameter_m: float,
    angle_rad: float = math.pi / 2,
    working: Working | None = None,
) -> CutLength:
    """Length to cut for a bar of straight legs and equal bends.

    Parameters
    ----------
    legs_m : sequence of float
        Each leg over the outside of the bar, to where the outer faces meet. [m]
    bar_diameter_m : float
        Nominal. [m]
    bend_diameter_m : float
        Inside diameter of the bends. [m]
    angle_rad : float
        Angle that each bend turns through. [rad]

    Returns
    -------
    CutLength
        [m]

    Raises
    ------
    OutOfRange
        For a leg too short for its bends, or an angle that is no bend.

    Notes
    -----
    With the inside radius :math:`r` and the bar diameter :math:`d` a bend of angle :math:`\\theta` takes the arc
    :math:`\\theta(r + d/2)` of the centre line and saves :math:`(r + d)\\tan(\\theta/2)` of each of its two legs. For 90
    degrees that is 0.43 r + 1.21 d a bend, which BS 8666 writes as 0.5 r + d.
    """
    working = working or Working()
    if not legs_m or min(legs_m) <= 0 or bar_diameter_m <= 0 or bend_diameter_m < 0:
        raise OutOfRange("legs and bar diameter must be above nought.")
    if not 0.0 < angle_rad < math.pi - 1e-9:
        raise OutOfRange("a bend turns by more than 0 and less than 180 degrees; give a hairpin as two bends of 90.")
    n_bends = len(legs_m) - 1
    setback = (bend_diameter_m / 2 + bar_diameter_m) * math.tan(angle_rad / 2)
    for number, leg in enumerate(legs_m):
        shares = (number > 0) + (number < n_bends)
        if leg < shares * setback - 1e-9:
            raise OutOfRange(f"leg {number + 1} is shorter than its bends need ({shares * setback:.3f} m); lengthen it.")
    mm = 1000.0
    outside = working.line("L_o = S", "mm", S=(sum(legs_m) * mm, "mm"), note="sum of the outside dimensions")
    saved = working.line(
        "s = n*(2*(r + d)*tan(theta/2) - theta*(r + d/2))", "mm", n=n_bends, r=(bend_diameter_m / 2 * mm, "mm"),
        d=(bar_diameter_m * mm, "mm"), theta=(angle_rad, "rad"),
    )  # fmt: skip
    cut = working.line("L = L_o - s", "mm", L_o=(outside, "mm"), s=(saved, "mm"))
    return CutLength(outside / mm, saved / mm, cut / mm)


def hairpin_length_m(*, leg_m: float, width_m: float, bar_diameter_m: float) -> float:
    """Length to cut for a hairpin: two equal legs joined by a half circle as wide as the hairpin.

    Parameters
    ----------
    leg_m : float
        Over the outside, bend included. [m]
    width_m : float
        Over the outside. [m]
    bar_diameter_m : float
        [m]

    Returns
    -------
    float
        [m]

    Raises
    ------
    OutOfRange
        If the legs are shorter than the half circle.
    """
    if leg_m < width_m / 2 or width_m <= bar_diameter_m:
        raise OutOfRange("a hairpin needs a width above its bar and legs longer than half its width.")
    return 2 * (leg_m - width_m / 2) + math.pi * (width_m - bar_diameter_m) / 2


def centre_line(
    *, legs_m: Sequence[float], bends_rad: Sequence[float], bar_diameter_m: float, bend_diameter_m: float, steps: int = 8
) -> tuple[tuple[float, float], ...]:
    """Points along the centre line of a bent bar, its first leg along x, bends to the left.

    Parameters
    ----------
    legs_m : (n,) sequence of float
        Over the outside. [m]
    bends_rad : (n - 1,) sequence of float
        Positive to the left. [rad]
    bar_diameter_m, bend_diameter_m : float
        [m]
    steps : int
        Straight pieces that stand for each arc.

    Returns
    -------
    tuple of (x, y)
        [m]
    """
    radius = bend_diameter_m / 2 + bar_diameter_m / 2
    x, y, heading = 0.0, 0.0, 0.0
    points = [(x, y)]
    for number, leg in enumerate(legs_m):
        setbacks = [(bend_diameter_m / 2 + bar_diameter_m) * math.tan(abs(bend) / 2) for bend in bends_rad[max(0, number - 1) : number + 1]]
        straight = leg - sum(setbacks)
        x, y = x + straight * math.cos(heading), y + straight * math.sin(heading)
        points.append((x, y))
        if number < len(bends_rad):
            bend = bends_rad[number]
            side = math.copysign(1.0, bend)
            centre = (x - side * radius * math.sin(heading), y + side * radius * math.cos(heading))
            for step in range(1, steps + 1):
                turned = heading + bend * step / steps
                points.append((centre[0] + side * radius * math.sin(turned), centre[1] - side * radius * math.cos(turned)))
            x, y = points[-1]
            heading += bend
    return tuple(points)
