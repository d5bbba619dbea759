"""Four invented jobs that come with the package: small, large and open, with inside corners, and in SI.

Each is a folder with a ``job.toml`` and what was measured or forecast for it beside it. Buildings, places and prices
are made up; any likeness is accident.
"""

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from slabwright.errors import UnknownName
from slabwright.files.jobfile import write_job

_HERE = files(__name__)
_NAMES = ("store", "shelter", "station", "dairy")


def example_names() -> tuple[str, ...]:
    """Names of the examples, the smallest first."""
    return _NAMES


def example_text(name: str, file: str = "job.toml") -> str:
    """Text of one file of an example.

    Raises
    ------
    UnknownName
        If there is no such example or file.
    """
    found = _folder(name) / file
    if not found.is_file():
        raise UnknownName(f'example {name} has no file "{file}"; it has {", ".join(sorted(one.name for one in _folder(name).iterdir()))}.')
    return found.read_text(encoding="utf-8")


def write_example(folder: Path | str, name: str) -> Path:
    """Write an example into a folder, made if it is not there.

    Returns
    -------
    Path
        The job file.

    Raises
    ------
    UnknownName
        If there is no such example.
    FileExistsError
        If the folder holds a job file already.
    """
    source, folder = _folder(name), Path(folder)
    job = folder / "job.toml"
    if job.exists():
        raise FileExistsError(17, "there is a job file already; name another folder", str(job))
    folder.mkdir(parents=True, exist_ok=True)
    for one in sorted(source.iterdir(), key=lambda one: one.name == "job.toml"):
        if one.is_file():
            write_job(folder / one.name, one.read_text(encoding="utf-8"))
    return job


def _folder(name: str) -> Traversable:
    if name not in _NAMES:
        raise UnknownName(f'no example is called "{name}"; there are {", ".join(_NAMES)}.')
    return _HERE / name
