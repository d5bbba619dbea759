"""Where the work stops until somebody has looked."""

from slabwright.studies.hold_points.points import HoldItem, HoldPoint, Sense, number_text, signed_too_early
from slabwright.studies.hold_points.study import STUDY, HoldPointsResult

__all__ = ["STUDY", "HoldItem", "HoldPoint", "HoldPointsResult", "Sense", "number_text", "signed_too_early"]
