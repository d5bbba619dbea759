"""The plate solver against a general finite element library and SciPy's sparse solver, and on the floor of a barn.

Prints ratios taken in one run, medians of several where they are short, with the processor time beside the wall time:

* a floor of 60 by 40 ft with 12 pads and thickened edges: six combinations at rest, and the empty floor curled;
* some 300,000 unknowns from assembly to answer: this solver, scikit-fem's assembly with ``splu`` (minimum degree,
  symmetric mode), and one bare ``splu`` under a nested-dissection ordering;
* a tensionless iteration after the first, at that size;
* an envelope of 2,000 wheel positions;
* growth from 10,000 to 1,000,000 unknowns.

``python -m benchmarks.bench_plate [floor] [general] [contact] [wheel] [growth]``; all of them without a word.
"""

import resource
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from statistics import median

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

from slabwright.solvers.plate import Analysis, Gradient, LineLoad, Load, Patch, Plate, Pressure, Region, Weight, envelope
from slabwright.solvers.plate.contact import TensionlessSolver
from slabwright.solvers.plate.element import element_matrix
from slabwright.solvers.plate.mesh import Mesh, build
from slabwright.solvers.plate.reference import Floats
from slabwright.units import FOOT_M, INCH_M

MODULUS, POISSON, SPRING, WEIGHT = 21.5e9, 0.15, 27e6, 23.5e3
LENGTH, WIDTH = 60 * FOOT_M, 40 * FOOT_M
SYMMETRIC = {"diag_pivot_thresh": 0.0, "options": {"SymmetricMode": True}}


def timed(work: Callable[[], object], repeats: int = 3) -> tuple[float, float]:
    """Median wall and processor time of a piece of work. [s]"""
    wall, processor = [], []
    for _ in range(repeats):
        start, own = time.perf_counter(), time.process_time()
        work()
        wall.append(time.perf_counter() - start)
        processor.append(time.process_time() - own)
    return median(wall), median(processor)


def say(what: str, seconds: tuple[float, float], more: str = "") -> None:
    print(f"{what:58s} {seconds[0]:7.2f} s (processor {seconds[1]:6.2f} s) {more}", flush=True)


def barn() -> tuple[Plate, list[list[Load]]]:
    """A floor of 60 by 40 ft with 12 pads, thickened edges, posts and walls; and six combinations."""
    edge, t = 16 * INCH_M, 20 * INCH_M
    rings = [(0, 0, LENGTH, edge), (0, WIDTH - edge, LENGTH, WIDTH), (0, 0, edge, WIDTH), (LENGTH - edge, 0, LENGTH, WIDTH)]
    posts = [(LENGTH * (i + 0.5) / 4, y) for i in range(4) for y in (1.5 * FOOT_M, WIDTH / 2, WIDTH - 1.5 * FOOT_M)]
    half = 1.5 * FOOT_M
    boxes = [(*ring, t) for ring in rings] + [(x - half, y - half, x + half, y + half, 24 * INCH_M) for x, y in posts]
    plate = Plate(
        outline=[(0, 0), (LENGTH, 0), (LENGTH, WIDTH), (0, WIDTH)], thickness=4 * INCH_M, modulus=MODULUS, poisson=POISSON, spring=SPRING,
        regions=[Region(within=[(a, b), (c, b), (c, d), (a, d)], thickness=depth) for a, b, c, d, depth in boxes],
    )  # fmt: skip
    cases: list[list[Load]] = []
    for dead, live, snow, wind in ((1, 0, 0, 0), (1, 1, 0, 0), (1, 0, 1, 0), (1, 0.75, 0.75, 0), (1, 0, 0, 0.6), (1, 0.75, 0.75, 0.45)):
        force = 15e3 * dead + 40e3 * snow + 10e3 * wind
        loads: list[Load] = [Weight(unit_weight=dead * WEIGHT, cast_on_soil=True)]
        loads += [Patch(at=at, force=force, size_x=8 * INCH_M, size_y=8 * INCH_M) for at in posts]
        loads += [LineLoad(line=[(0.1, y), (LENGTH - 0.1, y)], force=2e3 * dead) for y in (0.1, WIDTH - 0.1)]
        cases.append(loads + ([Pressure(pressure=4.8e3 * live)] if live else []))
    return plate, cases


