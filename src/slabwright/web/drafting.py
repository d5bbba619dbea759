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
WISHES = {"joints": "pinned", "forbidden": "forbidden"}
"""Wished joint lines by what is wished of them, and under which key of the joints."""
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
    "edge": "edge",
    "pads": "pad", "posts": "post", "strips": "strip", "walls": "wall", "pipes": "pipe", "embeds": "bolts", "outline": "corner",
    "block_outs": "block-out", "joints": "joint line", "forbidden": "forbidden joint line",
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
    things = [_thing(job, "outline", 0, "outline", "ring", "floor.outline", job.floor.outline, [])]
    if (inner := _edge(job)) and job.edge is not None:
        things.append(_thing(job, "edge", 0, "edge", "ring", "edge.width", inner[0], inner))
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
    for section, key in WISHES.items():
        for number, line in enumerate(getattr(job.joints, key)):
            name = f"{'kept' if section == 'joints' else 'forbidden'} joint line {number + 1}"
            things.append(_thing(job, section, number, name, "line", f"joints.{key}", line, []))
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
    ends = [*points[1:], points[0]] if shape == "ring" else points[1:]
    sides = [spelled(math.dist(one, other), job.family) for one, other in zip(points, ends, strict=False)]
    return ThingView(
        section=section, number=number, name=name, shape=shape, path=path, points_m=list(points), texts=texts, around_m=around,
        sides=[] if section == "edge" else sides, fixed=fixed,
    )  # fmt: skip


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
    if move.length is not None:
        return _stretched(loaded, document, thing, move.point, move.length)
    to, written = _where_to(thing, move, job.family)
    if thing.section == "edge":
        return _edge_to(job, to, move.snap)
    name = thing.name.capitalize() if thing.section in WISHES else f"{_WORDS[thing.section].capitalize()} {thing.name}"
    name = f"Corner {move.point + 1}" if thing.section == "outline" else name
    what = f"{name} moved"
    if move.whole and len(thing.points_m) > 1:
        (x, y), (to_x, to_y) = thing.points_m[move.point], to
        return _redrawn(loaded, document, thing, [(one + to_x - x, other + to_y - y) for one, other in thing.points_m]), what
    if thing.section in WISHES:
        return _redrawn(loaded, document, thing, _replaced(thing.points_m, move.point, to)), what
    if thing.path.endswith(".grid"):
        return _ungridded(loaded, thing, to), what
    raw = _value_at(document, thing.path)
    whole = [_texts(point, job.family) for point in thing.points_m]
    if raw is None or isinstance(raw, dict) or (isinstance(raw, list) and not _is_point(raw) and len(raw) != len(whole)):
        whole[move.point] = written
        return {thing.path: whole}, what
    old = thing.points_m[move.point]
    point = raw if _is_point(raw) else raw[move.point]
    kept = [point[axis] if abs(to[axis] - old[axis]) < 1e-6 else written[axis] for axis in (0, 1)]
    return {thing.path if _is_point(raw) else f"{thing.path}[{move.point + 1}]": kept}, what


def _where_to(thing: ThingView, move: Move, family: Family) -> tuple[Point, list[str]]:
    """The place meant, and how it is written into the file: as typed, or to the eighth of an inch or the millimetre."""
    if move.to is not None:
        return read_point(*move.to), [text.strip() for text in move.to]
    if move.to_m is None:
        raise _refused(thing.path, "says not where to; give to, to_m or length.")
    to = (snapped(move.to_m[0], move.snap), snapped(move.to_m[1], move.snap))
    if not all(math.isfinite(one) for one in to):
        raise _refused(thing.path, "a place is two lengths.")
    return to, _texts(to, family)


def read_point(east: str, north: str) -> Point:
    """A typed place. [m]

    Raises
    ------
    OutOfRange
        If a text is no length.
    """
    return parse_quantity(_with_unit(east), LENGTH), parse_quantity(_with_unit(north), LENGTH)


