"""Cutting stock in one dimension: column generation, a whole-number finish and a proven bound.

A *column* is one way of cutting one stock length. The linear program over all columns is solved without listing them:
its dual prices say what each kind of piece is worth, and a knapsack finds the column worth more than its stock
length costs. The dual prices, rounded down to whole numbers, also prove how much every plan must cost at least.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from slabwright.errors import NotConverged
from slabwright.solvers.cutting.knapsack import Ints, best_counts, best_values, loads_worth
from slabwright.solvers.cutting.master import in_whole_numbers
from slabwright.solvers.cutting.plan import CutPlan, Stock, checked, exact_plan, rounded_up
from slabwright.solvers.highs import Floats, GrowingProgram

Column = tuple[int, tuple[int, ...]]
Uses = dict[Column, int]

_DUAL_SCALE = 2**44
_MOST_COLUMNS_LISTED = 60_000
_MOST_ROUNDS = 2_000


def cut_stock(
    lengths: Sequence[int], demands: Sequence[int], stock: Sequence[Stock], *, kerf: int = 0, gap: float = 0.0, node_limit: int = 500
) -> CutPlan:
    """Cheapest way of cutting pieces from stock lengths.

    Parameters
    ----------
    lengths : sequence of int
        Of each kind of piece, in a whole-number unit.
    demands : sequence of int
        Pieces wanted of each kind.
    stock : sequence of Stock
        Lengths that can be bought, each as often as wanted, with prices.
    kerf : int
        Length lost in each cut between two pieces.
    gap : float
        Stop looking once the cost is proven to be within this fraction of the least.
    node_limit : int
        Branching effort of each whole-number program; the answer is valid at any effort, its gap may stay open.

    Returns
    -------
    CutPlan
        Cuts each piece exactly once; ``bound`` is proven.

    Raises
    ------
    OutOfRange, Infeasible
        See :func:`~slabwright.solvers.cutting.plan.checked`.
    NotConverged
        If the linear program cannot be solved.

    Notes
    -----
    Columns take at most as many pieces as are wanted, which sharpens the bound. The whole-number finish tries, in turn:
    first-fit decreasing; diving, which fixes one column at a time and generates again; the linear program rounded down,
    the rest cut by a program over the columns found; and at last a program over every column whose reduced cost is
    within the open gap, which settles the optimum if it completes [1]_.

    References
    ----------
    .. [1] R. Baldacci, N. Christofides, A. Mingozzi, on listing the columns within the duality gap, Mathematical
       Programming 115 (2008). Basis: MEMORY.
    """
    checked(lengths, demands, stock, kerf=kerf)
    problem = _Problem.of(lengths, demands, stock, kerf)
    if not problem.kinds:
        return CutPlan(patterns=(), cost=0, bound=0)
    uses, bound = _solved(problem, gap, node_limit)
    return _written(problem, uses, bound, demands, stock)


def first_fit_decreasing(lengths: Sequence[int], demands: Sequence[int], stock: Sequence[Stock], *, kerf: int = 0) -> CutPlan:
    """The plan of a careful cutter: longest piece first, each into the first started length it fits.

    Parameters, errors: as :func:`cut_stock`. Never more than 11/9 of the fewest lengths plus 6/9 when there is one
    stock length (Dósa 2007). The bound is the total length of the pieces, rounded up.
    """
    checked(lengths, demands, stock, kerf=kerf)
    problem = _Problem.of(lengths, demands, stock, kerf)
    if not problem.kinds:
        return CutPlan(patterns=(), cost=0, bound=0)
    rate = min(Fraction(price, capacity) for price, capacity in zip(problem.prices, problem.capacities, strict=True))
    bound = rounded_up(rate * int(problem.weights @ problem.demands), problem.prices)
    return _written(problem, _first_fit(problem), bound, demands, stock)


@dataclass(frozen=True, slots=True)
class _Problem:
    """Pieces that are wanted, longest first, and the stock, in their largest common unit and with the saw cut added.

    ``m`` pieces and ``m - 1`` saw cuts fit a stock length just when ``m`` pieces, each longer by one cut, fit a
    stock length longer by one cut.
    """

    weights: Ints
    demands: Ints
    kinds: tuple[int, ...]
    capacities: tuple[int, ...]
    prices: tuple[int, ...]

    @classmethod
    def of(cls, lengths: Sequence[int], demands: Sequence[int], stock: Sequence[Stock], kerf: int) -> "_Problem":
        kinds = sorted((kind for kind, demand in enumerate(demands) if demand), key=lambda kind: -lengths[kind])
        weights = np.array([lengths[kind] + kerf for kind in kinds], np.int64)
        unit = int(np.gcd.reduce(weights)) if kinds else 1
        return cls(
            weights=weights // unit,
            demands=np.array([demands[kind] for kind in kinds], np.int64),
            kinds=tuple(kinds),
            capacities=tuple((one.length + kerf) // unit for one in stock),
            prices=tuple(one.price for one in stock),
        )

    def cost(self, uses: Uses) -> int:
        return sum(self.prices[stock] * n for (stock, _), n in uses.items())

    def left_after(self, uses: Uses) -> "_Problem":
        """The same problem with some columns already cut."""
        made = sum((n * np.array(counts) for (_, counts), n in uses.items()), np.zeros_like(self.demands))
        return replace(self, demands=np.maximum(self.demands - made, 0))


@dataclass(frozen=True, slots=True)
class _Dual:
    """Worth of each kind of piece as whole numbers, such that no column is worth more than its price.

    ``scale`` is one unit of money. What the pieces wanted are worth together is a lower bound on every plan.
    """

    values: tuple[int, ...]
    scale: int

    def proof(self, problem: _Problem) -> Fraction:
        worth = sum(value * int(demand) for value, demand in zip(self.values, problem.demands, strict=True))
        return Fraction(worth, self.scale)


def _written(problem: _Problem, uses: Uses, bound: int, demands: Sequence[int], stock: Sequence[Stock]) -> CutPlan:
    """The plan in the caller's order of kinds, trimmed to the pieces wanted."""
    place = {kind: number for number, kind in enumerate(problem.kinds)}
    wide = [(number, tuple(counts[place[kind]] if kind in place else 0 for kind in range(len(demands)))) for number, counts in uses]
    patterns = exact_plan(wide, list(uses.values()), demands)
    return CutPlan(patterns=patterns, cost=sum(stock[one.stock].price * one.times for one in patterns), bound=bound)


