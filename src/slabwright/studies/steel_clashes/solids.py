"""Everything round that lies in the concrete, as capsules: straight pieces with a radius, in plan and depth."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from slabwright.geometry.foundation import Foundation
from slabwright.model.ground import Embed, EmbedKind, Pipe, PipeKind
from slabwright.studies.bars.order import Placed

Array = NDArray[np.float64]


class Kind(Enum):
    """What a piece is."""

    BAR = "bar"
    PIPE = "pipe"
    BOLT = "bolt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Capsule:
    """A straight round piece.

    Attributes
    ----------
    kind : Kind
    name : str
        ``No.4 in the edge``, ``basin waste``.
    owner : int
        Pieces of one bar or pipe share a number; bars come first, then pipes, then bolts.
    group : int
        Bars of one set of the job file share one; -1 for others.
    start, end : (x, y, depth)
        [m]
    radius_m : float
        Wrap included. [m]
    """

    kind: Kind
    name: str
    owner: int
    group: int
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    radius_m: float


def capsules(placed: Sequence[Placed], pipes: Sequence[Pipe], embeds: Sequence[Embed], foundation: Foundation) -> tuple[Capsule, ...]:
    """Bars with their hooks, pipes with their wrap, bolts.

    Parameters
    ----------
    placed : sequence of Placed
    pipes : sequence of Pipe
    embeds : sequence of Embed
    foundation : Foundation
    """
    found: list[Capsule] = []
    for owner, one in enumerate(placed):
        found += _bar(one, owner)
    for number, pipe in enumerate(pipes, start=len(placed)):
        found += _pipe(pipe, number, foundation)
    rods = [(embed, at) for embed in embeds for at in bolt_places(embed)]
    for number, (embed, at) in enumerate(rods, start=len(placed) + len(pipes)):
        found.append(
            Capsule(
                kind=Kind.BOLT, name=f"{embed.kind.value} of {embed.name}", owner=number, group=-1, start=(*at, 0.0),
                end=(*at, embed.embedment_m), radius_m=embed.diameter_m / 2,
            )
        )  # fmt: skip
    return tuple(found)


def _bar(one: Placed, owner: int) -> Iterator[Capsule]:
    rules, depth = one.wanted.rules, one.path.depth_m
    points = [(*point, depth) for point in one.path.rounded()]
    if one.wanted.hooks:
        top = depth - rules.hook_leg_m + rules.bar.diameter_m / 2
        points = [(*points[0][:2], top), *points, (*points[-1][:2], top)]
    name = f"{rules.bar.name} in the {one.wanted.zone.value}, {one.wanted.where}"
    for start, end in pairwise(points):
        yield Capsule(
            kind=Kind.BAR, name=name, owner=owner, group=one.wanted.asked, start=start, end=end, radius_m=rules.bar.diameter_m / 2
        )


def _pipe(pipe: Pipe, owner: int, foundation: Foundation) -> Iterator[Capsule]:
    """Its run where its depth is known, and the riser through the concrete."""
    radius = pipe.diameter_m / 2 + pipe.wrap_thickness_m
    common = {"kind": Kind.PIPE, "name": pipe.name, "owner": owner, "group": -1, "radius_m": radius}
    depth = pipe.diameter_m / 2 if pipe.kind is PipeKind.CHANNEL else None if pipe.depth_m is None else pipe.depth_m + pipe.diameter_m / 2
    if depth is not None:
        fallen = 0.0
        for (x0, y0), (x1, y1) in pairwise(pipe.run):
            drop = fallen + (pipe.fall or 0.0) * math.dist((x0, y0), (x1, y1))
            yield Capsule(start=(x0, y0, depth + fallen), end=(x1, y1, depth + drop), **common)  # type: ignore[arg-type]
            fallen = drop
    if pipe.riser and pipe.kind is not PipeKind.CHANNEL:
        at = pipe.run[-1]
        thickness = float(foundation.thickness_m([at])[0])
        if thickness > 0.0:
            yield Capsule(start=(*at, 0.0), end=(*at, thickness), **common)  # type: ignore[arg-type]


def bolt_places(embed: Embed) -> tuple[tuple[float, float], ...]:
    """Where the items of a row stand: both ends and evenly between, no further apart than the row allows. [m]"""
    if embed.kind in (EmbedKind.ELECTRODE, EmbedKind.SLEEVE):
        return ()
    if len(embed.line) == 1 or embed.max_spacing_m is None:
        return embed.line
    line = shapely.LineString(embed.line)
    n = max(1, math.ceil(line.length / embed.max_spacing_m - 1e-6))
    return tuple((point.x, point.y) for point in (line.interpolate(k / n, normalized=True) for k in range(n + 1)))


def distance_m(one: Capsule, other: Capsule) -> tuple[float, tuple[float, float, float]]:
    """Clear distance of two pieces, negative where they run into each other, and the place between them. [m]"""
    p, q = _nearest(np.asarray(one.start), np.asarray(one.end), np.asarray(other.start), np.asarray(other.end))
    middle = 0.5 * (p + q)
    return float(np.linalg.norm(p - q)) - one.radius_m - other.radius_m, (float(middle[0]), float(middle[1]), float(middle[2]))


def _nearest(a: Array, b: Array, c: Array, d: Array) -> tuple[Array, Array]:
    """The nearest points of two straight pieces: of the ends against the other piece, and of the inner pair."""
    u, v, w = b - a, d - c, a - c
    uu, uv, vv, uw, vw = float(u @ u), float(u @ v), float(v @ v), float(u @ w), float(v @ w)
    pairs = [(_on(a, u, uu, point), point) for point in (c, d)] + [(point, _on(c, v, vv, point)) for point in (a, b)]
    det = uu * vv - uv * uv
    if det > 1e-12 * max(uu * vv, 1e-30):
        s, t = (uv * vw - vv * uw) / det, (uu * vw - uv * uw) / det
        if 0.0 <= s <= 1.0 and 0.0 <= t <= 1.0:
            pairs.append((a + s * u, c + t * v))
    return min(pairs, key=lambda pair: float(np.linalg.norm(pair[0] - pair[1])))


def _on(start: Array, along: Array, square: float, point: Array) -> Array:
    share = 0.0 if square < 1e-18 else min(max(float((point - start) @ along) / square, 0.0), 1.0)
    return np.asarray(start + share * along)
