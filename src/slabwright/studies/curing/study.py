"""The study of curing and protection."""

from dataclasses import dataclass

import numpy as np

from slabwright.early_age.simulate import BARE, COMPOUND_AT_SET, Cover, History, Scatter, simulate
from slabwright.early_age.zones import Zone, ZoneKind
from slabwright.model.job import Job
from slabwright.model.weather import Weather
from slabwright.results.notes import Notes
from slabwright.standards import cold_weather, curing_rules
from slabwright.studies import pour_window, set_and_saw, shape
from slabwright.studies.curing.blankets import Protection, protect
from slabwright.studies.curing.checks import check, say
from slabwright.studies.curing.hardening import Hardening, harden
from slabwright.studies.curing.present import present
from slabwright.studies.curing.release import Release, releases
from slabwright.study import Done, Inputs, Result, Stage, Study
from slabwright.units import PRESSURE, THERMAL_RESISTANCE, VOLUME, Family, format_quantity

COLD_LOOKED_AT_H = 72.0
N_COLD = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class CuringResult(Result):
    """How long to cure, what protects, what may come when.

    Attributes
    ----------
    days : float or None
        Of curing by the rule; None below the temperatures for which there is one. [d]
    strong_day : float or None
        Day when nine members of ten have the share of strength that ends curing. [d]
    mean_c : float
        Mean temperature of the concrete while there is weather. [°C]
    compound_m3 : float
        Both coats. [m³]
    hardening : dict
        Zone name to strength over days.
    protection : tuple of Protection
        Empty when no cold is expected.
    releases : tuple of Release
    placed_h : float
        Of the first concrete, in hours of the weather. [h]
    """

    days: float | None
    strong_day: float | None
    mean_c: float
    compound_m3: float
    hardening: dict[str, Hardening]
    protection: tuple[Protection, ...]
    releases: tuple[Release, ...]
    placed_h: float


def run(inputs: Inputs, done: Done) -> CuringResult:
    """Cure, protect and release."""
    job, notes = inputs.job, Notes()
    setting, common = done[set_and_saw.STUDY], done[pour_window.STUDY].conditions
    rng = np.random.default_rng(inputs.seed)
    start, weather = setting.start_hour, common.weather
    cold = _cold(weather, start)
    zones = {day.zone.name: day.zone for day in setting.days if day.zone.name != "floor, placed first"}
    protection = (
        tuple(_protect(job, zone, done, rng) for zone in zones.values() if zone.kind in (ZoneKind.FLOOR, ZoneKind.EDGE)) if cold else ()
    )
    kept = {p.zone.name: p for p in protection}
    hardening = {
        name: harden(
            zone, common.concrete, setting.drivers, common.ground, common.delivered, placed_h=start + zone.placed_after_h,
            covers=_covers(kept.get(name), setting.days[0].history), rng=rng,
        )
        for name, zone in zones.items()
    }  # fmt: skip
    floor = next(h for h in hardening.values() if h.zone.kind is ZoneKind.FLOOR)
    mean_c = float(floor.history.middle_c.mean())
    early = "III" in job.mix.cement_type.upper() if job.mix is not None else False
    days = curing_rules.curing_days(temp_c=mean_c, high_early=early) if mean_c >= 40 / 9 else None
    strong = floor.day_of(curing_rules.curing_strength_pa(strength_pa=common.concrete.specified_pa))
    compound = curing_rules.curing_compound_m3(area_m2=done[shape.STUDY].foundation.region.area)
    waits = releases(job, hardening, common.concrete.specified_pa)
    check(job, setting.edge, protection, waits, notes)
    say(job, weather, start, waits, cold, notes)
    return CuringResult(
        answer=_answer(job, weather, start, days, strong, compound, protection),
        days=days,
        strong_day=strong,
        mean_c=mean_c,
        compound_m3=compound,
        hardening=hardening,
        protection=protection,
        releases=waits,
        placed_h=start,
        **notes.as_fields(),
    )


