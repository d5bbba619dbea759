"""Rules in, lines out: the vocabulary of the partition solvers."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from slabwright.errors import OutOfRange

Floats = NDArray[np.float64]
SizeAt = Callable[[float, float], float]

SHARP_RAD = float(np.deg2rad(60.0))
"""Angle below which a corner of a piece is sharp, where no other is asked for: 60 degrees."""
_STUB = 0.02
"""Shorter than this nothing is cut between a break and an end."""
LOST_WEIGHT = 1e3
"""Weight of lost length against line length: a thousand times, so that no saving of line pays for a loss."""
EVENNESS_WEIGHT = 1e-6
"""Weight of unevenness: small enough that it only chooses between layouts of one length."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutRules:
    """What every piece must obey.

    Attributes
    ----------
    max_size : float
        Longest side of a piece.
    max_aspect : float
        Longest over shortest side.
    min_size : float
        Shortest side; below it a piece is a sliver.
    sharp_rad : float
        Angle below which a corner is sharp.
    """

    max_size: float
    max_aspect: float = 1.5
    min_size: float = 0.0
    sharp_rad: float = SHARP_RAD

    def __post_init__(self) -> None:
        if not (self.max_size > self.min_size >= 0 and self.max_aspect >= 1):
            raise OutOfRange(
                f"pieces need max_size > min_size >= 0 and max_aspect >= 1 (got {self.max_size}, {self.min_size}, {self.max_aspect})."
            )
        if not 0 <= self.sharp_rad <= np.pi / 2:
            raise OutOfRange(f"sharp_rad lies between 0 and a right angle (got {self.sharp_rad:g}).")


@dataclass(frozen=True, slots=True)
class Cut:
    """One straight line of a layout.

    Attributes
    ----------
    start, end : tuple
        Its ends.
    lost : float
        Length of it that lies in the dead zone.
    breaks : tuple of (point, point)
        Where it is interrupted, from its start on.
    """

    start: tuple[float, float]
    end: tuple[float, float]
    lost: float = 0.0
    breaks: tuple[tuple[tuple[float, float], tuple[float, float]], ...] = ()

    @property
    def length(self) -> float:
        """From end to end, less the breaks."""
        return sum(math.dist(*one) for one in self.stretches)

    @property
    def stretches(self) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
        """What the breaks leave of it, from its start on."""
        ends = [self.start, *(at for gap in self.breaks for at in gap), self.end]
        return tuple((a, b) for a, b in zip(ends[::2], ends[1::2], strict=True) if math.dist(a, b) > _STUB)

    @property
    def vertical(self) -> bool:
        """True where it runs along y."""
        return abs(self.end[0] - self.start[0]) < abs(self.end[1] - self.start[1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A set of lines and the pieces they leave.

    Attributes
    ----------
    cuts : tuple of Cut
    pieces : tuple of shapely.Polygon
    cost : float
        Weighted objective.
    bound : float
        No layout of the candidate lines costs less.
    tees : int
        Lines that die against another.
    faults, least_faults : int
        Rules broken, weighted; no layout of the candidate lines breaks fewer. 0 on floors where every rule is kept exactly.
    least_length : float
        Length that lines of no kind and place can be less than, from the size of pieces alone; 0 where it was not asked for.
    n_offered : int
        Lines among which this layout was chosen; 0 where it was not counted.
    """

    cuts: tuple[Cut, ...]
    pieces: tuple[shapely.Polygon, ...]
    cost: float
    bound: float
    tees: int = 0
    faults: int = 0
    least_faults: int = 0
    least_length: float = 0.0
    n_offered: int = 0

    @property
    def length(self) -> float:
        """Length of all lines."""
        return sum(cut.length for cut in self.cuts)

    @property
    def lost(self) -> float:
        """Length of all lines in the dead zone."""
        return sum(cut.lost for cut in self.cuts)

    @property
    def gap(self) -> float:
        """Relative distance of the cost to its bound; 0 is proven best."""
        return max(0.0, self.cost - self.bound) / max(abs(self.cost), 1e-12)


_HAIR = 1e-6


def pieces_of(region: shapely.Polygon, cuts: tuple[Cut, ...]) -> tuple[shapely.Polygon, ...]:
    """The pieces that lines leave of a region; lines are lengthened a hair so that they meet the outline."""
    ends = np.array([(cut.start, cut.end) for cut in cuts], dtype=float).reshape(-1, 2, 2)
    hair = ends[:, 1] - ends[:, 0]
    hair *= _HAIR / np.maximum(np.hypot(*hair.T), _HAIR)[:, None]
    lines = shapely.linestrings(ends + np.stack([-hair, hair], axis=1))
    rings = [region.exterior, *region.interiors]
    noded = shapely.node(shapely.union_all([*lines, *rings], grid_size=1e-7))
    faces = [face for face in shapely.polygonize([noded]).geoms if isinstance(face, shapely.Polygon)]
    prepared = region.buffer(1e-6)
    shapely.prepare(prepared)
    return tuple(face for face in faces if prepared.contains(face.representative_point()) and face.area > 1e-9)


def least_length(region: shapely.Polygon, size: float) -> float:
    """Length that lines cannot be less than, whatever their kind and place, if every piece lies in a square or rhomb of a size.

    The boundary of a shape is at least its area times the Cheeger constant of whatever holds it, for a rhomb of side a at least
    that of the square, (2 + sqrt(pi)) / a [1]_. Each line bounds pieces at both sides, the outline at one.

    References
    ----------
    .. [1] "Characterization of Cheeger sets for convex subsets of the plane", Pacific Journal of Mathematics 225 (2006), from memory.
    """
    return float(max(0.0, ((2 + np.sqrt(np.pi)) / size * region.area - region.length) / 2))


def lost_lengths(dead: BaseGeometry, starts: Floats, ends: Floats) -> Floats:
    """Length of each segment, shape (n, 2) to (n, 2), inside the dead zone.

    Returns
    -------
    ndarray
        Shape (n,).
    """
    if dead.is_empty or len(starts) == 0:
        return np.zeros(len(starts))
    segments = shapely.linestrings(np.stack([starts, ends], axis=1))
    return np.asarray(shapely.length(shapely.intersection(segments, dead)), dtype=float)
