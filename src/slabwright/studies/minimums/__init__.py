"""Does the slab meet the least dimensions, covers and mix limits of the published codes?"""

from slabwright.studies.minimums.study import STUDY, MinimumsResult

__all__ = ["STUDY", "MinimumsResult"]
