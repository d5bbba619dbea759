"""The study of joints: lines, depth, order, what they lose, and how hard each panel pulls."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from slabwright.errors import Infeasible, MissingInput
from slabwright.geometry.foundation import Part, PartKind
from slabwright.model.job import Job
from slabwright.model.supply import JointKind
from slabwright.results.check import Ask, Check
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.solvers.partition import Cut
from slabwright.sources import practice
from slabwright.standards import aci_302_1r, aci_318_19, dowels
from slabwright.studies import shape
from slabwright.studies.joints.bill import depth_words, quantities
from slabwright.studies.joints.depth import line_depth_m, works_to_m
from slabwright.studies.joints.drying import AIR_OVER_FLOORS, Drying
from slabwright.studies.joints.ground import CLEARANCE_M, JointGround
from slabwright.studies.joints.isolation import Box, boxes, parted_pads, say_isolated
from slabwright.studies.joints.layout import is_rectilinear, propose
from slabwright.studies.joints.options import Option, options
from slabwright.studies.joints.order import Turn, saw_order, saw_order_by_halves, saw_turns
from slabwright.studies.joints.present import present, proof_words
from slabwright.studies.joints.restraint import Restraint, restraint
from slabwright.studies.joints.shapes import ask_yielding, check_shapes
from slabwright.studies.joints.spaced import apart_words, check_spacing
from slabwright.studies.joints.spacing import USUAL_STRENGTH_PA, Spacing
from slabwright.studies.joints.stops import LONGEST_DAY_H, stopping_lines
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import LENGTH, Family, format_place, format_quantity

SAW_SPEED_M_H = 45.0
"""One walk-behind saw, wet, in green concrete, lines set out beforehand: about 150 ft an hour; common practice, no source."""
_FAR_M = 1.5
"""Further than this nobody moves a pad or strip for the sake of a line; a choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLine:
    """One line as the saw operator reads it.

    Attributes
    ----------
    name : str
        ``J1`` is sawn first.
    start, end : tuple
        [m]
    kind : JointKind
    depth_m, lost_m, opening_m : float
        Depth of cut; length over pads and strips, where it is no joint; expected opening. [m]
    breaks : tuple of (point, point)
        Where it is interrupted by the isolation joint round a post, from its start on. [m]
    """

    name: str
    start: tuple[float, float]
    end: tuple[float, float]
    kind: JointKind
    depth_m: float
    lost_m: float
    opening_m: float
    breaks: tuple[tuple[tuple[float, float], tuple[float, float]], ...] = ()

    @property
    def length_m(self) -> float:
        """Length of cut. [m]"""
        return Cut(self.start, self.end, breaks=self.breaks).length

    @property
    def stretches(self) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
        """What is cut, from its start on. [m]"""
        return Cut(self.start, self.end, breaks=self.breaks).stretches


@dataclass(frozen=True, slots=True, kw_only=True)
class JointsResult(Result):
    """Lines in the order of sawing and what they leave.

    Attributes
    ----------
    joints : tuple of JointLine
    options : tuple of Option
        The chosen layout first.
    restraint : Restraint
        In-plane stress with the lines cut.
    panel_index : tuple of float
        Largest tension over strength in each panel of the chosen layout.
    turns : tuple of Turn
        Which saw takes each line, from which end.
    sawing_h : float
        From first to last cut. [h]
    spacing : Spacing
        How far apart joints may stand, and by which rule.
    isolated : tuple of Box
        Isolation joints round posts that the job parts from the floor.
    """

    joints: tuple[JointLine, ...]
    options: tuple[Option, ...]
    restraint: Restraint
    panel_index: tuple[float, ...]
    turns: tuple[Turn, ...]
    sawing_h: float
    spacing: Spacing
    isolated: tuple[Box, ...]


