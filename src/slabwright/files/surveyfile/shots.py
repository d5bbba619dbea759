"""Shots on the base from a table: rod readings, elevations or depths, in the plan's axes or those of an instrument."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from slabwright.files.surveyfile.columns import Block, Row, Sheet, blocks_of
from slabwright.model.survey import LEVEL, TOTAL_STATION, Instrument, Rejected, Shot
from slabwright.solvers.rigid_fit import PlaneFit, Scale, fitted
from slabwright.units import FOOT_M, LENGTH

Place = tuple[float, float]

COLUMNS: Mapping[str, str] = {
    **dict.fromkeys(("point", "name", "no", "no.", "number", "shot", "id"), "name"),
    **dict.fromkeys(("x", "east", "easting", "e"), "x"),
    **dict.fromkeys(("y", "north", "northing", "n"), "y"),
    **dict.fromkeys(("rod", "reading", "staff", "fs", "foresight"), "rod"),
    **dict.fromkeys(("elevation", "elev", "z", "level", "height", "rl"), "elevation"),
    **dict.fromkeys(("depth", "below form", "below string"), "depth"),
    **dict.fromkeys(("code", "description", "note", "remark"), "code"),
}
KINDS = dict.fromkeys(("x", "y", "rod", "elevation", "depth"), LENGTH)
_FORM_NAMES = ("form", "forms", "form top", "form tops", "datum")
_HEIGHTS = ("rod", "elevation", "depth")
_SCALE_DOUBT = 0.01


@dataclass(frozen=True, slots=True)
class RawShots:
    """Shots in SI, before they are judged against the design."""

    shots: tuple[Shot, ...]
    instrument: Instrument
    rejected: tuple[Rejected, ...]


def parse_shots(sheet: Sheet, text: str, *, floor_level_m: float, corners: Mapping[str, Place]) -> RawShots:
    """Read a table of shots.

    Parameters
    ----------
    sheet : Sheet
        Takes the findings.
    text : str
        With columns x, y and one of rod, elevation, depth. A row named ``form`` gives the reading on the form tops. Two
        rows or more named after corners of the outline turn the instrument's axes into those of the plan.
    floor_level_m : float
        Finished floor level in the datum of the elevations. [m]
    corners : Mapping[str, (x, y)]
        Design places of the corners by letter. [m]
    """
    blocks = blocks_of(sheet, text, COLUMNS, KINDS)
    shots: list[Shot] = []
    rejected: list[Rejected] = []
    instrument = LEVEL
    for block in blocks:
        heights = [name for name in _HEIGHTS if name in block.names]
        lacking = [name for name in ("x", "y") if name not in block.names]
        if lacking or len(heights) != 1:
            what = f"lacks {' and '.join(lacking)}" if lacking else "needs one of rod, elevation and depth"
            sheet.refuse("headings", f"the table {what}; head it point,x (ft),y (ft),rod (ft) or the like.", block.line)
            continue
        for name in ("x", "y", heights[0]):
            if name not in block.units and not _cells_have_units(block, name):
                sheet.refuse(name, f"has no unit; write {name} (ft) or {name} (m) in the heading.", block.line)
        part, bad = _block_shots(sheet, block, heights[0], floor_level_m, corners)
        shots += part
        rejected += bad
        if any(row.text("name") in corners for row in block.rows):
            instrument = TOTAL_STATION
    return RawShots(tuple(shots), instrument, tuple(rejected))


def parse_control(sheet: Sheet, text: str, *, floor_level_m: float, corners: Mapping[str, Place]) -> tuple[float, PlaneFit | None, float]:
    """Read corners in a scan's axes: what unit it has, how it turns onto the plan, where its finished floor lies.

    Parameters
    ----------
    sheet : Sheet
    text : str
        point,x,y,z; a row ``form`` gives the height of the form tops where the corners do not.
    floor_level_m : float
        Used where no height is given. [m]
    corners : Mapping[str, (x, y)]

    Returns
    -------
    unit_m : float
    fit : PlaneFit or None
    floor_level_m : float
        In the scan's heights. [m]
    """
    unit, fit, level = 1.0, None, floor_level_m
    for block in blocks_of(sheet, text, COLUMNS, KINDS):
        named = {row.text("name"): row for row in block.rows}
        unknown = [name for name in named if name not in corners and name.lower() not in _FORM_NAMES]
        for name in unknown:
            sheet.refuse(name, f"is no corner of the outline; they are {', '.join(corners)}.", named[name].line)
        control = {}
        for name, row in named.items():
            x, y = (block.number(sheet, row, axis, LENGTH) for axis in ("x", "y"))
            if name in corners and x is not None and y is not None:
                control[name] = (x, y)
        heights = [z for row in block.rows if (z := block.number(sheet, row, "elevation", LENGTH)) is not None]
        level = math.fsum(heights) / len(heights) if heights else level
        fit = _plan_fit(sheet, control, corners, block) or fit
        unit = block.units["x"].factor if "x" in block.units else unit
    return unit, fit, level


def _cells_have_units(block: Block, name: str) -> bool:
    return any(any(letter.isalpha() or letter in "'\"" for letter in row.text(name)) for row in block.rows)


def _block_shots(
    sheet: Sheet, block: Block, kind: str, floor_level_m: float, corners: Mapping[str, Place]
) -> tuple[list[Shot], list[Rejected]]:
    forms = [row for row in block.rows if row.text("name").lower() in _FORM_NAMES]
    readings = [value for row in forms if (value := block.number(sheet, row, kind, LENGTH)) is not None]
    zero = _zero(sheet, block, kind, readings, floor_level_m)
    shots, control, rejected = [], {}, []
    for row in block.rows:
        if row in forms:
            continue
        x, y, height = (block.number(sheet, row, name, LENGTH) for name in ("x", "y", kind))
        name = row.text("name") or f"line {row.line}"
        if name in corners and x is not None and y is not None:
            control[name] = (x, y)
        elif x is None or y is None or height is None:
            place = (x, y) if x is not None and y is not None else None
            rejected.append(Rejected(name=name, at=place, reason=_lack(row, kind)))
        else:
            level = {"rod": zero - height, "elevation": height - zero, "depth": -height}[kind]
            shots.append(Shot(at=(x, y), level_m=level, name=name))
    fit = _plan_fit(sheet, control, corners, block)
    if fit is not None and shots:
        places = fit.apply(np.array([shot.at for shot in shots]))
        shots = [Shot(at=(float(x), float(y)), level_m=shot.level_m, name=shot.name) for shot, (x, y) in zip(shots, places, strict=True)]
    return shots, rejected


def _lack(row: Row, kind: str) -> str:
    empty = [name for name in ("x", "y", kind) if not row.text(name)]
    return f"line {row.line} lacks {' and '.join(empty)}." if empty else f"line {row.line} cannot be read."


def _zero(sheet: Sheet, block: Block, kind: str, readings: list[float], floor_level_m: float) -> float:
    """Reading or elevation of the finished floor level."""
    if len(readings) > 1 and max(readings) - min(readings) > 0.010:
        spread = max(readings) - min(readings)
        sheet.warn("form", f"the form tops differ by {spread * 1000:.0f} mm; the mean is taken, check the forms.", block.line)
    if readings:
        return math.fsum(readings) / len(readings)
    if kind == "rod":
        sheet.refuse("form", 'the reading on the form tops is missing; add a row such as "form,,,4.00".', block.line)
    return floor_level_m


def _plan_fit(sheet: Sheet, control: Mapping[str, Place], corners: Mapping[str, Place], block: Block) -> PlaneFit | None:
    """From the instrument's axes to the plan's, where corners of the outline were shot."""
    if not control:
        return None
    if len(control) < 2:
        sheet.refuse(next(iter(control)), "one corner does not turn the axes; shoot two corners of the form line or more.", block.line)
        return None
    source, target = np.array(list(control.values())), np.array([corners[name] for name in control])
    scale = fitted(source, target, scale=Scale.FREE).scale
    if abs(scale - 1.0) > _SCALE_DOUBT:
        if abs(scale * FOOT_M - 1.0) < 0.02:
            hint = "; it looks like metres read as feet"
        elif abs(scale / FOOT_M - 1.0) < 0.02:
            hint = "; it looks like feet read as metres"
        else:
            hint = ", or two corners are taken for each other"
        message = f"the shot corners are {1 / scale:.3f} times as far apart as drawn{hint}. Check units and names."
        sheet.refuse("corners", message, block.line)
        return None
    fit = fitted(source, target)
    worst = int(np.hypot(*fit.residuals.T).argmax())
    off = float(np.hypot(*fit.residuals[worst]))
    if off > 0.05:
        name = list(control)[worst]
        sheet.refuse("corners", f"corner {name} is {off:.3f} m from where the others put it; check its name and its shot.", block.line)
    return fit
