"""Adjustment of networks against published worked examples and against a general least-squares routine."""

import math

import numpy as np
import pytest
import scipy.optimize
import scipy.stats

from slabwright.errors import Mechanism, NotConverged, OutOfRange
from slabwright.solvers.measurements import Kind, Observation
from slabwright.solvers.network import Network, ellipse_factor
from slabwright.sources import Basis, Clause, Source, arithmetic

GHILANI = Source("Ghilani & Wolf", "Ghilani, Wolf: Adjustment Computations, 4th edition, 2006")
KRUMM = Source("Krumm", "Krumm: Geodetic Network Adjustment Examples, Geodätisches Institut, Universität Stuttgart, rev. 3.5, 2020")
GAMA = Source("GNU Gama", "GNU Gama sample listing, vertical adjustment")
STRANG_BORRE = Source("Strang & Borre", "Strang, Borre: Linear Algebra, Geodesy, and GPS, 1997, levelling example")
OPEN_SURVEYING = Source("Open Access Surveying Library", "Least Squares Lite, chapters B to E, level circuit with four benchmarks")


def distance(first, second, value, sd=1.0):
    return Observation(kind=Kind.DISTANCE, at=first, to=second, value=value, sd=sd)


def rise(first, second, value, sd=1.0):
    return Observation(kind=Kind.RISE, at=first, to=second, value=value, sd=sd)


def angle(at, first, second, degrees, seconds_sd):
    return Observation(kind=Kind.ANGLE, at=at, to=first, second=second, value=math.radians(degrees), sd=math.radians(seconds_sd / 3600))


def held(n, *which):
    mask = np.zeros(n, dtype=bool)
    mask[list(which)] = True
    return mask


BRACED_QUADRILATERAL = [
    distance(0, 1, 12.003), distance(1, 2, 8.001), distance(2, 3, 11.998),
    distance(3, 0, 8.002), distance(0, 2, 14.425), distance(1, 3, 14.4215),
]  # fmt: skip
RECTANGLE = np.array([[0.0, 0.0], [12.0, 0.0], [12.0, 8.0], [0.0, 8.0]])


@pytest.mark.published(arithmetic("braced quadrilateral, also solved by its one condition (Cayley-Menger determinant = 0)"))
def test_free_braced_quadrilateral():
    """Four sides and two diagonals, equal weights, one redundant measurement; coordinates with A at nought and B on +x."""
    adjustment = Network(RECTANGLE, held(4), BRACED_QUADRILATERAL).adjusted()

    residuals = [-8.438e-05, -5.628e-05, -8.442e-05, -5.627e-05, 0.000101451, 0.000101427]
    assert pytest.approx(residuals, abs=2e-8) == adjustment.residuals
    assert pytest.approx(4.11597e-08, rel=1e-4) == adjustment.square_sum
    assert pytest.approx(0.00020288, abs=1e-7) == adjustment.unit_error
    assert 1 == adjustment.n_redundant
    moved = adjustment.points - adjustment.points[0]
    turn = -math.atan2(moved[1, 1], moved[1, 0])
    coordinates = moved @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    expected = [[0, 0], [12.0029156, 0], [12.0028518, 8.0009437], [0.0049363, 8.0019422]]
    assert np.allclose(expected, coordinates, atol=2e-6)


@pytest.mark.published(arithmetic("Gauss-Newton by hand on the two unknowns, and a direct search"))
def test_best_rectangle_through_four_sides_and_two_diagonals():
    """The far corner of a rectangle with its first corner at nought: sides are its coordinates, diagonals its distance."""
    taped = [
        Observation(kind=Kind.X, at=1, value=12.003, sd=1.0), Observation(kind=Kind.Y, at=1, value=8.001, sd=1.0),
        Observation(kind=Kind.X, at=1, value=11.998, sd=1.0), Observation(kind=Kind.Y, at=1, value=8.002, sd=1.0),
        distance(0, 1, 14.425), distance(0, 1, 14.4215),
    ]  # fmt: skip
    adjustment = Network(np.array([[0.0, 0.0], [12.0, 8.0]]), held(2, 0), taped).adjusted()

    assert pytest.approx([12.0004155, 8.0014436], abs=1e-6) == adjustment.points[1]
    assert pytest.approx(14.4233516, abs=1e-6) == np.hypot(*adjustment.points[1])
    assert pytest.approx(1.916629e-05, abs=1e-10) == adjustment.square_sum
    assert pytest.approx(0.002188966, abs=1e-6) == adjustment.unit_error
    assert pytest.approx([0.001252, 0.001424], abs=1e-6) == adjustment.deviations(adjustment.unit_error)[1]
    assert 4 == adjustment.n_redundant


