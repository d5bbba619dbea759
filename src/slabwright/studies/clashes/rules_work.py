"""Clashes that lie in how the work is done: order of placing, supports on the sheet, trades after the pour, curing, slump."""

import math

import shapely

from slabwright.geometry.foundation import PartKind
from slabwright.model.ground import Embed, EmbedKind
from slabwright.results.check import Ask
from slabwright.sources import practice
from slabwright.standards import astm_a1064, astm_e1745, curing_rules, placing_practice, site_acceptance
from slabwright.standards import mesh as wire_mesh
from slabwright.studies.clashes.clash import Clash, Ground, Option, Spot, centre, halfway, middle, names
from slabwright.studies.mix.stages import CONSISTENCE, SLUMP_PLAN
from slabwright.studies.placement.day import supply_of
from slabwright.studies.placement.lanes import lanes_in
from slabwright.units import FOOT_M, VOLUME, VOLUME_RATE, Family, format_quantity

SAW_REACH_M = 2 * FOOT_M
"""How near to a wall a walk-behind saw gets; common practice, no source. [m]"""
LIGHT_WIRE_W = 4.0
_ROOM_TEMP_C = 21.0
_DAY_H = 24.0


def ring_and_seam(ground: Ground) -> Clash | None:
    """The whole ring first is tidy, and on a large floor its first metres are set when the floor comes."""
    ring, floor, rate, limit = _times(ground)
    if ring <= 0 or ring + floor <= limit:
        return None
    low_x, low_y, high_x, high_y = ground.foundation.region.bounds
    long = max(high_x - low_x, high_y - low_y)
    lanes = lanes_in(long)
    live = 2 * (ring + floor) / lanes
    pace = format_quantity(rate, VOLUME_RATE, ground.family, digits=2)
    spots = _deep_spots(ground)
    return Clash(
        key="ring_and_seam",
        title="edge first against a live seam",
        words=("edge", "live"),
        why=f"Filling all edges and pads first, at {pace}, takes {ring:.1f} h; a lift can be knitted for about {limit:.1f} h.",
        spots=spots,
        where="edge and pads, all round",
        options=(
            Option(choice="edge one lane ahead of the floor", then=f"{lanes} lanes; the edge waits about {live:.1f} h at most."),
            Option(
                choice="whole edge first",
                then=f"Its oldest stretch waits {max(ring, floor):.1f} to {ring + floor:.1f} h: a cold joint unless retarded or keyed.",
            ),
        ),
        drawn="the order of placing is not in the job file",
        ask=Ask.ENGINEER,
        clause=placing_practice.LIVE_SHARE,
    )


def settle_and_live(ground: Ground) -> Clash | None:
    """Deep concrete must settle before the floor lies on it, and still be soft when it does."""
    ring, _, _, limit = _times(ground)
    if ring <= 0:
        return None
    deepest = max(part.depth_m for part in ground.foundation.parts)
    least = placing_practice.LEAST_KNIT_H
    return Clash(
        key="settle_and_live",
        title="edge that has settled against edge that is live",
        words=("settle", "live"),
        why=f"{ground.length(deepest)} of concrete settles beside {ground.length(ground.job.floor.thickness_m)}: it tears at the step.",
        spots=_deep_spots(ground),
        where="inner line of the edge, round pads and strips",
        options=(
            Option(choice="let it stand, then knit", then=f"Cover it {60 * least:.0f} min to {limit:.1f} h after it was placed."),
            Option(
                choice="place through, revibrate",
                then=f"Revibrate the step {site_acceptance.REVIBRATE_FROM_H:.0f} to {site_acceptance.REVIBRATE_TO_H:.1f} h after placing, "
                "while it takes the vibrator.",
            ),
        ),
        drawn="not in the job file",
        ask=Ask.ENGINEER,
        clause=site_acceptance.REVIBRATE,
    )


