"""Where the text of a picture goes: dimensions, notes, leaders, words beside marks, numbers on contours.

Dimensions are set first because they cannot leave their line; then boxed notes, notes, words beside marks and leaders;
numbers on contours last, and only where there is room.
"""

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, pairwise

from slabwright.outputs.labels import Bounds, Box, Label, Placed, placed_label, shifts_around
from slabwright.outputs.look import STYLES
from slabwright.outputs.metrics import balanced, text_width
from slabwright.outputs.numbers import dimension_text
from slabwright.outputs.typography import typeset
from slabwright.results.picture import Area, Circle, DimensionLine, Item, Layer, Leader, Line, Mark, Note, Picture
from slabwright.units import Family

Point = tuple[float, float]

MARK_SIZE = 1.05
_DIMENSION_SIZE = 0.94
_TICK = 0.36
_GAP = 0.35
_OVERSHOOT = 0.45
_LEADER_WIDTH = 15.0
_ALONG_CONTOUR = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9)


@dataclass(frozen=True, slots=True)
class DimensionFrame:
    """Lines of one dimension: the line itself, its extension lines, and half a tick at each end."""

    layer: Layer
    line: tuple[Point, Point]
    extensions: tuple[tuple[Point, Point], ...]
    tick: Point


@dataclass(frozen=True, slots=True)
class LeaderLine:
    """From the text over its shoulder to the tip."""

    layer: Layer
    points: tuple[Point, Point, Point]


@dataclass(frozen=True, slots=True)
class Lettered:
    """One label with its layer; ``boxed`` puts a frame around it."""

    label: Label
    layer: Layer
    boxed: bool = False


@dataclass(slots=True)
class Lettering:
    """All text of a picture at one scale, in drawing units, and the bounds of the whole drawing."""

    bounds: Bounds
    labels: list[Lettered] = field(default_factory=list)
    frames: list[DimensionFrame] = field(default_factory=list)
    leaders: list[LeaderLine] = field(default_factory=list)

    def reach(self, bounds: Bounds) -> None:
        """Grow to hold these bounds."""
        left, top, right, bottom = self.bounds
        self.bounds = (min(left, bounds[0]), min(top, bounds[1]), max(right, bounds[2]), max(bottom, bounds[3]))


def extent(items: Sequence[Item]) -> Bounds:
    """Least and greatest x and y of the geometry of a picture, dimension lines included. [m]"""
    points = [point for item in items for point in _points(item)]
    if not points:
        return 0.0, 0.0, 0.0, 0.0
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _points(item: Item) -> Iterator[Point]:
    match item:
        case Line():
            yield from item.points
        case Area():
            yield from item.outline
        case Circle(centre=(x, y), radius_m=r):
            yield from ((x - r, y - r), (x + r, y + r))
        case DimensionLine():
            yield from (item.start, item.end, *_offset_line(item))
        case Leader():
            yield item.tip
        case Note() | Mark():
            yield item.at


def _offset_line(item: DimensionLine) -> tuple[Point, Point]:
    (x1, y1), (x2, y2) = item.start, item.end
    length = math.dist(item.start, item.end) or 1.0
    nx, ny = -(y2 - y1) / length * item.offset_m, (x2 - x1) / length * item.offset_m
    return (x1 + nx, y1 + ny), (x2 + nx, y2 + ny)


def lettered(picture: Picture, family: Family, scale: float, size: float, reach: Bounds) -> Lettering:
    """Place all text of a picture.

    Parameters
    ----------
    picture : Picture
    family : Family
    scale : float
        Drawing units per metre.
    size : float
        Reading size of text, in drawing units.
    reach : tuple of float
        :func:`extent` of the picture. [m]
    """
    setter = _Setter(family, scale, size, Lettering((reach[0] * scale, -reach[3] * scale, reach[2] * scale, -reach[1] * scale)))
    for item in picture.items:
        setter.avoid(item)
    dimensions = [setter.framed(item) for item in picture.items if isinstance(item, DimensionLine)]
    for label, layer, _ in sorted(dimensions, key=lambda one: one[2]):
        setter.put(label, layer)
    notes = [item for item in picture.items if isinstance(item, Note)]
    for note in sorted(notes, key=lambda one: not one.boxed):
        setter.note(note)
    for item in picture.items:
        if isinstance(item, Mark) and item.text:
            setter.beside_mark(item)
        elif isinstance(item, Leader):
            setter.leader(item)
    for item in picture.items:
        if isinstance(item, Line) and item.layer is Layer.CONTOUR and item.label:
            setter.on_contour(item)
    return setter.lettering


