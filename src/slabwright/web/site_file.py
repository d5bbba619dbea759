"""A file of measurements or forecasts, tried beside the job before it is taken."""

import shutil
import tempfile
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from slabwright.errors import Finding, InputError
from slabwright.files import sitefile
from slabwright.files.sitefile import read_site
from slabwright.model.ground import Place

LARGEST_FILE = 20_000_000


def kinds() -> dict[str, tuple[str, ...]]:
    """What can lie beside a job file: a word for it to the names that its file may have."""
    found = {name: value for name, value in vars(sitefile).items() if name.endswith("_NAMES") and isinstance(value, tuple)}
    return {name.removesuffix("_NAMES").lower().replace("_", " "): value for name, value in found.items()}


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


def understood(content: bytes, file_name: str, kind: str, place: Place) -> Understood:
    """Try a file as a kind of record.

    Raises
    ------
    InputError
        If the kind is unknown, its ending does not fit, or it cannot be read.
    """
    names = kinds().get(kind)
    if names is None:
        raise _refused("kind", f'"{kind}" is not known; there are {", ".join(kinds())}.')
    ending = Path(file_name).suffix.lower()
    name = next((one for one in names if Path(one).suffix == ending), None)
    if name is None:
        raise _refused("file", f"{kind} is read from {', '.join(sorted({Path(one).suffix for one in names}))} files.")
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / name).write_bytes(content)
        site, findings = read_site(Path(folder), place)
    summary = [line for one in fields(site) for line in _summary(one.name, getattr(site, one.name))]
    return Understood(name, names, content, tuple(summary or ["Nothing was found in it."]), findings)


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
    counts = [
        f"{one.name.replace('_', ' ')} {len(inner)}"
        for one in fields(value)
        for inner in (getattr(value, one.name),)
        if isinstance(inner, tuple)
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
