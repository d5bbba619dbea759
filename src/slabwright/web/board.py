"""What the page sees of one job's plan while it is worked: strips as they come in, and what each said before."""

from typing import Any

from slabwright.web.plan_views import BeforeView, PlacedStrip, PlanView, StripView

Message = dict[str, Any]


class Board:
    """The strips of one job.

    Parameters
    ----------
    blank : list of StripView
        The questions in the order of the work, unanswered.
    stages : list of str
    """

    def __init__(self, blank: list[StripView], stages: list[str]) -> None:
        self._strips = {strip.key: strip for strip in blank}
        self._settled: dict[str, StripView] = {}
        self._before: dict[str, BeforeView] = {}
        self._stages = stages
        self._whole = True
        self.version = ""
        self.running = False
        self._done, self._now = 0, ""
        self._notes: list[str] = []
        self._message = ""
        self._run = 0

    def begin(self, version: str, run: int) -> None:
        """A run starts, whose news carry that number; what an abandoned one had marked stays marked."""
        self._run = run
        if self._whole:
            self._settled = {key: strip for key, strip in self._strips.items() if strip.digest}
            self._before = {}
        self.version, self.running, self._whole, self._done, self._now = version, True, False, 0, ""
        self._message = ""

    def hear(self, news: Message) -> Message | None:
        """Take a piece of news; returns what the page is told, or None for news of an older run."""
        if news["run"] != self._run:
            return None
        kind = news["kind"]
        if kind == "progress":
            self._done, self._now = news["number"] - 1, news["study"]
            return {"type": "progress", "done": self._done, "total": news["total"], "now": self._now, "version": self.version}
        if kind == "notes":
            self._notes = list(news["notes"])
            return {"type": "notes", "notes": self._notes, "version": self.version}
        if kind == "strip":
            placed = self._place(StripView.model_validate(news["strip"]))
            return {"type": "strip", "version": self.version, **placed.model_dump()}
        if kind == "drawing":
            return self._draw(news["key"], news["digest"], news["small"])
        self.running = False
        self._now, self._message = "", news.get("message", "")
        if kind == "done":
            self._whole, self._done = True, len(self._strips)
        return {"type": "done", "version": self.version, "whole": self._whole, "message": self._message}

    def view(self) -> PlanView:
        """The whole board."""
        return PlanView(
            version=self.version,
            running=self.running,
            done=self._done,
            total=len(self._strips),
            now=self._now,
            strips=[PlacedStrip(strip=strip, before=self._before.get(key)) for key, strip in self._strips.items()],
            stages=self._stages,
            whole=self._whole,
            message=self._message,
            notes=self._notes,
        )

    def _draw(self, key: str, digest: str, small: str) -> Message:
        self._strips[key] = self._strips[key].model_copy(update={"small": small})
        return {"type": "drawing", "version": self.version, "key": key, "digest": digest, "small": small}

    def _place(self, strip: StripView) -> PlacedStrip:
        """A strip comes without its drawing, which follows; the earlier one stays until then."""
        self._strips[strip.key] = strip.model_copy(update={"small": self._strips[strip.key].small})
        settled = self._settled.get(strip.key)
        if settled is not None and (settled.answer != strip.answer or settled.state != strip.state):
            self._before[strip.key] = BeforeView(answer=settled.answer, state=settled.state)
        else:
            self._before.pop(strip.key, None)
        return PlacedStrip(strip=strip, before=self._before.get(strip.key))
