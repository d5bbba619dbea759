"""Linear and whole-number programs, solved by HiGHS.

The solver is spoken to directly: a linear program that grows by columns goes on from its last answer, a few tenths of a
millisecond each time, where a call through a general optimisation package states and solves it anew.
"""

from dataclasses import dataclass
from typing import Any

import highspy
import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array

from slabwright.errors import NotConverged
from slabwright.pause import pause

Floats = NDArray[np.float64]

_COLUMNWISE, _MINIMISE = 1, 1


def _solver(**options: float | str | bool) -> Any:
    """A silent solver on the caller's thread; two runs give the same answer."""
    solver = highspy.Highs()
    for name, value in {"output_flag": False, "threads": 1, "parallel": "off", **options}.items():
        solver.setOptionValue(name, value)
    return solver


class GrowingProgram:
    """Cheapest use of columns, parts of a column allowed, that reaches every need; columns may be added.

    Parameters
    ----------
    needs : (m,) array
        Least total of each row.
    """

    def __init__(self, needs: Floats) -> None:
        self._n_rows = needs.size
        self._solver = _solver(solver="simplex")
        none, blank = np.empty(0, np.int32), np.empty(0)
        start = np.zeros(needs.size, np.int32)
        self._solver.addRows(needs.size, needs, np.full(needs.size, highspy.kHighsInf), 0, start, none, blank)

    def add(self, costs: Floats, matrix: Floats) -> None:
        """Add columns.

        Parameters
        ----------
        costs : (n,) array
        matrix : (m, n) array
            What one use of each adds to each need.
        """
        low, high = np.zeros(costs.size), np.full(costs.size, highspy.kHighsInf)
        column, row = np.nonzero(matrix.T)
        starts = np.searchsorted(column, np.arange(costs.size)).astype(np.int32)
        self._solver.addCols(costs.size, costs, low, high, row.size, starts, row.astype(np.int32), matrix[row, column])

    def solve(self) -> tuple[Floats, Floats]:
        """Cheapest use of the columns so far.

        Returns
        -------
        uses : (n,) array
        worth : (m,) array
            Dual prices: what one more of each need would cost.

        Raises
        ------
        NotConverged
            If the program has no answer or was not solved.
        """
        pause()
        self._solver.run()
        status = self._solver.getModelStatus()
        if status != highspy.HighsModelStatus.kOptimal:
            told = self._solver.modelStatusToString(status)
            raise NotConverged(f"the linear program was not solved ({told}); check that its columns can reach every need.")
        answer = self._solver.getSolution()
        return np.array(answer.col_value), np.array(answer.row_dual)


@dataclass(frozen=True, slots=True)
class WholeAnswer:
    """Answer of a whole-number program.

    Attributes
    ----------
    values : (n,) array or None
        None where none was found.
    cost, bound : float
        Infinite where none was found; no choice costs less than the bound.
    is_settled : bool
        Whether nothing cheaper exists; with no values, whether there is proven to be none.
    """

    values: Floats | None
    cost: float
    bound: float
    is_settled: bool


def solve_whole(
    costs: Floats,
    matrix: Any,
    least: Floats | float,
    most: Floats | float,
    *,
    low: Floats | float = 0.0,
    high: Floats | float = np.inf,
    whole: NDArray[np.bool_] | bool = True,
    relative_gap: float = 0.0,
    node_limit: int | None = None,
    time_limit_s: float | None = None,
    presolve: bool = True,
) -> WholeAnswer:
    """Cheapest values of unknowns, some of them whole numbers, whose rows lie within limits.

    Parameters
    ----------
    costs : (n,) array
    matrix : (m, n) array or sparse array
    least, most : (m,) array or float
        Limits of ``matrix @ values``.
    low, high : (n,) array or float
        Limits of the values.
    whole : (n,) array of bool or bool
        Which unknowns are whole numbers.
    relative_gap, node_limit, time_limit_s
        When to stop short of the proof.
    presolve : bool
        Whether the program is simplified first; where it hardly can be, that takes longer than the answer.

    Returns
    -------
    WholeAnswer
    """
    limits = {"mip_max_nodes": node_limit, "time_limit": time_limit_s, "presolve": None if presolve else "off"}
    solver = _solver(mip_rel_gap=relative_gap, **{name: value for name, value in limits.items() if value is not None})
    columns = csc_array(matrix)
    n_rows, n_columns = columns.shape
    solver.passModel(
        n_columns, n_rows, columns.nnz, _COLUMNWISE, _MINIMISE, 0.0, np.asarray(costs, np.float64),
        _spread(low, n_columns), _spread(high, n_columns), _spread(least, n_rows), _spread(most, n_rows),
        columns.indptr.astype(np.int32), columns.indices.astype(np.int32), columns.data.astype(np.float64),
        np.broadcast_to(whole, n_columns).astype(np.int32),
    )  # fmt: skip
    pause()
    solver.run()
    status, info = solver.getModelStatus(), solver.getInfo()
    if info.primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return WholeAnswer(None, np.inf, np.inf, status == highspy.HighsModelStatus.kInfeasible)
    cost = float(info.objective_function_value)
    is_settled = status == highspy.HighsModelStatus.kOptimal
    return WholeAnswer(np.array(solver.getSolution().col_value), cost, min(float(info.mip_dual_bound), cost), is_settled)


def _spread(limit: Floats | float, size: int) -> Floats:
    return np.broadcast_to(np.asarray(limit, np.float64), size).copy()
