"""Smaller or sounder pads: the least size for each post, and the fewest kinds of hole that serve all of them."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, cast

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.errors import Infeasible
from slabwright.model.combinations import Level
from slabwright.model.job import Enclosure
from slabwright.solvers.smallest_set import smallest_set
from slabwright.studies.bearing.ballast import counted_n
from slabwright.studies.bearing.case import PadCase
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.pads import designs_for
from slabwright.studies.bearing.stand import Stand
from slabwright.studies.bearing.uplift import UpliftFigures
from slabwright.units import INCH_M, STANDARD_GRAVITY_M_S2, Family

Array = NDArray[np.float64]
MOST_TYPES = 3
_ANCHOR_COVER_M = 0.075
_WITHIN = 1.05
# larger than this the ground or the framing is wrong for pads
_LARGEST_SIDE_M = 6.0


@dataclass(frozen=True, slots=True, order=True)
class PadSize:
    """A square pad. [m]"""

    side_m: float
    depth_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PadSet:
    """Few kinds of pad that serve every post.

    Attributes
    ----------
    sizes : tuple of PadSize
    choice : tuple of (str, PadSize)
        Post to size.
    concrete_m3 : float
        Below the floor, all pads. [m³]
    """

    sizes: tuple[PadSize, ...]
    choice: tuple[tuple[str, PadSize], ...]
    concrete_m3: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestions:
    """Sizes that hold every check.

    Attributes
    ----------
    least : tuple of (str, PadSize)
        Smallest concrete for each post alone, its pad centred below it.
    sets : tuple of PadSet
        With one, two and three kinds at most; proven to need the least concrete.
    drawn_m3 : float
        Concrete of the pads as drawn below the floor, upright sides. [m³]
    none_for : tuple of str
        Posts for which no size on the grid holds.
    """

    least: tuple[tuple[str, PadSize], ...]
    sets: tuple[PadSet, ...]
    drawn_m3: float
    none_for: tuple[str, ...]

    def for_post(self, name: str) -> PadSize | None:
        """The least size of a post."""
        return dict(self.least).get(name)

    @property
    def best(self) -> PadSet | None:
        """The set with the fewest kinds whose concrete is within 5 per cent of that with the most."""
        if not self.sets:
            return None
        return next(one for one in self.sets if one.concrete_m3 <= _WITHIN * self.sets[-1].concrete_m3)


def suggest(stands: Sequence[Stand], uplift: dict[str, UpliftFigures], desk: Desk) -> Suggestions:
    """Search the grid of sizes and depths for every post, and for the cheapest few kinds."""
    if desk.ground.bearing_pa is None or not stands:
        return Suggestions(least=(), sets=(), drawn_m3=0.0, none_for=())
    sides, depths = _grid(stands, desk)
    side, depth = (one.ravel() for one in np.meshgrid(sides, depths, indexing="ij"))
    volume = side**2 * np.maximum(depth - desk.job.floor.thickness_m, 0.0)
    holds: NDArray[np.bool_] = _holding(stands, uplift, side, depth, desk)
    cost = np.where(holds, volume, np.inf)
    # of sizes with equal concrete the shallower comes first
    order = np.lexsort((depth, volume))
    best = order[np.argmax(holds[:, order], axis=1)]
    served = np.asarray(holds.any(axis=1))
    sizes = [PadSize(float(a), float(b)) for a, b in zip(side, depth, strict=True)]
    least = tuple((stand.name, sizes[int(best[k])]) for k, stand in enumerate(stands) if served[k])
    drawn = sum(stand.sides_m[0] * stand.sides_m[1] * max(stand.pad.depth_m - desk.job.floor.thickness_m, 0.0) for stand in stands)
    return Suggestions(
        least=least, sets=_sets([stand for k, stand in enumerate(stands) if served[k]], cost[served], sizes), drawn_m3=drawn,
        none_for=tuple(stand.name for k, stand in enumerate(stands) if not served[k]),
    )  # fmt: skip


def _sets(stands: Sequence[Stand], cost: Array, sizes: Sequence[PadSize]) -> tuple[PadSet, ...]:
    found: list[PadSet] = []
    for n_types in range(1, MOST_TYPES + 1):
        if not stands:
            break
        try:
            one = smallest_set(cost, n_types)
        except Infeasible:
            continue
        if found and one.cost > found[-1].concrete_m3 * (1 - 1e-9):
            break
        found.append(
            PadSet(
                sizes=tuple(sorted(sizes[k] for k in one.types)), concrete_m3=one.cost,
                choice=tuple((stand.name, sizes[k]) for stand, k in zip(stands, one.choice, strict=True)),
            )
        )  # fmt: skip
    return tuple(found)


def _grid(stands: Sequence[Stand], desk: Desk) -> tuple[Array, Array]:
    """Sides and depths worth trying: around what the soil asks for, and what the job has."""
    us = desk.job.family is Family.US
    step = 2 * INCH_M if us else 0.050
    assert desk.ground.bearing_pa is not None
    floor = desk.job.floor.thickness_m
    loads = np.array([float(stand.factored(Level.SERVICE).down.max()) for stand in stands])
    rest = max(desk.ground.bearing_pa - 0.6 * stands[0].density_kg_m3 * STANDARD_GRAVITY_M_S2, 0.2 * desk.ground.bearing_pa)
    needed = np.sqrt(np.maximum(loads, 0.0) / rest)
    foot = max(max(stand.foot_m) for stand in stands)
    low = max(step * 6, min(float(needed.min()), *(min(stand.sides_m) for stand in stands)) * 0.8, foot)
    high = max(float(needed.max()) * 1.3, *(max(stand.sides_m) * 1.25 for stand in stands), low + 6 * step)
    deepest = max(24 * step, *(stand.pad.depth_m + 4 * step for stand in stands))
    high = min(high, max(_LARGEST_SIDE_M, low + 6 * step))
    sides = step * np.arange(np.ceil(low / step - 1e-9), np.ceil(high / step) + 1)
    depths = step * np.arange(np.ceil((floor + step) / step - 1e-9), np.ceil(deepest / step) + 1)
    return sides, depths


def _holding(stands: Sequence[Stand], uplift: dict[str, UpliftFigures], side: Array, depth: Array, desk: Desk) -> NDArray[np.bool_]:
    """Which sizes hold for which posts."""
    groups: dict[Any, list[int]] = defaultdict(list)
    for k, stand in enumerate(stands):
        even = not np.any(stand.factored(Level.STRENGTH).values[:, 3:]) and not np.any(stand.factored(Level.SERVICE).values[:, 3:])
        groups[(stand.foot_m, stand.mat, stand.strength_pa, stand.lifted) if even else k].append(k)
    holds = np.zeros((len(stands), side.size), dtype=bool)
    for key, members in groups.items():
        own = [stands[k] for k in members]
        holds[members] = _even_group(own, side, depth, desk) if isinstance(key, tuple) else _uneven(own[0], side, depth, desk)
    for k, stand in enumerate(stands):
        holds[k] &= depth >= _least_depth_m(stand, desk) - 1e-9
        figures = uplift[stand.name]
        if figures.net_up_n > 0:
            weight = side**2 * depth * stand.density_kg_m3 * STANDARD_GRAVITY_M_S2
            others = counted_n(figures.lines) - stand.weight_n
            holds[k] &= figures.dead_factor * (weight + others) >= figures.net_up_n
    return holds


def _least_depth_m(stand: Stand, desk: Desk) -> float:
    """Depth that frost and anchors ask for. [m]"""
    job, least = desk.job, 0.0
    if job.place.frost_depth_m and job.building.enclosure is not Enclosure.HEATED:
        near = desk.foundation.outline.exterior.distance(shapely.Point(stand.pad.at)) < max(stand.sides_m) / 2 * 1.415
        if near or job.building.enclosure is Enclosure.OPEN:
            least = job.place.frost_depth_m + stand.grade_m
    if stand.post.anchor is not None:
        least = max(least, stand.post.anchor.embedment_m + _ANCHOR_COVER_M)
    return least


def _even_group(stands: Sequence[Stand], side: Array, depth: Array, desk: Desk) -> NDArray[np.bool_]:
    """Posts with the same foot and no moment: only the greatest load of each counts."""
    assert desk.ground.bearing_pa is not None
    service = np.array([float(stand.factored(Level.SERVICE).down.max()) for stand in stands])[:, None]
    strength = np.array([float(stand.factored(Level.STRENGTH).down.max()) for stand in stands])[:, None]
    weight = side**2 * depth * stands[0].density_kg_m3 * STANDARD_GRAVITY_M_S2
    pressure = (service + weight) / side**2
    ratio = np.minimum.reduce(
        [design.worst(_case(stands[0], side, depth, strength)) for design in designs_for(stands[0], desk.job.codes.concrete)]
    )
    if stands[0].lifted:
        least = np.array([float(stand.factored(Level.STRENGTH).down.min()) for stand in stands])[:, None]
        pulled = _case(stands[0], side, depth, least)
        design = designs_for(stands[0], desk.job.codes.concrete)[0]
        ratio = np.maximum(ratio, design.worst(pulled, keys=("lifting",)))
    found: NDArray[np.bool_] = (pressure <= desk.ground.bearing_pa) & (ratio <= 1.0)
    return found


def _uneven(stand: Stand, side: Array, depth: Array, desk: Desk) -> NDArray[np.bool_]:
    """A post with moments: every combination counts."""
    assert desk.ground.bearing_pa is not None
    weight = side**2 * depth * stand.density_kg_m3 * STANDARD_GRAVITY_M_S2
    holds = np.ones(side.size, dtype=bool)
    for level in (Level.SERVICE, Level.STRENGTH):
        factored = stand.factored(level)
        rows = factored.values
        arm = depth if stand.post.isolated else np.zeros_like(depth)
        shear_moment = rows[:, 1:3, None] * (arm - stand.arm_m)
        case = _case(
            stand, side, depth, rows[:, :1], rows[:, 3:4] + shear_moment[:, 0], rows[:, 4:5] + shear_moment[:, 1],
            factored.dead[:, None] * weight,
        )  # fmt: skip
        bears, tilt = np.broadcast_to(case.bears, (len(rows), side.size)), np.broadcast_to(case.tilt, (len(rows), side.size))
        holds &= np.all(~bears | (tilt < 1.0), axis=0)
        if level is Level.SERVICE:
            holds &= np.all(~bears | (tilt >= 1.0) | (case.contact.highest <= desk.ground.bearing_pa), axis=0)
        else:
            ratio = np.minimum.reduce([design.worst(case).max(axis=0) for design in designs_for(stand, desk.job.codes.concrete)])
            holds &= ratio <= 1.0
    return holds


def _case(stand: Stand, side: Array, depth: Array, load: Array, moment_x: Any = 0.0, moment_y: Any = 0.0, weight: Any = 0.0) -> PadCase:
    """Square pads centred below the post."""
    return PadCase(
        size_x_m=cast(float, side), size_y_m=cast(float, side), depth_m=cast(float, depth), post_x_m=stand.foot_m[0],
        post_y_m=stand.foot_m[1], strength_pa=stand.strength_pa, load_n=cast(float, load), moment_x_nm=moment_x, moment_y_nm=moment_y,
        weight_n=weight, mat=stand.mat, family=stand.family,
    )  # fmt: skip
