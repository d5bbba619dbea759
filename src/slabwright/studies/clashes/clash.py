"""What a clash is, what its rules read, and how a decision in the job file finds it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from slabwright.geometry.foundation import Foundation, Part
from slabwright.model.job import Decision, Job
from slabwright.results.check import Ask
from slabwright.sources import Clause
from slabwright.studies.bearing import BearingResult
from slabwright.studies.joints.study import JointsResult
from slabwright.studies.shape.study import ShapeResult
from slabwright.units import AREA, LENGTH, VOLUME, Family, format_quantity

Place = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place on the plan where a clash is felt. [m]"""

    name: str
    at: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One way to settle a clash, and what follows from it, in numbers."""

    choice: str
    then: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Two good rules that cannot both be had here.

    Attributes
    ----------
    key : str
        Stable name.
    title : str
        The two rules, as a decision names them.
    words : tuple of str
        What a decision must say to be about this clash; each within some word of it.
    why : str
    spots : tuple of Spot
    where : str
        The same places in words.
    options : tuple of Option
    drawn : str
        What the job file now holds, decided or not.
    ask : Ask
        Who has the last word.
    clause : Clause
    decision : Decision or None
    """

    key: str
    title: str
    words: tuple[str, ...]
    why: str
    spots: tuple[Spot, ...]
    where: str
    options: tuple[Option, ...]
    drawn: str
    ask: Ask
    clause: Clause
    decision: Decision | None = None

    @property
    def is_settled(self) -> bool:
        """Whether a decision stands with a choice, a name and a day."""
        return self.decision is not None and bool(self.decision.choice and self.decision.by and self.decision.on)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What every rule reads; the loads of posts only where they are known."""

    job: Job
    built: ShapeResult
    joints: JointsResult
    bearing: BearingResult | None

    @property
    def foundation(self) -> Foundation:
        """Of the job."""
        return self.built.foundation

    @property
    def family(self) -> Family:
        """Units of the job."""
        return self.job.family

    def length(self, value_m: float) -> str:
        """A length in words; whole millimetres."""
        return format_quantity(value_m if self.family is Family.US else round(value_m, 3), LENGTH, self.family)

    def run(self, value_m: float) -> str:
        """A long length in words, in whole feet or metres."""
        unit = "ft" if self.family is Family.US else "m"
        return format_quantity(value_m, LENGTH, self.family, unit=unit, digits=3)

    def area(self, value_m2: float) -> str:
        """An area in words."""
        return format_quantity(value_m2, AREA, self.family, digits=3)

    def volume(self, value_m3: float) -> str:
        """A volume in words."""
        return format_quantity(value_m3, VOLUME, self.family, digits=3)


def middle(ground: Ground, name: str) -> Spot:
    """A place well inside the floor."""
    at = ground.foundation.region.representative_point()
    return Spot(name=name, at=(at.x, at.y))


def halfway(line: Sequence[Place]) -> Place:
    """Half way along a line, or its one point. [m]"""
    if len(line) == 1:
        return line[0]
    at = shapely.LineString(line).interpolate(0.5, normalized=True)
    return at.x, at.y


def centre(part: Part) -> Place:
    """A place over the bottom of a part. [m]"""
    at = part.bottom.centroid
    if not part.bottom.covers(at):
        at = part.bottom.representative_point()
    return at.x, at.y


def names(spots: Sequence[Spot], most: int = 8) -> str:
    """Places in words, the first few by name."""
    listed = list(dict.fromkeys(spot.name for spot in spots))
    more = f" and {len(listed) - most} more" if len(listed) > most else ""
    return ", ".join(listed[:most]) + more


def speaks_of(decision: Decision, clash: Clash) -> bool:
    """Whether a decision names this clash: by its key, or with all of its words."""
    said = decision.clash.lower()
    if said.strip() == clash.key:
        return True
    spoken = re.findall(r"[a-z]+", said)
    return all(any(word.startswith(stem) for word in spoken) for stem in clash.words)
