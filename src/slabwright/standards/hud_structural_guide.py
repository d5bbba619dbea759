"""Residential structural design guide of the US housing department: simple footings."""

from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import INCH_M

HUD_GUIDE = Source("HUD guide 2000", "Residential Structural Design Guide, 2000 edition, US Department of Housing and Urban Development")
SIMPLE_FOOTING = Clause(HUD_GUIDE, "4.4.2", Basis.QUOTED)


@published("plain-footing-thickness", SIMPLE_FOOTING, validity="Rule of thumb for plain concrete wall footings.")
def plain_footing_thickness_m(*, projection_m: float) -> float:
    """Thickness of a plain concrete footing: its projection beyond the wall, and at least 6 in.

    Parameters
    ----------
    projection_m : float
        Beyond the face of the wall. [m]

    Returns
    -------
    float
        [m]
    """
    return max(projection_m, 6 * INCH_M)
