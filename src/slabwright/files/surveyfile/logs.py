"""Small tables of the site: the dug trench, the form tops, the level book."""

from collections.abc import Mapping

from slabwright.files.surveyfile.columns import Block, Sheet, blocks_of
from slabwright.model.survey import FormLevel, FormLog, LevelBook, LevelReading, Rejected, TrenchLog, TrenchStation
from slabwright.units import LENGTH

TRENCH_COLUMNS: Mapping[str, str] = {
    **dict.fromkeys(("station", "name", "pad", "at", "no"), "name"),
    **dict.fromkeys(("depth", "total depth"), "depth"),
    **dict.fromkeys(("bottom", "width", "bottom width"), "bottom"),
    **dict.fromkeys(("top", "top width"), "top"),
    **dict.fromkeys(("across", "other side"), "across"),
}
FORM_COLUMNS: Mapping[str, str] = {
    **dict.fromkeys(("station", "name", "point", "no"), "name"),
    **dict.fromkeys(("x", "east", "easting"), "x"),
    **dict.fromkeys(("y", "north", "northing"), "y"),
    **dict.fromkeys(("before", "before elevation", "elevation before"), "before"),
    **dict.fromkeys(("after", "after elevation", "elevation after"), "after"),
    **dict.fromkeys(("before rod", "rod before"), "before rod"),
    **dict.fromkeys(("after rod", "rod after"), "after rod"),
}
BOOK_COLUMNS: Mapping[str, str] = {
    **dict.fromkeys(("point", "station", "name"), "point"),
    **dict.fromkeys(("bs", "back", "backsight"), "back"),
    **dict.fromkeys(("is", "intermediate", "between"), "between"),
    **dict.fromkeys(("fs", "fore", "foresight"), "fore"),
    **dict.fromkeys(("known", "benchmark", "elevation"), "known"),
    **dict.fromkeys(("booked", "reduced", "rl"), "booked"),
    **dict.fromkeys(("run", "length", "length of run"), "run"),
}
_BENCHMARKS = ("benchmark", "bm", "tbm")


def parse_trench(sheet: Sheet, text: str) -> TrenchLog:
    """Read as-dug stations: station, bottom, depth, and where known top; a pad by its name, with its other side across."""
    stations: list[TrenchStation] = []
    for block in blocks_of(sheet, text, TRENCH_COLUMNS, dict.fromkeys(("depth", "bottom", "top", "across"), LENGTH)):
        if not {"depth", "bottom"} <= set(block.names):
            sheet.refuse("headings", "head the table station,bottom (in),depth (in) or the like.", block.line)
            continue
        for number, row in enumerate(block.rows, start=len(stations) + 1):
            depth, bottom, top, across = (block.number(sheet, row, name, LENGTH) for name in ("depth", "bottom", "top", "across"))
            name = row.text("name") or str(number)
            if depth is None or bottom is None or min(depth, bottom) <= 0:
                sheet.refuse(name, "needs a depth and a bottom width above nought.", row.line)
            else:
                stations.append(TrenchStation(name=name, depth_m=depth, bottom_m=bottom, top_m=top, across_m=across))
    return TrenchLog(stations=tuple(stations), source=sheet.source)


def parse_forms(sheet: Sheet, text: str, *, floor_level_m: float) -> FormLog:
    """Read form tops before and after: elevations, or rods with a row ``benchmark`` that was read both times.

    Parameters
    ----------
    sheet : Sheet
    text : str
    floor_level_m : float
        Finished floor level in the datum of the elevations. [m]
    """
    levels: list[FormLevel] = []
    assumed = False
    rejected: list[Rejected] = []
    kinds = dict.fromkeys(("x", "y", "before", "after", "before rod", "after rod"), LENGTH)
    for block in blocks_of(sheet, text, FORM_COLUMNS, kinds):
        rods = {"before rod", "after rod"} <= set(block.names)
        if not ({"x", "y"} <= set(block.names) and (rods or {"before", "after"} <= set(block.names))):
            sheet.refuse(
                "headings", "head the table station,x (ft),y (ft),before rod (ft),after rod (ft) or with before and after.", block.line
            )
            continue
        found = _form_rows(sheet, block, rods, floor_level_m, rejected)
        if rods and found:
            mean = sum(one.before_m for one in found) / len(found)
            found = [FormLevel(name=one.name, at=one.at, before_m=one.before_m - mean, after_m=one.after_m - mean) for one in found]
        levels += found
        assumed = assumed or rods
    return FormLog(levels=tuple(levels), source=sheet.source, rejected=tuple(rejected), mean_assumed=assumed)


def _form_rows(sheet: Sheet, block: Block, rods: bool, floor_level_m: float, rejected: list[Rejected]) -> list[FormLevel]:
    names = ("before rod", "after rod") if rods else ("before", "after")
    zero = (floor_level_m, floor_level_m)
    if rods:
        mark = next((row for row in block.rows if row.text("name").lower() in _BENCHMARKS), None)
        readings = [block.number(sheet, mark, name, LENGTH) for name in names] if mark is not None else []
        if not readings or None in readings:
            sheet.refuse(
                "benchmark", 'rods need a row "benchmark" read both times, or a settled instrument reads as a settled form.', block.line
            )
            return []
        zero = (float(readings[0] or 0.0), float(readings[1] or 0.0))
    found = []
    for row in block.rows:
        name = row.text("name") or f"line {row.line}"
        if name.lower() in _BENCHMARKS:
            continue
        x, y, before, after = (block.number(sheet, row, column, LENGTH) for column in ("x", "y", *names))
        if x is None or y is None or before is None or after is None:
            rejected.append(Rejected(name=name, at=None, reason=f"line {row.line} lacks a place or a reading."))
            sheet.warn(name, f"not used: line {row.line} lacks a place or a reading.", row.line)
            continue
        sign = -1.0 if rods else 1.0
        found.append(FormLevel(name=name, at=(x, y), before_m=sign * (before - zero[0]), after_m=sign * (after - zero[1])))
    return found


def parse_level_book(sheet: Sheet, text: str) -> LevelBook:
    """Read a level book: point, BS, IS, FS, the known elevation of benchmarks, and elevations as booked."""
    readings: list[LevelReading] = []
    run = None
    kinds = dict.fromkeys(("back", "between", "fore", "known", "booked", "run"), LENGTH)
    for block in blocks_of(sheet, text, BOOK_COLUMNS, kinds):
        if "point" not in block.names or "back" not in block.names or "fore" not in block.names:
            sheet.refuse("headings", "head the book point,BS (ft),IS (ft),FS (ft),known (ft).", block.line)
            continue
        for row in block.rows:
            back, between, fore, known, booked = (
                block.number(sheet, row, name, LENGTH) for name in ("back", "between", "fore", "known", "booked")
            )
            run = block.number(sheet, row, "run", LENGTH) or run
            readings.append(
                LevelReading(
                    point=row.text("point") or f"line {row.line}",
                    back_m=back,
                    between_m=between,
                    fore_m=fore,
                    known_m=known,
                    booked_m=booked,
                )
            )
    return LevelBook(readings=tuple(readings), length_m=run, source=sheet.source)
