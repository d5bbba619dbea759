"""Equilibrium on soil that presses and never pulls.

The energy of plate and soil is convex, so a Newton iteration whose contact set is the present one, with an exact
search along its direction, goes downhill to the one answer. Its linear systems are solved by conjugate gradients
with the factor of an earlier contact set as preconditioner: only the springs differ, so a product with the matrix
costs no more than those springs.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from slabwright.errors import Mechanism, NotConverged
from slabwright.solvers.plate.cholesky import Factor
from slabwright.solvers.plate.internal import applied, deflections, soil_forces
from slabwright.solvers.plate.mesh import Mesh
from slabwright.solvers.plate.reference import Flags, Floats

_TOLERANCE = 1e-10
_MOST_PASSES = 60
_STEPS_BEFORE_REFACTOR = 14
_FAR = 0.02
_MOST_REFINEMENTS = 4
_BALANCED = 1e-11


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
    """Where an iteration stands: displacements, their plate forces, and the deflection over the springs."""

    x: Floats
    plate_forces: Floats
    deflection: Floats


@dataclass(eq=False)
class _Factored:
    """A factor and the contact set it was made with."""

    factor: Factor
    contact: Flags


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
        self._full = self._latest = self._factored(np.ones(len(self._stiffness), bool))

    def _factored(self, contact: Flags) -> _Factored:
        self.n_factors += 1
        return _Factored(Factor(self.mesh.layout, self.mesh.elements, contact, self.mesh.ground), contact.copy())

    def bonded(self, forces: Floats) -> tuple[Floats, Floats]:
        """Displacements of cases (m, n) with every spring bonded, and their residuals."""
        base = self._full
        return self._refined(forces, base.factor.solve(forces), base.contact, base.factor.solve)

    def _refined(self, forces: Floats, x: Floats, contact: Flags, correct: Callable[[Floats], Floats]) -> tuple[Floats, Floats]:
        """Displacements of cases (m, n), improved until their true residual is nothing or falls no more; and what is left."""
        rigid, rigid_stiffness = self._rigid(contact)

        def levelled(x: Floats) -> tuple[Floats, Floats, Floats]:
            left = forces - applied(self.mesh, x, contact)
            x = x + np.linalg.solve(rigid_stiffness, rigid @ left.T).T @ rigid
            left = forces - applied(self.mesh, x, contact)
            return x, left, self._unbalanced(left, forces)

        residual = forces - applied(self.mesh, x, contact)
        size = self._unbalanced(residual, forces)
        for _ in range(_MOST_REFINEMENTS):
            if (size <= _BALANCED).all():
                break
            better, left, smaller = levelled(x + correct(residual))
            settled = bool((smaller > 0.5 * size).all())
            if (smaller < size).any():
                x, residual, size = better, left, smaller
            if settled:
                break
        return x, size

    def _rigid(self, contact: Flags) -> tuple[Floats, Floats]:
        """The three rigid movements that the soil feels, and its stiffness against them.

        In thin plates rounding hides the balance of the whole behind large nodal forces; these movements restore it.
        """
        m, nodes = self.mesh.elements.n_fields, self.mesh.node_points
        middle = nodes.mean(axis=0)
        rigid = np.zeros((3, self.mesh.n_unknowns))
        rigid[0, ::m] = 1.0
        for axis in (0, 1):
            rigid[1 + axis, ::m] = nodes[:, axis] - middle[axis]
            rigid[1 + axis, 1 + axis :: m] = -1.0
        lever = np.column_stack([np.ones(len(contact)), self.mesh.points - middle])
        return rigid, lever.T @ (np.where(contact, self._stiffness, 0.0)[:, None] * lever)

    def _unbalanced(self, residual: Floats, forces: Floats) -> Floats:
        """Residual forces of cases (m, n) as fractions: node by node, and summed up over the plate."""
        step = self.mesh.elements.n_fields
        tiny = np.finfo(float).tiny
        nodal = np.abs(residual).max(axis=1) / np.maximum(np.abs(forces).max(axis=1), tiny)
        total = np.abs(residual[:, ::step].sum(axis=1)) / np.maximum(np.abs(forces[:, ::step]).sum(axis=1), tiny)
        return np.where(forces[:, ::step].any(axis=1), np.maximum(nodal, total), nodal)

    def tensionless(self, forces: Floats, expected: Flags | None = None) -> tuple[Floats, Flags, Proof]:
        """Displacements and contact set of one case.

        Parameters
        ----------
        forces : (n,) float64
        expected : (nq,) bool, optional
            Flags set to begin with.

        Raises
        ------
        NotConverged
            If the set does not settle.
        """
        before, steps, tolerance = self.n_factors, 0, 1e-2
        base = self._nearest(self._full.contact if expected is None else expected)
        state, scale = self._started(base, forces)
        energies = [self._energy(state, forces)]
        for n_pass in range(1, _MOST_PASSES + 1):
            contact = state.deflection > 0.0
            base = self._nearest(contact)
            residual = forces - state.plate_forces - self._soil_forces(state.deflection, contact)
            base, step, step_forces, left, n_steps = self._newton_step(base, residual, contact, tolerance, scale)
            moved = deflections(self.mesh.elements, step)
            length = self._searched(state, step, step_forces, moved, forces)
            state = _State(state.x + length * step, state.plate_forces + length * step_forces, state.deflection + length * moved)
            steps += n_steps
            energies.append(self._energy(state, forces))
            unchanged = bool(((state.deflection > 0.0) == contact)[self._stiffness > 0.0].all())
            if unchanged and left <= _TOLERANCE * scale:
                return self._proved(base, forces, state.x, contact, tuple(energies), n_pass, steps, self.n_factors - before)
            tolerance = 0.0 if unchanged else tolerance
        raise NotConverged(f"the contact between plate and soil did not settle in {_MOST_PASSES} passes.")

    def _proved(
        self,
        base: _Factored,
        forces: Floats,
        x: Floats,
        contact: Flags,
        energies: tuple[float, ...],
        passes: int,
        steps: int,
        factors: int,
    ) -> tuple[Floats, Flags, Proof]:
        """The answer held against the whole system anew."""
        more = 0

        def correct(residual: Floats) -> Floats:
            nonlocal base, more
            base, step, _, _, n_steps = self._newton_step(base, residual[0], contact, 1e-4, 0.0)
            more += n_steps
            return step[None]

        improved, residuals = self._refined(forces[None], x[None], contact, correct)
        now = deflections(self.mesh.elements, improved[0]) > 0.0
        same = bool((now == contact)[self._stiffness > 0.0].all())
        return (
            improved[0],
            contact,
            Proof(residual=float(residuals[0]), set_unchanged=same, energy=energies, passes=passes, steps=steps + more, factors=factors),
        )

    def increments(self, forces: Floats, contact: Flags) -> Floats:
        """Small changes (m, n) that forces cause while the contact set stays as it is."""
        return self._nearest(contact).factor.solve(forces)

    def _nearest(self, contact: Flags) -> _Factored:
        """The kept factor closest to a contact set, or a new one where both are far."""
        gaps = [(int(np.count_nonzero(one.contact != contact)), one) for one in (self._latest, self._full)]
        least, best = min(gaps, key=lambda gap: gap[0])
        if least > _FAR * len(contact):
            self._latest = best = self._factored(contact)
        return best

    def _started(self, base: _Factored, forces: Floats) -> tuple[_State, float]:
        x = base.factor.solve(forces)
        deflection = deflections(self.mesh.elements, x)
        return _State(x, forces - self._soil_forces(deflection, base.contact), deflection), float(np.sqrt(forces @ x))

    def _energy(self, state: _State, forces: Floats) -> float:
        pressed = np.maximum(state.deflection, 0.0)
        return float(0.5 * state.x @ state.plate_forces - forces @ state.x + 0.5 * self._stiffness @ pressed**2)

    def _soil_forces(self, deflection: Floats, contact: Flags) -> Floats:
        return soil_forces(self.mesh.elements, np.where(contact, self._stiffness * deflection, 0.0), self.mesh.n_unknowns)

    def _newton_step(
        self, base: _Factored, residual: Floats, contact: Flags, tolerance: float, scale: float
    ) -> tuple[_Factored, Floats, Floats, float, int]:
        """Direction d with K(contact) d = residual: the factor used, d, its plate forces, what is left, steps taken.

        Conjugate gradients on K = M + change, M being the factored matrix: M p follows by the same recurrence as p.
        """
        n_steps = 0
        while True:
            change = self._stiffness * (contact.astype(float) - base.contact)
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
                sag = deflections(self.mesh.elements, p)
                kp = mp + soil_forces(self.mesh.elements, change * sag, len(p))
                alpha = gamma / float(p @ kp)
                d += alpha * p
                plate_d += alpha * (mp - self._soil_forces(sag, base.contact))
                rho -= alpha * kp
                n_steps += 1
            self._latest = base = self._factored(contact)

    def _searched(self, state: _State, step: Floats, step_forces: Floats, moved: Floats, forces: Floats) -> float:
        """Length along a step at which the energy is least."""
        constant = float(step @ (state.plate_forces - forces))
        linear = float(step @ step_forces)

        def slope(t: float) -> float:
            return constant + t * linear + float((self._stiffness * np.maximum(state.deflection + t * moved, 0.0)) @ moved)

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