def sheet_and_stakes(ground: Ground) -> Clash | None:
    """Everything that stands on a sheet wants to go through it."""
    job = ground.job
    area = ground.foundation.region.area
    chair = job.mesh.chair_spacing_m if job.mesh is not None else None
    if job.retarder is None or (job.mesh is None and not job.bars):
        return None
    spacing = chair or site_acceptance.CITY_WIRE_M
    feet = math.ceil(area / spacing**2)
    return Clash(
        key="sheet_and_stakes",
        title="whole sheet against stakes and chairs",
        words=("sheet", "stake"),
        why="Screed stakes and bare chair legs pierce the sheet they stand on.",
        spots=(middle(ground, "the floor"),),
        where="the whole floor",
        options=(
            Option(
                choice="plates and cradles", then=f"About {feet} chairs with plates on the sheet, screed rails in cradles, 0 holes left."
            ),
            Option(
                choice="stakes, patched",
                then=f"Each hole is marked, and patched {ground.length(astm_e1745.LEAST_PATCH_M)} beyond it before placing.",
            ),
        ),
        drawn=f"chairs every {ground.length(spacing)}" if chair else "chair spacing not stated",
        ask=Ask.SUPPLIER,
        clause=site_acceptance.NO_STAKES,
    )


def frame_and_saw(ground: Ground) -> Clash | None:
    """Walls that stand early stop the saw; anchors drilled late wait three weeks."""
    job = ground.job
    met: dict[str, Spot] = {}
    for joint in ground.joints.joints:
        line = shapely.LineString((joint.start, joint.end))
        for wall in job.walls:
            if shapely.LineString(wall.line).distance(line) < SAW_REACH_M:
                at = shapely.Point(shapely.get_coordinates(shapely.shortest_line(line, shapely.LineString(wall.line)))[0])
                met.setdefault(f"{joint.name} at {wall.name}", Spot(name=f"{joint.name} at {wall.name}", at=(at.x, at.y)))
    posts = tuple(Spot(name=post.name, at=post.at) for post in job.posts)
    cast_in = bool(job.embeds) or any(post.anchor is not None for post in job.posts)
    if not met and (cast_in or not posts):
        return None
    short = len(met) * SAW_REACH_M
    days = site_acceptance.ADHESIVE_ANCHORS_H / _DAY_H
    return Clash(
        key="frame_and_saw",
        title="early frame against saw access and drilled anchors",
        words=("frame", "saw"),
        why="A saw cannot pass a wall that stands, and an adhesive anchor may not be set in young concrete.",
        spots=tuple(met.values()) or posts,
        where=names(tuple(met.values()) or posts),
        options=(
            Option(
                choice="saw first, anchors cast in",
                then=f"All {len(ground.joints.joints)} lines run full length; the frame waits for saw and strength only.",
            ),
            Option(
                choice="frame first",
                then=f"{len(met)} line ends stop short by {ground.length(SAW_REACH_M)} each, {ground.run(short)} in all; "
                f"anchors drilled later wait {days:.0f} days.",
            ),
        ),
        drawn="anchors cast in" if cast_in else "no cast-in anchors in the job file",
        ask=Ask.ENGINEER,
        clause=site_acceptance.ADHESIVE_ANCHORS,
    )


def wet_cure_and_curl(ground: Ground) -> Clash | None:
    """Water cures the top, runs down the joints onto the sheet and lifts the panel edges."""
    if ground.job.retarder is None:
        return None
    area = ground.foundation.region.area
    joints = sum(joint.length_m for joint in ground.joints.joints)
    unit = "gal" if ground.family is Family.US else "L"
    compound = format_quantity(curing_rules.curing_compound_m3(area_m2=area), VOLUME, ground.family, unit=unit, digits=2)
    days = curing_rules.curing_days(temp_c=_ROOM_TEMP_C)
    return Clash(
        key="wet_cure_and_curl",
        title="wet cure against curling over a sheet",
        words=("cur", "curl"),
        why=f"{ground.run(joints)} of open joints lead curing water onto the sheet: the underside stays wet, the top dries, panels curl.",
        spots=(middle(ground, "the floor"),),
        where="all joints over the sheet",
        options=(
            Option(choice="compound or sheet", then=f"{compound} of compound, or {ground.area(area)} of cover, as soon as nothing mars."),
            Option(choice="wet cure", then=f"{days:.0f} days of water kept out of the joints by covers taped over them."),
        ),
        drawn="not in the job file",
        ask=Ask.OWNER,
        clause=practice("do not flood joints over a sheet"),
    )


