"""Sun position against an independent reference algorithm."""

import numpy as np
import pandas as pd
import pvlib
import pytest

from slabwright.solvers.sun import sun_path


@pytest.mark.parametrize(("latitude", "longitude"), [(37.2, -91.6), (54.0, -1.5), (-36.8, 174.7), (0.0, 0.0), (70.0, 25.0)])
def test_the_sun_stands_where_the_reference_algorithm_puts_it(latitude, longitude):
    """pvlib's implementation of the solar position algorithm of NREL/TP-560-34302, every 37 minutes of two years: 0.02 degrees."""
    times = pd.date_range("2025-01-01", "2027-01-01", freq="37min", tz="UTC")
    reference = pvlib.solarposition.spa_python(times, latitude, longitude)
    found = sun_path(times.as_unit("s").asi8.astype(float), latitude_rad=np.radians(latitude), longitude_rad=np.radians(longitude))

    elevation = np.degrees(found.elevation_rad) - reference["elevation"].to_numpy()
    assert np.abs(elevation).max() < 0.02
    up = (reference["elevation"] > 0).to_numpy() & (reference["elevation"] < 80).to_numpy()
    azimuth = np.degrees(found.azimuth_rad) - reference["azimuth"].to_numpy()
    assert np.abs((azimuth[up] + 180) % 360 - 180).max() < 0.1
