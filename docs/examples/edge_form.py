"""An edge form by itself: two feet of fresh concrete, stakes three feet apart, a kicker at 45 degrees.

Worked by hand: 150 pcf x (2 ft)² / 2 = 300 lb/ft; moments about the toe give 400 lb in the kicker's top and as much uplift.
"""

from slabwright.standards.aci_347r import form_thrust_n_m
from slabwright.standards.form_bracing import kicker
from slabwright.units import FOOT_M, POUND_FORCE_N

thrust = form_thrust_n_m(height_m=2 * FOOT_M)
forces = kicker(thrust_n_m=thrust, form_height_m=2 * FOOT_M, kicker_height_m=1.5 * FOOT_M, spacing_m=3 * FOOT_M)

assert abs(thrust * FOOT_M / POUND_FORCE_N - 300) < 1e-6
assert abs(forces.uplift_n / POUND_FORCE_N - 400) < 1e-6
print(f"push {thrust:.0f} N/m, kicker {forces.axial_n:.0f} N, lift {forces.uplift_n:.0f} N")
