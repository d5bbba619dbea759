"""The study of curing and protection: how long, under what, and when each load may come."""

from slabwright.studies.curing.study import STUDY, CuringResult

__all__ = ["STUDY", "CuringResult"]
