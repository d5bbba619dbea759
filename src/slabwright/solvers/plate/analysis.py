"""Solve a plate under loads: a mesh, a coarser one beside it, and one factor for many cases."""

from collections.abc import Sequence
from functools import cached_property, partial

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Mechanism, OutOfRange
from slabwright.solvers.plate.answer import Answer
from slabwright.solvers.plate.contact import Proof, TensionlessSolver
from slabwright.solvers.plate.description import Plate
from slabwright.solvers.plate.grid import Focus
from slabwright.solvers.plate.lapack import one_thread_a_call
from slabwright.solvers.plate.loads import LineLoad, Load, Patch, Resultant, forces_of, resting_on
from slabwright.solvers.plate.mesh import Mesh, build, grid_lines
from slabwright.solvers.plate.recovery import Recovery, prepare
from slabwright.solvers.plate.reference import Flags, Floats

ORDER = 3
_STRAIGHT = 1e-6


class Analysis:
    """A plate meshed and factored, ready for any number of load cases.

    Parameters
    ----------
    plate : Plate
    near : sequence of Load
        Loads whose outlines the grid follows and near which it is fine.
    size : float, optional
        Largest cell; the radius of relative stiffness where not given.
    order : int
        Of the elements, 1 to 3.
    foci : sequence of Focus
        Further places where the grid is to be fine.
    lower : bool
        True keeps the lines for the second mesh and lowers its order by one: where the plate's own edges lie closer
        than its cells, cells of twice the size would be the same cells.

    Notes
    -----
    Every case is solved on two meshes, the second with cells of twice the size; their difference is the mesh
    uncertainty, and the contact set of the coarser one is where the finer one begins.
    """

    def __init__(
        self, plate: Plate, near: Sequence[Load] = (), *, size: float | None = None, order: int = ORDER, foci: Sequence[Focus] = (),
        lower: bool = False,
    ) -> None:  # fmt: skip
        wanted = [_as_fine_as_sensible(focus, plate) for load in near for focus in getattr(load, "focus", ())] + list(foci)
        outlines = [load.shape for load in near if isinstance(load, Patch | LineLoad)]
        size = plate.length() if size is None else size
        self._built = partial(_level, plate, size, wanted, outlines)
        self._order, self._lower = order, lower

    @cached_property
    def fine(self) -> "Level":
        """The finer mesh with its solver, made at first use."""
        return self._built(1.0, self._order)

    @cached_property
    def coarse(self) -> "Level":
        """The other one."""
        return self._built(1.0, self._order - 1) if self._lower else self._built(2.0, self._order)

    @property
    def mesh(self) -> Mesh:
        """The finer of its two meshes."""
        return self.fine.mesh

    def level_of(self, answer: Answer) -> "Level":
        """The mesh and solver that an answer was found with."""
        return self.coarse if answer.mesh is self.coarse.mesh else self.fine

    def solve(self, loads: Sequence[Load], *, bonded: bool = False) -> Answer:
        """One case; see :meth:`solve_cases`."""
        return self.solve_cases([loads], bonded=bonded)[0]

    def estimate(self, loads: Sequence[Load], *, bonded: bool = False) -> Answer:
        """One case on the coarser mesh alone, for comparisons."""
        return self.coarse.answers([loads], bonded, [None])[0]

    def solve_cases(self, cases: Sequence[Sequence[Load]], *, bonded: bool = False) -> tuple[Answer, ...]:
        """Answers to load cases, in order.

        Parameters
        ----------
        cases : sequence of sequences of Load
        bonded : bool
            True lets the soil pull; else the plate lifts where it would.

        Raises
        ------
        Mechanism
            If the loads of a case lift or tip the plate as a whole.
        NotConverged
            If no contact set settles or an answer is out of balance.
        OutOfRange
            For a load off the plate, or lift-off on a soil with a shear layer.
        """
        coarse = self.coarse.answers(cases, bonded, [None] * len(cases))
        return self.fine.answers(cases, bonded, coarse)


