"""Names of the corners of an outline."""

import math
from collections.abc import Sequence

from shapely import Polygon
from shapely.geometry.polygon import orient

Point = tuple[float, float]


def corner_places(outline: Sequence[Point]) -> dict[str, Point]:
    """Corners by letter, counter-clockwise from the first: A to Z, then A2 to Z2. [m]"""
    places = [(float(x), float(y)) for x, y in orient(Polygon(outline)).exterior.coords[:-1]]
    first = min(range(len(places)), key=lambda i: math.dist(places[i], outline[0]))
    return {_letter(number): place for number, place in enumerate(places[first:] + places[:first])}


def _letter(number: int) -> str:
    turn, letter = divmod(number, 26)
    return chr(ord("A") + letter) + (str(turn + 1) if turn else "")
