"""What meets what inside the concrete?"""

from slabwright.studies.steel_clashes.study import STUDY, SteelClashesResult

__all__ = ["STUDY", "SteelClashesResult"]
