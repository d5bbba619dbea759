"""The history of job files: each state kept whole, undo and redo along a tree, names for states worth keeping."""

import hashlib
import zlib
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Engine, Row, delete, func, insert, select, update

from slabwright.errors import Finding, InputError, UnknownName
from slabwright.store.database import edits, places, settings, versions


def digest_of(text: str) -> str:
    """Short hash of a job file's text: the version that an edit is made from."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Edit:
    """One state of a job file and how it came about."""

    number: int
    parent: int | None
    at: str
    what: str
    digest: str


@dataclass(frozen=True, slots=True)
class Version:
    """A state with a name."""

    name: str
    at: str
    edit: Edit


class History:
    """The history of one job.

    Parameters
    ----------
    engine : Engine
        An up-to-date store.
    job : str
        Name of the job within the store.
    """

    def __init__(self, engine: Engine, job: str) -> None:
        self._engine, self._job = engine, job

    def record(self, text: str, what: str) -> Edit:
        """Keep a state after the present one, and stand at it; the present state itself is not kept twice."""
        digest = digest_of(text)
        with self._engine.begin() as connection:
            here = self._here(connection)
            if here is not None and here.digest == digest:
                return here
            values = {
                "job": self._job,
                "parent": here.number if here else None,
                "at": _now(),
                "what": what,
                "digest": digest,
                "text": zlib.compress(text.encode()),
            }
            number = connection.execute(insert(edits).values(values).returning(edits.c.id)).scalar_one()
            self._stand_at(connection, number)
            return _edit(connection.execute(select(edits).where(edits.c.id == number)).one())

    def here(self) -> Edit | None:
        """The state the job stands at; None before the first."""
        with self._engine.connect() as connection:
            return self._here(connection)

    def undone(self) -> tuple[Edit, str] | None:
        """The state before the present one, with its text; None at the first."""
        with self._engine.connect() as connection:
            here = self._here(connection)
            return None if here is None or here.parent is None else self._state(connection, here.parent)

    def redone(self) -> tuple[Edit, str] | None:
        """The latest state made from the present one, with its text; None at the last."""
        with self._engine.connect() as connection:
            here = self._here(connection)
            number = (
                None if here is None else connection.execute(select(func.max(edits.c.id)).where(edits.c.parent == here.number)).scalar()
            )
            return None if number is None else self._state(connection, number)

    def stand_at(self, edit: Edit) -> None:
        """Make a state the present one."""
        with self._engine.begin() as connection:
            self._stand_at(connection, edit.number)

    def text_of(self, digest: str) -> str | None:
        """The text of a state by its digest; None if it was never kept."""
        with self._engine.connect() as connection:
            found = select(edits.c.text).where(edits.c.job == self._job, edits.c.digest == digest).limit(1)
            content = connection.execute(found).scalar()
            return None if content is None else zlib.decompress(content).decode()

    def latest(self, count: int = 50) -> tuple[Edit, ...]:
        """The states that led to the present one, the latest first."""
        found: list[Edit] = []
        with self._engine.connect() as connection:
            edit = self._here(connection)
            while edit is not None and len(found) < count:
                found.append(edit)
                edit = None if edit.parent is None else self._state(connection, edit.parent)[0]
        return tuple(found)

    def name_version(self, name: str) -> Version:
        """Give the present state a name.

        Raises
        ------
        InputError
            If the name is empty, too long or taken.
        """
        name = name.strip()
        if not 1 <= len(name) <= 80:
            raise _refused("write a name of up to 80 characters, such as 7 in floor.")
        with self._engine.begin() as connection:
            here = self._here(connection)
            taken = select(versions.c.id).where(versions.c.job == self._job, versions.c.name == name)
            if here is None or connection.execute(taken).first() is not None:
                raise _refused(f'"{name}" is taken already; give another name.')
            at = _now()
            connection.execute(insert(versions).values(job=self._job, name=name, at=at, edit=here.number))
            return Version(name, at, here)

    def versions(self) -> tuple[Version, ...]:
        """The named states, in the order they were named."""
        joined = select(versions.c.name, versions.c.at.label("named_at"), edits).join(edits, edits.c.id == versions.c.edit)
        with self._engine.connect() as connection:
            rows = connection.execute(joined.where(versions.c.job == self._job).order_by(versions.c.id)).all()
            return tuple(Version(row.name, row.named_at, _edit(row)) for row in rows)

    def version_text(self, name: str) -> str:
        """The text of a named state.

        Raises
        ------
        UnknownName
            If no state has that name.
        """
        for version in self.versions():
            if version.name == name:
                with self._engine.connect() as connection:
                    return self._state(connection, version.edit.number)[1]
        raise UnknownName(f'no version is called "{name}".')

    def forget_version(self, name: str) -> None:
        """Take a name off its state; the state itself stays in the history."""
        with self._engine.begin() as connection:
            connection.execute(delete(versions).where(versions.c.job == self._job, versions.c.name == name))

    def setting(self, key: str) -> str | None:
        """A remembered wish; None if there is none."""
        with self._engine.connect() as connection:
            return connection.execute(select(settings.c.value).where(settings.c.key == key)).scalar()

    def remember(self, key: str, value: str) -> None:
        """Remember a wish."""
        with self._engine.begin() as connection:
            if connection.execute(update(settings).where(settings.c.key == key).values(value=value)).rowcount == 0:
                connection.execute(insert(settings).values(key=key, value=value))

    def close(self) -> None:
        """Let go of the store."""
        self._engine.dispose()

    def _here(self, connection: Connection) -> Edit | None:
        joined = select(edits).join(places, places.c.edit == edits.c.id).where(places.c.job == self._job)
        row = connection.execute(joined).first()
        return None if row is None else _edit(row)

    def _state(self, connection: Connection, number: int) -> tuple[Edit, str]:
        row = connection.execute(select(edits).where(edits.c.id == number)).one()
        return _edit(row), zlib.decompress(row.text).decode()

    def _stand_at(self, connection: Connection, number: int) -> None:
        if connection.execute(update(places).where(places.c.job == self._job).values(edit=number)).rowcount == 0:
            connection.execute(insert(places).values(job=self._job, edit=number))


def _edit(row: Row[Any]) -> Edit:
    return Edit(row.id, row.parent, row.at, row.what, row.digest)


def _refused(message: str) -> InputError:
    return InputError("version", [Finding(where="name", message=message)])


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")
