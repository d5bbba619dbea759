"""What is to be built and what was measured: frozen dataclasses in SI. No file, no screen, no computation beyond sums."""

import copyreg
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any


def _read_only(content: Mapping[Any, Any]) -> MappingProxyType[Any, Any]:
    return MappingProxyType(content)


# Read-only mappings of a job, its loads and prices, travel to other processes as their content.
copyreg.pickle(MappingProxyType, lambda mapping: (_read_only, (dict(mapping),)))
