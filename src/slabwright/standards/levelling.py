"""Levels by instrument and rod: reduction of a level book both ways, its checks, closure and what bends a sight."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic

ELEMENTARY_SURVEYING = Source("Wolf & Ghilani", "Wolf, Ghilani: Elementary Surveying, differential levelling")
FGCC = Source("FGCC 1984", "Federal Geodetic Control Committee: Standards and Specifications for Geodetic Control Networks, 1984")
LEVEL_REDUCTION = Clause(ELEMENTARY_SURVEYING, "HI = elevation + backsight, elevation = HI - foresight", Basis.TEXT_SEEN)
LEVEL_CLOSURE = Clause(FGCC, "3.5, third order, 12 mm × √km", Basis.QUOTED)
CURVATURE = Clause(ELEMENTARY_SURVEYING, "curvature and refraction, 0.0675 K²", Basis.MEMORY)
TWO_PEGS = arithmetic("a level set up half way has no collimation error in a difference")

THIRD_ORDER_MM = 12.0


@published("rod-level", LEVEL_REDUCTION)
def rod_level_m(*, benchmark_m: float, backsight_m: float, foresight_m: float, working: Working | None = None) -> float:
    """Elevation of a point from a benchmark, a backsight and a foresight.

    Parameters
    ----------
    benchmark_m : float
        [m]
    backsight_m, foresight_m : float
        Rod readings on the benchmark and on the point. [m]

    Returns
    -------
    float
        [m]
    """
    working = working or Working()
    height = working.line("HI = BM + BS", "m", BM=(benchmark_m, "m"), BS=(backsight_m, "m"))
    return working.line("X = HI - FS", "m", HI=(height, "m"), FS=(foresight_m, "m"))


@dataclass(frozen=True, slots=True)
class LevelClosure:
    """How a level run closes.

    Attributes
    ----------
    misclosure_m : float
        Levelled minus known end. [m]
    allowed_m : float
        Third order. [m]
    closes : bool
    correction_m : float
        To each set-up, so that the run closes. [m]
    """

    misclosure_m: float
    allowed_m: float
    closes: bool
    correction_m: float


@published("level-closure", LEVEL_CLOSURE, validity="Third-order levelling; equal set-ups share the misclosure.")
def level_closure(
    *,
    backsights_m: Sequence[float],
    foresights_m: Sequence[float],
    start_m: float,
    end_m: float,
    length_m: float,
    working: Working | None = None,
) -> LevelClosure:
    """Misclosure of a level run, what is allowed, and the correction of each set-up.

    Parameters
    ----------
    backsights_m, foresights_m : sequence of float
        One of each for every set-up. [m]
    start_m, end_m : float
        Known elevations; the same for a loop. [m]
    length_m : float
        Of the run. [m]

    Returns
    -------
    LevelClosure
        [m]
    """
    if not backsights_m or len(backsights_m) != len(foresights_m):
        raise OutOfRange(f"every set-up has one backsight and one foresight (got {len(backsights_m)} and {len(foresights_m)}).")
    if not length_m > 0:
        raise OutOfRange("the length of the run must be above nought.")
    working = working or Working()
    misclosure = working.line(
        "M = H_1 + BS - FS - H_2", "m",
        H_1=(start_m, "m"), BS=(math.fsum(backsights_m), "m"), FS=(math.fsum(foresights_m), "m"), H_2=(end_m, "m"),
    )  # fmt: skip
    allowed_mm = working.line("C = c*sqrt(K)", "mm", c=(THIRD_ORDER_MM, "mm"), K=(length_m / 1000.0, "km"))
    correction = working.line("v = -M/n", "m", M=(misclosure, "m"), n=len(backsights_m))
    return LevelClosure(misclosure, allowed_mm / 1000.0, abs(misclosure) <= allowed_mm / 1000.0 + 1e-12, correction)


@published("sight-curvature", CURVATURE, limits={"sight_m": (0.0, 3000.0)})
def sight_curvature_m(*, sight_m: float, working: Working | None = None) -> float:
    """How much a rod reads too high at the end of a long sight, for the earth's curve less refraction.

    Parameters
    ----------
    sight_m : float
        [m]

    Returns
    -------
    float
        To be taken off the reading. [m]
    """
    return (working or Working()).line("h = 0.0675*K**2", "m", K=(sight_m / 1000.0, "km"))


@dataclass(frozen=True, slots=True)
class TwoPegs:
    """Collimation of a level. [m]

    Attributes
    ----------
    true_difference_m, apparent_difference_m : float
    error_m : float
        Reading on the far peg minus what it should be. [m]
    correct_far_reading_m : float
    """

    true_difference_m: float
    apparent_difference_m: float
    error_m: float
    correct_far_reading_m: float


@published("two-peg-test", TWO_PEGS, validity="First set-up half way between the pegs, second close to one of them.")
def two_peg_test(*, mid_near_m: float, mid_far_m: float, close_near_m: float, close_far_m: float) -> TwoPegs:
    """Whether a level sights level.

    Parameters
    ----------
    mid_near_m, mid_far_m : float
        Readings on both pegs from half way. [m]
    close_near_m, close_far_m : float
        Readings from close to the near peg. [m]

    Returns
    -------
    TwoPegs
        [m]
    """
    true, apparent = mid_near_m - mid_far_m, close_near_m - close_far_m
    return TwoPegs(true, apparent, true - apparent, close_near_m - true)


@dataclass(frozen=True, slots=True)
class ReducedLevel:
    """One line of a reduced level book; rise is negative where the ground falls. [m]"""

    point: str
    level_m: float
    rise_m: float


@dataclass(frozen=True, slots=True)
class ReducedBook:
    """A level book reduced, with its arithmetic checks.

    Attributes
    ----------
    levels : tuple of ReducedLevel
    setup_points : tuple of tuple of str
        Points read from each set-up, in order.
    sights_difference_m, rises_difference_m, ends_difference_m : float
        Sum of backsights less foresights; of rises less falls; last level less first. All three must agree. [m]
    backsights_m, foresights_m : tuple of float
        [m]
    """

    levels: tuple[ReducedLevel, ...]
    setup_points: tuple[tuple[str, ...], ...]
    sights_difference_m: float
    rises_difference_m: float
    ends_difference_m: float
    backsights_m: tuple[float, ...]
    foresights_m: tuple[float, ...]

    @property
    def agrees(self) -> bool:
        """True where the three sums are one."""
        sums = (self.sights_difference_m, self.rises_difference_m, self.ends_difference_m)
        return max(sums) - min(sums) < 1e-9


def reduced_book(rows: Sequence[tuple[str, float | None, float | None, float | None]], *, start_m: float) -> ReducedBook:
    """Reduce a level book by height of instrument, and check it by rise and fall.

    Parameters
    ----------
    rows : sequence of (point, backsight, intermediate sight, foresight)
        A turning point has a foresight and a backsight on one line. [m]
    start_m : float
        Elevation of the first point. [m]

    Raises
    ------
    OutOfRange
        For a book that does not begin with a backsight, or a line without a reading.
    """
    if not rows or rows[0][1] is None:
        raise OutOfRange("a level book begins with a backsight on a known point.")
    height, level, before = start_m, start_m, 0.0
    levels, setups, current = [], [], []
    backs, fores, rises = [], [], []
    for number, (point, back, between, fore) in enumerate(rows):
        reading = fore if fore is not None else between
        if number == 0:
            levels.append(ReducedLevel(point, start_m, 0.0))
        elif reading is None:
            raise OutOfRange(f"line {number + 1} of the level book, {point}: has neither an intermediate sight nor a foresight.")
        else:
            rise = before - reading
            level, before = height - reading, reading
            rises.append(rise)
            levels.append(ReducedLevel(point, level, rise))
            current.append(point)
        if fore is not None and number:
            fores.append(fore)
            setups.append(tuple(current))
            current = []
        if back is not None:
            backs.append(back)
            height, before = level + back, back
    if current:
        setups.append(tuple(current))
    last = levels[-1].level_m
    closing = fores if len(fores) == len(backs) else [*fores, before]
    return ReducedBook(
        levels=tuple(levels),
        setup_points=tuple(setups),
        sights_difference_m=math.fsum(backs) - math.fsum(closing),
        rises_difference_m=math.fsum(rises),
        ends_difference_m=last - start_m,
        backsights_m=tuple(backs),
        foresights_m=tuple(fores),
    )


def shared_out(book: ReducedBook, misclosure_m: float) -> tuple[float, ...]:
    """Levels with the misclosure shared equally over the set-ups: at set-up k of n the correction is -M k / n.

    Parameters
    ----------
    book : ReducedBook
    misclosure_m : float
        Levelled minus known end. [m]

    Returns
    -------
    tuple of float
        Corrected levels, in the order of the book. [m]
    """
    n = len(book.setup_points)
    corrected = [book.levels[0].level_m]
    remaining = iter(book.levels[1:])
    for number, points in enumerate(book.setup_points, start=1):
        corrected += [next(remaining).level_m - misclosure_m * number / n for _ in points]
    return tuple(corrected)
