"""What stands on the floor, combination by combination, as loads of the plate."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.model.combinations import Combination
from slabwright.model.job import Job
from slabwright.model.load_path import reactions_of
from slabwright.model.loads import LoadCase, Post, Reaction, Reactions
from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.solvers.plate import Gradient, LineLoad, Load, Patch, Pressure, Weight
from slabwright.sources import practice
from slabwright.studies.floor.body import Body

CURL_STRAIN = 1.6e-4
"""Difference of free strain between top and bottom of the floor that drying leaves behind after creep."""
CURL_RULE = practice("the top dries 0.04 % more than the bottom, and creep leaves four tenths of that")
AISLE_IN_RADII = 2.2
"""Width of the empty or loaded strip that bends a floor most, in radii of relative stiffness."""
_LEAST_FORCE_N = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One state of the floor to be solved.

    Attributes
    ----------
    name : str
        As printed: the combination, the pattern of floor load, the curl.
    combination : Combination or None
        None for the empty floor.
    loads : tuple of Load
    curled : bool
    """

    name: str
    combination: Combination | None
    loads: tuple[Load, ...]
    curled: bool = False


@dataclass(frozen=True, kw_only=True)
class Standing:
    """What stands on the floor and what each thing brings.

    Attributes
    ----------
    posts : tuple of (Post, Reactions)
        Posts that stand on the slab, none parted from it.
    body : Body
    job : Job
    """

    posts: tuple[tuple[Post, Reactions], ...]
    body: Body
    job: Job

    @classmethod
    def of(cls, job: Job, body: Body, notes: Notes) -> "Standing":
        """Posts of the job, less those that are isolated or stand beside the floor."""
        kept = []
        for post in job.posts:
            reactions, _ = reactions_of(post)
            if post.isolated:
                notes.assume(f"posts.{post.name}", f"post {post.name} stands on its own pad and brings nothing to the floor", _ISOLATED)
            elif not body.region.intersects(shapely.Point(post.at)):
                notes.ask(Ask.ENGINEER, "The post stands beside the floor; how does its pad hold to it?", f"post {post.name}")
            elif not reactions:
                notes.ask(Ask.ENGINEER, "What does this post bring down, and what does it pull up?", f"post {post.name}")
            else:
                kept.append((post, reactions))
        if any(reaction.shear_x_n or reaction.shear_y_n for _, reactions in kept for reaction in reactions.values()):
            notes.assume("posts.reactions", "horizontal forces of posts stay in the plane of the floor and bend nothing", _THRUST)
        return cls(posts=tuple(kept), body=body, job=job)

    @property
    def present(self) -> frozenset[LoadCase]:
        """Cases that something on the floor brings; the slab itself is dead load."""
        found = {LoadCase.DEAD} | {case for _, reactions in self.posts for case in reactions}
        found |= {case for wall in self.job.walls for case, load in wall.line_loads_n_m.items() if load}
        return frozenset(found | ({LoadCase.LIVE} if self.job.floor.live_pa > 0.0 else set()))

    def patch(self, post: Post, reaction: Reaction) -> Load | None:
        """A post's foot; the part of it on the slab where it overhangs."""
        if abs(reaction.down_n) + abs(reaction.moment_x_nm) + abs(reaction.moment_y_nm) < _LEAST_FORCE_N:
            return None
        patch = Patch(
            at=post.at, force=reaction.down_n, size_x=post.base_x_m, size_y=post.base_y_m, rotation=post.rotation_rad,
            moment_x=reaction.moment_x_nm, moment_y=reaction.moment_y_nm, name=f"post {post.name}",
        )  # fmt: skip
        on_slab = patch.shape.intersection(self.body.region)
        if on_slab.area > (1.0 - 1e-6) * patch.shape.area:
            return patch
        return Pressure(pressure=reaction.down_n / on_slab.area, within=on_slab, name=f"post {post.name}")

    def walls(self, combination: Combination) -> Iterator[LineLoad]:
        """Walls as lines, where they stand on the slab."""
        inside = self.body.region.buffer(1e-7)
        for wall in self.job.walls:
            force = combination.total(wall.line_loads_n_m)
            if abs(force) > 0.0:
                for piece in shapely.get_parts(shapely.LineString(wall.line).intersection(inside)):
                    if piece.geom_type == "LineString" and piece.length > 1e-6:
                        line = [(float(x), float(y)) for x, y in shapely.get_coordinates(piece)]
                        yield LineLoad(line=line, force=force, name=f"wall {wall.name}")

    def weight(self, factor: float = 1.0) -> Weight:
        """The slab's own weight, which the ground took while the concrete was soft."""
        return Weight(unit_weight=factor * self.body.concrete.weight_n_m3, depth=self.body.depth_at, cast_on_soil=True)

    def curl(self) -> Gradient:
        """Drying of the floor's own thickness; thick parts feel no more of it than that."""
        return Gradient(curvature=CURL_STRAIN / self.body.floor_m, depth=self.body.floor_m)

    def on_bare_floor(self) -> tuple[tuple[Post, Reactions], ...]:
        """Posts that stand on the floor itself, not on a thickened part."""
        depth = self.body.depth_at(np.array([post.at for post, _ in self.posts]).reshape(-1, 2))
        return tuple(one for one, d in zip(self.posts, depth, strict=True) if d <= self.body.floor_m * (1.0 + 1e-6))

    def to_follow(self) -> tuple[Load, ...]:
        """Loads whose outlines the grid must follow: feet and walls on the bare floor."""
        feet = [self.patch(post, Reaction(down_n=1e3)) for post, _ in self.on_bare_floor()]
        bare = self.body.region.difference(self.body.thick)
        lines = []
        for wall in self.job.walls:
            for piece in shapely.get_parts(shapely.LineString(wall.line).intersection(bare)):
                if piece.geom_type == "LineString" and piece.length > self.body.floor_m:
                    lines.append(LineLoad(line=[(float(x), float(y)) for x, y in shapely.get_coordinates(piece)], force=1.0))
        return (*(foot for foot in feet if foot is not None), *lines)

    def case(self, combination: Combination, pattern: str = "", within: BaseGeometry | None = None) -> Case:
        """One combination; floor load everywhere, or within a pattern."""
        loads: list[Load] = [self.weight(combination.dead_factor)]
        for post, reactions in self.posts:
            foot = self.patch(post, combination.of(reactions))
            if foot is not None:
                loads.append(foot)
        loads += self.walls(combination)
        live = combination.factors.get(LoadCase.LIVE, 0.0) * self.job.floor.live_pa
        if live:
            loads.append(Pressure(pressure=live, within=within, name="floor load"))
        return Case(name=f"{combination.name}{pattern}", combination=combination, loads=tuple(loads))