def slump_and_custom(ground: Ground) -> Clash | None:
    """One custom pours the edge stiffer than the floor, another the floor stiffer than the edge."""
    mix = ground.job.mix
    if mix is None or not _deep_spots(ground):
        return None
    says = ground.family.says
    european = ground.job.codes.minimums.value.startswith("European")
    stated = f"{ground.length(mix.slump_m)} throughout" if mix.slump_m is not None else "not stated: slump by stage"
    ring = ground.volume(ground.built.volumes.total_m3 - ground.built.volumes.of_kind_m3(PartKind.FLOOR))
    return Clash(
        key="slump_and_custom",
        title="slump by stage against local custom",
        words=("slump", "custom"),
        why="Stiff first lifts hold the slope and press the forms less; wet ones fill round steel. Customs differ, each with a reason.",
        spots=_deep_spots(ground),
        where="edge, pads, floor",
        options=(
            Option(
                choice="stiff edge, wetter floor",
                then=f"{says('Edge 3 to 4 in., floor 4 to 5 in.', 'Edge 75 to 100 mm, floor 100 to 125 mm')}; {ring} stiff.",
            ),
            Option(
                choice="wet edge, stiffer floor",
                then=f"{says('Edge 4 to 6 in., floor 2 to 3½ in.', 'Edge 100 to 150 mm (S3), floor 50 to 90 mm (S2)')}; "
                f"{ring} presses the forms in full.",
            ),
            Option(choice="one slump", then=f"{stated}: one mix on every ticket, nothing to mix up."),
        ),
        drawn=stated,
        ask=Ask.SUPPLIER,
        clause=CONSISTENCE if european else SLUMP_PLAN,
    )


def chairs_by_book(ground: Ground) -> Clash | None:
    """Three published spacings for the supports of one mesh."""
    mesh = ground.job.mesh
    if mesh is None or wire_mesh.mesh(style=mesh.style).wire_diameter_m >= astm_a1064.wire_diameter_m(w_number=LIGHT_WIRE_W) - 1e-9:
        return None
    area = ground.foundation.region.area
    tight, wide = (math.ceil(area / spacing**2) for spacing in (site_acceptance.LIGHT_WIRE_M, site_acceptance.CITY_WIRE_M))
    stated = ground.length(mesh.chair_spacing_m) if mesh.chair_spacing_m else "not stated"
    says = ground.family.says
    close, far = says("every 12 in.", "every 0.3 m"), says("every 3 ft", "every 0.9 m")
    return Clash(
        key="chairs_by_book",
        title="mesh supports: one rule against another",
        words=("mesh", "support"),
        why=f"One specification holds light wire {close}, a state code {far}, the trade {says('every 2 to 6 ft', 'every 0.6 to 1.8 m')}.",
        spots=(middle(ground, "the floor"),),
        where="all mesh",
        options=(
            Option(choice=close, then=f"About {tight} supports; wire stays where it is drawn under boots."),
            Option(choice=far, then=f"About {wide} supports; nobody walks on the mesh, and its height is shot before placing."),
        ),
        drawn=f"every {stated}" if mesh.chair_spacing_m else stated,
        ask=Ask.ENGINEER,
        clause=site_acceptance.LIGHT_WIRE,
    )


