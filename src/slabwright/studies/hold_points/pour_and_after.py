"""Hold points from the go to the accepted floor."""

from slabwright.model.concrete import Finish
from slabwright.sources import arithmetic, practice
from slabwright.standards import (
    aci_117_10,
    aci_302_1r,
    aci_318_19_acceptance,
    aci_318_19_durability,
    astm_c94,
    cold_weather,
    curing_rules,
    hot_weather,
    irc,
    osha_1926,
    placing_practice,
    site_acceptance,
)
from slabwright.studies.hold_points.facts import Facts, few
from slabwright.studies.hold_points.points import HoldItem, HoldPoint, Sense
from slabwright.units import FOOT_M

KNIT_TEMP_C = 21.0
FIRST_FALL_M = 10 * FOOT_M


def go(facts: Facts) -> HoldPoint:
    """The last word before the plant is called."""
    thin = facts.job.floor.thickness_m
    items = [
        HoldItem(
            key="evaporation", look_at="evaporation, hour by hour; measures ready from here", where="floor", sense=Sense.AT_MOST,
            value=hot_weather.HOT_EVAPORATION_KG_M2_H, suffix="kg_m2_h", clause=hot_weather.HOT_WEATHER, instrument="forecast, wind meter",
        ),
        HoldItem(
            key="cold", look_at="concrete as placed and held", where="floor", sense=Sense.AT_LEAST,
            value=cold_weather.coldest_concrete_c(least_dimension_m=thin), suffix="c", clause=cold_weather.LEAST_TEMP,
            instrument="thermometer",
        ),
        HoldItem(
            key="hot", look_at="concrete at discharge", where="floor", sense=Sense.AT_MOST, value=hot_weather.HOTTEST_CONCRETE_C,
            suffix="c", clause=hot_weather.HOTTEST, instrument="thermometer",
        ),
        HoldItem(
            key="frozen", look_at="base unfrozen, no standing water", where="base, trenches, pads", clause=site_acceptance.FOOTING_VIEW,
            photo="base",
        ),
        HoldItem(
            key="covers", look_at="covers for the day's area on site, battens, lights", where="site",
            clause=practice("rain covers on site even on a fair day"),
        ),
        HoldItem(
            key="reshot", look_at="form tops moved since last evening", where=facts.ring, sense=Sense.AT_MOST,
            value=facts.job.tolerances.form_settlement_m, suffix="m", clause=practice("a setting: tolerances.form_settlement"),
            instrument="laser",
        ),
        HoldItem(
            key="wires", look_at="boom kept from power lines; spotter named inside", where="pump", sense=Sense.AT_LEAST,
            value=osha_1926.LINE_CLEARANCE_M, suffix="m", clause=osha_1926.POWER_LINES,
        ),
    ]  # fmt: skip
    return HoldPoint(key="go", title="Go or no go", before="calling the plant", signs="crew lead", items=tuple(items))


