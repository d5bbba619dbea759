"""From a temperature history to restrained stress in its parts: axial, curl, self-equilibrating.

A slab of 6 in., 3,600,000 psi and 5.5e-6/°F whose top falls 10 °F below its bottom in a straight line: Westergaard's interior
curling stress is E a dT / (2 (1 - nu)) = 116.47 psi at a ratio of 0.15, and nothing else arises.
"""

import numpy as np

from slabwright.solvers.heat import Column, Held, Layer, conduct
from slabwright.solvers.restraint import FreeStrain, restrained_stress
from slabwright.units import INCH_M, PSI_PA


def half(seconds: np.ndarray) -> np.ndarray:
    """Half the difference between top and bottom, come to over half an hour. [K]"""
    return 5 / 1.8 * np.minimum(seconds / 1800, 1.0)


slab = Column.of(Layer(thickness_m=6 * INCH_M, conductivity_w_mk=1.5, heat_capacity_j_m3k=2.35e6, n_cells=24))
run = conduct(slab, start_c=20.0, top=Held(lambda t: 20 - half(t)), bottom=Held(lambda t: 20 + half(t)), duration_s=24 * 3600, step_s=300)
free = FreeStrain.of_profile(run.depths_m, 5.5e-6 * 1.8 * (run.temps_c - 20.0))
stress = restrained_stress(run.times_s, free, 3.6e6 * PSI_PA, poisson=0.15)

axial, curl, rest = (part[0, -1] / PSI_PA for part in (stress.axial_pa, stress.curl_pa, stress.self_equilibrating_pa))
early = stress.self_equilibrating_pa[0, 6] / PSI_PA
print(f"at rest: axial {axial:.2f}, curl {curl:.2f}, self-equilibrating {rest:.2f} psi; half an hour in, the last was {early:.0f} psi")
assert abs(curl - 116.47) < 0.1
assert abs(axial) < 0.01 and abs(rest) < 0.05
assert early > 5.0 and np.all(np.isfinite(stress.curl_pa))