def run(inputs: Inputs, done: Done) -> JointsResult:
    """Lay out the joints of the floor."""
    job = inputs.job
    foundation = done[shape.STUDY].foundation
    ground = JointGround.of(job, foundation)
    try:
        best = propose(ground)
    except Infeasible as none:
        raise MissingInput(f"no joint layout fits this floor: {none} Widen the spacing in [joints], or unpin a line.") from none
    choices = options(ground, best)
    cuts = best.layout.cuts
    posts = boxes(ground.posts, cuts, ground.region)
    parted = parted_pads(job, foundation)
    stops = stopping_lines(job, foundation, cuts, done[shape.STUDY].volumes.total_m3)
    depths = tuple(line_depth_m(job, ground, cut) for cut in cuts)
    reaches = [math.inf if i in stops else works_to_m(job, depth) for i, depth in enumerate(depths)]
    strength = job.mix.strength_pa if job.mix is not None else USUAL_STRENGTH_PA
    drying = Drying.of(job)
    pull = restraint(foundation, cuts, reaches, strength, drying=drying, friction=ground.spacing.friction, **_open(posts, parted))
    square = is_rectilinear(ground.region)
    order = saw_order(cuts, foundation.region.bounds) if square else saw_order_by_halves(ground.region, cuts)
    lines = tuple(
        JointLine(
            name=f"J{number}",
            start=cuts[i].start,
            end=cuts[i].end,
            kind=JointKind.CONSTRUCTION if i in stops else job.joints.kind,
            depth_m=depths[i],
            lost_m=cuts[i].lost,
            opening_m=pull.opening_m[i],
            breaks=cuts[i].breaks,
        )
        for number, i in enumerate(order, start=1)
    )
    speed = job.crew.saw_speed_m_h or SAW_SPEED_M_H
    turns = saw_turns([cuts[i] for i in order], speed, job.crew.n_saws)
    hours = max((turn.end_h for turn in turns), default=0.0)
    index = pull.largest_in(best.layout.pieces)
    notes = Notes()
    check_spacing(job.family, drying, ground, choices[0].layout.pieces, notes)
    _check_panels(choices[0], ground, job.family, notes)
    check_shapes(choices[0], ground, job.family, notes)
    ask_yielding(choices[0], ground, job.family, notes)
    _check_lost(lines, [part for part in foundation.parts if part not in parted], notes)
    _check_pull(best.layout.pieces, index, job.family, notes)
    _say_drying(job.family, drying, ground, notes)
    _say_the_rest(job, notes, hours, speed)
    _say_stops(lines, notes)
    say_isolated(posts, parted, notes)
    return JointsResult(
        answer=_answer(job.family, choices, lines, ground.spacing),
        lines=quantities(lines, posts, ground.thickest_m(), job.family),
        joints=lines,
        options=choices,
        restraint=pull,
        panel_index=index,
        turns=turns,
        sawing_h=hours,
        spacing=ground.spacing,
        isolated=posts,
        **notes.as_fields(),
    )


def _check_panels(option: Option, ground: JointGround, family: Family, notes: Notes) -> None:
    notes.at_most(
        "aspect",
        "Long side of a panel over its short",
        "floor",
        found=option.aspect,
        limit=ground.greatest_aspect() + 1e-6,
        suffix="",
        clause=aci_302_1r.PANEL_ASPECT,
        remedy="Add a line across the long panel.",
    )
    for x, y in option.proposal.unserved:
        notes.tasks.append(
            Task(
                what="Tie two No.5 (H16) bars 4 ft (1.2 m) long across the re-entrant corner, at most 2 in. (50 mm) from it: "
                "no joint runs from it.",
                who="steel fixer",
                when="before the sheet is walked on",
                where=f"corner at {format_place((x, y), family)}",
            )
        )


def _check_lost(lines: tuple[JointLine, ...], parts: Sequence[Part], notes: Notes) -> None:
    """A cut over a pad or strip is no joint; what would free it."""
    for line in lines:
        track = shapely.MultiLineString(line.stretches)
        for part in parts:
            if part.kind not in (PartKind.PAD, PartKind.STRIP) or track.intersection(part.skirt).length < 0.05:
                continue
            effective = aci_302_1r.effective_cut(cut_m=line.depth_m, local_thickness_m=part.depth_m)
            notes.at_least(
                f"{line.name}.{part.name}",
                f"Depth of cut over {part.kind.value} {part.name}",
                f"joint {line.name}",
                required=aci_302_1r.EFFECTIVE_DEPTH,
                provided=effective,
                suffix="",
                clause=aci_302_1r.SAW_DEPTH,
                remedy=_free(shapely.LineString([line.start, line.end]), part.skirt, part.kind),
            )


def _free(track: shapely.LineString, skirt: shapely.Geometry, kind: PartKind) -> str:
    """The least move of a pad or strip, square to a line, that clears it."""
    (x1, y1), (x2, y2) = track.coords[0], track.coords[-1]
    square = np.array([y1 - y2, x2 - x1]) / track.length
    off = (shapely.get_coordinates(skirt) - (x1, y1)) @ square
    back, ahead = -float(off.min()) + CLEARANCE_M, float(off.max()) + CLEARANCE_M
    shift, way = (back, square) if back < ahead else (ahead, -square)
    if shift > _FAR_M:
        return f"Let the line end at the {kind.value}, or put bars across it there."
    what = "Move the pad" if kind is PartKind.PAD else "Move the strip"
    by = f"{format_quantity(shift, LENGTH, Family.US)} ({format_quantity(shift, LENGTH, Family.SI)})"
    return f"{what} {by} towards {_towards(way)}, or put bars across the line there."


def _towards(way: "np.ndarray[tuple[int], np.dtype[np.float64]]") -> str:
    """Axis of a direction, or its quarter where it runs along none."""
    x, y = (round(float(one), 3) for one in way)
    if not x or not y:
        return ("the east" if x > 0 else "the west") if not y else ("the north" if y > 0 else "the south")
    return f"the {'north' if y > 0 else 'south'} and {'east' if x > 0 else 'west'}, square to the line"


