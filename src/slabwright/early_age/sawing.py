"""The saw's evening: lines in their order, each against the window of the concrete it runs through."""

from collections.abc import Sequence
from dataclasses import dataclass

MOVE_H = 1.0 / 30.0
"""Between two lines: two minutes, common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One joint line in the order of sawing.

    Attributes
    ----------
    name : str
    length_m : float
        [m]
    ready_h, latest_h : float
        When the youngest of its concrete may be cut, and when the oldest should have been; hours after the start of the pour. [h]
    """

    name: str
    length_m: float
    ready_h: float
    latest_h: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One line as it is sawn; hours after the start of the pour.

    Attributes
    ----------
    line : Line
    saw : int
        Number of the saw, from 1.
    start_h, end_h : float
        [h]
    """

    line: Line
    saw: int
    start_h: float
    end_h: float

    @property
    def late(self) -> bool:
        """True where it is through only after its window."""
        return self.end_h > self.line.latest_h + 1e-9


def evening(lines: Sequence[Line], *, n_saws: int, speed_m_h: float) -> tuple[Cut, ...]:
    """Saw every line: whenever a saw is free it takes the first line in order that may be cut, or waits for the next that may.

    Parameters
    ----------
    lines : sequence of Line
        In order of preference.
    n_saws : int
    speed_m_h : float
        Of one saw. [m/h]
    """
    free, left, cuts = [0.0] * max(n_saws, 1), list(lines), []
    while left:
        saw = free.index(min(free))
        now = max(free[saw], min(line.ready_h for line in left))
        line = next(line for line in left if line.ready_h <= now + 1e-9)
        left.remove(line)
        end = now + line.length_m / speed_m_h
        free[saw] = end + MOVE_H
        cuts.append(Cut(line=line, saw=saw + 1, start_h=now, end_h=end))
    return tuple(cuts)


def saws_needed(lines: Sequence[Line], *, speed_m_h: float, most: int = 6) -> int | None:
    """Least number of saws that gets every line through in time; None where no number up to ``most`` does."""
    for n_saws in range(1, most + 1):
        if not any(cut.late for cut in evening(lines, n_saws=n_saws, speed_m_h=speed_m_h)):
            return n_saws
    return None
