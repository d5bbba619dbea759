"""What is set out, and from which strings: corners, strings between batter boards, rectangles to check, offsets."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import shapely
import shapely.affinity
from shapely import LineString, Point, Polygon
from shapely.geometry.polygon import orient

from slabwright.geometry.corners import corner_places
from slabwright.model.concrete import Pad, PadShape
from slabwright.model.ground import Embed, Pipe
from slabwright.model.loads import Post
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.setting_out import string_crossing
from slabwright.units import FOOT_M, Family

Place = tuple[float, float]

WOOD_FRAME_MANUAL = Source("wood-frame house manual", "Canadian Wood-Frame House Construction, batter boards and squaring")
BATTER_BOARDS = Clause(WOOD_FRAME_MANUAL, "boards at least 1.2 m outside the dig, level with each other", Basis.QUOTED)

BOARD_CLEARANCE_M = 1.2
"""Least clear distance of the batter boards from the dig. [m]"""
_SHORTEST_STRING_M = 0.9
_SAME_M = 0.002


def board_clearance_m(family: Family) -> float:
    """The least clear distance as people of that family measure it: 4 ft for 1.2 m. [m]"""
    return 4 * FOOT_M if family is Family.US else BOARD_CLEARANCE_M


@dataclass(frozen=True, slots=True, kw_only=True)
class Stake:
    """A point to be set out.

    Attributes
    ----------
    name : str
    at : Place
        [m]
    level_m : float
        Of what is set there, above the finished floor level. [m]
    what : str
        In trade words.
    """

    name: str
    at: Place
    level_m: float
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StringLine:
    """A string between two batter boards, along one or more edges of the outline.

    Attributes
    ----------
    name : str
    start, end : Place
        Nails on the boards. [m]
    corners : tuple of str
        Corners it runs over, from start to end.
    """

    name: str
    start: Place
    end: Place
    corners: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRectangle:
    """A rectangle whose two diagonals must be equal.

    Attributes
    ----------
    corners : tuple of str
        Counter-clockwise; a crossing of two strings is written ``S1×S4``.
    places : tuple of Place
        [m]
    length_m, width_m, diagonal_m : float
        [m]
    """

    corners: tuple[str, str, str, str]
    places: tuple[Place, Place, Place, Place]
    length_m: float
    width_m: float
    diagonal_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Offsets:
    """A point measured square from two strings. [m]"""

    stake: str
    first_string: str
    first_m: float
    second_string: str
    second_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingOut:
    """Everything the setting-out sheet shows.

    Attributes
    ----------
    corners : tuple of Stake
        Of the outline, counter-clockwise from its first.
    others : tuple of Stake
        Pads, posts, risers, bolts.
    strings : tuple of StringLine
    rectangles : tuple of CheckRectangle
        Together they cover a right-angled outline; empty for others.
    offsets : tuple of Offsets
    board_offset_m : float
        From the form line. [m]
    """

    corners: tuple[Stake, ...]
    others: tuple[Stake, ...]
    strings: tuple[StringLine, ...]
    rectangles: tuple[CheckRectangle, ...]
    offsets: tuple[Offsets, ...]
    board_offset_m: float

    @property
    def stakes(self) -> tuple[Stake, ...]:
        """Corners first."""
        return self.corners + self.others


def setting_out(
    outline: Sequence[Place],
    pads: Sequence[Pad],
    posts: Sequence[Post],
    pipes: Sequence[Pipe],
    embeds: Sequence[Embed],
    *,
    clearance_m: float = BOARD_CLEARANCE_M,
) -> SettingOut:
    """Lay out corners, strings, check rectangles and offsets.

    Parameters
    ----------
    outline : sequence of (x, y)
        Form line. [m]
    pads, posts, pipes, embeds
        As the job has them.
    clearance_m : float
        Of the batter boards from the dig. [m]
    """
    ring = orient(Polygon(outline))
    corners = tuple(
        Stake(name=name, at=place, level_m=0.0, what="corner of the form line") for name, place in corner_places(outline).items()
    )
    others = tuple(_others(pads, posts, pipes, embeds, {stake.name for stake in corners}))
    offset = clearance_m + _overhang(ring, pads)
    strings = _strings(ring, corners, offset)
    return SettingOut(
        corners=corners,
        others=others,
        strings=strings,
        rectangles=_rectangles(corners, strings),
        offsets=tuple(offsets for stake in others if (offsets := _offsets(stake, strings)) is not None),
        board_offset_m=offset,
    )


def board_line(outline: Polygon, offset_m: float) -> Polygon:
    """Line of the batter boards: the outline widened with square corners."""
    return Polygon(outline.buffer(offset_m, join_style="mitre", mitre_limit=10.0).exterior)


def _others(pads: Sequence[Pad], posts: Sequence[Post], pipes: Sequence[Pipe], embeds: Sequence[Embed], taken: set[str]) -> Iterator[Stake]:
    padded = {pad.at for pad in pads}
    for pad in pads:
        yield Stake(name=_free(pad.name, taken), at=pad.at, level_m=-pad.depth_m, what=f"middle of pad {pad.name}, level of its bottom")
    for post in posts:
        if post.at not in padded:
            yield Stake(name=_free(post.name, taken), at=post.at, level_m=0.0, what=f"middle of post {post.name}")
    for pipe in pipes:
        if pipe.riser:
            yield Stake(name=_free(pipe.name, taken), at=pipe.run[-1], level_m=pipe.rim_m or 0.0, what=f"{pipe.kind.value}, {pipe.name}")
    for embed in embeds:
        for end, at in zip(("from", "to"), (embed.line[0], embed.line[-1]), strict=True):
            single = len(embed.line) == 1
            if not (single and end == "to"):
                what = f"{embed.kind.value}, {embed.name}" + ("" if single else f", {end} here")
                yield Stake(
                    name=_free(embed.name if single else f"{embed.name}, {end}", taken), at=at, level_m=embed.projection_m, what=what
                )


def _free(name: str, taken: set[str]) -> str:
    """The name itself, or with a number where it is taken."""
    found, number = name, 2
    while found in taken:
        found, number = f"{name} ({number})", number + 1
    taken.add(found)
    return found


def _overhang(ring: Polygon, pads: Sequence[Pad]) -> float:
    """How far the farthest pad reaches beyond the form line. [m]"""
    return max((ring.distance(Point(place)) for pad in pads for place in _bottom(pad).exterior.coords), default=0.0)


def _bottom(pad: Pad) -> Polygon:
    if pad.shape is PadShape.CIRCLE:
        return Point(pad.at).buffer(pad.size_x_m / 2)
    (x, y), half_x, half_y = pad.at, pad.size_x_m / 2, pad.size_y_m / 2
    return shapely.affinity.rotate(shapely.box(x - half_x, y - half_y, x + half_x, y + half_y), pad.rotation_rad, use_radians=True)


def _strings(ring: Polygon, corners: Sequence[Stake], offset_m: float) -> tuple[StringLine, ...]:
    """One string along every long edge, run through to the boards; edges in one line share it."""
    boards = board_line(ring, offset_m)
    reach = 2.0 * (math.hypot(boards.bounds[2] - boards.bounds[0], boards.bounds[3] - boards.bounds[1]) + 1.0)
    strings: list[StringLine] = []
    for number, corner in enumerate(corners):
        after = corners[(number + 1) % len(corners)]
        length = math.dist(corner.at, after.at)
        shared = any(_on(string, corner.at) and _on(string, after.at) for string in strings)
        if length < _SHORTEST_STRING_M or shared:
            continue
        unit = ((after.at[0] - corner.at[0]) / length, (after.at[1] - corner.at[1]) / length)
        whole = LineString([_along(corner.at, unit, -reach), _along(after.at, unit, reach)])
        edge = LineString([corner.at, after.at])
        pieces = [
            piece
            for piece in shapely.get_parts(whole.intersection(boards))
            if piece.distance(edge.interpolate(0.5, normalized=True)) < _SAME_M
        ]
        start, end = (tuple(map(float, place)) for place in (pieces[0].coords[0], pieces[0].coords[-1]))
        over = sorted(
            (other for other in corners if pieces[0].distance(Point(other.at)) < _SAME_M), key=lambda other: math.dist(start, other.at)
        )
        strings.append(
            StringLine(
                name=f"S{len(strings) + 1}", start=(start[0], start[1]), end=(end[0], end[1]), corners=tuple(one.name for one in over)
            )
        )
    return tuple(strings)


def _along(place: Place, unit: Place, by: float) -> Place:
    return place[0] + by * unit[0], place[1] + by * unit[1]


def _on(string: StringLine, place: Place) -> bool:
    return LineString([string.start, string.end]).distance(Point(place)) < _SAME_M


def _rectangles(corners: Sequence[Stake], strings: Sequence[StringLine]) -> tuple[CheckRectangle, ...]:
    """Largest rectangles inside a right-angled outline, largest first, until together they cover it."""
    turned = _square_to_axes(corners)
    if turned is None:
        return ()
    axis, flat = turned
    plan = Polygon(flat)
    xs, ys = (_distinct([place[i] for place in flat]) for i in range(2))
    boxes = [
        shapely.box(x1, y1, x2, y2)
        for x1, x2 in combinations(xs, 2)
        for y1, y2 in combinations(ys, 2)
        if plan.buffer(_SAME_M).contains(shapely.box(x1, y1, x2, y2))
    ]
    found: list[CheckRectangle] = []
    covered: shapely.Geometry = Polygon()
    for box in sorted(boxes, key=lambda box: -box.area):
        if shapely.difference(box, covered).area > _SAME_M * math.sqrt(box.area):
            covered = shapely.union(covered, box)
            found.append(_check_rectangle(box.bounds, axis, corners, strings))
    return tuple(found)


def _square_to_axes(corners: Sequence[Stake]) -> tuple[Place, list[Place]] | None:
    """Direction of the longest edge and the corners in axes along it; None unless every edge runs along one of them."""
    edges = [(corners[i].at, corners[(i + 1) % len(corners)].at) for i in range(len(corners))]
    (ax, ay), (bx, by) = max(edges, key=lambda edge: math.dist(*edge))
    length = math.hypot(bx - ax, by - ay)
    cos, sin = (bx - ax) / length, (by - ay) / length
    if abs(sin) > abs(cos):
        cos, sin = sin, -cos
    if cos < 0:
        cos, sin = -cos, -sin
    flat = [(x * cos + y * sin, y * cos - x * sin) for x, y in (corner.at for corner in corners)]
    sides = [(flat[i], flat[(i + 1) % len(flat)]) for i in range(len(flat))]
    if any(min(abs(a[0] - b[0]), abs(a[1] - b[1])) > _SAME_M for a, b in sides):
        return None
    return (cos, sin), flat


def _distinct(values: Sequence[float]) -> list[float]:
    kept: list[float] = []
    for value in sorted(values):
        if not kept or value - kept[-1] > _SAME_M:
            kept.append(value)
    return kept


def _check_rectangle(
    bounds: tuple[float, float, float, float], axis: Place, corners: Sequence[Stake], strings: Sequence[StringLine]
) -> CheckRectangle:
    x1, y1, x2, y2 = bounds
    cos, sin = axis
    a, b, c, d = ((x * cos - y * sin, x * sin + y * cos) for x, y in ((x1, y1), (x2, y1), (x2, y2), (x1, y2)))
    names = tuple(_name_of(place, corners, strings) for place in (a, b, c, d))
    return CheckRectangle(
        corners=(names[0], names[1], names[2], names[3]),
        places=(a, b, c, d),
        length_m=x2 - x1,
        width_m=y2 - y1,
        diagonal_m=math.hypot(x2 - x1, y2 - y1),
    )


def _name_of(place: Place, corners: Sequence[Stake], strings: Sequence[StringLine]) -> str:
    for corner in corners:
        if math.dist(corner.at, place) < 2 * _SAME_M:
            return corner.name
    crossing = [string.name for string in strings if _on(string, place)]
    return "×".join(crossing[:2])


def _offsets(stake: Stake, strings: Sequence[StringLine]) -> Offsets | None:
    """Square distances from the nearest string and the nearest one that crosses it."""
    ranked = sorted(strings, key=lambda string: abs(_square_distance(string, stake.at)))
    for second in ranked[1:]:
        if _crosses(ranked[0], second):
            first = ranked[0]
            return Offsets(
                stake=stake.name,
                first_string=first.name,
                first_m=abs(_square_distance(first, stake.at)),
                second_string=second.name,
                second_m=abs(_square_distance(second, stake.at)),
            )
    return None


def _square_distance(string: StringLine, place: Place) -> float:
    (x1, y1), (x2, y2) = string.start, string.end
    return ((x2 - x1) * (place[1] - y1) - (y2 - y1) * (place[0] - x1)) / math.dist(string.start, string.end)


def _crosses(first: StringLine, second: StringLine) -> bool:
    (ax, ay), (bx, by) = first.start, first.end
    (cx, cy), (dx, dy) = second.start, second.end
    sine = ((bx - ax) * (dy - cy) - (by - ay) * (dx - cx)) / math.dist(first.start, first.end) / math.dist(second.start, second.end)
    return abs(sine) > 0.5


def crossing(first: StringLine, second: StringLine) -> Place:
    """Where two strings cross. [m]"""
    found = string_crossing(first_m=(first.start, first.end), second_m=(second.start, second.end))
    return found.x_m, found.y_m
