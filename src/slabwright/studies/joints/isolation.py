"""Posts that isolation joints part from the floor: the box round each, whose corners joints meet, and where lines are interrupted.

The joint parts a post and its pad from the floor, as the bearing and the floor take it: over such a pad a cut works as beside it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.geometry.foundation import Foundation, Part, PartKind
from slabwright.model.job import Job
from slabwright.model.loads import Post
from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.solvers.partition import Cut, Islands
from slabwright.sources import Basis, Clause, Source, practice

Point = tuple[float, float]

BOX = Clause(
    Source("NRMCA CIP 6", "Concrete in Practice 6, joints in slabs on grade"), "figure: joints meet the corners of the box", Basis.QUOTED
)
BOX_SIZE = practice("an isolation box twice as wide as its post")
CORNER_WORTH_M = 3.0
"""Line that meeting one corner more of a box may take, about a side of a panel; a choice, no source."""
_BOX_WIDTHS = 2.0
_ON_M = 1e-3
_SQUARELY = math.sin(math.radians(60.0)) - 1e-9
_ROUND = 32


@dataclass(frozen=True, slots=True)
class Box:
    """Isolation joint round one post.

    Attributes
    ----------
    post : str
    outline : tuple of points
        A square turned so that its corners lie on the joints; a circle where no joint comes. [m]
    n_met : int
        Corners that joints meet.
    runs : tuple of lines
        The joint itself: all round, or what of it lies in the floor. [m]
    """

    post: str
    outline: tuple[Point, ...]
    n_met: int
    runs: tuple[tuple[Point, ...], ...]

    @property
    def length_m(self) -> float:
        """Joint round it, in the floor. [m]"""
        return sum(float(shapely.LineString(run).length) for run in self.runs)


def box_side_m(post: Post) -> float:
    """Side of the box: twice the post wide. [m]"""
    return _BOX_WIDTHS * max(post.base_x_m, post.base_y_m)


def islands(posts: Sequence[Post]) -> Islands:
    """Isolated posts as the solver sees them."""
    if not posts:
        return Islands.none()
    return Islands(np.array([post.at for post in posts]), np.array([reach_m(post) for post in posts]), CORNER_WORTH_M)


def parted_pads(job: Job, foundation: Foundation) -> tuple[Part, ...]:
    """Pads that carry isolated posts and no others: the floor over them is parted from them."""
    found = []
    for part in foundation.parts:
        if part.kind is PartKind.PAD:
            carried = [post.isolated for post in job.posts if part.skirt.covers(shapely.Point(post.at))]
            if carried and all(carried):
                found.append(part)
    return tuple(found)


def boxes(posts: Sequence[Post], cuts: Sequence[Cut], region: shapely.Polygon) -> tuple[Box, ...]:
    """The isolation joint round each of the isolated posts of a floor, turned to the lines that come to it."""
    found = []
    for post in posts:
        outline, n_met = _outline(post, cuts)
        joint = shapely.LinearRing(outline).intersection(region)
        parts = [part for part in shapely.get_parts(shapely.line_merge(joint)) if part.geom_type in ("LineString", "LinearRing")]
        found.append(Box(post.name, outline, n_met, tuple(tuple(map(_point, part.coords)) for part in parts)))
    return tuple(found)


def interrupted(cuts: tuple[Cut, ...], posts: Sequence[Post]) -> tuple[Cut, ...]:
    """Lines that end at each box they come to and go on behind it."""
    if not posts:
        return cuts
    outlines = shapely.union_all([shapely.Polygon(_outline(post, cuts)[0]) for post in posts])
    return tuple(_interrupted(cut, outlines) for cut in cuts)


def _interrupted(cut: Cut, outlines: BaseGeometry) -> Cut:
    inside = shapely.intersection(shapely.LineString([cut.start, cut.end]), outlines)
    parts = [part.coords for part in shapely.get_parts(inside) if part.geom_type == "LineString" and part.length > _ON_M]
    breaks = [sorted([_point(part[0]), _point(part[-1])], key=lambda at: math.dist(cut.start, at)) for part in parts]
    return replace(cut, breaks=tuple((a, b) for a, b in sorted(breaks, key=lambda pair: math.dist(cut.start, pair[0]))))


def say_isolated(boxes: Sequence[Box], pads: Sequence[Part], notes: Notes) -> None:
    """What is assumed of the boxes and the pads below, and corners that no joint meets."""
    if not boxes:
        return
    one = len(boxes) == 1
    notes.assume("joints.isolation", "The isolation joint round a post is a box twice as wide as the post.", BOX_SIZE)
    pour = (
        " The pads are drawn in one pour with the floor: are they cast first, and a sheet laid over them before the floor?" if pads else ""
    )
    question = (
        f"{'One post is' if one else f'{len(boxes)} posts are'} parted from the floor by isolation joints. "
        f"{'Is its box' if one else 'Are their boxes'} left open and filled later?{pour}"
    )
    notes.ask(Ask.ENGINEER, question, "posts", BOX)
    bare = [box.post for box in boxes if not box.n_met]
    partly = [box.post for box in boxes if 0 < box.n_met < 4]
    if bare:
        notes.caution(f"No joint comes to {_named(bare)}: its isolation joint is round, so that no corner starts a crack.", BOX)
    if partly:
        told = f"Not every corner of the isolation box at {_named(partly)} has a joint: lay two short bars across each that has none."
        notes.caution(told, BOX)


def reach_m(post: Post) -> float:
    """From the middle of the box to a corner. [m]"""
    return box_side_m(post) / math.sqrt(2.0)


def _outline(post: Post, cuts: Sequence[Cut]) -> tuple[tuple[Point, ...], int]:
    """Corners of the box and how many of them joints meet."""
    middle, reach = np.array(post.at), reach_m(post)
    ways: list[np.ndarray[tuple[int], np.dtype[np.float64]]] = []
    for cut in cuts:
        if shapely.LineString([cut.start, cut.end]).distance(shapely.Point(post.at)) < _ON_M:
            away = [np.subtract(end, middle) for end in (cut.end, cut.start)]
            ways += [one / np.hypot(*one) for one in away if np.hypot(*one) > _ON_M]
    if not ways:
        turns = 2 * np.pi * np.arange(_ROUND) / _ROUND
        return tuple(_point(middle + reach * np.array([np.cos(one), np.sin(one)])) for one in turns), 0
    first = ways[0]
    square = np.array([-first[1], first[0]])
    second = max(ways, key=lambda one: abs(float(one @ square)))
    if abs(float(second @ square)) < _SQUARELY:  # the only line, or two that cross askew
        second = square
    corners = [middle + reach * one for one in (first, second, -first, -second)]
    met = sum(any(np.abs(middle + reach * way - corner).max() < _ON_M for way in ways) for corner in corners)
    return tuple(map(_point, corners)), met


def _point(at: "np.ndarray[tuple[int], np.dtype[np.float64]] | tuple[float, ...]") -> Point:
    return float(at[0]), float(at[1])


def _named(posts: Sequence[str]) -> str:
    if len(posts) > 6:
        return f"{len(posts)} posts"
    *most, last = posts
    return f"posts {', '.join(most)} and {last}" if most else f"post {last}"
