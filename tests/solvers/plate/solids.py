"""The same floors by a general finite element library: as plates with other elements, and as solids."""

import numpy as np
from scipy.sparse import diags_array
from scipy.sparse.linalg import splu
from skfem import (
    Basis,
    BilinearForm,
    ElementHex2,
    ElementQuad2,
    ElementQuadP,
    ElementVector,
    FacetBasis,
    LinearForm,
    MeshHex,
    MeshQuad,
    asm,
)
from skfem.models.elasticity import lame_parameters, linear_elasticity


def solved(matrix, loads, pinned):
    """Displacements with some unknowns held by springs that carry nothing."""
    held = np.zeros(len(loads))
    held[pinned] = np.abs(matrix.diagonal()).max()
    factor = splu((matrix + diags_array(held)).tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})
    return factor.solve(loads)


class PlateByLibrary:
    """A Reissner-Mindlin plate with level top and stepped thickness, five unknowns a node, fully integrated.

    ``thickness`` and ``spring`` are functions of x and y; lines must follow their steps. The load is a pressure on a box.
    """

    def __init__(self, x, y, *, thickness, spring, modulus, poisson, pressure, box, order=3, keep=lambda x, y: x < np.inf):
        mesh = MeshQuad.init_tensor(np.asarray(x), np.asarray(y))
        middle = mesh.p[:, mesh.t].mean(axis=1)
        mesh = mesh.restrict(np.nonzero(keep(*middle))[0])
        element = ElementVector(ElementQuad2() if order == 2 else ElementQuadP(order), 5)
        self.basis = Basis(mesh, element, intorder=2 * order)
        stretch, shear = modulus / (1 - poisson**2), 5 / 6 * modulus / (2 * (1 + poisson))

        def stress(strain):
            trace = strain[0, 0] + strain[1, 1]
            found = (1 - poisson) * strain
            found[0, 0] += poisson * trace
            found[1, 1] += poisson * trace
            return stretch * found

        def symmetric(gradient):
            return 0.5 * (gradient + gradient.swapaxes(0, 1))

        @BilinearForm
        def form(u, v, w):
            h = thickness(*w.x)
            curve, other_curve = symmetric(u.grad[1:3]), symmetric(v.grad[1:3])
            flat, other_flat = symmetric(u.grad[3:5]), symmetric(v.grad[3:5])
            own, other = flat + h / 2 * curve, other_flat + h / 2 * other_curve  # of the middle surface; the reference is the top
            slide, other_slide = u.grad[0] + u[1:3], v.grad[0] + v[1:3]
            inner = h * (stress(own) * other).sum((0, 1)) + h**3 / 12 * (stress(curve) * other_curve).sum((0, 1))
            return inner + shear * h * (slide * other_slide).sum(0) + spring(*w.x) * u[0] * v[0]

        @LinearForm
        def load(v, w):
            inside = (w.x[0] > box[0]) & (w.x[0] < box[2]) & (w.x[1] > box[1]) & (w.x[1] < box[3])
            return np.where(inside, pressure, 0.0) * v[0]

        matrix, loads = asm(form, self.basis).tocsc(), asm(load, self.basis)
        near, far = (mesh.p[0] - mesh.p[1]).argmin(), (mesh.p[0] - mesh.p[1]).argmax()
        pinned = [self.basis.nodal_dofs[3, near], self.basis.nodal_dofs[4, near], self.basis.nodal_dofs[4, far]]
        self.x = solved(matrix, loads, pinned)

    def deflection(self, points):
        (w, own), *_ = self.basis.split(self.x)
        return own.probes(np.asarray(points, float).T) @ w


class Solid:
    """A floor as an elastic solid of 27-node bricks, level on top, on springs under every face that looks down.

    ``depth`` is a function of x and y, constant in each cell of the plan; ``z`` holds every depth among its lines.
    """

    def __init__(self, x, y, z, *, depth, spring, modulus, poisson, pressure, box):
        whole = MeshHex.init_tensor(np.asarray(x), np.asarray(y), np.asarray(z))
        middle = whole.p[:, whole.t].mean(axis=1)
        mesh = whole.restrict(np.nonzero(middle[2] < depth(middle[0], middle[1]))[0])
        element = ElementVector(ElementHex2())
        self.basis = Basis(mesh, element, intorder=4)
        faces = mesh.boundary_facets()
        at = mesh.p[:, mesh.facets[:, faces]]
        level, where = np.ptp(at[2], axis=0) < 1e-9, at.mean(axis=1)
        below = faces[level & (np.abs(where[2] - depth(where[0], where[1])) < 1e-9)]
        loaded = faces[level & (where[2] < 1e-9) & (where[0] > box[0]) & (where[0] < box[2]) & (where[1] > box[1]) & (where[1] < box[3])]

        @BilinearForm
        def soil(u, v, w):
            return spring * u[2] * v[2]

        @LinearForm
        def load(v, w):
            return pressure * v[2]

        matrix = asm(linear_elasticity(*lame_parameters(modulus, poisson)), self.basis)
        matrix = matrix + asm(soil, FacetBasis(mesh, element, facets=below, intorder=4))
        loads = asm(load, FacetBasis(mesh, element, facets=loaded, intorder=4))
        top = np.nonzero(mesh.p[2] < 1e-9)[0]
        off = mesh.p[0, top] - mesh.p[1, top]
        near, far = top[off.argmin()], top[off.argmax()]
        dofs = self.basis.nodal_dofs
        self.x = solved(matrix.tocsc(), loads, [dofs[0, near], dofs[1, near], dofs[1, far]])

    def deflection(self, points):
        """Of the top."""
        *_, (w, own) = self.basis.split(self.x)
        return own.probes(np.array([(x, y, 0.0) for x, y in points]).T) @ w
