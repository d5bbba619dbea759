"""Where a figure comes from: the document, the place in it, and how well it is known.

A document is a :class:`Source`, declared once in the module of ``standards`` named after it. A :class:`Clause` is
one place in one source; every check, quantity and formula carries one, so that whatever is printed can show it.
"""

from dataclasses import dataclass
from enum import Enum


class Basis(Enum):
    """How well a figure is known."""

    TEXT_SEEN = "text seen"
    QUOTED = "quoted elsewhere"
    MEMORY = "from memory"
    PRACTICE = "common practice, no source"
    DERIVED = "derived"


@dataclass(frozen=True, slots=True)
class Source:
    """A published document.

    Attributes
    ----------
    key : str
        Short name that sheets print, such as ``ACI 318-19``.
    title : str
        Full title with edition or year.
    """

    key: str
    title: str


@dataclass(frozen=True, slots=True)
class Clause:
    """One place in one source.

    Attributes
    ----------
    source : Source
    locator : str
        Section, table or equation.
    basis : Basis
        How the figure was seen.
    """

    source: Source
    locator: str
    basis: Basis

    def __str__(self) -> str:
        if self.source in (PRACTICE, ARITHMETIC):
            return f"{self.basis.value}: {self.locator}"
        place = f"{self.source.key} {self.locator}".strip()
        return place if self.basis is Basis.TEXT_SEEN else f"{place} [{self.basis.value}]"


PRACTICE = Source("common practice", "Common practice of the trade; no published source. A setting, to be confirmed on each job.")
ARITHMETIC = Source("arithmetic", "Exact mathematics or arithmetic on the job's own figures.")


def practice(what: str) -> Clause:
    """The clause of a figure that only common practice vouches for."""
    return Clause(PRACTICE, what, Basis.PRACTICE)


def arithmetic(what: str) -> Clause:
    """The clause of a figure that follows from the job's own data."""
    return Clause(ARITHMETIC, what, Basis.DERIVED)
