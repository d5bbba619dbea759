"""The study of joints: lines, depth, order, what they lose, and how hard each panel pulls."""

from dataclasses import dataclass

import shapely

from slabwright.errors import Infeasible, MissingInput
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.model.job import Job
from slabwright.model.loads import Post
from slabwright.model.supply import JointKind
from slabwright.results.check import Ask, Check
from slabwright.results.lines import QuantityLine, Task, Trade
from slabwright.results.notes import Notes
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.standards import aashto_1993, aci_302_1r, aci_318_19, dowels
from slabwright.studies import shape
from slabwright.studies.joints.ground import CLEARANCE_M, JointGround
from slabwright.studies.joints.layout import is_rectilinear, propose
from slabwright.studies.joints.options import Option, options
from slabwright.studies.joints.order import saw_order, saw_order_by_halves, sawing_hours
from slabwright.studies.joints.present import present, proof_words
from slabwright.studies.joints.restraint import Restraint, restraint
from slabwright.studies.joints.shapes import check_shapes
from slabwright.studies.joints.stops import LONGEST_DAY_H, stopping_lines
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import INCH_M, LENGTH, PSI_PA, Family, format_quantity

SAW_SPEED_M_H = 45.0
"""One walk-behind saw, wet, in green concrete, lines set out beforehand: about 150 ft an hour; common practice, no source."""
BLADE_WIDTH_M = INCH_M / 8
BLADE_LIFE_M = 1500.0
"""Metres of cut that a blade for green concrete gives; common practice, no source."""
ISOLATION = Clause(
    Source("NRMCA CIP 6", "Concrete in Practice 6, joints in slabs on grade"), "figure: joints meet the corners of the box", Basis.QUOTED
)
_ASSUMED_STRENGTH_PA = 3000 * PSI_PA


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
    """

    name: str
    start: tuple[float, float]
    end: tuple[float, float]
    kind: JointKind
    depth_m: float
    lost_m: float
    opening_m: float

    @property
    def length_m(self) -> float:
        """Length of cut. [m]"""
        return float(shapely.Point(self.start).distance(shapely.Point(self.end)))


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
    sawing_h : float
        From first to last cut. [h]
    isolated : tuple
        Diamonds of isolation joint round posts that the job parts from the floor. [m]
    """

    joints: tuple[JointLine, ...]
    options: tuple[Option, ...]
    restraint: Restraint
    panel_index: tuple[float, ...]
    sawing_h: float
    isolated: tuple[tuple[tuple[float, float], ...], ...]


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
    depth = cut_depth_m(job, ground)
    strength = job.mix.strength_pa if job.mix is not None else _ASSUMED_STRENGTH_PA
    pull = restraint(foundation, cuts, depth, strength, sheet=job.retarder is not None)
    square = is_rectilinear(ground.region)
    order = saw_order(cuts, foundation.region.bounds) if square else saw_order_by_halves(ground.region, cuts)
    stops = stopping_lines(job, foundation, cuts, done[shape.STUDY].volumes.total_m3)
    lines = tuple(
        JointLine(
            name=f"J{number}",
            start=cuts[i].start,
            end=cuts[i].end,
            kind=JointKind.CONSTRUCTION if i in stops else job.joints.kind,
            depth_m=depth,
            lost_m=cuts[i].lost,
            opening_m=pull.opening_m[i],
        )
        for number, i in enumerate(order, start=1)
    )
    speed = job.crew.saw_speed_m_h or SAW_SPEED_M_H
    hours = sawing_hours([line.length_m for line in lines], speed, job.crew.n_saws)
    index = pull.largest_in(best.layout.pieces)
    notes = Notes()
    _check_panels(choices[0], ground, notes)
    check_shapes(choices[0], ground, job.family, notes)
    _check_lost(lines, foundation, notes)
    _check_pull(best.layout.pieces, index, notes)
    _say_the_rest(job, notes, hours, speed)
    _say_stops(lines, notes)
    diamonds = tuple(isolation_diamond(post) for post in job.posts if post.isolated)
    _say_isolated(diamonds, notes)
    return JointsResult(
        answer=_answer(job.family, choices, lines),
        lines=_quantities(lines, ground.thickest_m(), job.family),
        joints=lines,
        options=choices,
        restraint=pull,
        panel_index=index,
        sawing_h=hours,
        isolated=diamonds,
        **notes.as_fields(),
    )


def cut_depth_m(job: Job, ground: JointGround) -> float:
    """Depth of every line: what the job asks for, else the rule for its saw in the thickest part of the floor. [m]"""
    saw = aci_302_1r.SawKind.EARLY_ENTRY if job.joints.kind is JointKind.EARLY_ENTRY else aci_302_1r.SawKind.CONVENTIONAL
    return job.joints.depth_m or aci_302_1r.saw_depth_m(thickness_m=ground.thickest_m(), saw=saw)