def _solved(problem: _Problem, gap: float, node_limit: int) -> tuple[Uses, int]:
    """The best plan found and the proven bound."""
    best = _first_fit(problem)
    columns, fractions, dual = _generated(problem, list(best))
    bound = rounded_up(dual.proof(problem), problem.prices)
    enough = bound + int(gap * bound)
    if problem.cost(best) > enough:
        best = min(best, _dived(problem, columns, fractions), key=problem.cost)
    if problem.cost(best) > enough:
        best = min(best, _rounded_down(problem, columns, fractions, bound, node_limit), key=problem.cost)
    if problem.cost(best) > enough:
        near = _columns_below(problem, dual, problem.cost(best))
        if near is not None:
            found, is_settled = _program(problem, near, bound, node_limit)
            best = min(best, best if found is None else found, key=problem.cost)
            bound = problem.cost(best) if is_settled else bound
    return best, bound


def _first_fit(problem: _Problem) -> Uses:
    """Fill one stock length after another, longest pieces first, from the stock that costs least for what it holds."""
    left = problem.demands.copy()
    uses: Uses = {}
    while left.any():
        choices = [(stock, _filled(problem.weights, left, capacity)) for stock, capacity in enumerate(problem.capacities)]
        stock, counts = min(
            ((stock, counts) for stock, counts in choices if counts.any()),
            key=lambda choice: problem.prices[choice[0]] / (choice[1] @ problem.weights),
        )
        n = int(np.min(left[counts > 0] // counts[counts > 0]))
        left -= n * counts
        uses[stock, tuple(counts.tolist())] = n
    return uses


def _filled(weights: Ints, left: Ints, capacity: int) -> Ints:
    counts = np.zeros_like(left)
    for kind, weight in enumerate(weights):
        counts[kind] = min(left[kind], capacity // weight)
        capacity -= counts[kind] * weight
    return counts


def _generated(problem: _Problem, columns: Sequence[Column]) -> tuple[list[Column], Floats, _Dual]:
    """Columns that hold an optimum of the linear program, that optimum, and the dual that proves it."""
    columns = list(dict.fromkeys(columns))
    known = set(columns)
    needs = problem.demands.astype(np.float64)
    program, fresh = GrowingProgram(needs), columns.copy()
    for _ in range(_MOST_ROUNDS):
        program.add(_costs(problem, fresh), _matrix(fresh))
        fractions, worth = program.solve()
        values = np.floor(np.maximum(worth, 0.0) * _DUAL_SCALE).astype(np.int64)
        fresh, dual = _priced(problem, values)
        fresh = [column for column in fresh if column not in known]
        value = float(worth @ needs)
        if not fresh or rounded_up(dual.proof(problem), problem.prices) >= value - 1e-7 * max(1.0, value):
            return columns, fractions, dual
        columns += fresh
        known.update(fresh)
    raise NotConverged(f"cutting stock: the linear program still improves after {_MOST_ROUNDS} rounds; use fewer kinds of pieces.")


def _costs(problem: _Problem, columns: Sequence[Column]) -> Floats:
    return np.array([problem.prices[stock] for stock, _ in columns], np.float64)


def _matrix(columns: Sequence[Column]) -> Floats:
    return np.array([counts for _, counts in columns], np.float64).T


def _priced(problem: _Problem, values: Ints) -> tuple[list[Column], _Dual]:
    """Columns worth more than they cost at these values, and the values scaled down until none is.

    Besides the best load of each stock length, the best load around each single kind of piece is offered: a round
    then brings many columns, and few rounds are needed.
    """
    best, taken, chunk_kind, chunk_size = best_values(problem.weights, values, problem.demands, max(problem.capacities))
    fresh: dict[Column, None] = {}
    scale = _DUAL_SCALE
    for stock, capacity in enumerate(problem.capacities):
        price = problem.prices[stock]
        scale = max(scale, -(-int(best[capacity]) // price))
        for kind, weight in enumerate((0, *problem.weights)):
            if weight > capacity:
                continue
            counts = best_counts(problem.weights, taken, chunk_kind, chunk_size, capacity - weight)
            if kind:
                counts[kind - 1] = min(counts[kind - 1] + 1, problem.demands[kind - 1])
            if int(counts @ values) > price * _DUAL_SCALE * (1.0 + 1e-9):
                fresh[stock, tuple(counts.tolist())] = None
    return list(fresh), _Dual(tuple(values.tolist()), scale)


def _rounded_down(problem: _Problem, columns: Sequence[Column], fractions: Floats, bound: int, node_limit: int) -> Uses:
    """Whole parts of the linear program; the rest cut best with the columns at hand."""
    whole = {column: int(part + 1e-9) for column, part in zip(columns, fractions, strict=True) if part >= 1.0 - 1e-9}
    rest = problem.left_after(whole)
    if not rest.demands.any():
        return whole
    found, _ = _program(rest, columns, bound - problem.cost(whole), node_limit)
    return _joined(whole, _first_fit(rest) if found is None else min(found, _first_fit(rest), key=problem.cost))


def _dived(problem: _Problem, columns: Sequence[Column], fractions: Floats) -> Uses:
    """Fix the whole parts and the column used most of the rest, generate for what is left, and so on."""
    fixed: Uses = {}
    rest = problem
    while rest.demands.any():
        whole = {column: int(part + 1e-9) for column, part in zip(columns, fractions, strict=True) if part >= 1.0 - 1e-9}
        if not whole:
            whole = {columns[int(np.argmax(fractions))]: 1}
        fixed = _joined(fixed, whole)
        rest = rest.left_after(whole)
        if rest.demands.any():
            columns, fractions, _ = _generated(rest, [*_useful(columns, rest), *_first_fit(rest)])
    return fixed


def _useful(columns: Sequence[Column], rest: _Problem) -> list[Column]:
    """Columns that cut no more than is left."""
    return [column for column in columns if np.all(np.array(column[1]) <= rest.demands)]


def _joined(first: Uses, second: Uses) -> Uses:
    return {column: first.get(column, 0) + second.get(column, 0) for column in {**first, **second}}


def _program(problem: _Problem, columns: Sequence[Column], bound: int, node_limit: int) -> tuple[Uses | None, bool]:
    """Cheapest whole-number use of the given columns, and whether that is settled; None where none was found."""
    needs = problem.demands.astype(np.float64)
    uses, is_settled = in_whole_numbers(_costs(problem, columns), _matrix(columns), needs, bound=bound, node_limit=node_limit)
    if uses is None:
        return None, is_settled
    return {column: int(n) for column, n in zip(columns, uses, strict=True) if n > 0}, is_settled


def _columns_below(problem: _Problem, dual: _Dual, cost: int) -> list[Column] | None:
    """Every full column that a plan cheaper than ``cost`` can use; None where there are too many.

    Such a plan's cost is at least the proof plus the reduced cost of each column in it.
    """
    step = int(np.gcd.reduce(np.array(problem.prices)))
    open_gap = Fraction(cost - step) - dual.proof(problem)
    columns: list[Column] = []
    for stock, capacity in enumerate(problem.capacities):
        worth = math.ceil((problem.prices[stock] - open_gap) * dual.scale)
        values = np.array(dual.values, np.int64)
        loads, is_complete = loads_worth(problem.weights, values, problem.demands, capacity, worth, _MOST_COLUMNS_LISTED)
        if not is_complete:
            return None
        columns += [(stock, tuple(load.tolist())) for load in loads]
    return columns or None
