"""Changing a job file: one value at a time, with comments and layout kept, written whole or not at all."""

import os
import tempfile
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path as FilePath
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from slabwright.errors import Finding, InputError
from slabwright.files.jobfile.paths import key_path, path_of
from slabwright.files.jobfile.positions import Path

_NEW = -1


def edited(text: str, changes: Mapping[str, Any]) -> str:
    """A job file's text with some values changed.

    Parameters
    ----------
    text : str
        TOML; comments, order and spacing stay.
    changes : Mapping
        Key path to its new value, in order: text, number, flag, list or table; None takes the entry out. Tables that
        are not there are made, and ``pads[+]`` appends an entry to a list.

    Raises
    ------
    InputError
        If the text is no TOML, or a path leads nowhere.

    Examples
    --------
    >>> edited('[floor]\\nthickness = "4 in"  # as on the permit\\n', {"floor.thickness": "5 in"})
    '[floor]\\nthickness = "5 in"  # as on the permit\\n'
    """
    try:
        document = tomlkit.parse(text)
    except TOMLKitError as error:
        raise InputError("edit", [Finding(where="the file", message=f"cannot be read: {error}.")]) from None
    for written, value in changes.items():
        _change(document, path_of(written), value)
    return tomlkit.dumps(document)


def _change(document: Any, path: Path, value: Any) -> None:
    holder = document
    for depth, (step, after) in enumerate(pairwise(path), start=1):
        if isinstance(step, str) and isinstance(holder, dict) and step not in holder and value is not None:
            if holder is document and len(document):
                holder.add(tomlkit.nl())
            holder[step] = tomlkit.aot() if isinstance(after, int) else tomlkit.table()
        if step == _NEW:
            _append(holder, {}, path[:depth])
        holder = holder[-1] if step == _NEW else _entry(holder, step, path[:depth])
    last = path[-1]
    if value is None:
        _entry(holder, last, path)
        del holder[last]
    elif last == _NEW:
        _append(holder, value, path)
    elif isinstance(last, int):
        _entry(holder, last, path)
        holder[last] = value
    elif isinstance(holder, dict):
        holder[last] = value
    else:
        raise _lost(path)


def _append(holder: Any, value: Any, path: Path) -> None:
    if not isinstance(holder, list):
        raise _lost(path)
    if isinstance(holder, AoT):
        table = tomlkit.table()
        table.update(value)
        holder.append(table)
        if value:
            holder[-1].add(tomlkit.nl())
    else:
        holder.append(value)


def _entry(holder: Any, step: str | int, path: Path) -> Any:
    try:
        if isinstance(step, str) == isinstance(holder, dict) and step != _NEW:
            return holder[step]
    except (KeyError, IndexError):
        pass
    raise _lost(path)


def _lost(path: Path) -> InputError:
    return InputError(
        "edit", [Finding(where=key_path(path), message="is not in the job file; name an entry that is, or [+] for a new one.")]
    )


def write_job(path: FilePath | str, text: str) -> None:
    """Write a job file under a temporary name and rename it, so that a killed run leaves the earlier one whole.

    Parameters
    ----------
    path : Path or str
    text : str
        As :func:`edited` gives it.
    """
    path = FilePath(path)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-", suffix=".part")
    part = FilePath(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        if path.exists():
            part.chmod(path.stat().st_mode & 0o777)
        else:
            part.chmod(0o644)
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise
