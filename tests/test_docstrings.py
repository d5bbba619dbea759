"""A unit is said twice, in the suffix of a name and in brackets in its docstring; both must say the same.

Strict for published formulas, whose arguments people type; tolerant for the solvers, where plain numerics in any
consistent units carry no suffix; for the dataclasses of model and results, wherever a bracket stands.
"""

import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from dataclasses import is_dataclass
from types import FunctionType, ModuleType
from typing import get_type_hints

import pytest

import slabwright.model
import slabwright.results
import slabwright.solvers
import slabwright.standards
from slabwright.standards import register
from slabwright.units import DIMENSIONS, NUMBER, dimension_of

# How each part of a suffix is written in brackets; letters together multiply, an underscore divides.
TOKENS = {
    "1": "1", "m": "m", "m2": "m²", "m3": "m³", "m4": "m⁴", "kg": "kg", "n": "N", "nm": "N·m", "pa": "Pa", "s": "s", "h": "h", "days": "d",
    "c": "°C", "k": "K", "kd": "K·d", "kh": "K·h", "rad": "rad", "w": "W", "mk": "mK", "m2k": "m²K", "j": "J", "kgk": "kgK", "mol": "mol",
    "1k": "1/K", "nm2": "N·m²", "m2kg": "m²/kg", "kn": "kN",
}  # fmt: skip
SAME = {"days": {"d", "days"}}
UNIT_LIKE = {token for suffix in DIMENSIONS for token in suffix.split("_") if token} - {"1", "c", "k", "n", "m"}


def bracket(suffix: str) -> str:
    """The brackets of a suffix: ``kg_m2_h`` is kg/m²/h."""
    return "/".join(TOKENS[token] for token in suffix.split("_")) if suffix else "-"


def same_unit(written: str, suffix: str) -> bool:
    """Whether brackets say what a suffix says; ``kg/(Pa·s·m²)`` is ``kg/Pa/s/m²``."""
    plain = re.sub(r"/\(([^)]*)\)", lambda one: "/" + one[1].replace("·", "/"), written.strip())
    return plain == bracket(suffix) or written in SAME.get(suffix, ())


def modules(package: ModuleType) -> list[ModuleType]:
    """Every module of a package, those in folders included."""
    return [importlib.import_module(one.name) for one in pkgutil.walk_packages(package.__path__, package.__name__ + ".")]


def functions(package: ModuleType) -> list[FunctionType]:
    """Every public function defined in a package, unwrapped from its compiler where it has one."""
    found = []
    for module in modules(package):
        for name, member in vars(module).items():
            function = inspect.unwrap(getattr(member, "py_func", member)) if callable(member) else None
            if not name.startswith("_") and isinstance(function, FunctionType) and function.__module__ == module.__name__:
                found.append(function)
    return found


def section(thing: object, title: str) -> str:
    """One section of a numpydoc docstring; empty where there is none."""
    match = re.search(rf"(?:^|\n){title}\n-+\n(.*?)(?=\n\n?[A-Z][A-Za-z ]*\n-{{3,}}|\Z)", inspect.getdoc(thing) or "", re.DOTALL)
    return match[1] if match else ""


def entries(text: str) -> dict[str, list[str]]:
    """Name to the units of its description; names that share one take its units in order, or all the only one."""
    found: dict[str, list[str]] = {}
    for entry in re.findall(r"^(\S[^:\n]*)(?::[^\n]*)?\n?((?:^[ ]+.*\n?|^\n)*)", text, re.MULTILINE):
        names, units = [name.strip().lstrip("*") for name in entry[0].split(",")], brackets(entry[1])
        for number, name in enumerate(names):
            found[name] = units[number : number + 1] if len(units) == len(names) else units[:1]
    return found


def brackets(text: str) -> list[str]:
    """Units in brackets, ``[s, °C]`` as two; references such as [1]_ are none, nor are ranges."""
    found = [one for one in re.findall(r"\[([^\[\]]+)\](?!_)", text) if not re.fullmatch(r"[\d\s.,;-]*\d[\d\s.,;]*", one)]
    return [unit for one in found for unit in one.split(", ")]


def names_of(functions: list[FunctionType]) -> list[str]:
    return [f"{one.__module__.rpartition('.')[2]}.{one.__name__}" for one in functions]


STANDARDS = functions(slabwright.standards)
PUBLISHED = [entry.function for entry in register().values()]
SOLVERS = functions(slabwright.solvers)


