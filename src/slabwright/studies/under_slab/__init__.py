"""What lies under the slab and comes up through it."""

from slabwright.studies.under_slab.services import Service, Tie
from slabwright.studies.under_slab.study import STUDY, UnderSlabResult

__all__ = ["STUDY", "Service", "Tie", "UnderSlabResult"]
