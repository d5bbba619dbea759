"""The study of moisture: when the floor sweats, what rises from the soil, how long it dries."""

from slabwright.studies.moisture.study import STUDY, MoistureResult

__all__ = ["STUDY", "MoistureResult"]
