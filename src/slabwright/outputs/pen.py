"""The pen: puts the items of a picture down as SVG, in groups by layer."""

from dataclasses import dataclass, field

from slabwright.outputs.labels import Label
from slabwright.outputs.lettering import MARK_SIZE, DimensionFrame, LeaderLine, Lettering
from slabwright.outputs.look import STYLES, Mode, colour, dashes, hatch_pattern, layer_class, map_colour, thickness
from slabwright.outputs.marks import mark_shape
from slabwright.outputs.markup import Point, escaped, named, number, path
from slabwright.outputs.metrics import CAP_HEIGHT, LINE_HEIGHT
from slabwright.results.picture import Area, Circle, DimensionLine, Hatch, Item, Layer, Leader, Line, Mark, Note

_HALO = 0.26
_HALO_ON_LINE = 0.6
_SMALLEST_CIRCLE = 0.7
_SMALLEST_DASHED_CIRCLE = 5.0
_MAP_STEPS = 96


@dataclass(slots=True)
class Pen:
    """Collects SVG; neighbours of one style share a group.

    Attributes
    ----------
    scale : float
        Drawing units per metre.
    mode : Mode
    size : float
        Reading size of text.
    prefix : str
        Begins the names of the hatches.
    """

    scale: float
    mode: Mode
    size: float
    prefix: str
    _groups: list[tuple[str, list[str]]] = field(default_factory=list)
    _patterns: dict[str, str] = field(default_factory=dict)
    _map: dict[str, list[str]] = field(default_factory=dict)

    def finished(self) -> str:
        """Everything drawn so far."""
        self._close_map()
        defs = f"<defs>{''.join(self._patterns.values())}</defs>" if self._patterns else ""
        return defs + "".join(f"<g {style}>{''.join(elements)}</g>" for style, elements in self._groups)

    def draw(self, item: Item) -> None:
        """Draw one item; its text comes later, with all the others'."""
        match item:
            case Area(value=float() | int()):
                self._area_of_map(item)
                return
            case DimensionLine() | Note() | Leader():
                return
            case _:
                self._close_map()
        match item:
            case Line():
                self._line(item)
            case Area():
                self._area(item)
            case Circle():
                self._circle(item)
            case Mark():
                x, y = self._to_paper(item.at)
                self._add(f'class="{layer_class(item.layer)}"', mark_shape(item.state, x, y, MARK_SIZE * self.size, self.mode))

    def write(self, letters: Lettering) -> None:
        """Draw dimensions and leaders and set all text."""
        self._close_map()
        for frame in letters.frames:
            self._dimension(frame)
        for leader in letters.leaders:
            self._leader(leader)
        for one in letters.labels:
            self._text(one.label, one.layer, boxed=one.boxed)

    def _to_paper(self, point: Point) -> Point:
        return point[0] * self.scale, -point[1] * self.scale

    def _ring(self, ring: tuple[Point, ...], *, closed: bool) -> str:
        return path((self._to_paper(point) for point in ring), closed=closed)

    def _add(self, style: str, element: str) -> None:
        if not self._groups or self._groups[-1][0] != style:
            self._groups.append((style, []))
        self._groups[-1][1].append(element)

    def _line_colour(self, layer: Layer) -> str:
        return colour(STYLES[layer].line, self.mode)

    def _stroke(self, layer: Layer, *, weight: float = 1.0, dashed: bool = False, name: str = "") -> str:
        heavy = STYLES[layer].weight * weight
        dash = f' stroke-dasharray="{dashes(heavy)}"' if dashed or STYLES[layer].dashed else ""
        return (
            f'class="{layer_class(layer)}" fill="none" stroke="{colour(name or STYLES[layer].line, self.mode)}" '
            f'stroke-width="{thickness(heavy, self.mode)}" stroke-linejoin="round"{dash}'
        )

    def _line(self, item: Line) -> None:
        element = named(f'<path d="{self._ring(item.points, closed=item.closed)}"/>', item.label)
        if STYLES[item.layer].double:
            self._add(self._stroke(item.layer, weight=4.2 * item.weight, dashed=item.dashed), element)
            self._add(self._stroke(item.layer, weight=2.2 * item.weight, name="paper"), element)
            return
        if item.layer is Layer.CONTOUR:
            self._add(self._stroke(item.layer, weight=3.0 * item.weight, name="paper"), element)
        self._add(self._stroke(item.layer, weight=item.weight, dashed=item.dashed), element)

    def _area(self, item: Area) -> None:
        rings = "".join(self._ring(ring, closed=True) for ring in (item.outline, *item.holes))
        element = named(f'<path d="{rings}"/>', item.label)
        if item.hatch is not Hatch.NONE:
            fill = (
                colour(f"{STYLES[item.layer].fill}-fill", self.mode)
                if item.hatch is Hatch.SOLID
                else f"url(#{self._pattern(item.hatch, item.layer)})"
            )
            self._add(f'class="{layer_class(item.layer)}" fill="{fill}" fill-rule="evenodd" stroke="none"', element)
        if item.outlined:
            self._add(self._stroke(item.layer), element)

    def _pattern(self, hatch: Hatch, layer: Layer) -> str:
        name = f"{self.prefix}-{hatch.value}-{layer_class(layer)}"
        if name not in self._patterns:
            self._patterns[name] = hatch_pattern(hatch, layer, self.mode, name)
        return name

    def _area_of_map(self, item: Area) -> None:
        """Neighbouring cells of one colour become one path: a map has thousands."""
        value = 0.0 if item.value is None else item.value
        shade = map_colour(round(value * _MAP_STEPS) / _MAP_STEPS)
        rings = "".join(self._ring(ring, closed=True) for ring in (item.outline, *item.holes))
        self._map.setdefault(shade, []).append(rings)

    def _close_map(self) -> None:
        for shade, rings in self._map.items():
            style = f'class="{layer_class(Layer.MAP)}" fill="{shade}" fill-rule="evenodd" stroke="{shade}" stroke-width="0.9"'
            self._add(style, f'<path d="{"".join(rings)}"/>')
        self._map.clear()

    def _circle(self, item: Circle) -> None:
        x, y = self._to_paper(item.centre)
        radius = max(item.radius_m * self.scale, _SMALLEST_CIRCLE)
        element = named(f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"/>', item.label)
        if item.filled:
            fill = colour(f"{STYLES[item.layer].fill}-fill", self.mode)
            self._add(
                f'class="{layer_class(item.layer)}" fill="{fill}" stroke="{self._line_colour(item.layer)}" stroke-width="0.3"', element
            )
        else:
            self._add(self._stroke(item.layer, dashed=item.dashed and radius > _SMALLEST_DASHED_CIRCLE), element)

    def _dimension(self, frame: DimensionFrame) -> None:
        lines = "".join(path(line) for line in (frame.line, *frame.extensions))
        self._add(self._stroke(frame.layer), f'<path d="{lines}"/>')
        tx, ty = frame.tick
        ticks = "".join(path(((x - tx, y - ty), (x + tx, y + ty))) for x, y in frame.line)
        self._add(self._stroke(frame.layer, weight=2.6), f'<path d="{ticks}"/>')

    def _leader(self, leader: LeaderLine) -> None:
        near, shoulder, tip = leader.points
        self._add(self._stroke(Layer.DIMENSION, name=STYLES[leader.layer].line), f'<path d="{path((near, shoulder, tip))}"/>')
        length = max(((tip[0] - shoulder[0]) ** 2 + (tip[1] - shoulder[1]) ** 2) ** 0.5, 1e-9)
        dx, dy = (tip[0] - shoulder[0]) / length, (tip[1] - shoulder[1]) / length
        long, half = 0.75 * self.size, 0.17 * self.size
        back = (tip[0] - dx * long, tip[1] - dy * long)
        head = path((tip, (back[0] - dy * half, back[1] + dx * half), (back[0] + dy * half, back[1] - dx * half)), closed=True)
        self._add(f'class="{layer_class(leader.layer)}" fill="{self._line_colour(leader.layer)}" stroke="none"', f'<path d="{head}"/>')

    def _text(self, label: Label, layer: Layer, *, boxed: bool) -> None:
        x, y = label.at
        if boxed:
            box = label.box()
            frame = path(box.corners(), closed=True)
            self._add(
                f'class="{layer_class(layer)}" fill="{colour("paper", self.mode)}" stroke="{self._line_colour(layer)}" '
                f'stroke-width="{thickness(0.6, self.mode)}"',
                f'<path d="{frame}"/>',
            )
        ink = colour("chalk-text" if layer is Layer.CHALK else "ink", self.mode)
        weight = ' font-weight="600"' if label.bold else ""
        halo = number((_HALO_ON_LINE if layer is Layer.CONTOUR else _HALO) * label.size)
        style = (
            f'class="{layer_class(layer)} lettering" fill="{ink}" stroke="{colour("paper", self.mode)}" stroke-width="{halo}" '
            f'paint-order="stroke" stroke-linejoin="round" font-size="{number(label.size)}" text-anchor="{label.anchor}"{weight}'
        )
        turn = f' transform="rotate({number(label.angle)} {number(x)} {number(y)})"' if label.angle else ""
        first = y + (CAP_HEIGHT / 2 - (len(label.lines) - 1) * LINE_HEIGHT / 2) * label.size
        for place, line in enumerate(label.lines):
            baseline = first + place * LINE_HEIGHT * label.size
            self._add(style, f'<text x="{number(x)}" y="{number(baseline)}"{turn}>{escaped(line)}</text>')
