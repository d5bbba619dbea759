"""From a table of the job file to a dataclass of the model: the same names, without and with their units."""

from dataclasses import fields
from typing import Any, TypeVar

from slabwright.files.jobfile.trade import JobTable
from slabwright.units import bare_name

T = TypeVar("T")


def key_of(field_name: str) -> str:
    """The key that states a field of the model: no unit, and no ``n_`` before a count.

    >>> key_of("thickness_m"), key_of("n_people")
    ('thickness', 'people')
    """
    return bare_name(field_name).removeprefix("n_")


def assembled(kind: type[T], table: JobTable, **given: Any) -> T:
    """An object of the model from the keys of a table that carry its field names.

    Parameters
    ----------
    kind : type
        A dataclass of the model.
    table : JobTable
        Keys left silent take the default of the model.
    **given
        Fields that are not simply a key of the table; None is left to the default of the model.
    """
    values = {one.name: given.get(one.name, getattr(table, key_of(one.name), None)) for one in fields(kind)}  # type: ignore[arg-type]
    return kind(**{name: tuple(value) if isinstance(value, list) else value for name, value in values.items() if value is not None})
