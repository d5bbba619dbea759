"""The builder's questions, in the order of the work: the list of studies is the house's main corridor."""

from typing import Any

from slabwright.studies import minimums
from slabwright.study import Study

STUDIES: tuple[Study[Any], ...] = (minimums.STUDY,)
