"""Clashes that lie in what is drawn: air and finish, sheet and electrode, posts, pads, ties, ballast and falls against joints."""

import math

import shapely

from slabwright.geometry.foundation import Part, PartKind
from slabwright.model.concrete import Finish
from slabwright.model.ground import EmbedKind
from slabwright.model.loads import Post
from slabwright.model.steel import Zone
from slabwright.results.check import Ask
from slabwright.sources import Basis, Clause, arithmetic
from slabwright.standards import aci_302_1r, aci_318_19_durability, nfpa_70, site_acceptance
from slabwright.standards.aci_302_1r import ACI_302_1R
from slabwright.studies.clashes.clash import Clash, Ground, Option, Spot, centre, halfway, middle, names
from slabwright.studies.clashes.even_grid import even_grid
from slabwright.studies.joints.study import JointLine
from slabwright.units import FORCE, STANDARD_GRAVITY_M_S2, format_quantity

RING_CRACKS = Clause(ACI_302_1R, "columns are parted from the floor by isolation joints", Basis.QUOTED)
_FROST_CLASSES = ("F1", "F2", "F3", "XF2", "XF3", "XF4")
_CONCRETE_KG_M3 = 2400.0
_TOUCH_M = 0.01


def air_and_trowel(ground: Ground) -> Clash | None:
    """Frost asks for air, a steel trowel forbids it."""
    job = ground.job
    if job.mix is None:
        return None
    frost = next((one for one in job.mix.exposure if one in _FROST_CLASSES), "")
    airy = job.mix.air is not None and not site_acceptance.may_be_troweled(air=job.mix.air)
    if not frost and not (airy and job.floor.finish is Finish.TROWEL):
        return None
    wanted = job.mix.air
    if frost.startswith("F"):
        wanted = aci_318_19_durability.total_air(
            exposure_class=frost, aggregate_size_m=job.mix.aggregate_size_m, strength_pa=job.mix.strength_pa
        )
    asked = f"{100 * wanted:.1f} % air" if wanted else "entrained air"
    reason = f"frost class {frost} asks for {asked}" if frost else f"the mix carries {asked}"
    most = f"{100 * site_acceptance.TROWEL_AIR_MOST:.0f} %"
    return Clash(
        key="air_and_trowel",
        title="air for frost against a hard trowel",
        words=("air", "trowel"),
        why=f"{reason[0].upper()}{reason[1:]}; over {most} a steel trowel seals the surface early and it blisters.",
        spots=(middle(ground, "the floor"),),
        where="the whole floor",
        options=(
            Option(
                choice="keep the air, broom or float", then=f"{asked}, no steel trowel on {ground.area(ground.foundation.region.area)}."
            ),
            Option(choice="trowel, air left out", then=f"At most {most} air; the floor must be closed in before it first freezes wet."),
        ),
        drawn=f"{job.floor.finish.value} finish with {100 * (job.mix.air or 0):.1f} % air",
        ask=Ask.OWNER,
        clause=site_acceptance.TROWEL_AIR,
    )


def sheet_and_electrode(ground: Ground) -> Clash | None:
    """Steel over a sheet earths nothing."""
    job = ground.job
    rods = [one for one in job.embeds if one.kind is EmbedKind.ELECTRODE]
    if job.retarder is None or not (job.building.electrode or rods):
        return None
    need = nfpa_70.electrode_rule().length_m
    bare = sum(part.bottom.area for part in ground.foundation.parts if part.kind is PartKind.EDGE)
    spots = tuple(Spot(name=one.name, at=halfway(one.line)) for one in rods) or (middle(ground, "the edge"),)
    runs = f"The sheet runs under the edge: 0 of the {ground.length(need)} needed touches the earth."
    return Clash(
        key="sheet_and_electrode",
        title="sheet below the edge against the earth electrode",
        words=("sheet", "electrode"),
        why="A bar is an earth electrode only where its concrete lies on the earth itself; a sheet or a board between ends that.",
        spots=spots,
        where=names(spots),
        options=(
            Option(choice="stop the sheet at the edge", then=f"{ground.area(bare)} of edge bottom without sheet; damp may rise there."),
            Option(choice="sheet under the edge, another electrode", then=f"{runs} The electrician drives rods instead."),
        ),
        drawn="the sheet runs under the edge" if job.retarder.under_edge else "the sheet stops at the edge",
        ask=Ask.ELECTRICIAN,
        clause=nfpa_70.NO_CONTACT,
    )


