"""Concrete Floors on Ground, second edition, 1983: spacing of control joints by slump and size of the stone."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, INCH_M

CONCRETE_FLOORS = Source("PCA EB075", "Portland Cement Association, Concrete Floors on Ground, second edition, 1983")
SPACING_BY_MIX = Clause(
    CONCRETE_FLOORS,
    'maximum spacing of control joints, as two handbooks print it; they head its first columns "4-6 in." and "3-5 inches" of slump',
    Basis.QUOTED,
)

SOFT_SLUMP_M = 4 * INCH_M
"""Slump from which the concrete counts as soft: one heading says 4 to 6 in., the other column in both less than 4 in."""
LARGE_STONE_M = 0.75 * INCH_M
_METRIC_STONE = 0.98
"""Stone of 20 and of 19 mm is sold for the same sieve."""
# thickness in.: soft with stone under 3/4 in., soft with 3/4 in. and larger, slump under 4 in.; feet
_TABLE: dict[int, tuple[int, int, int]] = {
    4: (8, 10, 12),
    5: (10, 13, 15),
    6: (12, 15, 18),
    7: (14, 18, 21),
    8: (16, 20, 24),
    9: (18, 23, 27),
    10: (20, 25, 30),
}


@dataclass(frozen=True, slots=True)
class SpacingByMix:
    """What the table gives: the spacing, and that in thicknesses of the slab.

    Attributes
    ----------
    spacing_m : float
        Greatest. [m]
    thicknesses : float
        [-]
    """

    spacing_m: float
    thicknesses: float


@published(
    "joint-spacing-by-mix",
    SPACING_BY_MIX,
    validity="Thickness 4 to 10 in.; beyond, in proportion to the thickness. No absolute cap: apply that of joint-spacing.",
    limits={"thickness_m": (4 * INCH_M, 10 * INCH_M), "slump_m": (0.0, 6 * INCH_M)},
)
def joint_spacing_by_mix(*, thickness_m: float, slump_m: float, aggregate_size_m: float) -> SpacingByMix:
    """Greatest spacing of control joints from slump, stone and thickness; between printed thicknesses along a straight line.

    Parameters
    ----------
    thickness_m : float
        Of the slab. [m]
    slump_m : float
        As placed. [m]
    aggregate_size_m : float
        Nominal largest stone. [m]

    Returns
    -------
    SpacingByMix
        [m] and [-]

    Raises
    ------
    OutOfRange
        For a thickness, slump or stone of nought.
    """
    if min(thickness_m, slump_m, aggregate_size_m) <= 0:
        raise OutOfRange(f"thickness, slump and stone are above nought (got {thickness_m:g} m, {slump_m:g} m, {aggregate_size_m:g} m).")
    if slump_m < SOFT_SLUMP_M - 1e-6:
        column = 2
    else:
        column = 1 if aggregate_size_m >= _METRIC_STONE * LARGE_STONE_M else 0
    inches = thickness_m / INCH_M
    least, most = min(_TABLE), max(_TABLE)
    if inches <= least:
        feet = _TABLE[least][column] * inches / least
    elif inches >= most:
        feet = _TABLE[most][column] * inches / most
    else:
        below = int(inches)
        share = inches - below
        feet = _TABLE[below][column] * (1 - share) + _TABLE[below + 1][column] * share
    return SpacingByMix(feet * FOOT_M, feet * 12 / inches)
