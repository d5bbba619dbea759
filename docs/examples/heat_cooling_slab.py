"""A slab cooled on one face: the textbook's series in ten lines.

Concrete of 1.5 W/mK, 2350 kg/m3 and 1000 J/kgK, 0.15 m thick, starts at 25 °C; one face is held at 5 °C, the other is
insulated. Carslaw and Jaeger's series gives 14.293 °C at the insulated face after four hours.
"""

from slabwright.solvers.heat import Column, Held, Insulated, Layer, conduct

wall = Column.of(Layer(thickness_m=0.15, conductivity_w_mk=1.5, heat_capacity_j_m3k=2350 * 1000, n_cells=32))
run = conduct(wall, start_c=25.0, top=Held(5.0), bottom=Insulated(), duration_s=4 * 3600, step_s=60)

print(f"insulated face after 4 h: {run.temp_at(0.15, 4 * 3600):.3f} °C; the energy balance closes to {run.balance.gap:.1e}")
assert abs(run.temp_at(0.15, 4 * 3600) - 14.293) < 0.005
assert run.balance.gap < 1e-3