_ISOLATED = practice("an isolation joint parts a post's pad from the floor")
_THRUST = practice("thrust is taken by ties or friction in the plane of the floor")


def service_cases(standing: Standing, combinations: Sequence[Combination]) -> tuple[Case, ...]:
    """Every different combination of what is there, and floor load in strips where it leads."""
    limited = {one.limited(standing.present).terms: one.limited(standing.present) for one in combinations}
    cases = [standing.case(one) for terms, one in limited.items() if terms]
    leading = next((one for terms, one in limited.items() if {case for _, case in terms} == {LoadCase.DEAD, LoadCase.LIVE}), None)
    if leading is not None:
        width = AISLE_IN_RADII * standing.body.relative_stiffness_m
        for words, strips in _strips(standing.body.region, width):
            cases.append(standing.case(leading, f", floor loaded in {words}", strips))
    return tuple(cases)


def curled(case: Case, standing: Standing) -> Case:
    """The same state on a floor that has dried."""
    return replace(case, name=f"{case.name}, dried", loads=(*case.loads, standing.curl()), curled=True)


def _strips(region: shapely.Polygon, width: float) -> Iterator[tuple[str, BaseGeometry]]:
    """Every other strip across the floor, both ways, and the strips between."""
    low_x, low_y, high_x, high_y = region.bounds
    for axis, words in ((0, "strips from south to north"), (1, "strips from west to east")):
        low, high = ((low_x, high_x), (low_y, high_y))[axis]
        if high - low < 2.0 * width:
            continue
        edges = np.arange(low, high, width)
        for phase in (0, 1):
            bands = [
                shapely.box(a, low_y, a + width, high_y) if axis == 0 else shapely.box(low_x, a, high_x, a + width) for a in edges[phase::2]
            ]
            yield words if phase == 0 else f"the {words} between", shapely.union_all(bands).intersection(region)
