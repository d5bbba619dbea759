"""Lines covered by lapped pieces, the pieces cut from stock: where the laps go and what is cut, decided together.

Bars of an edge, rows of mesh sheets and lanes of a roll are the same problem: a line longer than the stock is covered
by pieces that lap, laps may be moved within their windows, and what is left of one stock length serves another line.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from slabwright.solvers.cutting.knapsack import Ints
from slabwright.solvers.cutting.master import in_whole_numbers
from slabwright.solvers.cutting.plan import CutPlan, Stock, exact_plan
from slabwright.solvers.cutting.run_columns import Columns, Extras, Fractions, Problem, Row, Run, charged, generate
from slabwright.solvers.cutting.stock import cut_stock
from slabwright.solvers.highs import Floats

__all__ = ["Extras", "Row", "Run", "RunPlan", "lay_runs", "offered_lengths"]

Rows = tuple[tuple[Row, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPlan:
    """Runs laid and cut.

    Attributes
    ----------
    rows : tuple, one entry per run
        For each of its lines the pieces placed, as (start, end).
    lengths : tuple of int
        Different piece lengths of the cut plan: those of the rows and the loose ones.
    cut : CutPlan
        Cuts every piece exactly once; its cost counts the stock only and its bound is the least stock that any plan
        with pieces of the lengths offered needs.
    cost, bound : int
        Stock, laps and cuts together, and the least they can come to; proven.
    """

    rows: Rows
    lengths: tuple[int, ...]
    cut: CutPlan
    cost: int
    bound: int

    @property
    def gap(self) -> float:
        """How far at most the cost is above the least possible, a fraction of the bound."""
        return (self.cost - self.bound) / self.bound if self.bound else 0.0


def offered_lengths(runs: Sequence[Run], stock: Sequence[Stock], *, step: int, shortest: int) -> tuple[int, ...]:
    """Piece lengths worth offering: every step from the shortest to the longest stock, whole stock, exact closers.

    A closer is what is missing of a run after some whole stock lengths at the least lap.
    """
    longest = max(one.length for one in stock)
    offered = set(range(-(-shortest // step) * step, longest + 1, step)) | {one.length for one in stock}
    for run in runs:
        for one in stock:
            left = run.length
            while left >= shortest and one.length > run.lap:
                if left <= longest:
                    offered.add(left)
                left -= one.length - run.lap
    return tuple(sorted(length for length in offered if length > 0))


def lay_runs(
    runs: Sequence[Run],
    stock: Sequence[Stock],
    offered: Sequence[int],
    *,
    loose: Sequence[tuple[int, int]] = (),
    extras: Extras | None = None,
    least_stock: int | None = None,
    gap: float = 0.001,
    node_limit: int = 100,
) -> RunPlan:
    """Cover every run with lapped pieces and cut them, with loose pieces, from the cheapest stock.

    Parameters
    ----------
    runs : sequence of Run
    stock : sequence of Stock
    offered : sequence of int
        Piece lengths that runs may use; see :func:`offered_lengths`.
    loose : sequence of (length, count)
        Pieces of fixed length cut from the same stock.
    extras : Extras, optional
        Prices of a lap and of a cut.
    least_stock : int, optional
        What the stock of any plan is already known to cost at least, as from the same runs with wider windows; found
        out where not given.
    gap : float
        Stop looking once the cost is proven to be within this fraction of the least.
    node_limit : int
        Branching effort of a whole-number program over rows and cuts together; 0 for none, which is quick.

    Raises
    ------
    OutOfRange, Infeasible
        For lengths without meaning, a loose piece longer than any stock, or a run that its windows and lap leave
        uncovered.

    Notes
    -----
    Column generation, first for the stock alone, which gives its bound, then with laps and cuts charged. The rows are
    made whole by rounding, and by a whole-number program where that leaves a gap; their pieces are then cut by
    :func:`~slabwright.solvers.cutting.stock.cut_stock`.
    """
    extras = extras or Extras()
    problem = Problem.of(runs, stock, offered, loose)
    columns = Columns(problem)
    answer = generate(problem, columns, Extras(), gap) if least_stock is None or extras == Extras() else None
    stock_bound = max(least_stock or 0, answer.bound if answer else 0)
    if answer is None or extras != Extras():
        answer = generate(problem, columns, extras, gap, least_stock=stock_bound)
    bound = max(answer.bound, stock_bound + extras.lap * problem.fewest_laps())
    rows, cut, cost = _Finish(problem, columns, extras, stock_bound, node_limit).best(answer, bound, gap)
    cut = CutPlan(patterns=cut.patterns, cost=cut.cost, bound=stock_bound)
    return RunPlan(rows=rows, lengths=tuple(problem.lengths.tolist()), cut=cut, cost=cost, bound=bound)


Laid = tuple[Rows, CutPlan, int]


@dataclass(frozen=True, slots=True)
class _Finish:
    """Makes whole numbers of the linear program's answer."""

    problem: Problem
    columns: Columns
    extras: Extras
    least_stock: int
    node_limit: int

    def best(self, answer: Fractions, bound: int, gap: float) -> Laid:
        """Rows rounded at once; where that leaves a gap, rows fixed one after another, then a program over near columns."""
        best = self._cut(self._rounded(answer.uses))
        if best[2] > bound + int(gap * bound):
            best = min(best, self._cut(self._dived(answer)), key=_cost)
        if best[2] > bound + int(gap * bound) and self.node_limit:
            near = np.flatnonzero(answer.beyond <= best[2] - bound)
            whole = self._by_program(near, bound)
            if whole is not None:
                best = min(best, self._cut(self._rounded(whole)), key=_cost)
        return best

    def _rounded(self, uses: Floats) -> Rows:
        """Rows of every run: whole parts of their uses, then the largest remainders until all lines are covered."""
        chosen: list[tuple[Row, ...]] = []
        for number, run in enumerate(self.problem.runs):
            mine = [
                (column.row, float(part))
                for column, part in zip(self.columns.all, uses, strict=False)
                if column.row and column.owner == number and part > 1e-9
            ]
            rows = [row for row, part in mine for _ in range(int(part + 1e-6))]
            by_rest = sorted(mine, key=lambda one: int(one[1] + 1e-6) - one[1])
            rows += [row for row, _ in by_rest[: max(0, run.count - len(rows))]]
            chosen.append(tuple((rows + [mine[0][0]] * run.count)[: run.count]))
        return tuple(chosen)

    def _dived(self, answer: Fractions) -> Rows:
        """Fix the rows used a whole number of times, else the one used most; solve for what is left; and so on."""
        chosen: list[list[Row]] = [[] for _ in self.problem.runs]
        needs = self.problem.needs
        n_lengths = self.problem.lengths.size
        while needs[n_lengths:].any():
            rows = [
                (column, float(part)) for column, part in zip(self.columns.all, answer.uses, strict=False) if column.row and part > 1e-9
            ]
            whole = [(column, int(part + 1e-6)) for column, part in rows if part >= 1.0 - 1e-6]
            for column, n in whole or [(max(rows, key=lambda one: one[1])[0], 1)]:
                chosen[column.owner] += [column.row] * n
                needs = needs - n * column.vector
            if needs[n_lengths:].any():
                answer = generate(self.problem, self.columns, self.extras, 0.01, least_stock=self.least_stock, needs=needs)
        return tuple(tuple(rows) for rows in chosen)

    def _wanted(self, rows: Rows) -> Ints:
        """Pieces of every length that rows and loose pieces need."""
        return sum((self.problem.pieces_of(row) for lines in rows for row in lines), self.problem.loose.copy())

    def _cut(self, rows: Rows) -> Laid:
        """Cut the pieces of rows: for the least stock, or for the least of stock and cuts over the ways of cutting known."""
        wanted = self._wanted(rows)
        plans = [cut_stock(self.problem.lengths.tolist(), wanted.tolist(), self.problem.stock, node_limit=self.node_limit)]
        if self.extras.cut:
            cuts = [column for column in self.columns.all if column.cut and np.all(wanted[np.array(column.cut) > 0] > 0)]
            matrix = np.array([column.cut for column in cuts], np.float64).T
            some = wanted > 0
            found, _ = in_whole_numbers(
                charged(cuts, self.extras), matrix[some], wanted[some].astype(np.float64), bound=0.0, node_limit=max(50, self.node_limit)
            )
            if found is not None:
                used = [((one.owner, one.cut), int(n)) for one, n in zip(cuts, found, strict=True) if n > 0]
                patterns = exact_plan([cut for cut, _ in used], [n for _, n in used], wanted.tolist())
                cost = sum(self.problem.stock[one.stock].price * one.times for one in patterns)
                plans.append(CutPlan(patterns=patterns, cost=cost, bound=0))
        return min(((rows, plan, self._total(rows, plan)) for plan in plans), key=_cost)

    def _total(self, rows: Rows, cut: CutPlan) -> int:
        laps = sum(len(row) - 1 for lines in rows for row in lines)
        cuts = sum(one.times * self.problem.n_cuts((one.stock, one.counts)) for one in cut.patterns)
        return cut.cost + self.extras.lap * laps + self.extras.cut * cuts

    def _by_program(self, near: Ints, bound: int) -> Floats | None:
        """Uses of all columns by a whole-number program over some of them; None where it found none."""
        some = [self.columns.all[place] for place in near]
        matrix = np.array([one.vector for one in some], np.float64).T
        found, _ = in_whole_numbers(charged(some, self.extras), matrix, self.problem.needs, bound=bound, node_limit=self.node_limit)
        if found is None:
            return None
        whole = np.zeros(len(self.columns))
        whole[near] = found
        return whole


def _cost(laid: Laid) -> int:
    return laid[2]
