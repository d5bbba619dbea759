"""Rules of services under a slab: what they may go through, wraps, clearances, falls, rims, tests."""

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.geometry.foundation import PartKind
from slabwright.model.ground import EmbedKind, PipeKind, Wrap
from slabwright.model.job import Job, MinimumRules
from slabwright.results.check import Ask
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import Clause, practice
from slabwright.standards import irc_plumbing, site_acceptance
from slabwright.studies.joints.ground import PIPE_CLEARANCE_M
from slabwright.studies.joints.study import JointLine
from slabwright.studies.under_slab.services import GRIPPED, Service, said
from slabwright.units import HOURS, INCH_M, PRESSURE, Family, format_quantity

GRIP = practice("a floor shortens by about 0.05 %; foam gives half its thickness, tape a quarter, a sleeve its gap")
CLEAR_OF_JOINTS = practice("2 in. (50 mm) between a riser and a joint")
CLEAR_OF_BOLTS = practice("3 in. (75 mm) between a riser and a bolt or bracket")
CLEAR_BETWEEN = practice("risers at least 4/3 of the largest stone apart, so that concrete closes round each")
RIM_FLUSH = practice("a drain's rim flush with the floor or up to 1/4 in. (6 mm) below, never above")
INSIDE = practice("services rise within the form line")
BOLT_CLEARANCE_M = 3 * INCH_M
SLEEVE_GAP_M = 0.5 * INCH_M
RIM_LOW_M, RIM_HIGH_M = 0.25 * INCH_M, INCH_M / 16
UNDER_CHANNEL_M = 4 * INCH_M
"""Concrete wanted below a channel; common practice, no source. [m]"""


def check_service(service: Service, job: Job, joints: Sequence[JointLine], notes: Notes) -> None:
    """Everything about one pipe."""
    pipe, name = service.pipe, service.pipe.name
    if service.outside_m > 0:
        notes.at_most(
            f"{name}.outside", "Riser outside the form line", name, found=service.outside_m, limit=1e-3, suffix="m", clause=INSIDE,
            remedy="Move it inside the outline, or mark it as no riser.",
        )  # fmt: skip
        return
    _through(service, notes)
    if pipe.kind in GRIPPED and pipe.riser:
        notes.at_least(
            f"{name}.wrap", "Give of the wrap against shrinkage of the floor", name, required=service.moves_m, provided=service.gives_m,
            suffix="m", clause=GRIP, remedy="Wrap it in foam, thicker; concrete that grips a pipe cracks or shears it.",
        )  # fmt: skip
    _clear(service, job, joints, notes)
    _fall(service, job, notes)
    if service.is_drain:
        _rim(service, job, notes)


def _through(service: Service, notes: Notes) -> None:
    pipe = service.pipe
    for part in service.beside:
        if part.kind is PartKind.PAD:
            notes.ask(Ask.ENGINEER, f"{pipe.name} comes up through the sloped side of pad {part.name}: accepted?", pipe.name)
    for part in service.through:
        where = f"{pipe.name}, {part.name}"
        if part.kind is PartKind.PAD:
            notes.ask(
                Ask.ENGINEER, f"{pipe.name} meets pad {part.name}. May it, and with which bars round it?", where,
                site_acceptance.NO_PIPE_IN_FOOTING,
            )  # fmt: skip
        elif pipe.depth_m is not None and pipe.depth_m > part.depth_m:
            notes.ask(Ask.ENGINEER, f"{pipe.name} passes below {part.name}: is the ground there to be replaced with lean concrete?", where)
        else:
            gap = pipe.wrap_thickness_m if pipe.wrap in (Wrap.SLEEVE, Wrap.FOAM) else 0.0
            notes.at_least(
                f"{pipe.name}.{part.name}.sleeve", f"Gap round the pipe through the {part.kind.value}", where, required=SLEEVE_GAP_M,
                provided=gap, suffix="m", clause=irc_plumbing.SLEEVE, remedy="Put it in a sleeve two sizes larger, clear of the bars.",
            )  # fmt: skip


