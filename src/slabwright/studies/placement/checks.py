"""The day chosen against what is accepted of it."""

import math

from slabwright.model.job import Job
from slabwright.results.check import Check
from slabwright.results.notes import Notes
from slabwright.sources import arithmetic, practice
from slabwright.standards import astm_c94, placing_practice
from slabwright.studies.placement.choice import DARK_LIMIT, HOLE_LIMIT
from slabwright.studies.placement.clock import clock_text
from slabwright.studies.placement.day import EACH_RATE, SCATTER, SETBACK_H, Outcome, Supply
from slabwright.studies.placement.pour_day import PourDay
from slabwright.studies.placement.reach import CHUTE_REACH, Farthest
from slabwright.studies.pour_window.starts import StartHour

HELD_UP = (
    "The loads that were held up on the road: agree with the plant what becomes of them, or a longer limit with a retarder; a nearer plant."
)
FINISHABLE = practice("a floor is floated and trowelled between initial and final set, at the rate of the whole crew for all passes")
STATED_REACH = practice("a setting: plant.reach")


def check_day(best: Outcome, limit_h: float | None, day: PourDay, job: Job, notes: Notes) -> None:
    """Age of the edge and of loads, holes, hands and daylight."""
    supply, clock = day.supply, day.clock
    worst = int(best.knit_h.argmax()) if best.knit_h.size else 0
    notes.checks.append(
        Check(
            key="knit",
            name="Age of the edge when the floor covers it, one day in ten older",
            where=f"lane {worst + 1}",
            demand=float(best.knit_h.max()),
            capacity=best.knit_limit_h,
            suffix="h",
            clause=placing_practice.LIVE_SHARE,
            method=placing_practice.WAIT_TO_FLOAT,
            spread=0.2,
            remedy="Run the edge only one lane ahead of the floor, place faster, start in cooler hours, or order a retarder.",
        )
    )
    if limit_h is not None:
        notes.checks.append(
            Check(
                key="age",
                name="Age of the oldest load at its last chute, one day in ten older",
                where="at the chute",
                demand=best.oldest_h,
                capacity=limit_h,
                suffix="h",
                clause=astm_c94.TIME_LIMIT,
                method=arithmetic("simulated days"),
                spread=0.1,
                remedy=HELD_UP
                if _held_up(supply, limit_h)
                else "Fewer trucks in the loop, wider spacing, or a longer limit with a retarder.",
            )
        )
    if best.hole > 0:
        notes.checks.append(
            Check(
                key="hole",
                name="Days with a hole in the supply over half an hour",
                where="at the chute",
                demand=best.hole,
                capacity=HOLE_LIMIT,
                suffix="",
                clause=practice("one day in ten is accepted"),
                method=SCATTER,
                spread=0.2,
                remedy="One truck more, or a second plant on call.",
            )
        )
    if job.crew.n_people is not None:
        notes.checks.append(
            Check(
                key="hands",
                name="People to place at this rate",
                where="crew.people",
                demand=float(supply.n_hands),
                capacity=float(max(job.crew.n_people, 1)),
                suffix="",
                clause=EACH_RATE,
                remedy="More hands, or a slower rate with trucks farther apart.",
            )
        )
    if clock.light is not None:
        notes.checks.append(
            Check(
                key="dark",
                name="Days on which daylight ends before the last concrete is floated",
                where=f"first concrete at {clock_text(best.start_h)}, sunset at {clock_text(clock.light.last_h)}",
                demand=best.dark,
                capacity=DARK_LIMIT,
                suffix="",
                clause=practice("one day in ten is accepted"),
                method=placing_practice.WAIT_TO_FLOAT,
                spread=0.1,
                remedy="Start earlier, place faster, or have lamps and a second crew ready.",
            )
        )


def check_finishing(area_m2: float, start: StartHour | None, job: Job, notes: Notes) -> None:
    """Hours that finishing takes against those from the first float to the final set of the last concrete."""
    rate = job.crew.finishing_rate_m2_h
    if not rate or start is None or start.done_h <= start.float_h:
        return
    takes, there = area_m2 / rate, start.done_h - start.float_h
    now = job.crew.n_finishers
    wanted = f"{math.ceil(now * takes / there - 1e-9)} finishers in place of {now}" if now else "More finishers"
    notes.checks.append(
        Check(
            key="finishing", name="Hours to finish the floor, from its first float to the set of the last concrete", where="floor",
            demand=takes, capacity=there, suffix="h", clause=FINISHABLE, spread=0.2,
            remedy=f"{wanted}, a slower pour, or two pours with a joint between.",
        )
    )  # fmt: skip


def _held_up(supply: Supply, limit_h: float) -> bool:
    """Whether a load passes its limit by a hold-up on the road alone: in time without one, over it with the longest."""
    plain = supply.lead_h + supply.emptying_h
    return plain < limit_h < plain + SETBACK_H[1]


def check_reach(place: Farthest | None, job: Job, notes: Notes) -> None:
    """Every place of the floor within reach."""
    if place is None:
        return
    if job.plant.reach_m is None:
        notes.assume("plant.reach", f"{CHUTE_REACH.locator[0].upper()}{CHUTE_REACH.locator[1:]}.", CHUTE_REACH)
    stands = "any side" if not job.plant.sides else f"the {' and the '.join(job.plant.sides)}"
    notes.at_most(
        "reach", f"Farthest place of the floor from where the {job.plant.method.value} stands, on {stands}", f"lane {place.lane + 1}",
        found=place.distance_m, limit=place.reach_m, suffix="m", clause=CHUTE_REACH if job.plant.reach_m is None else STATED_REACH,
        remedy="A pump, a belt or buggies for what is not reached, or firm ground to stand on at another side.",
    )  # fmt: skip
