"""Invented jobs in invented weather for the studies of the first week."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np

from slabwright.model.concrete import Edge, Floor, Pad
from slabwright.model.ground import BaseCourse, Place, Retarder, Soil
from slabwright.model.job import Job
from slabwright.model.site import Site
from slabwright.model.supply import Crew, JointWishes, Mix, Plant
from slabwright.model.weather import Hours, Weather, WeatherKind
from slabwright.study import Inputs, run_studies
from slabwright.units import Family

FT, IN = 0.3048, 0.0254


def job(**changes) -> Job:
    """A 30 x 24 ft floor with an edge and a pad, US units."""
    base = Job(
        name="store",
        family=Family.US,
        floor=Floor(outline=((0.0, 0.0), (30 * FT, 0.0), (30 * FT, 24 * FT), (0.0, 24 * FT)), thickness_m=5 * IN),
        edge=Edge(depth_m=20 * IN, width_m=12 * IN, run=1.0, top_above_grade_m=8 * IN),
        pads=(Pad(name="P1", at=(15 * FT, 9 * FT), size_x_m=0.75, size_y_m=0.75, depth_m=14 * IN, run=1.0),),
        place=Place(latitude_deg=40.0, longitude_deg=0.0),
        soil=Soil(soil_class="SM"),
        base=BaseCourse(thickness_m=0.1),
        retarder=Retarder(thickness_m=0.000254),
        mix=Mix(strength_pa=24.1e6, cement_kg_m3=320.0, w_cm=0.50, placing_temp_c=18.0),
        crew=Crew(placing_rate_m3_h=14.0, start_hour_h=7.0, saw_speed_m_h=45.0),
        plant=Plant(),
        joints=JointWishes(),
    )
    return replace(base, **changes)


def weather(low=11.0, high=22.0, dew=9.0, calm=1.0, windy=4.0, *, days=2.5, number=120, kind=WeatherKind.FORECAST, **columns) -> Weather:
    """A cosine day, warmest at 15:00, repeated from two days before day ``number``."""
    wave = np.cos((np.arange(int(24 * days)) - 15) * np.pi / 12)
    n = wave.size
    hours = {
        "air_temp_c": tuple(0.5 * (low + high) + 0.5 * (high - low) * wave),
        "dew_point_c": (float(dew),) * n,
        "wind_speed_m_s": tuple(0.5 * (calm + windy) + 0.5 * (windy - calm) * wave),
        "cloud": (0.4,) * n,
        "rain_m": (0.0,) * n,
        **columns,
    }
    start = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=number - 2)
    return Weather(kind=kind, start=start, hours=Hours(**hours), wind_height_m=0.5)


def plan(studies, a_job, a_weather, **site):
    """Those studies over a job in a weather."""
    return run_studies(studies, Inputs(job=a_job, site=Site(weather=a_weather, **site)))
