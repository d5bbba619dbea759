"""IRC chapters 25 to 30 under the slab: tests before cover, fall of drains, sleeves and wraps of pipes in concrete."""

from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause
from slabwright.standards.irc import IRC
from slabwright.units import FOOT_M, INCH_M, POUND_FORCE_N

DRAIN_TEST = Clause(IRC, "P2503: drains under the slab, 10 ft head of water or 5 psi of air, 15 minutes, uncovered", Basis.QUOTED)
WATER_TEST = Clause(IRC, "P2503.7: working pressure, or 50 psi of air for 15 minutes", Basis.MEMORY)
GAS_TEST = Clause(IRC, "G2417.4: one and a half times the working pressure, at least 3 psi, 10 minutes", Basis.MEMORY)
DRAIN_FALL = Clause(IRC, "P3005.3: 1/4 in. per foot to 2 1/2 in., 1/8 in. per foot from 3 to 6 in.", Basis.MEMORY)
SLEEVE = Clause(IRC, "P2603.4: pipes through footings and foundation walls in a sleeve two sizes larger", Basis.MEMORY)
PROTECTION = Clause(IRC, "P2603.3: protect pipes in concrete against corrosion and breakage", Basis.MEMORY)

DRAIN_HEAD_M = 10 * FOOT_M
_PSI_PA = POUND_FORCE_N / INCH_M**2
DRAIN_AIR_PA = 5 * _PSI_PA
WATER_AIR_PA = 50 * _PSI_PA
GAS_AIR_PA = 3 * _PSI_PA
TEST_H = 0.25
"""Time that water and drain tests stand. [h]"""
GAS_TEST_H = 10 / 60
_SMALL_M, _MIDDLE_M = 2.5 * INCH_M, 6.0 * INCH_M


@dataclass(frozen=True, slots=True)
class DrainTest:
    """What a drain under the slab must hold before it is covered.

    Attributes
    ----------
    head_m : float
        Water above the highest fitting. [m]
    air_pa : float
        Instead of water. [Pa]
    time_h : float
        Without loss. [h]
    """

    head_m: float
    air_pa: float
    time_h: float


@published("drain-test", DRAIN_TEST)
def drain_test() -> DrainTest:
    """Test of drains under the slab before they are covered.

    Returns
    -------
    DrainTest
        Head [m], air pressure [Pa], time [h].
    """
    return DrainTest(DRAIN_HEAD_M, DRAIN_AIR_PA, TEST_H)


@published("drain-fall", DRAIN_FALL, validity="Horizontal drains; larger ones by design.")
def drain_fall(*, diameter_m: float) -> float:
    """Least fall of a drain under the slab.

    Parameters
    ----------
    diameter_m : float
        Nominal. [m]

    Returns
    -------
    float
        Drop per run. [-]

    Raises
    ------
    OutOfRange
        If the diameter is nought or less.
    """
    if diameter_m <= 0:
        raise OutOfRange(f"a drain needs a diameter (got {diameter_m!r} m).")
    if diameter_m <= _SMALL_M + 1e-9:
        return 1 / 48
    return 1 / 96 if diameter_m <= _MIDDLE_M + 0.02 else 1 / 192
