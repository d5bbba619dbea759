"""What exactly is being cast?"""

from slabwright.studies.shape.study import AMOUNTS, STUDY, Amounts, ShapeResult

__all__ = ["AMOUNTS", "STUDY", "Amounts", "ShapeResult"]
