"""The master program of cutting in whole numbers: cheapest use of given columns."""

import numpy as np
from scipy.sparse import csc_array

from slabwright.solvers.highs import Floats, solve_whole


def in_whole_numbers(costs: Floats, matrix: Floats, needs: Floats, *, bound: float, node_limit: int) -> tuple[Floats | None, bool]:
    """Cheapest use of columns, whole numbers only.

    Parameters
    ----------
    costs : (n,) array
    matrix : (m, n) array
        What one use of each column adds to each need.
    needs : (m,) array
        Least total of each.
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
    rows = csc_array(np.vstack((matrix, costs)))
    answer = solve_whole(costs, rows, np.append(needs, max(bound, 0.0)), np.inf, node_limit=node_limit)
    return None if answer.values is None else np.round(answer.values), answer.is_settled
