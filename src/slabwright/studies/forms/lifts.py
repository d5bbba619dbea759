"""What presses on the edge form as it is filled: lift by lift, as a liquid, by the published formula, and as it is expected to be."""

from dataclasses import dataclass

from slabwright.model.concrete import Edge
from slabwright.model.job import Job
from slabwright.standards import aci_347r, rheology
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M

REST_S = 45 * 60.0
"""Rest of a first lift before the floor follows; common practice, no source."""
STIFF_SLUMP_M = 4 * INCH_M
_REACH_M = 15 * FOOT_M
"""Length of edge that fills at a time under one chute or hose; common practice, no source."""
_USUAL_RATE_M3_H = 20 * CUBIC_YARD_M3
_MILD_C = 21.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """A state of the edge while it is filled.

    Attributes
    ----------
    name : str
    depth_m : float
        Of concrete against the form. [m]
    head_pa, thrust_n_m : float
        Of a liquid: at the foot of the form, and in all. [Pa], [N/m]
    rise_m_h : float
        [m/h]
    formula_pa : float
        By the published formula, which is the liquid head where it may not be used or does not come under it. [Pa]
    rested_pa : float
        Expected once the first lift has stood; for information. [Pa]
    """

    name: str
    depth_m: float
    head_pa: float
    thrust_n_m: float
    rise_m_h: float
    formula_pa: float
    rested_pa: float


def lifts_of(job: Job, edge: Edge, height_m: float, unit_weight_kg_m3: float) -> tuple[Lift, ...]:
    """The first lift up to the floor's underside, the floor over it, and both as one liquid, which is what forms are designed for.

    Parameters
    ----------
    job : Job
    edge : Edge
    height_m : float
        Of concrete against the form in the end. [m]
    unit_weight_kg_m3 : float
        [kg/m³]
    """
    floor = min(job.floor.thickness_m, height_m)
    first = height_m - floor
    stress = rheology.yield_stress_pa(slump_m=STIFF_SLUMP_M, unit_weight_kg_m3=unit_weight_kg_m3)
    rates = [rate for rate in (job.crew.placing_rate_m3_h, job.plant.placing_rate_m3_h) if rate]
    rise = (min(rates) if rates else _USUAL_RATE_M3_H) / (_REACH_M * (edge.width_m + 0.5 * edge.run * max(edge.depth_m - floor, 0.0)))
    temp = job.mix.placing_temp_c if job.mix is not None and job.mix.placing_temp_c is not None else _MILD_C

    def rested(depth_m: float) -> float:
        return rheology.standing_lift_pressure_pa(
            depth_m=depth_m, form_width_m=edge.width_m, yield_stress_pa=stress, rest_s=REST_S, unit_weight_kg_m3=unit_weight_kg_m3
        )

    def lift(name: str, depth_m: float, expected_pa: float) -> Lift:
        return Lift(
            name=name, depth_m=depth_m, rise_m_h=rise, rested_pa=expected_pa,
            head_pa=aci_347r.liquid_head_pa(depth_m=depth_m, unit_weight_kg_m3=unit_weight_kg_m3),
            thrust_n_m=aci_347r.form_thrust_n_m(height_m=depth_m, unit_weight_kg_m3=unit_weight_kg_m3),
            formula_pa=aci_347r.form_pressure_pa(
                height_m=depth_m, rise_m_h=rise, concrete_temp_c=temp, unit_weight_kg_m3=unit_weight_kg_m3, slump_m=STIFF_SLUMP_M
            ),
        )  # fmt: skip

    whole = lift("both lifts as one liquid, the design value", height_m, rested(height_m))
    if first <= 0:
        return (whole,)
    over = aci_347r.liquid_head_pa(depth_m=floor, unit_weight_kg_m3=unit_weight_kg_m3)
    return (
        lift("first lift, to the underside of the floor", first, rested(first)),
        lift("floor over a first lift that has stood 45 min", height_m, over + rested(first)),
        whole,
    )
