"""What the hold points are made from, and the stations they name on the plan."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely

from slabwright.geometry.foundation import Foundation
from slabwright.model.job import Job
from slabwright.results.check import Check
from slabwright.standards.site_acceptance import FORM_SHOTS_M
from slabwright.studies.clashes import ClashesResult
from slabwright.studies.forms.study import FormsResult
from slabwright.studies.joints.study import JointsResult
from slabwright.studies.mix.study import MixResult
from slabwright.studies.under_slab import UnderSlabResult


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A place that hold points name. [m]"""

    name: str
    at: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Results that hold points are read from."""

    job: Job
    foundation: Foundation
    joints: JointsResult
    forms: FormsResult
    mix: MixResult
    under: UnderSlabResult
    clashes: ClashesResult
    minimums: tuple[Check, ...]
    stations: tuple[Station, ...]

    def minimum(self, key: str) -> Check | None:
        """A check of the least dimensions, where it was made."""
        return next((check for check in self.minimums if check.key == key), None)

    @property
    def ring(self) -> str:
        """The form line in words."""
        return span(self.stations)

    @property
    def pads(self) -> str:
        """All pads in words."""
        return few([pad.name for pad in self.job.pads]) or "none"


def form_stations(foundation: Foundation) -> tuple[Station, ...]:
    """Corners of the form line, and places between them no farther apart than form tops are shot."""
    return tuple(Station(name=f"F{number}", at=at) for number, at in enumerate(_round(foundation.outline.exterior), start=1))


def _round(ring: shapely.LinearRing) -> Iterator[tuple[float, float]]:
    corners = shapely.get_coordinates(ring)
    for (x1, y1), (x2, y2) in pairwise(corners):
        length = float(((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5)
        pieces = max(1, int(-(-(length - 1e-6) // FORM_SHOTS_M)))
        for piece in range(pieces):
            share = piece / pieces
            yield float(x1 + share * (x2 - x1)), float(y1 + share * (y2 - y1))


def span(stations: Sequence[Station]) -> str:
    """First to last of a run of stations."""
    return f"stations {stations[0].name} to {stations[-1].name}"


def few(names: Sequence[str], most: int = 6) -> str:
    """Names in words; the ends of a long list."""
    names = sorted(names, key=_counted)
    if len(names) <= most:
        return ", ".join(names)
    return f"{names[0]} to {names[-1]} ({len(names)})"


def _counted(name: str) -> tuple[str, int]:
    """So that P2 comes before P11."""
    head = name.rstrip("0123456789")
    return head, int(name[len(head) :] or 0)
