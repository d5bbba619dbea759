"""Posts on the slab: how far each settles, and how much more than its neighbour."""

import math
from collections.abc import Sequence
from itertools import combinations as pairs
from typing import NamedTuple

from slabwright.solvers.plate import Answer
from slabwright.studies.floor.loading import Standing
from slabwright.studies.floor.reading import Solved

_NEIGHBOUR = 1.5
"""A post is a neighbour up to this many times the distance of the nearest one."""


class Tilt(NamedTuple):
    """Difference in settlement of two posts over their distance."""

    slope: float
    posts: tuple[str, str]
    at: tuple[float, float]


LEVEL = Tilt(0.0, ("", ""), (0.0, 0.0))


def settlements(standing: Standing, solved: Sequence[Solved]) -> dict[str, tuple[float, ...]]:
    """Settlement of every post in every state. [m]"""
    places = [post.at for post, _ in standing.posts]
    if not places:
        return {}
    found = [one.answer.deflection(places) for one in solved]
    return {post.name: tuple(float(values[k]) for values in found) for k, (post, _) in enumerate(standing.posts)}


def tilt_of(standing: Standing, answer: Answer) -> Tilt:
    """The greatest tilt between neighbouring posts in one answer; level where there are no two."""
    posts = [post for post, _ in standing.posts]
    if len(posts) < 2:
        return LEVEL
    down = answer.deflection([post.at for post in posts])
    nearest = [min(math.dist(a.at, b.at) for b in posts if b is not a) for a in posts]
    found = LEVEL
    for i, k in pairs(range(len(posts)), 2):
        reach = math.dist(posts[i].at, posts[k].at)
        if 0.0 < reach <= _NEIGHBOUR * max(nearest[i], nearest[k]):
            slope = abs(float(down[i] - down[k])) / reach
            if slope > found.slope:
                middle = ((posts[i].at[0] + posts[k].at[0]) / 2.0, (posts[i].at[1] + posts[k].at[1]) / 2.0)
                found = Tilt(slope, (posts[i].name, posts[k].name), middle)
    return found
