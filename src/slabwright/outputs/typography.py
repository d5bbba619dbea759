"""Setting text: real fractions and primes, the figure of an answer, the subscripts of a formula."""

import re
from functools import lru_cache


def answer_runs(answer: str) -> tuple[tuple[str, bool], ...]:
    """An answer cut at its asterisks: runs of text, and whether each is the figure to be set bold."""
    return tuple((text, place % 2 == 1) for place, text in enumerate(answer.split("*")) if text)


_SUBSCRIPT = re.compile(r"(?<![A-Za-z0-9_])([A-Za-zα-ωΑ-Ω′]+)_([A-Za-z0-9α-ω_]+)")


def formula_runs(text: str) -> tuple[tuple[str, bool], ...]:
    """A formula cut into runs: text, and whether each is a subscript."""
    runs: list[tuple[str, bool]] = []
    end = 0
    for match in _SUBSCRIPT.finditer(text):
        runs += [(text[end : match.end(1)], False), (match[2].replace("_", ","), True)]
        end = match.end()
    return tuple(run for run in (*runs, (text[end:], False)) if run[0])


_VULGAR = {"1/2": "½", "1/4": "¼", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞", "1/3": "⅓", "2/3": "⅔"}
_SUPERIOR = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_INFERIOR = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_FRACTION = re.compile(r"(?:(?<=\d)[ -])?(?<![\d/.,])(\d{1,2})/(2|3|4|8|16|32)(?![\d/.,]*\d)(?! ?=)")
_FEET = re.compile(r"(\d)'(?![A-Za-z])(?:-(\d+(?: ?[½¼¾⅛⅜⅝⅞]| ?[⁰-⁹¹²³]+⁄[₀-₉]+)?)\")?")
_MINUS = re.compile(r"(?<![\w.'′)\]-])-(?=[\d½¼¾⅛⅜⅝⅞])")


@lru_cache(maxsize=4096)
def typeset(text: str) -> str:
    """Text for paper and screen: real fractions, primes for feet and inches, a minus sign for negative numbers.

    >>> typeset("16'-6 1/2\\"")
    '16′-6½″'
    >>> typeset("cut 1 1/4 in deep at -3/8 in")
    'cut 1¼ in deep at −⅜ in'
    """
    text = _FRACTION.sub(_real_fraction, text)
    text = _FEET.sub(lambda match: f"{match[1]}′-{match[2]}″" if match[2] else f"{match[1]}′", text)
    return _MINUS.sub("−", text)


def _real_fraction(match: re.Match[str]) -> str:
    written = f"{match[1]}/{match[2]}"
    return _VULGAR.get(written) or f"{match[1].translate(_SUPERIOR)}⁄{match[2].translate(_INFERIOR)}"
