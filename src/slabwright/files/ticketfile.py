"""Delivery tickets from a CSV file: put in order, duplicates and gaps told, times brought to one zone."""

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from slabwright.errors import Finding, InputError, OutOfRange
from slabwright.model.tickets import Ticket, Tickets
from slabwright.units import LENGTH, VOLUME, parse_quantity

TICKETS_NAME = "tickets.csv"
"""Under which tickets are kept with the job, beside its file."""
_TIMES = ("batched", "arrived", "started", "ended")
_MOST_ROWS = 2000


def read_tickets(path: Path | str, time_zone: str, day: date) -> tuple[Tickets, tuple[Finding, ...]]:
    """Read a ticket file.

    Raises
    ------
    InputError
        With everything wrong in it at once.
    OSError
        If it cannot be opened.
    """
    return parse_tickets(Path(path).read_text(encoding="utf-8-sig"), str(path), time_zone, day)


def parse_tickets(text: str, source: str, time_zone: str, day: date) -> tuple[Tickets, tuple[Finding, ...]]:
    """Read tickets from text.

    Parameters
    ----------
    text : str
        Columns ``ticket, volume, batched, arrived, started, ended, slump, water``; the last five may be missing or empty. Volumes,
        slump and water carry their unit, in the cell or in brackets in the heading; times are ``07:45`` on ``day`` or full with a zone.
    source : str
        Name used in messages.
    time_zone : str
        Zone of times without one, such as ``America/Denver``; UTC where empty.
    day : date
        Of times without a date.

    Returns
    -------
    Tickets
        In the order batched.
    tuple of Finding
        What was sorted out: order, duplicates, gaps, zones.

    Raises
    ------
    InputError
        For a heading or a cell that cannot be read.
    """
    zone = _zone(time_zone, source)
    reader = csv.DictReader(io.StringIO(text), restkey="more")
    rows = list(reader)
    if len(rows) > _MOST_ROWS:
        raise InputError(source, [Finding(where="rows", message=f"{len(rows)} rows are too many for one pour; split the file.")])
    headings, units = _headings(reader.fieldnames or (), source)
    faults: list[Finding] = []
    told: list[Finding] = []
    loads: dict[str, Ticket] = {}
    for line, row in enumerate(rows, start=2):
        cells = {name: (row.get(heading) or "").strip() for name, heading in headings.items()}
        try:
            load = _ticket(cells, units, zone, day)
        except (OutOfRange, ValueError) as error:
            faults.append(Finding(where=f"ticket {cells.get('ticket') or '?'}", message=str(error), line=line))
            continue
        told += [Finding(where=f"ticket {load.name}", message=text, line=line, warning=True) for text in _doubts(load, cells, zone)]
        if load.name in loads:
            told.append(Finding(where=f"ticket {load.name}", message="stands twice; the later line is kept.", line=line, warning=True))
        loads[load.name] = load
    if faults:
        raise InputError(source, faults)
    if not loads:
        raise InputError(source, [Finding(where="rows", message="there is no ticket in the file.")])
    ordered = tuple(sorted(loads.values(), key=lambda load: load.batched))
    if [load.name for load in ordered] != list(loads):
        told.append(Finding(where="order", message="the tickets were not in the order batched; they have been sorted.", warning=True))
    return Tickets(loads=ordered), tuple(told)


def _zone(name: str, source: str) -> ZoneInfo:
    try:
        return ZoneInfo(name or "UTC")
    except (ZoneInfoNotFoundError, ValueError):
        raise InputError(
            source, [Finding(where="time zone", message=f'"{name}" is no time zone; write one such as "America/Denver".')]
        ) from None


def _headings(written: Sequence[str], source: str) -> tuple[Mapping[str, str], Mapping[str, str]]:
    """Column name to heading, and column name to the unit in its heading."""
    headings, units = {}, {}
    for heading in written:
        name, _, unit = heading.partition("(")
        headings[name.strip().lower()] = heading
        if unit:
            units[name.strip().lower()] = unit.rstrip(" )")
    missing = [name for name in ("ticket", "volume", "batched") if name not in headings]
    if missing:
        raise InputError(
            source,
            [
                Finding(where="headings", message=f"the column {name} is missing; the first line names the columns.", line=1)
                for name in missing
            ],
        )
    return headings, units


def _ticket(cells: Mapping[str, str], units: Mapping[str, str], zone: ZoneInfo, day: date) -> Ticket:
    if not cells["ticket"]:
        raise OutOfRange("the ticket has no number; write one in the first column.")
    times = {name: _moment(cells.get(name, ""), zone, day) for name in _TIMES}
    batched = times["batched"]
    if batched is None:
        raise OutOfRange("the time batched is missing; without it the age of the load is not known.")
    volume = parse_quantity(_with_unit(cells["volume"], units.get("volume", "")), VOLUME)
    if volume <= 0:
        raise OutOfRange(f'volume "{cells["volume"]}" is not above nought.')
    slump, water = cells.get("slump", ""), cells.get("water", "")
    return Ticket(
        name=cells["ticket"],
        batched=batched,
        volume_m3=volume,
        arrived=times["arrived"],
        started=times["started"],
        ended=times["ended"],
        slump_m=parse_quantity(_with_unit(slump, units.get("slump", "")), LENGTH) if slump else None,
        water_added_m3=parse_quantity(_with_unit(water, units.get("water", "")), VOLUME) if water else 0.0,
    )


def _with_unit(text: str, unit: str) -> str:
    return f"{text} {unit}" if unit and text and text[-1].isdigit() else text


def _moment(text: str, zone: ZoneInfo, day: date) -> datetime | None:
    if not text:
        return None
    try:
        moment = datetime.fromisoformat(text) if len(text) > 8 else datetime.combine(day, time.fromisoformat(text.zfill(5)))
    except ValueError:
        raise OutOfRange(f'"{text}" is no time; write 07:45, or 2026-04-14T07:45-06:00.') from None
    return moment.replace(tzinfo=zone) if moment.tzinfo is None else moment.astimezone(zone)


def _doubts(load: Ticket, cells: Mapping[str, str], zone: ZoneInfo) -> list[str]:
    """What is odd about a load that can be used all the same."""
    found = []
    stamps = [(name, moment) for name in _TIMES if (moment := getattr(load, name)) is not None]
    for (earlier, first), (later, second) in pairwise(stamps):
        if second < first:
            found.append(f"{later} at {second:%H:%M} stands before {earlier} at {first:%H:%M}; check the stamps.")
    skipped = [name for name in ("arrived", "started") if getattr(load, name) is None and load.ended is not None]
    found += [f"the time {name} is missing; the load counts for volume and not for rates." for name in skipped]
    written = [cells[name] for name in _TIMES if cells.get(name)]
    if any(len(text) > 8 and datetime.fromisoformat(text).tzinfo is not None for text in written) and any(
        len(text) <= 8 for text in written
    ):
        found.append(f"has times with and without a zone; those without are read in {zone.key}.")
    return found


def moment_on(text: str, tickets: Tickets) -> datetime:
    """A time as typed, on the day and in the zone of the tickets.

    Raises
    ------
    OutOfRange
        If it is no time.
    """
    first = tickets.loads[0].batched
    zone = first.tzinfo if isinstance(first.tzinfo, ZoneInfo) else ZoneInfo("UTC")
    moment = _moment(text.strip(), zone, first.date())
    if moment is None:
        raise OutOfRange("the time is empty; write 09:40.")
    return moment
