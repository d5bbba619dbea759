"""How far apart supports of mesh may stand: what sources say, which do not agree."""

from slabwright.sources import Basis, Clause, Source, practice
from slabwright.standards.astm_a1064 import wire_diameter_m

ACI_301_SUPPORTS = Clause(
    Source("ACI 301-16", "Specifications for Structural Concrete"),
    "supports no more than 12 in. apart for wire lighter than W4",
    Basis.QUOTED,
)
STATE_SUPPORTS = Clause(
    Source("a state building code", "State building code, 1909.3, exception 2, as quoted in a trade answer"),
    "supports no more than 3 ft apart, mesh in the middle to upper third",
    Basis.QUOTED,
)
SITE_SUPPORTS = practice("stools up to 1 m apart under square mesh, 0.8 m the usual")
LIGHT_WIRE_M = wire_diameter_m(w_number=4.0)
"""Wire below this diameter counts as light. [m]"""