def load(facts: Facts) -> HoldPoint:
    """Each truck, before its chute comes down."""
    job = facts.job
    mix = job.mix
    assert mix is not None  # the study of the mix waits without one
    items = [
        HoldItem(
            key=f"slump.{stage.name}", look_at=f"slump for {stage.name if stage.name != 'all' else 'everything'}", where="chute",
            sense=Sense.BETWEEN, value=stage.low_m, high=stage.high_m, suffix="m", clause=stage.clause, instrument="slump cone",
            photo="ticket",
        )
        for stage in facts.mix.stages
    ]  # fmt: skip
    limit = mix.time_limit_s / 3600 if mix.time_limit_s is not None else None
    items.append(
        HoldItem(
            key="time", look_at="batching to the last chute" if limit else "time limit agreed and on the ticket", where="ticket",
            sense=Sense.AT_MOST if limit else Sense.SEEN, value=limit, suffix="h", clause=astm_c94.TIME_LIMIT, instrument="clock",
        )
    )  # fmt: skip
    if facts.mix.water is not None:
        items.append(
            HoldItem(
                key="water", look_at="water added to a full load, before discharge, with a name", where="ticket", sense=Sense.AT_MOST,
                value=facts.mix.water.water_m3, suffix="m3", clause=astm_c94.WATER_CEMENT, instrument="meter",
            )
        )  # fmt: skip
    if mix.air is not None:
        airy = mix.air > site_acceptance.TROWEL_AIR_MOST
        spread = aci_318_19_durability.AIR_TOLERANCE
        items.append(
            HoldItem(
                key="air", look_at="air, per cent", where="chute", sense=Sense.BETWEEN if airy else Sense.AT_MOST,
                value=100 * (mix.air - spread) if airy else 100 * site_acceptance.TROWEL_AIR_MOST,
                high=100 * (mix.air + spread) if airy else None,
                clause=aci_318_19_durability.AIR_CONTENT if airy else site_acceptance.TROWEL_AIR, instrument="air meter",
            )
        )  # fmt: skip
    items += [
        HoldItem(
            key="samples", look_at="strength samples of the day, and a set cured on site", where="middle of a load", sense=Sense.AT_LEAST,
            value=float(facts.mix.n_samples), clause=aci_318_19_acceptance.FREQUENCY, instrument="cylinder moulds", photo="labels",
        ),
        HoldItem(
            key="portions", look_at="portions of one sample within", where="chute", sense=Sense.AT_MOST,
            value=site_acceptance.SAMPLE_TIME_H, suffix="h", clause=site_acceptance.SAMPLE_TIME, instrument="clock",
        ),
    ]  # fmt: skip
    return HoldPoint(key="load", title="Each load", before="discharge", signs="crew lead", items=tuple(items), repeats="each load")


def lane(facts: Facts) -> HoldPoint:
    """Each lane while it is placed and until it is floated."""
    job = facts.job
    temp = job.mix.placing_temp_c if job.mix is not None and job.mix.placing_temp_c is not None else KNIT_TEMP_C
    items = [
        HoldItem(
            key="probe", look_at="depth, probed once to", where="lane", sense=Sense.AT_MOST, value=site_acceptance.DEPTH_PROBE_M2,
            suffix="m2", clause=site_acceptance.DEPTH_PROBE, instrument="marked rod",
        ),
        HoldItem(
            key="depth", look_at="thinner than drawn there", where="lane", sense=Sense.AT_MOST,
            value=job.tolerances.thickness_minus_mean_m, suffix="m", clause=aci_117_10.SLAB_THICKNESS,
            instrument="marked rod",
        ),
        HoldItem(
            key="tell_tale", look_at="form moved on the tell-tale string: slow down, brace", where=facts.ring, sense=Sense.AT_MOST,
            value=job.tolerances.form_settlement_m, suffix="m", clause=site_acceptance.FORM_TOPS, instrument="string and gauge block",
        ),
        HoldItem(
            key="boot", look_at="boot mark, and no sheen, before the float", where="lane", sense=Sense.BETWEEN,
            value=site_acceptance.BOOT_LOW_M, high=site_acceptance.BOOT_HIGH_M, suffix="m", clause=site_acceptance.READINESS,
            instrument="boot",
        ),
    ]  # fmt: skip
    if any(part.depth_m > job.floor.thickness_m + 1e-9 for part in facts.foundation.parts):
        items += [
            HoldItem(
                key="knit", look_at="age of the edge when the floor covers it", where="edge and pads beside the lane", sense=Sense.BETWEEN,
                value=placing_practice.LEAST_KNIT_H, high=placing_practice.knit_limit_h(temp_c=max(temp, 5.0)), suffix="h",
                clause=placing_practice.LIVE_SHARE, instrument="clock",
            ),
            HoldItem(
                key="revibrate", look_at="revibrate steps of depth, hours after placing", where="inner line of the edge, pads, strips",
                sense=Sense.BETWEEN, value=site_acceptance.REVIBRATE_FROM_H, high=site_acceptance.REVIBRATE_TO_H, suffix="h",
                clause=site_acceptance.REVIBRATE, instrument="clock, vibrator",
            ),
        ]  # fmt: skip
    if job.floor.finish is Finish.TROWEL:
        items.append(
            HoldItem(
                key="trowel_air", look_at="air of the load, per cent, before a steel trowel", where="lane", sense=Sense.AT_MOST,
                value=100 * site_acceptance.TROWEL_AIR_MOST, clause=site_acceptance.TROWEL_AIR, instrument="air meter reading",
            )
        )  # fmt: skip
    return HoldPoint(key="lane", title="Each lane", before="floating", signs="lead finisher", items=tuple(items), repeats="each lane")


