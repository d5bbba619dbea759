"""Whether shots can be what they say they are: against the design, against each other."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from slabwright.files.surveyfile.columns import Sheet
from slabwright.files.surveyfile.shots import RawShots
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.survey import BaseSurvey, Rejected, Shot
from slabwright.units import FOOT_M, INCH_M, LENGTH, Family, format_quantity

OFF_DATUM_M = 0.30
"""A base that lies farther from its design on the average was shot from another datum or in another unit. [m]"""
DOUBTFUL_M = 0.04
SAME_PLACE_M = 0.02
BUST_M = 0.09
_BUST_SPREADS = 8.0
_MISREAD = ((FOOT_M, "a foot"), (0.1, "a tenth of a metre"), (1.0, "a metre"), (FOOT_M / 2, "half a foot"))
_MISTAKEN_UNITS = (
    (FOOT_M, "feet read as metres"),
    (1 / FOOT_M, "metres read as feet"),
    (INCH_M, "inches read as metres"),
    (1 / 12, "inches read as feet"),
    (12.0, "feet read as inches"),
)


def judged(sheet: Sheet, raw: RawShots, foundation: Foundation, family: Family) -> BaseSurvey:
    """Sort shots into those of the floor's base and those set aside, every one with its reason.

    Parameters
    ----------
    sheet : Sheet
        Takes the findings; a datum or unit that cannot be stops the reading.
    raw : RawShots
    foundation : Foundation
    family : Family
        Units of the messages.
    """
    judge = _Judge(sheet, foundation, family, list(raw.rejected))
    shots: list[Shot] = []
    if not raw.shots:
        sheet.refuse("shots", "the table holds no shot that can be used.")
    else:
        shots = judge.on_the_floor(raw.shots)
    if shots:
        judge.plausible(shots)
        shots = judge.without_busts(judge.one_to_a_place(shots, raw.instrument.level_sd_m))
    for gone in judge.rejected:
        sheet.warn(gone.name, f"not used: {gone.reason}")
    return BaseSurvey(shots=tuple(shots), instrument=raw.instrument, rejected=tuple(judge.rejected), source=sheet.source)


def deviations_m(shots: Sequence[Shot], foundation: Foundation) -> NDArray[np.float64]:
    """How much deeper than drawn the base lies at each shot, positive where the concrete gets thicker. [m]"""
    places = np.array([shot.at for shot in shots])
    depth = -np.array([shot.level_m for shot in shots]) - foundation.drop_m(places)
    return np.asarray(depth - foundation.thickness_m(places))


@dataclass(slots=True)
class _Judge:
    sheet: Sheet
    foundation: Foundation
    family: Family
    rejected: list[Rejected] = field(default_factory=list)

    def text(self, length_m: float) -> str:
        return format_quantity(abs(length_m), LENGTH, self.family)

    def below(self, length_m: float) -> str:
        return f"{self.text(length_m)} {'below' if length_m > 0 else 'above'}"

    def set_aside(self, shots: Sequence[Shot], reason: str) -> None:
        self.rejected += [Rejected(name=one.name, at=one.at, reason=reason) for one in shots]

    def on_the_floor(self, shots: Sequence[Shot]) -> list[Shot]:
        """Shots over the floor's own base; those outside or over edge, strips and pads are set aside."""
        places = np.array([shot.at for shot in shots])
        inside = self._inside(places)
        if inside.mean() < 0.5:
            message = f"{int((~inside).sum())} of {len(shots)} shots lie outside the floor{self._place_hint(places)}."
            self.sheet.refuse("x, y", f"{message} Shoot two corners by their letters, or check the places.")
        kept = []
        for shot, is_inside, number in zip(shots, inside, self.foundation.part_at(places), strict=True):
            if not is_inside:
                self.set_aside([shot], "it lies outside the floor or in a block-out.")
            elif (part := self.foundation.parts[number]).kind is not PartKind.FLOOR:
                name = "the edge" if part.kind is PartKind.EDGE else f"{part.kind.value} {part.name}"
                self.set_aside([shot], f"it lies over {name}, not on the base of the floor.")
            else:
                kept.append(shot)
        return kept

    def _inside(self, places: NDArray[np.float64]) -> NDArray[np.bool_]:
        return np.asarray(shapely.contains_xy(self.foundation.region.buffer(1e-6), places[:, 0], places[:, 1]))

    def _place_hint(self, places: NDArray[np.float64]) -> str:
        if self._inside(places[:, ::-1]).mean() > 0.9:
            return "; x and y look exchanged"
        for factor, reading in _MISTAKEN_UNITS[:2]:
            if self._inside(places * factor).mean() > 0.9:
                return f"; the places look like {reading}"
        return ""

    def plausible(self, shots: Sequence[Shot]) -> None:
        """A base far from its design on the average points to the datum or the unit."""
        median = float(np.median(deviations_m(shots, self.foundation)))
        depth = float(np.median([-shot.level_m for shot in shots]))
        wanted = depth - median
        if abs(median) <= DOUBTFUL_M:
            return
        mistaken = [reading for factor, reading in _MISTAKEN_UNITS if depth > 0 and abs(depth * factor / wanted - 1.0) < 0.2]
        if mistaken and abs(median) > 0.5 * wanted:
            found = f"the base would lie {self.text(depth)} below the forms where {self.text(wanted)} is drawn"
            self.sheet.refuse("levels", f"{found}; it looks like {mistaken[0]}.")
        elif depth < 0 and abs(-depth - wanted) < 0.5 * wanted:
            self.sheet.refuse("levels", "the base would lie above the forms; readings were taken as elevations, or the other way.")
        else:
            found = f"the base {{}} {self.below(median)} its design on the average"
            advice = "check the reading on the form tops and the datum."
            if abs(median) > OFF_DATUM_M:
                self.sheet.refuse("levels", f"{found.format('would lie')}; {advice}")
            else:
                self.sheet.warn("levels", f"{found.format('lies')}; if that is not so, {advice}")

    def one_to_a_place(self, shots: list[Shot], sd: float) -> list[Shot]:
        """Shots on one spot: the mean where they agree, none where they do not."""
        group = np.arange(len(shots))
        for i, j in sorted(cKDTree(np.array([shot.at for shot in shots])).query_pairs(SAME_PLACE_M)):
            group[group == group[j]] = group[i]
        kept = []
        for number in dict.fromkeys(group.tolist()):
            members = [shots[i] for i in np.flatnonzero(group == number)]
            names, levels = ", ".join(one.name for one in members), [one.level_m for one in members]
            spread = max(levels) - min(levels)
            if len(members) == 1:
                kept.append(members[0])
            elif spread <= 4 * math.sqrt(2) * sd:
                self.sheet.warn(names, "stand on one spot and agree; their mean is used.")
                x, y = np.mean([one.at for one in members], axis=0)
                kept.append(Shot(at=(float(x), float(y)), level_m=math.fsum(levels) / len(levels), name=members[0].name))
            else:
                self.set_aside(members, f"{names} stand on one spot and differ by {self.text(spread)}; shoot it again.")
        return kept

    def without_busts(self, shots: list[Shot]) -> list[Shot]:
        """A shot far from all its neighbours is a misread rod; one that is merely odd stays and is told."""
        if len(shots) < 6:
            return shots
        off = deviations_m(shots, self.foundation)
        places = np.array([shot.at for shot in shots])
        _, near = cKDTree(places).query(places, k=min(7, len(shots)))
        apart = off - np.median(off[np.asarray(near)[:, 1:]], axis=1)
        spread = 1.4826 * float(np.median(np.abs(apart))) + 1e-4
        kept = []
        for shot, gap in zip(shots, apart.tolist(), strict=True):
            if abs(gap) > max(BUST_M, _BUST_SPREADS * spread):
                whole = next((name for size, name in _MISREAD if abs(abs(gap) - size) < 0.02), "")
                hint = f", about {whole}: the rod was misread or misbooked" if whole else ""
                self.set_aside([shot], f"it lies {self.below(gap)} its neighbours{hint}; shoot it again.")
                continue
            if abs(gap) > _BUST_SPREADS * spread:
                self.sheet.warn(shot.name, f"lies {self.below(gap)} its neighbours; it is used, look at the spot.")
            kept.append(shot)
        return kept