def floor() -> None:
    """Study-like work on the barn."""
    plate, cases = barn()
    size = plate.length()
    curl = [Weight(unit_weight=WEIGHT, cast_on_soil=True), Gradient(curvature=1.6e-4 / (4 * INCH_M), depth=4 * INCH_M)]
    lines = [load for load in cases[1] if isinstance(load, LineLoad)]

    def at_rest() -> Analysis:
        analysis = Analysis(plate, lines, size=size)
        analysis.solve_cases(cases)
        return analysis

    analysis = at_rest()
    say(f"60 x 40 ft, 12 pads, {analysis.mesh.n_unknowns} unknowns, six combinations", timed(at_rest))
    say("  the empty floor and the fullest combination, curled", timed(lambda: at_rest().solve_cases([curl, [*cases[3], curl[1]]])))


def square(n: int) -> Mesh:
    """A square plate of n by n cells of the third order: 3 (3n + 1)**2 unknowns."""
    plate = Plate(outline=[(0, 0), (24, 0), (24, 24), (0, 24)], thickness=0.125, modulus=MODULUS, poisson=POISSON, spring=SPRING)
    lines = np.linspace(0.0, 24.0, n + 1)
    return build(plate, lines, lines, order=3)


def loads_of(mesh: Mesh) -> Floats:
    return np.random.default_rng(1).standard_normal((1, mesh.n_unknowns))


def answered(mesh: Mesh, loads: Floats) -> Floats:
    """Assembly, factor, answer and its proof."""
    return TensionlessSolver(mesh).bonded(loads, np.zeros((1, len(mesh.elements.area))))[0]


def assembled(mesh: Mesh) -> sp.csc_array:
    """The solver's own matrix in the order of its nested dissection."""
    m, (n_elements, n_nodes) = mesh.elements.n_fields, mesh.elements.nodes.shape
    values = np.empty((n_elements, n_nodes * m, n_nodes * m))
    contact = np.ones(len(mesh.elements.area), bool)
    for e in range(n_elements):
        element_matrix(mesh.elements, e, contact, values[e])
    lower = np.tril(values)
    full = lower + np.tril(values, -1).transpose(0, 2, 1)
    unknowns = (mesh.elements.nodes[:, :, None] * m + np.arange(m)).reshape(n_elements, -1)
    rows, columns = np.broadcast_arrays(unknowns[:, :, None], unknowns[:, None, :])
    matrix = sp.coo_array((full.ravel(), (rows.ravel(), columns.ravel())), shape=(mesh.n_unknowns,) * 2)
    return matrix.tocsc()


def by_general_library(n: int) -> sp.csc_matrix:
    """The same plate on the same cells by scikit-fem, with shape functions of the same order."""
    from skfem import Basis, BilinearForm, ElementQuadP, ElementVector, MeshQuad
    from skfem.helpers import trace

    lines = np.linspace(0.0, 24.0, n + 1)
    basis = Basis(MeshQuad.init_tensor(lines, lines), ElementVector(ElementQuadP(3), 3), intorder=6)
    bending = MODULUS * 0.125**3 / 12 / (1 - POISSON**2)
    shear = 5 / 6 * MODULUS / (2 * (1 + POISSON)) * 0.125

    @BilinearForm
    def form(u, v, _):  # type: ignore[no-untyped-def]
        along, turn, bend = u.grad, u[1:], u.grad[1:]
        across, other, curve = v.grad, v[1:], v.grad[1:]
        first, second = (0.5 * (one + one.swapaxes(0, 1)) for one in (bend, curve))
        moment = bending * ((1 - POISSON) * (first * second).sum((0, 1)) + POISSON * trace(first) * trace(second))
        return moment + shear * ((along[0] + turn) * (across[0] + other)).sum(0) + SPRING * u[0] * v[0]

    return form.assemble(basis).tocsc()


def nested(mesh: Mesh, loads: Floats) -> tuple[tuple[float, float], float]:
    """Time of one bare factorisation of the solver's own matrix, and how far its answer is from the solver's."""
    matrix, kept = assembled(mesh), []
    seconds = timed(lambda: kept.append(splu(matrix, permc_spec="NATURAL", **SYMMETRIC)), 1)
    found = kept[0].solve(loads[0])
    return seconds, float(np.abs(found - answered(mesh, loads)[0]).max() / np.abs(found).max())


