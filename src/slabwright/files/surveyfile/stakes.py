"""Measurements between stakes from a table: taped lengths, angles, coordinates, and stakes that may not move.

::

    from,to,distance,sd
    A,B,30'-0 1/8",1/16 in
    A,C,46'-10 1/2"

    at,from,to,angle (deg)
    A,B,D,270-00-20

    stake,x (m),y (m)
    A,1000.003,2000.002

    hold
    A
"""

from collections.abc import Mapping

from slabwright.files.surveyfile.columns import Block, Row, Sheet, blocks_of
from slabwright.model.survey import TAPE, TOTAL_STATION, Measured, Measurement, Rejected, SettingOutSurvey
from slabwright.units import ANGLE, LENGTH

COLUMNS: Mapping[str, str] = {
    **dict.fromkeys(("from", "backsight"), "from"),
    **dict.fromkeys(("to", "foresight"), "to"),
    **dict.fromkeys(("at", "station", "instrument at"), "at"),
    **dict.fromkeys(("distance", "length", "tape", "measured"), "distance"),
    **dict.fromkeys(("angle", "horizontal angle"), "angle"),
    **dict.fromkeys(("stake", "point", "corner", "name"), "stake"),
    **dict.fromkeys(("x", "east", "easting", "e"), "x"),
    **dict.fromkeys(("y", "north", "northing", "n"), "y"),
    **dict.fromkeys(("sd", "standard error", "error", "+-", "±"), "sd"),
    **dict.fromkeys(("hold", "held", "fixed"), "hold"),
}
KINDS = {"distance": LENGTH, "x": LENGTH, "y": LENGTH, "angle": ANGLE}


def parse_stakes(sheet: Sheet, text: str) -> SettingOutSurvey:
    """Read measurements between stakes.

    Parameters
    ----------
    sheet : Sheet
        Takes the findings.
    text : str
    """
    measurements: list[Measurement] = []
    held: list[str] = []
    rejected: list[Rejected] = []
    for block in blocks_of(sheet, text, COLUMNS, KINDS):
        names = set(block.names)
        if "hold" in names:
            held += [row.text("hold") for row in block.rows if row.text("hold")]
        elif {"from", "to", "distance"} <= names:
            _distances(sheet, block, measurements, rejected)
        elif {"at", "from", "to", "angle"} <= names:
            _angles(sheet, block, measurements, rejected)
        elif {"stake", "x", "y"} <= names:
            _places(sheet, block, measurements, rejected)
        else:
            sheet.refuse("headings", "head a block from,to,distance or at,from,to,angle or stake,x,y or hold.", block.line)
    if not measurements and not any(not finding.warning for finding in sheet.findings):
        sheet.refuse("measurements", "the table holds no measurement that can be used.")
    _warn_of_twins(sheet, measurements)
    for gone in rejected:
        sheet.warn(gone.name, f"not used: {gone.reason}")
    return SettingOutSurvey(measurements=tuple(measurements), held=tuple(held), rejected=tuple(rejected), source=sheet.source)


def _sd(sheet: Sheet, block: Block, row: Row, like: str) -> float | None:
    """Standard error in the unit of its own cell, else of the measurement's column."""
    if not row.text("sd"):
        return None
    units = block.units if "sd" in block.units or like not in block.units else {**block.units, "sd": block.units[like]}
    value = Block(block.names, units, block.rows, block.line).number(sheet, row, "sd", KINDS[like])
    if value is not None and value <= 0:
        sheet.refuse("sd", "a standard error is above nought.", row.line)
        return None
    return value


def _distances(sheet: Sheet, block: Block, measurements: list[Measurement], rejected: list[Rejected]) -> None:
    for row in block.rows:
        at, to, value = row.text("from"), row.text("to"), block.number(sheet, row, "distance", LENGTH)
        if not at or not to or value is None:
            rejected.append(Rejected(name=f"line {row.line}", at=None, reason=f"line {row.line} lacks a stake or a length."))
        elif at == to:
            sheet.refuse("from, to", f"{at} to {to} is no distance; name two stakes.", row.line)
        elif value <= 0:
            sheet.refuse("distance", f"{at} to {to} must be above nought.", row.line)
        else:
            measurements.append(
                Measurement(kind=Measured.DISTANCE, at=at, to=to, value=value, instrument=TAPE, sd=_sd(sheet, block, row, "distance"))
            )


def _angles(sheet: Sheet, block: Block, measurements: list[Measurement], rejected: list[Rejected]) -> None:
    for row in block.rows:
        at, first, second = row.text("at"), row.text("from"), row.text("to")
        value = block.number(sheet, row, "angle", ANGLE)
        if not at or not first or not second or value is None:
            rejected.append(Rejected(name=f"line {row.line}", at=None, reason=f"line {row.line} lacks a stake or an angle."))
        elif len({at, first, second}) < 3:
            sheet.refuse("angle", f"an angle at {at} needs two other stakes.", row.line)
        else:
            sd = _sd(sheet, block, row, "angle")
            measurements.append(
                Measurement(kind=Measured.ANGLE, at=at, to=first, second=second, value=value, instrument=TOTAL_STATION, sd=sd)
            )


def _places(sheet: Sheet, block: Block, measurements: list[Measurement], rejected: list[Rejected]) -> None:
    for row in block.rows:
        name, x, y = row.text("stake"), block.number(sheet, row, "x", LENGTH), block.number(sheet, row, "y", LENGTH)
        if not name or x is None or y is None:
            rejected.append(Rejected(name=name or f"line {row.line}", at=None, reason=f"line {row.line} lacks a stake or a coordinate."))
            continue
        sd = _sd(sheet, block, row, "x")
        for kind, value in ((Measured.X, x), (Measured.Y, y)):
            measurements.append(Measurement(kind=kind, at=name, value=value, instrument=TOTAL_STATION, sd=sd))


def _warn_of_twins(sheet: Sheet, measurements: list[Measurement]) -> None:
    """The same coordinates under two names are one stake booked twice."""
    places: dict[tuple[float, float], str] = {}
    x = {one.at: one.value for one in measurements if one.kind is Measured.X}
    y = {one.at: one.value for one in measurements if one.kind is Measured.Y}
    for name in x:
        spot = (round(x[name], 3), round(y[name], 3))
        if spot in places:
            sheet.warn(name, f"has the coordinates of {places[spot]}; one of the two was booked twice.")
        places.setdefault(spot, name)