def test_a_free_network_sits_nearest_to_its_approximate_points():
    """Inner constraints: no common shift and no common turn is left between adjusted and approximate points."""
    adjustment = Network(RECTANGLE, held(4), BRACED_QUADRILATERAL).adjusted()

    shift = adjustment.points - RECTANGLE
    arm = RECTANGLE - RECTANGLE.mean(axis=0)
    assert np.allclose(0.0, shift.sum(axis=0), atol=1e-9)
    assert abs(float((arm[:, 0] * shift[:, 1] - arm[:, 1] * shift[:, 0]).sum())) < 1e-6


def test_free_network_cofactors_are_the_pseudo_inverse():
    """With inner constraints over all points the cofactor matrix is the pseudo-inverse of the normal matrix (NumPy)."""
    adjustment = Network(RECTANGLE, held(4), BRACED_QUADRILATERAL).adjusted()

    rows = []
    for one in BRACED_QUADRILATERAL:
        along = adjustment.points[one.to] - adjustment.points[one.at]
        row = np.zeros((4, 2))
        row[one.to], row[one.at] = along / np.hypot(*along), -along / np.hypot(*along)
        rows.append(row.ravel())
    normal = np.array(rows).T @ np.array(rows)
    assert np.allclose(np.linalg.pinv(normal, rcond=1e-9), adjustment.cofactor, atol=1e-9)


@pytest.mark.published(Clause(GHILANI, "ch. 14, first example (trilateration)", Basis.MEMORY))
def test_trilateration_of_one_point_from_three():
    """Feet, unweighted, one redundant measurement. The printed distances are from memory."""
    points = np.array([[865.40, 4527.15], [2432.55, 2047.25], [2865.22, 27.15], [6861.0, 3727.0]])
    adjustment = Network(points, held(4, 0, 1, 2), [distance(0, 3, 6049.00), distance(1, 3, 4736.83), distance(2, 3, 5446.49)]).adjusted()

    assert pytest.approx([6861.317, 3727.819], abs=0.002) == adjustment.points[3]
    assert pytest.approx([-0.0374, 0.0768, -0.0474], abs=1e-4) == adjustment.residuals
    assert pytest.approx(0.0977, abs=0.0005) == adjustment.unit_error
    assert pytest.approx([0.078, 0.154], abs=0.001) == adjustment.deviations(adjustment.unit_error)[3]


@pytest.mark.published(Clause(KRUMM, "example 3.1.1, after Benning 2011, example 8-2", Basis.QUOTED))
def test_trilateration_of_two_points_from_two():
    """Five distances with a standard error of 10 mm; standard errors as printed, from the residuals, in cm."""
    points = np.array([[0.0, 1000.0], [1000.0, 1000.0], [0.0, 0.0], [1000.0, 0.0]])
    values = {(0, 2): 1000.02, (0, 3): 1414.20, (1, 2): 1414.24, (1, 3): 999.98, (2, 3): 1000.00}
    adjustment = Network(points, held(4, 0, 1), [distance(*pair, value, 0.010) for pair, value in values.items()]).adjusted()

    assert np.allclose([[-0.0096, -0.0226], [999.9930, 0.0174]], adjustment.points[2:], atol=5.1e-5)
    assert pytest.approx(6.882, abs=0.0015) == 10 * adjustment.unit_error
    assert pytest.approx([0.260, -0.368, -0.368, 0.260, 0.260], abs=5.1e-4) == 100 * adjustment.residuals
    assert pytest.approx([0.901, 0.637], abs=5.1e-4) == 100 * adjustment.deviations(adjustment.unit_error)[2]


