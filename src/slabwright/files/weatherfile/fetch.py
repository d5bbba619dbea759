"""Fetching a forecast from an open service; off unless asked for, never used by tests or studies."""

import json
from urllib.parse import urlencode
from urllib.request import Request, urlopen

from slabwright.errors import MissingInput
from slabwright.model.ground import Place

SERVICE = "https://api.open-meteo.com/v1/forecast"
HOURLY = (
    "temperature_2m", "dew_point_2m", "wind_speed_10m", "cloud_cover", "shortwave_radiation", "precipitation", "precipitation_probability",
)  # fmt: skip


def forecast_address(place: Place, *, days: int = 7) -> str:
    """Where the forecast of a place is asked for.

    Raises
    ------
    MissingInput
        If the job states no coordinates.
    """
    if place.latitude_deg is None or place.longitude_deg is None:
        raise MissingInput("a forecast needs [place] latitude and longitude in the job file.")
    query = {
        "latitude": f"{place.latitude_deg:.4f}",
        "longitude": f"{place.longitude_deg:.4f}",
        "hourly": ",".join(HOURLY),
        "wind_speed_unit": "ms",
        "timezone": "UTC",
        "past_days": 1,
        "forecast_days": days,
    }
    return f"{SERVICE}?{urlencode(query)}"


def fetch_forecast(place: Place, *, days: int = 7, timeout_s: float = 20.0) -> str:
    """Ask the service for the forecast of a place; the answer is text to be kept as a file and read like any other.

    Raises
    ------
    MissingInput
        If the job states no coordinates or the service does not answer in time.
    """
    request = Request(forecast_address(place, days=days), headers={"User-Agent": "slabwright"})
    try:
        with urlopen(request, timeout=timeout_s) as answer:
            text = str(answer.read().decode("utf-8"))
        json.loads(text)
    except (OSError, ValueError) as error:
        raise MissingInput(f"the forecast service did not answer ({error}); save a forecast as a file and name that.") from None
    return text
