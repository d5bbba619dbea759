"""The folder that a desk serves: jobs found in it, opened when first asked for, and new ones."""

import re
import threading
from collections.abc import Callable
from pathlib import Path

from slabwright.errors import Finding, InputError, UnknownName
from slabwright.store import History, connected
from slabwright.store.database import sqlite_url
from slabwright.web.session import JOB_FILE, Session
from slabwright.web.views import JobCard

_SAFE = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,59}")


class Workshop:
    """Jobs under one folder: the folder itself where it holds a job file, and every folder in it that does.

    Parameters
    ----------
    root : Path
    store : str
        Where histories are kept, as SQLAlchemy writes it; a SQLite file in each job's folder if empty.
    on_change : callable
        Called with a job's name after each change of it.
    """

    def __init__(self, root: Path, *, store: str = "", on_change: Callable[[str], None] = lambda _: None) -> None:
        self.root = root.resolve()
        self.on_change = on_change
        self._store = store
        self._open: dict[str, Session] = {}
        self._lock = threading.RLock()

    def folders(self) -> dict[str, Path]:
        """Name of each job to its folder."""
        found = {self.root.name or "job": self.root} if (self.root / JOB_FILE).is_file() else {}
        if self.root.is_dir():
            for folder in sorted(self.root.iterdir()):
                if not folder.name.startswith(".") and (folder / JOB_FILE).is_file():
                    found.setdefault(folder.name, folder)
        return found

    def cards(self) -> list[JobCard]:
        """The jobs, each by the name its file gives it."""
        cards = []
        for job_id in self.folders():
            try:
                loaded = self.session(job_id).standing.loaded
            except (OSError, UnicodeDecodeError, InputError):
                loaded = None
            cards.append(JobCard(id=job_id, name=loaded.job.name if loaded else job_id, readable=loaded is not None))
        return cards

    def session(self, job_id: str) -> Session:
        """The open job of a name.

        Raises
        ------
        UnknownName
            If there is no such job here.
        """
        with self._lock:
            if job_id in self._open:
                return self._open[job_id]
            folder = self.folders().get(job_id)
            if folder is None:
                raise UnknownName(f'no job is called "{job_id}" here.')
            engine = connected(self._store or sqlite_url(folder))
            session = Session(folder, History(engine, job_id if self._store else "."), job_id)
            session.on_change(lambda: self.on_change(job_id))
            self._open[job_id] = session
            return session

    def opened(self) -> list[tuple[str, Session]]:
        """The jobs that are open."""
        with self._lock:
            return list(self._open.items())

    def new_folder(self, name: str) -> Path:
        """The folder of a new job, not made yet.

        Raises
        ------
        InputError
            If the name is no plain folder name, or taken.
        """
        name = name.strip()
        if not _SAFE.fullmatch(name) or name.endswith("."):
            message = f'"{name}" is no folder name; use letters, digits, spaces, dashes.'
            raise InputError("new job", [Finding(where="folder", message=message)])
        folder = self.root / name
        if folder.exists():
            raise InputError("new job", [Finding(where="folder", message=f'"{name}" is there already; give another name.')])
        return folder

    def close(self) -> None:
        """Let go of every store."""
        for _, session in self.opened():
            session.history.close()