def trial_cut(facts: Facts) -> HoldPoint | None:
    """The first cut tells whether the saw may go on."""
    lines = facts.joints.joints
    if not lines:
        return None
    depths = sorted({line.depth_m for line in lines}, reverse=True)
    items = (
        HoldItem(
            key="ravel", look_at="no stone torn out, edges sharp", where=f"first lane, line {lines[0].name}", clause=aci_302_1r.SAW_DEPTH,
            instrument="eye, nail scratch", photo="cut with rule",
        ),
        *(
            HoldItem(
                key="cut_depth" if depth == depths[0] else f"cut_depth_{number}", look_at="depth of cut",
                where=few([line.name for line in lines if line.depth_m == depth]), sense=Sense.AT_LEAST, value=depth,
                suffix="m", clause=aci_302_1r.SAW_DEPTH, instrument="depth gauge",
            )
            for number, depth in enumerate(depths, start=1)
        ),
        HoldItem(
            key="cut_place", look_at="line against the plan", where=few([line.name for line in lines]), sense=Sense.WITHIN,
            value=site_acceptance.SAW_POSITION_M, suffix="m", clause=site_acceptance.SAW_POSITION, instrument="tape, chalk line",
        ),
        HoldItem(
            key="saws", look_at="lines cut, middle of the longest side first, water on", where=f"{lines[0].name} to {lines[-1].name}",
            sense=Sense.DRAWN, value=float(len(lines)), clause=osha_1926.SILICA, instrument="cut log",
        ),
    )  # fmt: skip
    return HoldPoint(key="trial_cut", title="Trial cut", before="the other lines", signs="saw operator", items=items)


def strip(facts: Facts) -> HoldPoint:
    """Forms off, faces seen, ground put back."""
    fall, says = irc.outside_fall_m(distance_m=FIRST_FALL_M), facts.job.family.says
    warm, near = says("50 °F", "10 °C"), says("10 ft", "3 m")
    items = (
        HoldItem(
            key="strip_age", look_at=f"age before edge forms come off, at {warm} or more", where=facts.ring, sense=Sense.AT_LEAST,
            value=curing_rules.FOOT_TRAFFIC_H, suffix="h", clause=curing_rules.SIDE_FORMS, instrument="cure log",
        ),
        HoldItem(
            key="faces", look_at="faces: no honeycomb, no cold joint", where=facts.ring,
            clause=practice("faces are seen before they are covered"), instrument="hammer", photo="each side",
        ),
        HoldItem(
            key="as_built", look_at="corners, diagonals and bolts shot again", where="corners, bolts", sense=Sense.AT_MOST,
            value=facts.job.tolerances.square_m, suffix="m", clause=practice("as-built before the frame comes"),
            instrument="total station",
        ),
        HoldItem(
            key="fall", look_at=f"ground falls in the first {near}", where="all round", sense=Sense.AT_LEAST, value=fall, suffix="m",
            clause=irc.SITE_DRAINAGE, instrument="level", photo="each side",
        ),
    )  # fmt: skip
    return HoldPoint(
        key="strip", title="Strip and backfill", before="backfill", signs="building inspector where asked, else builder", items=items
    )