def _check_panels(option: Option, ground: JointGround, notes: Notes) -> None:
    allowed = min(ground.cap_m, ground.wishes.spacing_thicknesses * ground.thickest_m())
    notes.at_most(
        "spacing",
        "Longest panel side",
        "floor",
        found=option.longest_side_m,
        limit=allowed + 1e-4,
        suffix="m",
        clause=aci_302_1r.JOINT_SPACING,
        remedy="Add a line, or accept a crack in that panel.",
    )
    notes.at_most(
        "aspect",
        "Long side of a panel over its short",
        "floor",
        found=option.aspect,
        limit=aci_302_1r.GREATEST_ASPECT + 1e-6,
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
                where=f"corner at x {x:.2f} m, y {y:.2f} m",
            )
        )
    if option.proposal.trial.yielded:
        notes.ask(
            Ask.ENGINEER,
            f"No layout meets every rule here: {option.proposal.trial.yielded}. Is that accepted, or is the floor to change?",
            "joints",
            aci_302_1r.RE_ENTRANT,
        )


def _check_lost(lines: tuple[JointLine, ...], foundation: Foundation, notes: Notes) -> None:
    """A cut over a pad or strip is no joint; what would free it."""
    for line in lines:
        track = shapely.LineString([line.start, line.end])
        for part in foundation.parts:
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
                remedy=_free(track, part.skirt, part.kind),
            )


def _free(track: shapely.LineString, skirt: shapely.Geometry, kind: PartKind) -> str:
    (x1, y1), (x2, y2) = track.coords[0], track.coords[-1]
    low_x, low_y, high_x, high_y = shapely.bounds(skirt)
    upright = abs(x1 - x2) < abs(y1 - y2)
    at, low, high = (x1, low_x, high_x) if upright else (y1, low_y, high_y)
    back, ahead = at - low + CLEARANCE_M, high - at + CLEARANCE_M
    shift, sign = (back, 1) if back < ahead else (ahead, -1)
    way = {(True, 1): "+x", (True, -1): "-x", (False, 1): "+y", (False, -1): "-y"}[(upright, sign)]
    what = "Move the pad" if kind is PartKind.PAD else "Move the strip"
    by = f"{format_quantity(shift, LENGTH, Family.US)} ({format_quantity(shift, LENGTH, Family.SI)})"
    return f"{what} {by} towards {way}, or put bars across the line there."


def _check_pull(pieces: tuple[shapely.Polygon, ...], index: tuple[float, ...], notes: Notes) -> None:
    worst = max(range(len(index)), key=index.__getitem__)
    centre = pieces[worst].centroid
    notes.checks.append(
        Check(
            key="pull",
            name="Tension of drying and cooling against strength",
            where=f"panel at x {centre.x:.1f} m, y {centre.y:.1f} m",
            demand=index[worst],
            capacity=1.0,
            suffix="",
            clause=aci_318_19.RUPTURE,
            method=practice("in-plane solution with subgrade drag"),
            spread=0.4,
            remedy="Closer lines, a mix that shrinks less, or bars that hold the crack tight.",
        )
    )
    notes.assume(
        "joints",
        "Panels are reckoned with 400 millionths of drying, 10 K (18 °F) of cooling and the relief that creep gives in a year.",
        practice("first-year shrinkage of an indoor floor"),
    )


def _say_the_rest(job: Job, notes: Notes, hours: float, speed: float) -> None:
    if job.crew.saw_speed_m_h is None:
        said = format_quantity(speed, LENGTH, job.family, unit="ft" if job.family is Family.US else "m", digits=2)
        notes.assume("crew.saw_speed", f"One saw cuts {said} an hour.", practice("walk-behind saw in green concrete"))
    notes.tasks.append(
        Task(
            what=f"Saw in the order of the names, J1 first, about {hours:.1f} h in all.",
            who="saw operator",
            when="as soon as a trial cut does not ravel",
            where="floor",
        )
    )
    notes.caution(
        "Cutting concrete raises silica dust: cut wet, and indoors or with a hand-held saw wear a respirator as the safety rules ask."
    )
    notes.caution("Concrete shrinks and may crack beside a joint all the same; the engineer decides what steel or joint each panel needs.")


def isolation_diamond(post: Post) -> tuple[tuple[float, float], ...]:
    """Square round a post turned by 45 degrees, so that joints meet its corners; twice the post wide. [m]"""
    half = max(post.base_x_m, post.base_y_m) * 2**0.5
    x, y = post.at
    return ((x + half, y), (x, y + half), (x - half, y), (x, y - half))


