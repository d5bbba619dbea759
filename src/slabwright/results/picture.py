"""Drawings as data: primitives in metres on trade layers. Outputs replay them onto paper or screen.

The axes are those of the plan: x to the right, y up the sheet. A section uses x along the cut and y as elevation.
"""

from dataclasses import dataclass, field
from enum import Enum

from slabwright.results.check import State

Point = tuple[float, float]
Ring = tuple[Point, ...]


class Layer(Enum):
    """What a line stands for; decides its weight, colour and whether a reader can switch it off."""

    SOIL = "soil"
    BASE = "base"
    SHEET = "sheet"
    CONCRETE_CUT = "concrete, cut"
    CONCRETE_SEEN = "concrete, seen"
    CONCRETE_HIDDEN = "concrete, hidden"
    FORM = "form"
    STEEL = "steel"
    JOINT = "joint"
    POST = "post"
    WALL = "wall"
    PIPE = "pipe"
    BOLT = "bolt"
    SETTING_OUT = "setting out"
    MAP = "map"
    CONTOUR = "contour"
    DIMENSION = "dimension"
    TEXT = "text"
    CHALK = "chalk"


class Hatch(Enum):
    """How an area is filled so that it reads without colour."""

    NONE = "none"
    SOLID = "solid"
    SPARSE = "sparse"
    MEDIUM = "medium"
    DENSE = "dense"
    STONE = "stone"
    EARTH = "earth"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """An open or closed run of straight pieces.

    ``label`` says what it is to who points at it on a screen; on a contour it is the number written along the line.
    """

    layer: Layer
    points: Ring
    closed: bool = False
    dashed: bool = False
    weight: float = 1.0
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A filled polygon with holes.

    ``value`` between 0 and 1 fills it from the map scale; otherwise ``hatch`` tells it apart without colour.
    """

    layer: Layer
    outline: Ring
    holes: tuple[Ring, ...] = ()
    hatch: Hatch = Hatch.NONE
    value: float | None = None
    outlined: bool = True
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    layer: Layer
    centre: Point
    radius_m: float
    filled: bool = False
    dashed: bool = False
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Text at a point. ``size`` 1.0 is the sheet's reading size; the text stays upright on paper.

    ``anchor`` is where the point lies on the text: ``start``, ``middle`` or ``end``.
    """

    layer: Layer
    at: Point
    text: str
    size: float = 1.0
    anchor: str = "middle"
    bold: bool = False
    angle_rad: float = 0.0
    boxed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DimensionLine:
    """A dimension from one point to another, drawn ``offset_m`` to the left of the direction travelled.

    The text is the length in the job's own units unless ``text`` gives it.
    """

    start: Point
    end: Point
    offset_m: float = 0.0
    text: str = ""
    layer: Layer = Layer.DIMENSION


@dataclass(frozen=True, slots=True, kw_only=True)
class Leader:
    """A note with a line to the thing it speaks of."""

    layer: Layer
    tip: Point
    at: Point
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """The shape of a state at a place, with a word or two beside it."""

    layer: Layer
    at: Point
    state: State
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """Legend of a map: the value at 0 and at 1 of the map scale, and the contour values drawn.

    ``title`` says what is mapped; ``suffix`` is the unit of the values, and ``unit`` a written one that settles in which they are
    shown. ``banded`` is True where each band between two
    levels has one colour and all bands take equal shares of the map scale, whatever their width in value.
    """

    title: str
    low: float
    high: float
    suffix: str
    levels: tuple[float, ...] = ()
    banded: bool = False
    unit: str = ""


Item = Line | Area | Circle | Note | DimensionLine | Leader | Mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One drawing, in order from the back to the front.

    Attributes
    ----------
    key : str
        Stable name within its study, such as ``plan`` or ``section-edge``.
    title : str
        What is seen, as printed under the drawing.
    items : tuple of Item
    scale : Scale or None
        For maps.
    alt : str
        One sentence for who cannot see it.
    """

    key: str
    title: str
    items: tuple[Item, ...]
    scale: Scale | None = None
    alt: str = ""
    notes: tuple[str, ...] = field(default=())