@pytest.mark.parametrize("function", PUBLISHED, ids=names_of(PUBLISHED))
def test_every_argument_of_a_published_formula_says_its_unit_twice(function: FunctionType):
    """Suffix and brackets agree; a fraction or count has neither, or the brackets [-]."""
    described = entries(section(function, "Parameters"))
    for name in inspect.signature(function).parameters:
        if name == "working":
            continue
        assert name in described, f"{name} is not described"
        units, dimension = described[name], dimension_of(name)
        if dimension is NUMBER:
            assert units in ([], ["-"]), f"{name} has no suffix and is described in {units}"
        else:
            assert units, f"{name} is described without its unit"
            assert same_unit(units[0], dimension.suffix), f"{name} is described in [{units[0]}], not [{bracket(dimension.suffix)}]"


@pytest.mark.parametrize("function", PUBLISHED, ids=names_of(PUBLISHED))
def test_a_published_formula_that_gives_a_number_says_its_unit_twice(function: FunctionType):
    """The suffix of its own name and the brackets of what it returns."""
    if get_type_hints(function).get("return") not in (float, float | None):
        return
    units, dimension = brackets(section(function, "Returns")), dimension_of(function.__name__)

    assert units, "what it returns is described without its unit"
    assert same_unit(units[0], dimension.suffix), f"described in [{units[0]}], not [{bracket(dimension.suffix)}]"


@pytest.mark.parametrize("function", STANDARDS + SOLVERS, ids=names_of(STANDARDS + SOLVERS))
def test_no_suffix_hides_a_larger_one(function: FunctionType):
    """``x_m2_s`` must be known as m²/s, or it would be read as a time."""
    for name in (function.__name__, *inspect.signature(function).parameters):
        suffix = dimension_of(name).suffix
        if name == suffix:
            continue
        rest = name.removesuffix("_" + suffix) if suffix else name
        assert rest.rpartition("_")[2] not in UNIT_LIKE, f"{name} would be read as {dimension_of(name).name}; add its unit to the suffixes"


@pytest.mark.parametrize("function", STANDARDS + SOLVERS, ids=names_of(STANDARDS + SOLVERS))
def test_whatever_says_a_unit_says_it_right(function: FunctionType):
    """Helpers and solvers: where an argument has a suffix and brackets, they agree; so has what is returned."""
    returned, own = (
        brackets(section(function, "Returns") or (inspect.getdoc(function) or "").partition("\n")[0]),
        dimension_of(function.__name__),
    )
    if returned and own is not NUMBER:
        assert same_unit(returned[0], own.suffix), f"described in [{returned[0]}], not [{bracket(own.suffix)}]"
    described = entries(section(function, "Parameters"))
    for name in inspect.signature(function).parameters:
        units, dimension = described.get(name, []), dimension_of(name)
        if units and dimension is not NUMBER and len(name) > len(dimension.suffix):
            assert same_unit(units[0], dimension.suffix), f"{name} is described in [{units[0]}], not [{bracket(dimension.suffix)}]"


def dataclasses() -> Iterator[type]:
    for package in (slabwright.model, slabwright.results, slabwright.standards):
        for module in modules(package):
            for member in vars(module).values():
                if isinstance(member, type) and is_dataclass(member) and member.__module__ == module.__name__:
                    yield member


KINDS = list(dataclasses())


@pytest.mark.parametrize("kind", KINDS, ids=[one.__name__ for one in KINDS])
def test_a_field_that_says_a_unit_in_brackets_says_it_right(kind: type):
    described = entries(section(kind, "Attributes"))
    for name, units in described.items():
        dimension = dimension_of(name)
        if units and dimension is not NUMBER:
            assert same_unit(units[0], dimension.suffix), f"{name} is described in [{units[0]}], not [{bracket(dimension.suffix)}]"


def test_every_suffix_can_be_written_in_brackets():
    """So that a new kind of quantity cannot slip past the checks above."""
    assert all(bracket(suffix) for suffix in DIMENSIONS)
    assert ("kg/m²/h", "N/m", "N·m", "m²K/W", "1/K", "-") == tuple(bracket(one) for one in ("kg_m2_h", "n_m", "nm", "m2k_w", "1_k", ""))


def test_the_check_would_find_a_wrong_bracket():
    """A formula described in millimetres, one without a unit, one not described at all."""

    def wrong_m(*, length_m: float, width_m: float, load_n: float) -> float:
        """Wrong.

        Parameters
        ----------
        length_m : float
            Length. [mm]
        width_m : float
            Width.

        Returns
        -------
        float
            Area. [m²]
        """
        return length_m * width_m * load_n

    with pytest.raises(AssertionError, match=r"length_m is described in \[mm\], not \[m\]"):
        test_every_argument_of_a_published_formula_says_its_unit_twice(wrong_m)
    with pytest.raises(AssertionError, match=r"described in \[m²\], not \[m\]"):
        test_a_published_formula_that_gives_a_number_says_its_unit_twice(wrong_m)
