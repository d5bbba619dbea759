"""In which order to saw: the line that halves the longest uncut run comes first, so that the slab never has to choose."""

from collections.abc import Sequence

from slabwright.solvers.partition import Cut


def saw_order(cuts: Sequence[Cut], extent: tuple[float, float, float, float]) -> tuple[int, ...]:
    """Numbers of the lines in the order of sawing.

    Parameters
    ----------
    cuts : sequence of Cut
    extent : tuple
        Least x, least y, greatest x, greatest y of the floor. [m]

    Returns
    -------
    tuple of int
        Halves before thirds: each next line is the one nearest the middle of the longest run still uncut. Stretches of one straight
        line are cut together.
    """
    left = {axis: sorted({_key(cut, axis) for cut in cuts if cut.vertical is (axis == 0)}) for axis in (0, 1)}
    runs: list[tuple[int, float, float]] = [(0, extent[0], extent[2]), (1, extent[1], extent[3])]
    order: list[int] = []
    while any(left.values()):
        usable = [run for run in runs if any(run[1] < at < run[2] for at in left[run[0]])]
        if not usable:  # a line on the very edge of a run
            axis = 0 if left[0] else 1
            chosen = left[axis][0]
        else:
            axis, low, high = max(usable, key=lambda run: run[2] - run[1])
            chosen = min((at for at in left[axis] if low < at < high), key=lambda at: abs(at - (low + high) / 2))
            runs.remove((axis, low, high))
            runs += [(axis, low, chosen), (axis, chosen, high)]
        left[axis].remove(chosen)
        order += [number for number, cut in enumerate(cuts) if cut.vertical is (axis == 0) and _key(cut, axis) == chosen]
    return tuple(order)


def _key(cut: Cut, axis: int) -> float:
    return round((cut.start[axis] + cut.end[axis]) / 2, 3)


def sawing_hours(lengths_m: Sequence[float], speed_m_h: float, n_saws: int, move_h: float = 1 / 30) -> float:
    """Time from the first cut to the last with so many saws, each taking the next line when it is free.

    Parameters
    ----------
    lengths_m : sequence of float
        Lines in their order. [m]
    speed_m_h : float
        Of one saw. [m/h]
    n_saws : int
    move_h : float
        Between two lines: two minutes, common practice, no source. [h]

    Returns
    -------
    float
        [h]
    """
    free = [0.0] * max(n_saws, 1)
    for length in lengths_m:
        free[free.index(min(free))] += length / speed_m_h + move_h
    return max(free)
