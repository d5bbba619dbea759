"""How does the pour day run, and how many trucks does it take?"""

from slabwright.studies.placement.study import STUDY, PlacementResult

__all__ = ["STUDY", "PlacementResult"]
