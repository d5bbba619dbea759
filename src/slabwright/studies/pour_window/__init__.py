"""The study of the pour window: which hour to start, why the others are worse, and what would rescue them."""

from slabwright.studies.pour_window.study import STUDY, PourWindowResult

__all__ = ["STUDY", "PourWindowResult"]
