"""The first week: one zone, a thousand members of four zones, a hundred and twenty starts, a year; and against SciPy's BDF."""

import statistics
import time
from collections.abc import Callable
from datetime import UTC, datetime

import numpy as np
from scipy.integrate import solve_ivp

from slabwright.early_age.concrete import Concrete, concrete_of
from slabwright.early_age.cracking import cracking
from slabwright.early_age.drivers import Drivers, drivers
from slabwright.early_age.pour import Delivered
from slabwright.early_age.simulate import BARE, History, Scatter, simulate
from slabwright.early_age.windows import Saw, saw_window
from slabwright.early_age.zones import Ground, Zone, ZoneKind, bare_ground, layers_under, start_temps
from slabwright.model.ground import BaseCourse, Place, Soil
from slabwright.model.job import Enclosure
from slabwright.model.supply import Mix
from slabwright.model.weather import Hours, Weather, WeatherKind
from slabwright.solvers.heat.march import LATENT_HEAT_J_KG, STEFAN_BOLTZMANN_W_M2K4
from slabwright.standards.sky_and_sun import EMISSIVITY
from slabwright.studies.moisture.rooms import room
from slabwright.studies.moisture.year import a_year, variants
from slabwright.studies.pour_window.starts import Conditions, judge

PLACE, SOIL, BASE = Place(latitude_deg=40.0, longitude_deg=0.0), Soil(soil_class="SM"), BaseCourse(thickness_m=0.1)


def weather(days: int) -> Weather:
    """A mild cosine day, repeated."""
    wave = np.cos((np.arange(24 * days) - 15) * np.pi / 12)
    n = wave.size
    hours = Hours(
        air_temp_c=tuple(16.5 + 5.5 * wave),
        dew_point_c=(9.0,) * n,
        wind_speed_m_s=tuple(2.5 + 1.5 * wave),
        cloud=(0.4,) * n,
        rain_m=(0.0,) * n,
    )
    return Weather(kind=WeatherKind.FORECAST, start=datetime(2026, 4, 29, tzinfo=UTC), hours=hours, wind_height_m=0.5)


def zone(kind: ZoneKind, depth_m: float) -> Zone:
    return Zone(name=kind.value, kind=kind, depth_m=depth_m, layers_below=layers_under(kind, SOIL, BASE, ()))


def mixed() -> Concrete:
    return concrete_of(Mix(strength_pa=27.6e6, cement_kg_m3=335.0, w_cm=0.50))[0]


def carried(one: Zone, concrete: Concrete, air: Drivers, ground: Ground, n: int, hours: float, **how: object) -> History:
    rng = np.random.default_rng(1)
    return simulate(
        one, concrete, air, ground, placed_h=np.full(n, 32.0), concrete_c=np.full(n, 20.0), scatter=Scatter.drawn(n, rng),
        courses=np.arange(n) % air.n_courses, hours=hours, **how,
    )  # type: ignore[arg-type]  # fmt: skip


def timed(work: Callable[[], object], runs: int = 5) -> tuple[float, float]:
    """Median seconds by the clock, and of processor time over all threads, after one run that compiles."""
    work()
    wall, busy = [], []
    for _ in range(runs):
        clock, spent = time.perf_counter(), time.process_time()
        work()
        wall.append(time.perf_counter() - clock)
        busy.append(time.process_time() - spent)
    return statistics.median(wall), statistics.median(busy)


def told(what: str, work: Callable[[], object], limit: str, runs: int = 5, unit: str = "s") -> None:
    wall, busy = timed(work, runs)
    scale = 1e3 if unit == "ms" else 1.0
    print(f"{what:<36}{scale * wall:8.2f} {unit} by the clock, {scale * busy:8.2f} {unit} of processor time (limit {limit})")


def monte_carlo(concrete: Concrete, air: Drivers, ground: Ground) -> None:
    for kind, depth in ((ZoneKind.FLOOR, 0.127), (ZoneKind.EDGE, 0.508), (ZoneKind.PAD, 0.36), (ZoneKind.STRIP, 0.30)):
        found = cracking(carried(zone(kind, depth), concrete, air, ground, 1000, 60.0), uncut_m=12.0, friction=1.0)
        for saw in Saw:
            saw_window(found, saw)


def starts(concrete: Concrete, air: Drivers, ground: Ground, long: Weather) -> None:
    conditions = Conditions(
        weather=long, drivers=air, ground=ground, concrete=concrete, delivered=Delivered(temps_c=np.full(long.hours.n_hours, 20.0)),
        floor=zone(ZoneKind.FLOOR, 0.127), placing_h=3.0,
    )  # fmt: skip
    judge(conditions, range(24, 144), n_members=50, rng=np.random.default_rng(1))


def moist_year(air: Drivers) -> None:
    over = room(Enclosure.ENCLOSED, air)
    for variant in variants((), has_edge=True):
        a_year(variant, 0.127, 2400.0, SOIL, BASE, over, air)


