"""What the mesh covers: the floor within its cover, less isolated posts and the pads at which the job wants it cut out."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import Polygon

from slabwright.errors import MissingInput
from slabwright.geometry.drawing import polygons_of
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.overlay import Area, as_area
from slabwright.model.job import Job
from slabwright.model.steel import Mesh as Asked
from slabwright.results.check import Ask
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.studies.joints.isolation import reach_m
from slabwright.studies.mesh.layout import Placed

CUT_AT_PADS = practice("mesh cut out over the plan of the pad, at its bottom")
_ISOLATION_MARGIN_M = 0.15
_WORTH_CUTTING_M2 = 1e-4


@dataclass(frozen=True, slots=True)
class CutOut:
    """Mesh cut out over one pad.

    Attributes
    ----------
    pad : str
    outline : Polygon or MultiPolygon
        Without mesh, as far as mesh would lie there. [m]
    pieces : tuple of str
        Marks of the pieces that are cut.
    """

    pad: str
    outline: Area
    pieces: tuple[str, ...]


def covered(job: Job, asked: Asked, foundation: Foundation) -> Area:
    """The floor less the cover at its edges, isolated posts and the pads that are cut out.

    Raises
    ------
    MissingInput
        If nothing is left, or a pad named is none of the job's.
    """
    region = _without(_within_cover(job, asked, foundation), list(_pads(asked, foundation).values()))
    if region.is_empty:
        raise MissingInput("the cut-outs at pads leave no floor to lay the mesh in; name fewer pads in [mesh] cut_out.")
    return region


def cut_outs(job: Job, asked: Asked, foundation: Foundation, placed: Sequence[Placed]) -> tuple[CutOut, ...]:
    """The cut-outs with the pieces that each is cut from; one that meets no mesh has no pieces.

    Parameters
    ----------
    job : Job
    asked : Mesh
    foundation : Foundation
    placed : sequence of Placed
    """
    whole = _within_cover(job, asked, foundation)
    found = []
    for name, plan in _pads(asked, foundation).items():
        outline = as_area(polygons_of(shapely.intersection(plan, whole)))
        marks = tuple(one.mark for one in placed if one.outline.intersection(outline).area > _WORTH_CUTTING_M2)
        found.append(CutOut(name, outline, marks))
    return tuple(found)


def say_cut_outs(found: Sequence[CutOut], notes: Notes) -> None:
    """What is to be cut, what the engineer is asked, and pads at which there is nothing to cut."""
    cut = [one for one in found if not one.outline.is_empty]
    for one in found:
        if one.outline.is_empty:
            notes.assume("mesh.cut_out", f"No mesh would lie over pad {one.pad}: nothing is cut out there.", CUT_AT_PADS)
    if not cut:
        return
    names = named([one.pad for one in cut])
    notes.assume("mesh.cut_out", f"The mesh is cut out over {names}, over the size of the pad at its bottom.", CUT_AT_PADS)
    notes.ask(
        Ask.ENGINEER,
        f"The mesh is cut out over {names}: does the steel of the pad lap it all round, or do bars go round each cut-out?",
        "mesh.cut_out",
        CUT_AT_PADS,
    )
    notes.tasks.append(
        Task(
            what=f"Cut the mesh out over {names}, between the wires, once the sheets lie; take the cut ends out with you.",
            who="steel fixer",
            when="before the chairs round the cut-outs are set",
            where="mesh",
        )
    )


def named(pads: Sequence[str]) -> str:
    """Pads in a sentence: a few by name, many by number."""
    if len(pads) > 6:
        return f"{len(pads)} pads"
    *most, last = pads
    return f"pads {', '.join(most)} and {last}" if most else f"pad {last}"


def _pads(asked: Asked, foundation: Foundation) -> dict[str, Area]:
    plans = {part.name: part.bottom for part in foundation.parts if part.kind is PartKind.PAD}
    unknown = [name for name in asked.cut_out if name not in plans]
    if unknown:
        raise MissingInput(f'[mesh] cut_out: "{unknown[0]}" is no pad of this job; there are {", ".join(plans) or "none"}.')
    return {name: plans[name] for name in asked.cut_out}


def _within_cover(job: Job, asked: Asked, foundation: Foundation) -> Area:
    halves = [
        (post.at, max(reach_m(post), 0.5 * math.hypot(post.base_x_m, post.base_y_m) + _ISOLATION_MARGIN_M))
        for post in job.posts
        if post.isolated
    ]
    holes: list[Polygon] = [shapely.box(x - half, y - half, x + half, y + half) for (x, y), half in halves]
    region = _without(shapely.buffer(foundation.region, -asked.cover_m, join_style="mitre"), holes)
    if region.is_empty:
        raise MissingInput("the cover of the mesh leaves no floor to lay it in; make [mesh] cover smaller than half the floor.")
    return region


def _without(area: Area, holes: Sequence[Area]) -> Area:
    return as_area(polygons_of(shapely.difference(area, shapely.union_all(holes))))
