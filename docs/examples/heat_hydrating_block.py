"""A block that hydrates: adiabatic, and then under a film of cold air on insulating board.

The hydration of a mix comes from its composition; the adiabatic rise must be C H alpha / (rho c) whatever the step.
"""

from slabwright.solvers.heat import Column, Film, Insulated, Layer, conduct
from slabwright.solvers.hydration import Reaction
from slabwright.standards.heat_of_hydration import adiabatic_rise_k, hydration_parameters

mix = hydration_parameters(w_cm=0.50)
reaction = Reaction(ultimate=mix.ultimate, tau_s=3600 * mix.tau_h, beta=mix.beta, activation_j_mol=mix.activation_j_mol, start_age_s=2700)
concrete = Layer(
    thickness_m=0.30, conductivity_w_mk=2.1, heat_capacity_j_m3k=2350 * 1000, reaction_j_m3=335 * mix.heat_j_kg, softening=0.25
)
board = Layer(thickness_m=0.05, conductivity_w_mk=0.035, heat_capacity_j_m3k=4e4, n_cells=4)

block = Column.of(concrete)
closed = conduct(block, start_c=20.0, top=Insulated(), bottom=Insulated(), duration_s=72 * 3600, step_s=1800, reaction=reaction)
degree = float(reaction.degree(closed.ages_s[-1]) - reaction.degree(closed.ages_s[0]))
rise = adiabatic_rise_k(cement_kg_m3=335, heat_j_kg=mix.heat_j_kg, degree=degree)
assert abs(closed.temps_c[-1, 0] - 20.0 - rise) < 1e-6

cold = Film(18.0, -5.0)
outdoors = conduct(
    Column.of(concrete, board), start_c=20.0, top=cold, bottom=Insulated(), duration_s=72 * 3600, step_s=900, reaction=reaction
)
print(f"adiabatic rise in 72 h {rise:.1f} K; outdoors it peaks at {outdoors.temps_c.max():.1f} °C")
assert outdoors.temps_c.max() < closed.temps_c.max()