def _say_isolated(diamonds: tuple[tuple[tuple[float, float], ...], ...], notes: Notes) -> None:
    if diamonds:
        question = (
            f"{len(diamonds)} posts are parted from the floor by isolation joints, though pad and floor are one pour. "
            "Is the joint box to be left open and filled later?"
        )
        notes.ask(Ask.ENGINEER, question, "posts", ISOLATION)


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


def _answer(family: Family, choices: tuple[Option, ...], lines: tuple[JointLine, ...]) -> str:
    best = choices[0]
    unit = "ft" if family is Family.US else "m"
    length = format_quantity(best.length_m, LENGTH, family, unit=unit, digits=3)
    panels = len(best.layout.pieces)
    if not lines:
        return "The floor is small enough to need *no* joint."
    if best.layout.n_offered:
        return _skewed_answer(family, best, lines, length)
    lost = "clear of every pad and strip"
    if best.lost_m > 0.02:
        lost = f"{format_quantity(best.lost_m, LENGTH, family, unit=unit, digits=2)} of it over thick concrete, where a cut does not work"
    blind = next((one for one in choices[1:] if not one.proposal.trial.dead), None)
    even = "" if blind is not None or best.lost_m > 0.02 else "; an even grid is already right"
    depth = format_quantity(lines[0].depth_m, LENGTH, family)
    return f"Saw *{length}* in {len(lines)} lines, {depth} deep, for {panels} panels, {lost}{even}."


def _skewed_answer(family: Family, best: Option, lines: tuple[JointLine, ...], length: str) -> str:
    """As for other floors, with what is proven of the layout, which here is less."""
    unit = "ft" if family is Family.US else "m"
    layout, depth = best.layout, format_quantity(lines[0].depth_m, LENGTH, family)
    lost = format_quantity(best.lost_m, LENGTH, family, unit=unit, digits=2)
    over = f", {lost} of it over thick concrete, where a cut does not work" if best.lost_m > 0.02 else ""
    return f"Saw *{length}* in {len(lines)} lines, {depth} deep, for {len(layout.pieces)} panels{over}. {proof_words(layout, family)}"


def _quantities(lines: tuple[JointLine, ...], thickness_m: float, family: Family) -> tuple[QuantityLine, ...]:
    sawn = [line for line in lines if line.kind is not JointKind.CONSTRUCTION]
    stops = [line for line in lines if line.kind is JointKind.CONSTRUCTION]
    made = []
    if sawn:
        length, depth = sum(line.length_m for line in sawn), sawn[0].depth_m
        made += [
            QuantityLine(
                key="joints.saw",
                item=f"Saw-cut, {format_quantity(depth, LENGTH, family)} deep",
                quantity=length,
                suffix="m",
                unit="ft" if family is Family.US else "m",
                trade=Trade.JOINTS,
                basis=f"{len(sawn)} lines as laid out",
                clause=aci_302_1r.SAW_DEPTH,
            ),
            QuantityLine(
                key="joints.filler",
                item="Joint filler or sealant",
                quantity=length * depth * BLADE_WIDTH_M,
                suffix="m3",
                unit="gal" if family is Family.US else "L",
                trade=Trade.JOINTS,
                basis=f"saw-cut x depth x {format_quantity(BLADE_WIDTH_M, LENGTH, family)} blade; to fill the cut, no waste",
                clause=aashto_1993.SEALANT_SHAPE,
            ),
            QuantityLine(
                key="joints.blades",
                item="Saw blades for green concrete",
                quantity=float(-(-length // BLADE_LIFE_M)),
                suffix="",
                trade=Trade.JOINTS,
                basis="one blade to 1,500 m (5,000 ft) of cut",
                clause=practice("blade wear in green concrete"),
            ),
        ]
    if stops:
        length, row = sum(line.length_m for line in stops), dowels.dowel(thickness_m=thickness_m)
        size = f"{format_quantity(row.diameter_m, LENGTH, family)} x {format_quantity(row.length_m, LENGTH, family)}"
        made.append(
            QuantityLine(
                key="joints.dowels",
                item=f"Round dowels, {size}",
                quantity=float(int(length / row.spacing_m)),
                suffix="",
                trade=Trade.JOINTS,
                basis=f"every {format_quantity(row.spacing_m, LENGTH, family)} along the construction joints",
                clause=dowels.FLOOR_DOWELS,
            )
        )
    return tuple(made)


STUDY = Study(
    key="joints",
    question="Where do we cut so that it cracks there?",
    stage=Stage.DESIGN,
    run=run,
    present=present,
    reads=frozenset({"family", "codes", "floor", "edge", "pipes", "embeds", "retarder", "joints", "mix", "crew", "plant", "posts"}),
    needs=(shape.STUDY,),
)