def by_scipy(concrete: Concrete, air: Drivers, ground: Ground, rtol: float) -> np.ndarray:
    """The same floor for 48 hours in plain SciPy: same nodes, film, sky, sun, wet surface, heat; middle temperature by the hour."""
    one = zone(ZoneKind.FLOOR, 0.127)
    column, reaction = one.column(concrete), concrete.reaction
    n, m = column.depths_m.size, column.n_reacting
    hours = np.arange(air.n_hours)

    def slope(seconds: float, state: np.ndarray) -> np.ndarray:
        temps, ages = state[:n], state[n:]
        hour = 32.0 + seconds / 3600.0
        met = {
            k: np.interp(hour, hours, getattr(air, k)[0])
            for k in ("air_c", "film_w_m2k", "sky_c", "sun_w_m2", "transfer_kg_pa_s_m2", "vapour_pa")
        }
        pace = reaction.clock_rate(temps[:m])
        degree = reaction.degree(ages)
        heat = np.zeros(n)
        heat[:m] = column.reaction_j_m2[:m] * degree * reaction.beta * (reaction.tau_s / ages) ** reaction.beta / ages * pace
        link = column.conductance_w_m2k.copy()
        link[: m - 1] *= 1.0 - column.softening[: m - 1] * 0.5 * (degree[1:] + degree[:-1]) / reaction.ultimate
        flow = link * (temps[1:] - temps[:-1])
        heat[:-1] += flow
        heat[1:] -= flow
        dry = met["film_w_m2k"] * (temps[0] - met["air_c"]) - BARE.absorptivity * met["sun_w_m2"]
        dry += EMISSIVITY * STEFAN_BOLTZMANN_W_M2K4 * ((temps[0] + 273.15) ** 4 - (met["sky_c"] + 273.15) ** 4)
        saturated = 611.2 * np.exp(17.62 * temps[0] / (243.12 + temps[0]))
        heat[0] -= dry + LATENT_HEAT_J_KG * met["transfer_kg_pa_s_m2"] * (saturated - met["vapour_pa"])
        rate = heat / column.capacity_j_m2k
        rate[-1] = 0.0
        return np.concatenate([rate, pace])

    first = start_temps(one, column, 20.0, ground, 32.0)
    first[-1] = ground.deep_c
    begin = np.concatenate([first, np.full(m, reaction.start_age_s)])
    found = solve_ivp(slope, (0.0, 48 * 3600.0), begin, method="BDF", rtol=rtol, atol=rtol * 10, t_eval=np.arange(49) * 3600.0)
    return found.y[m // 2]


def by_march(concrete: Concrete, air: Drivers, ground: Ground, step_s: float) -> np.ndarray:
    """The same floor by the march; a surface that never dries, as above."""
    wet = Concrete(
        **{
            **{name: getattr(concrete, name) for name in Concrete.__slots__},
            "bleed_kg_m2_h": 50.0,
            "bleed_share": 1e3,
            "initial_set": 0.99 * concrete.reaction.ultimate,
        }
    )
    found = carried(zone(ZoneKind.FLOOR, 0.127), wet, air, ground, 1, 48.0, covers=(BARE,), step_s=step_s, every=round(3600 / step_s))
    return found.middle_c[0]


def main() -> None:
    concrete, long = mixed(), weather(10)
    one, many = drivers(long, PLACE), drivers(long, PLACE, n_courses=40, rng=np.random.default_rng(1))
    ground, floor = bare_ground(one, SOIL, BASE), zone(ZoneKind.FLOOR, 0.127)
    told("seven days of one zone", lambda: carried(floor, concrete, one, ground, 1, 168.0), "20 ms", unit="ms")
    told("1,000 members of four zones, 60 h", lambda: monte_carlo(concrete, many, ground), "5 s on two cores", 3)
    told("120 start hours x 50 members", lambda: starts(concrete, many, ground, long), "15 s", 3)
    told("a year of moisture, four variants", lambda: moist_year(drivers(weather(365), PLACE)), "1 s", 3)
    exact = by_march(concrete, one, ground, 15.0)
    marched = float(np.abs(by_march(concrete, one, ground, 900.0) - exact).max())
    _, ours = timed(lambda: by_march(concrete, one, ground, 900.0))
    for rtol in (1e-3, 3e-4, 1e-4, 3e-5, 1e-5):
        spent = time.process_time()
        found = by_scipy(concrete, one, ground, rtol)
        theirs, error = time.process_time() - spent, float(np.abs(found - exact).max())
        if error <= marched or rtol == 1e-5:
            print(f"SciPy's BDF takes {theirs / ours:.0f} times as long for 48 h (limit 30): {theirs:.2f} s with an error of {error:.4f} K")
            print(f"    against {1e3 * ours:.1f} ms with {marched:.4f} K")
            break


if __name__ == "__main__":
    main()
