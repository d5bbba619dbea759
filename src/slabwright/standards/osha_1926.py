"""US safety rules for the trades of a slab: what every sheet repeats as a caution, with the number in it."""

from dataclasses import dataclass
from enum import Enum

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M

OSHA_1926 = Source("29 CFR 1926", "US safety and health regulations for construction")
EXCAVATION = Clause(OSHA_1926, "subpart P: protect from 5 ft, spoil 2 ft back, a way out within 25 ft from 4 ft", Basis.QUOTED)
CAPS = Clause(OSHA_1926, "701(b): guard every bar that someone could fall on", Basis.QUOTED)
SILICA = Clause(OSHA_1926, "1153, table 1: wet saws", Basis.QUOTED)
ERECTION = Clause(OSHA_1926, "752(a)(1): written notice, 75 % of strength by field-cured samples or enough for erection", Basis.QUOTED)
POWER_LINES = Clause(OSHA_1926, "pump booms: a named spotter within 20 ft of a power line", Basis.QUOTED)

PROTECT_DEPTH_M = 5 * FOOT_M
SPOIL_BACK_M = 2 * FOOT_M
LADDER_DEPTH_M = 4 * FOOT_M
LINE_CLEARANCE_M = 20 * FOOT_M
ERECTION_SHARE = 0.75


class SawPlace(Enum):
    """Where a wet saw runs."""

    WALK_BEHIND_OUTDOORS = "walk-behind, outdoors"
    WALK_BEHIND_INDOORS = "walk-behind, indoors or enclosed"
    HAND_HELD_OUTDOORS = "hand-held, outdoors"
    HAND_HELD_INDOORS = "hand-held, indoors or enclosed"


@published("saw-respirator", SILICA, validity="Wet sawing with water at the blade; US table.")
def saw_respirator_factor(*, place: SawPlace, time_h: float) -> float:
    """Assigned protection factor of the respirator that a wet saw asks for; 0 for none.

    Parameters
    ----------
    place : SawPlace
    time_h : float
        In one shift. [h]

    Returns
    -------
    float
        0 or 10. [-]

    Raises
    ------
    OutOfRange
        For a negative time.
    """
    if time_h < 0:
        raise OutOfRange(f"hours of sawing must be nought or more (got {time_h!r}).")
    if place is SawPlace.WALK_BEHIND_OUTDOORS:
        return 0.0
    if place is SawPlace.HAND_HELD_OUTDOORS:
        return 10.0 if time_h > 4 else 0.0
    return 10.0


@dataclass(frozen=True, slots=True)
class DigRule:
    """What a dug edge or pad asks for at its depth.

    Attributes
    ----------
    protect, ladder : bool
    spoil_back_m : float
        [m]
    """

    protect: bool
    ladder: bool
    spoil_back_m: float


@published("dig-rule", EXCAVATION, validity="Less where the ground may cave in: a competent person decides.")
def dig_rule(*, depth_m: float) -> DigRule:
    """Protection, way out and spoil of a trench or pit.

    Parameters
    ----------
    depth_m : float
        Of the dig. [m]

    Returns
    -------
    DigRule
        Spoil set back. [m]
    """
    return DigRule(depth_m >= PROTECT_DEPTH_M - 1e-9, depth_m >= LADDER_DEPTH_M - 1e-9, SPOIL_BACK_M)
