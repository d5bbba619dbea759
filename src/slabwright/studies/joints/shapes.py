"""Panels of a floor with skewed sides: which rules of shape yield, by how much, and what change of the job would keep them."""

import math

import numpy as np
import shapely

from slabwright.results.check import Ask
from slabwright.results.notes import Notes
from slabwright.solvers.partition import SHARP_RAD, corner_angles, measured
from slabwright.sources import practice
from slabwright.standards import aci_302_1r
from slabwright.studies.joints.ground import JointGround
from slabwright.studies.joints.layout import LEAST_SHARE, is_rectilinear
from slabwright.studies.joints.options import Option
from slabwright.studies.joints.setting_out import sides_of, station
from slabwright.units import LENGTH, Family, format_quantity

SHARP_CORNER = practice("no corner of a panel under 60 degrees")
NARROW_PANEL = practice("no panel narrower than about half the spacing")


def check_shapes(option: Option, ground: JointGround, family: Family, notes: Notes) -> None:
    """Checks, a question and cautions on panels that are no rectangles; nothing on floors with sides along the axes."""
    if is_rectilinear(ground.region):
        return
    yielding = [
        *_check_sharp(option, ground, family, notes),
        *_check_narrow(option, ground, family, notes),
        *_long(option),
        *_others(option, ground),
    ]
    _say_outline(ground, notes)
    if yielding:
        proven = "No layout of the lines offered" if option.layout.faults <= option.layout.least_faults else "No layout found"
        notes.ask(
            Ask.ENGINEER,
            f"{proven} keeps every rule here: {'; '.join(yielding)}. Is that accepted, or is the floor to change?",
            "joints",
            aci_302_1r.PANEL_ASPECT,
        )


def _check_sharp(option: Option, ground: JointGround, family: Family, notes: Notes) -> list[str]:
    """The sharpest corner that a joint makes."""
    shapes = measured(option.layout.pieces, ground.region)
    n_sharp = int(shapes.sharp.sum())
    if not n_sharp:
        return []
    worst = int(np.argmin(shapes.sharpest_rad))
    angle = float(shapes.sharpest_rad[worst])
    places, angles = corner_angles(option.layout.pieces[worst])
    at = places[int(np.argmin(np.abs(angles - angle)))]
    sides = sides_of(ground.region)
    here = (float(at[0]), float(at[1]))
    side = next((one.name for one in sides if one.holds(here)), None)
    turn = math.ceil(math.degrees(SHARP_RAD - angle) - 0.05)
    own = _own_sharp(ground.region)
    if own:
        freed = f"Give corner{'s' if len(own) > 1 else ''} {' and '.join(own)} of the outline 60° or more"
    else:
        freed = f"Turn side {side} by {turn}°" if side else "Move a corner of the outline so that the lines meet more squarely"
    notes.at_least(
        "corner",
        "Sharpest corner that a joint makes",
        station(here, sides, (), family) if side else f"x {at[0]:.2f} m, y {at[1]:.2f} m",
        required=SHARP_RAD,
        provided=angle,
        suffix="rad",
        clause=SHARP_CORNER,
        remedy=f"{freed}, or accept the tips and tie two bars across each.",
    )
    return [f"{_counted(n_sharp, 'corner')} under 60°, the sharpest {math.degrees(angle):.0f}°"]


def _check_narrow(option: Option, ground: JointGround, family: Family, notes: Notes) -> list[str]:
    """The narrowest panel, where one is a sliver."""
    shapes = measured(option.layout.pieces, ground.region)
    middles = [piece.representative_point() for piece in option.layout.pieces]
    least = LEAST_SHARE * np.array([ground.spacing_at(one.x, one.y, option.proposal.trial.thicknesses) for one in middles])
    narrow = np.flatnonzero(shapes.short < least - 1e-6)
    if not len(narrow):
        return []
    worst = narrow[np.argmin(shapes.short[narrow] / least[narrow])]
    gap = format_quantity(float(least[worst] - shapes.short[worst]), LENGTH, family)
    notes.at_least(
        "narrow",
        "Width of the narrowest panel",
        f"panel at x {middles[worst].x:.1f} m, y {middles[worst].y:.1f} m",
        required=float(least[worst]),
        provided=float(shapes.short[worst]),
        suffix="m",
        clause=NARROW_PANEL,
        remedy=f"Make the floor {gap} wider there, or forbid the line beside the panel and accept a wider one.",
    )
    said = format_quantity(float(shapes.short[worst]), LENGTH, family)
    return [f"{_counted(len(narrow), 'panel')} too narrow, the narrowest {said}"]


def _long(option: Option) -> list[str]:
    shapes = measured(option.layout.pieces, option.proposal.region)
    aspect = shapes.long / shapes.short
    n_long = int(np.sum(aspect > aci_302_1r.GREATEST_ASPECT + 1e-6))
    limit = f"over {aci_302_1r.GREATEST_ASPECT:g}"
    return [f"{_counted(n_long, 'panel')} {aspect.max():.2f} times as long as wide, {limit}"] if n_long else []


def _others(option: Option, ground: JointGround) -> list[str]:
    found = []
    if option.layout.tees and not ground.wishes.allow_tees:
        found.append(f"{_counted(option.layout.tees, 'joint')} ending against another")
    if option.proposal.unserved:
        found.append(f"{_counted(len(option.proposal.unserved), 're-entrant corner')} without a joint")
    return found


def _say_outline(ground: JointGround, notes: Notes) -> None:
    for letter, angle in _own_sharp(ground.region).items():
        notes.caution(
            f"Corner {letter} of the outline has {math.degrees(angle):.0f}°, and no joint can blunt it: its tip may break off. "
            "Cut it off square to its middle, or tie two bars across it.",
            SHARP_CORNER,
        )


def _own_sharp(region: shapely.Polygon) -> dict[str, float]:
    """Letters and angles of sharp corners of the outline itself. [rad]"""
    corners, angles = corner_angles(region)
    letters = {side.first: side.start for side in sides_of(region) if side.first.isupper()}
    nearest = {letter: float(angles[np.argmin(np.hypot(*(corners - place).T))]) for letter, place in letters.items()}
    return {letter: angle for letter, angle in nearest.items() if angle < SHARP_RAD - 1e-6}


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" + ("" if number == 1 else "s")
