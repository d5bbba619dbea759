"""The in-plane solver against exact solutions and an independent finite-element library."""

import numpy as np
import pytest
import skfem
from skfem.helpers import ddot, sym_grad, trace

from slabwright.errors import Mechanism, OutOfRange
from slabwright.solvers.plane_stress import PlaneStress, split_grid

E, NU = 25e9, 0.2


def grid(xs, ys, cut_x=None, cut_y=None):
    p, q = len(xs) - 1, len(ys) - 1
    cut_x = np.zeros((p - 1, q), bool) if cut_x is None else cut_x
    cut_y = np.zeros((p, q - 1), bool) if cut_y is None else cut_y
    return split_grid(xs, ys, np.ones((p, q), bool), cut_x, cut_y)


def test_a_linear_displacement_field_gives_its_constant_stress_on_a_crooked_mesh():
    """Patch test: u = (a x + b y, c x + d y) on the boundary must be met inside to 1e-10, whatever the elements' shape."""
    nodes, quads, _ = grid(np.linspace(0, 2, 6), np.linspace(0, 1, 5))
    inner = (nodes[:, 0] > 1e-9) & (nodes[:, 0] < 2 - 1e-9) & (nodes[:, 1] > 1e-9) & (nodes[:, 1] < 1 - 1e-9)
    nodes[inner] += 0.04 * np.sin(37 * nodes[inner] + 1.0)
    gradient = np.array([[1e-4, 2e-5], [-3e-5, 5e-5]])
    exact = nodes @ gradient.T
    held = np.where(inner[:, None], np.nan, exact)

    solution = PlaneStress.of(nodes, quads, e_pa=E, nu=NU).solve(held=held)
    strain = np.array([1e-4, 5e-5, -1e-5])
    law = E / (1 - NU**2) * np.array([[1, NU, 0], [NU, 1, 0], [0, 0, (1 - NU) / 2]])

    assert np.abs(solution.displacement - exact).max() < 1e-10 * np.abs(exact).max()
    assert np.abs(solution.stress - law @ strain).max() < 1e-10 * np.abs(law @ strain).max()


def test_a_fully_held_strip_takes_the_whole_shrinkage_as_stress():
    """Held at both ends, free sides: sigma = E eps (uniaxial); held all round: E eps / (1 - nu). Elementary statics."""
    nodes, quads, _ = grid(np.linspace(0, 4, 9), np.linspace(0, 1, 4))
    ends = (nodes[:, 0] < 1e-9) | (nodes[:, 0] > 4 - 1e-9)
    strip = np.full(nodes.shape, np.nan)
    strip[ends, 0] = 0.0
    strip[0, 1] = 0.0
    body = PlaneStress.of(nodes, quads, e_pa=E, nu=NU)

    assert pytest.approx(E * 3e-4, rel=1e-9) == body.solve(free_strain=-3e-4, held=strip).stress[:, 0]
    assert pytest.approx(E * 3e-4 / (1 - NU), rel=1e-9) == body.solve(free_strain=-3e-4, held=np.zeros(nodes.shape)).stress[:, 1]


def test_a_long_strip_on_a_sliding_support_gathers_drag_to_its_middle():
    """Subgrade drag: once it slides over its length, tension at mid-length is slip x L / (2 h), exactly; a narrow strip within 1 %."""
    length, h, slip = 30.0, 0.125, 4500.0
    nodes, quads, cells = grid(np.linspace(0, length, 241), np.linspace(0, 0.05, 2))
    body = PlaneStress.of(nodes, quads, thickness_m=h, e_pa=E, nu=0.0, support_pa_m=5e8, slip_pa=slip)
    solution = body.solve(free_strain=-4e-4)

    middle = solution.stress[(cells[:, 0] == 120), 0].mean()
    assert pytest.approx(slip * length / 2 / h, rel=0.01) == middle
    assert solution.sliding.mean() > 0.95
    assert solution.residual < 1e-9


