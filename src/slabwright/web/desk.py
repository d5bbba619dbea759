"""The desk as a whole: jobs, the engine, the boards of their plans, and the news that open pages listen to."""

import asyncio
import secrets
import threading
from collections import OrderedDict
from concurrent.futures import Future
from concurrent.futures import TimeoutError as TookTooLong
from contextlib import suppress
from pathlib import Path
from typing import Any

from slabwright.errors import UnknownName
from slabwright.web.board import Board
from slabwright.web.engine import Engine, Refused
from slabwright.web.plan_views import StripView
from slabwright.web.session import Session
from slabwright.web.views import SettingsView
from slabwright.web.workshop import Workshop

Message = dict[str, Any]
_LOOK_S = 0.6
_ANSWER_S = 120.0
_PREVIEWS = 20


class Desk:
    """Serves the jobs of one folder.

    Parameters
    ----------
    root : Path
    store : str
        Where histories are kept; in each job's folder if empty.
    """

    def __init__(self, root: Path, *, store: str = "") -> None:
        self.workshop = Workshop(root, store=store, on_change=self._changed)
        self.engine = Engine(self._hear)
        self._boards: dict[str, Board] = {}
        self._listeners: dict[str, set[asyncio.Queue[Message]]] = {}
        self._loop: asyncio.AbstractEventLoop | None = None
        self._lock = threading.RLock()
        self._closing = threading.Event()
        self._asked: Future[Message] = Future()
        self._previews: OrderedDict[str, Any] = OrderedDict()

    def open(self, loop: asyncio.AbstractEventLoop) -> None:
        """Start the worker on the first job and begin to watch the files."""
        self._loop = loop
        self.engine.start()
        threading.Thread(target=self._watch, name="file-watch", daemon=True).start()

    def end_news(self) -> None:
        """Let every listening page go, so that the server need not wait for it."""
        self._closing.set()
        for job in list(self._listeners):
            self._publish(job, {"type": "closed"})

    def close(self) -> None:
        """Stop the worker and let go of the stores."""
        self._closing.set()
        self.engine.stop()
        self.workshop.close()

    def is_closing(self) -> bool:
        """True once the desk is being closed."""
        return self._closing.is_set()

    def settings(self) -> SettingsView:
        """Wishes remembered in the first job's store."""
        for job in self.workshop.folders():
            found = self.session(job).history.setting("desk")
            if found is not None:
                return SettingsView.model_validate_json(found)
        return SettingsView()

    def remember(self, wishes: SettingsView) -> None:
        """Remember wishes in the store of every job of the folder that is open."""
        for _, session in self.workshop.opened():
            session.history.remember("desk", wishes.model_dump_json())

    def session(self, job: str) -> Session:
        """An open job; its plan is begun at the first look."""
        return self.workshop.session(job)

    def board(self, job: str) -> Board:
        """The strips of a job; its first run is started if there was none."""
        session, asked = self.session(job), self._asked
        self.engine.start()
        questions = asked.result(timeout=_ANSWER_S)
        with self._lock:
            board = self._boards.get(job)
            if board is None:
                board = self._boards[job] = Board([StripView.model_validate(one) for one in questions["strips"]], questions["stages"])
                self._plan(job, session, board, whole=True)
            return board

    def replan(self, job: str) -> None:
        """Work a job again, such as after it was cancelled or a file was put beside it."""
        board = self.board(job)
        with self._lock:
            self._plan(job, self.session(job), board)

    def ask(self, kind: str, job: str, **more: Any) -> Any:
        """Ask the engine about a job, and wait for it off the event loop.

        Raises
        ------
        Refused
            If there is no answer.
        """
        self.board(job)
        answer: Future[Any] = self.engine.ask(kind, job, **more)
        try:
            return answer.result(timeout=_ANSWER_S)
        except TookTooLong:
            raise Refused("the answer takes too long; cancel the work that is running.") from None

    def listen(self, job: str) -> asyncio.Queue[Message]:
        """A queue of news about a job; to be given back with :meth:`leave`."""
        queue: asyncio.Queue[Message] = asyncio.Queue(maxsize=1000)
        self._listeners.setdefault(job, set()).add(queue)
        return queue

    def leave(self, job: str, queue: asyncio.Queue[Message]) -> None:
        """Stop listening."""
        self._listeners.get(job, set()).discard(queue)

    def keep_preview(self, content: Any) -> str:
        """Keep what was understood of a file until it is taken."""
        token = secrets.token_urlsafe(12)
        with self._lock:
            self._previews[token] = content
            while len(self._previews) > _PREVIEWS:
                self._previews.popitem(last=False)
        return token

    def preview(self, token: str) -> Any:
        """What was kept under a token.

        Raises
        ------
        UnknownName
            If nothing is.
        """
        with self._lock:
            if token not in self._previews:
                raise UnknownName("the preview is no longer there; choose the file again.")
            return self._previews[token]

    def _changed(self, job: str) -> None:
        """The job or what is known of its file changed."""
        session = self.session(job)
        with self._lock:
            self._publish(job, {"type": "job", "version": session.standing.version, "underneath": session.file_view().changed_underneath})
            board = self._boards.get(job)
            if board is not None and board.version != session.standing.version:
                self._plan(job, session, board)

    def _plan(self, job: str, session: Session, board: Board, *, whole: bool = False) -> None:
        standing = session.standing
        if standing.loaded is None:
            return
        run = self.engine.plan(job, state=standing.loaded.job, folder=str(session.folder), name=session.name, all=whole)
        board.begin(standing.version, run)

    def _hear(self, news: Message) -> None:
        with self._lock:
            if news["kind"] == "questions":
                if not self._asked.done():
                    self._asked.set_result(news)
                return
            board = self._boards.get(news["job"])
            if news["kind"] == "fallen":
                self._start_anew(news)
                return
            told = board.hear(news) if board is not None else None
            if told is not None:
                self._publish(news["job"], told)

    def _start_anew(self, news: Message) -> None:
        if not self._asked.done():
            self._asked.set_exception(Refused("The engine does not start; see the window that slabwright serve runs in."))
            self._asked = Future()
        board = self._boards.get(news["job"])
        if board is not None:
            ended = board.hear({**news, "kind": "abandoned", "message": "The work was ended."})
            if ended is not None:
                self._publish(news["job"], ended)

    def _publish(self, job: str, message: Message) -> None:
        if self._loop is None or self._loop.is_closed():
            return
        with suppress(RuntimeError):
            self._loop.call_soon_threadsafe(self._deliver, job, message)

    def _deliver(self, job: str, message: Message) -> None:
        for queue in list(self._listeners.get(job, ())):
            if queue.full():
                queue.get_nowait()
            queue.put_nowait(message)

    def _watch(self) -> None:
        while not self._closing.wait(_LOOK_S):
            for _, session in self.workshop.opened():
                with suppress(OSError):
                    session.look()
