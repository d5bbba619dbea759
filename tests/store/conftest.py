"""Stores to try the history on: a SQLite file every day, a PostgreSQL of the test's own in the long run."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import create_engine

from slabwright.store.database import sqlite_url

PROGRAMS = Path("/usr/lib/postgresql")
_NUMBERS = count(1)


def postgresql_program(name: str) -> str:
    """Where a program of PostgreSQL lies; Debian keeps those of the server out of the path."""
    found = shutil.which(name) or next((str(one) for one in sorted(PROGRAMS.glob(f"*/bin/{name}"), reverse=True)), None)
    assert found is not None, "no PostgreSQL on this machine; make test-long installs it"
    return found


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """URL of a server of the test's own, with one place for the name of a database; it listens on a socket in a folder alone."""
    folder = Path(tempfile.mkdtemp(prefix="slabwright-pg-"))
    as_server: list[str] = []
    owner = pwd.getpwuid(os.getuid()).pw_name
    if os.getuid() == 0:  # the server refuses to run as root
        owner = "postgres"
        shutil.chown(folder, owner)
        as_server = ["runuser", "-u", owner, "--"]
    data = folder / "data"
    subprocess.run(
        [*as_server, postgresql_program("initdb"), "-D", str(data), "--auth=trust", "--no-sync", "--encoding=UTF8", "--locale=C"],
        check=True, capture_output=True,
    )  # fmt: skip
    control = [*as_server, postgresql_program("pg_ctl"), "-D", str(data), "-w"]
    options = f"-k {folder} -c listen_addresses='' -c fsync=off"
    subprocess.run([*control, "-t", "120", "-l", str(folder / "log"), "-o", options, "start"], check=True, stdout=subprocess.DEVNULL)
    try:
        yield f"postgresql+psycopg://{owner}@/{{name}}?host={folder}"
    finally:
        subprocess.run([*control, "-m", "immediate", "stop"], check=False, stdout=subprocess.DEVNULL)
        shutil.rmtree(folder, ignore_errors=True)


def empty_database(url: str) -> str:
    """URL of a database with nothing in it."""
    name = f"desk_{next(_NUMBERS)}"
    engine = create_engine(url.format(name="postgres"), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.exec_driver_sql(f"create database {name}")
    engine.dispose()
    return url.format(name=name)


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.long)])
def store(request, tmp_path) -> str:
    """URL of an empty store of each kind."""
    return sqlite_url(tmp_path) if request.param == "sqlite" else empty_database(request.getfixturevalue("postgresql"))
