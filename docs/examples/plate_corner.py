"""A wheel in the corner of a pavement: Westergaard's case as the 1985 regression has it, in ten lines.

Ten thousand pounds on a circle of 6 in radius that touches both edges, 10 in of concrete, E 4,000,000 psi, nu 0.15,
k 100 pci. Ioannides, Thompson and Barenberg, Transportation Research Record 1043, 1985: P/(k l²)(1.205 - 0.69 c/l)
= 0.05601 in at the corner, with c = 1.772 a (number from memory, formula seen quoted). A thin plate; shear is worth 1 %.
"""

import shapely

from slabwright.solvers.plate import Plate, Pressure, solve
from slabwright.units import INCH_M, POUND_FORCE_N, PSI_PA

side, radius = 300 * INCH_M, 6 * INCH_M
wheel = shapely.Point(radius, radius).buffer(radius, quad_segs=32)
outline, soil = [(0, 0), (side, 0), (side, side), (0, side)], 100 * PSI_PA / INCH_M
plate = Plate(outline=outline, thickness=10 * INCH_M, modulus=4e6 * PSI_PA, poisson=0.15, spring=soil)
answer = solve(plate, [Pressure(pressure=1e4 * POUND_FORCE_N / wheel.area, within=wheel)], bonded=True)
deflection = answer.deflection([(0.0, 0.0)])[0] / INCH_M

print(f"at the corner: {deflection:.4f} in")
assert abs(deflection / 0.05601 - 1) < 0.03
