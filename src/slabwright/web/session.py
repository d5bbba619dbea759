"""One job at the desk: the file, its history, and every way to change it. Two writers never lose an edit."""

import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from slabwright.errors import Finding, InputError, SlabwrightError
from slabwright.files.jobfile import LoadedJob, edited, parse_job, write_job
from slabwright.files.jobfile.paths import path_of
from slabwright.files.jobfile.reading import LARGEST_FILE
from slabwright.store import History
from slabwright.store.history import digest_of
from slabwright.units import Family
from slabwright.web.differences import clashes, differences, document_of
from slabwright.web.drafting import moved, placed, removed, things_on_plan
from slabwright.web.fields import sections, typed
from slabwright.web.views import Conflict, Difference, FileView, FindingView, JobView, Move, Place, Remove, ThingView, VersionView

JOB_FILE = "job.toml"


class Clash(SlabwrightError):
    """The job is at another version than the edit was made from."""

    def __init__(self, conflict: Conflict) -> None:
        self.conflict = conflict
        super().__init__(conflict.message)


@dataclass(frozen=True, slots=True)
class Standing:
    """A state of the job file, read."""

    text: str
    version: str
    loaded: LoadedJob | None
    findings: tuple[Finding, ...]

    @classmethod
    def of(cls, text: str, name: str) -> "Standing":
        try:
            loaded = parse_job(text, JOB_FILE, name=name)
        except InputError as error:
            return cls(text, digest_of(text), None, error.findings)
        return cls(text, digest_of(text), loaded, loaded.findings)


