"""Where the foundation is cut: through the edge, each strip, each kind of pad, and across the whole floor."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString

from slabwright.geometry.blocks import Array
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.concrete import Edge, Pad, Strip

Point = tuple[float, float]
_BEYOND_M = 0.45
_FLOOR_SHOWN_M = 0.7
_STATIONS = 41
_SIDES_TRIED = 12
_EDGE_SHARE = 0.36
_PADS_TRIED = 12


@dataclass(frozen=True, slots=True)
class Cut:
    """One section.

    Attributes
    ----------
    key : str
        Of its picture.
    title : str
    mark : str
        Letter at both ends of the cut on the plan.
    start, end : Point
        [m]
    part : str
        Name of the part it is cut through; empty across the floor.
    """

    key: str
    title: str
    mark: str
    start: Point
    end: Point
    part: str


def cuts_of(foundation: Foundation) -> tuple[Cut, ...]:
    """The cuts, lettered in order."""
    found: list[tuple[str, str, Point, Point, str]] = []
    if foundation.edge is not None:
        found.append(("section-edge", "Section through the edge", *_through_the_edge(foundation, foundation.edge), "edge"))
    for number, strip in enumerate(foundation.strips, start=1):
        found.append((f"section-strip-{number}", f"Section through strip {strip.name}", *_across(foundation, strip), strip.name))
    for number, alike in enumerate(_kinds(foundation.pads), start=1):
        names = ", ".join(pad.name for pad in alike) if len(alike) <= 4 else f"{alike[0].name} to {alike[-1].name}"
        title = f"Section through pad {names}" if len(alike) == 1 else f"Section through pads {names}"
        pad, start, end = _through_a_pad(foundation, alike)
        found.append((f"section-pad-{number}", title, start, end, pad.name))
    found.append(("across-floor", "Section across the floor", *_across_the_floor(foundation), ""))
    return tuple(Cut(key, title, chr(ord("A") + k % 26), start, end, part) for k, (key, title, start, end, part) in enumerate(found))


def _through_the_edge(foundation: Foundation, edge: Edge) -> tuple[Point, Point]:
    """Square to a long side, where nothing but edge and floor is cut, a third of the way along or as near to there as that goes."""
    others = [part.skirt for part in foundation.parts if part.kind in (PartKind.STRIP, PartKind.PAD)]
    blocked = shapely.union_all([*others, *(shapely.Polygon(ring) for ring in foundation.floor.block_outs)])
    shapely.prepare(blocked)
    ring = np.asarray(foundation.outline.exterior.coords)
    longest_first = sorted(pairwise(ring), key=lambda side: -float(np.hypot(*(side[1] - side[0]))))
    reach = edge.width_m + edge.run * max(0.0, edge.depth_m - foundation.floor.thickness_m) + _FLOOR_SHOWN_M
    shares = sorted(np.linspace(0.08, 0.92, _STATIONS), key=lambda share: abs(share - _EDGE_SHARE))
    cuts = []
    for start, end in longest_first[:_SIDES_TRIED]:
        along = (end - start) / np.hypot(*(end - start))
        inward = np.array([-along[1], along[0]])
        feet = [start + share * (end - start) for share in shares]
        cuts += [_pair(foot - _BEYOND_M * inward, foot + reach * inward) for foot in feet]
    return next((cut for cut in cuts if not blocked.intersects(LineString(cut))), cuts[0])


def _across(foundation: Foundation, strip: Strip) -> tuple[Point, Point]:
    """Square to the longest piece of a strip, where it hangs most clearly from the floor."""
    start, end = max(pairwise(np.asarray(strip.line, dtype=float)), key=lambda piece: float(np.hypot(*(piece[1] - piece[0]))))
    along = (end - start) / np.hypot(*(end - start))
    reach = 0.5 * strip.width_m + _rise_m(foundation, strip) + _FLOOR_SHOWN_M
    across = reach * np.array([along[1], -along[0]])
    middles = [start + share * (end - start) for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)]
    return min((_pair(middle - across, middle + across) for middle in middles), key=lambda cut: _others_m(foundation, cut, strip.name))


def _through_a_pad(foundation: Foundation, alike: list[Pad]) -> tuple[Pad, Point, Point]:
    """Through the middle of the pad, and that way, where it hangs most clearly from the floor."""
    cuts = []
    for pad in alike[:_PADS_TRIED]:
        for turn, size in ((0.0, pad.size_x_m), (0.5 * math.pi, pad.size_y_m)):
            way = np.array([math.cos(pad.rotation_rad + turn), math.sin(pad.rotation_rad + turn)])
            reach = (0.5 * size + _rise_m(foundation, pad) + _FLOOR_SHOWN_M) * way
            cuts.append((pad, *_pair(np.asarray(pad.at) - reach, np.asarray(pad.at) + reach)))
    return min(cuts, key=lambda cut: _others_m(foundation, (cut[1], cut[2]), cut[0].name))


def _rise_m(foundation: Foundation, part: Strip | Pad) -> float:
    """How far the slope of a part reaches out. [m]"""
    return part.run * max(0.0, part.depth_m - foundation.floor.thickness_m)


def _others_m(foundation: Foundation, cut: tuple[Point, Point], own: str) -> float:
    """Length of a cut whose underside is neither the floor's nor the part's own, or where nothing is cut. [m]"""
    told = 0.0
    for run in foundation.section(*cut).runs:
        for number, length in zip(run.parts, np.diff(run.along_m), strict=True):
            part = foundation.parts[int(number)]
            told += float(length) if part.kind is PartKind.FLOOR or part.name == own else 0.0
    return round(math.dist(*cut) - told, 6)


def _across_the_floor(foundation: Foundation) -> tuple[Point, Point]:
    """The short way across the middle; with falls, the way they run."""
    west, south, east, north = foundation.outline.bounds
    x, y = foundation.outline.representative_point().coords[0]
    along_x = _pair(np.array([west - _BEYOND_M, y]), np.array([east + _BEYOND_M, y]))
    along_y = _pair(np.array([x, south - _BEYOND_M]), np.array([x, north + _BEYOND_M]))
    if foundation.floor.falls:
        places = (np.linspace(cut[0], cut[1], _STATIONS) for cut in (along_x, along_y))
        inside = (row[shapely.intersects_xy(foundation.outline, row)] for row in places)
        across, up = (float(np.ptp(foundation.drop_m(row))) for row in inside)
        return along_x if across > up else along_y
    return along_x if east - west <= north - south else along_y


def _kinds(pads: tuple[Pad, ...]) -> list[list[Pad]]:
    """Pads alike in shape, size, depth and slope."""
    kinds: dict[tuple[object, ...], list[Pad]] = {}
    for pad in pads:
        sizes = tuple(round(size, 6) for size in (pad.size_x_m, pad.size_y_m, pad.depth_m, pad.run))
        kinds.setdefault((pad.shape, *sizes), []).append(pad)
    return list(kinds.values())


def _pair(start: Array, end: Array) -> tuple[Point, Point]:
    return (float(start[0]), float(start[1])), (float(end[0]), float(end[1]))
