"""The shape of the concrete: floor, edge, strips, pads."""

from dataclasses import dataclass
from enum import Enum

from slabwright.model.loads import Wheel

Point = tuple[float, float]
Ring = tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """A part of the floor that slopes down to a drain or a line.

    Attributes
    ----------
    slope : float
        Drop per run, a fraction.
    to : tuple of points
        One point (a gully) or a line (a channel or an outside edge) that the floor falls to. [m]
    within : Ring or None
        The part that falls; all of the floor where not given. [m]
    """

    slope: float
    to: tuple[Point, ...]
    within: Ring | None = None


class Finish(Enum):
    """What the surface is to be."""

    BROOM = "broom"
    FLOAT = "float"
    TROWEL = "trowel"


@dataclass(frozen=True, slots=True, kw_only=True)
class ThicknessRegion:
    """A part of the floor with a thickness of its own, on the same top surface."""

    within: Ring
    thickness_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """The floor slab.

    Attributes
    ----------
    outline : Ring
        Form line, any simple polygon. [m]
    block_outs : tuple of Ring
        Holes through the floor. [m]
    thickness_m : float
        Design thickness. [m]
    thickness_regions : tuple of ThicknessRegion
        Parts of another thickness.
    top_elevation_m : float
        Finished floor level against the job's datum. [m]
    falls : tuple of Fall
    base_parallel : bool
        True where the base is graded parallel to the falls, so that the thickness is constant.
    live_pa : float
        Floor live load. [Pa]
    wheels : tuple of Wheel
    finish : Finish
    """

    outline: Ring
    thickness_m: float
    block_outs: tuple[Ring, ...] = ()
    thickness_regions: tuple[ThicknessRegion, ...] = ()
    top_elevation_m: float = 0.0
    falls: tuple[Fall, ...] = ()
    base_parallel: bool = True
    live_pa: float = 0.0
    wheels: tuple[Wheel, ...] = ()
    finish: Finish = Finish.TROWEL


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """The thickened perimeter.

    Attributes
    ----------
    depth_m : float
        Overall depth from the top of the floor. [m]
    width_m : float
        Bottom width. [m]
    run : float
        Horizontal run of the inner face per unit of rise: 0 vertical, 1 at 45 degrees.
    top_above_grade_m : float
        Height of the floor above outside grade; what the short foundation wall shows. [m]
    """

    depth_m: float
    width_m: float
    run: float = 1.0
    top_above_grade_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """An interior thickening under a wall; ``width_m`` is at the bottom, ends are square. [m]"""

    name: str
    line: tuple[Point, ...]
    width_m: float
    depth_m: float
    run: float = 1.0


class PadShape(Enum):
    """Plan of a pad's bottom."""

    RECTANGLE = "rectangle"
    CIRCLE = "circle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pad:
    """A thickening under a post.

    Attributes
    ----------
    name : str
    at : Point
        Centre. [m]
    shape : PadShape
    size_x_m, size_y_m : float
        Bottom size before rotation; both the diameter for a circle. [m]
    depth_m : float
        From the top of the floor. [m]
    run : float
        Horizontal run of the sides per unit of rise.
    rotation_rad : float
        Counter-clockwise. [rad]
    outside_top_m : float or None
        Depth below the floor at which concrete outside the form line stands; None for the outside grade. [m]
    """

    name: str
    at: Point
    size_x_m: float
    size_y_m: float
    depth_m: float
    shape: PadShape = PadShape.RECTANGLE
    run: float = 0.0
    rotation_rad: float = 0.0
    outside_top_m: float | None = None
