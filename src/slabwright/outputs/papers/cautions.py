"""What can hurt whom: the cautions of each sheet, each with its number and who decides."""

from slabwright.model.job import Job
from slabwright.model.supply import PlacingMethod
from slabwright.standards import osha_1926
from slabwright.studies.hold_points.papers import Receiver
from slabwright.units import LENGTH, Family, format_quantity

_PUMPS = (PlacingMethod.LINE_PUMP, PlacingMethod.BOOM_PUMP)


def cautions_of(receiver: Receiver, job: Job) -> tuple[str, ...]:
    """Cautions of one sheet; only what its reader meets."""
    every = _every(job)
    return tuple(every[key] for key in _WHO[receiver] if key in every)


def _every(job: Job) -> dict[str, str]:
    def told(value_m: float) -> str:
        return format_quantity(value_m if job.family is Family.US else round(value_m, 1), LENGTH, job.family)

    protect, spoil, ladder = told(osha_1926.PROTECT_DEPTH_M), told(osha_1926.SPOIL_BACK_M), told(osha_1926.LADDER_DEPTH_M)
    found = {
        "design": "Sizes here are checked against published rules; the licensed engineer and the building department decide.",
        "cave_in": f"Cave-in: protect sides from {protect}, less in bad ground; spoil {spoil} back; a way out from {ladder} deep.",
        "services": "Buried services: have them marked two working days before anything is dug or driven.",
        "caps": "Impalement: a cap on every upright bar and stake before anyone works above or beside it.",
        "burns": "Wet concrete burns without early pain: never kneel in it, wash at once, change wet clothes.",
        "wires": f"Power lines: boom and chute {told(osha_1926.LINE_CLEARANCE_M)} away, else a named spotter and the utility's word.",
        "backing": "Backing trucks: one person guides, nobody between truck and form; wheels as far from a dig as it is deep.",
        "silica": "Dust of the saw harms lungs: water on at the blade; indoors, or hand-held over 4 h, a respirator of factor 10.",
        "night": "Nobody saws alone at night; cords on a ground-fault breaker; slurry is caustic.",
        "heat": "Heat and cold: water, shade and slow starts for new men; warm hands and dry gloves in frost; lightning stops the boom.",
        "blow_out": "Form blow-out: never stand before a loaded form; placing stops where a tell-tale moves.",
        "green": "Green concrete: no plant near the edge, no lifts on the slab, nothing on the anchors before the release.",
        "gas": "Engines indoors: watch for carbon monoxide; guards stay on trowel machines.",
        "salt": "A young floor is slippery when wet and is harmed by salt in its first winter.",
    }
    if job.plant.method in _PUMPS:
        found["whip"] = "Hose whip: nobody within the reach of the end hose at priming and restart."
    return found


_R = Receiver
_WHO: dict[Receiver, tuple[str, ...]] = {
    _R.ENGINEER: ("design",),
    _R.INSPECTOR: ("design", "cave_in", "caps"),
    _R.DISPATCHER: ("burns", "wires", "backing"),
    _R.CREW_LEAD: ("burns", "whip", "wires", "backing", "blow_out", "heat"),
    _R.FORM_SETTER: ("services", "cave_in", "blow_out"),
    _R.STEEL_FIXER: ("caps", "cave_in"),
    _R.FINISHER: ("burns", "gas", "heat"),
    _R.SAW_OPERATOR: ("silica", "night", "burns"),
    _R.PLUMBER: ("services", "cave_in", "caps"),
    _R.OWNER: ("salt", "design"),
    _R.FRAME_CREW: ("green", "caps", "wires"),
}
