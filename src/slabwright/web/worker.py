"""The engine's side of the desk: a process of its own that plans jobs and answers about them, so that typing never waits.

It talks over a pipe in dicts. Between two studies, and where a long one pauses, it looks whether something came in:
a newer state of the job ends the run and keeps what was answered; a question about what is already answered is answered
at once.
"""

import math
import time
from bisect import bisect_right
from collections import OrderedDict, deque
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slabwright.errors import InputError, SlabwrightError, UnknownName
from slabwright.pause import heard_by

if TYPE_CHECKING:
    from slabwright.study import Outcome, Study, Waiting

Message = dict[str, Any]
_HELD = 6
_KNOWN_EACH = 6
_SLOW_S = (0.04, 0.15)
"""Of the processor, between quick, middling and slow studies; the quicker come first and are drawn before a slow one begins. [s]"""


class Abandoned(BaseException):
    """The run was ended for a newer one, or because somebody asked; a study must not take it for a fault of its own."""


class Stopped(BaseException):
    """The desk closes."""


@dataclass(slots=True)
class Held:
    """What is known of one job between two messages."""

    folder: str = ""
    name: str = ""
    inputs: Any = None
    outcomes: dict[str, Any] = field(default_factory=dict)
    known: OrderedDict[str, Any] = field(default_factory=OrderedDict)
    seconds: dict[str, float] = field(default_factory=dict)
    digests: dict[str, str] = field(default_factory=dict)
    undrawn: dict[str, Any] = field(default_factory=dict)


