"""The plan as something to take hold of: what stands on it, and moves, additions and removals as edits of the job file."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import shapely

from slabwright.errors import Finding, InputError
from slabwright.files.jobfile import LoadedJob
from slabwright.files.jobfile.site_rules import bottom_of
from slabwright.model.job import Job
from slabwright.units import FOOT_M, LENGTH, Family, format_feet_inches, parse_quantity
from slabwright.web.views import Move, Place, Remove, ThingView

Point = tuple[float, float]
Changes = dict[str, Any]

LINES = {"strips": "line", "walls": "line", "pipes": "run", "embeds": "line"}
_POINTS = ("pads", "posts")
_POSITION = ("at", "grid", "on", "name", "names")
_NEW: Mapping[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "pads": ({"size": "2.5 ft x 2.5 ft", "depth": "14 in"}, {"size": "750 mm x 750 mm", "depth": "350 mm"}),
    "posts": ({"base": "6 in x 6 in"}, {"base": "150 mm x 150 mm"}),
    "strips": ({"width": "16 in", "depth": "14 in"}, {"width": "400 mm", "depth": "350 mm"}),
    "walls": ({"thickness": "6 in"}, {"thickness": "150 mm"}),
    "pipes": ({"kind": "waste", "diameter": "4 in"}, {"kind": "waste", "diameter": "110 mm"}),
    "embeds": ({"kind": "anchor bolt"}, {"kind": "anchor bolt"}),
}
_WORDS = {
    "pads": "pad", "posts": "post", "strips": "strip", "walls": "wall", "pipes": "pipe", "embeds": "bolts", "outline": "corner",
    "block_outs": "block-out", "joints": "joint line",
}  # fmt: skip


def spelled(length_m: float, family: Family) -> str:
    """A length as it is written into the job file, to 1/8 in or to a millimetre.

    >>> spelled(5.0419, Family.US), spelled(5.05, Family.SI)
    ('16\\'-6 1/2"', '5.05 m')
    """
    if abs(length_m) < 5e-4:
        return "0"
    if family is Family.SI:
        return f"{round(length_m, 3):.3f}".rstrip("0").rstrip(".") + " m"
    feet = length_m / FOOT_M
    return f"{round(feet)} ft" if abs(feet - round(feet)) * FOOT_M < 1e-5 else format_feet_inches(length_m)


def snapped(length_m: float, snap: str) -> float:
    """A length on the nearest line of a grid; as it is where the grid is not given."""
    if not snap:
        return length_m
    step = parse_quantity(snap, LENGTH)
    return round(length_m / step) * step if step > 0 else length_m


def things_on_plan(loaded: LoadedJob) -> list[ThingView]:
    """Everything that stands on the plan, from the ground up."""
    job = loaded.job
    things = [_thing(job, "outline", 0, "outline", "ring", "floor.outline", job.floor.outline, _edge(job))]
    for number, ring in enumerate(job.floor.block_outs):
        things.append(
            _thing(job, "block_outs", number, f"block-out {number + 1}", "ring", f"floor.block_outs[{number + 1}]", ring, [list(ring)])
        )
    for section, key in LINES.items():
        for number, thing in enumerate(getattr(job, section)):
            path = loaded.places[section, number]
            things.append(_thing(job, section, number, thing.name, "line", f"{path}.{key}", getattr(thing, key), _band(section, thing)))
    for number, pad in enumerate(job.pads):
        around = [_coordinates(bottom_of(pad))]
        things.append(_thing(job, "pads", number, pad.name, "point", loaded.places["pads", number], (pad.at,), around))
    for number, post in enumerate(job.posts):
        path = loaded.places["posts", number]
        (x, y), a, b = post.at, post.base_x_m / 2, post.base_y_m / 2
        around = [[(x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b)]]
        things.append(_thing(job, "posts", number, post.name, "point", path, (post.at,), around, fixed=path.endswith(".on")))
    for number, line in enumerate(job.joints.pinned):
        things.append(_thing(job, "joints", number, f"joint line {number + 1}", "line", "joints.pinned", line, []))
    return things


def _thing(
    job: Job,
    section: str,
    number: int,
    name: str,
    shape: Any,
    path: str,
    points: Sequence[Point],
    around: list[list[Point]],
    *,
    fixed: bool = False,
) -> ThingView:
    texts = [(spelled(x, job.family), spelled(y, job.family)) for x, y in points]
    return ThingView(
        section=section, number=number, name=name, shape=shape, path=path, points_m=list(points), texts=texts, around_m=around, fixed=fixed
    )


def _edge(job: Job) -> list[list[Point]]:
    """Inner line of the edge's bottom, and of its slope at the underside of the floor."""
    if job.edge is None:
        return []
    outline = shapely.Polygon(job.floor.outline)
    beyond = job.edge.run * max(0.0, job.edge.depth_m - job.floor.thickness_m)
    inner = [outline.buffer(-reach, join_style="mitre") for reach in (job.edge.width_m, job.edge.width_m + beyond)]
    return [_coordinates(part) for shape in inner for part in shapely.get_parts(shape) if not part.is_empty]


def _band(section: str, thing: Any) -> list[list[Point]]:
    width = {"strips": "width_m", "walls": "thickness_m"}.get(section)
    if width is None:
        return []
    line = shapely.LineString(thing.line).buffer(getattr(thing, width) / 2, cap_style="flat", join_style="mitre")
    return [_coordinates(part) for part in shapely.get_parts(line)]


def _coordinates(polygon: Any) -> list[Point]:
    return [(float(x), float(y)) for x, y in polygon.exterior.coords[:-1]]


def moved(loaded: LoadedJob, document: Mapping[str, Any], move: Move) -> tuple[Changes, str]:
    """The edit that puts one point of a thing elsewhere, and its name in the history."""
    job = loaded.job
    thing = _found(loaded, move.section, move.number)
    if thing.fixed:
        raise _refused(thing.path, f"{thing.name} stands on a pad; move the pad.")
    if move.point >= len(thing.points_m):
        raise _refused(thing.path, f"{thing.name} has {len(thing.points_m)} points.")
    old = thing.points_m[move.point]
    if move.to is not None:
        to = (parse_quantity(_with_unit(move.to[0]), LENGTH), parse_quantity(_with_unit(move.to[1]), LENGTH))
        written: list[str] = [text.strip() for text in move.to]
    elif move.to_m is not None:
        to = (snapped(move.to_m[0], move.snap), snapped(move.to_m[1], move.snap))
        written = [spelled(one, job.family) for one in to]
    else:
        raise _refused(thing.path, "says not where to; give to or to_m.")
    if not all(math.isfinite(one) for one in to):
        raise _refused(thing.path, "a place is two lengths.")
    what = f"{_WORDS[move.section].capitalize()} {thing.name} moved" if move.section != "outline" else f"Corner {move.point + 1} moved"
    if move.section == "joints":
        return _wishes(job, document, {move.number: _replaced(thing.points_m, move.point, to)}), what
    raw = _value_at(document, thing.path)
    if thing.path.endswith(".grid"):
        return _ungridded(loaded, thing, to), what
    whole = [_texts(point, job.family) for point in thing.points_m]
    if raw is None or isinstance(raw, dict) or (isinstance(raw, list) and not _is_point(raw) and len(raw) != len(whole)):
        whole[move.point] = written
        return {thing.path: whole}, what
    point = raw if _is_point(raw) else raw[move.point]
    kept = [point[axis] if abs(to[axis] - old[axis]) < 1e-6 else written[axis] for axis in (0, 1)]
    return {thing.path if _is_point(raw) else f"{thing.path}[{move.point + 1}]": kept}, what


def _with_unit(text: str) -> str:
    return "0 m" if text.strip() in ("0", "-0") else text


def placed(loaded: LoadedJob, document: Mapping[str, Any], place: Place) -> tuple[Changes, str]:
    """The edit that adds a thing, like the last one of its kind where there is one."""
    job, section = loaded.job, place.section
    points = [(snapped(x, place.snap), snapped(y, place.snap)) for x, y in place.points_m]
    texts = [_texts(point, job.family) for point in points]
    what = f"{_WORDS.get(section, section).capitalize()} added"
    if section == "outline":
        return {"floor.outline": _with_corner(job, points[0])}, what
    if section == "block_outs":
        return {"floor.block_outs": [*(document["floor"].get("block_outs") or []), texts]}, what
    if section == "joints":
        return _wishes(job, document, {len(job.joints.pinned): points[:2]}), what
    if section not in _NEW:
        raise _refused(section, f"cannot be added on the plan; there are {', '.join(_WORDS)}.")
    entries = document.get(section) or []
    like = {key: value for key, value in entries[-1].items() if key not in (*_POSITION, "line", "run")} if entries else {}
    entry = like or dict(_NEW[section][0 if job.family is Family.US else 1])
    key = LINES.get(section, "at")
    return {f"{section}[+]": {key: texts[0] if len(texts) == 1 else texts, **entry}}, what


def removed(loaded: LoadedJob, document: Mapping[str, Any], wish: Remove) -> tuple[Changes, str]:
    """The edit that takes a thing, or one corner of it, off the plan."""
    job = loaded.job
    thing = _found(loaded, wish.section, wish.number)
    what = f"{thing.name} taken out"
    if wish.section == "outline" or (wish.point is not None and thing.shape != "point" and wish.section != "joints"):
        corners = [_texts(point, job.family) for number, point in enumerate(thing.points_m) if number != (wish.point or 0)]
        return {thing.path: corners}, f"Corner {(wish.point or 0) + 1} of {thing.name} taken out"
    if wish.section == "joints":
        return _wishes(job, document, {wish.number: None}), what
    if wish.section == "block_outs":
        return {thing.path: None}, what
    entry = thing.path.partition(".")[0]
    siblings = [one for one in things_on_plan(loaded) if one.section == wish.section and one.path.partition(".")[0] == entry]
    if wish.section not in _POINTS or len(siblings) == 1:
        return {entry: None}, what
    if thing.fixed:
        raise _refused(thing.path, f"{thing.name} stands on a pad with others of its kind; take the pad out.")
    others = [one for one in siblings if one.number != wish.number]
    at = [_texts(one.points_m[0], job.family) for one in others]
    changes: Changes = {f"{entry}.grid": None} if thing.path.endswith(".grid") else {}
    raw = _value_at(document, entry) or {}
    if isinstance(raw.get("names"), list):
        changes[f"{entry}.names"] = [one.name for one in others]
    return {**changes, f"{entry}.at": at if len(at) > 1 else at[0]}, what


def _found(loaded: LoadedJob, section: str, number: int) -> ThingView:
    for thing in things_on_plan(loaded):
        if thing.section == section and thing.number == number:
            return thing
    raise _refused(section, f"has no number {number + 1} on the plan.")


def _ungridded(loaded: LoadedJob, thing: ThingView, to: Point) -> Changes:
    """A grid written out as the list of its places, one of them moved."""
    entry = thing.path.partition(".")[0]
    family = loaded.job.family
    same = [one for one in things_on_plan(loaded) if one.section == thing.section and one.path == thing.path]
    places = [_texts(to if one.number == thing.number else one.points_m[0], family) for one in same]
    return {f"{entry}.grid": None, f"{entry}.at": places}


def _wishes(job: Job, document: Mapping[str, Any], changed: Mapping[int, Sequence[Point] | None]) -> Changes:
    """The wished joint lines with some put elsewhere, added or taken out; the others keep their wording."""
    raw = list((document.get("joints") or {}).get("pinned") or [])
    lines: list[Any] = []
    for number in range(max(len(raw), *(one + 1 for one in changed))):
        if number not in changed:
            lines.append(raw[number])
        elif (points := changed[number]) is not None:
            lines.append([_texts(point, job.family) for point in points])
    return {"joints.pinned": lines or None}


def _with_corner(job: Job, corner: Point) -> list[list[str]]:
    """The outline with a corner put into the side it lies nearest to."""
    ring = list(job.floor.outline)
    sides = [shapely.LineString([ring[number], ring[(number + 1) % len(ring)]]) for number in range(len(ring))]
    nearest = min(range(len(ring)), key=lambda number: sides[number].distance(shapely.Point(corner)))
    ring.insert(nearest + 1, corner)
    return [_texts(point, job.family) for point in ring]


def _replaced(points: Sequence[Point], number: int, to: Point) -> list[Point]:
    return [to if one == number else point for one, point in enumerate(points)]


def _texts(point: Point, family: Family) -> list[str]:
    return [spelled(point[0], family), spelled(point[1], family)]


def _is_point(raw: Any) -> bool:
    return isinstance(raw, list) and not any(isinstance(one, (list, dict)) for one in raw)


def _value_at(document: Any, path: str) -> Any:
    from slabwright.files.jobfile.paths import path_of

    for step in path_of(path):
        try:
            document = document[step]
        except (KeyError, IndexError, TypeError):
            return None
    return document


def _refused(where: str, message: str) -> InputError:
    return InputError("plan", [Finding(where=where, message=message)])