def _stretched(loaded: LoadedJob, document: Mapping[str, Any], thing: ThingView, number: int, text: str) -> tuple[Changes, str]:
    """A side made as long as typed: its far end goes along it, and in a ring a square side after it goes with it."""
    length = parse_quantity(text, LENGTH)
    if number >= len(thing.sides) or not length > 0:
        raise _refused(thing.path, f"{thing.name} has {len(thing.sides)} sides, each longer than nothing.")
    far, after = (number + 1) % len(thing.points_m), (number + 2) % len(thing.points_m)
    (x1, y1), (x2, y2), (x3, y3) = (thing.points_m[one] for one in (number, far, after))
    share = length / math.dist((x1, y1), (x2, y2))
    dx, dy = (share - 1) * (x2 - x1), (share - 1) * (y2 - y1)
    is_square = thing.shape == "ring" and abs((x3 - x2) * dx + (y3 - y2) * dy) < 1e-6
    along = {far, after} if is_square else {far}
    ring = [(x + dx, y + dy) if one in along else (x, y) for one, (x, y) in enumerate(thing.points_m)]
    return _redrawn(loaded, document, thing, ring), f"Side {number + 1} of {thing.name} set to {text.strip()}"


def _redrawn(loaded: LoadedJob, document: Mapping[str, Any], thing: ThingView, points: Sequence[Point]) -> Changes:
    """All points of a thing written anew."""
    if thing.section in WISHES:
        return _wishes(loaded.job, document, thing.section, {thing.number: points})
    return {thing.path: [_texts(point, loaded.job.family) for point in points]}


def _edge_to(job: Job, to: Point, snap: str) -> tuple[Changes, str]:
    """The edge made as wide at its bottom as its inner line was drawn from the form."""
    outline = shapely.Polygon(job.floor.outline)
    place = shapely.Point(to)
    if not outline.contains(place):
        raise _refused("edge.width", "the inner line of the edge lies inside the floor.")
    width = snapped(float(outline.exterior.distance(place)), snap)
    return {"edge.width": spelled(max(width, 0.0), job.family)}, "Edge made wider or narrower"


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
    if section in WISHES:
        there = len(getattr(job.joints, WISHES[section]))
        return _wishes(job, document, section, {there: points[:2]}), "Joint line forbidden" if section == "forbidden" else what
    if section not in _NEW:
        raise _refused(section, f"cannot be added on the plan; there are {', '.join(_WORDS)}.")
    entries = document.get(section) or []
    like = {key: value for key, value in entries[-1].items() if key not in (*_POSITION, "line", "run")} if entries else {}
    entry = like or dict(_NEW[section][0 if job.family is Family.US else 1])
    if place.columns * place.rows > 1:
        return {f"{section}[+]": {"grid": _grid(section, points, place, job.family), **entry}}, f"Grid of {section} added"
    key = LINES.get(section, "at")
    return {f"{section}[+]": {key: texts[0] if len(texts) == 1 else texts, **entry}}, what


def _grid(section: str, points: Sequence[Point], place: Place, family: Family) -> dict[str, Any]:
    """Even grid lines between two corners, as the job file writes them."""
    if section not in _POINTS or len(points) != 2:
        raise _refused(section, "only pads and posts stand in a grid, between two corners.")
    lines: dict[str, Any] = {}
    for axis, name, count in ((0, "x", place.columns), (1, "y", place.rows)):
        low, high = sorted(point[axis] for point in points)
        if count > 1 and high - low < 1e-6:
            raise _refused(section, "the two corners of the grid lie on one line; draw them apart.")
        step = (high - low) / max(count - 1, 1)
        even = {"from": spelled(low, family), "step": spelled(step, family), "count": count}
        lines[name] = even if count > 1 else [spelled(low, family)]
    return lines


def removed(loaded: LoadedJob, document: Mapping[str, Any], wish: Remove) -> tuple[Changes, str]:
    """The edit that takes a thing, or one corner of it, off the plan."""
    job = loaded.job
    thing = _found(loaded, wish.section, wish.number)
    what = f"{thing.name} taken out"
    if wish.section == "outline" or (wish.point is not None and thing.shape != "point" and wish.section not in WISHES):
        corners = [_texts(point, job.family) for number, point in enumerate(thing.points_m) if number != (wish.point or 0)]
        return {thing.path: corners}, f"Corner {(wish.point or 0) + 1} of {thing.name} taken out"
    if wish.section in WISHES:
        return _wishes(job, document, wish.section, {wish.number: None}), what
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


def _wishes(job: Job, document: Mapping[str, Any], section: str, changed: Mapping[int, Sequence[Point] | None]) -> Changes:
    """The wished joint lines of a kind with some put elsewhere, added or taken out; the others keep their wording."""
    key = WISHES[section]
    raw = list((document.get("joints") or {}).get(key) or [])
    lines: list[Any] = []
    for number in range(max(len(raw), *(one + 1 for one in changed))):
        if number not in changed:
            lines.append(raw[number])
        elif (points := changed[number]) is not None:
            lines.append([_texts(point, job.family) for point in points])
    return {f"joints.{key}": lines or None}


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
