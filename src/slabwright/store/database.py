"""Opening the store and bringing it up to date. One set of tables for SQLite and PostgreSQL; times are UTC, as ISO text."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from sqlalchemy import Column, Engine, ForeignKey, Integer, LargeBinary, MetaData, Table, Text, UniqueConstraint, create_engine, event

MIGRATIONS = Path(__file__).parent / "migrations"
FILE = "history.sqlite"

metadata = MetaData()

edits = Table(
    "edits",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("job", Text, nullable=False, index=True),
    Column("parent", Integer, ForeignKey("edits.id")),
    Column("at", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("digest", Text, nullable=False, index=True),
    Column("text", LargeBinary, nullable=False),
)
"""Each state of a job file, with the state it was made from; what was undone stays as a branch."""

places = Table("places", metadata, Column("job", Text, primary_key=True), Column("edit", Integer, ForeignKey("edits.id"), nullable=False))
"""The state each job stands at."""

versions = Table(
    "versions",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("job", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("edit", Integer, ForeignKey("edits.id"), nullable=False),
    UniqueConstraint("job", "name", name="version_name"),
)
"""States that were given a name."""

settings = Table("settings", metadata, Column("key", Text, primary_key=True), Column("value", Text, nullable=False))
"""What this desk remembers about its user's wishes."""


def history_snapshot(path: Path) -> bytes:
    """A store as one file with everything in it, also what the database has not put in its main file yet.

    Parameters
    ----------
    path : Path
        Of a SQLite file.
    """
    with closing(sqlite3.connect(path)) as store, closing(sqlite3.connect(":memory:")) as copy:
        store.backup(copy)
        return copy.serialize()


def connected(url: str) -> Engine:
    """An engine on an up-to-date store.

    Parameters
    ----------
    url : str
        As SQLAlchemy writes it: ``sqlite:///…/history.sqlite`` or ``postgresql+psycopg://…``.
    """
    engine = create_engine(url)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _quick_and_safe)
    _migrate(engine)
    return engine


def sqlite_url(folder: Path) -> str:
    """The store of a folder."""
    return f"sqlite:///{(folder / FILE).as_posix()}"


def _quick_and_safe(connection: Any, _: object) -> None:
    cursor = connection.cursor()
    for pragma in ("journal_mode=WAL", "synchronous=NORMAL", "foreign_keys=ON", "busy_timeout=5000"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _migrate(engine: Engine) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", MIGRATIONS.as_posix().replace("%", "%%"))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
