"""How far each pad may settle, where the soil's modulus or blow counts are known."""

from slabwright.errors import OutOfRange
from slabwright.results.check import Ask, Check
from slabwright.results.working import Working
from slabwright.sources import practice
from slabwright.standards import settlement
from slabwright.studies.bearing.desk import Desk
from slabwright.studies.bearing.pads import PadFigures
from slabwright.studies.bearing.stand import Stand
from slabwright.units import INCH_M

LIMIT = practice("total settlement of a pad up to 1 in. (25 mm)")
LIMIT_M = INCH_M


def check_settlement(stands: tuple[Stand, ...], figures: dict[str, PadFigures], desk: Desk) -> dict[str, float]:
    """Settlement of each post under its greatest service load; empty where the soil is not known well enough. [m]"""
    soil = desk.job.soil
    modulus, blows = soil.elastic_modulus_pa, soil.n_spt
    if modulus is None and blows is None:
        desk.notes.ask(
            Ask.SOIL_ENGINEER,
            "Settlement is not checked: the job file gives neither an elastic modulus nor blow counts. How much is to be expected?",
            "pads",
        )
        return {}
    working_modulus = modulus
    if modulus is None and blows is not None:
        try:
            working_modulus = settlement.modulus_from_blows_pa(n_blows=blows, soil_class=soil.soil_class)
        except OutOfRange as limit:
            desk.notes.ask(Ask.SOIL_ENGINEER, f"Settlement is not checked: {limit}", "pads", settlement.MODULUS_FROM_BLOWS)
            return {}
    assert working_modulus is not None
    if working_modulus <= 0:
        question = "Settlement is not checked: ground with a modulus or blow count of nought carries nothing. What was found there?"
        desk.notes.ask(Ask.SOIL_ENGINEER, question, "pads")
        return {}
    found = {}
    for stand in stands:
        one = figures[stand.name]
        if one.gross_pa is None or one.net_pa is None:
            continue
        working = Working()
        x, y = stand.sides_m
        removed = one.gross_pa - one.net_pa
        mean = one.mean_pa
        if modulus is not None:
            clause = settlement.RIGID_DISC
            amount = settlement.rigid_settlement_m(
                load_n=max(0.0, mean - removed) * x * y, size_x_m=x, size_y_m=y, soil_modulus_pa=modulus, working=working
            )
        else:
            clause = settlement.STRAIN_INFLUENCE
            amount = settlement.strain_influence_settlement_m(
                pressure_pa=mean, width_m=min(x, y), length_m=max(x, y), soil_modulus_pa=working_modulus, overburden_pa=removed,
                soil_weight_n_m3=desk.ground.unit_weight_n_m3, working=working,
            )  # fmt: skip
        found[stand.name] = amount
        desk.notes.checks.append(
            Check(
                key=f"{stand.name}.settlement", name="Settlement of the pad", where=stand.where, demand=amount, capacity=LIMIT_M,
                suffix="m", clause=LIMIT, method=clause, governing=one.bearing_combination, spread=0.5, steps=tuple(working.steps),
                remedy="Make the pad larger; the soil engineer says what the ground does.",
            )
        )  # fmt: skip
    return found
