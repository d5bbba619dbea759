"""Where lines may run: grids side by side share the lines that cross from one into the next.

A *sheaf* is a band of patches through which one family of lines runs on; its lines are known by their share of its width, the
same in every patch. Where the sides of two wings do not match, a sheaf ends.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.solvers.partition.corners import re_entrant, sides_apart
from slabwright.solvers.partition.islands import Islands
from slabwright.solvers.partition.layout import Cut, Floats
from slabwright.solvers.partition.patch import Patch
from slabwright.solvers.partition.wings import along, cut_line

_TOUCHING = 1e-4
_HAIR = 2e-6
_SPARE, _FOR_ONE = 1.5, 3
"""Candidate lines for each that is needed: where there would be fewer than the first, the floor is wide and the second are offered."""
_STRAIGHT = 5e-3
"""How far in m a given line may run askew to a family and be one of it."""
_OFF_CORNERS = 0.1
"""Share of the largest size within which a line runs through a corner, or through nothing beside it, unless to clear a pad."""


@dataclass(frozen=True, slots=True)
class Sheaf:
    """One family of lines.

    Attributes
    ----------
    members : tuple of (int, int, bool)
        Patch, its way, and whether shares run the other way there.
    shares : (n,) array
        Candidate lines, sides of the sheaf included.
    kept : (n,) array of bool
        Those that must be drawn.
    """

    members: tuple[tuple[int, int, bool], ...]
    shares: Floats
    kept: "np.ndarray[tuple[int], np.dtype[np.bool_]]"


def sheaves(
    patches: Sequence[Patch], size: float, dead: BaseGeometry, islands: Islands, step: float, most: int,
    keep: Sequence[Cut], *, linked: bool,
) -> tuple[Sheaf, ...]:  # fmt: skip
    """The sheaves through patches and the lines a person would think of in each.

    Parameters
    ----------
    patches : sequence of Patch
    size : float
        Longest side of a piece.
    dead : shapely geometry
        What lines are moved clear of.
    islands : Islands
        Through the middles of which lines are offered.
    step : float
        Lines lie no closer than half of this.
    most : int
        Lines to a sheaf.
    keep : sequence of Cut
        Lines that must be drawn, where they are of the family.
    linked : bool
        False to end every sheaf at the side of its wing.
    """
    return tuple(_sheaf(patches, members, size, dead, islands, step, most, keep) for members in _bands(patches, linked=linked))


def is_of_family(patch: Patch, cut: Cut) -> tuple[int, float] | None:
    """Way and share of a given line in a patch; None where it is none of its lines."""
    shares = patch.shares(np.array([cut.start, cut.end]))
    for way in (0, 1):
        first, second = shares[:, way]
        is_straight = np.isfinite(shares).all() and abs(first - second) * patch.span(way) < _STRAIGHT and -1e-6 < first < 1 + 1e-6
        if is_straight and cut_line(cut).intersection(patch.wing).length > 0.5 * min(cut.length, patch.span(1 - way)):
            return way, float(first)
    return None


def _bands(patches: Sequence[Patch], *, linked: bool) -> list[tuple[tuple[int, int, bool], ...]]:
    """Ways of patches joined through sides that match end to end."""
    ends: dict[tuple[int, int], list[tuple[int, int, bool]]] = {(p, way): [] for p in range(len(patches)) for way in (0, 1)}
    sides = [(p, *side) for p, patch in enumerate(patches) for side in patch.sides()] if linked else []
    for k, (p, way, _, a, b) in enumerate(sides):
        for q, other, _, c, d in sides[k + 1 :]:
            same = max(np.abs(a - c).max(), np.abs(b - d).max()) < _TOUCHING
            turned = max(np.abs(a - d).max(), np.abs(b - c).max()) < _TOUCHING
            if p != q and (same or turned):
                ends[p, way].append((q, other, turned))
                ends[q, other].append((p, way, turned))
    bands, seen = [], set()
    for start in ends:
        if start in seen:
            continue
        band, stack = [], [(*start, False)]
        seen.add(start)
        while stack:
            p, way, flipped = stack.pop()
            band.append((p, way, flipped))
            for q, other, turned in ends[p, way]:
                if (q, other) not in seen:
                    seen.add((q, other))
                    stack.append((q, other, flipped ^ turned))
        bands.append(tuple(band))
    return bands


def _sheaf(
    patches: Sequence[Patch], members: tuple[tuple[int, int, bool], ...], size: float, dead: BaseGeometry, islands: Islands,
    step: float, most: int, keep: Sequence[Cut],
) -> Sheaf:  # fmt: skip
    span = max(patches[p].span(way) for p, way, _ in members)
    inner, outer, wanted = list[float](), list[float](), list[float]()
    gaps: list[tuple[float, float]] = []
    for p, way, flipped in members:
        patch = patches[p]
        rings = [(patch.wing.exterior, False), *((hole, True) for hole in patch.wing.interiors)]
        rim = shapely.get_coordinates(patch.wing.exterior)[:-1]
        corners = patch.shares(rim[sides_apart(rim, size)[0]])[:, way]
        bent = np.array([corner for ring, is_hole in rings for corner, _, _ in re_entrant(ring, is_hole=is_hole)]).reshape(-1, 2)
        middles = islands.at[shapely.contains_xy(patch.wing, *islands.at.T)]
        lines = [found[1] for cut in keep if (found := is_of_family(patch, cut)) is not None and found[0] == way]
        blocked = [_extent(patch, way, part) for part in shapely.get_parts(dead) if part.intersects(patch.wing)]
        inner += [_turned(float(one), flipped) for one in patch.shares(np.concatenate([bent, middles]))[:, way]]
        outer += [_turned(float(one), flipped) for one in corners]
        wanted += [_turned(one, flipped) for one in lines]
        gaps += [(1.0 - high, 1.0 - low) if flipped else (low, high) for low, high in blocked if np.isfinite(low + high)]
    apart = 0.4 * step / span
    near = _OFF_CORNERS * size / span
    outer = [one for one in outer if all(abs(one - other) > near or abs(one - other) < 1e-4 / span for other in inner)]
    fixed = _distinct([one for one in (*wanted, *inner, *outer) if 1e-4 / span < one < 1 - 1e-4 / span], 1e-4 / span)
    needed = int(np.ceil(span / size))
    at = _tiers(fixed, span, size, _merged(gaps), apart, most if most >= _SPARE * needed else _FOR_ONE * needed)
    kept = np.array([any(abs(one - line) < 1e-4 / span + 1e-9 for line in wanted) for one in at])
    return Sheaf(members, np.array(at), kept)


def _turned(share: float, flipped: bool) -> float:
    return 1.0 - share if flipped else share


def _tiers(fixed: list[float], span: float, size: float, gaps: list[tuple[float, float]], apart: float, most: int) -> list[float]:
    """Fixed shares, then even divisions of neighbouring and of wider spans, moved clear; one division more; the ends of gaps."""
    tiers: list[list[float]] = [[], [], [], [end for gap in gaps for end in gap], []]
    for i, low in enumerate(fixed):
        for j in range(i + 1, len(fixed)):
            width = fixed[j] - low
            least = int(np.ceil(width * span / size - 1e-9))
            for more in (0, 1):
                even = [low + width * k / (least + more) for k in range(1, least + more)]
                rank = min(2, more + (j > i + 1))
                tiers[rank] += [_clear(one, gaps) for one in even]
                tiers[4] += even
    at = list(fixed)
    for rank, one in ((rank, one) for rank, tier in enumerate(tiers) for one in tier):
        off_corners = apart if rank == 3 else max(apart, _OFF_CORNERS * size / span)
        if (
            len(at) < max(most, len(fixed))
            and min(abs(one - other) for other in at) > apart
            and min(abs(one - other) for other in fixed) > off_corners
        ):
            at.append(one)
    return sorted(one for one in at if 0.0 <= one <= 1.0)


def _extent(patch: Patch, way: int, part: BaseGeometry) -> tuple[float, float]:
    """Shares between which lines meet a thing, with a hair at either end so that a line there runs clear of its rim."""
    shares = patch.shares(shapely.get_coordinates(part.convex_hull))[:, way]
    hair = _HAIR / patch.span(way)
    return float(shares.min()) - hair, float(shares.max()) + hair


def _merged(gaps: list[tuple[float, float]]) -> list[tuple[float, float]]:
    merged: list[tuple[float, float]] = []
    for low, high in sorted(gaps):
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return merged


def _clear(at: float, gaps: list[tuple[float, float]]) -> float:
    """A share, or the nearer end of the stretch it must not lie in."""
    for low, high in gaps:
        if low < at < high:
            return low if at - low < high - at else high
    return at


def _distinct(values: list[float], apart: float) -> list[float]:
    """Sorted, those that are nearly one merged into the first named."""
    kept: list[float] = []
    for one in values:
        if all(abs(one - other) > apart for other in kept):
            kept.append(one)
    return sorted({0.0, 1.0, *kept})


def forbids(lines: Sequence[shapely.LineString], start: Floats, end: Floats) -> bool:
    """Whether a stretch runs along a line that may not be used."""
    return any(along(shapely.LineString([start, end]), line) for line in lines)
