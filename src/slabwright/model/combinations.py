"""Load combinations: how the cases of one level are added up."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from slabwright.model.loads import LoadCase, Reaction, Reactions


class Level(Enum):
    """What a combination is meant for."""

    SERVICE = "service"
    STRENGTH = "strength"
    STABILITY = "stability"


@dataclass(frozen=True, slots=True, kw_only=True)
class Combination:
    """One sum of factored cases.

    Attributes
    ----------
    name : str
        As written out, such as ``0.6D + 0.6W``.
    level : Level
    factors : Mapping[LoadCase, float]
        Cases that are not named count nothing.
    """

    name: str
    level: Level
    factors: Mapping[LoadCase, float]

    def of(self, reactions: Reactions) -> Reaction:
        """The reactions of a post, factored and added."""
        parts = [(factor, reactions[case]) for case, factor in self.factors.items() if case in reactions]
        return Reaction(
            down_n=sum(factor * part.down_n for factor, part in parts),
            shear_x_n=sum(factor * part.shear_x_n for factor, part in parts),
            shear_y_n=sum(factor * part.shear_y_n for factor, part in parts),
            moment_x_nm=sum(factor * part.moment_x_nm for factor, part in parts),
            moment_y_nm=sum(factor * part.moment_y_nm for factor, part in parts),
        )

    def total(self, loads: Mapping[LoadCase, float]) -> float:
        """Loads of one kind by case, factored and added."""
        return sum(factor * loads.get(case, 0.0) for case, factor in self.factors.items())

    @property
    def dead_factor(self) -> float:
        """Factor on dead load, which the weight of the concrete shares."""
        return self.factors.get(LoadCase.DEAD, 0.0)
