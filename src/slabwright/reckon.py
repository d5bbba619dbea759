"""The register of published formulas: one name, one function, its source and its limits.

A function enters by the decorator :func:`published`; the units of its arguments and result are read off the
suffixes of their names, so they are declared once. ``slabwright.standards`` lists the modules that hold them.
"""

import inspect
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

from slabwright.errors import Finding, InputError, OutOfRange
from slabwright.results.working import Step, Working
from slabwright.sources import Clause
from slabwright.units import NUMBER, Dimension, Family, bare_name, dimension_of, format_number, format_quantity, parse_quantity

Function = TypeVar("Function", bound=Callable[..., Any])
_MARK = "__reckon_entry__"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One published formula or table.

    Attributes
    ----------
    name : str
        As typed: ``radius-of-relative-stiffness``.
    function : callable
        Keyword-only, pure, SI; an argument named ``working`` collects its steps.
    clause : Clause
    validity : str
        In words, where the source says so.
    limits : Mapping[str, tuple[float, float]]
        Range per argument in SI, outside which the source does not vouch for the result.
    """

    name: str
    function: Callable[..., Any]
    clause: Clause
    validity: str
    limits: Mapping[str, tuple[float, float]]

    @property
    def summary(self) -> str:
        """First line of the function's docstring."""
        return (inspect.getdoc(self.function) or "").partition("\n")[0]

    @property
    def parameters(self) -> tuple["Parameter", ...]:
        """What the formula needs, in order."""
        hints = get_type_hints(self.function)
        return tuple(
            Parameter(parameter.name, hints[parameter.name], parameter.default)
            for parameter in inspect.signature(self.function).parameters.values()
            if parameter.name != "working"
        )


@dataclass(frozen=True, slots=True)
class Parameter:
    """One argument of a formula."""

    name: str
    type: Any
    default: Any

    @property
    def written(self) -> str:
        """The name a person types: without its unit, words joined by hyphens."""
        return bare_name(self.name).replace("_", "-")

    @property
    def dimension(self) -> Dimension:
        """Kind of quantity."""
        return dimension_of(self.name)

    @property
    def required(self) -> bool:
        return self.default is inspect.Parameter.empty


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoning:
    """One formula worked: its value, source, working and warnings."""

    entry: Entry
    arguments: Mapping[str, Any]
    value: Any
    warnings: tuple[str, ...]
    steps: tuple[Step, ...]

    def results(self) -> tuple[tuple[str, Any], ...]:
        """Named results in SI; a single number carries the function's own name."""
        return tuple(_flat(self.entry.function.__name__, self.value))


def published(
    name: str, clause: Clause, *, validity: str = "", limits: Mapping[str, tuple[float, float]] | None = None
) -> Callable[[Function], Function]:
    """Enter a function in the register under a name.

    Parameters
    ----------
    name : str
        Lower-case words joined by hyphens.
    clause : Clause
        Where the formula stands.
    validity : str
        What the source says of its use.
    limits : Mapping, optional
        Argument name to (lowest, highest) in SI.
    """

    def mark(function: Function) -> Function:
        entries = getattr(function, _MARK, ())
        setattr(function, _MARK, (*entries, Entry(name=name, function=function, clause=clause, validity=validity, limits=limits or {})))
        return function

    return mark


def entries_of(module: object) -> tuple[Entry, ...]:
    """The entries a module declares, in order of definition."""
    return tuple(
        entry
        for member in vars(module).values()
        if inspect.isfunction(member) and member.__module__ == getattr(module, "__name__", None)
        for entry in getattr(member, _MARK, ())
    )


def reckon(entry: Entry, texts: Mapping[str, str]) -> Reckoning:
    """Work one formula with arguments as a person types them.

    Parameters
    ----------
    entry : Entry
    texts : Mapping[str, str]
        Written name to text with its unit.

    Raises
    ------
    InputError
        With every unknown, missing or unreadable argument at once.
    """
    parameters = {parameter.written: parameter for parameter in entry.parameters}
    findings, arguments = [], {}
    for key, text in texts.items():
        written = key.strip().lower().replace("_", "-")
        parameter = parameters.get(written) or next((p for p in parameters.values() if p.name.replace("_", "-") == written), None)
        if parameter is None:
            findings.append(Finding(where=key, message=f"is no input of {entry.name}; it takes {', '.join(parameters)}."))
            continue
        if parameter.name in arguments:
            findings.append(Finding(where=key, message="is given twice; keep one."))
            continue
        try:
            arguments[parameter.name] = _read(text, parameter.type, parameter.dimension)
        except (OutOfRange, ValueError) as error:
            findings.append(Finding(where=key, message=str(error)))
    findings += [
        Finding(where=parameter.written, message=f"is missing; write {parameter.written}={_example(parameter)}.")
        for parameter in parameters.values()
        if parameter.required and parameter.name not in arguments and not any(_same(f.where, parameter) for f in findings)
    ]
    if findings:
        raise InputError(f"reckon {entry.name}", findings)
    return work(entry, arguments)