def _clear(service: Service, job: Job, joints: Sequence[JointLine], notes: Notes) -> None:
    pipe, point = service.pipe, shapely.Point(service.at)
    if pipe.riser and not service.is_drain:
        for joint in joints:
            gap = shapely.LineString((joint.start, joint.end)).distance(point) - service.half_m
            if gap < 4 * PIPE_CLEARANCE_M:
                _apart(
                    f"{pipe.name}.{joint.name}", f"Clear of joint {joint.name}", pipe.name, PIPE_CLEARANCE_M, gap, CLEAR_OF_JOINTS, notes
                )
        for embed in job.embeds:
            if embed.kind in (EmbedKind.SLEEVE, EmbedKind.ELECTRODE):
                continue
            bolts: BaseGeometry = shapely.LineString(embed.line) if len(embed.line) > 1 else shapely.Point(embed.line[0])
            gap = bolts.distance(point) - service.half_m - 0.5 * embed.diameter_m
            if gap < 4 * BOLT_CLEARANCE_M:
                _apart(f"{pipe.name}.{embed.name}", f"Clear of {embed.name}", pipe.name, BOLT_CLEARANCE_M, gap, CLEAR_OF_BOLTS, notes)
    if len(pipe.run) > 1 and pipe.depth_m is not None and pipe.depth_m < job.floor.thickness_m:
        _in_the_floor(service, job, joints, notes)


def _in_the_floor(service: Service, job: Job, joints: Sequence[JointLine], notes: Notes) -> None:
    """A pipe that lies inside the slab."""
    pipe, thickness = service.pipe, job.floor.thickness_m
    notes.at_most(
        f"{pipe.name}.inside", "Pipe lying in the floor against a third of its thickness", pipe.name, found=pipe.diameter_m,
        limit=site_acceptance.EMBEDDED_PIPE_SHARE * thickness, suffix="m", clause=site_acceptance.EMBEDDED_PIPE,
        remedy="Lay it below the floor, or put a joint over it.",
    )  # fmt: skip
    run = shapely.LineString(pipe.run)
    for joint in joints:
        if run.crosses(shapely.LineString((joint.start, joint.end))) and pipe.depth_m:
            notes.at_most(
                f"{pipe.name}.{joint.name}.cut", f"Cut {joint.name} over the pipe", pipe.name, found=joint.depth_m, limit=pipe.depth_m,
                suffix="m", clause=CLEAR_OF_JOINTS, remedy="Lay it deeper: the saw must not reach it.",
            )  # fmt: skip


def _apart(key: str, name: str, where: str, required_m: float, gap_m: float, clause: Clause, notes: Notes) -> None:
    notes.at_least(key, name, where, required=required_m, provided=gap_m, suffix="m", clause=clause, remedy="Move one of the two.")


def check_between(services: Sequence[Service], job: Job, notes: Notes) -> None:
    """Risers that stand close together."""
    stone = job.mix.aggregate_size_m if job.mix is not None else 0.75 * INCH_M
    risers = [one for one in services if one.pipe.riser and not one.is_drain]
    for place, one in enumerate(risers):
        for other in risers[place + 1 :]:
            gap = shapely.Point(one.at).distance(shapely.Point(other.at)) - one.half_m - other.half_m
            if gap < 8 * stone:
                where = f"{one.pipe.name}, {other.pipe.name}"
                _apart(f"{one.pipe.name}.{other.pipe.name}.gap", "Room between risers", where, 4 / 3 * stone, gap, CLEAR_BETWEEN, notes)


def _fall(service: Service, job: Job, notes: Notes) -> None:
    pipe = service.pipe
    if pipe.kind is not PipeKind.WASTE or len(pipe.run) < 2:
        return
    if pipe.fall is None:
        notes.ask(Ask.BUILDING_DEPARTMENT, f"{pipe.name} states no fall: which is asked for?", pipe.name, irc_plumbing.DRAIN_FALL)
        return
    if job.codes.minimums is MinimumRules.US_CODES:
        notes.at_least(
            f"{pipe.name}.fall", "Fall of the drain", pipe.name, required=irc_plumbing.drain_fall(diameter_m=pipe.diameter_m),
            provided=pipe.fall, suffix="", clause=irc_plumbing.DRAIN_FALL, remedy="Lay it steeper.",
        )  # fmt: skip