class Level:
    """One mesh with its solver, made at first use."""

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh
        self._solver: TensionlessSolver | None = None
        self._recovery: Recovery | None = None

    @property
    def solver(self) -> TensionlessSolver:
        if self._solver is None:
            self._solver = TensionlessSolver(self.mesh)
        return self._solver

    def prepare(self) -> None:
        """Factor the mesh now rather than at first use.

        Raises
        ------
        Mechanism
            If there is no soil under the plate, or a part of it is held by nothing.
        """
        self._solver = self.solver

    @property
    def recovery(self) -> Recovery:
        if self._recovery is None:
            self._recovery = prepare(self.mesh)
        return self._recovery

    @one_thread_a_call()
    def answers(self, cases: Sequence[Sequence[Load]], bonded: bool, coarser: Sequence[Answer | None]) -> tuple[Answer, ...]:
        forces, resultants = np.zeros((len(cases), self.mesh.n_unknowns)), []
        for number, loads in enumerate(cases):
            total = Resultant(0.0, 0.0, 0.0)
            for load in loads:
                own, resultant = forces_of(load, self.mesh)
                forces[number] += own
                total = Resultant(*(a + b for a, b in zip(total, resultant, strict=True)))
            if not bonded:
                _refuse_mechanism(self.mesh, total)
            resultants.append(total)
        gross = _gross(self.mesh, forces)
        springs = self.mesh.elements.spring
        rest = np.stack([resting_on(loads, self.mesh) for loads in cases]) / np.where(springs > 0.0, springs, 1.0)
        found = self._solved(forces, rest, bonded, coarser)
        return tuple(
            Answer(self.mesh, self.recovery, tuple(loads), x, contact, proof, total, float(size), start)
            for loads, (x, contact, proof), total, size, start in zip(cases, found, resultants, gross, coarser, strict=True)
        )

    def _solved(self, forces: Floats, rest: Floats, bonded: bool, coarser: Sequence[Answer | None]) -> list[tuple[Floats, Flags, Proof]]:
        """All cases bonded in one go; those that would pull on the soil once more without."""
        found, residuals = self.solver.bonded(forces, rest)
        answers = []
        for force, at_rest, x, residual, start in zip(forces, rest, found, residuals, coarser, strict=True):
            touching = np.ones(len(self.mesh.elements.area), bool)
            pressing = self.mesh.deflections(x) + at_rest
            if bonded or (pressing[self.mesh.elements.spring > 0.0] >= 0.0).all():
                energy = (float(-0.5 * force @ x),)
                answers.append(
                    (x, touching, Proof(residual=float(residual), set_unchanged=True, energy=energy, passes=1, steps=0, factors=0))
                )
                continue
            if self.mesh.elements.layer.any():
                raise OutOfRange(
                    "the plate lifts off, and a soil with a shear layer cannot be parted from it; solve it bonded or without layer."
                )
            expected = None if start is None else start.pressing(self.mesh.points) > 0.0
            answers.append(self.solver.tensionless(force, at_rest, x, expected))
        return answers


def _level(plate: Plate, size: float, foci: Sequence[Focus], outlines: Sequence[BaseGeometry], coarser: float, order: int) -> Level:
    return Level(build(plate, *grid_lines(plate, size, foci, outlines, coarser), order=order))


def _as_fine_as_sensible(focus: Focus, plate: Plate) -> Focus:
    """Under a load smaller than the plate is thick nothing is gained by cells below a third of the thickness."""
    thickness = float(plate.thickness_at(np.array([[focus.x, focus.y]]))[0])
    return Focus(focus.x, focus.y, max(focus.size, thickness / 3.0))


def _gross(mesh: Mesh, forces: Floats) -> Floats:
    """Nodal forces of cases (m, n) added up without signs, moments over the size of the plate."""
    m = mesh.elements.n_fields
    down, turn_x, turn_y = (np.abs(forces[:, field::m]).sum(axis=1) for field in range(3))
    return np.asarray(down + (turn_x + turn_y) / max(np.ptp(mesh.grid.x), np.ptp(mesh.grid.y)))


def _refuse_mechanism(mesh: Mesh, total: Resultant) -> None:
    """Soil that only presses can balance a resultant inside the convex hull of the places where it presses, and no other."""
    if total.force <= 0.0:
        raise Mechanism(f"the plate lifts as a whole: the loads add up to {total.force:.4g} downwards.")
    x, y = total.force_x / total.force, total.force_y / total.force
    if _amid(mesh.points[mesh.elements.spring > 0.0], x, y):
        return
    cause = f"the resultant of its loads acts at ({x:.4g}, {y:.4g}), at or outside"
    if mesh.plate.polygon.convex_hull.contains(shapely.Point(x, y)):
        raise Mechanism(f"the plate tips over, as far as its cells can tell: {cause} the rim of the soil that holds it.")
    raise Mechanism(f"the plate tips over: {cause} its rim.")


def _amid(points: Floats, x: float, y: float) -> bool:
    """Whether points (n, 2) lie on all sides of a place: none of the angles between neighbours is a straight one."""
    angles = np.sort(np.arctan2(points[:, 1] - y, points[:, 0] - x))
    gaps = np.diff(angles, append=angles[0] + 2.0 * np.pi)
    return bool(gaps.max() < np.pi - _STRAIGHT)


def solve(plate: Plate, loads: Sequence[Load], *, bonded: bool = False, size: float | None = None, order: int = ORDER) -> Answer:
    """A plate under one set of loads; see :class:`Analysis`."""
    return Analysis(plate, loads, size=size, order=order).solve(loads, bonded=bonded)
