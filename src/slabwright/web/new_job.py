"""A new job: eight questions that a builder can answer standing on the ground, in the units of choice, and the job file they make."""

import math
import re
from collections.abc import Mapping
from functools import cache

from slabwright.errors import Finding, InputError, OutOfRange
from slabwright.files.examples import example_names, example_text
from slabwright.files.jobfile import parse_job
from slabwright.files.jobfile.written import toml
from slabwright.units import AREA, FOOT_M, INCH_M, LENGTH, PRESSURE, Family, format_quantity, parse_quantity
from slabwright.web.drafting import spelled
from slabwright.web.views import ExampleView, QuestionView

QUESTIONS = (
    QuestionView(
        key="name", question="What is it called?", kind="text", preset="New job", preset_si="New job", help="Printed on every sheet.",
    ),
    QuestionView(key="units", question="Feet and inches, or metres?", kind="choice", choices=["US", "SI"], preset="US", preset_si="SI"),
    QuestionView(
        key="size", question="How large is it on plan?", kind="quantity", preset="30 ft x 36 ft", preset_si="9 m x 11 m",
        help="Length by width over the forms. Other shapes are drawn on the plan afterwards.",
    ),
    QuestionView(
        key="enclosure", question="Open, closed, or heated?", kind="choice", choices=["open", "enclosed", "heated"], preset="enclosed",
        preset_si="enclosed", help="Frost, uplift, air in the mix and the sheet below all hang on it.",
    ),
    QuestionView(
        key="thickness", question="How thick is the floor meant to be?", kind="quantity", preset="5 in", preset_si="130 mm",
        help="From the drawing, or to begin with.",
    ),
    QuestionView(
        key="strength", question="Which strength of concrete is asked for?", kind="quantity", preset="3500 psi", preset_si="25 MPa",
        help="From the drawing; whoever supplies it confirms. How it sets, is sawn and carries hangs on it.",
    ),
    QuestionView(
        key="frost", question="How deep does frost go there?", kind="quantity", preset="12 in", preset_si="450 mm",
        help="The building department knows. The edge is drawn down to it.",
    ),
    QuestionView(
        key="bearing", question="What may the ground be loaded with?", kind="quantity", preset="1500 psf", preset_si="75 kPa",
        help="From the soil report; leave it empty if there is none yet.",
    ),
    QuestionView(
        key="posts", question="Posts inside the building: how many rows, and how many in each?", kind="text", preset="1 x 2",
        preset_si="1 x 2", help="Such as 1 x 2; write 0 for none. Each gets a pad, to be moved on the plan.",
    ),
)  # fmt: skip
_MOST_POSTS = 200


def job_text(answers: Mapping[str, str]) -> str:
    """The job file that answers make.

    Parameters
    ----------
    answers : Mapping
        Key of a question to what was typed; a question left out takes its preset.

    Raises
    ------
    InputError
        With every answer that cannot be taken.
    """
    family = Family.SI if answers.get("units", "US") == "SI" else Family.US
    given = {one.key: answers.get(one.key, one.preset if family is Family.US else one.preset_si).strip() for one in QUESTIONS}
    faults: list[Finding] = []
    length, width = _size(given["size"], faults)
    frost = _length(given["frost"] or "0 in", "frost", faults)
    thickness = _length(given["thickness"], "thickness", faults)
    _pressure(given["strength"], "strength", faults)
    if given["bearing"]:
        _pressure(given["bearing"], "bearing", faults)
    rows, columns = _posts(given["posts"], faults)
    if faults:
        raise InputError("new job", faults)
    text = _written(given, family, (length, width), thickness, frost, (rows, columns))
    parse_job(text, name=given["name"])
    return text


def _written(
    given: Mapping[str, str], family: Family, size: tuple[float, float], thickness_m: float, frost_m: float, posts: tuple[int, int]
) -> str:
    us = family is Family.US
    shows_m = 8 * INCH_M if us else 0.2
    depth = _up(max(frost_m, 12 * INCH_M if us else 0.3) + shows_m, family)
    lines = [
        "# Begun with a few answers; every line can be changed here or on the page.", "schema = 1", "", "[job]",
        f"name = {toml(given['name'])}",
        f"units = {toml(family.value)}", "", "[place]", f"frost_depth = {toml(spelled(frost_m, family))}", "", "[building]",
        f"enclosure = {toml(given['enclosure'])}", "",
    ]  # fmt: skip
    if given["bearing"]:
        lines += ["[soil]", f"allowable_bearing = {toml(given['bearing'])}", ""]
    corner = toml([spelled(one, family) for one in size])
    lines += [
        "[floor]", f'outline = {{ from = ["0", "0"], to = {corner} }}', f"thickness = {toml(given['thickness'])}",
        f"finish = {toml('broom' if given['enclosure'] == 'open' else 'trowel')}", "", "[edge]",
        f"depth = {toml(depth)}   # to frost depth and what shows above the ground", f"width = {toml('12 in' if us else '300 mm')}",
        f"top_above_grade = {toml(spelled(shows_m, family))}", "",
    ]  # fmt: skip
    lines += ["[base]", f"thickness = {toml('4 in' if us else '100 mm')}   # common under a floor, to begin with", ""]
    if given["enclosure"] != "open":
        sheet = "10 mil" if us else "0.3 mm"
        lines += ["[retarder]", f"thickness = {toml(sheet)}   # the sheet under a closed building, to begin with", ""]
    lines += ["[mix]", f"strength = {toml(given['strength'])}", ""]
    if posts[0] * posts[1]:
        lines += _pads(family, size, thickness_m, posts)
    return "\n".join(lines) + "\n"


