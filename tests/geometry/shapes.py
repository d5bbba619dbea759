"""Short ways to write shapes in tests."""

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.concrete import Edge, Floor, Pad, PadShape, Strip
from slabwright.units import FOOT_M, INCH_M

FT3_M3 = FOOT_M**3


def feet(*points):
    """Plan points written in feet."""
    return tuple((x * FOOT_M, y * FOOT_M) for x, y in points)


def rectangle(length, width):
    """A rectangular outline from the origin."""
    return ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width))


def pad(x, y, size, depth_m, **more):
    """A square pad."""
    return Pad(name=more.pop("name", "P1"), at=(x, y), size_x_m=size, size_y_m=more.pop("size_y", size), depth_m=depth_m, **more)


def below_floor_m3(foundation):
    """What all parts add below the floor slab."""
    return sum(foundation.volumes().of_kind_m3(kind) for kind in PartKind if kind is not PartKind.FLOOR)


__all__ = ["FT3_M3", "INCH_M", "Edge", "Floor", "Foundation", "PadShape", "PartKind", "Strip", "below_floor_m3", "feet", "pad", "rectangle"]