@pytest.mark.published(Clause(GHILANI, "ch. 16, example 16.1 (traverse)", Basis.MEMORY))
def test_traverse_of_distances_and_angles():
    """Link traverse with one new point; corrections to (1173.20, 1100.00) printed as -0.11 and -0.01 ft.

    Angles and names were seen quoted in a list of examples; coordinates of the held points and the answer are from
    memory. By hand: from R the bearing 60°, 200 ft gives (1173.21, 1100.00), which misses S by (0.21, 0.10).
    """
    q, r, u, s, t = range(5)
    points = np.array([[1000.0, 800.0], [1000.0, 1000.0], [1173.20, 1100.00], [1223.00, 1186.50], [1400.00, 1186.50]])
    observations = [
        distance(r, u, 200.00, 0.05), distance(u, s, 100.00, 0.08),
        angle(r, q, u, 240.0, 30), angle(u, r, s, 150.0, 30), angle(s, u, t, 240 + 1 / 60, 30),
    ]  # fmt: skip
    adjustment = Network(points, held(5, q, r, s, t), observations).adjusted()

    assert pytest.approx([-0.11, -0.01], abs=0.005) == adjustment.points[u] - points[u]
    assert pytest.approx(1.82, abs=0.005) == adjustment.unit_error


def _level_net(heights, fixed, lines, weight_of):
    names = sorted({name for line in lines for name in line[:2]})
    number = {name: i for i, name in enumerate(names)}
    start = np.array([[heights.get(name, 0.0)] for name in names])
    observations = [rise(number[a], number[b], value, weight_of(length) ** -0.5) for a, b, value, length in lines]
    return number, Network(start, held(len(names), *(number[name] for name in fixed)), observations).adjusted()


GHILANI_LINES = [
    ("X", "A", 5.10, 4), ("A", "Y", 2.34, 3), ("Y", "C", -1.25, 2), ("C", "X", -6.13, 3),
    ("A", "B", -0.68, 2), ("Y", "B", -3.00, 2), ("B", "C", 1.70, 2),
]  # fmt: skip


@pytest.mark.published(Clause(GHILANI, "ch. 12, sections 12.3 and 12.4 (level net)", Basis.MEMORY))
@pytest.mark.parametrize(
    ("weight_of", "heights", "unit_error", "sd"),
    [
        (lambda _: 1.0, [105.141, 104.483, 106.188], 0.050, [0.0309, 0.0328, 0.0309]),
        (lambda length: 12 / length, [105.150, 104.489, 106.197], 0.107, [0.0328, 0.0298, 0.0290]),
    ],
)
def test_level_net_of_seven_lines(weight_of, heights, unit_error, sd):
    """Feet; benchmarks X 100.00 and Y 107.50; equal weights, then 12 / miles. Data and answers from memory."""
    number, adjustment = _level_net({"X": 100.0, "Y": 107.5}, "XY", GHILANI_LINES, weight_of)

    new = [number[name] for name in "ABC"]
    assert pytest.approx(heights, abs=0.00051) == adjustment.points[new, 0]
    assert pytest.approx(unit_error, abs=0.0005) == adjustment.unit_error
    assert pytest.approx(sd, abs=0.00006) == adjustment.deviations(adjustment.unit_error)[new, 0]


@pytest.mark.published(Clause(GHILANI, "ch. 12, section 12.3 (level net, residuals)", Basis.MEMORY))
def test_level_net_residuals():
    _, adjustment = _level_net({"X": 100.0, "Y": 107.5}, "XY", GHILANI_LINES, lambda _: 1.0)

    assert pytest.approx([0.041, 0.019, -0.062, -0.058, 0.022, -0.017, 0.005], abs=0.0005) == adjustment.residuals
    assert pytest.approx(0.010048, abs=1e-6) == adjustment.square_sum


