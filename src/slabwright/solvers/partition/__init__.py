"""Cutting a plane region into near-square pieces by straight lines, proven best among the candidate lines.

The pieces obey a largest size and a largest aspect; parts of a line that lie in a *dead* zone are lost. In order of
weight the layout has the least lost length, the least line length, the most even pieces.

- :func:`cut_rectangle` solves a rectangle with lines from side to side exactly, by dynamic programming.
- :func:`cut_rectilinear` solves any region with sides along the axes exactly, by an integer programme over pieces.
- :func:`cut_skewed` treats any other simple polygon with lines along two directions and corner bisectors, and reports the gap to a bound.
"""

from slabwright.solvers.partition.layout import Cut, CutRules, Layout
from slabwright.solvers.partition.rectangle import cut_rectangle
from slabwright.solvers.partition.rectilinear import cut_rectilinear
from slabwright.solvers.partition.skewed import cut_skewed

__all__ = ["Cut", "CutRules", "Layout", "cut_rectangle", "cut_rectilinear", "cut_skewed"]