@dataclass(slots=True)
class _Setter:
    family: Family
    scale: float
    size: float
    lettering: Lettering
    placed: Placed = field(default_factory=Placed)

    def to_paper(self, point: Point) -> Point:
        return point[0] * self.scale, -point[1] * self.scale

    def put(self, label: Label, layer: Layer, *, boxed: bool = False) -> Label | None:
        settled = placed_label(label, self.placed)
        if settled is not None:
            self.lettering.labels.append(Lettered(settled, layer, boxed))
            self.lettering.reach(settled.box().bounds())
        return settled

    def avoid(self, item: Item) -> None:
        """Note the lines that text should not lie on, and keep marks clear."""
        match item:
            case Line(layer=layer) if layer is not Layer.MAP:
                self._avoid_ring(item.points, STYLES[layer].weight * item.weight, closed=item.closed)
            case Area(layer=layer, outlined=True) if layer is not Layer.MAP:
                for ring in (item.outline, *item.holes):
                    self._avoid_ring(ring, STYLES[layer].weight, closed=True)
            case Circle(centre=(x, y), radius_m=r):
                corners = ((x - r, y), (x, y + r), (x + r, y), (x, y - r))
                self._avoid_ring(corners, STYLES[item.layer].weight, closed=True)
            case Mark():
                half = MARK_SIZE * self.size / 2
                box = Box(self.to_paper(item.at), half, half)
                self.placed.add_box(box)
                self.lettering.reach(box.bounds())
            case _:
                pass

    def _avoid_ring(self, ring: Sequence[Point], weight: float, *, closed: bool) -> None:
        points = [self.to_paper(point) for point in ring]
        for start, end in zip(points, [*points[1:], *(points[:1] if closed else ())], strict=False):
            self.placed.add_line(start, end, weight)

    def framed(self, item: DimensionLine) -> tuple[Label, Layer, bool]:
        """The lines of a dimension, its label, and whether the label is too wide for its gap."""
        start, end = (self.to_paper(point) for point in _offset_line(item))
        length = math.dist(start, end)
        ux, uy = ((end[0] - start[0]) / length, (end[1] - start[1]) / length) if length else (1.0, 0.0)
        angle = _upright(math.degrees(math.atan2(uy, ux)))
        turn = math.radians(angle)
        extensions = []
        for foot, head in ((self.to_paper(item.start), start), (self.to_paper(item.end), end)):
            away = math.dist(foot, head)
            if away > _GAP * self.size:
                dx, dy = (head[0] - foot[0]) / away, (head[1] - foot[1]) / away
                gap, over = _GAP * self.size, _OVERSHOOT * self.size
                extensions.append(((foot[0] + dx * gap, foot[1] + dy * gap), (head[0] + dx * over, head[1] + dy * over)))
        tick = math.radians(angle - 45)
        half = _TICK * self.size
        frame = DimensionFrame(item.layer, (start, end), tuple(extensions), (half * math.cos(tick), half * math.sin(tick)))
        self.lettering.frames.append(frame)
        for one, two in (frame.line, *frame.extensions):
            self.placed.add_line(one, two, 1.0)
            self.lettering.reach(
                (min(one[0], two[0]) - half, min(one[1], two[1]) - half, max(one[0], two[0]) + half, max(one[1], two[1]) + half)
            )
        words = typeset(item.text or dimension_text(math.dist(item.start, item.end), self.family))
        size = _DIMENSION_SIZE * self.size
        width = text_width(words, size)
        along, up = (math.cos(turn), math.sin(turn)), (math.sin(turn), -math.cos(turn))
        wide = width > length - 2 * half
        shifts = [(along[0] * a + up[0] * b, along[1] * a + up[1] * b) for a, b in _dimension_shifts(width, length, size, wide=wide)]
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        at = (middle[0] + up[0] * 0.68 * size, middle[1] + up[1] * 0.68 * size)
        return Label(lines=(words,), at=at, size=size, angle=angle, shifts=shifts, padding=0.5), item.layer, wide

    def note(self, item: Note) -> None:
        """A note at its point or close by."""
        size = item.size * self.size
        label = Label(
            lines=tuple(typeset(item.text).split("\n")),
            at=self.to_paper(item.at),
            size=size,
            anchor=item.anchor,
            bold=item.bold,
            angle=_upright(-math.degrees(item.angle_rad)),
            shifts=shifts_around(0.6 * size, 5),
            padding=0.45 * size if item.boxed else 0.1 * size,
        )
        self.put(label, item.layer, boxed=item.boxed)

    def beside_mark(self, item: Mark) -> None:
        """The words of a mark, to its right where there is room."""
        x, y = self.to_paper(item.at)
        words = typeset(item.text)
        clear = 0.85 * self.size
        width = text_width(words, self.size)
        shifts = [(0.0, 0.0), (-2 * clear - width, 0.0), (-clear - width / 2, -1.25 * self.size), (-clear - width / 2, 1.25 * self.size)]
        shifts += [(dx, dy) for dx, dy in shifts_around(0.7 * self.size, 4) if (dx, dy) != (0.0, 0.0)]
        self.put(Label(lines=(words,), at=(x + clear, y), size=self.size, anchor="start", shifts=shifts), item.layer)

    def leader(self, item: Leader) -> None:
        """A note beside the thing it speaks of, with a line to it."""
        tip, at = self.to_paper(item.tip), self.to_paper(item.at)
        rightward = at[0] >= tip[0]
        lines = balanced(typeset(item.text), _LEADER_WIDTH * self.size, self.size)
        label = Label(
            lines=lines,
            at=at,
            size=self.size,
            anchor="start" if rightward else "end",
            shifts=shifts_around(1.1 * self.size, 5),
            padding=0.2 * self.size,
            tip=tip,
        )
        settled = self.put(label, item.layer)
        if settled is not None:
            gap = (-0.3 if rightward else 0.3) * self.size
            x, y = settled.at
            near = (x + gap, y)
            shoulder = (x + 3.5 * gap, y)
            if (tip[0] - shoulder[0]) * gap < 0:
                shoulder = near
            self.lettering.leaders.append(LeaderLine(item.layer, (near, shoulder, tip)))
            self.placed.add_line(shoulder, tip, 1.0)

    def on_contour(self, item: Line) -> None:
        """The number of a contour, along it, where there is room."""
        points = [self.to_paper(point) for point in (*item.points, *(item.points[:1] if item.closed else ()))]
        size = 0.85 * self.size
        words = typeset(item.label)
        width = text_width(words, size)
        at = _Walk.of(points)
        if at.length < 2.5 * width:
            return
        places = []
        for share in _ALONG_CONTOUR:
            before, after = at(share * at.length - width / 2), at(share * at.length + width / 2)
            if math.dist(before, after) < 0.8 * width:
                continue
            angle = _upright(math.degrees(math.atan2(after[1] - before[1], after[0] - before[0])))
            places.append((abs(angle) // 20, angle, ((before[0] + after[0]) / 2, (before[1] + after[1]) / 2)))
        for _, angle, centre in sorted(places, key=lambda place: place[0]):
            if self.put(Label(lines=(words,), at=centre, size=size, angle=angle, may_drop=True), item.layer) is not None:
                return


def _dimension_shifts(width: float, length: float, size: float, *, wide: bool) -> list[Point]:
    """Moves along and up that a dimension's text would accept."""
    spare = max(0.0, (length - width) / 2 - 0.4 * size)
    inside = [(0.0, 0.0), (-spare / 2, 0.0), (spare / 2, 0.0), (-spare, 0.0), (spare, 0.0)] if spare else [(0.0, 0.0)]
    beyond = (length + width) / 2 + 0.6 * size
    outside = [(beyond, 0.0), (-beyond, 0.0)]
    raised = [(0.0, 1.05 * size), (0.0, -1.4 * size), (0.0, 2.1 * size), (0.0, -2.4 * size)]
    further = [(beyond, 1.05 * size), (-beyond, 1.05 * size), (beyond, -1.4 * size), (-beyond, -1.4 * size)]
    return [*outside, *raised, *further] if wide else [*inside, *raised, *outside, *further]


def _upright(angle: float) -> float:
    """The same direction read from below or from the right, degrees clockwise from -90 to below 90."""
    turned = (angle + 90.0 + 1e-6) % 180.0 - 90.0 - 1e-6
    return 0.0 if abs(turned) < 1e-6 else turned


@dataclass(frozen=True, slots=True)
class _Walk:
    """Points along a run of straight pieces, by distance from its start."""

    points: tuple[Point, ...]
    distances: tuple[float, ...]

    @classmethod
    def of(cls, points: Sequence[Point]) -> "_Walk":
        return cls(tuple(points), (0.0, *accumulate(math.dist(start, end) for start, end in pairwise(points))))

    @property
    def length(self) -> float:
        return self.distances[-1]

    def __call__(self, distance: float) -> Point:
        piece = min(max(bisect_right(self.distances, distance), 1), len(self.points) - 1)
        low, high = self.distances[piece - 1], self.distances[piece]
        share = min(max((distance - low) / (high - low), 0.0), 1.0) if high > low else 0.0
        (x1, y1), (x2, y2) = self.points[piece - 1], self.points[piece]
        return x1 + share * (x2 - x1), y1 + share * (y2 - y1)
