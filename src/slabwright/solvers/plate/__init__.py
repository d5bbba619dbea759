"""A plate on elastic ground: Reissner-Mindlin theory, eccentric thickenings, soil that presses and never pulls.

A plain problem in ten lines (SI: m, Pa, Pa/m, N; z and deflection down; a positive moment means tension at the
bottom)::

    plate = Plate(outline=[(0, 0), (8, 0), (8, 6), (0, 6)], thickness=0.15, modulus=30e9, poisson=0.15, spring=50e6)
    post = Patch(at=(4.0, 3.0), force=50e3, size_x=0.2, size_y=0.2)
    answer = solve(plate, [post, Weight(unit_weight=24e3)])
    answer.deflection([(4.0, 3.0)]), answer.moments([(4.0, 3.0)]), answer.contact_fraction
"""

from slabwright.solvers.plate.analysis import Analysis, solve
from slabwright.solvers.plate.answer import Answer, Extreme, Quantity
from slabwright.solvers.plate.contact import Proof
from slabwright.solvers.plate.description import Fold, Plate, Region
from slabwright.solvers.plate.envelope import Envelope, envelope
from slabwright.solvers.plate.grid import Focus
from slabwright.solvers.plate.loads import Gradient, LineLoad, Load, Patch, Pressure, Weight

__all__ = [
    "Analysis", "Answer", "Envelope", "Extreme", "Focus", "Fold", "Gradient", "LineLoad", "Load", "Patch", "Plate", "Pressure", "Proof",
    "Quantity", "Region", "Weight", "envelope", "solve",
]  # fmt: skip
