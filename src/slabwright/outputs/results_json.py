"""plan.json: every result of a plan for other programs to read, under a versioned schema.

Numbers are SI, beside the text that people are shown. A study's own fields are written where they are plain data;
geometry and large arrays stay out.
"""

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from importlib.resources import files
from pathlib import Path
from typing import Any

from slabwright.outputs.atomic import write_atomically
from slabwright.outputs.reading import assumptions_to_confirm, tally
from slabwright.outputs.words import check_text, line_text, table_text
from slabwright.results.check import Assumption, Caution, Check, Referral
from slabwright.results.lines import QuantityLine, Task
from slabwright.results.picture import Picture
from slabwright.results.table import Table
from slabwright.results.working import Step
from slabwright.sources import Clause
from slabwright.study import Outcome, Plan, Result, Waiting
from slabwright.units import Family
from slabwright.version import __version__

SCHEMA = "slabwright-plan/1"
_LARGEST_LIST = 500
_DEEPEST = 6
_COMMON = frozenset(one.name for one in fields(Result))


def write_results(plan: Plan, path: Path | str) -> Path:
    """Write plan.json."""
    return write_atomically(path, json.dumps(results_data(plan), ensure_ascii=True, indent=1, allow_nan=False) + "\n")


def results_schema() -> dict[str, Any]:
    """The JSON Schema of plan.json."""
    text = files("slabwright.outputs").joinpath("templates", "plan.schema.json").read_text(encoding="utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema


def results_data(plan: Plan) -> dict[str, Any]:
    """All results as plain data, ready for JSON."""
    job, site = plan.inputs.job, plan.inputs.site
    return {
        "schema": SCHEMA,
        "program": f"slabwright {__version__}",
        "job": {"name": job.name, "digest": job.digest, "family": job.family.value},
        "codes": {"loads": job.codes.loads.value, "concrete": job.codes.concrete.value, "minimums": job.codes.minimums.value},
        "day": site.today.isoformat() if site.today else None,
        "states": {state.value: count for state, count in tally(plan).items()},
        "assumptions": [_assumption(one) for one in assumptions_to_confirm(plan)],
        "studies": [_study(outcome, job.family) for outcome in plan.outcomes.values()],
    }


def _study(outcome: Outcome, family: Family) -> dict[str, Any]:
    result = outcome.result
    head: dict[str, Any] = {
        "key": outcome.study.key,
        "question": outcome.study.question,
        "stage": outcome.study.stage.value,
        "state": outcome.state.value,
        "digest": outcome.digest,
    }
    if isinstance(result, Waiting):
        return head | {"answer": None, "waits_for": result.reason}
    shown = outcome.presentation()
    return head | {
        "answer": result.answer,
        "checks": [_check(one, family) for one in result.checks],
        "referrals": [_referral(one) for one in result.referrals],
        "assumptions": [_assumption(one) for one in result.assumptions],
        "cautions": [_caution(one) for one in result.cautions],
        "quantities": [_line(one, family) for one in result.lines],
        "tasks": [_task(one) for one in result.tasks],
        "tables": [_table(one, family) for one in shown.tables],
        "pictures": [_picture(one) for one in shown.pictures],
        "figures": _figures(result),
    }


def _clause(clause: Clause | None) -> dict[str, str] | None:
    if clause is None:
        return None
    return {"source": clause.source.key, "title": clause.source.title, "locator": clause.locator, "basis": clause.basis.value}


def _check(check: Check, family: Family) -> dict[str, Any]:
    words = check_text(check, family)
    return {
        "key": check.key,
        "name": check.name,
        "where": check.where,
        "state": check.state.value,
        "demand": check.demand,
        "limit": check.capacity,
        "suffix": check.suffix,
        "ratio": check.ratio,
        "spread": check.spread,
        "shown": {"demand": words.demand, "limit": words.limit, "ratio": words.ratio},
        "governing": check.governing,
        "remedy": check.remedy,
        "clause": _clause(check.clause),
        "method": _clause(check.method),
        "steps": [_step(step) for step in check.steps],
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "formula": step.formula,
        "given": [{"symbol": one.symbol, "number": _number(one.number), "unit": one.unit} for one in step.given],
        "result": {"symbol": step.result.symbol, "number": _number(step.result.number), "unit": step.result.unit},
        "note": step.note,
        "shown": str(step),
    }


def _referral(referral: Referral) -> dict[str, Any]:
    return {"question": referral.question, "where": referral.where, "ask": referral.to.value, "clause": _clause(referral.clause)}


def _assumption(assumption: Assumption) -> dict[str, Any]:
    return {"where": assumption.where, "statement": assumption.statement, "clause": _clause(assumption.clause)}


def _caution(caution: Caution) -> dict[str, Any]:
    return {"text": caution.text, "clause": _clause(caution.clause)}


def _line(line: QuantityLine, family: Family) -> dict[str, Any]:
    return {
        "key": line.key,
        "item": line.item,
        "trade": line.trade.value,
        "quantity": line.quantity,
        "suffix": line.suffix,
        "shown": line_text(line, family),
        "basis": line.basis,
        "waste": line.waste,
        "waste_reason": line.waste_reason,
        "part_of": line.part_of,
        "clause": _clause(line.clause),
    }


def _task(task: Task) -> dict[str, str]:
    return {"what": task.what, "who": task.who, "when": task.when, "where": task.where}


def _table(table: Table, family: Family) -> dict[str, Any]:
    headings, rows, _ = table_text(table, family)
    return {
        "title": table.title,
        "columns": [{"heading": column.heading, "suffix": column.suffix} for column in table.columns],
        "rows": [[_plain(cell, 1) for cell in row] for row in table.rows],
        "shown": {"headings": list(headings), "rows": [list(row) for row in rows]},
        "note": table.note,
    }


def _picture(picture: Picture) -> dict[str, str]:
    return {"key": picture.key, "title": picture.title, "alt": picture.alt}


def _figures(result: Result) -> dict[str, Any]:
    """A study's own fields, where they are plain data."""
    found = {one.name: _plain(getattr(result, one.name), _DEEPEST) for one in fields(result) if one.name not in _COMMON}
    return {name: value for name, value in found.items() if value is not _LEFT_OUT}


_LEFT_OUT = object()


def _number(value: float) -> float | None:
    return value if math.isfinite(value) else None


def _plain(value: object, depth: int) -> Any:
    """Plain data of a value, or the mark that it is left out."""
    match value:
        case None | bool() | int() | str():
            return value
        case float():
            return _number(value)
        case Enum():
            return value.value if isinstance(value.value, (str, int, float)) else value.name
        case Decimal() | date() | datetime():
            return str(value)
        case _ if depth <= 0:
            return _LEFT_OUT
        case Clause():
            return _clause(value)
        case Mapping():
            pairs = {str(key.value if isinstance(key, Enum) else key): _plain(one, depth - 1) for key, one in value.items()}
            return _kept(pairs)
        case tuple() | list() | set() | frozenset():
            if len(value) > _LARGEST_LIST:
                return _LEFT_OUT
            members = [_plain(one, depth - 1) for one in (sorted(value, key=str) if isinstance(value, (set, frozenset)) else value)]
            return _LEFT_OUT if any(one is _LEFT_OUT for one in members) else members
        case _ if is_dataclass(value) and not isinstance(value, type):
            return _kept({one.name: _plain(getattr(value, one.name), depth - 1) for one in fields(value)})
        case _ if type(value).__module__ == "numpy" and getattr(value, "shape", None) == ():
            return _plain(value.item(), depth)  # type: ignore[attr-defined]
    return _LEFT_OUT


def _kept(pairs: dict[str, Any]) -> Any:
    """The plain members of a mapping; nothing if none is plain."""
    kept = {name: one for name, one in pairs.items() if one is not _LEFT_OUT}
    return kept if kept or not pairs else _LEFT_OUT
