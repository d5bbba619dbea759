"""The master programs of column generation: cheapest use of given columns, in fractions or in whole numbers."""

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import csc_array

from slabwright.errors import NotConverged

Floats = NDArray[np.float64]


def in_fractions(costs: Floats, matrix: Floats, needs: Floats) -> tuple[Floats, Floats]:
    """Cheapest use of columns, parts of a column allowed.

    Parameters
    ----------
    costs : (n,) array
    matrix : (m, n) array
        What one use of each column adds to each need.
    needs : (m,) array
        Least total of each.

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
    answer = linprog(costs, A_ub=-matrix, b_ub=-needs, method="highs-ds")
    if answer.status != 0:
        raise NotConverged(f"cutting: the linear program was not solved ({answer.message}); check that every piece fits a stock length.")
    return np.asarray(answer.x), -np.asarray(answer.ineqlin.marginals)


def in_whole_numbers(costs: Floats, matrix: Floats, needs: Floats, *, bound: float, node_limit: int) -> tuple[Floats | None, bool]:
    """Cheapest use of columns, whole numbers only.

    Parameters
    ----------
    costs, matrix, needs
        As for :func:`in_fractions`.
    bound : float
        A proven lower bound; the search ends when it is met.
    node_limit : int

    Returns
    -------
    uses : (n,) array of whole numbers, or None
        None where none was found.
    is_settled : bool
        True where nothing cheaper exists with these columns.
    """
    answer = milp(
        costs,
        integrality=np.ones(costs.size, dtype=np.int64),
        bounds=Bounds(0.0, np.inf),
        constraints=[LinearConstraint(csc_array(matrix), lb=needs), LinearConstraint(csc_array(costs[None, :]), lb=max(bound, 0.0))],
        options={"mip_rel_gap": 0.0, "node_limit": node_limit},
    )
    if answer.x is None:
        return None, answer.status == 2
    return np.round(answer.x), answer.status == 0