def _rim(service: Service, job: Job, notes: Notes) -> None:
    pipe, family = service.pipe, job.family
    rim = pipe.rim_m or 0.0
    if pipe.rim_m is None:
        notes.assume(f"pipes.{pipe.name}.rim", "The rim is flush with the floor at that point.", RIM_FLUSH)
    notes.at_most(
        f"{pipe.name}.rim", "Rim above the floor there" if rim > 0 else "Rim below the floor there", pipe.name, found=abs(rim),
        limit=RIM_HIGH_M if rim > 0 else RIM_LOW_M, suffix="m", clause=RIM_FLUSH, remedy="Set the rim to the floor at that very point.",
    )  # fmt: skip
    if pipe.kind is PipeKind.CHANNEL:
        left = service.gripped_m - pipe.diameter_m if service.gripped_m else job.floor.thickness_m - pipe.diameter_m
        if left < UNDER_CHANNEL_M:
            depth, rest = (said(value, family) for value in (pipe.diameter_m, max(left, 0.0)))
            notes.ask(
                Ask.ENGINEER, f"{pipe.name} is {depth} deep and leaves {rest} of floor below it: how much is the floor thickened along it?",
                pipe.name, practice("concrete below and beside a channel as thick as the floor"),
            )  # fmt: skip
    elif service.rim_below_m is not None and service.rim_below_m + rim < 1e-4 and not _falls_to(service, job):
        notes.ask(Ask.OWNER, f"The floor is level at {pipe.name}: shall it fall to it, how steeply and from where?", pipe.name)


def _falls_to(service: Service, job: Job) -> bool:
    return any(shapely.Point(service.at).distance(shapely.MultiPoint(fall.to)) < 0.3 for fall in job.floor.falls)


def test_of(kind: PipeKind, family: Family, european: bool) -> tuple[str, Clause] | None:
    """How a pipe is proved before it is covered, with its numbers; None where nothing is proved."""

    def told(pressure_pa: float) -> str:
        return format_quantity(pressure_pa, PRESSURE, family, unit="psi" if family is Family.US else "kPa", digits=2)

    stand = format_quantity(irc_plumbing.TEST_H, HOURS, family, unit="min")
    if kind is PipeKind.WASTE or kind is PipeKind.DRAIN:
        test = irc_plumbing.drain_test()
        head = said(test.head_m, family)
        also = "; ask which national test applies" if european else ""
        return f"{head} of water, or {told(test.air_pa)} of air, {stand}, uncovered, no loss{also}", irc_plumbing.DRAIN_TEST
    if kind is PipeKind.WATER:
        return f"working pressure, or {told(irc_plumbing.WATER_AIR_PA)} of air, {stand}", irc_plumbing.WATER_TEST
    if kind is PipeKind.GAS:
        time = format_quantity(irc_plumbing.GAS_TEST_H, HOURS, family, unit="min")
        return f"1.5 times working pressure, at least {told(irc_plumbing.GAS_AIR_PA)}, {time}", irc_plumbing.GAS_TEST
    return None


def test_tasks(services: Sequence[Service], job: Job, notes: Notes) -> None:
    """One task for each way of testing."""
    european = job.codes.minimums is MinimumRules.EUROPEAN
    by_test: dict[str, list[str]] = {}
    for service in services:
        proved = test_of(service.pipe.kind, job.family, european)
        if proved is not None:
            by_test.setdefault(proved[0], []).append(service.pipe.name)
    for what, names in by_test.items():
        notes.tasks.append(Task(what=f"test: {what}; photo of gauge and clock", who="plumber", when="before cover", where=", ".join(names)))
