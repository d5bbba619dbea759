"""What was measured and forecast: everything a plan depends on besides the job itself. Empty before the work."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Records of one site.

    Attributes
    ----------
    today : date or None
        The day the plan is read; the only clock a study knows.
    """

    today: date | None = None