def test_stress_at_a_round_hole_is_kirsch():
    """Uniaxial tension, round hole: 3 sigma at its side, -sigma at its crown (Kirsch 1898), as the mesh is refined."""
    ratios = []
    for n in (24, 48):
        r, t = np.meshgrid(np.geomspace(1.0, 40.0, 2 * n + 1), np.linspace(0, np.pi / 2, n + 1), indexing="ij")
        nodes = np.stack([r * np.cos(t), r * np.sin(t)], axis=-1).reshape(-1, 2)
        index = np.arange(nodes.shape[0]).reshape(r.shape)
        quads = np.stack([index[:-1, :-1], index[1:, :-1], index[1:, 1:], index[:-1, 1:]], axis=-1).reshape(-1, 4)
        held = np.full(nodes.shape, np.nan)
        held[np.abs(nodes[:, 1]) < 1e-9, 1] = 0.0
        held[np.abs(nodes[:, 0]) < 1e-9, 0] = 0.0
        outer = index[-1]
        x, y, a2 = nodes[outer, 0], nodes[outer, 1], 1.0
        angle, radius = np.arctan2(y, x), np.hypot(x, y)
        g = E / (2 * (1 + NU))
        k = (3 - NU) / (1 + NU)
        u_r = radius / (8 * g) * ((k - 1) + 2 * a2 / radius**2 + 2 * (1 + (k + 1) * a2 / radius**2 - a2**2 / radius**4) * np.cos(2 * angle))
        u_t = -radius / (4 * g) * (1 + (k - 1) * a2 / radius**2 + a2**2 / radius**4) * np.sin(2 * angle)
        held[outer] = np.stack([u_r * np.cos(angle) - u_t * np.sin(angle), u_r * np.sin(angle) + u_t * np.cos(angle)], axis=1)
        stress = PlaneStress.of(nodes, quads, e_pa=E, nu=NU).solve(held=held).stress.reshape(2 * n, n, 3)
        centre = nodes[quads].mean(axis=1).reshape(2 * n, n, 2)
        radius_0 = np.hypot(*centre[0, -1])
        exact = 0.5 * (2 + 1 / radius_0**2 + 3 / radius_0**4)
        ratios.append((stress[0, -1, 0] / exact, stress[0, 0, 1]))

    assert pytest.approx(1.0, abs=0.01) == ratios[1][0]
    assert abs(ratios[1][0] - 1) < abs(ratios[0][0] - 1)
    assert -1.05 < ratios[1][1] < -0.75


def test_the_same_problem_in_an_independent_library():
    """Square with a thick corner on elastic support, shrinking: scikit-fem's own bilinear element and assembly agree to rounding."""
    xs = np.linspace(0, 3, 13)
    nodes, quads, cells = grid(xs, xs)
    thickness = np.where((cells < 4).all(axis=1), 0.6, 0.15)
    k, strain = 2e8, -4e-4
    ours = PlaneStress.of(nodes, quads, thickness_m=thickness, e_pa=E, nu=NU, support_pa_m=k).solve(free_strain=strain)

    mesh = skfem.MeshQuad(nodes.T, quads.T)
    basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad1()), intorder=3)
    lumped = skfem.Basis(
        mesh, skfem.ElementVector(skfem.ElementQuad1()), quadrature=(np.array([[0.0, 1, 1, 0], [0, 0, 1, 1]]), np.full(4, 0.25))
    )
    lam, mu = E * NU / (1 - NU**2), E / (2 * (1 + NU))
    t = np.tile(thickness[:, None], (1, basis.X.shape[-1]))

    @skfem.BilinearForm
    def stiffness(u, v, w):
        a, b = sym_grad(u), sym_grad(v)
        return w["t"] * (lam * trace(a) * trace(b) + 2 * mu * ddot(a, b))

    @skfem.BilinearForm
    def support(u, v, w):
        return k * (u[0] * v[0] + u[1] * v[1])

    @skfem.LinearForm
    def shrinkage(v, w):
        return w["t"] * (2 * lam + 2 * mu) * strain * trace(sym_grad(v))

    system = stiffness.assemble(basis, t=t) + support.assemble(lumped)
    theirs = skfem.solve(system, shrinkage.assemble(basis, t=t))
    at_nodes = theirs[basis.nodal_dofs].T

    order = np.lexsort((mesh.p[1].round(9), mesh.p[0].round(9)))
    own = np.lexsort((nodes[:, 1].round(9), nodes[:, 0].round(9)))
    assert np.abs(at_nodes[order] - ours.displacement[own]).max() < 1e-9 * np.abs(at_nodes).max()


def test_parted_edges_open_and_joined_ones_do_not():
    """Each of two panels shrinks to its own middle; on a support without stiffness the gap is strain x half of both lengths."""
    xs, ys = np.linspace(0, 8, 17), np.linspace(0, 4, 9)
    cut = np.zeros((15, 8), bool)
    cut[7] = True
    nodes, quads, _ = grid(xs, ys, cut_x=cut)
    solution = PlaneStress.of(nodes, quads, e_pa=E, nu=NU, support_pa_m=1.0).solve(free_strain=-5e-4)
    at_joint = np.flatnonzero(np.abs(nodes[:, 0] - 4.0) < 1e-9)
    left = solution.displacement[at_joint, 0].min()
    right = solution.displacement[at_joint, 0].max()

    assert 2 * 9 == len(at_joint)
    assert pytest.approx(5e-4 * 4.0, rel=1e-3) == right - left
    assert np.abs(solution.stress).max() < 1.0


def test_a_body_that_nothing_holds_is_named():
    """No support and no held node."""
    nodes, quads, _ = grid(np.linspace(0, 1, 3), np.linspace(0, 1, 3))

    with pytest.raises(Mechanism, match="nothing holds"):
        PlaneStress.of(nodes, quads, e_pa=E, nu=NU).solve(nodal_force_n=np.ones(nodes.shape))


@pytest.mark.parametrize("part", [{"e_pa": 0.0}, {"nu": 0.5}, {"thickness_m": 0.0}, {"support_pa_m": -1.0}])
def test_senseless_properties_are_refused(part):
    """Each by itself."""
    with pytest.raises(OutOfRange):
        PlaneStress.of([[0, 0], [1, 0], [1, 1], [0, 1]], [[0, 1, 2, 3]], **({"e_pa": E, "nu": NU} | part))
