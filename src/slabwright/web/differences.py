"""How two states of a job file differ, value by value, and whether two edits meet in one place."""

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from slabwright.files.jobfile.paths import key_path
from slabwright.web.fields import path_in_words, shown
from slabwright.web.views import Difference

Path = tuple[str | int, ...]


def document_of(text: str) -> dict[str, Any]:
    """The tables of a job file; empty where it cannot be read."""
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        return {}


def differences(before: str, after: str) -> list[Difference]:
    """Every value that two texts of a job file hold differently, in the order of the file."""
    old, new = (dict(_leaves(document_of(text))) for text in (before, after))
    paths = dict.fromkeys([*old, *new])
    return [
        Difference(path=key_path(path), words=path_in_words(key_path(path)), before=_shown(old, path), after=_shown(new, path))
        for path in paths
        if old.get(path) != new.get(path) or (path in old) != (path in new)
    ]


def _shown(leaves: Mapping[Path, Any], path: Path) -> str | None:
    return shown(leaves[path]) if path in leaves else None


def _leaves(value: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    if isinstance(value, dict) and value:
        for key, inner in value.items():
            yield from _leaves(inner, (*path, key))
    elif isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
        for number, inner in enumerate(value):
            yield from _leaves(inner, (*path, number))
    elif path:
        yield path, value


def clashes(mine: Iterable[str], theirs: Iterable[Difference]) -> list[str]:
    """Key paths of an edit that lie on, in or around a value that the other side changed.

    An entry added to or taken out of a list moves the ones after it, so that it meets every edit of that list.
    """
    others = [one.path for one in theirs]
    moved = {path.partition("[")[0] for one in theirs for path in (one.path,) if "[" in path and (one.before is None or one.after is None)}
    return [
        path
        for path in mine
        if any(_within(path, other) or _within(other, path) for other in others)
        or path.partition("[")[0] in moved
        or ("[+]" in path and any(other.startswith(path.partition("[")[0]) for other in others))
    ]


def _within(inner: str, outer: str) -> bool:
    return inner == outer or (inner.startswith(outer) and inner[len(outer)] in ".[")