class Session:
    """A job that is open.

    Parameters
    ----------
    folder : Path
        Holds ``job.toml``.
    history : History
    name : str
        Name of the job where its file states none.

    Raises
    ------
    OSError
        If there is no job file.
    """

    def __init__(self, folder: Path, history: History, name: str) -> None:
        self.folder, self.history, self.name = folder, history, name
        self.path = folder / JOB_FILE
        self.lock = threading.RLock()
        self._watchers: list[Callable[[], None]] = []
        text = self._read()
        self.standing = Standing.of(text, name)
        self._seen = self._stamp()
        self._underneath: str | None = None
        history.record(text, "As found in the folder" if history.here() else "First opened")

    def on_change(self, watcher: Callable[[], None]) -> None:
        """Call back after every change of the job or of what is known of its file."""
        self._watchers.append(watcher)

    def changed(
        self, version: str, changes: Mapping[str, Any] | Callable[[], tuple[Mapping[str, Any], str]], what: str = "", *, raw: bool = False
    ) -> None:
        """Change values of the job file.

        Parameters
        ----------
        version : str
            The version the edit was made from.
        changes : Mapping or callable
            Key path to what was typed; or what makes the edit from the present state, with its name.
        what : str
            Name of the edit in the history.
        raw : bool
            True where the values are those of the file already.

        Raises
        ------
        Clash
            If the job has moved on since.
        InputError
            If the job file would not be readable with it.
        """
        with self.lock:
            self.look()
            mine = list(changes) if isinstance(changes, Mapping) else []
            if version != self.standing.version or self._underneath is not None:
                raise Clash(self._conflict(version, mine))
            if callable(changes):
                changes, what = changes()
                raw = True
            values = changes if raw else {path: typed(path, value) for path, value in changes.items()}
            present = document_of(self.standing.text)
            values = {path: value for path, value in values.items() if value is not None or _there(present, path)}
            text = edited(self.standing.text, values)
            after = Standing.of(text, self.name)
            if after.loaded is None and not self._better(after):
                raise InputError(JOB_FILE, [one for one in after.findings if not one.warning])
            self._take(after, what or _named(values))

    @property
    def family(self) -> Family:
        """Units of the job; US where its file cannot be read."""
        return self.standing.loaded.job.family if self.standing.loaded else Family.US

    def move(self, move: Move) -> None:
        """Put one point of a thing on the plan elsewhere."""
        self.changed(move.version, lambda: moved(self._loaded(), document_of(self.standing.text), move))

    def place(self, place: Place) -> None:
        """Add a thing to the plan."""
        self.changed(place.version, lambda: placed(self._loaded(), document_of(self.standing.text), place))

    def remove(self, wish: Remove) -> None:
        """Take a thing, or a corner of it, off the plan."""
        self.changed(wish.version, lambda: removed(self._loaded(), document_of(self.standing.text), wish))

    def undo(self, version: str) -> None:
        """Go back to the state before; nothing happens at the first."""
        self._step(version, self.history.undone)

    def redo(self, version: str) -> None:
        """Go on to the state that was left by undoing."""
        self._step(version, self.history.redone)

    def restore(self, version: str, name: str) -> None:
        """Go back to a named version, as a new edit."""
        with self.lock:
            self._at(version)
            self._take(Standing.of(self.history.version_text(name), self.name), f"Back to {name}")

    def look(self) -> bool:
        """See whether the file changed underneath; True where something is new."""
        with self.lock:
            stamp = self._stamp()
            if stamp == self._seen:
                return False
            try:
                text = self._read()
            except (OSError, UnicodeDecodeError):
                return False
            self._seen = stamp
            before, self._underneath = self._underneath, None if text == self.standing.text else text
            if self._underneath != before:
                self._tell()
            return self._underneath != before

    def take_file(self) -> None:
        """Go on from the file as it was changed underneath; the state of the desk stays in the history."""
        with self.lock:
            text = self._read()
            self._underneath, self._seen = None, self._stamp()
            self.standing = Standing.of(text, self.name)
            self.history.record(text, "Changed outside the desk")
            self._tell()

    def keep_mine(self) -> None:
        """Write the state of the desk over the changed file, which is kept in the history."""
        with self.lock:
            mine, here = self.standing, self.history.here()
            self.history.record(self._read(), "Changed outside the desk")
            if here is not None:
                self.history.stand_at(here)
            self._underneath = None
            write_job(self.path, mine.text)
            self._seen = self._stamp()
            self._tell()

    def view(self, job_id: str) -> JobView:
        """The job as the page shows it."""
        with self.lock:
            self.look()
            standing, loaded = self.standing, self.standing.loaded
            undone, redone = self.history.undone(), self.history.redone()
            family = loaded.job.family if loaded else Family.US
            here = self.history.here()
            return JobView(
                id=job_id,
                name=loaded.job.name if loaded else self.name,
                version=standing.version,
                family=family.value,
                can_undo=here.what if undone and here else None,
                can_redo=redone[0].what if redone else None,
                findings=[finding_view(one) for one in standing.findings],
                sections=sections(document_of(standing.text), self._names(), family),
                things=self.things(),
                file=self.file_view(),
                street_side=loaded.job.place.street_side if loaded else "south",
            )

    def things(self) -> list[ThingView]:
        """What stands on the plan; empty while the file cannot be read."""
        return things_on_plan(self.standing.loaded) if self.standing.loaded else []

    def file_view(self) -> FileView:
        """The file against the desk."""
        found = self._underneath
        return FileView(
            changed_underneath=found is not None,
            readable=found is None or Standing.of(found, self.name).loaded is not None,
            differences=[] if found is None else differences(self.standing.text, found),
        )

    def versions(self) -> list[VersionView]:
        """The named versions."""
        return [VersionView(name=one.name, at=one.at, here=one.edit.digest == self.standing.version) for one in self.history.versions()]

    def _loaded(self) -> LoadedJob:
        if self.standing.loaded is None:
            raise InputError(JOB_FILE, self.standing.findings)
        return self.standing.loaded

    def _step(self, version: str, where: Callable[[], Any]) -> None:
        with self.lock:
            self._at(version)
            found = where()
            if found is None:
                return
            edit, text = found
            write_job(self.path, text)
            self._seen = self._stamp()
            self.history.stand_at(edit)
            self.standing = Standing.of(text, self.name)
            self._tell()

    def _at(self, version: str) -> None:
        self.look()
        if version != self.standing.version or self._underneath is not None:
            raise Clash(self._conflict(version, []))

    def _take(self, after: Standing, what: str) -> None:
        if after.text == self.standing.text:
            return
        write_job(self.path, after.text)
        self._seen = self._stamp()
        self.history.record(after.text, what)
        self.standing = after
        self._tell()

    def _better(self, after: Standing) -> bool:
        """Whether a file that could not be read before has fewer mistakes now."""
        if self.standing.loaded is not None:
            return False
        wrong, left = ({(one.where, one.message) for one in state.findings if not one.warning} for state in (self.standing, after))
        return left < wrong

    def _conflict(self, version: str, mine: list[str]) -> Conflict:
        now = self.standing.text if self._underneath is None else self._underneath
        base = self.history.text_of(version)
        theirs: list[Difference] = differences(base, now) if base is not None else []
        met = clashes(mine, theirs) if base is not None else mine
        who = "The job file was changed outside this page" if self._underneath is not None else "The job was changed in another window"
        told = f"{who}: {', '.join((one.words or one.path) for one in theirs[:4]) or 'see the history'}."
        return Conflict(message=told, version=self.standing.version, underneath=self._underneath is not None, others=theirs, clashes=met)

    def _names(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        if self.standing.loaded is not None:
            for (section, number), path in self.standing.loaded.places.items():
                found.setdefault(path.partition(".")[0], []).append(getattr(self.standing.loaded.job, section)[number].name)
        return found

    def _read(self) -> str:
        if self.path.stat().st_size > LARGEST_FILE:
            raise InputError(
                JOB_FILE, [Finding(where="the file", message=f"is larger than {LARGEST_FILE:,} characters; a job file is not.")]
            )
        with self.path.open(encoding="utf-8-sig", newline="") as stream:
            return stream.read()

    def _stamp(self) -> tuple[int, int, int]:
        try:
            found = self.path.stat()
        except OSError:
            return 0, 0, int(time.time())
        return found.st_mtime_ns, found.st_size, found.st_ino

    def _tell(self) -> None:
        for watcher in self._watchers:
            watcher()


def finding_view(finding: Finding) -> FindingView:
    """A finding as the page shows it."""
    return FindingView(where=finding.where, message=finding.message, line=finding.line, warning=finding.warning)


def _there(document: Any, path: str) -> bool:
    for step in path_of(path):
        try:
            document = document[step]
        except (KeyError, IndexError, TypeError):
            return False
    return True


def _named(changes: Mapping[str, Any]) -> str:
    first, *others = changes or [""]
    return first + (f" and {len(others)} more" if others else "")