def _check_pull(pieces: tuple[shapely.Polygon, ...], index: tuple[float, ...], family: Family, notes: Notes) -> None:
    worst = max(range(len(index)), key=lambda panel: float(f"{index[panel]:.9g}"))  # of panels alike but for rounding the first
    centre = pieces[worst].centroid
    notes.checks.append(
        Check(
            key="pull",
            name="Tension of drying and cooling against strength",
            where=f"panel at {format_place((centre.x, centre.y), family)}",
            demand=index[worst],
            capacity=1.0,
            suffix="",
            clause=aci_318_19.RUPTURE,
            method=practice("in-plane solution with subgrade drag"),
            spread=0.4,
            remedy="Closer lines, a mix that shrinks less, or bars that hold the crack tight.",
        )
    )


def _say_drying(family: Family, drying: Drying, ground: JointGround, notes: Notes) -> None:
    """What the map of tension and the openings rest on."""
    thickest = ground.thickest_m()
    dried = 10 * round(drying.after_a_year(thickest) * 1e5)
    notes.assume(
        "building.enclosure",
        f"In air {100 * drying.rel_humidity:.0f} % humid a floor {format_quantity(thickest, LENGTH, family)} thick shrinks by {dried} "
        f"millionths in its first year. Panels are reckoned with that, 10 K (18 °F) of cooling and the relief that creep gives.",
        AIR_OVER_FLOORS,
    )


def _say_the_rest(job: Job, notes: Notes, hours: float, speed: float) -> None:
    if job.crew.saw_speed_m_h is None:
        said = format_quantity(speed, LENGTH, job.family, unit="ft" if job.family is Family.US else "m", digits=2)
        notes.assume("crew.saw_speed", f"One saw cuts {said} an hour.", practice("walk-behind saw in green concrete"))
    saws = "one saw" if job.crew.n_saws <= 1 else f"{job.crew.n_saws} saws, each taking the next line when it is free,"
    notes.tasks.append(
        Task(
            what=f"Saw in the order of the names, J1 first, {saws} about {hours:.1f} h in all.",
            who="saw operator",
            when="as soon as a trial cut does not ravel",
            where="floor",
        )
    )
    notes.caution(
        "Cutting concrete raises silica dust: cut wet, and indoors or with a hand-held saw wear a respirator as the safety rules ask."
    )
    notes.caution("Concrete shrinks and may crack beside a joint all the same; the engineer decides what steel or joint each panel needs.")


def _open(posts: Sequence[Box], pads: Sequence[Part]) -> dict[str, BaseGeometry]:
    """What lies parted under the floor, and the boxes in it, as far as there are any."""
    found: dict[str, BaseGeometry] = {}
    if pads:
        found["parted"] = shapely.union_all([pad.skirt for pad in pads])
    if posts:
        found["holes"] = shapely.union_all([shapely.Polygon(box.outline) for box in posts])
    return found


def _say_stops(lines: tuple[JointLine, ...], notes: Notes) -> None:
    """Construction joints where the pour is too long for one day."""
    stops = [line for line in lines if line.kind is JointKind.CONSTRUCTION]
    if not stops:
        return
    names = ", ".join(line.name for line in stops)
    notes.ask(
        Ask.ENGINEER,
        f"At the stated rate the pour takes more than {LONGEST_DAY_H:.0f} h. May it stop on {names}, with dowels?",
        names,
        dowels.FLOOR_DOWELS,
    )
    notes.tasks.append(
        Task(
            what="Set the bulkhead with its dowels, greased at one end, level and square to the joint.",
            who="form setter",
            when="before placing",
            where=f"joint {names}",
        )
    )


def _answer(family: Family, choices: tuple[Option, ...], lines: tuple[JointLine, ...], spacing: Spacing) -> str:
    best = choices[0]
    unit = "ft" if family is Family.US else "m"
    length = format_quantity(best.length_m, LENGTH, family, unit=unit, digits=3)
    if not lines:
        return "The floor is small enough to need *no* joint."
    lost = "clear of every pad and strip"
    if best.lost_m > 0.02:
        lost = f"{format_quantity(best.lost_m, LENGTH, family, unit=unit, digits=2)} of it over thick concrete, where a cut does not work"
    saw = f"Saw *{length}* in {len(lines)} lines, {depth_words(lines, family)} deep, for {len(best.layout.pieces)} panels, {lost}"
    apart = apart_words(spacing, family)
    if best.layout.n_offered:  # a floor with skewed sides, of which less is proven
        return f"{saw}. {apart} {proof_words(best.layout, family)}"
    trial = best.proposal.trial
    if trial.aspect is not None or trial.thicknesses > spacing.n_thicknesses:
        long = format_quantity(best.longest_side_m, LENGTH, family)
        return f"{saw}. {apart} No lines were found that keep this and the shape of panels everywhere: the longest side is {long}."
    even = "; an even grid is already right" if best.is_even and best.lost_m <= 0.02 else ""
    return f"{saw}{even}. {apart}"


STUDY = Study(
    key="joints",
    question="Where do we cut so that it cracks there?",
    stage=Stage.DESIGN,
    run=run,
    present=present,
    reads=frozenset(
        {
            "family",
            "codes",
            "building",
            "soil",
            "floor",
            "edge",
            "pipes",
            "embeds",
            "retarder",
            "mesh",
            "bars",
            "joints",
            "mix",
            "crew",
            "plant",
            "posts",
        }
    ),
    needs=(shape.STUDY,),
)
