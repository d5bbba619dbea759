"""The study of set and saw: when each part sets, is floated and trowelled, and the hours in which the joints must be cut."""

from slabwright.studies.set_and_saw.study import STUDY, SetAndSawResult

__all__ = ["STUDY", "SetAndSawResult"]
