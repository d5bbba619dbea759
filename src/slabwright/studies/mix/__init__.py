"""Which concrete do we order?"""

from slabwright.studies.mix.study import STUDY, MixResult

__all__ = ["STUDY", "MixResult"]
