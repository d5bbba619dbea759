"""Invented weather, mixes and zones for tests of the first week."""

from datetime import UTC, datetime, timedelta

import numpy as np

from slabwright.early_age.concrete import concrete_of
from slabwright.early_age.drivers import drivers
from slabwright.early_age.simulate import Scatter, simulate
from slabwright.early_age.zones import Zone, ZoneKind, bare_ground, layers_under
from slabwright.model.ground import BaseCourse, Place, Soil
from slabwright.model.supply import Mix
from slabwright.model.weather import Hours, Weather, WeatherKind

PLACE = Place(latitude_deg=40.0, longitude_deg=0.0)
SOIL, BASE = Soil(soil_class="SM"), BaseCourse(thickness_m=0.1)
MIX = Mix(strength_pa=27.6e6, cement_kg_m3=335.0, w_cm=0.50, unit_weight_kg_m3=2350.0)


def day(low, high, dew, calm=1.0, windy=4.0, cloud=0.4, days=6, number=120, **more):
    """A cosine day, warmest at 15:00, repeated."""
    wave = np.cos((np.arange(24 * days) - 15) * np.pi / 12)
    n = wave.size
    hours = Hours(
        air_temp_c=tuple(0.5 * (low + high) + 0.5 * (high - low) * wave),
        dew_point_c=(float(dew),) * n,
        wind_speed_m_s=tuple(0.5 * (calm + windy) + 0.5 * (windy - calm) * wave),
        cloud=(float(cloud),) * n,
        rain_m=(0.0,) * n,
    )
    start = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=number - 2)
    return Weather(**{"kind": WeatherKind.FORECAST, "start": start, "hours": hours, "wind_height_m": 0.5, **more})


MILD = day(11, 22, 9)
HOT = day(27, 39, 8, 3, 9, 0.0, number=200)
COLD = day(-6, 2, -8, 2, 6, 0.7, number=20)


def floor(depth_m=0.127, **more):
    return Zone(name="floor", kind=ZoneKind.FLOOR, depth_m=depth_m, layers_below=layers_under(ZoneKind.FLOOR, SOIL, BASE, ()), **more)


def run(weather, placed, concrete_c, *, n=1, mix=MIX, tests=None, zone=None, seed=7, **more):
    """A zone placed at an hour of the second day."""
    rng = np.random.default_rng(seed)
    air = drivers(weather, PLACE, n_courses=min(n, 20), rng=rng)
    concrete, _ = concrete_of(mix, tests)
    return simulate(
        zone or floor(), concrete, air, bare_ground(air, SOIL, BASE), placed_h=np.full(n, 24.0 + placed), concrete_c=np.full(n, concrete_c),
        scatter=Scatter.drawn(n, rng), courses=np.arange(n) % min(n, 20), **more,
    )  # fmt: skip
