"""Sections as drawings: ground, base, sheet and cut concrete, with the sizes that matter in each."""

import numpy as np
import shapely
from shapely import LineString

from slabwright.geometry.drawing import area_of, polygons_of
from slabwright.geometry.foundation import Foundation, PartKind
from slabwright.geometry.overlay import Area, as_area, as_array, together
from slabwright.geometry.section import Run, Section, runs_of
from slabwright.model.job import Job
from slabwright.results.picture import DimensionLine, Hatch, Item, Layer, Leader, Line, Note, Picture
from slabwright.studies.drawings.cuts import Cut
from slabwright.studies.drawings.profile import Profile
from slabwright.units import LENGTH, format_quantity

_GROUND_BELOW_M = 0.2
_SHEET_GAP_M = 0.006
_SAME_M = 1e-9
_EPSILON_M = 1e-6


def section_picture(job: Job, foundation: Foundation, cut: Cut) -> Picture:
    """One section, x along the cut and y upwards from the finished floor level."""
    profile, section = Profile(foundation, cut), foundation.section(cut.start, cut.end)
    concrete = as_area([profile.polygon(run) for run in section.runs])
    base = _base(job, foundation, cut, profile, concrete)
    soil = _soil(job, foundation, cut, profile, section, together(as_array([concrete, base])))
    items: list[Item] = [area_of(piece, Layer.SOIL, hatch=Hatch.EARTH) for piece in polygons_of(soil)]
    items += [area_of(piece, Layer.BASE, hatch=Hatch.STONE) for piece in polygons_of(base)]
    items += [area_of(piece, Layer.CONCRETE_CUT, hatch=Hatch.SOLID) for piece in polygons_of(concrete)]
    items += _sheet(job, foundation, profile, section)
    items += _sizes(cut, foundation, profile, section)
    items += _at_grade(job, foundation, cut, profile)
    items += _named_courses(job, foundation, section, profile)
    thinnest = format_quantity(min(float(run.bottom_m.min()) for run in section.runs), LENGTH, job.family)
    deepest = format_quantity(max(float(run.bottom_m.max()) for run in section.runs), LENGTH, job.family)
    alt = f"{cut.title}: concrete from {thinnest} to {deepest} deep."
    return Picture(key=cut.key, title=f"{cut.mark}–{cut.mark}: {cut.title}", items=tuple(items), alt=alt)


def _base(job: Job, foundation: Foundation, cut: Cut, profile: Profile, concrete: Area) -> Area:
    """The course under the floor, as far as no deeper part cuts through it."""
    if job.base is None:
        return as_area([])
    slab = foundation.parts[0].below
    runs = runs_of(slab, np.zeros(len(slab.pieces)), cut.start, cut.end)
    courses = shapely.union_all([profile.beneath(run, job.base.thickness_m) for run in runs])
    return as_area(polygons_of(shapely.difference(courses, concrete)))


def _soil(job: Job, foundation: Foundation, cut: Cut, profile: Profile, section: Section, built: Area) -> Area:
    """Ground below everything built, and up to outside grade beyond the forms."""
    grade = -job.edge.top_above_grade_m if job.edge is not None else 0.0
    bottom = built.bounds[1] - _GROUND_BELOW_M
    indoors = [profile.below(run, bottom) for run in section.runs if run.top_m == 0.0]
    inside = shapely.get_parts(shapely.intersection(LineString([cut.start, cut.end]), foundation.outline))
    spans = [shapely.line_locate_point(LineString([cut.start, cut.end]), shapely.boundary(piece).geoms) for piece in inside]
    ground = [shapely.box(0.0, bottom, profile.length_m, grade)]
    floorspace = [shapely.box(min(span), bottom - 1.0, max(span), 1.0) for span in spans]
    outdoors = shapely.difference(shapely.union_all(ground), shapely.union_all(floorspace))
    return as_area(polygons_of(shapely.difference(together(as_array([outdoors, *indoors])), built)))


def _sheet(job: Job, foundation: Foundation, profile: Profile, section: Section) -> list[Item]:
    """The retarder along the underside; only under the floor where it stops at edge and pads."""
    if job.retarder is None:
        return []
    items: list[Item] = []
    for run in (run for run in section.runs if run.top_m == 0.0):
        for part in _stretches(run, foundation, whole=job.retarder.under_edge):
            points = tuple((float(x), float(y) - _SHEET_GAP_M) for x, _, y in profile.stretch(part))
            items.append(Line(layer=Layer.SHEET, points=points))
    return items