def frame_release(facts: Facts) -> HoldPoint | None:
    """People, loads and frame on the slab."""
    job = facts.job
    if job.mix is None or not (job.posts or job.walls):
        return None
    bolts = few([post.name for post in job.posts] or [wall.name for wall in job.walls])
    items = [
        HoldItem(
            key="strength", look_at="strength of cylinders cured on site, before frame and lifts", where=bolts, sense=Sense.AT_LEAST,
            value=osha_1926.ERECTION_SHARE * job.mix.strength_pa, suffix="pa", clause=osha_1926.ERECTION,
            instrument="field-cured cylinders", photo="break report",
        ),
        HoldItem(
            key="survey", look_at="bolt survey handed over: place, height, plumb", where=bolts,
            clause=practice("bolt survey before the frame comes"), instrument="total station",
        ),
        HoldItem(
            key="feet", look_at="age before feet go on", where="floor", sense=Sense.AT_LEAST, value=curing_rules.FOOT_TRAFFIC_H, suffix="h",
            clause=curing_rules.LOADING, instrument="clock",
        ),
    ]  # fmt: skip
    return HoldPoint(
        key="frame_release",
        title="Frame release",
        before="standing the frame",
        signs="builder, in writing to the frame crew",
        items=tuple(items),
    )


def acceptance(facts: Facts) -> HoldPoint:
    """The floor is handed over."""
    job = facts.job
    items = [
        HoldItem(
            key="mean", look_at="mean thickness below the drawn", where="floor", sense=Sense.AT_MOST,
            value=job.tolerances.thickness_minus_mean_m, suffix="m", clause=aci_117_10.SLAB_THICKNESS,
            instrument="base and top survey",
        ),
        HoldItem(
            key="single", look_at="any single thickness below the drawn", where="floor", sense=Sense.AT_MOST,
            value=job.tolerances.thickness_minus_single_m, suffix="m", clause=aci_117_10.SLAB_THICKNESS,
            instrument="base and top survey",
        ),
        HoldItem(
            key="top", look_at="top of the floor against its level", where="floor", sense=Sense.WITHIN, value=job.tolerances.level_m,
            suffix="m", clause=aci_117_10.SLAB_ELEVATION, instrument="level",
        ),
        HoldItem(
            key="crack_width", look_at="width of a crack", where="crack map", sense=Sense.AT_MOST, value=site_acceptance.CRACK_WIDTH_M,
            suffix="m", clause=site_acceptance.CRACKS, instrument="crack card", photo="crack with card",
        ),
        HoldItem(
            key="crack_step", look_at="step across a crack", where="crack map", sense=Sense.AT_MOST, value=site_acceptance.CRACK_STEP_M,
            suffix="m", clause=site_acceptance.CRACKS, instrument="straightedge",
        ),
    ]  # fmt: skip
    if job.mix is not None:
        least = aci_318_19_acceptance.strength_acceptance(strength_pa=job.mix.strength_pa, tests_pa=(job.mix.strength_pa,))
        items += [
            HoldItem(
                key="three", look_at="mean of any three strength tests", where="cylinders", sense=Sense.AT_LEAST,
                value=job.mix.strength_pa, suffix="pa", clause=aci_318_19_acceptance.ACCEPTANCE, instrument="test reports",
            ),
            HoldItem(
                key="one", look_at="any one strength test", where="cylinders", sense=Sense.AT_LEAST, value=least.least_single_allowed_pa,
                suffix="pa", clause=aci_318_19_acceptance.ACCEPTANCE, instrument="test reports",
            ),
        ]  # fmt: skip
    items.append(
        HoldItem(
            key="owner",
            look_at="owner has the sheet on cracks, curl, colour, first winter",
            where="handover",
            clause=arithmetic("one of the papers of this job"),
        )
    )
    return HoldPoint(key="acceptance", title="Floor acceptance", before="last payment", signs="owner", items=tuple(items))
