"""Reading a solved plate: the greatest figures, where they are, and which places are not read."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.geometry.foundation import PartKind
from slabwright.solvers.plate import Answer, Extreme, Quantity
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.reference import Flags, Floats
from slabwright.studies.floor.body import READ_FROM_FACE, Body
from slabwright.studies.floor.loading import Case

_SHARP_TURN_RAD = np.radians(30.0)
LEAST_SPREAD = 0.01
"""Of a figure whose two meshes agree better than exact solutions show them to be."""
_LEVEL_M = 1e-6
_TIP_IN_THICKNESSES = 2.0
_HAIR = 1e-6
_NO_CORNER_M = 1.0
"""Greatest distance from a corner that is not read, whatever the thickness."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A headline figure of the floor.

    Attributes
    ----------
    name : str
        In trade words.
    value : float
        In the SI unit of ``suffix``.
    suffix : str
    at : tuple or None
        Place on the plan; None for a figure of the whole slab. [m]
    case : str
        The state that causes it.
    spread : float
        Mesh uncertainty, a fraction of the value.
    """

    name: str
    value: float
    suffix: str
    at: tuple[float, float] | None
    case: str
    spread: float


@dataclass(frozen=True, eq=False)
class Solved:
    """A state and its answers: a first one for every state, a finer one for those that some figure hangs on.

    Attributes
    ----------
    case : Case
    first : Answer
    fine : Answer or None
    """

    case: Case
    first: Answer
    fine: Answer | None = None

    @property
    def answer(self) -> Answer:
        """The best there is."""
        return self.first if self.fine is None else self.fine


class Reader:
    """Finds extremes on parts of the slab.

    Right at a corner of a pad, a re-entrant corner or the end of a joint the stress of an elastic plate has no limit;
    places within one thickness of a corner and two of a joint's end are not read. Nor are sloped faces, and a floor
    or edge within half its own thickness of a deeper part: so near to a step a plate is no model of the concrete.

    Parameters
    ----------
    body : Body
    """

    def __init__(self, body: Body) -> None:
        self.body = body
        self._kinds: dict[Mesh, NDArray[np.int64]] = {}
        self._sharp: dict[Mesh, Flags] = {}
        self._greatest: dict[tuple[Answer, Quantity, PartKind | None], Extreme] = {}

    def greatest(self, answer: Answer, quantity: Quantity, kind: PartKind | None = None) -> Extreme:
        """Greatest value of a quantity on the parts of a kind; on the whole slab where no kind is given."""
        key = (answer, quantity, kind)
        if key not in self._greatest:
            self._greatest[key] = self._found(answer, quantity, kind)
        return self._greatest[key]

    def _found(self, answer: Answer, quantity: Quantity, kind: PartKind | None) -> Extreme:
        x, y, values = answer.nodal(quantity)
        off = np.zeros(values.shape, bool) if quantity in (Quantity.DEFLECTION, Quantity.PRESSURE) else self._unread(answer.mesh)
        if kind is not None:
            off = off | ~self.of_kind(answer.mesh, kind)[:, None]
        read = np.where(off, -np.inf, np.nan_to_num(values, nan=-np.inf))
        best = np.unravel_index(int(read.argmax()), read.shape)
        return Extreme(float(read[best]), float(x[best]), float(y[best]))

    def leading(self, solved: Sequence[Solved], quantity: Quantity, kind: PartKind | None = None) -> Solved:
        """The state with the greatest value, by the first answers: those are there for all.

        Of states that differ by rounding alone the first leads, on every machine.
        """
        return max(solved, key=lambda one: float(f"{self.greatest(one.first, quantity, kind).value:.9g}"))

    def figure(self, one: Solved, name: str, quantity: Quantity, suffix: str, kind: PartKind | None = None) -> Figure:
        """The greatest value of one state as a headline figure, with how far its two answers are apart."""
        found = self.greatest(one.answer, quantity, kind)
        spread = one.answer.spread(lambda answer: self.greatest(answer, quantity, kind).value)
        return Figure(
            name=name, value=found.value, suffix=suffix, at=(found.x, found.y), case=one.case.name, spread=max(spread, LEAST_SPREAD)
        )  # fmt: skip

    def of_kind(self, mesh: Mesh, kind: PartKind) -> Flags:
        """Cells whose middle lies on a part of a kind."""
        return np.asarray(self._kind(mesh) == list(PartKind).index(kind))

    def _kind(self, mesh: Mesh) -> NDArray[np.int64]:
        """Kind of the deepest part at the middle of each cell, as its number in :class:`PartKind`."""
        if mesh not in self._kinds:
            part = self.body.stiff.part_at(mesh.places(np.array([[0.5, 0.5]]))[:, 0])
            kinds = np.array([list(PartKind).index(one.kind) for one in self.body.stiff.parts])
            self._kinds[mesh] = np.where(part >= 0, kinds[part], 0)
        return self._kinds[mesh]

    def _unread(self, mesh: Mesh) -> Flags:
        if mesh not in self._sharp:
            steps = np.linspace(0.0, 1.0, mesh.order + 1)
            places = mesh.places(np.array([(s, t) for s in steps for t in steps]))
            elements = mesh.elements
            deepest, least = (one.reduceat(elements.thickness, elements.start[:-1]) for one in (np.maximum, np.minimum))
            reach = np.minimum(deepest, _NO_CORNER_M)[:, None]
            near = np.zeros(places.shape[:2], bool)
            for corner in self._corners:
                near |= np.hypot(places[..., 0] - corner[0], places[..., 1] - corner[1]) < reach
            for end in np.array(self.body.joints).reshape(-1, 2):
                near |= np.hypot(places[..., 0] - end[0], places[..., 1] - end[1]) < _TIP_IN_THICKNESSES * self.body.floor_m
            off = (deepest - least > _LEVEL_M) | (elements.bend < 1.0).any(axis=1) | self._beside_deeper(mesh, deepest)
            self._sharp[mesh] = near | off[:, None]
        return self._sharp[mesh]

    def _beside_deeper(self, mesh: Mesh, depth: Floats) -> Flags:
        """Cells within half their own depth of a part that is deeper still."""
        middles = mesh.places(np.array([[0.5, 0.5]]))[:, 0]
        found: Flags = np.zeros(len(middles), np.bool_)
        order = list(PartKind)
        for number, kind in enumerate(order):
            deeper = [part.skirt for part in self.body.foundation.parts if part.kind in order[number + 1 :]]
            own = np.nonzero(self.of_kind(mesh, kind))[0]
            if deeper and len(own):
                area = shapely.union_all(deeper)
                shapely.prepare(area)
                away = shapely.distance(shapely.points(middles[own]), area)
                found[own] = np.asarray(away) < READ_FROM_FACE * depth[own] * (1.0 - _HAIR)
        return found

    @cached_property
    def _corners(self) -> NDArray[np.float64]:
        """Sharp corners of thick parts, of the outline and of block-outs."""
        shapes = [area for part in self.body.stiff.parts if part.kind is not PartKind.FLOOR for area in (part.skirt, part.bottom)]
        shapes.append(self.body.region)
        found = []
        for shape in shapes:
            for ring in shapely.get_rings(shapely.get_parts(shape)):
                corners = shapely.get_coordinates(ring)[:-1]
                before, after = corners - np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0) - corners
                turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1))
                found.append(corners[np.abs(turn) > _SHARP_TURN_RAD])
        return np.unique(np.round(np.concatenate(found), 6), axis=0)