def _cold(weather: Weather, start: float) -> bool:
    """True where the air is expected below 40 °F in the days of protection."""
    first, last = int(start), min(int(start + COLD_LOOKED_AT_H), weather.hours.n_hours)
    return min(weather.hours.air_temp_c[first:last]) < cold_weather.COLD_AIR_C


def _covers(protection: Protection | None, history: History) -> tuple[Cover, ...]:
    """What lies on a zone: its blanket where it has one, else compound from when the crew cures."""
    if protection is not None and protection.resistance_m2k_w is not None:
        off = protection.off_h
        blanket = Cover(from_h=None, resistance_m2k_w=protection.resistance_m2k_w, absorptivity=0.7, wetness=0.0)
        return (BARE, blanket) if off is None else (BARE, blanket, Cover(from_h=off))
    covered = float(np.nan_to_num(history.covered_h[0], nan=np.inf))
    at_set = np.isnan(history.final_set_h[0]) or abs(covered - float(history.final_set_h[0])) < 0.1
    return (BARE, COMPOUND_AT_SET if at_set else Cover(from_h=covered))


def _protect(job: Job, zone: Zone, done: Done, rng: np.random.Generator) -> Protection:
    setting, common = done[set_and_saw.STUDY], done[pour_window.STUDY].conditions
    placed = setting.start_hour + zone.placed_after_h
    left = float(int(common.weather.hours.n_hours - 1 - placed))
    scatter = Scatter.drawn(N_COLD, rng)

    def run_zone(one: Zone, covers: tuple[Cover, ...], hours: float) -> History:
        return simulate(
            one, common.concrete, setting.drivers, common.ground, placed_h=np.full(N_COLD, placed),
            concrete_c=np.full(N_COLD, common.delivered.at(placed)), scatter=scatter, courses=np.arange(N_COLD) % setting.drivers.n_courses,
            covers=covers, hours=hours, step_s=1200.0, every=3, n_cells=8,
        )  # fmt: skip

    early = job.mix is not None and "III" in job.mix.cement_type.upper()
    return protect(zone, run_zone, left, type_iii=early)


def _answer(
    job: Job,
    weather: Weather,
    start: float,
    days: float | None,
    strong: float | None,
    compound_m3: float,
    protection: tuple[Protection, ...],
) -> str:
    family = job.family
    share = curing_rules.STRENGTH_SHARE * (job.mix.strength_pa if job.mix is not None else 0.0)
    until = format_quantity(share, PRESSURE, family, digits=3)
    gallons = format_quantity(compound_m3, VOLUME, family, unit="gal" if family is Family.US else "L", digits=2)
    reached = f"expected on day {strong:.0f}" if strong is not None else "not expected within two months"
    worst = [kept.resistance_m2k_w for kept in protection]
    cure = (
        f"Cure *{days:.0f} days*"
        if days is not None and days == int(days)
        else f"Cure *{days:.1f} days*"
        if days is not None
        else "Cure *to a strength*"
    )
    told = f"{cure}, or until {until} in place, {reached}; {gallons} of compound in two coats."
    if not worst:
        return told
    found = [r for r in worst if r is not None]
    if len(found) < len(worst):
        return f"No blanket tried keeps it warm enough: *heat an enclosure* or wait. {told}"
    resistance = format_quantity(max(found), THERMAL_RESISTANCE, family, digits=2)
    off = max((kept.off_h or 0.0 for kept in protection), default=0.0)
    leaves = f" and leave it to {weather.at(start + off):%d %b %H:%M}" if all(kept.off_h is not None for kept in protection) else ""
    return f"Cover it with {resistance} at final set{leaves}. {told}"


STUDY = Study(
    key="curing",
    question="How long do we cure, what keeps it warm, and what may stand on it when?",
    stage=Stage.CURING,
    run=run,
    present=present,
    reads=frozenset({"family", "codes", "building", "mix", "posts"}),
    needs=(shape.STUDY, pour_window.STUDY, set_and_saw.STUDY),
)
