"""ACI 302.1R and what quotes it: spacing, depth and shape of control joints in a slab on the ground."""

import math
from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, INCH_M

ACI_302_1R = Source("ACI 302.1R", "Guide to Concrete Floor and Slab Construction, editions 1980 to 2015 as stated")
CSA_A23_1 = Source("CSA A23.1-94", "Concrete Materials and Methods of Concrete Construction, 1994")
JOINT_SPACING = Clause(ACI_302_1R, "1996, control joints: 24 to 36 thicknesses, at most 18 ft", Basis.QUOTED)
PANEL_ASPECT = Clause(ACI_302_1R, "1980, 2.3.2: long side at most 1.5 times the short", Basis.QUOTED)
SAW_DEPTH = Clause(ACI_302_1R, "a quarter of the thickness, at least 1 in.", Basis.QUOTED)
EARLY_ENTRY_DEPTH = Clause(ACI_302_1R, "2015, 5.2.8.3: at least 1 in. in slabs up to 9 in.", Basis.QUOTED)
CSA_JOINTS = Clause(CSA_A23_1, "20.2: a quarter to a third deep, 24 to 36 thicknesses, at most 5 m", Basis.QUOTED)
RE_ENTRANT = Clause(ACI_302_1R, "irregular slabs: a joint from every re-entrant corner", Basis.QUOTED)

USUAL_THICKNESSES, MOST_THICKNESSES = 30.0, 36.0
"""Spacing in thicknesses where nothing else is said, and the upper end of the range. [-]"""
GREATEST_SPACING_M = 18 * FOOT_M
CSA_GREATEST_SPACING_M = 5.0
GREATEST_ASPECT = 1.5
LEAST_CORNER_RAD = math.radians(60)
"""Least corner of a panel: common practice, no source."""
LEAST_WIDTH_SHARE = 0.45
"""Width of the narrowest panel over the spacing, about half: common practice, no source. [-]"""
LEAST_CUT_M = 1 * INCH_M
EFFECTIVE_DEPTH = 0.25
"""Depth of cut over local thickness below which a cut is no joint. [-]"""


@dataclass(frozen=True, slots=True)
class JointSpacing:
    """Spacing of control joints: the least that is usual, the one asked for, the greatest. [m]"""

    low_m: float
    spacing_m: float
    high_m: float


@published(
    "joint-spacing", JOINT_SPACING, validity="Unreinforced or lightly reinforced slab on the ground; upper limits, near-square panels."
)
def joint_spacing(*, thickness_m: float, thicknesses: float = 30.0, cap_m: float = GREATEST_SPACING_M) -> JointSpacing:
    """Spacing of control joints from the thickness of the slab.

    Parameters
    ----------
    thickness_m : float
        Of the slab. [m]
    thicknesses : float
        Spacing asked for, in thicknesses, 24 to 36. [-]
    cap_m : float
        Greatest spacing whatever the thickness. [m]

    Returns
    -------
    JointSpacing
        24 thicknesses, the number asked for, 36 thicknesses, none above the cap. [m]

    Raises
    ------
    OutOfRange
        For a thickness of nought or a number of thicknesses outside 24 to 36.
    """
    if thickness_m <= 0:
        raise OutOfRange(f"a slab needs a thickness above nought (got {thickness_m:g} m).")
    if not 24.0 <= thicknesses <= 36.0:
        raise OutOfRange(f"joint spacing is 24 to 36 slab thicknesses (got {thicknesses:g}).")
    low, asked, high = (min(number * thickness_m, cap_m) for number in (24.0, thicknesses, 36.0))
    return JointSpacing(low, asked, high)


class SawKind(Enum):
    """Which saw cuts."""

    CONVENTIONAL = "conventional"
    EARLY_ENTRY = "early-entry"


@published("saw-depth", SAW_DEPTH, validity="Early-entry rule: slabs up to 9 in.")
def saw_depth_m(*, thickness_m: float, saw: SawKind = SawKind.CONVENTIONAL) -> float:
    """Depth of cut that makes the slab crack there.

    Parameters
    ----------
    thickness_m : float
        Of the slab. [m]
    saw : SawKind

    Returns
    -------
    float
        A quarter of the thickness, at least 1 in.; 1 in. for an early-entry saw in slabs up to 9 in. [m]

    Raises
    ------
    OutOfRange
        For a thickness of nought.
    """
    if thickness_m <= 0:
        raise OutOfRange(f"a slab needs a thickness above nought (got {thickness_m:g} m).")
    if saw is SawKind.EARLY_ENTRY and thickness_m <= 9 * INCH_M + 1e-9:
        return LEAST_CUT_M
    return max(EFFECTIVE_DEPTH * thickness_m, LEAST_CUT_M)


@dataclass(frozen=True, slots=True)
class PanelShape:
    """Long side over short, and whether that is accepted."""

    aspect: float
    holds: bool


@published("panel-aspect", PANEL_ASPECT)
def panel_aspect(*, length_m: float, width_m: float, greatest: float = GREATEST_ASPECT) -> PanelShape:
    """Shape of a panel between joints.

    Parameters
    ----------
    length_m, width_m : float
        Sides, in either order. [m]
    greatest : float
        Greatest ratio accepted. [-]

    Returns
    -------
    PanelShape

    Raises
    ------
    OutOfRange
        For a side of nought.
    """
    if min(length_m, width_m) <= 0:
        raise OutOfRange(f"a panel needs sides above nought (got {length_m:g} m by {width_m:g} m).")
    aspect = max(length_m, width_m) / min(length_m, width_m)
    return PanelShape(aspect, aspect <= greatest + 1e-9)


@published("effective-cut", SAW_DEPTH)
def effective_cut(*, cut_m: float, local_thickness_m: float) -> float:
    """Depth of a cut over the thickness where it runs; below a quarter it is no joint.

    Parameters
    ----------
    cut_m : float
        Depth of cut. [m]
    local_thickness_m : float
        Of all concrete there, edge and pads included. [m]

    Returns
    -------
    float
        [-]

    Raises
    ------
    OutOfRange
        For a thickness of nought.
    """
    if local_thickness_m <= 0:
        raise OutOfRange(f"the slab needs a thickness above nought there (got {local_thickness_m:g} m).")
    return cut_m / local_thickness_m
