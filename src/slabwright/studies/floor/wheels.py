"""Wheels moved over the floor: the worst of all places found by an envelope, and those places solved anew."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import shapely

from slabwright.geometry.foundation import PartKind
from slabwright.model.loads import Wheel
from slabwright.solvers.plate import Analysis, Focus, LineLoad, Load, Patch, Quantity, envelope
from slabwright.solvers.plate.loads import moved
from slabwright.solvers.plate.reference import Floats
from slabwright.solvers.plate.workers import at_once
from slabwright.studies.floor.body import JOINT_EFFICIENCY, Body
from slabwright.studies.floor.loading import Case, Standing
from slabwright.studies.floor.reading import Figure, Reader, Solved
from slabwright.studies.floor.routes import Route, route_of

REACH_IN_RADII = 5.0
"""How far round a wheel the slab is solved: what lies beyond five radii of relative stiffness feels next to nothing."""
_SIDES = {Quantity.TOP_TENSION: "top", Quantity.BOTTOM_TENSION: "bottom"}


@dataclass(frozen=True, slots=True, kw_only=True)
class WheelFigures:
    """One wheel or axle on the floor.

    Attributes
    ----------
    wheel : Wheel
    n_places, n_alike : int
        Places it was put, and places of the whole lattice, the alike ones counted.
    top, bottom : Figure
        Greatest tension of the floor with the axle standing at its worst place, solved anew there.
    curled : Figure
        Greatest tension at the top of a floor that has dried, with the axle at that place.
    open_joint : Figure or None
        Greatest tension at the bottom if the joint beside it has opened and passes nothing on.
    stands : tuple
        Places of the axle's middle for top and bottom. [m]
    feet : tuple of tuple
        Where its wheels then stand, for the bottom. [m]
    """

    wheel: Wheel
    n_places: int
    n_alike: int
    top: Figure
    bottom: Figure
    curled: Figure
    open_joint: Figure | None
    stands: tuple[tuple[float, float], tuple[float, float]]
    feet: tuple[tuple[float, float], ...]


@dataclass(frozen=True, eq=False)
class MovedWheel:
    """Figures of a wheel with the state behind the tension at the bottom: the part of the slab round it."""

    figures: WheelFigures
    worst: Solved
    patches: tuple[Patch, ...]


@dataclass(frozen=True, eq=False)
class _Place:
    """A group of wheels where it stands, and what the envelope makes of it there."""

    patches: tuple[Patch, ...]
    middle: tuple[float, float]
    tension_pa: float


def contact_side_m(wheel: Wheel) -> float:
    """Side of the square that a wheel presses on. [m]"""
    return math.sqrt(wheel.load_n / wheel.contact_pressure_pa)


def moved_over(wheel: Wheel, standing: Standing, analysis: Analysis, reader: Reader) -> MovedWheel | None:
    """Move one wheel or axle over the floor; both ways where it has two wheels.

    The envelope of all places is found on the mesh of lower order with the slab at rest under its own weight. The worst
    places, one beside a joint among them, are then solved with a mesh that is fine under the wheels, with lift-off. None
    where there is no place for it.
    """
    route = route_of(wheel, standing.body, standing.job.walls, contact_side_m(wheel))
    places = _ranked(wheel, route, standing, analysis, reader)
    if not all(places.values()):
        return None
    top = places[Quantity.TOP_TENSION][0]
    joint = _beside_joint(places[Quantity.BOTTOM_TENSION], standing.body, contact_side_m(wheel))
    candidates = [places[Quantity.BOTTOM_TENSION][0]] + ([joint] if joint is not None else [])
    names = {quantity: f"Tension at the {side} of the floor ({wheel.name})" for quantity, side in _SIDES.items()}
    alone = [partial(_alone, wheel, one, standing) for one in dict.fromkeys(candidates)]
    if joint is not None:
        alone.append(partial(_alone, wheel, joint, standing, 0.0))
    whole = partial(_on_whole, wheel, top, standing, analysis, reader, names[Quantity.TOP_TENSION])
    (above, curled), *solved = at_once(whole, *alone)
    below = partial(reader.figure, name=names[Quantity.BOTTOM_TENSION], quantity=Quantity.BOTTOM_TENSION, suffix="pa", kind=PartKind.FLOOR)
    found = [(below(state), one, state) for one, state in zip(dict.fromkeys(candidates), solved, strict=False)]
    bottom, place, worst = max(found, key=lambda one: one[0].value)
    opened = None
    if joint is not None:
        state = solved[-1]
        opened = replace(below(state), name=f"{bottom.name}, joint open", case=f"{state.case.name}, joint open")
    figures = WheelFigures(
        wheel=wheel, n_places=len(route.places), n_alike=route.n_alike, top=above, bottom=bottom, curled=curled, open_joint=opened,
        stands=(top.middle, place.middle), feet=tuple(patch.at for patch in place.patches),
    )  # fmt: skip
    return MovedWheel(figures, worst, place.patches)


def thinner_ratio(one: MovedWheel, thin: Body, reader: Reader) -> float:
    """Tension under the wheel on a thinner floor over that on the floor as drawn; both of lower order."""
    answer = _analysed_round(one.patches, thin).estimate(one.worst.case.loads)
    found, drawn = (
        own.greatest(answer, Quantity.BOTTOM_TENSION, PartKind.FLOOR).value
        for own, answer in ((Reader(thin), answer), (reader, one.worst.first))
    )
    return found / drawn


def _round(patches: Sequence[Patch], body: Body) -> shapely.Polygon:
    """The slab round some wheels, as far as it feels them."""
    low_x, low_y, high_x, high_y = shapely.union_all([patch.shape for patch in patches]).bounds
    reach = REACH_IN_RADII * body.relative_stiffness_m
    parts = shapely.get_parts(shapely.box(low_x - reach, low_y - reach, high_x + reach, high_y + reach).intersection(body.region))
    return max((part for part in parts if isinstance(part, shapely.Polygon)), key=lambda part: part.intersection(patches[0].shape).area)


def _alone(wheel: Wheel, place: _Place, standing: Standing, efficiency: float = JOINT_EFFICIENCY) -> Solved:
    """The wheels on the part of the slab round them."""
    loads: tuple[Load, ...] = (standing.weight(), *place.patches)
    answer = _analysed_round(place.patches, standing.body, efficiency).solve(loads)
    assert answer.coarser is not None
    return Solved(Case(name=f"{wheel.name} alone", combination=None, loads=loads), answer.coarser, answer)


def _analysed_round(patches: Sequence[Patch], body: Body, efficiency: float = JOINT_EFFICIENCY) -> Analysis:
    """The slab round some wheels: four cells of high order under each, growing from there."""
    outlines = [LineLoad(line=[(x, y) for x, y in shapely.get_coordinates(patch.shape).tolist()], force=0.0) for patch in patches]
    foci = [Focus(*patch.at, max(patch.size_x / 2.0, body.floor_m / 3.0)) for patch in patches]
    return body.analysed(outlines, foci=foci, efficiency=efficiency, within=_round(patches, body))


def _on_whole(wheel: Wheel, place: _Place, standing: Standing, analysis: Analysis, reader: Reader, name: str) -> tuple[Figure, Figure]:
    """Tension at the top of the whole slab, beside the wheels and not under them: at rest, and after drying."""
    plain = Case(name=f"{wheel.name} alone", combination=None, loads=(standing.weight(), *place.patches))
    cases = (plain, replace(plain, name=f"{wheel.name} on the dried floor", loads=(*plain.loads, standing.curl()), curled=True))
    found = []
    for case, answer in zip(cases, analysis.solve_cases([case.loads for case in cases]), strict=True):
        assert answer.coarser is not None
        words = name.replace("the floor", "the dried floor") if case.curled else name
        found.append(reader.figure(Solved(case, answer.coarser, answer), words, Quantity.TOP_TENSION, "pa", PartKind.FLOOR))
    return found[0], found[1]


def _ranked(wheel: Wheel, route: Route, standing: Standing, analysis: Analysis, reader: Reader) -> dict[Quantity, list[_Place]]:
    """Places of the axle, worst first, for each face: the tension is the greatest that any place causes there."""
    base = analysis.coarse.answers([[standing.weight()]], False, [None])[0]
    found: dict[Quantity, list[_Place]] = {quantity: [] for quantity in _SIDES}
    for along in (0, 1) if wheel.spacing_m > 0.0 else (0,):
        group = _axle(wheel, along)
        places = route.where(group)
        if not len(places):
            continue
        hull = envelope(analysis, base, group, places)
        cells = reader.of_kind(hull.mesh, PartKind.FLOOR)
        for quantity, values, cause in (
            (Quantity.TOP_TENSION, hull.top, hull.top_position),
            (Quantity.BOTTOM_TENSION, hull.bottom, hull.bottom_position),
        ):
            best = np.full(len(places), -np.inf)
            np.maximum.at(best, cause[cells].ravel(), values[cells].ravel())
            found[quantity] += [_placed(group, places[k], float(best[k])) for k in np.nonzero(best > 0.0)[0]]
    return {quantity: sorted(places, key=lambda one: -one.tension_pa) for quantity, places in found.items()}


def _placed(group: Sequence[Patch], place: Floats, tension_pa: float) -> _Place:
    return _Place(tuple(moved(patch, place) for patch in group), (float(place[0]), float(place[1])), tension_pa)


def _beside_joint(places: Sequence[_Place], body: Body, side_m: float) -> _Place | None:
    """The worst place of those with a wheel close beside a joint."""
    if not body.joints:
        return None
    lines = shapely.MultiLineString(list(body.joints))
    near = (one for one in places if any(lines.distance(shapely.Point(patch.at)) < side_m for patch in one.patches))
    return next(near, None)


def _axle(wheel: Wheel, along: int) -> list[Patch]:
    side = contact_side_m(wheel)
    offsets = (-wheel.spacing_m / 2.0, wheel.spacing_m / 2.0) if wheel.spacing_m > 0.0 else (0.0,)
    return [
        Patch(at=(offset, 0.0) if along == 0 else (0.0, offset), force=wheel.load_n, size_x=side, size_y=side, name=wheel.name)
        for offset in offsets
    ]
