"""Formulas worked on paper: the same text is evaluated and shown, so that an explanation is never retold.

A published formula is written once, as text, and evaluated with its values in the units the document prints::

    working = Working()
    shear_lb = working.line("V_c = 2*lam*sqrt(f_c)*b*d", "lb", lam=1.0, f_c=(3000, "psi"), b=(48, "in"), d=(9, "in"))

The value comes back as a float, and ``working.steps`` holds what a person would have written: the formula in
symbols, the same with values and units, and the result.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache, lru_cache, reduce
from types import CodeType
from typing import Any

from slabwright.errors import OutOfRange, ProgramError
from slabwright.units import format_number

_FUNCTIONS = {
    "sqrt": math.sqrt, "exp": math.exp, "log": math.log, "ln": math.log, "sin": math.sin, "cos": math.cos, "tan": math.tan,
    "atan": math.atan, "min": min, "max": max, "abs": abs, "pi": math.pi, "ceil": math.ceil, "cbrt": math.cbrt,
}  # fmt: skip
_GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "eps": "ε", "eta": "η", "theta": "θ", "lam": "λ",
    "lambda_": "λ", "mu": "μ", "nu": "ν", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "psi": "ψ", "omega": "ω",
    "Delta": "Δ", "Sigma": "Σ",
}  # fmt: skip
_NAME = re.compile(r"(?<![\w.])[A-Za-z_][A-Za-z_0-9]*")


@dataclass(frozen=True, slots=True)
class Value:
    """A number beside its symbol, in the unit the document prints."""

    symbol: str
    number: float
    unit: str = ""

    def __str__(self) -> str:
        return f"{format_number(self.number)} {self.unit}".strip()


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a calculation.

    Attributes
    ----------
    formula : str
        ``name = expression`` in the program's spelling; :attr:`symbols` is how a person reads it.
    given : tuple of Value
        The values that went in.
    result : Value
        What came out.
    note : str
        Why this line, where that is not plain.
    """

    formula: str
    given: tuple[Value, ...]
    result: Value
    note: str = ""

    @property
    def symbols(self) -> str:
        """The formula in symbols."""
        return _printed(self.formula, {})

    @property
    def substituted(self) -> str:
        """The right-hand side with values and units in place of symbols."""
        return _printed(self.formula.partition("=")[2].strip(), {value.symbol: value for value in self.given})

    def __str__(self) -> str:
        text = f"{self.symbols} = {self.substituted} = {self.result}"
        return f"{self.note}: {text}" if self.note else text


@dataclass(slots=True)
class Working:
    """Collects the steps of one calculation, in order."""

    steps: list[Step] = field(default_factory=list)

    def line(self, formula: str, unit: str = "", /, note: str = "", **values: float | tuple[float, str]) -> float:
        """Evaluate one formula and keep it.

        Parameters
        ----------
        formula : str
            ``name = expression``; the expression may use the functions of ``math`` listed in this module.
        unit : str
            Unit of the result, as the document prints it.
        note : str
            Why this line.
        **values : float or (float, str)
            Each symbol's number, with its printed unit where it has one.

        Returns
        -------
        float
            The result, in the printed unit.

        Raises
        ------
        OutOfRange
            If the formula has no value for these numbers: a division by nought, a root of less than nought.
        ProgramError
            If the formula cannot be read or a symbol of it was given no value.
        """
        name, _, expression = formula.partition("=")
        given = tuple(Value(symbol, *(value if isinstance(value, tuple) else (value, ""))) for symbol, value in values.items())
        code = _compiled(expression.strip())
        try:
            number = eval(code, _NAMESPACE, {value.symbol: value.number for value in given})  # noqa: S307 - formulas are this program's own text
        except NameError as error:
            raise ProgramError(f"{formula}: {error.name} was given no value.") from None
        except (ZeroDivisionError, ValueError, OverflowError):
            number = math.nan
        if isinstance(number, complex) or math.isnan(number):
            raise OutOfRange(f"{formula} has no value for {', '.join(f'{one.symbol} = {one}' for one in given)}.")
        number = float(number)
        self.steps.append(Step(formula, given, Value(name.strip(), number, unit), note))
        return number


class Sweep(Working):
    """The same formulas over arrays of cases at once, to find what governs; keeps no steps.

    Values may be arrays that broadcast against each other; results are arrays of their common shape. A function is fit
    for it when its working has no branch on a value: ``min`` and ``max`` choose element by element.
    """

    def line(self, formula: str, unit: str = "", /, note: str = "", **values: float | tuple[float, str]) -> float:  # noqa: ARG002 - one interface
        """Evaluate one formula for every case."""
        numbers = {symbol: value[0] if isinstance(value, tuple) else value for symbol, value in values.items()}
        found: float = eval(_compiled(formula.partition("=")[2].strip()), _array_namespace(), numbers)  # noqa: S307 - formulas are this program's own text
        return found


_NAMESPACE: dict[str, Any] = {"__builtins__": {}, **_FUNCTIONS}


@cache
def _array_namespace() -> dict[str, Any]:
    import numpy as np

    own = {
        name: getattr(np, "arc" + name[1:] if name == "atan" else name) for name in _FUNCTIONS if name not in ("min", "max", "ln", "abs")
    }
    return {
        "__builtins__": {}, **own, "ln": np.log, "abs": np.abs,
        "min": lambda *values: reduce(np.minimum, values), "max": lambda *values: reduce(np.maximum, values),
    }  # fmt: skip


@lru_cache(maxsize=4096)
def _compiled(expression: str) -> CodeType:
    if not expression:
        raise ProgramError("a formula needs a name and an expression, such as 'q = P/A'.")
    try:
        return compile(expression, "<formula>", "eval")
    except SyntaxError as error:
        raise ProgramError(f"{expression}: {error.msg}.") from None


def _printed(formula: str, values: Mapping[str, Value]) -> str:
    def spoken(match: re.Match[str]) -> str:
        name = match.group()
        if name in values:
            text = str(values[name])
            return f"({text})" if text.startswith("-") or " " in text else text
        if name == "sqrt":
            return "√"
        head, _, tail = name.partition("_")
        return _GREEK.get(name) or (_GREEK.get(head, head) + (f"_{tail}" if tail else ""))

    text = _NAME.sub(spoken, formula)
    for power, sign in (("**2", "²"), ("**3", "³"), ("**4", "⁴"), ("**0.5", "^½")):
        text = re.sub(re.escape(power) + r"(?![\d.])", sign, text)
    text = re.sub(r"\(\(([^()]*)\)\)", r"(\1)", text)
    return text.replace("**", "^").replace("*", " · ").replace("<=", "≤").replace(">=", "≥")
