"""What was measured and forecast: everything a plan depends on besides the job itself. Empty before the work."""

from dataclasses import dataclass
from datetime import date

from slabwright.model.survey import BaseSurvey, FormLog, LevelBook, SettingOutSurvey, TrenchLog


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """Records of one site.

    Attributes
    ----------
    today : date or None
        The day the plan is read; the only clock a study knows.
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
    shots: BaseSurvey | None = None
    trench: TrenchLog | None = None
    measurements: SettingOutSurvey | None = None
    form_levels: FormLog | None = None
    level_book: LevelBook | None = None
