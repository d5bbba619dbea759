"""Equilibrium on soil that presses and never pulls.

The energy of plate and soil is convex, so a Newton iteration whose contact set is the present one, with an exact
search along its direction, goes downhill to the one answer. Its linear systems are solved by conjugate gradients
with the factor of an earlier contact set as preconditioner: only the springs differ, so a product with the matrix
costs no more than those springs.

On its way a plate may touch too few points to be held. So every direction is found with a trace of soil under all of
it: a direction still leads downhill, and as it starts anew from what is unbalanced without that trace, the answer
knows nothing of it.
"""

from collections.abc import Callable
from dataclasses import dataclass

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
        rigid, give = self._rigid(contact)

        def held_against(x: Floats) -> tuple[Floats, Floats, Floats]:
            left = free - applied(self.mesh, x, contact)
            return x, left, self._unbalanced(left, forces, rigid)

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

    def _rigid(self, contact: Flags) -> tuple[Floats, Floats]:
        """The three rigid movements that the soil feels, and how far it gives way to them: nought where nothing resists.

        In thin plates rounding hides the balance of the whole behind large nodal forces; these movements restore it.
        """
        m, nodes = self.mesh.elements.n_fields, self.mesh.node_points
        middle, size = nodes.mean(axis=0), np.ptp(nodes, axis=0)
        rigid = np.zeros((3, self.mesh.n_unknowns))
        rigid[0, ::m] = 1.0
        for axis in (0, 1):
            rigid[1 + axis, ::m] = (nodes[:, axis] - middle[axis]) / size[axis]
            rigid[1 + axis, 1 + axis :: m] = -1.0 / size[axis]
        lever = np.column_stack([np.ones(len(contact)), (self.mesh.points - middle) / size])
        stiffness = lever.T @ (np.where(contact, self._stiffness, 0.0)[:, None] * lever)
        return rigid, np.linalg.pinv(stiffness, rcond=1e-12, hermitian=True)

    def _unbalanced(self, residual: Floats, forces: Floats, rigid: Floats) -> Floats:
        """Residual forces of cases (m, n) as fractions: node by node, and as resultants over the plate."""
        step = self.mesh.elements.n_fields
        tiny = np.finfo(float).tiny
        nodal = np.abs(residual).max(axis=1) / np.maximum(np.abs(forces).max(axis=1), tiny)
        total = np.abs(residual @ rigid.T).max(axis=1) / np.maximum(np.abs(forces[:, ::step]).sum(axis=1), tiny)
        return np.where(forces[:, ::step].any(axis=1), np.maximum(nodal, total), nodal)

    def tensionless(self, forces: Floats, rest: Floats, bonded: Floats, expected: Flags) -> tuple[Floats, Flags, Proof]:
        """Displacements and contact set of one case.

        Parameters
        ----------
        forces : (n,) float64
        rest : (nq,) float64
            Deflection of the soil under the plate before it was stiff.
        bonded : (n,) float64
            Displacements of the case with every spring bonded.
        expected : (nq,) bool
            Contact set to begin with.

        Raises
        ------
        NotConverged
            If the set does not settle.
        """
        before, steps, tolerance = self.n_factors, 0, 1e-2
        base = self._nearest(expected)
        scale = float(np.sqrt((forces - self._soil_forces(rest, self._full.contact)) @ bonded))
        state = self._started(base, forces, rest, bonded)
        energies = [self._energy(state, forces)]
        for n_pass in range(1, _MOST_PASSES + 1):
            contact = state.pressing > 0.0
            base = self._nearest(contact)
            residual = forces - state.plate_forces - self._soil_forces(state.pressing, contact)
            base, step, step_forces, left, n_steps = self._newton_step(base, residual, contact, tolerance, scale)
            moved = self.mesh.deflections(step)
            length = self._searched(state, step, step_forces, moved, forces)
            state = _State(state.x + length * step, state.plate_forces + length * step_forces, state.pressing + length * moved)
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

    def likely(self, pressing: Floats) -> Flags:
        """Which contact set to begin with, from the deflection of a bonded plate: full contact or the set last found."""
        bonded = pressing > 0.0
        from_full, from_latest = (int(np.count_nonzero(bonded != one.contact)) for one in (self._full, self._latest))
        return self._latest.contact if from_latest < from_full else bonded

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
        return _State(x, forces - self._soil_forces(pressing, base.contact) - base.trace * x, pressing)

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

    def _searched(self, state: _State, step: Floats, step_forces: Floats, moved: Floats, forces: Floats) -> float:
        """Length along a step at which the energy is least."""
        constant = float(step @ (state.plate_forces - forces))
        linear = float(step @ step_forces)

        def slope(t: float) -> float:
            return constant + t * linear + float((self._stiffness * np.maximum(state.pressing + t * moved, 0.0)) @ moved)

        low, high = 0.0, 1.0
        at_low, at_high = slope(0.0), slope(1.0)
        while at_high < 0.0 and high < 1e6:
            low, at_low, high = high, at_high, 2.0 * high
            at_high = slope(high)
        for _ in range(60):
            if abs(at_high) <= 1e-13 * abs(constant) or high - low <= 1e-13 * high:
                break
            t = high - at_high * (high - low) / (at_high - at_low)
            value = slope(t)
            if value * at_high < 0.0:
                low, at_low = high, at_high
            else:
                at_low *= 0.5
            high, at_high = t, value
        return high


def _better(one: tuple[Floats, ...], other: tuple[Floats, Floats, Floats]) -> tuple[Floats, Floats, Floats]:
    """Of two approximations to cases, each with what is unbalanced and its size, the better for each case."""
    gained = other[2] < one[2]
    x, left = (np.where(gained[:, None], b, a) for a, b in zip(one[:2], other[:2], strict=True))
    return x, left, np.where(gained, other[2], one[2])
