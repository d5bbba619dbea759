"""How does the sheet lie so that it is whole?"""

from slabwright.studies.retarder.study import STUDY, RetarderResult

__all__ = ["STUDY", "RetarderResult"]
