"""slabwright: plan, check and prove a monolithic concrete slab on the ground.

Importing the package loads nothing heavy; the public names are fetched when first used.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from slabwright.version import __version__

if TYPE_CHECKING:
    from slabwright.app import load_job, plan_job, write_plan
    from slabwright.model.job import Job
    from slabwright.results.check import Check, Referral
    from slabwright.study import Plan, Study

_HOMES = {
    "Check": "slabwright.results.check",
    "Job": "slabwright.model.job",
    "Plan": "slabwright.study",
    "Referral": "slabwright.results.check",
    "Study": "slabwright.study",
    "load_job": "slabwright.app",
    "plan_job": "slabwright.app",
    "write_plan": "slabwright.app",
}

__all__ = ["Check", "Job", "Plan", "Referral", "Study", "__version__", "load_job", "plan_job", "write_plan"]


def __getattr__(name: str) -> object:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'slabwright' has no attribute '{name}'")
