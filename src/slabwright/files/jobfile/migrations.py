"""Older editions of the job file, brought up to the present one step by step before anything is read."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

Document = dict[str, Any]

CURRENT = 1

STEPS: Mapping[int, Callable[[Document], Document]] = MappingProxyType({})
"""Edition to the function that makes the next one of it."""


def edition_of(document: Document) -> int:
    """The edition a document says it is; a silent or unreadable one counts as the present."""
    number = document.get("schema", CURRENT)
    return number if isinstance(number, int) and not isinstance(number, bool) and number >= 1 else CURRENT


def migrated(document: Document, steps: Mapping[int, Callable[[Document], Document]] = STEPS, current: int = CURRENT) -> Document:
    """A document of any earlier edition, in the present one.

    Parameters
    ----------
    document : dict
        As read from TOML; not changed.
    steps : Mapping
        Edition to the function that makes the next one of it.
    current : int
        Edition to arrive at.
    """
    for edition in range(edition_of(document), current):
        document = {**steps[edition](document), "schema": edition + 1}
    return document
