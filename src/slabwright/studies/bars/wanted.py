"""A line of steel that the job asks for, and what every zone needs to place one."""

from dataclasses import dataclass

from slabwright.errors import MissingInput
from slabwright.model.steel import Bars, Face, Zone
from slabwright.studies.bars.paths import Path
from slabwright.studies.bars.rules import Rules


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """One line of steel that the job asks for.

    Attributes
    ----------
    asked : int
        Which set of the job file.
    zone : Zone
    where : str
        Place on the plan.
    path : Path
    rules : Rules
    rank : int
        Neighbours in one face have ranks of different parity, so that their laps are kept apart.
    chain : int
        Which part of a face a line belongs to, where a face is made of several.
    is_lapped : bool
        True where the line may be longer than a bar and is made of several that lap.
    hooks : int
        Ends with an upright hook of 90 degrees.
    """

    asked: int
    zone: Zone
    where: str
    path: Path
    rules: Rules
    rank: int = 0
    chain: int = 0
    is_lapped: bool = True
    hooks: int = 0

    @property
    def place(self) -> tuple[object, ...]:
        """What tells it from every other line of its size, to compare by."""
        return self.asked, self.where, self.rank, self.chain, self.is_lapped, self.hooks, self.path.corners, self.path.depth_m

    @property
    def outside_legs_m(self) -> tuple[float, ...]:
        """Legs over the outside of the bar, upright hooks at its ends included. [m]"""
        legs = list(self.path.outside_legs_m(self.rules.bar.diameter_m))
        hook = [self.rules.hook_leg_m]
        return (*hook * (self.hooks > 0), *legs, *hook * (self.hooks > 1))


def depth_of(asked: Bars, rules: Rules, depth_m: float) -> float:
    """Depth of the centre line: by cover from the face. [m]"""
    half = rules.bar.diameter_m / 2
    place = asked.cover_m + half if asked.face is Face.TOP else depth_m - asked.cover_m - half
    if not half <= place <= depth_m - half:
        raise MissingInput(f"[[bars]] {asked.size} in {asked.zone.value}: the cover is larger than the concrete is deep; make it smaller.")
    return place
