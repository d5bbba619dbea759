"""Mats in pads: both ways, the second layer on the first, hooks where straight bars would be too short."""

import math
from collections.abc import Iterator

from slabwright.errors import MissingInput
from slabwright.geometry.foundation import Foundation
from slabwright.model.concrete import Pad, PadShape
from slabwright.model.job import Job
from slabwright.model.loads import Post
from slabwright.model.steel import Bars, Face
from slabwright.standards.take_off_bars import bar_spacing
from slabwright.studies.bars.paths import Path, Point
from slabwright.studies.bars.rules import Rules, rules_for
from slabwright.studies.bars.wanted import Wanted, depth_of


def pad_bars(job: Job, foundation: Foundation, asked: Bars) -> Iterator[Wanted]:
    """A mat in each pad, both ways, the second layer on the first."""
    posts = {post.at: post for post in job.posts}
    for pad in foundation.pads:
        if asked.only and pad.name not in asked.only:
            continue
        rules = rules_for(job, asked, concrete_below_m=pad.depth_m - asked.cover_m)
        yield from _mat(pad, _post_on(pad, posts), asked, rules)


def _post_on(pad: Pad, posts: dict[Point, Post]) -> Post | None:
    near = [post for at, post in posts.items() if math.dist(at, pad.at) < min(pad.size_x_m, pad.size_y_m) / 2]
    return near[0] if near else None


def _mat(pad: Pad, post: Post | None, asked: Bars, rules: Rules) -> Iterator[Wanted]:
    cos, sin = math.cos(pad.rotation_rad), math.sin(pad.rotation_rad)
    outer = depth_of(asked, rules, pad.depth_m)
    inward = rules.bar.diameter_m if asked.face is Face.TOP else -rules.bar.diameter_m
    for layer, (along, across) in enumerate(((pad.size_x_m, pad.size_y_m), (pad.size_y_m, pad.size_x_m))):
        n = asked.n_bars
        if n is None and asked.spacing_m is not None:
            n = bar_spacing(width_m=across, cover_m=asked.cover_m, largest_spacing_m=asked.spacing_m).n_bars
        if n is None:
            raise MissingInput("[[bars]] in pads: say how many lie each way, count = 3, or their spacing.")
        edge = asked.cover_m + rules.bar.diameter_m / 2
        if min(along, across) < 2 * edge:
            raise MissingInput(f"[[bars]] in pads: the cover leaves no room in pad {pad.name}; make it smaller or the pad larger.")
        base = 0.0 if post is None else (post.base_x_m, post.base_y_m)[layer]
        hooks = _hooks(along, base, asked, rules, pad.depth_m) if post is not None else 0
        for k in range(n):
            aside = 0.0 if n == 1 else -across / 2 + edge + k * (across - 2 * edge) / (n - 1)
            half = _half_chord(pad, along, aside) - asked.cover_m
            if half <= 2 * rules.bar.diameter_m:
                continue
            ends = [(-half, aside), (half, aside)] if layer == 0 else [(aside, -half), (aside, half)]
            corners = tuple((pad.at[0] + x * cos - y * sin, pad.at[1] + x * sin + y * cos) for x, y in ends)
            path = Path(corners, outer + layer * inward, rules.bend_radius_m)
            yield Wanted(asked=0, zone=asked.zone, where=pad.name, path=path, rules=rules, is_lapped=False, hooks=hooks)


def _half_chord(pad: Pad, along: float, aside: float) -> float:
    if pad.shape is PadShape.CIRCLE:
        return math.sqrt(max(0.0, (along / 2) ** 2 - aside**2))
    return along / 2


def _hooks(along: float, base: float, asked: Bars, rules: Rules, depth_m: float) -> int:
    """Hooked ends where a straight bar is too short to be developed from the face of the post, and a hook has room."""
    straight = (along - base) / 2 - asked.cover_m
    room = depth_m - asked.cover_m - rules.bar.diameter_m - rules.hook_leg_m
    return 2 if straight < rules.development_m - 1e-9 and room >= 0.0 else 0