def _stretches(run: Run, foundation: Foundation, *, whole: bool) -> list[Run]:
    """The run, or its stretches whose underside is the floor's."""
    if whole:
        return [run]
    is_floor = [foundation.parts[int(number)].kind is PartKind.FLOOR for number in run.parts]
    return [
        Run(run.along_m[k : k + 2], run.top_m, run.bottom_m[k : k + 2], run.parts[k : k + 1])
        for k, floor in enumerate(is_floor)
        if floor and run.along_m[k + 1] - run.along_m[k] > _SAME_M
    ]


def _sizes(cut: Cut, foundation: Foundation, profile: Profile, section: Section) -> list[Item]:
    """Widths below, depths at the right: of the part the section is about, and of the floor."""
    right = max(float(run.along_m[-1]) for run in section.runs)
    if not cut.part:
        left = min(float(run.along_m[0]) for run in section.runs)
        return [DimensionLine(start=(left, 0.0), end=(right, 0.0), offset_m=0.4)]
    items: list[Item] = []
    depths: dict[float, float] = {}
    for run in section.runs:
        for k, number in enumerate(run.parts):
            (low, high), (deep, deeper) = run.along_m[k : k + 2].tolist(), run.bottom_m[k : k + 2].tolist()
            if foundation.parts[int(number)].name != cut.part or high - low <= _SAME_M:
                continue
            below = -max(deep, deeper) - profile.drop_at_m(0.5 * (low + high))
            items.append(DimensionLine(start=(low, below), end=(high, below), offset_m=-0.12))
            if abs(deep - deeper) <= _SAME_M:
                depths[round(deep, 6)] = high
    for deep, place in depths.items():
        top = -profile.drop_at_m(place - _EPSILON_M)
        items.append(DimensionLine(start=(place, top), end=(place, top - deep), offset_m=right - place + 0.34))
    last = max(section.runs, key=lambda run: float(run.along_m[-1]))
    top, deep = -profile.drop_at_m(right - _EPSILON_M), float(last.bottom_m[-1])
    return [*items, DimensionLine(start=(right, top), end=(right, top - deep), offset_m=0.12)]


def _at_grade(job: Job, foundation: Foundation, cut: Cut, profile: Profile) -> list[Item]:
    """How far the floor stands above outside grade, where the cut begins outside."""
    if job.edge is None or foundation.outline.covers(shapely.Point(cut.start)):
        return []
    line = LineString([cut.start, cut.end])
    crossings = shapely.points(shapely.get_coordinates(shapely.intersection(line, foundation.outline)))
    face = float(np.min(shapely.line_locate_point(line, crossings)))
    above = job.edge.top_above_grade_m
    items: list[Item] = []
    if cut.part:
        items.append(Note(layer=Layer.TEXT, at=(0.02, -above + 0.05), text="outside grade", anchor="start", size=0.85))
    top = -profile.drop_at_m(face + _EPSILON_M)
    if top > -above:
        items.append(DimensionLine(start=(face, -above), end=(face, top), offset_m=0.1))
    return items


def _named_courses(job: Job, foundation: Foundation, section: Section, profile: Profile) -> list[Item]:
    """Base and sheet, named where the floor is cut."""
    floor = [
        (run, k)
        for run in section.runs
        for k, number in enumerate(run.parts)
        if foundation.parts[int(number)].kind is PartKind.FLOOR and run.along_m[k + 1] - run.along_m[k] > 0.2
    ]
    if not floor:
        return []
    run, k = floor[-1]
    low, high = float(run.along_m[k]), float(run.along_m[k + 1])
    x = max(low, high - 1.2) + 0.4 * min(high - low, 1.2)
    under = -profile.drop_at_m(x) - float(np.interp(x, [low, high], run.bottom_m[k : k + 2]))
    items: list[Item] = []
    if job.base is not None:
        text = f"{format_quantity(job.base.thickness_m, LENGTH, job.family)} {job.base.material}"
        items.append(Leader(layer=Layer.TEXT, tip=(x, under - 0.5 * job.base.thickness_m), at=(x + 0.15, 0.2), text=text))
    if job.retarder is not None:
        text = f"{format_quantity(job.retarder.thickness_m, LENGTH, job.family)} retarder"
        items.append(Leader(layer=Layer.TEXT, tip=(x - 0.12, under - _SHEET_GAP_M), at=(x - 0.1, 0.34), text=text))
    return items
