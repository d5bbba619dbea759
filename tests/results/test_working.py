"""A formula is written once: the text that is worked is the text that is shown."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slabwright.errors import OutOfRange, ProgramError
from slabwright.results.working import Sweep, Working

SHEAR = "V_c = 2*lam*sqrt(f_c)*b*d"
GIVEN = {"lam": 1.0, "f_c": (3000, "psi"), "b": (48, "in"), "d": (9, "in")}


def test_a_line_gives_its_value_and_keeps_its_step():
    """2 x 1 x √3000 x 48 x 9 = 47,323 lb, by hand: √3000 = 54.772."""
    working = Working()
    shear = working.line(SHEAR, "lb", **GIVEN)

    assert pytest.approx(47_323, abs=0.5) == shear
    (step,) = working.steps
    assert "V_c = 2 · λ · √(f_c) · b · d" == step.symbols
    assert "2 · 1 · √(3,000 psi) · (48 in) · (9 in)" == step.substituted
    assert ("V_c", shear, "lb") == (step.result.symbol, step.result.number, step.result.unit)
    assert "V_c = 2 · λ · √(f_c) · b · d = 2 · 1 · √(3,000 psi) · (48 in) · (9 in) = 47,323 lb" == str(step)


def test_lines_follow_in_order_and_carry_their_notes():
    working = Working()
    area = working.line("A = b*h", "in2", b=(12, "in"), h=(20, "in"), note="bottom of the edge")
    working.line("q = P/A", "psf", P=(687, "plf"), A=(area, "in2"))

    assert ["A", "q"] == [step.result.symbol for step in working.steps]
    assert "bottom of the edge: A = b · h = (12 in) · (20 in) = 240 in2" == str(working.steps[0])


@pytest.mark.parametrize(
    ("formula", "symbols"),
    [
        ("M = w*L**2/8", "M = w · L²/8"),
        ("I = b*h**3/12", "I = b · h³/12"),
        ("l = (E*h**3/k)**0.25", "l = (E · h³/k)^0.25"),
        ("n = x**0.5 + y**20", "n = x^½ + y^20"),
        ("rho_min = max(0.0018, A_s/(b*d))", "ρ_min = max(0.0018, A_s/(b · d))"),
        ("phi = Delta_1 + sigma_b + alphabet", "φ = Δ_1 + σ_b + alphabet"),
    ],
)
def test_a_formula_is_printed_as_a_person_writes_it(formula: str, symbols: str):
    """Powers, roots, Greek letters with their index; words that only begin like one stay words."""
    working = Working()
    working.line(formula, **dict.fromkeys("wLbhEkxy", 2.0), A_s=1.0, d=3.0, Delta_1=1.0, sigma_b=1.0, alphabet=1.0)

    assert symbols == working.steps[0].symbols


def test_a_number_with_an_exponent_is_no_symbol():
    """5e-6 stays a number beside an eccentricity called e."""
    working = Working()
    value = working.line("E = 5e-6*e", e=(2.0, "in"))

    assert 1e-5 == value
    assert "5e-6 · (2 in)" == working.steps[0].substituted


def test_a_negative_value_stands_in_brackets():
    working = Working()
    working.line("N = P + W", P=-3.0, W=5.0)

    assert "(-3) + 5" == working.steps[0].substituted


@pytest.mark.parametrize(
    ("formula", "message"),
    [
        ("q = P/A", "q = P/A has no value for P = 1 kip, A = 0 in2."),
        ("r = sqrt(A - P)", "r = sqrt(A - P) has no value for P = 1 kip, A = 0 in2."),
        ("r = (A - P)**0.5", "has no value"),
        ("r = log(A)", "has no value"),
        ("r = exp(1000*P)", "has no value"),
    ],
)
def test_a_formula_without_a_value_says_for_which_numbers(formula: str, message: str):
    working = Working()
    with pytest.raises(OutOfRange) as caught:
        working.line(formula, P=(1.0, "kip"), A=(0.0, "in2"))

    assert message in str(caught.value)
    assert [] == working.steps


@pytest.mark.parametrize(
    ("formula", "message"),
    [
        ("q = P/A", "A was given no value"),
        ("q", "needs a name and an expression"),
        ("q = P*", "invalid syntax"),
        ("q = open(P)", "open was given"),
    ],
)
def test_a_formula_that_cannot_be_read_is_a_fault_of_the_program(formula: str, message: str):
    with pytest.raises(ProgramError, match=message):
        Working().line(formula, P=1.0)


@given(P=st.floats(-1e6, 1e6), A=st.floats(0.1, 1e6), e=st.floats(-10, 10), L=st.floats(0.1, 100))
def test_a_line_is_python_s_own_arithmetic(P, A, e, L):
    """The evaluated text against the same expression in code, and a sweep over arrays against single lines."""
    formula = "q = P/A*(1 + 6*abs(e)/L) + min(P, A, 3.0)"
    expected = P / A * (1 + 6 * abs(e) / L) + min(P, A, 3.0)

    assert expected == Working().line(formula, P=P, A=A, e=e, L=L)
    swept = Sweep().line(formula, P=np.array([P, 1.0]), A=A, e=e, L=L)
    assert math.isclose(expected, swept[0], rel_tol=1e-12, abs_tol=1e-12)
