"""Cutting a plane region into near-square pieces by straight lines, proven best among the candidate lines.

The pieces obey a largest size and a largest aspect; parts of a line that lie in a *dead* zone are lost; lines end at *islands*. In
order of weight the layout has the least lost length, the least line length with so much off for each corner of an island met, the most
even pieces.

- :func:`cut_rectangle` solves a rectangle with lines from side to side exactly, by dynamic programming.
- :func:`cut_rectilinear` solves any region with sides along the axes exactly, by an integer programme over pieces.
- :func:`cut_skewed` parts any other simple polygon at its corners into wings and solves each parting exactly; where rules must yield,
  the fewest faults come first.
"""

from slabwright.solvers.partition.islands import Islands
from slabwright.solvers.partition.layout import SHARP_RAD, Cut, CutRules, Layout, pieces_of
from slabwright.solvers.partition.panels import PieceShapes, corner_angles, faults_of, measured
from slabwright.solvers.partition.rectangle import cut_rectangle
from slabwright.solvers.partition.rectilinear import cut_rectilinear
from slabwright.solvers.partition.skewed import cut_skewed

__all__ = [
    "SHARP_RAD",
    "Cut",
    "CutRules",
    "Islands",
    "Layout",
    "PieceShapes",
    "corner_angles",
    "cut_rectangle",
    "cut_rectilinear",
    "cut_skewed",
    "faults_of",
    "measured",
    "pieces_of",
]
