"""What was measured and forecast: everything a plan depends on besides the job itself. Empty before the work."""

from dataclasses import dataclass
from datetime import date

from slabwright.model.mix_tests import MixTests
from slabwright.model.survey import BaseSurvey, FormLog, LevelBook, SettingOutSurvey, TrenchLog
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
    mix_tests : MixTests or None
        What has been measured on the very mix.
    shots : BaseSurvey or None
        Levels of the prepared base.
    trench : TrenchLog or None
        The dug edge and pads.
    measurements : SettingOutSurvey or None
        Tape and total station between the stakes.
    form_levels : FormLog or None
        Form tops before and after rain or a night.
    level_book : LevelBook or None
    """

    today: date | None = None
    weather: Weather | None = None
    climate: Weather | None = None
    mix_tests: MixTests | None = None
    shots: BaseSurvey | None = None
    trench: TrenchLog | None = None
    measurements: SettingOutSurvey | None = None
    form_levels: FormLog | None = None
    level_book: LevelBook | None = None
