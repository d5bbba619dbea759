"""Equilibrium on soil that presses and never pulls.

The energy of plate and soil is convex, so a Newton iteration whose contact set is the present one, with an exact
search over lengths of its direction and all rigid movements, goes downhill to the one answer. Its linear systems are
solved by conjugate gradients with the factor of an earlier contact set as preconditioner: only the springs differ, so
a product with the matrix costs no more than those springs.

On its way a plate may touch too few points to be held. So every direction is found with a trace of soil under all of
it: a direction still leads downhill, and as it starts anew from what is unbalanced without that trace, the answer
knows nothing of it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from slabwright.errors import Mechanism, NotConverged
from slabwright.solvers.plate.cholesky import Factor
from slabwright.solvers.plate.internal import applied
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.reference import Flags, Floats

SOLVED = 1e-6
"""Largest residual of an answer; see :class:`Proof`."""
_TOLERANCE = 1e-10
_MOST_PASSES = 60
_STEPS_BEFORE_REFACTOR = 14
_FAR = 0.02
_LOOSE = 1e-2
_MOST_REFINEMENTS = 12
_BALANCED = 1e-10
_TRACE = 1e-6
_OPEN = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """Why an answer is one.

    Attributes
    ----------
    residual : float
        Largest unbalanced nodal force as a fraction of the largest applied, or their sum as one of the sum applied.
    set_unchanged : bool
        True when the contact set of the answer is the one it was solved with.
    energy : tuple of float
        Potential energy after each pass, never rising.
    passes, steps, factors : int
        Newton passes, conjugate gradient steps in all, factorisations in all.
    """

    residual: float
    set_unchanged: bool
    energy: tuple[float, ...]
    passes: int
    steps: int
    factors: int


@dataclass(eq=False)
class _State:
    """Where an iteration stands: displacements, their plate forces, and how far the soil is pressed at its springs."""

    x: Floats
    plate_forces: Floats
    pressing: Floats


@dataclass(eq=False)
class _Factored:
    """A factor, the contact set it was made with, and what else holds its nodes."""

    factor: Factor
    contact: Flags
    trace: Floats


class TensionlessSolver:
    """Solves cases on one mesh. It keeps the factor for full contact and the latest one for any other contact set.

    Parameters
    ----------
    mesh : Mesh

    Raises
    ------
    Mechanism
        If there is no soil under the plate.
    """

    def __init__(self, mesh: Mesh) -> None:
        self.mesh = mesh
        self.n_factors = 0
        self._stiffness = mesh.elements.spring * mesh.elements.area
        if not self._stiffness.any():
            raise Mechanism("no soil under the plate: the spring constant is nought everywhere.")
        everywhere = np.ones(len(self._stiffness), bool)
        self._nowhere = ~everywhere
        self._trace = _TRACE * mesh.nodal_forces(self._stiffness)
        self._full = self._latest = self._factored(everywhere, np.zeros(mesh.n_unknowns))

    def _factored(self, contact: Flags, trace: Floats) -> _Factored:
        self.n_factors += 1
        return _Factored(Factor(self.mesh.layout, self.mesh.elements, contact, self.mesh.ground + trace), contact.copy(), trace)

    def bonded(self, forces: Floats, rest: Floats) -> tuple[Floats, Floats]:
        """Displacements of cases (m, n) with every spring bonded, and their residuals; ``rest`` is (m, nq)."""
        base = self._full
        free = forces - np.stack([self._soil_forces(one, base.contact) for one in rest])
        return self._refined(forces, free, base.factor.solve(free), base.contact, base.factor.solve)

    def _refined(
        self, forces: Floats, free: Floats, x: Floats, contact: Flags, correct: Callable[[Floats], Floats]
    ) -> tuple[Floats, Floats]:
        """Displacements of cases (m, n), improved until their true residual is nothing or falls no more; and what is left.

        ``free`` is what of the forces the soil does not carry at rest.
        """
        rigid, give = self._rigid_movements, self._give(contact)

        def held_against(x: Floats) -> tuple[Floats, Floats, Floats]:
            left = free - applied(self.mesh, x, contact)
            return x, left, self._unbalanced(left, forces)

        best = held_against(x)
        for _ in range(_MOST_REFINEMENTS):
            x, residual, before = best
            if (before <= _BALANCED).all():
                break
            best = _better(best, held_against(x + correct(residual)))
            if (best[2] > _BALANCED).any():
                x, residual, _ = best
                best = _better(best, held_against(x + (give @ (rigid @ residual.T)).T @ rigid))
            if (best[2] > 0.5 * before).all():
                break
        return best[0], best[2]

    @cached_property
    def _rigid_movements(self) -> Floats:
        """The three rigid movements that the soil feels, (3, n): down by one, and turned by one over the plate's size."""
        m, nodes = self.mesh.elements.n_fields, self.mesh.node_points
        middle, size = nodes.mean(axis=0), np.ptp(nodes, axis=0)
        rigid = np.zeros((3, self.mesh.n_unknowns))
        rigid[0, ::m] = 1.0
        for axis in (0, 1):
            rigid[1 + axis, ::m] = (nodes[:, axis] - middle[axis]) / size[axis]
            rigid[1 + axis, 1 + axis :: m] = -1.0 / size[axis]
        return rigid

    @cached_property
    def _lever(self) -> Floats:
        """What they do to the quadrature points, (nq, 3)."""
        nodes = self.mesh.node_points
        return np.column_stack([np.ones(len(self._stiffness)), (self.mesh.points - nodes.mean(axis=0)) / np.ptp(nodes, axis=0)])

    def _give(self, contact: Flags) -> Floats:
        """How far the soil gives way to the rigid movements, (3, 3): nought where nothing resists.

        In thin plates rounding hides the balance of the whole behind large nodal forces; these movements restore it.
        """
        stiffness = self._lever.T @ (np.where(contact, self._stiffness, 0.0)[:, None] * self._lever)
        return np.asarray(np.linalg.pinv(stiffness, rcond=1e-12, hermitian=True), dtype=float)

    def _unbalanced(self, residual: Floats, forces: Floats) -> Floats:
        """Residual forces of cases (m, n) as fractions: node by node, and as resultants over the plate."""
        step = self.mesh.elements.n_fields
        tiny = np.finfo(float).tiny
        nodal = np.abs(residual).max(axis=1) / np.maximum(np.abs(forces).max(axis=1), tiny)
        total = np.abs(residual @ self._rigid_movements.T).max(axis=1) / np.maximum(np.abs(forces[:, ::step]).sum(axis=1), tiny)
        return np.asarray(np.where(forces[:, ::step].any(axis=1), np.maximum(nodal, total), nodal), dtype=float)

    def tensionless(self, forces: Floats, rest: Floats, bonded: Floats, expected: Flags | None) -> tuple[Floats, Flags, Proof]:
        """Displacements and contact set of one case.

        Parameters
        ----------
        forces : (n,) float64
        rest : (nq,) float64
            Deflection of the soil under the plate before it was stiff.
        bonded : (n,) float64
            Displacements of the case with every spring bonded.
        expected : (nq,) bool or None
            Contact set to begin with; from the bonded displacements where none is known.

        Raises
        ------
        NotConverged
            If the set does not settle.
        """
        before, steps, tolerance = self.n_factors, 0, _LOOSE
        base = self._full if expected is None else self._nearest(expected)
        scale = float(np.sqrt((forces - self._soil_forces(rest, self._full.contact)) @ bonded))
        state = self._started(base, forces, rest, bonded)
        energies = [self._energy(state, forces)]
        for n_pass in range(1, _MOST_PASSES + 1):
            contact = state.pressing > 0.0
            base = self._nearest(contact)
            residual = forces - state.plate_forces - self._soil_forces(state.pressing, contact)
            base, step, step_forces, left, n_steps = self._newton_step(base, residual, contact, tolerance, scale)
            state = self._moved(state, step, step_forces, forces)
            steps += n_steps
            energies.append(self._energy(state, forces))
            unchanged = self._same(state.pressing, contact)
            if unchanged and left <= _TOLERANCE * scale:
                x, residual_left, more = self._proved(base, forces, rest, state.x, contact)
                steps += more
                state = _State(x, applied(self.mesh, x, self._nowhere), self.mesh.deflections(x) + rest)
                if residual_left <= SOLVED and self._same(state.pressing, contact):
                    return x, contact, Proof(
                        residual=residual_left, set_unchanged=True, energy=tuple(energies), passes=n_pass, steps=steps,
                        factors=self.n_factors - before,
                    )  # fmt: skip
            tolerance = 0.0 if unchanged else tolerance
        wrong = np.where((state.pressing > 0.0) != contact, np.abs(self._stiffness * state.pressing), 0.0)
        x, y = self.mesh.points[int(wrong.argmax())]
        raise NotConverged(f"the contact between plate and soil did not settle in {_MOST_PASSES} passes; least near ({x:.4g}, {y:.4g}).")

    def _same(self, pressing: Floats, contact: Flags) -> bool:
        """Whether a contact set is that of a deflection, wherever there is soil and more than rounding between them."""
        wrong = ((pressing > 0.0) != contact) & (self._stiffness > 0.0)
        return not wrong.any() or float(np.abs(pressing[wrong]).max()) <= _OPEN * float(np.abs(pressing).max())

    def _proved(self, base: _Factored, forces: Floats, rest: Floats, x: Floats, contact: Flags) -> tuple[Floats, float, int]:
        """The answer held against the whole system anew: improved displacements, what is left, steps taken."""
        more = 0

        def correct(residual: Floats) -> Floats:
            nonlocal base, more
            base, step, _, _, n_steps = self._newton_step(base, residual[0], contact, 1e-4, 0.0)
            more += n_steps
            return step[None]

        free = forces - self._soil_forces(rest, contact)
        improved, residuals = self._refined(forces[None], free[None], x[None], contact, correct)
        return improved[0], float(residuals[0]), more

    def increments(self, forces: Floats, contact: Flags) -> Floats:
        """Small changes (m, n) that forces cause while the contact set stays as it is."""
        kept = [one for one in (self._full, self._latest) if np.array_equal(one.contact, contact)]
        if not kept:
            self._latest = self._factored(contact, self._trace)
        return (kept or [self._latest])[0].factor.solve(forces)

    def _nearest(self, contact: Flags) -> _Factored:
        """The kept factor closest to a contact set, or a new one where both are far."""
        gaps = [(int(np.count_nonzero(one.contact != contact)), one) for one in (self._latest, self._full)]
        least, best = min(gaps, key=lambda gap: gap[0])
        if least > _FAR * len(contact):
            self._latest = best = self._factored(contact, self._trace)
        return best

    def _started(self, base: _Factored, forces: Floats, rest: Floats, bonded: Floats) -> _State:
        x = bonded if base is self._full else base.factor.solve(forces - self._soil_forces(rest, base.contact))
        pressing = self.mesh.deflections(x) + rest
        state = _State(x, forces - self._soil_forces(pressing, base.contact) - base.trace * x, pressing)
        return self._moved(state, x, state.plate_forces, forces)

    def _energy(self, state: _State, forces: Floats) -> float:
        pressed = np.maximum(state.pressing, 0.0)
        return float(0.5 * state.x @ state.plate_forces - forces @ state.x + 0.5 * self._stiffness @ pressed**2)

    def _soil_forces(self, deflection: Floats, contact: Flags) -> Floats:
        return self.mesh.nodal_forces(np.where(contact, self._stiffness * deflection, 0.0))

    def _newton_step(
        self, base: _Factored, residual: Floats, contact: Flags, tolerance: float, scale: float
    ) -> tuple[_Factored, Floats, Floats, float, int]:
        """Direction d with K(contact) d = residual: the factor used, d, its plate forces, what is left, steps taken.

        Conjugate gradients on K = M + change, M being the factored matrix: M p follows by the same recurrence as p.
        K holds the trace of soil.
        """
        n_steps = 0
        while True:
            change = self._stiffness * (contact.astype(float) - base.contact)
            less = self._trace - base.trace
            d, plate_d, rho = np.zeros_like(residual), np.zeros_like(residual), residual.copy()
            p = mp = np.zeros_like(residual)
            gamma_before = first = 1.0
            for step in range(_STEPS_BEFORE_REFACTOR + 1):
                z = base.factor.solve(rho)
                gamma = float(rho @ z)
                if step == 0:
                    first = gamma
                if gamma <= max(tolerance**2 * first, (_TOLERANCE * scale) ** 2):
                    return base, d, plate_d, float(np.sqrt(max(gamma, 0.0))), n_steps
                beta = gamma / gamma_before if step else 0.0
                p, mp, gamma_before = z + beta * p, rho + beta * mp, gamma
                sag = self.mesh.deflections(p)
                kp = mp + self.mesh.nodal_forces(change * sag) + less * p
                alpha = gamma / float(p @ kp)
                d += alpha * p
                plate_d += alpha * (mp - self._soil_forces(sag, base.contact) - base.trace * p)
                rho -= alpha * kp
                n_steps += 1
            self._latest = base = self._factored(contact, self._trace)

    def _moved(self, state: _State, step: Floats, step_forces: Floats, forces: Floats) -> _State:
        """The state of least energy that some length of the step and any rigid movement lead to.

        Four unknowns, so that a slab that stands on a small part of itself finds its footing without its plate being
        solved anew.
        """
        fields = np.column_stack([self.mesh.deflections(step), self._lever])
        constant = np.append(step @ (state.plate_forces - forces), -self._rigid_movements @ forces)
        bending = float(step @ step_forces)
        size = np.sqrt(self._stiffness @ fields**2)
        size[0] = np.hypot(size[0], np.sqrt(max(bending, 0.0)))
        size = np.where(size > 0.0, size, 1.0)
        fields, constant, bending = fields / size, constant / size, bending / size[0] ** 2

        at, pressing = np.zeros(4), state.pressing
        for _ in range(_MOST_PASSES):
            forces_there = self._stiffness * np.maximum(pressing, 0.0)
            gradient = constant + forces_there @ fields
            gradient[0] += bending * at[0]
            if np.abs(gradient).max() <= 1e-13 * (np.abs(constant).max() + (forces_there @ np.abs(fields)).max()):
                break
            stiffness = fields.T @ ((self._stiffness * (pressing > 0.0))[:, None] * fields) + 1e-9 * np.eye(4)
            stiffness[0, 0] += bending
            towards = -np.linalg.solve(stiffness, gradient)
            linear = float(constant @ towards + bending * at[0] * towards[0])
            length = _least(linear, bending * float(towards[0]) ** 2, self._stiffness, pressing, fields @ towards)
            at = at + length * towards
            pressing = state.pressing + fields @ at
        along, rigid = at[0] / size[0], at[1:] / size[1:]
        x = np.asarray(state.x + along * step + rigid @ self._rigid_movements)
        return _State(x, state.plate_forces + along * step_forces, pressing)


