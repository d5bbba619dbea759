"""What it means for a value to be written in a job file.

Each kind of value is a small object that reads a TOML value into the terms of the model, says in plain words what is
wrong with it, and describes itself to the JSON Schema. Pydantic carries them, as in
``Annotated[float, Quantity(LENGTH, "4 in", "100 mm")]``.
"""

from collections.abc import Callable
from typing import Any, TypeVar

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from slabwright.files.jobfile.positions import Path

T = TypeVar("T")

KIND = "$kind"


class Refused(Exception):
    """A value that cannot be taken; carries every fault found in it, each with its place inside the value."""

    def __init__(self, *faults: tuple[Path, str]) -> None:
        self.faults = faults
        super().__init__("; ".join(message for _, message in faults))

    @classmethod
    def because(cls, message: str) -> "Refused":
        """One fault of the value as a whole."""
        return cls(((), message))


class Faults:
    """Collects the faults of the parts of a value, so that all are told at once."""

    def __init__(self) -> None:
        self.found: list[tuple[Path, str]] = []

    def take(self, place: str | int, read: Callable[[object], T], value: object) -> T | None:
        """Read one part; keep its faults and return None if it has any."""
        try:
            return read(value)
        except Refused as refused:
            self.found += [((place, *path), message) for path, message in refused.faults]
        return None

    def settle(self) -> None:
        """Raise :class:`Refused` if anything was found."""
        if self.found:
            raise Refused(*self.found)


class Written:
    """A way of writing a value in the job file."""

    def read(self, value: object) -> Any:
        """The value in the model's terms; raises :class:`Refused`."""
        raise NotImplementedError

    def schema(self) -> dict[str, Any]:
        """Its JSON Schema; ``{KIND: name}`` stands for the shared definition of that name."""
        raise NotImplementedError

    def example(self) -> str:
        """One value as TOML, for messages."""
        return toml(self.schema()["examples"][0])

    def warning(self, value: float, text: object) -> str:  # noqa: ARG002 - kinds without a usual range doubt nothing
        """What is unusual about a value, as it was written; empty where nothing is."""
        return ""

    def _validated(self, value: object) -> Any:
        try:
            return self.read(value)
        except Refused as refused:
            raise PydanticCustomError("refused", "{text}", {"text": str(refused), "faults": refused.faults}) from None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self._validated)

    def __get_pydantic_json_schema__(self, core: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return self.schema()


def shown(value: object) -> str:
    """A value as a message quotes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"' if len(value) <= 40 else f'"{value[:37]}..."'
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    text = str(value)
    return text if len(text) <= 40 else f"{text[:37]}..."


def toml(value: object) -> str:
    """A plain value as TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(value, list):
        return "[" + ", ".join(toml(one) for one in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(one)}" for key, one in value.items()) + " }"
    return str(value)
