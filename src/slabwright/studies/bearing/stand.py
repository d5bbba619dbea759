"""Which post stands on which pad, and what comes down on it, in the pad's own axes."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
import shapely

from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.overlay import Area
from slabwright.model.combinations import Level
from slabwright.model.concrete import Pad, PadShape
from slabwright.model.job import Job
from slabwright.model.load_path import LoadStep, reactions_of
from slabwright.model.loads import LoadCase, Post, Reaction, Reactions, Wall
from slabwright.model.steel import Bars, Face, Zone
from slabwright.standards.bars import bar
from slabwright.studies.bearing.case import Mat, PadCase, as_number
from slabwright.studies.bearing.edge_section import density_kg_m3
from slabwright.studies.bearing.loads import Factored, LoadTable, with_walls
from slabwright.units import STANDARD_GRAVITY_M_S2, Family

_HAIR_M = 1e-6


@dataclass(frozen=True, kw_only=True)
class Stand:
    """A post on its pad.

    Attributes
    ----------
    post : Post
    pad : Pad
    own : Reactions
        What the post itself brings. In plan axes.
    reactions : Reactions
        On the pad, as a force at the post and a moment: with walls over the pad and other posts on it.
    others : tuple of str
        Other posts on the same pad.
    path : tuple of LoadStep
    wall_loads : tuple of (str, LoadCase, float)
        What walls over the pad add. [N]
    volume_m3 : float
        Of the pad below its bottom's outline, up to the floor's top or to its own top outside. [m³]
    density_kg_m3 : float
        Of the concrete. [kg/m³]
    strength_pa : float
    table : LoadTable
    mat : Mat or None
    grade_m : float
        Outside grade below the top of the floor. [m]
    family : Family
    """

    post: Post
    pad: Pad
    own: Reactions
    reactions: Reactions
    others: tuple[str, ...]
    path: tuple[LoadStep, ...]
    wall_loads: tuple[tuple[str, LoadCase, float], ...]
    volume_m3: float
    density_kg_m3: float
    strength_pa: float
    table: LoadTable
    mat: Mat | None
    grade_m: float
    family: Family
    _factored: dict[tuple[Level, bool], Factored] = field(default_factory=dict, repr=False, compare=False)

    @property
    def name(self) -> str:
        """Of the post; keys of its checks begin with it."""
        return self.post.name

    @property
    def where(self) -> str:
        """Place on the plan, for checks."""
        return f"pad {self.pad.name}" if self.pad.name == self.post.name else f"post {self.post.name} on pad {self.pad.name}"

    @property
    def lifted(self) -> bool:
        """True where some case pulls the post up."""
        return any(one.down_n < 0 for one in self.reactions.values())

    @property
    def pushed(self) -> bool:
        """True where some case brings a horizontal force."""
        return any(one.shear_x_n or one.shear_y_n for one in self.reactions.values())

    @cached_property
    def sides_m(self) -> tuple[float, float]:
        """Sides of the pad; of the square of equal area for a round one. [m]"""
        if self.pad.shape is PadShape.CIRCLE:
            side = self.pad.size_x_m * math.sqrt(math.pi) / 2
            return side, side
        return self.pad.size_x_m, self.pad.size_y_m

    @cached_property
    def offset_m(self) -> tuple[float, float]:
        """Of the post from the middle of the pad, along the pad's axes. [m]"""
        x, y = _turned(self.post.at[0] - self.pad.at[0], self.post.at[1] - self.pad.at[1], -self.pad.rotation_rad)
        return (x if abs(x) > _HAIR_M else 0.0), (y if abs(y) > _HAIR_M else 0.0)

    @cached_property
    def foot_m(self) -> tuple[float, float]:
        """Foot of the post along the pad's axes; askew, the square of its shorter side. [m]"""
        turn = self.post.rotation_rad - self.pad.rotation_rad
        if abs(math.sin(turn)) < 1e-3:
            return self.post.base_x_m, self.post.base_y_m
        if abs(math.cos(turn)) < 1e-3:
            return self.post.base_y_m, self.post.base_x_m
        shorter = min(self.post.base_x_m, self.post.base_y_m)
        return shorter, shorter

    @cached_property
    def weight_n(self) -> float:
        """Of the pad. [N]"""
        return self.volume_m3 * self.density_kg_m3 * STANDARD_GRAVITY_M_S2

    def factored(self, level: Level, *, own: bool = False) -> Factored:
        """Combinations of a level, forces along the pad's axes, moments at the bottom of the pad; of the post alone if asked."""
        if (level, own) not in self._factored:
            self._factored[level, own] = self._turn(self.table.at(level, self.own if own else self.reactions))
        return self._factored[level, own]

    def _turn(self, plain: Factored) -> Factored:
        down, shear_x, shear_y, moment_x, moment_y = plain.values.T
        angle = -self.pad.rotation_rad
        vx, vy = np.cos(angle) * shear_x - np.sin(angle) * shear_y, np.sin(angle) * shear_x + np.cos(angle) * shear_y
        mx, my = np.cos(angle) * moment_x - np.sin(angle) * moment_y, np.sin(angle) * moment_x + np.cos(angle) * moment_y
        arm = self.arm_m
        return replace(plain, values=np.column_stack([down, vx, vy, mx + vx * arm, my + vy * arm]))

    @property
    def arm_m(self) -> float:
        """Lever of the base shear above the bottom of the pad: nought where the floor, cast with it, takes the shear. [m]"""
        return self.pad.depth_m if self.post.isolated else 0.0

    def case(self, factored: Factored, *, depth_m: float | None = None) -> PadCase:
        """The pad under all combinations at once."""
        size_x, size_y = self.sides_m
        rows = factored.values
        return PadCase(
            size_x_m=size_x, size_y_m=size_y, depth_m=depth_m if depth_m is not None else self.pad.depth_m,
            post_x_m=self.foot_m[0], post_y_m=self.foot_m[1], offset_x_m=self.offset_m[0], offset_y_m=self.offset_m[1],
            load_n=as_number(rows[:, 0]), moment_x_nm=as_number(rows[:, 3]), moment_y_nm=as_number(rows[:, 4]),
            weight_n=as_number(factored.dead * self.weight_n), strength_pa=self.strength_pa, mat=self.mat, family=self.family,
        )  # fmt: skip

    def single(self, factored: Factored, number: int, *, depth_m: float | None = None) -> PadCase:
        """The pad under one combination."""
        whole = self.case(factored, depth_m=depth_m)
        row = factored.values[number]
        return replace(
            whole, load_n=float(row[0]), moment_x_nm=float(row[3]), moment_y_nm=float(row[4]),
            weight_n=float(factored.dead[number]) * self.weight_n,
        )  # fmt: skip


