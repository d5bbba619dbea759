"""Writes the pages of docs/ that are readings of the program; a test compares them with what is committed."""

import argparse
import inspect
from collections.abc import Callable
from importlib import import_module
from pathlib import Path

from slabwright.cli import parser
from slabwright.sources import Basis, Clause, Source
from slabwright.standards import MODULES, register
from slabwright.studies import STUDIES

HERE = Path(__file__).parent


def studies_page() -> str:
    """The builder's questions, in order."""
    lines = ["# Questions", "", "Each study answers one question. A study runs anew only when what it reads has changed.", ""]
    lines += ["| key | stage | question | reads | needs | hears |", "|---|---|---|---|---|---|"]
    for study in STUDIES:
        needs = ", ".join([*(one.key for one in study.needs), *(f"{part.name} of {part.study.key}" for part in study.parts)])
        hears = ", ".join(one.key for one in study.hears)
        lines.append(f"| `{study.key}` | {study.stage.value} | {study.question} | {', '.join(sorted(study.reads))} | {needs} | {hears} |")
    return "\n".join(lines) + "\n"


def formulas_page() -> str:
    """Every formula that reckon works."""
    lines = [
        "# Formulas",
        "",
        "`slabwright reckon NAME key=value …` works one of these; `slabwright reckon NAME` alone says what it takes.",
        "",
    ]
    lines += ["| name | what it gives | inputs | source |", "|---|---|---|---|"]
    for entry in register().values():
        inputs = ", ".join(f"{parameter.written}" + ("" if parameter.required else "?") for parameter in entry.parameters)
        lines.append(f"| `{entry.name}` | {entry.summary} | {inputs} | {entry.clause} |".replace("\n", " "))
    return "\n".join(lines) + "\n"


def sources_page() -> str:
    """Every document the program cites, with the places and how well each is known."""
    clauses: dict[Source, set[Clause]] = {}
    for module in MODULES:
        for member in vars(import_module(f"slabwright.standards.{module}")).values():
            if isinstance(member, Source):
                clauses.setdefault(member, set())
            if isinstance(member, Clause):
                clauses.setdefault(member.source, set()).add(member)
    for entry in register().values():
        clauses.setdefault(entry.clause.source, set()).add(entry.clause)
    lines = [
        "# Sources",
        "",
        "Where each figure comes from and how it was seen: " + ", ".join(f"*{basis.value}*" for basis in Basis) + ".",
        "",
    ]
    for source in sorted(clauses, key=lambda one: one.key.lower()):
        lines += [f"## {source.key}", "", source.title, ""]
        lines += [
            f"- {clause.locator or 'as a whole'}: {clause.basis.value}" for clause in sorted(clauses[source], key=lambda one: one.locator)
        ]
        lines += [""]
    return "\n".join(lines).rstrip() + "\n"


def commands_page() -> str:
    """The command line's own help."""
    lines = ["# Commands", ""]
    whole = parser()
    (action,) = [one for one in whole._actions if isinstance(one, argparse._SubParsersAction)]
    for name, command in action.choices.items():
        lines += [f"## slabwright {name}", "", "```", inspect.cleandoc(command.format_help()), "```", ""]
    return "\n".join(lines).rstrip() + "\n"


def job_file_page() -> str:
    """The job file, read off its schema."""
    from slabwright.files.schema_page import job_file_page as page

    return page()


def job_schema_text() -> str:
    """The JSON Schema of the job file, which ships inside the package."""
    from slabwright.files.schema import schema_text

    return schema_text()


def catalogue_source() -> str:
    """Name of each formula to the module that holds it, so that one formula is found without loading the others."""
    lines = ['"""Which module holds which formula; written by ``make docs``, compared by a test."""', "", "HOMES: dict[str, str] = {"]
    lines += [f'    "{name}": "{entry.function.__module__.rpartition(".")[2]}",' for name, entry in register().items()]
    return "\n".join([*lines, "}"]) + "\n"


PAGES: dict[str, Callable[[], str]] = {
    "studies.md": studies_page,
    "formulas.md": formulas_page,
    "sources.md": sources_page,
    "commands.md": commands_page,
    "job-file.md": job_file_page,
    "../src/slabwright/files/job.schema.json": job_schema_text,
    "../src/slabwright/standards/catalogue.py": catalogue_source,
}


if __name__ == "__main__":
    for name, make in PAGES.items():
        (HERE / name).write_text(make(), encoding="utf-8")