def posts_and_one_pour(ground: Ground) -> Clash | None:
    """Posts are usually parted from a floor; here their pads are the floor."""
    bound = [post for post in ground.job.posts if not post.isolated and _pad_of(ground, post) is not None]
    if not bound:
        return None
    pads = [pad for post in bound if (pad := _pad_of(ground, post)) is not None]
    floor = ground.job.floor.thickness_m
    deepest = max(pad.depth_m for pad in pads)
    round_m = sum(2 * (post.base_x_m + post.base_y_m) + 8 * floor for post in bound)
    nearest = min(_to_joints(ground, post.at) for post in bound)
    spots = tuple(Spot(name=post.name, at=post.at) for post in bound)
    apart = f"the nearest joint stands {ground.length(nearest)} off" if math.isfinite(nearest) else "there are no joints"
    return Clash(
        key="posts_and_one_pour",
        title="isolated posts against one pour",
        words=("post", "pour"),
        why=f"A floor cast on pads {deepest / floor:.1f} times its depth hangs on them as it shrinks, and may crack in rings round posts.",
        spots=spots,
        where=names(spots),
        options=(
            Option(
                choice="one pour, steel round each pad",
                then=f"Tight cracks at {len(bound)} posts are accepted; {apart}. The floor and edge help hold posts down.",
            ),
            Option(
                choice="isolate the posts",
                then=f"{ground.run(round_m)} of full-depth filler round {len(bound)} posts; its pad alone then holds each down.",
            ),
        ),
        drawn="posts cast in with the floor",
        ask=Ask.ENGINEER,
        clause=RING_CRACKS,
    )


def joints_and_pads(ground: Ground) -> Clash | None:
    """A cut over a pad is no joint."""
    chosen, even = ground.joints.options[0], even_grid(ground.foundation, ground.job.joints)
    if not even.met:
        return None
    spots = tuple(Spot(name=part.name, at=centre(part)) for part in even.met)
    deepest = max(part.depth_m for part in even.met)
    depth = max((one.depth_m for one in ground.joints.joints), default=aci_302_1r.LEAST_CUT_M)
    return Clash(
        key="joints_and_pads",
        title="even joint grid against pads and posts",
        words=("joint", "pad"),
        why=f"A cut of {ground.length(depth)} is {100 * depth / deepest:.0f} % of the depth over a pad; below 25 % it does not open there.",
        spots=spots,
        where=names(spots),
        options=(
            Option(
                choice="lines between the pads",
                then=f"{ground.run(chosen.length_m)} of cut, {ground.run(chosen.lost_m)} of it lost; "
                f"longest side {ground.length(chosen.longest_side_m)}.",
            ),
            Option(
                choice="equal bays",
                then=f"{ground.run(even.length_m)} of cut, {ground.run(even.lost_m)} of it over {len(even.met)} pads or strips, "
                "where it is no joint and a crack goes its own way.",
            ),
        ),
        drawn="lines between the pads" if chosen.lost_m <= _TOUCH_M else f"{ground.run(chosen.lost_m)} of cut runs over pads or strips",
        ask=Ask.ENGINEER,
        clause=aci_302_1r.SAW_DEPTH,
    )


def ties_and_cuts(ground: Ground) -> Clash | None:
    """A saw that goes deep enough to work may reach a tie."""
    ties = [bars for bars in ground.job.bars if bars.zone is Zone.TIES]
    thrusting = [post for post in ground.job.posts if any(r.shear_x_n or r.shear_y_n for r in post.reactions.values())]
    if not ground.joints.joints or not ties or not thrusting:
        return None
    cover, depth = min(bars.cover_m for bars in ties), max(one.depth_m for one in ground.joints.joints)
    reach = max((bars.length_m or 0.0 for bars in ties), default=0.0)
    spots = tuple(Spot(name=post.name, at=post.at) for post in thrusting)
    met = [one.name for one in ground.joints.joints if any(_distance(one, post.at) < reach / 2 for post in thrusting)]
    thickness = ground.job.floor.thickness_m
    return Clash(
        key="ties_and_cuts",
        title="thrust ties against saw cuts",
        words=("tie", "cut"),
        why="The tie carries the thrust of a frame across the joints; the cut weakens just that plane and must not touch the bar.",
        spots=spots,
        where=f"{names(spots)}; lines {', '.join(met) or 'none in reach'}",
        options=(
            Option(
                choice="ties below the cut",
                then=f"Bars {ground.length(cover)} down, cut {ground.length(depth)}: {ground.length(max(cover - depth, 0.0))} between.",
            ),
            Option(
                choice="no line across the ties",
                then=f"{len(met)} lines move or stop; the panel there passes {ground.length(2 * reach or thickness)} uncut.",
            ),
        ),
        drawn=f"ties {ground.length(cover)} below the top, cuts {ground.length(depth)} deep",
        ask=Ask.ENGINEER,
        clause=arithmetic("cover of the ties less the depth of cut"),
    )


