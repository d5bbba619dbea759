"""The desk's side of the engine: starts the worker, sends it jobs, hands on what it says, and starts it again if it falls."""

import threading
from collections.abc import Callable
from concurrent.futures import Future
from itertools import count
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from slabwright.errors import SlabwrightError, UnknownName
from slabwright.web.worker import work

Message = dict[str, Any]
_PATIENCE_S = 4.0


class Refused(SlabwrightError):
    """The worker would not answer, and why."""


class Engine:
    """One worker process, its questions and its news.

    Parameters
    ----------
    tell : callable
        Given each piece of news about a plan, in the reader's thread: ``progress``, ``strip``, ``done``, ``abandoned``,
        ``failed``; and ``fallen`` when the worker had to be started anew.
    """

    def __init__(self, tell: Callable[[Message], None]) -> None:
        self._tell = tell
        self._lock = threading.RLock()
        self._numbers = count(1)
        self._asked: dict[int, Future[Any]] = {}
        self._worker: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._closed = False
        self._running: tuple[str, int] | None = None

    def start(self) -> None:
        """Start the worker; nothing happens if it runs."""
        with self._lock:
            if self._worker is not None or self._closed:
                return
            context = get_context("spawn")
            mine, its = context.Pipe()
            self._worker = context.Process(target=work, args=(its,), name="slabwright-engine", daemon=True)
            self._worker.start()
            its.close()
            self._pipe = mine
            threading.Thread(target=self._listen, args=(mine,), name="engine-news", daemon=True).start()

    def stop(self) -> None:
        """Close the worker."""
        with self._lock:
            self._closed = True
            self._send({"kind": "stop"})
            worker, self._worker = self._worker, None
        if worker is not None:
            worker.join(timeout=2.0)
            if worker.is_alive():
                worker.kill()
                worker.join(timeout=2.0)

    def plan(self, job: str, **message: Any) -> int:
        """Plan a state of a job; an older run of it is abandoned.

        Returns
        -------
        int
            Number of the run, which all its news carry.
        """
        self.start()
        with self._lock:
            run = next(self._numbers)
            self._running = (job, run)
            self._send({"kind": "plan", "job": job, "run": run, **message})
        return run

    def cancel(self, job: str) -> None:
        """End the run of a job after its present study; a study that does not end is ended with the worker."""
        with self._lock:
            running = self._running
            self._send({"kind": "cancel", "job": job})
        if running is not None and running[0] == job:
            patience = threading.Timer(_PATIENCE_S, self._insist, args=(running,))
            patience.daemon = True
            patience.start()

    def ask(self, kind: str, job: str, **more: Any) -> Future[Any]:
        """Ask about a planned job; the answer comes when the worker is free for it."""
        self.start()
        number, answer = next(self._numbers), Future[Any]()
        with self._lock:
            self._asked[number] = answer
            self._send({"kind": kind, "job": job, "id": number, **more})
        return answer

    @property
    def process_id(self) -> int | None:
        """Of the worker."""
        return None if self._worker is None else self._worker.pid

    def _insist(self, running: tuple[str, int]) -> None:
        with self._lock:
            if self._running == running and self._worker is not None:
                self._worker.kill()

    def _send(self, message: Message) -> None:
        if self._pipe is not None:
            try:
                self._pipe.send(message)
            except (BrokenPipeError, OSError):
                return

    def _listen(self, pipe: Connection) -> None:
        while True:
            try:
                message = pipe.recv()
            except (EOFError, OSError):
                self._fallen(pipe)
                return
            kind = message["kind"]
            if kind in ("answer", "refused"):
                self._settle(message)
                continue
            if kind in ("done", "abandoned", "failed"):
                with self._lock:
                    if self._running == (message["job"], message["run"]):
                        self._running = None
            self._tell(message)

    def _settle(self, message: Message) -> None:
        with self._lock:
            answer = self._asked.pop(message["id"], None)
        if answer is None or answer.done():
            return
        if message["kind"] == "answer":
            answer.set_result(message["answer"])
        else:
            answer.set_exception(UnknownName(message["message"]) if message["unknown"] else Refused(message["message"]))

    def _fallen(self, pipe: Connection) -> None:
        """The worker is gone: whoever waits is told, and a new one is started at the next message."""
        with self._lock:
            pipe.close()
            if self._closed or self._pipe is not pipe:
                return
            self._worker, self._pipe = None, None
            asked, self._asked = self._asked, {}
            running, self._running = self._running, None
        for answer in asked.values():
            if not answer.done():
                answer.set_exception(Refused("the work was ended; ask again."))
        self._tell({"kind": "fallen", "job": running[0] if running else "", "run": running[1] if running else 0})
