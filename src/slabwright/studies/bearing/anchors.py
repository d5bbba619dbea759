"""Cast-in anchors of each post base: tension, shear and both together."""

from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely

from slabwright.errors import OutOfRange
from slabwright.model.combinations import Level
from slabwright.model.loads import Anchor, LoadCase
from slabwright.results.check import Ask, Check
from slabwright.results.notes import Notes
from slabwright.results.working import Step, Working
from slabwright.sources import Clause, practice
from slabwright.standards import aci_318_19_anchor_shear as in_shear
from slabwright.standards import aci_318_19_anchors as tension
from slabwright.standards.aci_318_19_anchors import AnchorKind
from slabwright.studies.bearing.loads import Array, Factored
from slabwright.studies.bearing.stand import Stand
from slabwright.studies.bearing.written import units_of

_FAR_M = 1e3
_END_COVER = practice("anchors end at least 3 in. (75 mm) above the bottom of the pad")
_END_COVER_M = 0.075


@dataclass(frozen=True, slots=True)
class Edges:
    """Distances from the outermost anchors to the nearest side of concrete, along the pad's axes. [m]"""

    west: float
    east: float
    south: float
    north: float

    def towards(self, axis: int, side: int) -> tuple[float, float, float]:
        """Edge ahead and the edges beside it, looking along an axis."""
        ahead = ((self.west, self.east), (self.south, self.north))[axis][0 if side < 0 else 1]
        beside = ((self.south, self.north), (self.west, self.east))[axis]
        return ahead, beside[0], beside[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnchorFigures:
    """Demands on the anchors of one post and their weakest modes.

    Attributes
    ----------
    tension_n, shear_n : float
        Factored, on the group. [N]
    tension_mode, shear_mode : str
    ratio : float
        Of tension with shear.
    """

    tension_n: float
    shear_n: float
    tension_mode: str
    shear_mode: str
    ratio: float


def edges_of(stand: Stand, outline: shapely.Polygon, anchor: Anchor) -> Edges:
    """Sides of the pad's bottom or of the form line, whichever is nearer, in each direction."""
    size_x, size_y = stand.sides_m
    off_x, off_y = stand.offset_m
    spread = (anchor.n_x - 1) * anchor.spacing_x_m / 2, (anchor.n_y - 1) * anchor.spacing_y_m / 2
    pad = (size_x / 2 + off_x, size_x / 2 - off_x, size_y / 2 + off_y, size_y / 2 - off_y)
    form = [_to_form(stand, outline, *way) for way in ((-1, 0), (1, 0), (0, -1), (0, 1))]
    found = [max(min(one, two) - spread[k // 2], 1e-3) for k, (one, two) in enumerate(zip(pad, form, strict=True))]
    return Edges(*found)


def _to_form(stand: Stand, outline: shapely.Polygon, x: float, y: float) -> float:
    """From the post to the form line along an axis of the pad. [m]"""
    cos, sin = np.cos(stand.pad.rotation_rad), np.sin(stand.pad.rotation_rad)
    at = np.array(stand.post.at)
    end = at + _FAR_M * np.array([cos * x - sin * y, sin * x + cos * y])
    cut = shapely.LineString([at, end]).intersection(outline.exterior)
    return float(cut.distance(shapely.Point(at))) if not cut.is_empty else _FAR_M


def check_anchors(stand: Stand, outline: shapely.Polygon, notes: Notes) -> AnchorFigures | None:
    """Add the checks of a post's anchors to the notes; None where the post has none."""
    anchor = stand.post.anchor
    if anchor is None:
        return None
    strength = stand.factored(Level.STRENGTH, own=True)
    pull = tensions_n(strength, stand, anchor)
    try:
        tension.rod(diameter_m=anchor.diameter_m)
    except OutOfRange as unknown:
        notes.ask(Ask.ENGINEER, f"The anchors of post {stand.name} are not checked: {unknown}", stand.where)
        return None
    edges = edges_of(stand, outline, anchor)
    notes.at_most(
        f"{stand.name}.anchor_depth", "Anchors end above the pad's bottom cover", stand.where, found=anchor.embedment_m + _END_COVER_M,
        limit=stand.pad.depth_m, suffix="m", clause=_END_COVER, remedy="Shorter anchors or a deeper pad.",
    )  # fmt: skip
    _seismic(stand, notes)
    number = int(np.argmax(pull))
    modes_n = _tension_modes(stand, anchor, edges, float(pull[number]), strength.combinations[number].name, float(strength.down[number]))
    push = int(np.argmax(strength.shear))
    modes_v = _shear_modes(stand, anchor, edges, strength, push)
    notes.checks.extend(modes_n + modes_v)
    worst_n = max(modes_n, key=lambda check: check.ratio, default=None)
    worst_v = max(modes_v, key=lambda check: check.ratio, default=None)
    ratio = _interaction(stand, strength, pull, worst_n, worst_v, notes)
    return AnchorFigures(
        tension_n=float(pull[number]), shear_n=float(strength.shear[push]), tension_mode=worst_n.name if worst_n else "",
        shear_mode=worst_v.name if worst_v else "", ratio=ratio,
    )  # fmt: skip


def tensions_n(strength: Factored, stand: Stand, anchor: Anchor) -> Array:
    """Tension of the anchors on the lifted side, as if it were that of the whole group. [N]

    A moment is carried as a couple between the outer rows; the row that is lifted then decides, so its tension is
    spread over all rows for checks on the group.
    """
    up = -strength.down
    moment = strength.values[:, 3:5] - np.column_stack([strength.values[:, 1], strength.values[:, 2]]) * stand.arm_m
    pull = up.copy()
    for axis, (rows, spacing) in enumerate(((anchor.n_x, anchor.spacing_x_m), (anchor.n_y, anchor.spacing_y_m))):
        lever = (rows - 1) * spacing
        if lever > 0:
            pull = pull + 2 * np.abs(moment[:, axis]) / lever
    return np.maximum(pull, 0.0)


def _seismic(stand: Stand, notes: Notes) -> None:
    if LoadCase.SEISMIC in stand.own:
        notes.ask(
            Ask.ENGINEER, f"Post {stand.name} carries earthquake loads: the reductions of 17.10 for its anchors are not included here.",
            stand.where,
        )  # fmt: skip
    anchor = stand.post.anchor
    assert anchor is not None
    moment = any(reaction.moment_x_nm or reaction.moment_y_nm for reaction in stand.own.values())
    if moment and max((anchor.n_x - 1) * anchor.spacing_x_m, (anchor.n_y - 1) * anchor.spacing_y_m) <= 0:
        notes.ask(
            Ask.ENGINEER,
            f"Post {stand.name} brings a moment, but its anchors stand in one place and cannot take one. What does?",
            stand.where,
        )


def _tension_modes(stand: Stand, anchor: Anchor, edges: Edges, pull: float, combination: str, down: float) -> list[Check]:
    if pull <= 0:
        return []
    kind = AnchorKind(anchor.kind)
    rods = anchor.n_x * anchor.n_y
    areas = tension.rod(diameter_m=anchor.diameter_m)
    head = anchor.head_area_m2 or areas.head_area_m2
    found = []

    def add(key: str, name: str, clause: Clause, capacity: float, working: Working) -> None:
        found.append(
            Check(
                key=f"{stand.name}.anchor_{key}", name=name, where=stand.where, demand=pull, capacity=capacity, suffix="n", clause=clause,
                governing=combination, steps=tuple(working.steps), remedy="More, thicker or deeper anchors, or farther from the edge.",
            )
        )  # fmt: skip

    def working_with_demand() -> Working:
        working, units = Working(), units_of(stand.family)
        extra = pull - max(0.0, -down)
        working.line(
            "N_ua = max(0, -P_u) + C",
            units.force,
            "C stands for the couple of a base moment",
            P_u=units.force_of(down),
            C=units.force_of(extra),
        )
        return working

    working = working_with_demand()
    steel = tension.steel_tension_n(
        area_m2=areas.tension_area_m2, steel_strength_pa=anchor.steel_strength_pa, anchors=rods, working=working
    )
    add("steel", "Anchor steel in tension", tension.STEEL_TENSION, steel, working)
    working = working_with_demand()
    add("breakout", "Concrete breakout under tension", tension.BREAKOUT, _breakout(stand, anchor, edges, working).capacity_n, working)
    working = working_with_demand()
    pullout = tension.pullout_n(
        strength_pa=stand.strength_pa, kind=kind, diameter_m=anchor.diameter_m, head_area_m2=head, anchors=rods, working=working
    )
    add("pullout", "Pull-out of anchors", tension.PULLOUT, pullout, working)
    if kind is AnchorKind.HEADED:
        blowout = _blowout(stand, anchor, edges, head, working := working_with_demand())
        if blowout is not None:
            add("blowout", "Side-face blow-out", tension.SIDE_BLOWOUT, blowout, working)
    return found


def _breakout(stand: Stand, anchor: Anchor, edges: Edges, working: Working) -> tension.Breakout:
    return tension.breakout(
        strength_pa=stand.strength_pa, embedment_m=anchor.embedment_m, edge_west_m=edges.west, edge_east_m=edges.east,
        edge_south_m=edges.south, edge_north_m=edges.north, spread_x_m=(anchor.n_x - 1) * anchor.spacing_x_m,
        spread_y_m=(anchor.n_y - 1) * anchor.spacing_y_m, working=working,
    )  # fmt: skip


def _blowout(stand: Stand, anchor: Anchor, edges: Edges, head: float, working: Working) -> float | None:
    """Least side blow-out over the four sides, brought to the whole group by its number of rows."""
    least: float | None = None
    steps: list[Step] = []
    for axis, side in product((0, 1), (-1, 1)):
        ahead, one, two = edges.towards(axis, side)
        along = (anchor.n_y, anchor.spacing_y_m) if axis == 0 else (anchor.n_x, anchor.spacing_x_m)
        rows = anchor.n_x if axis == 0 else anchor.n_y
        trial = Working()
        found = tension.side_blowout_n(
            strength_pa=stand.strength_pa, embedment_m=anchor.embedment_m, edge_m=ahead, head_area_m2=head, crossing_edge_m=min(one, two),
            spread_along_edge_m=(along[0] - 1) * along[1], anchors_along_edge=along[0], working=trial,
        )  # fmt: skip
        if found is not None and (least is None or found * rows < least):
            least, steps = found * rows, trial.steps
    working.steps.extend(steps)
    return least


def _shear_modes(stand: Stand, anchor: Anchor, edges: Edges, strength: Factored, number: int) -> list[Check]:
    shear = float(strength.shear[number])
    if shear <= 0:
        return []
    areas = tension.rod(diameter_m=anchor.diameter_m)
    combination = strength.combinations[number].name
    found = []

    def add(key: str, name: str, clause: Clause, capacity: float, working: Working, demand: float = shear) -> None:
        found.append(
            Check(
                key=f"{stand.name}.anchor_{key}", name=name, where=stand.where, demand=demand, capacity=capacity, suffix="n", clause=clause,
                governing=combination, steps=tuple(working.steps), remedy="Thicker anchors, farther from the edge, or a shear key.",
            )
        )  # fmt: skip

    working = Working()
    steel = in_shear.steel_shear_n(
        area_m2=areas.tension_area_m2, steel_strength_pa=anchor.steel_strength_pa, anchors=anchor.n_x * anchor.n_y, working=working
    )
    add("shear_steel", "Anchor steel in shear", in_shear.STEEL_SHEAR, steel, working)
    components = (float(strength.values[number, 1]), float(strength.values[number, 2]))
    for axis, component in enumerate(components):
        if abs(component) <= 0:
            continue
        ahead, one, two = edges.towards(axis, 1 if component > 0 else -1)
        spread = (anchor.n_y - 1) * anchor.spacing_y_m if axis == 0 else (anchor.n_x - 1) * anchor.spacing_x_m
        working = Working()
        capacity = in_shear.shear_breakout(
            strength_pa=stand.strength_pa, diameter_m=anchor.diameter_m, embedment_m=anchor.embedment_m, edge_m=ahead, left_m=one,
            right_m=two, thickness_m=stand.pad.depth_m, spread_along_edge_m=spread, working=working,
        ).capacity_n  # fmt: skip
        add(
            f"shear_breakout_{'xy'[axis]}", "Concrete breakout towards the edge", in_shear.SHEAR_BREAKOUT, capacity, working, abs(component)
        )
    working = Working()
    breakout = _breakout(stand, anchor, edges, working).strength_n
    add(
        "pryout", "Prying out behind the shear", in_shear.PRYOUT,
        in_shear.pryout_n(breakout_n=breakout, embedment_m=anchor.embedment_m, working=working), working,
    )  # fmt: skip
    return found


def _interaction(
    stand: Stand,
    strength: Factored,
    pull: Array,
    worst_n: Check | None,
    worst_v: Check | None,
    notes: Notes,
) -> float:
    """Tension and shear of the same combination against the weakest modes."""
    if worst_n is None or worst_v is None:
        return max((check.ratio for check in (worst_n, worst_v) if check is not None), default=0.0)
    ratios_n, ratios_v = pull / worst_n.capacity, strength.shear / strength.shear.max() * worst_v.ratio
    together = np.where(np.minimum(ratios_n, ratios_v) <= 0.2, np.maximum(ratios_n, ratios_v), (ratios_n + ratios_v) / 1.2)
    number = int(np.argmax(together))
    working = Working()
    ratio = tension.interaction(tension_ratio=float(ratios_n[number]), shear_ratio=float(ratios_v[number]), working=working)
    notes.checks.append(
        Check(
            key=f"{stand.name}.anchor_both", name="Anchors under tension and shear together", where=stand.where, demand=ratio, capacity=1.0,
            suffix="", clause=tension.INTERACTION, governing=strength.combinations[number].name, steps=tuple(working.steps),
            remedy="More, thicker or deeper anchors, or farther from the edge.",
        )
    )  # fmt: skip
    return ratio
