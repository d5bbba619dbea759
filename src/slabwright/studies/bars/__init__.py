"""Which bars, bent how, cut from what?"""

from slabwright.studies.bars.study import STUDY, BarsResult

__all__ = ["STUDY", "BarsResult"]
