"""What must be asked, and what was taken for granted, beside the checks."""

from collections.abc import Mapping

import shapely

from slabwright.model.job import ConcreteStandard
from slabwright.model.loads import Post
from slabwright.results.check import Ask, Check
from slabwright.results.lines import Task
from slabwright.sources import practice
from slabwright.standards.aci_318_19_flexure import CRITICAL_SECTION
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.pads import PadFigures
from slabwright.studies.bearing.stand import Stand, Standing
from slabwright.units import LENGTH, format_quantity

POSITION = practice("a post stands within the bottom of its pad")
_OWN_RULES = practice("how a pad cast with the floor is checked")
_CAUTION = "These are checks for the engineer to confirm, not a design: an undersized or untied footing can let a frame fall."


def ask_about_inputs(posts: Standing, desk: Desk) -> None:
    """Posts without loads, pads without posts, several posts on a pad, ground without a value."""
    notes = desk.notes
    for post in posts.unloaded:
        question = f"Post {post.name} has no loads. What does it bring down, by case? Write [[posts]] loads or tributary for it."
        notes.ask(Ask.ENGINEER, question, f"post {post.name}")
    for pad in posts.idle:
        notes.ask(Ask.ENGINEER, f"Pad {pad.name} has no post on it. What stands there?", f"pad {pad.name}")
    for stand in posts.stands:
        if stand.others:
            question = (
                f"Pad {stand.pad.name} carries {stand.name} with {', '.join(stand.others)}; here all of it acts at one post with its "
                "moment. Is the pad right for them together?"
            )
            notes.ask(Ask.ENGINEER, question, stand.where)
    if desk.ground.bearing_pa is None:
        names = ", ".join(stand.name for stand in posts.stands) or "the walls"
        question = f"What may the ground carry under {names}? {desk.ground.problem} Write [soil] allowable_bearing from a soils report."
        notes.ask(Ask.SOIL_ENGINEER, question, "soil", desk.ground.clause)
    elif desk.job.soil.allowable_bearing_pa is None:
        notes.assume("soil.allowable_bearing", f"The presumptive bearing of class {desk.job.soil.soil_class} is used.", desk.ground.clause)
    if desk.ground.spring_clause is not None:
        notes.assume("soil.subgrade_modulus", "The subgrade modulus is estimated from the allowable bearing.", desk.ground.spring_clause)


def place_loose(afloat: list[Post], desk: Desk) -> None:
    """Posts on neither pad, edge nor strip: beside a pad it is a mistake, elsewhere a question of the floor."""
    names = {pad.name for pad in desk.job.pads}
    feet = {part.name: part.bottom for part in desk.foundation.parts if part.name in names}
    for post in afloat:
        at = shapely.Point(post.at)
        near = min(feet, key=lambda name: (name != post.name, feet[name].distance(at)), default=None)
        half = feet[near].area ** 0.5 / 2 if near is not None else 0.0
        if near is not None and (near == post.name or feet[near].distance(at) < 2 * half):
            desk.notes.checks.append(
                Check(
                    key=f"{post.name}.position", name="Post stands on its pad, from the pad's middle",
                    where=f"post {post.name}, pad {near}", demand=feet[near].distance(at) + half, capacity=half, suffix="m",
                    clause=POSITION, remedy=f"Move pad {near} below post {post.name}, or correct the post's place in the job file.",
                )
            )  # fmt: skip
        else:
            desk.notes.ask(Ask.ENGINEER, f"Post {post.name} stands on the plain floor. Does it need a pad?", f"post {post.name}")


def state_rules(stands: tuple[Stand, ...], pads: Mapping[str, PadFigures], desk: Desk) -> None:
    """Assumptions, tasks, groundwater, cautions."""
    notes, job = desk.notes, desk.job
    notes.caution(_CAUTION)
    if not stands:
        return
    floor = "The floor round a pad carries none of its post's load here, and its own live load adds nothing to the pad."
    notes.assume("posts", floor, _OWN_RULES)
    if any(stand.pushed and not stand.post.isolated for stand in stands):
        shear = "Horizontal forces pass into the floor cast with the pad, so they do not tilt the pad."
        notes.assume("posts.isolated", shear, _OWN_RULES)
    notes.assume("posts.base", "The foot of each post is stiff: bending of the pad is taken at its face.", CRITICAL_SECTION)
    thin = format_quantity(job.tolerances.thickness_minus_single_m, LENGTH, job.family)
    notes.assume("tolerances.thickness_minus_single", f"The thin case takes each pad {thin} less deep than drawn.", _OWN_RULES)
    if any(stand.pad.shape.value == "circle" for stand in stands):
        notes.assume("pads.shape", "A round pad is checked as the square of equal area.", _OWN_RULES)
    hooked = ", ".join(name for name, figures in pads.items() if figures.hooks)
    if hooked:
        what = f"Bend standard hooks on the bars of the pads under {hooked}: straight bars do not develop there."
        notes.tasks.append(Task(what=what, who="steel setter", when="before the bars are cut", where="pads"))
    _ask_about_water(stands, desk)
    if any(stand.post.anchor is not None for stand in stands) and job.codes.concrete is ConcreteStandard.EN_1992:
        notes.ask(Ask.ENGINEER, "Anchors are checked by ACI 318-19 chapter 17. Does EN 1992-4 ask for more here?", "anchors")


def _ask_about_water(stands: tuple[Stand, ...], desk: Desk) -> None:
    water = desk.job.place.groundwater_depth_m
    if water is None:
        question = "How deep is groundwater in the wet season? The job file does not state it."
        desk.notes.ask(Ask.SOIL_ENGINEER, question, "place.groundwater_depth")
        return
    deepest = max(stand.pad.depth_m - stand.grade_m + max(stand.sides_m) for stand in stands)
    if water < deepest:
        question = "Groundwater stands within a pad's width below the pads. Does the allowable bearing allow for it?"
        desk.notes.ask(Ask.SOIL_ENGINEER, question, "pads")