def _turned(x: float, y: float, angle: float) -> tuple[float, float]:
    return math.cos(angle) * x - math.sin(angle) * y, math.sin(angle) * x + math.cos(angle) * y


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where all posts stand.

    Attributes
    ----------
    stands : tuple of Stand
        Posts on pads, with loads.
    loose : tuple of Post
        Posts on no pad.
    unloaded : tuple of Post
        Posts that bring nothing down: no reactions, no tributary area, or all of them nought.
    idle : tuple of Pad
        Pads without a post.
    """

    stands: tuple[Stand, ...]
    loose: tuple[Post, ...]
    unloaded: tuple[Post, ...]
    idle: tuple[Pad, ...]


def standing(job: Job, foundation: Foundation, table: LoadTable) -> Standing:
    """Find the pad below each post and collect what comes down on it."""
    density = density_kg_m3(job)
    strength = job.mix.strength_pa if job.mix is not None else 0.0
    feet = {part.name: part.bottom for part in foundation.parts if part.kind is PartKind.PAD}
    below = _pads_below(job.posts, job.pads)
    over = _walls_over(job.walls, job.pads, feet)
    mats: dict[str, Mat | None] = {pad.name: mat_of(job.bars, pad.name) for pad in job.pads}
    grade = job.edge.top_above_grade_m if job.edge is not None else 0.0
    stands, loose, unloaded = [], [], []
    loads = {post.name: reactions_of(post) for post in job.posts}
    together: dict[str, list[Post]] = {}
    for post, pad in zip(job.posts, below, strict=True):
        if not any(map(_presses, loads[post.name][0].values())):
            unloaded.append(post)
        if pad is None:
            loose.append(post)
        else:
            together.setdefault(pad.name, []).append(post)
    for post, pad in zip(job.posts, below, strict=True):
        own, path = loads[post.name]
        if pad is None or not own:
            continue
        others = [one for one in together[pad.name] if one is not post]
        reactions, wall_loads = with_walls(_joined(own, post, others, loads), over.get(pad.name, ()))
        stands.append(
            Stand(
                post=post, pad=pad, own=own, reactions=reactions, others=tuple(one.name for one in others), path=path,
                wall_loads=wall_loads, volume_m3=pad_volume_m3(pad, feet[pad.name], foundation), density_kg_m3=density,
                strength_pa=strength, table=table, mat=mats[pad.name], grade_m=grade, family=job.family,
            )
        )  # fmt: skip
    idle = tuple(pad for pad in job.pads if pad.name not in together)
    return Standing(stands=tuple(stands), loose=tuple(loose), unloaded=tuple(unloaded), idle=idle)


def _presses(reaction: Reaction) -> bool:
    return reaction != Reaction()


def _joined(own: Reactions, post: Post, others: Sequence[Post], loads: Mapping[str, tuple[Reactions, tuple[LoadStep, ...]]]) -> Reactions:
    """The post's reactions with those of other posts on its pad, as one force at the post and a moment."""
    total = dict(own)
    for other in others:
        dx, dy = other.at[0] - post.at[0], other.at[1] - post.at[1]
        for case, one in loads[other.name][0].items():
            before = total.get(case, Reaction())
            total[case] = Reaction(
                down_n=before.down_n + one.down_n, shear_x_n=before.shear_x_n + one.shear_x_n, shear_y_n=before.shear_y_n + one.shear_y_n,
                moment_x_nm=before.moment_x_nm + one.moment_x_nm + one.down_n * dx,
                moment_y_nm=before.moment_y_nm + one.moment_y_nm + one.down_n * dy,
            )  # fmt: skip
    return total