def _least(constant: float, bending: float, stiffness: Floats, pressing: Floats, moved: Floats) -> float:
    """Length t > 0 at which an energy is least whose slope is constant + bending t + sum of stiffness max(pressing + t moved, 0) moved.

    That slope rises in straight pieces; they meet where a point touches or parts.
    """
    going = np.divide(-pressing, moved, out=np.zeros_like(moved), where=moved != 0.0)
    order = np.nonzero(going > 0.0)[0]
    order = order[np.argsort(going[order])]
    rise = stiffness * moved**2
    meets = np.concatenate([[0.0], going[order]])
    rises = bending + rise[pressing > 0.0].sum() + np.concatenate([[0.0], np.cumsum(np.copysign(rise[order], moved[order]))])
    begin = constant + float((stiffness * np.maximum(pressing, 0.0)) @ moved)
    values = begin + np.concatenate([[0.0], np.cumsum(rises[:-1] * np.diff(meets))])
    piece = max(int(np.searchsorted(values, 0.0)) - 1, 0)
    return float(meets[piece] - values[piece] / rises[piece]) if rises[piece] > 0.0 else float(meets[piece])


def _better(one: tuple[Floats, ...], other: tuple[Floats, Floats, Floats]) -> tuple[Floats, Floats, Floats]:
    """Of two approximations to cases, each with what is unbalanced and its size, the better for each case."""
    gained = other[2] < one[2]
    x, left = (np.where(gained[:, None], b, a) for a, b in zip(one[:2], other[:2], strict=True))
    return x, left, np.where(gained, other[2], one[2])
