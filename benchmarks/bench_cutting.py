"""Cutting stock of 10,000 pieces in 60 lengths: time to a proof within 0.1 %, against a general solver with the same time.

The general solver is CP-SAT with one variable for each bar and length, started from the first-fit plan. On a small
list, where it can finish, both are run to proof.
"""

import statistics
import time

import numpy as np
from ortools.sat.python import cp_model

from slabwright.solvers.cutting.plan import Stock
from slabwright.solvers.cutting.stock import cut_stock, first_fit_decreasing

LIMIT_S = 5.0
List = tuple[list[int], list[int], list[Stock]]


def bar_list(seed: int, kinds: int, pieces: int, stock: list[Stock], low: float, high: float) -> List:
    """Random lengths between two fractions of the longest stock, with random counts."""
    draw = np.random.default_rng(seed)
    longest = max(one.length for one in stock)
    lengths = draw.choice(np.arange(int(low * longest), int(high * longest)), kinds, replace=False)
    counts = draw.multinomial(pieces - kinds, np.ones(kinds) / kinds) + 1
    return lengths.tolist(), counts.tolist(), stock


def by_general_solver(lengths: list[int], counts: list[int], stock: list[Stock], limit_s: float) -> tuple[float, float]:
    """Cost and bound of CP-SAT on the direct model, hinted with the first-fit plan."""
    started = first_fit_decreasing(lengths, counts, stock)
    bars = [(pattern.stock, pattern.counts) for pattern in started.patterns for _ in range(pattern.times)]
    model = cp_model.CpModel()
    used, takes = [], []
    for kind, bar in bars:
        used.append(model.new_bool_var(""))
        takes.append(
            [model.new_int_var(0, min(count, stock[kind].length // length), "") for length, count in zip(lengths, counts, strict=True)]
        )
        model.add(sum(n * length for n, length in zip(takes[-1], lengths, strict=True)) <= stock[kind].length * used[-1])
        model.add_hint(used[-1], 1)
        for variable, n in zip(takes[-1], bar, strict=True):
            model.add_hint(variable, n)
    for piece, count in enumerate(counts):
        model.add(sum(bar[piece] for bar in takes) >= count)
    model.minimize(sum(stock[kind].price * on for (kind, _), on in zip(bars, used, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limit_s
    status = solver.solve(model)
    return (solver.objective_value if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else float("inf")), solver.best_objective_bound


def main() -> None:
    cut_stock([3, 5], [4, 4], [Stock(10)])
    one, mixed = [Stock(18288)], [Stock(6096, 620), Stock(12192, 1230), Stock(18288, 1900)]
    for name, stock, low, high in (
        ("long pieces", one, 0.05, 0.7),
        ("short pieces", one, 0.02, 0.4),
        ("mixed stock and prices", mixed, 0.05, 0.7),
    ):
        times = []
        for seed in range(3):
            problem = bar_list(seed, 60, 10_000, stock, low, high)
            start = time.perf_counter()
            plan = cut_stock(*problem, gap=0.001)
            times.append(time.perf_counter() - start)
        general, general_bound = by_general_solver(*problem, LIMIT_S)
        told = f"cost {general:.0f}, bound {general_bound:.0f}" if np.isfinite(general) else "no plan"
        print(
            f"10,000 pieces, 60 lengths, {name:22} {statistics.median(times):5.2f} s  cost {plan.cost:8}  gap {100 * plan.gap:.4f} %"
            f"   general solver in {LIMIT_S:.0f} s: {told}"
        )
    for kinds, pieces, seed in ((20, 400, 0), (20, 400, 1), (6, 40, 0), (6, 40, 1)):
        problem = bar_list(seed, kinds, pieces, one, 0.08, 0.6)
        start = time.perf_counter()
        plan = cut_stock(*problem)
        ours_s = time.perf_counter() - start
        start = time.perf_counter()
        general, general_bound = by_general_solver(*problem, LIMIT_S)
        print(
            f"{pieces} pieces, {kinds} lengths: {plan.cost} of {plan.bound} in {ours_s:.3f} s; "
            f"general solver {general:.0f} of {general_bound:.0f} in {time.perf_counter() - start:.2f} s"
        )


if __name__ == "__main__":
    main()
