"""How much of everything do I order?"""

from slabwright.studies.quantities.study import STUDY, QuantitiesResult

__all__ = ["STUDY", "QuantitiesResult"]
