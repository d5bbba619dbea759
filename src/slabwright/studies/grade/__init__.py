"""Where will the floor be thin, and how much do I order?"""

from slabwright.studies.grade.study import STUDY, GradeResult

__all__ = ["STUDY", "GradeResult"]
