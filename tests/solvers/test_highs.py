"""Linear and whole-number programs."""

import subprocess
import sys

import numpy as np
import pytest
from scipy.optimize import linprog

from slabwright.errors import NotConverged
from slabwright.solvers.highs import GrowingProgram, solve_whole


def test_a_program_that_grows_agrees_with_one_stated_anew():
    """Random columns in three lots; least cost and dual prices against another statement of the same program."""
    rng = np.random.default_rng(5)
    needs = rng.integers(1, 20, 6).astype(float)
    costs, matrix = np.full(6, 50.0), np.eye(6)
    program = GrowingProgram(needs)
    program.add(costs, matrix)
    for _ in range(3):
        uses, worth = program.solve()
        anew = linprog(costs, A_ub=-matrix, b_ub=-needs)

        assert anew.fun == pytest.approx(costs @ uses, rel=1e-9)
        assert anew.fun == pytest.approx(worth @ needs, rel=1e-9)
        fresh_costs, fresh = rng.integers(5, 20, 8).astype(float), rng.integers(0, 4, (6, 8)).astype(float)
        program.add(fresh_costs, fresh)
        costs, matrix = np.concatenate([costs, fresh_costs]), np.hstack([matrix, fresh])


def test_needs_that_no_column_reaches_are_told():
    program = GrowingProgram(np.array([1.0, 1.0]))
    program.add(np.array([1.0]), np.array([[1.0], [0.0]]))

    with pytest.raises(NotConverged, match="can reach every need"):
        program.solve()


def test_whole_numbers_by_hand():
    """3 a + 5 b >= 11 at prices 4 and 6: 2 a + b costs 14, 3 a + b 18, 3 b 18, 4 a 16; parts would cost 13.2."""
    answer = solve_whole(np.array([4.0, 6.0]), np.array([[3.0, 5.0]]), 11.0, np.inf)

    assert (2.0, 1.0) == tuple(answer.values)
    assert answer.is_settled
    assert 14.0 == pytest.approx(answer.cost)
    assert 14.0 == pytest.approx(answer.bound)


def test_limits_without_an_answer_are_proven_so():
    answer = solve_whole(np.ones(2), np.array([[2.0, 2.0]]), 3.0, 3.0, high=5.0)

    assert answer.values is None
    assert answer.is_settled


def test_solving_prints_nothing():
    """What a command prints is for people and machines to read; the solver's own name, told once a process, is no part of it."""
    solve = "import numpy as np; from slabwright.solvers.highs import solve_whole; solve_whole(np.ones(1), np.ones((1, 1)), 1.5, np.inf)"
    told = subprocess.run([sys.executable, "-c", solve], capture_output=True, check=True)

    assert told.stdout == told.stderr == b""