@pytest.mark.published(Clause(STRANG_BORRE, "two new points, three benchmarks", Basis.QUOTED))
def test_two_points_tied_to_three_benchmarks():
    """Metres; weights 1 / (0.006² km); heights cut off in the excerpt seen, the other figures as printed there."""
    lines = [("A", "E", 0.732, 970), ("A", "F", 1.978, 1002), ("B", "E", 0.42, 1070), ("C", "F", 0.988, 1110), ("E", "F", 1.258, 890)]
    number, adjustment = _level_net({"A": 10.021, "B": 10.321, "C": 11.002}, "ABC", lines, lambda length: 1.0 / (0.006**2 * length / 1000))

    e, f = number["E"], number["F"]
    assert pytest.approx([10.7445, 11.99762], abs=2e-5) == adjustment.points[[e, f], 0]
    assert pytest.approx(4.636, abs=0.0005) == adjustment.square_sum
    assert pytest.approx(1.243, abs=0.0005) == adjustment.unit_error
    assert pytest.approx([0.00456, 0.00461], abs=6e-6) == adjustment.deviations(adjustment.unit_error)[[e, f], 0]
    assert 3 == adjustment.n_redundant


@pytest.mark.published(Clause(GAMA, "complete listing", Basis.TEXT_SEEN))
def test_loop_levelled_forward_and_back():
    """Eight legs of 5 mm from one held point; standard errors from the stated 5 mm, as the listing prints them."""
    legs = [
        ("1a", "4", -1.225), ("4", "3", -0.848), ("3", "2", 1.342), ("2", "1a", 0.72),
        ("1a", "2", -0.724), ("2", "3", -1.335), ("3", "4", 0.842), ("4", "1a", 1.231),
    ]  # fmt: skip
    number, adjustment = _level_net({"1a": 1000.0}, ["1a"], [(*leg, 1.0) for leg in legs], lambda _: 0.005**-2)

    new = [number[name] for name in ("4", "3", "2")]
    assert pytest.approx([998.77513, 997.93325, 999.27487], abs=1e-5) == adjustment.points[new, 0]
    assert pytest.approx(5.42, abs=0.005) == 5 * adjustment.unit_error
    assert pytest.approx(146.625, abs=0.001) == 25 * adjustment.square_sum
    assert pytest.approx([3.1, 3.5, 3.1], abs=0.05) == 1000 * adjustment.deviations()[new, 0]
    assert pytest.approx([6.0, 6.9, 6.0], abs=0.06) == 1959.964 * adjustment.deviations()[new, 0]
    assert 5 == adjustment.n_redundant


OASL_BENCHMARKS = {"A": 806.52, "B": 818.32, "C": 820.12, "D": 824.04}
OASL_LINES = [
    ("A", "Q", 8.91, 3), ("B", "Q", -2.92, 2), ("C", "Q", -4.67, 1), ("D", "Q", -8.66, 3),
    ("A", "R", -3.56, 3), ("C", "R", -17.12, 4), ("D", "R", -21.10, 2),
]  # fmt: skip


@pytest.mark.published(Clause(OPEN_SURVEYING, "ch. B, D", Basis.TEXT_SEEN))
def test_points_tied_only_to_benchmarks_take_the_plain_mean():
    """Benchmark elevations were in a figure and are rebuilt from the printed residuals."""
    number, adjustment = _level_net(OASL_BENCHMARKS, "ABCD", OASL_LINES, lambda _: 1.0)

    assert pytest.approx([815.415, 802.967], abs=0.0005) == adjustment.points[[number["Q"], number["R"]], 0]
    assert pytest.approx([-0.015, 0.015, -0.035, 0.035, 0.007, -0.033, 0.027], abs=0.0005) == adjustment.residuals
    assert pytest.approx(0.004767, abs=1e-6) == adjustment.square_sum


@pytest.mark.published(Clause(OPEN_SURVEYING, "ch. E, weighted", Basis.TEXT_SEEN))
def test_level_circuit_weighted_by_set_ups():
    number, adjustment = _level_net(OASL_BENCHMARKS, "ABCD", [*OASL_LINES, ("Q", "R", -12.47, 3)], lambda length: 12 / length)

    new = [number["Q"], number["R"]]
    assert pytest.approx([815.424, 802.958], abs=0.0015) == adjustment.points[new, 0]
    assert pytest.approx(0.067, abs=0.0005) == adjustment.unit_error
    assert pytest.approx([0.012, 0.016], abs=0.0006) == adjustment.deviations(adjustment.unit_error)[new, 0]


