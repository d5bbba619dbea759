"""When each load may come: age and share of strength by zone, nothing before its rule."""

from dataclasses import dataclass

from slabwright.early_age.concrete import IN_PLACE
from slabwright.early_age.zones import ZoneKind
from slabwright.model.job import Job
from slabwright.sources import Clause
from slabwright.standards import curing_rules, osha_1926
from slabwright.standards.cold_weather import CYCLES_SAFE_PA, FREEZING
from slabwright.studies.curing.hardening import Hardening


@dataclass(frozen=True, slots=True, kw_only=True)
class Release:
    """One thing that waits for strength.

    Attributes
    ----------
    what : str
    zone : str
        Part whose strength decides.
    share : float
        Of the specified strength; nought where only age counts. [-]
    least_days : float
        Age it needs in any case. [d]
    strength_pa : float
        [Pa]
    day : float or None
        Days after placing when nine members of ten have both; None where not within the days looked at. [d]
    clause : Clause
    """

    what: str
    zone: str
    share: float
    least_days: float
    strength_pa: float
    day: float | None
    clause: Clause


def releases(job: Job, zones: dict[str, Hardening], specified_pa: float) -> tuple[Release, ...]:
    """Everything that waits, in the order it usually comes."""
    floor = next(h for h in zones.values() if h.zone.kind is ZoneKind.FLOOR)
    rim = next((h for h in zones.values() if h.zone.kind is ZoneKind.EDGE), floor)
    pad = next((h for h in zones.values() if h.zone.kind is ZoneKind.PAD), rim)
    strip_h = rim.warm_hours(curing_rules.SIDE_FORM_C)
    steel = job.building.steel_frame
    rows: list[tuple[str, Hardening, float, float, Clause]] = [
        ("feet on the floor", floor, 0.0, curing_rules.FOOT_TRAFFIC_H / 24.0, curing_rules.LOADING),
        ("edge forms off", rim, 0.0, (strip_h if strip_h is not None else 1e9) / 24.0, curing_rules.SIDE_FORMS),
        ("light framing", floor, 0.5, curing_rules.FRAMING_DAYS[0], curing_rules.LOADING),
        ("posts and frame", pad, osha_1926.ERECTION_SHARE, 0.0, osha_1926.ERECTION if steel else curing_rules.LOADING),
        ("backfill against the edge", rim, 0.8, 7.0, curing_rules.STRIPPING_WALLS),
        ("light vehicles", floor, 0.75, 7.0, curing_rules.LOADING),
        ("lifts, outriggers, loaded vehicles", floor, IN_PLACE, 7.0, curing_rules.LOADING),
    ]
    found = [_release(what, on, share, days, clause, share * specified_pa) for what, on, share, days, clause in rows]
    found.append(_release("frost while it is wet", floor, CYCLES_SAFE_PA / specified_pa, 0.0, FREEZING, CYCLES_SAFE_PA))
    return tuple(found)


def _release(what: str, on: Hardening, share: float, days: float, clause: Clause, strength_pa: float) -> Release:
    strong = on.day_of(strength_pa) if strength_pa > 0 else 0.0
    day = None if strong is None or max(strong, days) > on.days[-1] else max(strong, days)
    return Release(what=what, zone=on.zone.name, share=share, least_days=days, strength_pa=strength_pa, day=day, clause=clause)