def work(pipe: Connection) -> None:
    """Serve a desk until its pipe is closed."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    worker = Worker(pipe)
    try:
        worker.serve()
    except (Stopped, EOFError, BrokenPipeError, ConnectionResetError):
        return


class Worker:
    """Plans jobs, one at a time."""

    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._queue: deque[Message] = deque()
        self._held: dict[str, Held] = {}
        self._running = ""
        self._cancelled = False

    def serve(self) -> None:
        """Take messages, one after the other."""
        from slabwright.studies import STUDIES
        from slabwright.study import Stage, in_order
        from slabwright.web import answering
        from slabwright.web.strips import unanswered

        blank = [unanswered(study).model_dump() for study in in_order(STUDIES)]
        self._send(kind="questions", strips=blank, stages=[stage.value for stage in Stage], job="")
        asked: dict[str, Callable[..., Any]] = answering.QUESTIONS
        while True:
            message = self._queue.popleft() if self._queue else self._pipe.recv()
            kind = message["kind"]
            if kind == "stop":
                raise Stopped
            if kind == "plan":
                self._plan(message)
            elif kind in asked:
                self._answer(asked[kind], message)

    def _answer(self, answer: Callable[..., Any], message: Message) -> None:
        try:
            held = self._held.get(message["job"], Held())
            self._send(kind="answer", id=message["id"], answer=answer(held, message))
        except SlabwrightError as error:
            self._send(kind="refused", id=message["id"], message=str(error), unknown=isinstance(error, UnknownName))
        except Exception as error:  # noqa: BLE001 - one question that cannot be answered must not end the desk
            self._send(kind="refused", id=message["id"], message=f"{type(error).__name__}: {error}", unknown=False)

    def _send(self, **message: Any) -> None:
        self._pipe.send(message)

    def _plan(self, message: Message) -> None:
        if any(one["kind"] == "plan" and one["job"] == message["job"] for one in self._queue):
            return
        self._running, self._cancelled = message["job"], False
        head = {"job": message["job"], "run": message["run"]}
        try:
            _Run(self._remembered(message["job"]), message, lambda **news: self._send(**news, **head), self._look).work()
        except Abandoned:
            self._send(kind="abandoned", cancelled=self._cancelled, **head)
        except (Stopped, EOFError, OSError):
            raise
        except SlabwrightError as error:
            self._send(kind="failed", message=str(error), **head)
        except Exception as error:  # noqa: BLE001 - a fault of the program is told on the page and ends one run only
            self._send(kind="failed", message=f"{type(error).__name__}: {error}", **head)
        finally:
            self._running = ""

    def _remembered(self, job: str) -> Held:
        held = self._held.pop(job, None) or Held()
        self._held[job] = held
        while len(self._held) > _HELD:
            self._held.pop(next(iter(self._held)))
        return held

    def _look(self) -> None:
        """Take what came in while a run goes."""
        from slabwright.web.answering import QUICK

        while self._pipe.poll():
            try:
                message = self._pipe.recv()
            except (EOFError, OSError):
                raise Stopped from None
            kind = message["kind"]
            if kind == "stop":
                raise Stopped
            if kind == "cancel" and message["job"] == self._running:
                self._cancelled = True
            elif kind in QUICK and QUICK[kind](self._held.get(message["job"], Held()), message):
                self._answer(self._question(kind), message)
            elif kind != "cancel":
                self._queue.append(message)
        newer = any(one["kind"] == "plan" and one["job"] == self._running for one in self._queue)
        if newer or self._cancelled:
            raise Abandoned

    @staticmethod
    def _question(kind: str) -> Callable[..., Any]:
        from slabwright.web.answering import QUESTIONS

        found: Callable[..., Any] = QUESTIONS[kind]
        return found


class _Run:
    """One run over the studies of a job."""

    def __init__(self, held: Held, message: Message, send: Callable[..., None], look: Callable[[], None]) -> None:
        self._held, self._message, self._send, self._look = held, message, send, look
        self._began, self._limit = 0.0, 0

    def work(self) -> None:
        """Answer every question whose inputs changed; those that were quick before come first, and drawings after answers."""
        from slabwright.studies import STUDIES
        from slabwright.study import Plan, in_order, run_studies

        held = self._held
        self._read()
        quick_first = sorted(in_order(STUDIES), key=self._slowness)
        earlier = Plan(held.inputs, dict(held.outcomes))
        self._limit = _KNOWN_EACH * len(quick_first)
        with heard_by(self._look):
            run_studies(
                quick_first, held.inputs, earlier=earlier, known=held.known, on_start=self._started, on_done=self._done, on_fault=_fault
            )
            self._draw()
        self._send(kind="done")

    def _slowness(self, study: "Study[Any]") -> int:
        return bisect_right(_SLOW_S, self._held.seconds.get(study.key, math.inf))

    def _read(self) -> None:
        """The inputs; a record beside the job file that cannot be read is told and left out."""
        from slabwright.files.sitefile import read_site
        from slabwright.model.site import Site
        from slabwright.study import Inputs

        held, message, job = self._held, self._message, self._message["state"]
        notes: list[str] = []
        try:
            site, _ = read_site(Path(message["folder"]), job.place, job=job)
        except InputError as error:
            site, notes = Site(), [f"Left out: {line}" for line in str(error).splitlines()[:20]]
        held.folder, held.name = message["folder"], message["name"]
        held.inputs = Inputs(job=job, site=site)
        self._send(kind="notes", notes=notes)

    def _started(self, study: "Study[Any]", number: int, total: int) -> None:
        self._look()
        if self._slowness(study) == len(_SLOW_S):
            self._draw()
        self._began = time.process_time()
        self._send(kind="progress", study=study.key, number=number, total=total)

    def _done(self, outcome: "Outcome") -> None:
        from slabwright.web.strips import closed_strip

        held, key = self._held, outcome.study.key
        if held.outcomes.get(key) is not outcome:
            if outcome.digest not in held.known:
                held.seconds[key] = time.process_time() - self._began
            held.outcomes[key] = held.known[outcome.digest] = outcome
            held.known.move_to_end(outcome.digest)
            while len(held.known) > self._limit:
                held.known.popitem(last=False)
        elif not self._message["all"] and held.digests.get(key) == outcome.digest:
            return
        self._send(kind="strip", strip=closed_strip(outcome).model_dump())
        held.digests[key], held.undrawn[key] = outcome.digest, outcome

    def _draw(self) -> None:
        """What was answered and not drawn yet; in an earlier run, perhaps, that was abandoned for this one."""
        from slabwright.web.answering import foundation_of
        from slabwright.web.strips import small_drawing

        held = self._held
        for key, outcome in list(held.undrawn.items()):
            small = small_drawing(outcome, held.inputs.job.family, foundation_of(held))
            self._send(kind="drawing", key=key, digest=outcome.digest, small=small)
            del held.undrawn[key]
            self._look()


def _fault(_: "Study[Any]", error: Exception) -> "Waiting":
    from slabwright.study import Waiting
    from slabwright.web.strips import FAULT

    said = str(error) if isinstance(error, SlabwrightError) else f"{type(error).__name__}: {error}"
    return Waiting(f"{FAULT}{said[:400]}")
