"""Who gets which paper: one sheet for each person who needs one."""

from dataclasses import dataclass
from enum import Enum

from slabwright.results.table import Table


class Receiver(Enum):
    """Who is handed a sheet."""

    ENGINEER = "engineer"
    INSPECTOR = "building inspector"
    DISPATCHER = "ready-mix dispatcher"
    CREW_LEAD = "crew lead"
    FORM_SETTER = "form setter"
    STEEL_FIXER = "steel fixer"
    FINISHER = "finisher"
    SAW_OPERATOR = "saw operator"
    PLUMBER = "plumber and electrician"
    OWNER = "owner"
    FRAME_CREW = "frame crew"


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper and who must have it, and who gets it on request."""

    name: str
    must: tuple[Receiver, ...]
    asked: tuple[Receiver, ...] = ()


_R = Receiver
PAPERS: tuple[Paper, ...] = (
    Paper(name="reactions and questions, sizes to confirm", must=(_R.ENGINEER,), asked=(_R.INSPECTOR,)),
    Paper(name="slab detail with sections", must=(_R.INSPECTOR, _R.FORM_SETTER), asked=(_R.ENGINEER, _R.CREW_LEAD)),
    Paper(name="setting-out sheet", must=(_R.FORM_SETTER, _R.FRAME_CREW, _R.PLUMBER), asked=(_R.ENGINEER, _R.INSPECTOR)),
    Paper(name="stub plan and service tests", must=(_R.PLUMBER, _R.INSPECTOR), asked=(_R.OWNER, _R.CREW_LEAD)),
    Paper(name="steel sheet", must=(_R.STEEL_FIXER,), asked=(_R.ENGINEER, _R.INSPECTOR)),
    Paper(name="joint and saw plan", must=(_R.SAW_OPERATOR, _R.FINISHER, _R.ENGINEER), asked=(_R.INSPECTOR, _R.OWNER)),
    Paper(name="order and time limit", must=(_R.DISPATCHER, _R.CREW_LEAD)),
    Paper(name="lanes and go sheet", must=(_R.CREW_LEAD, _R.FINISHER), asked=(_R.DISPATCHER,)),
    Paper(name="pre-pour card", must=(_R.INSPECTOR, _R.CREW_LEAD), asked=(_R.ENGINEER, _R.OWNER, _R.PLUMBER)),
    Paper(name="bolt and level sheet", must=(_R.FRAME_CREW,), asked=(_R.ENGINEER,)),
    Paper(name="what is normal", must=(_R.OWNER,)),
)


def who_gets_what() -> Table:
    """The table of papers by receiver."""
    rows = [(paper.name, *("must" if one in paper.must else "asked" if one in paper.asked else "" for one in Receiver)) for paper in PAPERS]
    heads = ("Paper", *(one.value for one in Receiver))
    return Table.of("Who gets what", heads, rows, note="must: handed over; asked: on request. The builder keeps all of them.")
