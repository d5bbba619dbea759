"""The ground that the stakes of the forms stand in: sand, or clay of a strength."""

from dataclasses import dataclass

from slabwright.model.ground import Soil
from slabwright.results.notes import Notes
from slabwright.results.working import Working
from slabwright.sources import Clause, practice
from slabwright.standards import stakes, tm_5_818_1
from slabwright.units import PRESSURE, Family, format_quantity

CLAYS = frozenset({"CL", "CH"})
FIRM_SAND = practice("what is usual on site")


@dataclass(frozen=True, slots=True)
class StakeGround:
    """What stakes stand in.

    Attributes
    ----------
    strength_pa : float or None
        Undrained strength of clay; None in sand. [Pa]
    """

    strength_pa: float | None = None

    @classmethod
    def of(cls, soil: Soil) -> "StakeGround":
        """Clay where the job's soil is clay, with the strength it states or the least of medium clay; else sand."""
        if soil.undrained_strength_pa is not None:
            return cls(soil.undrained_strength_pa)
        return cls(tm_5_818_1.MEDIUM_CLAY_PA if soil.soil_class.strip().upper() in CLAYS else None)

    @property
    def push_clause(self) -> Clause:
        """Where what a stake holds of a push is from."""
        return stakes.STAKE if self.strength_pa is None else stakes.STAKE_IN_CLAY

    @property
    def pull_clause(self) -> Clause:
        """Where what a stake holds of a pull is from."""
        return stakes.PULL_OUT if self.strength_pa is None else stakes.ADHESION

    def push_n(self, width_m: float, embedment_m: float, load_height_m: float, working: Working | None = None) -> float:
        """Push that turns a stake over. [N]"""
        if self.strength_pa is None:
            return stakes.stake_capacity_n(width_m=width_m, embedment_m=embedment_m, load_height_m=load_height_m, working=working)
        return stakes.stake_capacity_in_clay_n(
            width_m=width_m, embedment_m=embedment_m, load_height_m=load_height_m, undrained_strength_pa=self.strength_pa, working=working
        )

    def depth_m(self, push_n: float, width_m: float, safety_factor: float) -> float:
        """How deep a stake goes to hold a push at the ground. [m]"""
        if self.strength_pa is None:
            return stakes.stake_depth_m(push_n=push_n, width_m=width_m, safety_factor=safety_factor)
        return stakes.stake_depth_in_clay_m(
            push_n=push_n, width_m=width_m, safety_factor=safety_factor, undrained_strength_pa=self.strength_pa
        )

    def pull_n(self, width_m: float, embedment_m: float, working: Working | None = None) -> float:
        """Pull that draws a stake. [N]"""
        if self.strength_pa is None:
            return stakes.stake_pull_out_n(width_m=width_m, embedment_m=embedment_m, working=working)
        return stakes.stake_pull_out_of_clay_n(
            width_m=width_m, embedment_m=embedment_m, undrained_strength_pa=self.strength_pa, working=working
        )

    def say(self, soil: Soil, family: Family, notes: Notes) -> None:
        """What is taken of the ground where the job does not state it."""
        if self.strength_pa is None:
            notes.assume("soil.undrained_strength", "Stakes stand in firm sand of 30 degrees.", FIRM_SAND)
        elif soil.undrained_strength_pa is None:
            unit = "psf" if family is Family.US else "kPa"
            strength = format_quantity(self.strength_pa, PRESSURE, family, unit=unit, digits=2)
            notes.assume(
                "soil.undrained_strength",
                f"Stakes stand in clay of {strength} at least: a thumb goes several inches into it only with moderate effort. "
                "Where it goes in easily, the stakes hold half as much; clay softens in the wet.",
                tm_5_818_1.CONSISTENCY,
            )
