"""Load combinations: how the cases of one level are added up."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum

from slabwright.model.loads import LoadCase, Reaction, Reactions


class LoadStandard(Enum):
    """Edition that load combinations follow."""

    ASCE_7_22 = "ASCE 7-22"
    ASCE_7_16 = "ASCE 7-16"
    EN_1990 = "EN 1990"


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
    level : Level
    terms : tuple of (float, LoadCase)
        Factors; cases that are not named count nothing.
    letters : Mapping[LoadCase, str]
        How its standard writes the cases.
    """

    level: Level
    terms: tuple[tuple[float, LoadCase], ...]
    letters: Mapping[LoadCase, str] = field(repr=False)

    @property
    def name(self) -> str:
        """As written out, such as ``0.6D + 0.6W``."""
        return " + ".join(f"{'' if factor == 1 else f'{factor:g}'}{self.letters[case]}" for factor, case in self.terms).replace("+ -", "- ")

    @property
    def factors(self) -> Mapping[LoadCase, float]:
        """Factor by case."""
        return {case: factor for factor, case in self.terms}

    def limited(self, cases: Collection[LoadCase]) -> "Combination":
        """The same with only those cases."""
        return replace(self, terms=tuple(term for term in self.terms if term[1] in cases))

    def of(self, reactions: Reactions) -> Reaction:
        """The reactions of a post, factored and added."""
        parts = [(factor, reactions[case]) for factor, case in self.terms if case in reactions]
        return Reaction(
            down_n=sum(factor * part.down_n for factor, part in parts),
            shear_x_n=sum(factor * part.shear_x_n for factor, part in parts),
            shear_y_n=sum(factor * part.shear_y_n for factor, part in parts),
            moment_x_nm=sum(factor * part.moment_x_nm for factor, part in parts),
            moment_y_nm=sum(factor * part.moment_y_nm for factor, part in parts),
        )

    def total(self, loads: Mapping[LoadCase, float]) -> float:
        """Loads of one kind by case, factored and added."""
        return sum(factor * loads.get(case, 0.0) for factor, case in self.terms)

    @property
    def dead_factor(self) -> float:
        """Factor on dead load, which the weight of the concrete shares."""
        return self.factors.get(LoadCase.DEAD, 0.0)
