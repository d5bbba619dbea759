"""What stands where?"""

from slabwright.studies.drawings.study import STUDY, DrawingsResult

__all__ = ["STUDY", "DrawingsResult"]
