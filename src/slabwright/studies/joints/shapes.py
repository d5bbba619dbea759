"""Panels of a floor with skewed sides: which rules of shape yield, by how much, and what change of the job would keep them."""

import math

import numpy as np
import shapely

from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.solvers.partition import corner_angles, measured
from slabwright.sources import practice
from slabwright.standards import aci_302_1r
from slabwright.studies.joints.ground import JointGround
from slabwright.studies.joints.layout import is_rectilinear
from slabwright.studies.joints.options import Option
from slabwright.studies.joints.setting_out import sides_of, station
from slabwright.units import LENGTH, Family, format_place, format_quantity

Point = tuple[float, float]

SHARP_CORNER = practice("no corner of a panel under 60 degrees, where the job states no other")
NARROW_PANEL = practice("no panel narrower than 45 % of the spacing, where the job states no other")


def check_shapes(option: Option, ground: JointGround, family: Family, notes: Notes) -> None:
    """Checks and cautions on panels that are no rectangles; nothing on floors with sides along the axes."""
    if not is_rectilinear(ground.region):
        _check_sharp(option, ground, family, notes)
        _check_narrow(option, ground, family, notes)
        _say_outline(ground, notes)


def ask_yielding(option: Option, ground: JointGround, family: Family, notes: Notes) -> None:
    """Ask whether the rules that yield may, by how much they do, and what change of the job would keep them."""
    yielding = [*_wide(option, ground, family), *_long(option, ground), *_tees(option, ground)]
    if not is_rectilinear(ground.region):
        yielding += [*_sharp(option, ground), *_narrow(option, ground, family)]
    if not yielding:
        return
    is_proven = option.layout.n_offered and option.layout.faults <= option.layout.least_faults
    opening = "No layout of the lines offered keeps every rule here" if is_proven else "Not every rule is kept here"
    said = "; ".join(f"{found} ({change})" if change else found for found, change in yielding)
    notes.ask(
        Ask.ENGINEER,
        f"{opening}: {said}. Is that accepted, or is the floor to change?",
        "joints",
        aci_302_1r.PANEL_ASPECT,
    )


def _wide(option: Option, ground: JointGround, family: Family) -> list[tuple[str, str]]:
    """Panels wider than the spacing asked for, and the thickness at which they would not be."""
    asked = ground.spacing.n_thicknesses
    shapes = measured(option.layout.pieces, option.proposal.region)
    allowed = np.array([ground.spacing_at(one.x, one.y, asked) for one in map(shapely.point_on_surface, option.layout.pieces)])
    wide = np.flatnonzero(shapes.long > allowed + 1e-3)
    if not len(wide):
        return []
    worst = wide[np.argmax(shapes.long[wide] / allowed[wide])]
    longest, limit = float(shapes.long[worst]), float(allowed[worst])
    thicker = format_quantity(longest / asked, LENGTH, family)
    change = f"a floor {thicker} thick would keep the rule" if longest <= ground.cap_m else "more steel may let it pass"
    told = [format_quantity(one, LENGTH, family) for one in (longest, limit)]
    return [(f"{_counted(len(wide), 'panel')} up to {told[0]} long, where {asked:g} thicknesses allow {told[1]}", change)]


def _long(option: Option, ground: JointGround) -> list[tuple[str, str]]:
    shapes = measured(option.layout.pieces, option.proposal.region)
    aspect = shapes.long / shapes.short
    n_long = int(np.sum(aspect > ground.greatest_aspect() + 1e-6))
    limit = f"over {ground.greatest_aspect():g}"
    return [(f"{_counted(n_long, 'panel')} {aspect.max():.2f} times as long as wide, {limit}", "")] if n_long else []


def _tees(option: Option, ground: JointGround) -> list[tuple[str, str]]:
    if not option.layout.tees or ground.wishes.allow_tees:
        return []
    change = "unpin a line, or say allow_tees" if ground.wishes.pinned else "say allow_tees, or tie bars at the inner corners instead"
    return [(f"{_counted(option.layout.tees, 'joint')} ending against another", change)]


