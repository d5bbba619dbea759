"""Are the lines right, and if not, which stake moves where?"""

from slabwright.studies.lines.study import STUDY, LinesResult

__all__ = ["STUDY", "LinesResult"]
