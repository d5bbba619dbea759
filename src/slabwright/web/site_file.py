"""A file of measurements or forecasts, tried beside the job before it is taken."""

import shutil
import tempfile
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from pathlib import Path
from typing import Any

from slabwright.errors import Finding, InputError
from slabwright.files.ticketfile import TICKETS_NAME
from slabwright.model.job import Job
from slabwright.units import VOLUME, format_quantity

LARGEST_FILE = 20_000_000

KINDS: dict[str, tuple[str, ...]] = {
    "forecast or weather": ("weather.csv", "weather.json", "weather.epw"),
    "a year's climate": ("climate.epw", "climate.csv"),
    "level shots of the base": ("base_survey.csv", "scan.las", "scan.laz", "scan.ply", "scan.xyz"),
    "control points of a scan": ("control.csv",),
    "trench log": ("trench.csv",),
    "stakes as set": ("stakes.csv",),
    "form tops": ("forms.csv",),
    "level book": ("levels.csv",),
    "tests of the mix": ("mix_tests.csv",),
    "delivery tickets": (TICKETS_NAME,),
}
"""What can lie beside a job file, and under which names."""


@dataclass(frozen=True, slots=True)
class Understood:
    """What was understood of a file.

    Attributes
    ----------
    name : str
        Under which it would lie beside the job file.
    replaces : tuple of str
        Names that it would take the place of.
    """

    name: str
    replaces: tuple[str, ...]
    content: bytes
    summary: tuple[str, ...]
    findings: tuple[Finding, ...]


def understood(content: bytes, file_name: str, kind: str, folder: str) -> Understood:
    """Try a file as a kind of record, beside a copy of the job file in a folder.

    Raises
    ------
    InputError
        If the kind is unknown, its ending does not fit, or it cannot be read.
    """
    from slabwright.files.jobfile import read_job
    from slabwright.files.sitefile import read_site

    names = KINDS.get(kind)
    if names is None:
        raise _refused("kind", f'"{kind}" is not known; there are {", ".join(KINDS)}.')
    ending = Path(file_name).suffix.lower()
    name = next((one for one in names if Path(one).suffix == ending), None)
    if name is None:
        raise _refused("file", f"{kind} is read from {', '.join(sorted({Path(one).suffix for one in names}))} files.")
    job = read_job(Path(folder) / "job.toml").job
    if name == TICKETS_NAME:
        return _tickets(content, names, job)
    with tempfile.TemporaryDirectory() as apart:
        control = Path(folder) / "control.csv"
        if control.is_file():
            shutil.copy(control, Path(apart) / control.name)
        (Path(apart) / name).write_bytes(content)
        site, findings = read_site(Path(apart), job.place, job=job)
    summary = [line for one in fields(site) for line in _summary(one.name, getattr(site, one.name))]
    return Understood(name, names, content, tuple(summary or ["Nothing was found in it."]), findings)


def _tickets(content: bytes, names: tuple[str, ...], job: Job) -> Understood:
    """Loads in the order batched, with everything that had to be sorted out."""
    from slabwright.files.ticketfile import parse_tickets

    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _refused("file", "is no plain text; save the table as CSV in UTF-8.") from None
    tickets, told = parse_tickets(text, TICKETS_NAME, job.place.time_zone, date.today())
    loads = tickets.loads
    volume = format_quantity(sum(one.volume_m3 for one in loads), VOLUME, job.family)
    summary = [
        f"{len(loads)} {'load' if len(loads) == 1 else 'loads'}, {volume}, batched {loads[0].batched:%H:%M} to {loads[-1].batched:%H:%M}."
    ]
    for one in loads:
        stamps = (("batched", one.batched), ("on site", one.arrived), ("first concrete", one.started), ("emptied", one.ended))
        times = ", ".join(f"{word} {at:%H:%M}" for word, at in stamps if at is not None)
        summary.append(f"Ticket {one.name}: {format_quantity(one.volume_m3, VOLUME, job.family)}; {times}.")
    return Understood(TICKETS_NAME, names, content, tuple(summary), told)


def take(folder: Path, found: Understood) -> None:
    """Put a file beside the job file, whole or not at all; what it takes the place of is kept under another name."""
    from slabwright.outputs.atomic import write_atomically

    for name in found.replaces:
        if (folder / name).is_file():
            shutil.move(folder / name, folder / f"{name}.before")
    write_atomically(folder / found.name, found.content)


def _summary(name: str, value: Any) -> list[str]:
    if value is None or value == () or name == "today":
        return []
    label = name.replace("_", " ").capitalize()
    if isinstance(value, tuple):
        return [f"{label}: {len(value)}"]
    if not is_dataclass(value):
        return [f"{label}: read"]
    counts = [
        f"{one.name.replace('_', ' ')} {len(inner)}"
        for one in fields(value)
        for inner in (getattr(value, one.name),)
        if isinstance(inner, tuple) and inner
    ]
    plain = [
        f"{one.name.replace('_', ' ')} {inner}"
        for one in fields(value)
        for inner in (getattr(value, one.name),)
        if isinstance(inner, str) and inner
    ]
    return [f"{label}: {', '.join([*plain, *counts]) or 'read'}"]


def _refused(where: str, message: str) -> InputError:
    return InputError("file", [Finding(where=where, message=message)])
