"""Slump by stage: a stiff first lift that stands, a wetter floor that can be struck off."""

from dataclasses import dataclass

from slabwright.model.job import Job, MinimumRules
from slabwright.model.supply import PlacingMethod
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.standards.astm_c94 import slump_range
from slabwright.units import INCH_M

BS_8500 = Source("BS 8500-1", "Concrete, complementary British Standard to EN 206, part 1: specifying")
CONSISTENCE = Clause(BS_8500, "tables of use: S3 for footings and pumped concrete, S2 for floors", Basis.QUOTED)
SLUMP_PLAN = practice("edge and pads 3 to 4 in., floor 4 to 5 in.; an inch more where no vibrating screed is used")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacingStage:
    """One stage of the placement as the dispatcher hears it.

    Attributes
    ----------
    name : str
    volume_m3 : float
        [m³]
    slump_m, low_m, high_m : float
        Ordered, and the range accepted at the chute. [m]
    why : str
        Reason for this slump.
    clause : Clause
    """

    name: str
    volume_m3: float
    slump_m: float
    low_m: float
    high_m: float
    why: str
    clause: Clause


def placing_stages(job: Job, ring_m3: float, floor_m3: float) -> tuple[PlacingStage, ...]:
    """The stages with their slump; one slump for all where the job states one.

    Parameters
    ----------
    job : Job
    ring_m3, floor_m3 : float
        Edge, strips and pads below the floor's underside; the floor. [m³]
    """
    stated = job.mix.slump_m if job.mix is not None else None
    if stated is not None:
        limits = slump_range(slump_m=stated)
        why = "the job file asks for one slump throughout"
        return (_stage("all", ring_m3 + floor_m3, stated, (limits.low_m, limits.high_m), why, practice("one slump stated in the job")),)
    if job.codes.minimums is MinimumRules.EUROPEAN:
        return (
            _stage("edge and pads", ring_m3, 0.130, (0.100, 0.150), "S3, to fill round the steel", CONSISTENCE),
            _stage("floor", floor_m3, 0.070, (0.050, 0.090), "S2, to stand under the screed", CONSISTENCE),
        )
    stiff = 4.0 if job.plant.method in (PlacingMethod.LINE_PUMP, PlacingMethod.BOOM_PUMP) else 3.5
    floor = 4.5 if job.crew.vibrating_screed else 5.0
    stages = []
    for name, volume, inches, why in (
        ("edge and pads", ring_m3, stiff, "stiff, so that the sloped side stands and the forms are pressed less"),
        ("floor", floor_m3, floor, "wet enough to strike off" + ("" if job.crew.vibrating_screed else " without a vibrating screed")),
    ):
        limits = slump_range(slump_m=inches * INCH_M)
        stages.append(_stage(name, volume, inches * INCH_M, (limits.low_m, limits.high_m), why, SLUMP_PLAN))
    return tuple(stages)


def _stage(name: str, volume_m3: float, slump_m: float, limits: tuple[float, float], why: str, clause: Clause) -> PlacingStage:
    return PlacingStage(name=name, volume_m3=volume_m3, slump_m=slump_m, low_m=limits[0], high_m=limits[1], why=why, clause=clause)
