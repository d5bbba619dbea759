"""Every error slabwright raises on purpose.

::

    SlabwrightError
    ├── InputError        (ValueError)    a file or request that cannot be taken; carries all its findings
    ├── OutOfRange        (ValueError)    a value that has no meaning for the formula it was given to
    ├── GeometryError     (ValueError)    shapes that cannot be built
    ├── UnknownName       (LookupError)   a name that is in no register
    ├── MissingInput                      a study waits: the job does not say enough yet
    ├── ProgramError      (RuntimeError)  the house's own rules were broken, a fault of the program
    └── SolverError       (RuntimeError)
        ├── NotConverged                  an iteration that did not reach its tolerance
        ├── Mechanism                     nothing holds the body in place
        └── Infeasible                    no answer meets all the rules

A message says where, what rule, what was found and what to do, in the trade's plain words.
Nothing below ``app`` prints or logs; the command line and the web page turn an error into text once.
"""

from collections.abc import Iterable
from dataclasses import dataclass


class SlabwrightError(Exception):
    """Root of every error raised on purpose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing wrong or doubtful with an input.

    Attributes
    ----------
    where : str
        Key path, such as ``floor.thickness`` or ``pads[2].depth``.
    message : str
        What was found, what is allowed and how to write it.
    line : int or None
        Line in the file, counted from 1.
    warning : bool
        True when the input can be used all the same.
    """

    where: str
    message: str
    line: int | None = None
    warning: bool = False

    def __str__(self) -> str:
        if self.line is None:
            return f"{self.where}: {self.message}"
        return f"{self.where}: {self.message.removesuffix('.')} (line {self.line})."


class InputError(SlabwrightError, ValueError):
    """A file or a request that cannot be taken; all its findings at once."""

    def __init__(self, source: str, findings: Iterable[Finding]) -> None:
        self.source = source
        self.findings = tuple(findings)
        super().__init__("\n".join(f"{source}: {finding}" for finding in self.findings))


class OutOfRange(SlabwrightError, ValueError):
    """A value that has no meaning for the formula it was given to."""


class GeometryError(SlabwrightError, ValueError):
    """Shapes that cannot be built."""


class UnknownName(SlabwrightError, LookupError):
    """A name that is in no register."""


class MissingInput(SlabwrightError):
    """A study waits: the job does not say enough yet."""


class ProgramError(SlabwrightError, RuntimeError):
    """The house's own rules were broken: a fault of the program, not of its input."""


class SolverError(SlabwrightError, RuntimeError):
    """A computation that could not be completed."""


class NotConverged(SolverError):
    """An iteration that did not reach its tolerance."""


class Mechanism(SolverError):
    """Nothing holds the body in place."""


class Infeasible(SolverError):
    """No answer meets all the rules."""