def rods_and_tolerance(ground: Ground) -> Clash | None:
    """Concrete and steel trades allow anchor rods different errors."""
    job = ground.job
    posts = [post for post in job.posts if post.anchor is not None]
    if not job.building.steel_frame or not posts:
        return None
    spots = tuple(Spot(name=post.name, at=post.at) for post in posts)
    group, between = ground.length(site_acceptance.ROD_GROUP_M), ground.length(site_acceptance.ROD_GROUPS_M)
    return Clash(
        key="rods_and_tolerance",
        title="anchor rods: concrete tolerance against steel tolerance",
        words=("rod", "tolerance"),
        why=f"The concrete trade's old limit is {ground.family.says('1 in.', '25 mm')} either way; holes of base plates take far less.",
        spots=spots,
        where=names(spots),
        options=(
            Option(
                choice="the steel limit in the contract",
                then=f"{group} within a group, {between} between groups: templates at {len(posts)} posts.",
            ),
            Option(choice="the concrete limit", then="Base plates are slotted and plate washers welded on site."),
        ),
        drawn="not in the job file",
        ask=Ask.ENGINEER,
        clause=site_acceptance.ROD_GROUP,
    )


def wet_set_and_fixed(ground: Ground) -> Clash | None:
    """Brackets pushed into fresh concrete against anchors fixed before the pour."""
    wet = [
        one for one in ground.job.embeds if one.wet_set and one.kind in (EmbedKind.ANCHOR_BOLT, EmbedKind.HOLD_DOWN, EmbedKind.POST_BASE)
    ]
    if not wet:
        return None
    spots = tuple(Spot(name=one.name, at=halfway(one.line)) for one in wet)
    deepest = max(one.embedment_m for one in wet)
    n_brackets = sum(_count(one) for one in wet)
    return Clash(
        key="wet_set_and_fixed",
        title="brackets set wet against brackets fixed before the pour",
        words=("bracket", "wet"),
        why=f"A bracket pushed {ground.length(deepest)} into fresh concrete leaves water and paste along it unless it is vibrated again.",
        spots=spots,
        where=names(spots),
        options=(
            Option(choice="fixed before the pour", then=f"{n_brackets} templates; the inspector sees place, depth and height first."),
            Option(
                choice="set wet",
                then=f"Only with the engineer's word: {n_brackets} set under strings, revibrated, and shot while they can move.",
            ),
        ),
        drawn="set wet",
        ask=Ask.ENGINEER,
        clause=practice("no wet-setting unless the engineer allows it"),
    )


def compound_and_covering(ground: Ground) -> Clash | None:
    """What cures a floor keeps glue off it."""
    if not ground.job.building.floor_covering:
        return None
    area = ground.area(ground.foundation.region.area)
    return Clash(
        key="compound_and_covering",
        title="curing compound against a glued covering",
        words=("compound", "covering"),
        why="A compound that cures well also parts glue from the floor.",
        spots=(middle(ground, "the floor"),),
        where="floor to be covered",
        options=(
            Option(choice="cure under sheet", then=f"{area} of cover, lapped and weighted, for 7 days; glue takes."),
            Option(
                choice="compound", then=f"{area} shot-blasted or ground before the covering, or a compound its maker accepts in writing."
            ),
        ),
        drawn="a covering is planned",
        ask=Ask.SUPPLIER,
        clause=practice("ask the maker of the covering"),
    )


def _times(ground: Ground) -> tuple[float, float, float, float]:
    """Hours that ring and floor take at the job's rate, that rate, and the age until which a lift can be knitted."""
    volumes = ground.built.volumes
    floor = volumes.of_kind_m3(PartKind.FLOOR)
    rate = supply_of(ground.job, volumes.total_m3).rate_m3_h
    temp = ground.job.mix.placing_temp_c if ground.job.mix is not None and ground.job.mix.placing_temp_c is not None else _ROOM_TEMP_C
    return (volumes.total_m3 - floor) / rate, floor / rate, rate, placing_practice.knit_limit_h(temp_c=max(temp, 5.0))


def _deep_spots(ground: Ground) -> tuple[Spot, ...]:
    return tuple(Spot(name=part.name, at=centre(part)) for part in ground.foundation.parts if part.kind is not PartKind.FLOOR)


def _count(embed: Embed) -> int:
    """Items of a row."""
    length = shapely.LineString(embed.line).length if len(embed.line) > 1 else 0.0
    return max(len(embed.line), math.ceil(length / embed.max_spacing_m - 1e-6) + 1 if embed.max_spacing_m else len(embed.line))
