"""How much the floor dries: what its mix shrinks by, and how much of that a slab of a thickness has lost after a year."""

from dataclasses import dataclass

from slabwright.model.job import Enclosure, Job
from slabwright.results.working import Step, Working
from slabwright.sources import Clause, practice
from slabwright.standards import aci_209r_92, aci_360r
from slabwright.units import INCH_M

YEAR_D = 365.0
PLANNED_SLUMP_M = 5 * INCH_M
"""Of a floor where the mix does not state it; common practice, no source."""
USUAL_AIR = 0.02
TESTED = practice("as the producer has tested it")
AIR_OVER_FLOORS = practice("air over a floor: 50 % humid in a heated building, 60 % in a closed one, 70 % under an open roof")
_HUMIDITY = {Enclosure.HEATED: 0.50, Enclosure.ENCLOSED: 0.60, Enclosure.OPEN: 0.70}


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """Shrinkage of the concrete of a job.

    Attributes
    ----------
    standard : float
        In the end, under standard conditions: as tested, else by the mix. A test on prisms comes within 3 % of them. [-]
    is_tested : bool
    rel_humidity : float
        Of the air over the floor through the year, a fraction. [-]
    steps : tuple of Step
        How the figure was estimated.
    """

    standard: float
    is_tested: bool
    rel_humidity: float
    steps: tuple[Step, ...] = ()

    @classmethod
    def of(cls, job: Job) -> "Drying":
        """Read a job; a mix that does not state both slump and cement shrinks as the standard's own."""
        mix = job.mix
        humidity = _HUMIDITY[job.building.enclosure]
        if mix is not None and mix.shrinkage is not None:
            return cls(standard=mix.shrinkage, is_tested=True, rel_humidity=humidity)
        found, working = aci_209r_92.ULTIMATE_SHRINKAGE, Working()
        if mix is not None and mix.slump_m and mix.cement_kg_m3:
            found = aci_209r_92.ultimate_shrinkage(
                slump_m=mix.slump_m, cement_kg_m3=mix.cement_kg_m3, air=USUAL_AIR if mix.air is None else mix.air, working=working
            )
        return cls(standard=found, is_tested=False, rel_humidity=humidity, steps=tuple(working.steps))

    def after_a_year(self, thickness_m: float) -> float:
        """Mean over a slab that dries through its top. [-]"""
        return aci_209r_92.shrinkage_in_place(
            ultimate=self.standard, drying_days=YEAR_D, rel_humidity=self.rel_humidity, volume_over_surface_m=thickness_m
        )

    @property
    def millionths(self) -> int:
        """The standard shrinkage as it is told: to the ten millionths."""
        return 10 * round(self.standard * 1e5)

    @property
    def word(self) -> str:
        """How such concrete is called."""
        if self.millionths > 1e6 * aci_360r.NORMAL_SHRINKAGE + 0.5:
            return "high"
        return "typical" if self.millionths > 1e6 * aci_360r.LOW_SHRINKAGE - 0.5 else "low"

    @property
    def clause(self) -> Clause:
        """Where the figure comes from."""
        return TESTED if self.is_tested else aci_209r_92.SHRINKAGE_BY_MIX
