"""What the trade takes for granted: values filled in where a job file is silent, each told as an assumption."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field, GetJsonSchemaHandler
from pydantic.fields import FieldInfo
from pydantic_core import CoreSchema

from slabwright.files.jobfile.positions import Path
from slabwright.files.jobfile.written import Written
from slabwright.results.check import Assumption
from slabwright.sources import Clause
from slabwright.units import Family

IF_SILENT = "ifSilent"


@dataclass(frozen=True, slots=True)
class Trade:
    """A value that goes without saying, as a builder would write it.

    Attributes
    ----------
    us, si : object
        For each family of units; one alone serves both.
    statement : str
        The sentence to confirm, with ``{}`` for the value.
    clause : Clause
        Where it comes from; ``clause_si`` where Europe's comes from elsewhere.
    when : callable
        Asked with the table it would fill; the first default of a key that says yes is used.
    """

    us: Any
    si: Any
    statement: str
    clause: Clause
    clause_si: Clause | None = None
    when: Callable[[Any], bool] = lambda _: True

    def value(self, family: Family) -> Any:
        """As it would stand in the file."""
        return self.us if family is Family.US else self.si

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        schema = handler(core)
        values = [self.us] if self.us == self.si else [self.us, self.si]
        return {**schema, "default": self.us, IF_SILENT: [*schema.get(IF_SILENT, ()), values]}

    def source(self, family: Family) -> Clause:
        return self.clause_si if family is Family.SI and self.clause_si is not None else self.clause


class JobTable(BaseModel):
    """A table of the job file: unknown keys are refused, silent ones filled by :func:`completed`."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True, hide_input_in_errors=True)

    @classmethod
    def clashes(cls, raw: Mapping[str, object]) -> Iterator[tuple[Path, str]]:  # noqa: ARG003 - most tables have none
        """What is wrong between the keys of a table as it stands in the file, each with its place in the table."""
        yield from ()


def about(description: str, *, alias: str | None = None) -> Any:
    """A key that may be left out."""
    return Field(default=None, description=description, alias=alias)


def needed(description: str, *, alias: str | None = None) -> Any:
    """A key that must be there."""
    return Field(description=description, alias=alias)


def written_of(info: FieldInfo) -> Written | None:
    """How the value of a key is written; None for tables within tables."""
    return next((one for one in info.metadata if isinstance(one, Written)), None)


def trades_of(info: FieldInfo) -> tuple[Trade, ...]:
    """What the trade fills in for a key, in order."""
    return tuple(one for one in info.metadata if isinstance(one, Trade))


def inner_table(info: FieldInfo) -> type[JobTable] | None:
    """The kind of table that a key holds, or holds a list of."""
    found = [info.annotation]
    while found:
        one = found.pop()
        if get_origin(one) is Annotated:
            one = get_args(one)[0]
        if isinstance(one, type) and issubclass(one, JobTable):
            return one
        found += get_args(one)
    return None


def one_of(raw: Mapping[str, object], *keys: str, example: str) -> Iterator[tuple[Path, str]]:
    """A fault unless exactly one of some keys is there."""
    there = [key for key in keys if key in raw]
    if not there:
        *most, last = keys
        yield (), f"has neither {', '.join(most)} nor {last}; write {example}."
    for extra in there[1:]:
        yield (extra,), f"stands beside {there[0]}; keep one of the two."


def clashes_in(kind: type[JobTable], raw: object, path: Path = ()) -> Iterator[tuple[Path, str]]:
    """The clashes of a table as it stands in the file and of every table inside it."""
    if not isinstance(raw, dict):
        return
    yield from (((*path, *inner), message) for inner, message in kind.clashes(raw))
    for name, info in kind.model_fields.items():
        key, inside = info.alias or name, inner_table(info)
        if inside is None or key not in raw:
            continue
        entries = enumerate(raw[key]) if isinstance(raw[key], list) else [(None, raw[key])]
        for number, one in entries:
            yield from clashes_in(inside, one, (*path, key) if number is None else (*path, key, number))


def tables_in(table: JobTable, path: Path = ()) -> Iterator[tuple[Path, JobTable]]:
    """A table and every table inside it, each with its path."""
    yield path, table
    for name, info in type(table).model_fields.items():
        value, place = getattr(table, name), (*path, info.alias or name)
        if isinstance(value, JobTable):
            yield from tables_in(value, place)
        elif isinstance(value, list):
            for number, one in enumerate(value):
                if isinstance(one, JobTable):
                    yield from tables_in(one, (*place, number))


def completed(table: JobTable, family: Family, spell: Callable[[Path], str]) -> list[Assumption]:
    """Fill every silent key for which the trade has a value.

    Parameters
    ----------
    table : JobTable
        Changed in place.
    family : Family
    spell : callable
        Writes a path as text.
    """
    assumptions = []
    for path, one in tables_in(table):
        for name, info in type(one).model_fields.items():
            trade = next((trade for trade in trades_of(info) if trade.when(one)), None)
            written = written_of(info)
            if getattr(one, name) is not None or trade is None or written is None:
                continue
            value = trade.value(family)
            setattr(one, name, written.read(value))
            where = spell((*path, info.alias or name))
            assumptions.append(Assumption(where=where, statement=trade.statement.format(value), clause=trade.source(family)))
    return assumptions


def unusual(table: JobTable, raw: dict[str, Any]) -> Iterator[tuple[Path, str]]:
    """Values outside the range in which most jobs lie, each with its path and a sentence."""
    for path, one in tables_in(table):
        for name, info in type(one).model_fields.items():
            written, value = written_of(info), getattr(one, name)
            if written is None or not isinstance(value, float):
                continue
            place = (*path, info.alias or name)
            if doubt := written.warning(value, _found(raw, place)):
                yield place, doubt


def _found(raw: Any, path: Path) -> object:
    for step in path:
        raw = raw[step]
    return raw
