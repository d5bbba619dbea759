"""Answers, and the drawings of answers, kept from one run to the next in the user's own cache, so that a plan works anew
only what an edit touches.

An answer is found by the digest of all that its study read, and so is what is drawn of it. Each state of the program's own
files has a folder of its own, so that nothing outlives the code that made it.
"""

import hashlib
import os
import pickle
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

from slabwright.study import Outcome, Result, Waiting

_WORTH_KEEPING_S = 0.02
_MOST_KEPT_BYTES = 200_000_000


class KeptAnswers:
    """Answers of earlier runs in one folder; a folder that cannot be read or written keeps nothing, and nothing breaks.

    Parameters
    ----------
    folder : Path
        Only the user may write there: the files are taken at their word.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._found: set[str] = set()
        self._asked_s = 0.0
        self._is_pruned = False

    def find(self, digest: str) -> Result | None:
        """The answer to a digest, if it was kept."""
        self._asked_s = time.perf_counter()
        result = self._read(digest)
        if not isinstance(result, Result):
            return None
        self._found.add(digest)
        return result

    def keep(self, outcome: Outcome) -> None:
        """Keep an answer that took long enough since it was asked for."""
        quick = time.perf_counter() - self._asked_s < _WORTH_KEEPING_S
        if not (quick or outcome.digest in self._found or isinstance(outcome.result, Waiting)):
            self._write(outcome.digest, outcome.result)

    def drawn(self, name: str, draw: Callable[[], Any]) -> Any:
        """What an earlier run drew under a name, or else what is drawn now, and kept; the name holds the digest of all it shows."""
        place = hashlib.sha256(name.encode()).hexdigest()
        kept = self._read(place)
        if kept is None:
            kept = draw()
            self._write(place, kept)
        return kept

    def _read(self, name: str) -> Any:
        try:
            return pickle.loads((self._folder / name).read_bytes())
        except Exception:  # noqa: BLE001  whatever is wrong with the file, the work can be done again
            return None

    def _write(self, name: str, value: object) -> None:
        with suppress(OSError, pickle.PicklingError, AttributeError, TypeError):  # the last three: what cannot be written down
            written = pickle.dumps(value, protocol=pickle.HIGHEST_PROTOCOL)
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            handle, part = tempfile.mkstemp(dir=self._folder, suffix=".part")
            with os.fdopen(handle, "wb") as file:
                file.write(written)
            Path(part).replace(self._folder / name)
            self._prune()

    def _prune(self) -> None:
        """Once in a run, leave out the oldest of what all states of the program keep, beyond what is a cache's due."""
        if self._is_pruned:
            return
        self._is_pruned = True
        held = 0
        files = [(path.stat(), path) for path in self._folder.parent.glob("*/*")]
        for about, path in sorted(files, key=lambda one: one[0].st_mtime, reverse=True):
            held += about.st_size
            if held > _MOST_KEPT_BYTES:
                path.unlink(missing_ok=True)
        for state in self._folder.parent.iterdir():
            with suppress(OSError):  # it still holds something
                state.rmdir()


def kept_answers() -> KeptAnswers | None:
    """Answers kept for this user and this state of the program; None where ``SLABWRIGHT_CACHE`` is set to nothing.

    The variable may name another folder than the system's own for such things.
    """
    named = os.environ.get("SLABWRIGHT_CACHE")
    if named == "":
        return None
    try:
        return KeptAnswers((Path(named) if named else _users_cache() / "slabwright") / "answers" / _state_of_program())
    except (OSError, RuntimeError):
        return None


def _users_cache() -> Path:
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")


def _state_of_program() -> str:
    """Digest of the names, sizes and times of the program's own files and of the Python that runs them."""
    state = hashlib.sha256(sys.version.encode())
    root = Path(__file__).parent.parent
    for folder, folders, names in os.walk(root):
        folders[:] = sorted(name for name in folders if name not in ("__pycache__", "dist"))
        for name in sorted(names):
            about = (Path(folder) / name).stat()
            state.update(f"|{Path(folder) / name}|{about.st_size}|{about.st_mtime_ns}".encode())
    return state.hexdigest()[:20]