def _pads_below(posts: Sequence[Post], pads: Sequence[Pad]) -> list[Pad | None]:
    """The pad whose bottom holds each post's middle; the nearest where several do."""
    if not pads or not posts:
        return [None] * len(posts)
    at = np.array([post.at for post in posts])
    centres = np.array([pad.at for pad in pads])
    angles = np.array([pad.rotation_rad for pad in pads])
    halves = np.array([(pad.size_x_m, pad.size_y_m) for pad in pads]) / 2
    dx, dy = (at[:, None, :] - centres[None]).transpose(2, 0, 1)
    x, y = np.cos(angles) * dx + np.sin(angles) * dy, -np.sin(angles) * dx + np.cos(angles) * dy
    round_ = np.array([pad.shape is PadShape.CIRCLE for pad in pads])
    within = np.where(
        round_, np.hypot(x, y) <= halves[:, 0] + _HAIR_M, (np.abs(x) <= halves[:, 0] + _HAIR_M) & (np.abs(y) <= halves[:, 1] + _HAIR_M)
    )
    distance = np.where(within, np.hypot(x, y), np.inf)
    nearest = distance.argmin(axis=1)
    return [pads[int(k)] if np.isfinite(distance[i, k]) else None for i, k in enumerate(nearest)]


def _walls_over(walls: Sequence[Wall], pads: Sequence[Pad], feet: dict[str, Area]) -> dict[str, list[tuple[Wall, float]]]:
    """Length of each loaded wall over each pad. [m]"""
    found: dict[str, list[tuple[Wall, float]]] = {}
    loaded = [wall for wall in walls if any(wall.line_loads_n_m.values())]
    if not loaded or not pads:
        return found
    lines = np.array([shapely.LineString(wall.line) for wall in loaded], dtype=object)
    tree = shapely.STRtree(lines)
    for pad in pads:
        for k in tree.query(feet[pad.name], predicate="intersects"):
            length = float(lines[k].intersection(feet[pad.name]).length)
            if length > _HAIR_M:
                found.setdefault(pad.name, []).append((loaded[int(k)], length))
    return found


def pad_volume_m3(pad: Pad, foot: Area, foundation: Foundation) -> float:
    """Concrete straight above a pad's bottom. [m³]"""
    area = float(foot.area)
    if foundation.outline.covers(foot):
        return area * pad.depth_m
    inside = float(foot.intersection(foundation.outline).area)
    grade = foundation.edge.top_above_grade_m if foundation.edge is not None else 0.0
    top = pad.outside_top_m if pad.outside_top_m is not None else grade
    return inside * pad.depth_m + (area - inside) * (pad.depth_m - top)


def mat_of(bars: Sequence[Bars], pad: str) -> Mat | None:
    """Bottom bars of a pad: those that name it, else those for all pads."""
    own = [one for one in bars if one.zone is Zone.PADS and one.face is Face.BOTTOM and (pad in one.only or not one.only)]
    if not own:
        return None
    chosen = next((one for one in own if pad in one.only), own[0])
    size = bar(size=chosen.size)
    if chosen.n_bars is None and chosen.spacing_m is None:
        return None
    return Mat(
        name=chosen.size, n_bars=chosen.n_bars, spacing_m=chosen.spacing_m, diameter_m=size.diameter_m, bar_area_m2=size.area_m2,
        cover_m=chosen.cover_m, yield_strength_pa=chosen.yield_strength_pa,
    )  # fmt: skip