def _sharp(option: Option, ground: JointGround) -> list[tuple[str, str]]:
    shapes = measured(option.layout.pieces, ground.region, ground.least_corner_rad())
    n_sharp = int(shapes.sharp.sum())
    limit, sharpest = math.degrees(ground.least_corner_rad()), math.degrees(shapes.sharpest_rad.min())
    said = f"{_counted(n_sharp, 'corner')} under {limit:.0f}°, the sharpest {sharpest:.0f}°"
    return [(said, "")] if n_sharp else []


def _narrow(option: Option, ground: JointGround, family: Family) -> list[tuple[str, str]]:
    narrow, short, _, _ = _slivers(option, ground)
    said = f"{_counted(len(narrow), 'panel')} too narrow, the narrowest {format_quantity(short, LENGTH, family)}"
    return [(said, "")] if len(narrow) else []


def _slivers(option: Option, ground: JointGround) -> tuple[list[int], float, float, Point]:
    """Panels too narrow; width, least width and place of the worst."""
    shapes = measured(option.layout.pieces, ground.region)
    middles = [shapely.point_on_surface(piece) for piece in option.layout.pieces]
    least = ground.least_width_share() * np.array([ground.spacing_at(one.x, one.y, option.proposal.trial.thicknesses) for one in middles])
    worst = int(np.argmin(shapes.short / least))
    narrow = [int(one) for one in np.flatnonzero(shapes.short < least - 1e-6)]
    return narrow, float(shapes.short[worst]), float(least[worst]), (middles[worst].x, middles[worst].y)


def _check_sharp(option: Option, ground: JointGround, family: Family, notes: Notes) -> None:
    """The sharpest corner that a joint makes."""
    shapes = measured(option.layout.pieces, ground.region, ground.least_corner_rad())
    n_sharp = int(shapes.sharp.sum())
    if not n_sharp:
        return
    worst, limit = int(np.argmin(shapes.sharpest_rad)), ground.least_corner_rad()
    angle = float(shapes.sharpest_rad[worst])
    places, angles = corner_angles(option.layout.pieces[worst])
    at = places[int(np.argmin(np.abs(angles - angle)))]
    sides = sides_of(ground.region)
    here = (float(at[0]), float(at[1]))
    side = next((one.name for one in sides if one.holds(here)), None)
    turn = math.ceil(math.degrees(limit - angle) - 0.05)
    own = _own_sharp(ground)
    if own:
        freed = f"Give corner{'s' if len(own) > 1 else ''} {' and '.join(own)} of the outline {math.degrees(limit):.0f}° or more"
    else:
        freed = f"Turn side {side} by {turn}°" if side else "Move a corner of the outline so that the lines meet more squarely"
    notes.at_least(
        "corner",
        "Sharpest corner that a joint makes",
        station(here, sides, (), family) if side else format_place(at, family),
        required=limit,
        provided=angle,
        suffix="rad",
        clause=SHARP_CORNER,
        remedy=f"{freed}, or accept the tips and tie two bars across each.",
    )


def _check_narrow(option: Option, ground: JointGround, family: Family, notes: Notes) -> None:
    """The narrowest panel, where one is a sliver."""
    narrow, short, least, (x, y) = _slivers(option, ground)
    if not narrow:
        return
    notes.at_least(
        "narrow",
        "Width of the narrowest panel",
        f"panel at {format_place((x, y), family)}",
        required=least,
        provided=short,
        suffix="m",
        clause=NARROW_PANEL,
        remedy=f"Make the floor {format_quantity(least - short, LENGTH, family)} wider there, "
        "or forbid the line beside the panel and accept a wider one.",
    )


def _say_outline(ground: JointGround, notes: Notes) -> None:
    for letter, angle in _own_sharp(ground).items():
        notes.caution(
            f"Corner {letter} of the outline has {math.degrees(angle):.0f}°, and no joint can blunt it: its tip may break off. "
            "Cut it off square to its middle, or tie two bars across it.",
            SHARP_CORNER,
        )


def _own_sharp(ground: JointGround) -> dict[str, float]:
    """Letters and angles of sharp corners of the outline itself. [rad]"""
    region = ground.region
    corners, angles = corner_angles(region)
    letters = {side.first: side.start for side in sides_of(region) if side.first.isupper()}
    nearest = {letter: float(angles[np.argmin(np.hypot(*(corners - place).T))]) for letter, place in letters.items()}
    return {letter: angle for letter, angle in nearest.items() if angle < ground.least_corner_rad() - 1e-6}


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" + ("" if number == 1 else "s")