def ballast_and_joints(ground: Ground) -> Clash | None:
    """The first joint frees the floor that was to weigh a post down."""
    lifted = [post for post in ground.job.posts if _lifts(post) and not post.isolated]
    if not lifted or not ground.joints.joints:
        return None
    thickness = ground.job.floor.thickness_m
    reaches = {post.name: _to_joints(ground, post.at) for post in lifted}
    nearest = min(lifted, key=lambda post: reaches[post.name])
    reach = reaches[nearest.name]
    disc = shapely.Point(nearest.at).buffer(reach).intersection(ground.foundation.region).area
    weight = disc * thickness * _CONCRETE_KG_M3 * STANDARD_GRAVITY_M_S2
    spots = tuple(Spot(name=post.name, at=post.at) for post in lifted)
    return Clash(
        key="ballast_and_joints",
        title="uplift ballast against the first joint",
        words=("ballast", "joint"),
        why="Wind lifts these posts. Floor beyond the first cut hangs on nothing and cannot be counted as weight.",
        spots=spots,
        where=names(spots),
        options=(
            Option(
                choice="count no floor",
                then=f"Pad, skirt and edge alone hold each post{_used_alone(ground)}. Joints may lie where they serve the floor.",
            ),
            Option(
                choice="count floor as far as the first joint",
                then=f"At {nearest.name} that is {ground.length(reach)} and {format_quantity(weight, FORCE, ground.family, digits=2)}"
                f"{_used_with_floor(ground, nearest, weight)}. The line may never move nearer.",
            ),
        ),
        drawn="the uplift check counts no floor",
        ask=Ask.ENGINEER,
        clause=arithmetic("weight of floor between post and first joint"),
    )


def falls_and_base(ground: Ground) -> Clash | None:
    """A floor with falls over a level base is a wedge."""
    job = ground.job
    if not job.floor.falls:
        return None
    spots = tuple(Spot(name="low line" if len(fall.to) > 1 else "gully", at=halfway(fall.to)) for fall in job.floor.falls)
    drop = float(ground.foundation.drop_m([*_corners(ground), *(at for fall in job.floor.falls for at in fall.to)]).max())
    return Clash(
        key="falls_and_base",
        title="sloped floor against a level base",
        words=("floor", "base"),
        why="A level base is quick to grade and to check, but the floor above it is then thick where it is high and thin where it is low.",
        spots=spots,
        where=names(spots),
        options=(
            Option(choice="base graded parallel", then="One thickness everywhere; the base is shot on the same falls."),
            Option(
                choice="base left level",
                then=f"{ground.volume(ground.built.level_base_m3)} more concrete, a wedge of up to {ground.length(drop)}.",
            ),
        ),
        drawn="base graded parallel" if job.floor.base_parallel else "base level",
        ask=Ask.ENGINEER,
        clause=arithmetic("fall times run"),
    )


def _corners(ground: Ground) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(ground.foundation.region)]


def _pad_of(ground: Ground, post: Post) -> Part | None:
    at = shapely.Point(post.at)
    return next((one for one in ground.foundation.parts if one.kind is PartKind.PAD and one.bottom.intersects(at)), None)


def _distance(line: JointLine, at: tuple[float, float]) -> float:
    return float(shapely.LineString((line.start, line.end)).distance(shapely.Point(at)))


def _to_joints(ground: Ground, at: tuple[float, float]) -> float:
    return min((_distance(one, at) for one in ground.joints.joints), default=math.inf)


def _used_alone(ground: Ground) -> str:
    """The post whose pad, skirt and edge are used most as ballast, where the study of bearing weighed them."""
    lifted = {name: one for name, one in ground.bearing.uplift.items() if one.net_up_n > 0} if ground.bearing is not None else {}
    if not lifted:
        return ""
    name = max(lifted, key=lambda one: lifted[one].ratio)
    return f"; at {name}, the worst, they are {_used(lifted[name].ratio)} under {lifted[name].combination}"


def _used_with_floor(ground: Ground, post: Post, floor_n: float) -> str:
    """How much of a post's ballast is used with so much floor on it, and without."""
    one = ground.bearing.uplift.get(post.name) if ground.bearing is not None else None
    if one is None or one.net_up_n <= 0:
        return ""
    share = one.net_up_n / (one.net_up_n / one.ratio + one.dead_factor * floor_n)
    return f": its ballast is then {_used(share)} instead of {100 * one.ratio:.0f} %"


def _used(share: float) -> str:
    return f"{100 * share:.0f} % used" + (", too light," if share > 1 else "")


def _lifts(post: Post) -> bool:
    if post.tributary is not None and not post.reactions:
        return post.tributary.wind_uplift_pa > 0
    return any(reaction.down_n < 0 for reaction in post.reactions.values())
