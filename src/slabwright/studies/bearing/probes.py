"""What a pad is checked for: kinds of check, each with the ways it can be read off a pad, and the search for what governs."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from slabwright.results.working import Sweep, Working
from slabwright.sources import Clause
from slabwright.studies.bearing.case import PadCase

Array = NDArray[np.float64]
Pair = tuple[float, float]
Run = Callable[[PadCase, int, Working], Pair]


@dataclass(frozen=True, slots=True)
class Direction:
    """Along which axis of the pad, and towards which of its sides."""

    turned: bool
    side: int

    def seen(self, case: PadCase) -> PadCase:
        """The pad with this direction along x."""
        return case.turned() if self.turned else case


AHEAD = Direction(False, 1)
ALL_WAYS = (AHEAD, Direction(False, -1), Direction(True, 1), Direction(True, -1))


def directions(case: PadCase) -> tuple[Direction, ...]:
    """The directions that can differ: both axes, both sides; fewer where the pad looks alike."""
    if not case.even:
        return ALL_WAYS
    alike = np.array_equal(case.size_x_m, case.size_y_m) and np.array_equal(case.post_x_m, case.post_y_m)
    return (AHEAD,) if alike else (AHEAD, Direction(True, 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of check.

    Attributes
    ----------
    key, name : str
    suffix : str
        Unit of demand and capacity.
    clause : Clause
    run : callable
        ``run(case, side, working)``, the direction along x: demand and capacity.
    every_way : bool
        True where it differs by direction.
    thin : bool
        True where it is shown again at the least depth.
    detail : bool
        True for rules of detailing, which say nothing of how much is used.
    remedy : str
    """

    key: str
    name: str
    suffix: str
    clause: Clause
    run: Run
    every_way: bool = True
    thin: bool = False
    detail: bool = False
    remedy: str = "Make the pad deeper."

    def pair(self, case: PadCase, direction: Direction, working: Working) -> Pair:
        """Demand and capacity in one direction."""
        return self.run(direction.seen(case), direction.side, working)

    def ratios(self, case: PadCase, ways: Sequence[Direction]) -> Array:
        """Demand over capacity of every case and direction; a direction more in front."""
        found = []
        for way in ways if self.every_way else ways[:1]:
            demand, capacity = self.pair(case, way, Sweep())
            found.append(np.asarray(demand) / np.maximum(np.asarray(capacity), 1e-9))
        return np.stack(np.broadcast_arrays(*found))


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """A way of proving a pad: as plain or as reinforced concrete, by one standard."""

    name: str
    kinds: tuple[Kind, ...]

    def worst(self, case: PadCase, keys: Iterable[str] = ()) -> Array:
        """Greatest ratio over the kinds, for every case; of some kinds where keys are given."""
        wanted = set(keys)
        ways = directions(case)
        ratios = [kind.ratios(case, ways).max(axis=0) for kind in self.kinds if not wanted or kind.key in wanted]
        return cast(Array, np.max(np.stack(np.broadcast_arrays(*ratios)), axis=0))


@dataclass(frozen=True, slots=True)
class Governing:
    """Where a kind of check is worst: number of the case, direction, ratio."""

    kind: Kind
    number: int
    direction: Direction
    ratio: float


def governing(design: Design, case: PadCase, rows: Sequence[int]) -> list[tuple[Governing, ...]]:
    """The worst case and direction of each key for every pad, kinds of one key taken together.

    ``case`` holds the loads of alike pads one after another, ``rows`` how many belong to each.
    """
    ways = directions(case)
    bounds = np.cumsum([0, *rows])
    worst: list[dict[str, Governing]] = [{} for _ in rows]
    for kind in design.kinds:
        ratios = kind.ratios(case, ways)
        ratios = np.broadcast_to(ratios.reshape(len(ratios), -1), (len(ratios), int(bounds[-1])))
        for found, low, high in zip(worst, bounds[:-1], bounds[1:], strict=True):
            way, number = divmod(int(np.argmax(ratios[:, low:high])), int(high - low))
            ratio = float(ratios[way, low + number])
            if kind.key not in found or ratio > found[kind.key].ratio:
                found[kind.key] = Governing(kind, number, ways[way], ratio)
    return [tuple(found.values()) for found in worst]
