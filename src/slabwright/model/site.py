"""What was measured and forecast: everything a plan depends on besides the job itself. Empty before the work."""

from dataclasses import dataclass
from datetime import date

from slabwright.model.weather import Weather


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Records of one site.

    Attributes
    ----------
    today : date or None
        The day the plan is read; the only clock a study knows.
    weather : Weather or None
        Hours around the pour: forecast, record, or a typical day.
    climate : Weather or None
        A typical year of the place.
    """

    today: date | None = None
    weather: Weather | None = None
    climate: Weather | None = None
