"""A wheel far inside a pavement: the textbook's example in ten lines.

Ten thousand pounds on a circle of 6 in radius (here a square of that area), 10 in of concrete, E 4,000,000 psi, nu 0.15,
k 100 pci. Huang, Pavement Analysis and Design, 2nd edition, chapter 4, after Westergaard: 0.0067 in of deflection and
143.7 psi under the load (numbers from memory, formulas seen quoted). His plate is thin; ours also shears, which is
worth 4 % of the deflection.
"""

import math

from slabwright.solvers.plate import Patch, Plate, Quantity, solve
from slabwright.units import INCH_M, POUND_FORCE_N, PSI_PA

side, edge, middle = 400 * INCH_M, math.sqrt(math.pi) * 6 * INCH_M, (200 * INCH_M, 200 * INCH_M)
outline, soil = [(0, 0), (side, 0), (side, side), (0, side)], 100 * PSI_PA / INCH_M
plate = Plate(outline=outline, thickness=10 * INCH_M, modulus=4e6 * PSI_PA, poisson=0.15, spring=soil)
answer = solve(plate, [Patch(at=middle, force=1e4 * POUND_FORCE_N, size_x=edge, size_y=edge)], bonded=True)
deflection = answer.deflection([middle])[0] / INCH_M
tension = answer.value(Quantity.BOTTOM_TENSION, [middle])[0] / PSI_PA

print(f"under the wheel: {deflection:.4f} in and {tension:.1f} psi")
assert abs(deflection / 0.0067 - 1) < 0.05
assert abs(tension / 143.7 - 1) < 0.03