def work(entry: Entry, arguments: Mapping[str, Any]) -> Reckoning:
    """Work one formula with arguments in SI."""
    working = Working()
    extra = {"working": working} if "working" in inspect.signature(entry.function).parameters else {}
    value = entry.function(**arguments, **extra)
    warnings = tuple(
        f"{bare_name(name)} {_shown(number, dimension_of(name))} is outside the range of the source, "
        f"{_shown(low, dimension_of(name))} to {_shown(high, dimension_of(name))}."
        for name, (low, high) in entry.limits.items()
        for number in _numbers(arguments.get(name))
        if not low <= number <= high
    )
    return Reckoning(entry=entry, arguments=dict(arguments), value=value, warnings=warnings, steps=tuple(working.steps))


def _numbers(value: Any) -> tuple[float, ...]:
    """The numbers of an argument that may be one, a list or nothing."""
    if isinstance(value, list | tuple):
        return tuple(number for one in value for number in _numbers(one))
    return (value,) if isinstance(value, int | float) else ()


def _shown(value: float, dimension: Dimension) -> str:
    if not math.isfinite(value):
        return "no limit"
    if dimension is NUMBER:
        return format_number(value)
    return f"{format_quantity(value, dimension, Family.US)} ({format_quantity(value, dimension, Family.SI)})"


def _same(where: str, parameter: Parameter) -> bool:
    written = where.strip().lower().replace("_", "-")
    return written in (parameter.written, parameter.name.replace("_", "-"))


def _example(parameter: Parameter) -> str:
    kind = _bare_type(parameter.type)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return "|".join(str(member.value) for member in kind)
    if kind is bool:
        return "yes"
    return parameter.dimension.examples().partition(" or ")[0] if parameter.dimension is not NUMBER else "…"


def _bare_type(hint: Any) -> Any:
    """A hint without ``| None``."""
    if get_origin(hint) in (UnionType, Union):
        return next(part for part in get_args(hint) if part is not NoneType)
    return hint


def _read(text: str, hint: Any, dimension: Dimension) -> Any:
    kind = _bare_type(hint)
    origin = get_origin(kind)
    if origin in (list, tuple, Sequence):
        (inner, *_) = get_args(kind)
        separator = ";" if get_origin(inner) in (tuple, list) else ","
        if origin is tuple and Ellipsis not in get_args(kind):
            parts = text.split(",")
            if len(parts) != len(get_args(kind)):
                raise OutOfRange(f'"{text}" should hold {len(get_args(kind))} values with commas between.')
            return tuple(_read(part, one, dimension) for part, one in zip(parts, get_args(kind), strict=True))
        return tuple(_read(part, inner, dimension) for part in text.split(separator) if part.strip())
    if kind is str:
        return text.strip()
    if kind is bool:
        if text.strip().lower() in ("yes", "true", "no", "false"):
            return text.strip().lower() in ("yes", "true")
        raise OutOfRange(f'"{text}" should be yes or no.')
    if isinstance(kind, type) and issubclass(kind, Enum):
        for member in kind:
            if text.strip().lower() in (str(member.value).lower(), member.name.lower().replace("_", "-")):
                return member
        raise OutOfRange(f'"{text}" is not one of {", ".join(str(member.value) for member in kind)}.')
    if kind is int:
        try:
            return int(text.replace(",", ""))
        except ValueError:
            raise OutOfRange(f'"{text}" should be a whole number.') from None
    return parse_quantity(text, dimension)


def _flat(name: str, value: Any) -> list[tuple[str, Any]]:
    if is_dataclass(value) and not isinstance(value, type):
        return [pair for one in fields(value) for pair in _flat(one.name, getattr(value, one.name))]
    if isinstance(value, Mapping):
        return [(str(key), one) for key, one in value.items()]
    return [(name, value)]