def _pads(family: Family, size: tuple[float, float], thickness_m: float, posts: tuple[int, int]) -> list[str]:
    us = family is Family.US
    xs = [spelled(_round(size[0] * (one + 1) / (posts[0] + 1), family), family) for one in range(posts[0])]
    ys = [spelled(_round(size[1] * (2 * one + 1) / (2 * posts[1]), family), family) for one in range(posts[1])]
    deep = _up(max(thickness_m + (8 * INCH_M if us else 0.2), 14 * INCH_M if us else 0.35), family)
    return [
        "[[pads]]", f"at = {toml([[x, y] for y in ys for x in xs])}", f"size = {toml('2.5 ft x 2.5 ft' if us else '750 mm x 750 mm')}",
        f"depth = {toml(deep)}", "", "[[posts]]", 'on = "all pads"', f"base = {toml('6 in x 6 in' if us else '150 mm x 150 mm')}", "",
    ]  # fmt: skip


def _round(length_m: float, family: Family) -> float:
    step = 0.5 * FOOT_M if family is Family.US else 0.1
    return round(length_m / step) * step


def _up(length_m: float, family: Family) -> str:
    """The next size that is formed and dug: whole inches, or 50 mm."""
    if family is Family.US:
        return f"{math.ceil(length_m / INCH_M - 1e-6)} in"
    return f"{50 * math.ceil(length_m / 0.05 - 1e-6)} mm"


def _size(text: str, faults: list[Finding]) -> tuple[float, float]:
    parts = re.split(r"\s*(?:×|\bx\b|\bby\b|(?<=[\d'\"])x(?=\d))\s*", text)
    if len(parts) != 2:
        faults.append(Finding(where="size", message=f'"{text}" is no size; write two lengths, such as "30 ft x 36 ft".'))
        return 1.0, 1.0
    if unit := re.fullmatch(r"[\d.]+\s*([A-Za-z]+)", parts[1]):
        parts[0] = re.sub(r"^([\d.]+)$", rf"\1 {unit[1]}", parts[0])
    return _length(parts[0], "size", faults), _length(parts[1], "size", faults)


def _length(text: str, where: str, faults: list[Finding]) -> float:
    try:
        found = parse_quantity(text, LENGTH)
        if not 0 <= found <= 1000 or (found == 0 and where != "frost"):
            raise OutOfRange(f'"{text}" cannot be; write a length of a building.')
    except OutOfRange as error:
        faults.append(Finding(where=where, message=str(error)))
        return 1.0
    return found


def _pressure(text: str, where: str, faults: list[Finding]) -> None:
    try:
        if not parse_quantity(text, PRESSURE) > 0:
            raise OutOfRange(f'"{text}" carries nothing; write what it is meant to carry.')
    except OutOfRange as error:
        faults.append(Finding(where=where, message=str(error)))


def _posts(text: str, faults: list[Finding]) -> tuple[int, int]:
    if text in ("", "0", "none"):
        return 0, 0
    match = re.fullmatch(r"(\d{1,3})\s*(?:x|×|by)\s*(\d{1,3})", text)
    if match is None or int(match[1]) * int(match[2]) > _MOST_POSTS:
        faults.append(Finding(where="posts", message=f'"{text}" cannot be read; write rows by posts in each, such as 1 x 2, or 0.'))
        return 0, 0
    return int(match[1]), int(match[2])


@cache
def example_cards() -> list[ExampleView]:
    """The examples, each with its title and what it is for."""
    cards = []
    for name in example_names():
        job = parse_job(example_text(name), name=name).job
        ring = job.floor.outline
        area = abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True)))
        size = format_quantity(area / 2, AREA, job.family)
        cards.append(ExampleView(name=name, title=job.name, about=f"{job.building.use[:1].upper()}{job.building.use[1:]}; {size}."))
    return cards
