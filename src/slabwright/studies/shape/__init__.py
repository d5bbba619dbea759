"""What exactly is being cast?"""

from slabwright.studies.shape.study import STUDY, ShapeResult

__all__ = ["STUDY", "ShapeResult"]
