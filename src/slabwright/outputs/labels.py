"""Placing text on a drawing so that nothing covers anything: simple, in a fixed order, always the same.

Each label has a place it wants and a list of shifts it would accept. Labels are placed one after the other; each takes
the first place where it is clear of the text already set, or else the place where it does least harm. Lines under a
label are lesser harm than text, because text is drawn with a halo.
"""

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from slabwright.outputs.metrics import CAP_HEIGHT, DESCENT, LINE_HEIGHT, text_width

Point = tuple[float, float]
Bounds = tuple[float, float, float, float]

_CELL = 48.0
_COST_OF_TEXT = 60.0
_COST_OF_LINE = 0.8
_HEAVIEST_LINE = 0.9
_COST_OF_SHIFT = 0.03
_COST_OF_CROSSED_TEXT = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """Lines of text about a point, in drawing units with y down.

    Attributes
    ----------
    lines : tuple of str
    at : Point
        The point the text stands at; ``anchor`` says where on the text it lies, vertically it is the middle.
    size : float
        Type size.
    anchor : str
        ``start``, ``middle`` or ``end``.
    bold : bool
    angle : float
        Degrees clockwise, as SVG turns.
    shifts : sequence of Point
        Moves it would accept, the best first.
    padding : float
        Clear space about it, more where it is boxed.
    may_drop : bool
        True for a label better left out than put over another.
    tip : Point or None
        Where a line leads from the text, which should not pass through other text.
    """

    lines: tuple[str, ...]
    at: Point
    size: float
    anchor: str = "middle"
    bold: bool = False
    angle: float = 0.0
    shifts: Sequence[Point] = ((0.0, 0.0),)
    padding: float = 1.0
    may_drop: bool = False
    tip: Point | None = None

    @property
    def width(self) -> float:
        return max(text_width(line, self.size, bold=self.bold) for line in self.lines)

    @property
    def height(self) -> float:
        return ((len(self.lines) - 1) * LINE_HEIGHT + CAP_HEIGHT + DESCENT) * self.size

    def box(self) -> "Box":
        """The turned rectangle it covers, padding included."""
        half = self.width / 2
        along = {"start": half, "middle": 0.0, "end": -half}[self.anchor]
        axis = (math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle)))
        centre = (self.at[0] + along * axis[0], self.at[1] + along * axis[1])
        return Box(centre, half + self.padding, self.height / 2 + self.padding, axis)

    def moved(self, shift: Point) -> "Label":
        """The same label elsewhere."""
        return replace(self, at=(self.at[0] + shift[0], self.at[1] + shift[1]))


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle turned about its centre; half sizes along and across its axis, a unit vector."""

    centre: Point
    half_width: float
    half_height: float
    axis: Point = (1.0, 0.0)

    def moved(self, shift: Point) -> "Box":
        """The same box elsewhere."""
        return Box((self.centre[0] + shift[0], self.centre[1] + shift[1]), self.half_width, self.half_height, self.axis)

    def corners(self) -> tuple[Point, Point, Point, Point]:
        cos, sin = self.axis
        (x, y), w, h = self.centre, self.half_width, self.half_height
        return (
            (x - w * cos + h * sin, y - w * sin - h * cos),
            (x + w * cos + h * sin, y + w * sin - h * cos),
            (x + w * cos - h * sin, y + w * sin + h * cos),
            (x - w * cos - h * sin, y - w * sin + h * cos),
        )

    def bounds(self) -> Bounds:
        cos, sin = abs(self.axis[0]), abs(self.axis[1])
        reach_x = self.half_width * cos + self.half_height * sin
        reach_y = self.half_width * sin + self.half_height * cos
        return self.centre[0] - reach_x, self.centre[1] - reach_y, self.centre[0] + reach_x, self.centre[1] + reach_y

    def overlap(self, other: "Box") -> float:
        """How deep two boxes lie in each other, 0 where they are clear: the least push that would part them."""
        dx, dy = other.centre[0] - self.centre[0], other.centre[1] - self.centre[1]
        depth = math.inf
        for cos, sin in (self.axis,) if self.axis == other.axis else (self.axis, other.axis):
            for axis in ((cos, sin), (-sin, cos)):
                depth = min(depth, self._reach(axis) + other._reach(axis) - abs(dx * axis[0] + dy * axis[1]))
                if depth <= 0:
                    return 0.0
        return depth

    def _reach(self, axis: Point) -> float:
        cos, sin = self.axis
        return self.half_width * abs(cos * axis[0] + sin * axis[1]) + self.half_height * abs(cos * axis[1] - sin * axis[0])

    def crossed_by(self, start: Point, end: Point) -> bool:
        """Whether a segment passes through the box."""
        low, high = 0.0, 1.0
        cos, sin = self.axis
        dx, dy = start[0] - self.centre[0], start[1] - self.centre[1]
        ex, ey = end[0] - start[0], end[1] - start[1]
        for from_centre, move, half in (
            (dx * cos + dy * sin, ex * cos + ey * sin, self.half_width),
            (dy * cos - dx * sin, ey * cos - ex * sin, self.half_height),
        ):
            if abs(move) < 1e-9:
                if abs(from_centre) > half:
                    return False
                continue
            one, two = (-half - from_centre) / move, (half - from_centre) / move
            low, high = max(low, min(one, two)), min(high, max(one, two))
            if low >= high:
                return False
        return True


@dataclass(slots=True)
class Placed:
    """Everything already on the drawing: text boxes to keep clear of, lines to avoid."""

    _boxes: dict[tuple[int, int], list[Box]] = field(default_factory=lambda: defaultdict(list))
    _lines: dict[tuple[int, int], list[tuple[Point, Point, int]]] = field(default_factory=lambda: defaultdict(list))
    _weights: list[float] = field(default_factory=list)

    def add_box(self, box: Box) -> None:
        """Keep this rectangle clear."""
        for cell in _cells(box.bounds()):
            self._boxes[cell].append(box)

    def add_line(self, start: Point, end: Point, weight: float) -> None:
        """Avoid this segment, the more the heavier it is drawn."""
        pieces = max(1, math.ceil(math.dist(start, end) / _CELL))
        step = ((end[0] - start[0]) / pieces, (end[1] - start[1]) / pieces)
        for piece in range(pieces):
            one = (start[0] + step[0] * piece, start[1] + step[1] * piece)
            two = (one[0] + step[0], one[1] + step[1])
            middle = ((one[0] + two[0]) / 2, (one[1] + two[1]) / 2)
            self._lines[int(middle[0] // _CELL), int(middle[1] // _CELL)].append((one, two, len(self._weights)))
        self._weights.append(min(weight, _HEAVIEST_LINE))

    def text_crossed(self, start: Point, end: Point) -> int:
        """How many boxes a line to a tip passes through, but for one that the tip lies in."""
        tip = Box(end, 0.5, 0.5)
        boxes = {id(box): box for cell in _cells_along(start, end) for box in self._boxes.get(cell, ())}
        return sum(box.crossed_by(start, end) and not box.overlap(tip) for box in boxes.values())

    def harm(self, box: Box) -> tuple[float, float]:
        """What a label there would cover: depth in other text, weight of lines."""
        left, top, right, bottom = box.bounds()
        others = {id(other): other for cell in _cells((left, top, right, bottom)) for other in self._boxes.get(cell, ())}
        text = sum(box.overlap(other) for other in others.values())
        wide = (left - _CELL / 2, top - _CELL / 2, right + _CELL / 2, bottom + _CELL / 2)
        crossed: set[int] = set()
        for cell in _cells(wide):
            for start, end, number in self._lines.get(cell, ()):
                (x1, y1), (x2, y2) = start, end
                if (x1 < left and x2 < left) or (x1 > right and x2 > right) or (y1 < top and y2 < top) or (y1 > bottom and y2 > bottom):
                    continue
                if box.crossed_by(start, end):
                    crossed.add(number)
        return text, sum(self._weights[number] for number in sorted(crossed))


def placed_label(label: Label, placed: Placed) -> Label | None:
    """The label at the best of its places, which is then taken; None if it may drop and no place is clear."""
    best, least = (0.0, 0.0), math.inf
    box, (x, y) = label.box(), label.at
    for number, shift in enumerate(label.shifts):
        moving = _COST_OF_SHIFT * (min(math.hypot(*shift), 2 * label.size) + number)
        if moving >= least:
            continue
        text, lines = placed.harm(box.moved(shift))
        crossed = placed.text_crossed((x + shift[0], y + shift[1]), label.tip) if label.tip is not None else 0
        cost = _COST_OF_TEXT * text + _COST_OF_LINE * lines + _COST_OF_CROSSED_TEXT * crossed + moving
        if cost < least and not (label.may_drop and text):
            best, least = shift, cost
        if not (text or lines or crossed):
            break
    if least is math.inf:
        return None
    placed.add_box(box.moved(best))
    return label.moved(best)


@lru_cache(maxsize=256)
def shifts_around(step: float, rings: int) -> tuple[Point, ...]:
    """Moves in rings about a point: none, then up, down, left, right and the corners, farther and farther."""
    moves = [(0.0, 0.0)]
    for ring in range(1, rings + 1):
        for x, y in ((0, -1), (0, 1), (1, 0), (-1, 0), (1, -1), (-1, -1), (1, 1), (-1, 1)):
            moves.append((x * step * ring, y * step * ring))
    return tuple(moves)


def _cells_along(start: Point, end: Point) -> Iterator[tuple[int, int]]:
    pieces = max(1, math.ceil(2 * math.dist(start, end) / _CELL))
    for piece in range(pieces + 1):
        share = piece / pieces
        yield int((start[0] + share * (end[0] - start[0])) // _CELL), int((start[1] + share * (end[1] - start[1])) // _CELL)


def _cells(bounds: Bounds) -> list[tuple[int, int]]:
    left, top, right, bottom = (int(edge // _CELL) for edge in bounds)
    return [(column, row) for column in range(left, right + 1) for row in range(top, bottom + 1)]