def general(n: int = 104) -> None:
    """Assembly to answer at 300,000 unknowns, against a general library and against one bare factorisation."""
    mesh = square(n)
    loads = loads_of(mesh)
    answered(mesh, loads)
    own = timed(lambda: answered(mesh, loads))
    say(f"{mesh.n_unknowns} unknowns, assembly to answer", own)
    say("  with mesh and ordering", timed(lambda: answered(square(n), loads)))
    say("  refactorisation and proof of one more case", timed(lambda: TensionlessSolver(mesh)))
    bare, gap = nested(mesh, loads)
    say("  bare splu under the same nested dissection", bare, f"{bare[0] / own[0]:.1f} times as long; answers differ by {gap:.1e}")
    other = timed(lambda: splu(by_general_library(n), permc_spec="MMD_AT_PLUS_A", **SYMMETRIC).solve(loads[0]), 1)
    say("  scikit-fem and splu, minimum degree, symmetric mode", other, f"{other[0] / own[0]:.1f} times as long")


def contact() -> None:
    """What a tensionless iteration costs after the first: a floor of 300,000 unknowns that curls off its soil."""
    plate = Plate(outline=[(0, 0), (24, 0), (24, 24), (0, 24)], thickness=0.125, modulus=MODULUS, poisson=POISSON, spring=SPRING)
    loads: list[Load] = [Weight(unit_weight=WEIGHT), Gradient(curvature=1.6e-3), Patch(at=(3, 3), force=2e4, size_x=0.2, size_y=0.2)]
    analysis = Analysis(plate, loads, size=0.235)
    first = timed(lambda: Analysis(plate, loads, size=0.235).solve(loads, bonded=True), 1)
    answer = analysis.solve(loads)
    whole = timed(lambda: analysis.solve(loads), 1)
    proof = answer.proof
    passes = proof.passes + answer.coarser.proof.passes if answer.coarser else proof.passes
    say(f"{analysis.mesh.n_unknowns} unknowns bonded, both meshes", first, f"lifted {1 - answer.contact_fraction:.0%}")
    say("  the same with lift-off after that", whole, f"{proof.passes} passes, {proof.steps} steps, {proof.factors} factors")
    print(f"  a pass costs {whole[1] / passes / first[1] * 2:.2f} of the first solution")


def wheel() -> None:
    """Two thousand positions of an axle on the barn's floor."""
    plate, _ = barn()
    analysis = Analysis(plate, [], size=plate.length())
    base = analysis.solve([Weight(unit_weight=WEIGHT, cast_on_soil=True)])
    group = [Patch(at=(x, 0.0), force=20e3, size_x=0.2, size_y=0.2) for x in (-0.6, 0.6)]
    x, y = np.meshgrid(np.linspace(1.0, LENGTH - 1.0, 50), np.linspace(0.5, WIDTH - 0.5, 40), indexing="ij")
    places = np.stack([x.ravel(), y.ravel()], axis=1)
    for level, words in ((base, "finer"), (base.coarser, "coarser")):
        assert level is not None
        envelope(analysis, level, group, places[:64])
        seconds = timed(partial(envelope, analysis, level, group, places))
        say(f"{len(places)} positions, {level.mesh.n_unknowns} unknowns ({words} mesh)", seconds)


def growth() -> None:
    """Time and memory from 10,000 to 1,000,000 unknowns, each size in a process of its own."""
    for n in (19, 33, 60, 104, 192):
        command = [sys.executable, "-m", "benchmarks.bench_plate", "one", str(n)]
        print(subprocess.run(command, capture_output=True, check=True, text=True).stdout, end="", flush=True)


def one(n: int) -> None:
    """One size."""
    mesh = square(n)
    loads = loads_of(mesh)
    answered(mesh, loads)
    seconds = timed(lambda: answered(mesh, loads))
    work = mesh.layout
    n_own, n_rest = (np.diff(bounds) * 3.0 for bounds in (work.tree.own, work.tree.border_start))
    operations = (n_own**3 / 3 + n_own**2 * n_rest + n_own * n_rest**2).sum()
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    more = f"{operations / 1e9:6.1f} thousand million operations, factor {8 * work.panel_start[-1] / 1e9:.2f} GB, peak {memory:.2f} GB"
    say(f"{mesh.n_unknowns} unknowns", seconds, more)


PARTS = (floor, general, contact, wheel, growth)

if __name__ == "__main__":
    if sys.argv[1:2] == ["one"]:
        one(int(sys.argv[2]))
    for part in PARTS:
        if not sys.argv[1:] or part.__name__ in sys.argv[1:]:
            part()