def _random_network(rng, n=9):
    """Points with distances, angles, two rounds of directions and coordinates, with noise."""
    truth = np.array([[10.0 * (i % 3), 8.0 * (i // 3)] for i in range(n)]) + rng.normal(0, 0.5, (n, 2))
    pairs = [(i, j) for i in range(n) for j in range(i + 1, n) if rng.random() < 0.6]
    observations = [distance(i, j, math.dist(truth[i], truth[j]) + rng.normal(0, 0.003), 0.003) for i, j in pairs]

    def bearing(i, j):
        return math.atan2(*(truth[j] - truth[i]))

    for number, at in enumerate((0, 4)):
        for to in range(n):
            if to != at:
                value = (bearing(at, to) + 1.1 * number + rng.normal(0, 1e-4)) % (2 * math.pi)
                observations.append(Observation(kind=Kind.DIRECTION, at=at, to=to, value=value, sd=1e-4, round=number))
    value = (bearing(8, 2) - bearing(8, 6)) % (2 * math.pi)
    observations.append(Observation(kind=Kind.ANGLE, at=8, to=6, second=2, value=value, sd=1e-4))
    observations.append(Observation(kind=Kind.X, at=3, value=truth[3, 0] + 0.004, sd=0.005))
    observations.append(Observation(kind=Kind.Y, at=3, value=truth[3, 1] - 0.004, sd=0.005))
    return truth + rng.normal(0, 0.05, (n, 2)), observations


def _computed(points, orientations, one):
    def bearing(i, j):
        return math.atan2(*(points[j] - points[i]))

    if one.kind is Kind.DISTANCE:
        return math.dist(points[one.at], points[one.to])
    if one.kind is Kind.ANGLE:
        return bearing(one.at, one.second) - bearing(one.at, one.to)
    if one.kind is Kind.DIRECTION:
        return bearing(one.at, one.to) - orientations[one.round]
    return points[one.at][0 if one.kind is Kind.X else 1]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_mixed_network_agrees_with_a_general_least_squares_routine(seed):
    """SciPy's least_squares on the same residuals, finite differences, none of our derivatives."""
    start, observations = _random_network(np.random.default_rng(seed))
    mask = held(9, 0)
    adjustment = Network(start, mask, observations).adjusted()

    def residuals(state):
        points = start.copy()
        points[1:] = state[:16].reshape(8, 2)
        gaps = [_computed(points, state[16:], one) - one.value for one in observations]
        turning = [one.kind in (Kind.ANGLE, Kind.DIRECTION) for one in observations]
        gaps = [math.remainder(gap, 2 * math.pi) if turn else gap for gap, turn in zip(gaps, turning, strict=True)]
        return [gap / one.sd for gap, one in zip(gaps, observations, strict=True)]

    solution = scipy.optimize.least_squares(residuals, np.concatenate([start[1:].ravel(), [0.0, -1.1]]), xtol=1e-15, ftol=1e-15, gtol=1e-12)
    assert np.allclose(solution.x[:16].reshape(8, 2), adjustment.points[1:], atol=2e-6)
    assert pytest.approx(2 * solution.cost, rel=1e-6) == adjustment.square_sum
    covariance = np.linalg.inv(solution.jac.T @ solution.jac)
    assert np.allclose(np.sqrt(np.diag(covariance))[:16], adjustment.deviations()[1:].ravel(), rtol=1e-3)
    assert pytest.approx(adjustment.n_redundant) == adjustment.redundancies.sum()


def test_probability_of_fit_is_that_of_chi_square():
    """SciPy's distribution; 4.636 with three redundant lines of the levelling example."""
    lines = [("A", "E", 0.732, 970), ("A", "F", 1.978, 1002), ("B", "E", 0.42, 1070), ("C", "F", 0.988, 1110), ("E", "F", 1.258, 890)]
    _, adjustment = _level_net({"A": 10.021, "B": 10.321, "C": 11.002}, "ABC", lines, lambda length: 1.0 / (0.006**2 * length / 1000))

    assert pytest.approx(scipy.stats.chi2.sf(4.636, 3), abs=1e-4) == adjustment.probability_of_fit()


def test_error_ellipse_axes_are_the_eigenvalues():
    """Checked with NumPy's eigenvalues of the 2 x 2 covariance; 2.448 holds 95 % (chi-square, two degrees)."""
    start, observations = _random_network(np.random.default_rng(5))
    adjustment = Network(start, held(9, 0), observations).adjusted()

    for number in range(1, 9):
        block = adjustment.cofactor[2 * number : 2 * number + 2, 2 * number : 2 * number + 2]
        greater, smaller, direction = adjustment.ellipses()[number]
        assert np.allclose(np.sqrt(np.linalg.eigvalsh(block)[::-1]), [greater, smaller])
        axis = np.array([math.cos(direction), math.sin(direction)])
        assert pytest.approx(greater**2) == axis @ block @ axis
    assert pytest.approx(2.4477, abs=1e-4) == ellipse_factor(0.95)


def test_a_missing_diagonal_is_named():
    """Four sides of a rectangle leave it free to rack: one side can slide past the other; one diagonal holds it."""
    network = Network(RECTANGLE, held(4), BRACED_QUADRILATERAL[:4])

    loose, measure = network.missing()
    assert loose in ((0, 1), (1, 2), (2, 3), (0, 3))
    assert measure in (((0, 2),), ((1, 3),))
    with pytest.raises(Mechanism):
        network.adjusted()


def test_a_point_measured_once_is_loose():
    points = np.vstack([RECTANGLE, [[20.0, 4.0]]])
    network = Network(points, held(5), [*BRACED_QUADRILATERAL, distance(1, 4, 8.9)])

    loose, measure = network.missing()
    assert (4,) == loose
    assert 1 == len(measure)
    assert 4 in measure[0]
    assert 1 not in measure[0]


def test_what_is_named_as_missing_holds_the_network():
    """Whatever is suggested must be enough: with it, nothing is loose."""
    rng = np.random.default_rng(4)
    for _ in range(20):
        points = rng.uniform(0, 10, (6, 2))
        pairs = [(i, j) for i in range(6) for j in range(i + 1, 6)]
        chosen = [pairs[i] for i in rng.permutation(len(pairs))[:6]]
        observations = [distance(i, j, math.dist(points[i], points[j])) for i, j in chosen]
        _, measure = Network(points, held(6), observations).missing()
        assert len(measure) >= 3
        more = [distance(i, j, math.dist(points[i], points[j])) for i, j in measure]
        assert ((), ()) == Network(points, held(6), observations + more).missing()


def test_a_missing_level_line_is_named():
    heights = np.array([[100.0], [101.0], [102.0]])
    loose, measure = Network(heights, held(3, 0), [rise(1, 2, 1.0)]).missing()

    assert (1, 2) == loose
    assert 1 == len(measure)
    assert 0 in measure[0]


def test_with_every_point_held_the_residuals_are_plain_differences():
    adjustment = Network(RECTANGLE, held(4, 0, 1, 2, 3), [distance(0, 2, 14.42)]).adjusted()

    assert pytest.approx(math.hypot(12, 8) - 14.42) == adjustment.residuals[0]
    assert 1 == adjustment.n_redundant


def test_bad_measurements_are_refused():
    with pytest.raises(OutOfRange, match="standard error"):
        Network(RECTANGLE, held(4), [distance(0, 1, 12.0, 0.0)])
    with pytest.raises(OutOfRange, match="apart"):
        Network(RECTANGLE, held(4), [rise(0, 1, 1.0)])
    with pytest.raises(OutOfRange, match="at least one"):
        Network(RECTANGLE, held(4), [])


def test_impossible_lengths_do_not_pass_for_an_answer():
    """A triangle whose sides cannot meet is not settled into a shape without large residuals or a named error."""
    points = np.array([[0.0, 0.0], [10.0, 0.0], [5.0, 1.0]])
    try:
        adjustment = Network(points, held(3, 0, 1), [distance(0, 2, 2.0, 0.003), distance(1, 2, 2.0, 0.003)]).adjusted()
    except (NotConverged, Mechanism):
        return
    assert np.abs(adjustment.residuals).max() > 1.0
