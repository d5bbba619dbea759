"""Will it carry: pads, edge, strips, uplift, anchors, and the sizes that hold."""

from slabwright.studies.bearing.study import STUDY, BearingResult

__all__ = ["STUDY", "BearingResult"]
