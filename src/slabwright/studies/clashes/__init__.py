"""Which good rules quarrel on this job."""

from slabwright.studies.clashes.clash import Clash, Option
from slabwright.studies.clashes.study import STUDY, ClashesResult

__all__ = ["STUDY", "Clash", "ClashesResult", "Option"]
