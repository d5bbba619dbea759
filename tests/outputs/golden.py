"""Comparing a drawing with the one on record, number by number.

To put a new drawing on record run the tests once with ``GOLDEN=write`` in the environment, look at it, and commit it.
"""

import os
import re
from pathlib import Path

_NUMBER = re.compile(r"-?\d+\.?\d*")
_RECORDS = Path(__file__).parent / "golden"


def assert_golden(name: str, text: str, tolerance: float = 0.06) -> None:
    """The same words in the same order, and every number within a hair of the one on record."""
    record = _RECORDS / name
    if os.environ.get("GOLDEN") == "write":
        _RECORDS.mkdir(exist_ok=True)
        record.write_text(text, encoding="utf-8", newline="\n")
    expected = record.read_text(encoding="utf-8")
    assert _NUMBER.sub("#", expected) == _NUMBER.sub("#", text)
    for place, (one, other) in enumerate(zip(_NUMBER.findall(expected), _NUMBER.findall(text), strict=True)):
        assert abs(float(one) - float(other)) <= tolerance, f"number {place} of {name}: {one} on record, {other} drawn"
