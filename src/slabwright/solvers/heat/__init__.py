"""Heat flow through layers and through sections, with a reaction inside and weather on top.

A textbook case::

    wall = Column.of(Layer(thickness_m=0.15, conductivity_w_mk=1.5, heat_capacity_j_m3k=2.35e6))
    run = conduct(wall, start_c=25.0, top=Held(5.0), bottom=Insulated(), duration_s=4 * 3600, step_s=60)
    run.temps_c[-1]
"""

from slabwright.solvers.heat.column import Balance, Column, Film, Held, Insulated, Layer, Run, conduct

__all__ = ["Balance", "Column", "Film", "Held", "Insulated", "Layer", "Run", "conduct"]
