"""Reading a job file: from text to a job, every mistake found before anything is said."""

import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import islice
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from slabwright.errors import Finding, InputError
from slabwright.files.jobfile.document import JobFile, built, digest_of
from slabwright.files.jobfile.migrations import CURRENT, edition_of, migrated
from slabwright.files.jobfile.paths import key_path
from slabwright.files.jobfile.positions import Path, line_of, lines_of
from slabwright.files.jobfile.site_rules import doubts_of, faults_of
from slabwright.files.jobfile.trade import JobTable, clashes_in, completed, inner_table, unusual, written_of
from slabwright.files.jobfile.written import toml
from slabwright.model.job import Job
from slabwright.results.check import Assumption
from slabwright.sources import practice
from slabwright.units import Family

LARGEST_FILE = 1_000_000
_MOST_ENTRIES = 5_000
_MOST_TOLD = 200
_MOST_SYNTAX_FAULTS = 20
_DEEP_KEY = re.compile(r"""^[ \t]*\[{0,2}[ \t]*(?:[\w"'-]+[ \t]*\.[ \t]*){40}""", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class LoadedJob:
    """A job that could be read.

    Attributes
    ----------
    job : Job
    findings : tuple of Finding
        Warnings; a job with errors is never returned.
    places : dict
        Section and number in the job, such as ``("pads", 3)``, to the key path of its position in the file.
    """

    job: Job
    findings: tuple[Finding, ...]
    places: dict[tuple[str, int], str]


def read_job(path: FilePath | str) -> LoadedJob:
    """Read a job file.

    Raises
    ------
    InputError
        With everything wrong in it at once.
    OSError
        If the file cannot be opened.
    """
    path = FilePath(path)
    with path.open("rb") as stream:
        content = stream.read(LARGEST_FILE + 1)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        message = "is no UTF-8 text; save it as plain text in UTF-8."
        raise InputError(path.name, [Finding(where="the file", message=message, line=line)]) from None
    return parse_job(text, path.name, name=path.stem if path.stem != "job" else path.resolve().parent.name)


def parse_job(text: str, source: str = "job.toml", *, name: str = "") -> LoadedJob:
    """Read the text of a job file.

    Parameters
    ----------
    text : str
        TOML.
    source : str
        Name of the file, for messages.
    name : str
        Name of the job where the text states none.

    Raises
    ------
    InputError
        With everything wrong in it at once: each finding has its key path, line, what was found and how to write it.
    """
    if len(text) > LARGEST_FILE:
        raise InputError(source, [Finding(where="the file", message=f"is larger than {LARGEST_FILE:,} characters; a job file is not.")])
    raw, lines, broken = _document(text.removeprefix("\ufeff"))
    if edition_of(raw) > CURRENT:
        message = f"{edition_of(raw)} is newer than this program reads ({CURRENT}); bring the program up to date."
        raise InputError(source, [Finding(where="schema", message=message, line=lines.get(("schema",)))])
    document = migrated(raw)
    file, unread, faults = _tables(document, complete=not broken)
    unsound = frozenset(unread)
    findings = [*broken, *_findings(faults, lines, warning=False)]
    if file is None:
        raise InputError(source, _in_order(findings))
    family, guess = _family(file, document)
    doubts = list(unusual(file, document))
    assumptions = [*guess, *completed(file, family, key_path)]
    whole = built(file, name=name or FilePath(source).stem, family=family, assumptions=_merged(assumptions), digest=digest_of(document))
    findings += _findings(whole.faults, lines, warning=False)
    findings += _findings(faults_of(whole.job, whole.places, unsound), lines, warning=False)
    findings += _findings([*doubts, *doubts_of(whole.job, whole.places, unsound)], lines, warning=True)
    wrong = {one.where for one in findings if not one.warning}
    findings = [one for one in findings if not one.warning or one.where not in wrong]
    if wrong:
        raise InputError(source, _in_order(findings))
    return LoadedJob(whole.job, _in_order(findings), {thing: key_path(path) for thing, path in whole.places.items()})


def _in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(sorted(findings, key=lambda one: (one.warning, one.line or 0)))


def _findings(faults: Iterable[tuple[Path, str]], lines: dict[Path, int], *, warning: bool) -> list[Finding]:
    return [
        Finding(where=_one_line(key_path(path)), message=_one_line(text), line=line_of(lines, path), warning=warning)
        for path, text in faults
    ]


def _one_line(text: str) -> str:
    """Without the control characters that a quoted value may hold."""
    return re.sub(r"[\x00-\x1f\x7f\u2028\u2029]+", " ", text)


def _document(text: str) -> tuple[dict[str, Any], dict[Path, int], list[Finding]]:
    """What the text says in TOML, on which lines, and what is wrong with the lines that are no TOML."""
    findings: list[Finding] = []
    if deep := _DEEP_KEY.search(text):
        message = "a key has more than forty parts; a job file has at most three."
        return {}, {}, [Finding(where="the file", message=message, line=text.count("\n", 0, deep.start()) + 1)]
    while True:
        try:
            return tomllib.loads(text), lines_of(text), findings
        except tomllib.TOMLDecodeError as error:
            line, message = _syntax_fault(text, str(error))
        except RecursionError:
            line, message = None, "brackets are nested too deep."
        except ValueError:
            line, message = None, "a number has too many digits."
        findings.append(Finding(where="the file", message=message, line=line))
        rows = text.split("\n")
        if line is None or len(findings) >= _MOST_SYNTAX_FAULTS or not rows[line - 1].strip():
            return {}, {}, findings
        rows[line - 1] = ""
        text = "\n".join(rows)


def _syntax_fault(text: str, message: str) -> tuple[int, str]:
    """Line and plain words for what the TOML reader says."""
    place = re.search(r" \(at line (\d+), column (\d+)\)$", message)
    line = int(place[1]) if place else text.rstrip().count("\n") + 1
    row = text.split("\n")[line - 1].strip()
    row, said = _one_line(row), re.sub(r" \(at .*\)$", "", message)
    if pair := re.fullmatch(r"([A-Za-z0-9_.-]+)\s*=\s*([^\"'\[{#]*?)\s*(#.*)?", row):
        return line, f"{pair[1]} = {pair[2]} cannot be read ({_lower(said)}); write text and quantities between quotation marks."
    return line, f'"{row[:60]}" cannot be read ({_lower(said)}); a line is a [table], key = "value" or # a note.'


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _tables(document: dict[str, Any], *, complete: bool) -> tuple[JobFile | None, set[str], list[tuple[Path, str]]]:
    """The tables that can be read, the sections that cannot, and every fault.

    A section with a fault is put aside, so that the others can still be checked against each other.
    """
    faults, document = _too_many(document)
    if any(not path for path, _ in faults):
        return None, set(), faults
    if complete:
        faults += islice(clashes_in(JobFile, document), _MOST_TOLD)
    unsound = {str(path[0]) for path, _ in faults}
    try:
        file = JobFile.model_validate(document)
    except ValidationError as error:
        told = [one for one in error.errors() if complete or one["type"] != "missing"]
        faults += [fault for one in told[:_MOST_TOLD] for fault in _faults(one)]
        if len(told) > _MOST_TOLD:
            faults.append(((), f"has {len(told) - _MOST_TOLD:,} more mistakes like these."))
        unsound |= {str(one["loc"][0]) for one in error.errors()}
    if "floor" in unsound:
        return None, unsound, faults
    if unsound:
        file = JobFile.model_validate({key: value for key, value in document.items() if key not in unsound})
    return file, unsound, faults


def _too_many(document: dict[str, Any]) -> tuple[list[tuple[Path, str]], dict[str, Any]]:
    """Lists and files longer than any job, told at once and put aside, so that nobody waits for them."""
    if len(document) > _MOST_TOLD:
        return [((), f"holds {len(document):,} tables; a job file has at most {len(JobFile.model_fields)}.")], {}
    long = {key: len(value) for key, value in document.items() if isinstance(value, list) and len(value) > _MOST_ENTRIES}
    faults: list[tuple[Path, str]] = [((key,), f"has {count:,} entries; up to {_MOST_ENTRIES:,} are taken.") for key, count in long.items()]
    return faults, {key: value for key, value in document.items() if key not in long}


def _faults(error: ErrorDetails) -> list[tuple[Path, str]]:
    path: Path = tuple(error["loc"])
    if error["type"] == "refused":
        return [((*path, *inner), message) for inner, message in error["ctx"]["faults"]]
    if error["type"] == "missing":
        return [
            (path, f"is missing; write {path[-1]} = {_example(path)}." if len(path) > 1 else f"is missing; begin it with [{path[-1]}].")
        ]
    if error["type"] == "extra_forbidden":
        return [(path, _unknown(path))]
    found = "a list" if isinstance(error["input"], list) else "a value"
    if error["type"] == "list_type":
        return [(path, f"is {'a table' if isinstance(error['input'], dict) else found}; begin each entry with [[{key_path(path)}]].")]
    return [(path, f"is {found}, not a table; begin it with [{_table_name(path)}].")]


def _table_name(path: Path) -> str:
    names = ".".join(str(step) for step in path if not isinstance(step, int))
    return f"[{names}]" if isinstance(path[-1], int) else names


def _kind(path: Path) -> type[JobTable]:
    """The kind of table that a path leads to."""
    kind: type[JobTable] = JobFile
    for step in path:
        if isinstance(step, str):
            info = next(info for name, info in kind.model_fields.items() if (info.alias or name) == step)
            kind = inner_table(info) or kind
    return kind


def _example(path: Path) -> str:
    kind = _kind(path[:-1])
    info = next(info for name, info in kind.model_fields.items() if (info.alias or name) == path[-1])
    written = written_of(info)
    return written.example() if written else toml({})


def _unknown(path: Path) -> str:
    keys = [info.alias or name for name, info in _kind(path[:-1]).model_fields.items()]
    near = get_close_matches(str(path[-1]).lower(), keys, n=1)
    guess = f'; did you mean "{near[0]}"?' if near else "."
    place = f"[{_table_name(path[:-1])}]" if len(path) > 1 else "the file"
    return f"is no key of {place}{guess} It takes {', '.join(keys)}."


def _family(file: JobFile, document: dict[str, Any]) -> tuple[Family, list[Assumption]]:
    """The units to show: as stated, or those in which the floor's thickness is written."""
    if file.job.units is not None:
        return file.job.units, []
    text = str(document["floor"]["thickness"])
    metric = re.search(r"m\s*$|metre", text) is not None
    family = Family.SI if metric else Family.US
    statement = f"Sheets show {family.value} units, as the thickness of the floor is written."
    return family, [Assumption(where="job.units", statement=statement, clause=practice("one family of units on a job"))]


def _merged(assumptions: Iterable[Assumption]) -> list[Assumption]:
    """Assumptions that say the same, told once with every place they hold for."""
    places: dict[tuple[str, Any], list[str]] = {}
    for one in assumptions:
        places.setdefault((one.statement, one.clause), []).append(one.where)
    return [Assumption(where=", ".join(where), statement=statement, clause=clause) for (statement, clause), where in places.items()]
