"""Surveys from files: shots, scans, measurements between stakes, trench, forms, level book; stake-out lists to files.

Beside a job file these names are read: ``base_survey.csv`` or ``scan.las|laz|ply|xyz`` (placed by ``control.csv``),
``trench.csv``, ``stakes.csv``, ``forms.csv``, ``levels.csv``.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from slabwright.errors import Finding, InputError
from slabwright.files.surveyfile.columns import Sheet
from slabwright.files.surveyfile.shots import parse_control, parse_shots
from slabwright.model.job import Job
from slabwright.model.survey import BaseSurvey, FormLog, LevelBook, SettingOutSurvey, TrenchLog

SCAN_NAMES = ("scan.las", "scan.laz", "scan.ply", "scan.xyz")
LARGEST_TABLE = 20_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Surveys:
    """What was surveyed, as fields of a site; None where there is no file."""

    shots: BaseSurvey | None = None
    trench: TrenchLog | None = None
    measurements: SettingOutSurvey | None = None
    form_levels: FormLog | None = None
    level_book: LevelBook | None = None


def read_surveys(folder: Path | str, job: Job) -> tuple[Surveys, tuple[Finding, ...]]:
    """Everything surveyed that lies in a folder.

    Parameters
    ----------
    folder : Path or str
    job : Job

    Raises
    ------
    InputError
        If a file that is there cannot be taken.
    """
    folder = Path(folder)
    findings: list[Finding] = []

    def there(name: str) -> Path | None:
        return folder / name if (folder / name).is_file() else None

    shots = None
    scan = next((folder / name for name in SCAN_NAMES if (folder / name).is_file()), None)
    if (path := there("base_survey.csv")) is not None:
        shots, told = read_shots(path, job)
        findings += told
    elif scan is not None:
        shots, told = read_scan(scan, job, control=there("control.csv"))
        findings += told
    trench = read_trench(path) if (path := there("trench.csv")) else (None, ())
    stakes = read_stakes(path) if (path := there("stakes.csv")) else (None, ())
    forms = read_forms(path, job) if (path := there("forms.csv")) else (None, ())
    book = read_level_book(path) if (path := there("levels.csv")) else (None, ())
    for _, told in (trench, stakes, forms, book):
        findings += told
    surveys = Surveys(shots=shots, trench=trench[0], measurements=stakes[0], form_levels=forms[0], level_book=book[0])
    return surveys, tuple(findings)


def read_shots(path: Path | str, job: Job) -> tuple[BaseSurvey, tuple[Finding, ...]]:
    """Shots on the base from a table.

    Raises
    ------
    InputError
        With everything wrong in the file at once.
    """
    from slabwright.files.surveyfile.judge import judged
    from slabwright.geometry.foundation import Foundation

    sheet, text = _opened(path)
    raw = parse_shots(sheet, text, floor_level_m=job.floor.top_elevation_m, corners=_corners(job))
    sheet.finish()
    foundation = Foundation.of(job.floor, job.edge, job.strips, job.pads)
    survey = judged(sheet, raw, foundation, job.family)
    return survey, sheet.finish()


def read_scan(path: Path | str, job: Job, *, control: Path | None = None) -> tuple[BaseSurvey, tuple[Finding, ...]]:
    """A scan of the base: LAS, LAZ, PLY or XYZ.

    Parameters
    ----------
    path : Path or str
    job : Job
    control : Path, optional
        A table of corners in the scan's axes, point,x,y,z: it places the scan, and its headings say the unit. Without it
        the scan is taken to be in metres, in the plan's axes and the job's datum.

    Raises
    ------
    InputError
        For a scan that cannot be read, lies elsewhere, or has another axis up.
    """
    from slabwright.files.surveyfile.scan import ScanPlace
    from slabwright.files.surveyfile.scan import read_scan as read
    from slabwright.geometry.foundation import Foundation

    path = Path(path)
    place = ScanPlace(floor_level_m=job.floor.top_elevation_m)
    if control is not None:
        sheet, text = _opened(control)
        unit, fit, level = parse_control(sheet, text, floor_level_m=job.floor.top_elevation_m, corners=_corners(job))
        sheet.finish()
        place = ScanPlace(unit_m=unit, fit=fit, floor_level_m=level)
    sheet = Sheet(path.name)
    survey = read(sheet, path, Foundation.of(job.floor, job.edge, job.strips, job.pads), place, job.family)
    return survey, sheet.finish()


def read_stakes(path: Path | str) -> tuple[SettingOutSurvey, tuple[Finding, ...]]:
    """Measurements between stakes from a table."""
    from slabwright.files.surveyfile.stakes import parse_stakes

    sheet, text = _opened(path)
    survey = parse_stakes(sheet, text)
    return survey, sheet.finish()


def read_trench(path: Path | str) -> tuple[TrenchLog, tuple[Finding, ...]]:
    """As-dug stations of edge and pads from a table."""
    from slabwright.files.surveyfile.logs import parse_trench

    sheet, text = _opened(path)
    log = parse_trench(sheet, text)
    return log, sheet.finish()


def read_forms(path: Path | str, job: Job) -> tuple[FormLog, tuple[Finding, ...]]:
    """Form tops before and after from a table."""
    from slabwright.files.surveyfile.logs import parse_forms

    sheet, text = _opened(path)
    log = parse_forms(sheet, text, floor_level_m=job.floor.top_elevation_m)
    return log, sheet.finish()


def read_level_book(path: Path | str) -> tuple[LevelBook, tuple[Finding, ...]]:
    """A level book from a table."""
    from slabwright.files.surveyfile.logs import parse_level_book

    sheet, text = _opened(path)
    book = parse_level_book(sheet, text)
    return book, sheet.finish()


def _opened(path: Path | str) -> tuple[Sheet, str]:
    path = Path(path)
    with path.open("rb") as stream:
        content = stream.read(LARGEST_TABLE + 1)
    if len(content) > LARGEST_TABLE:
        raise InputError(path.name, [Finding(where="the file", message="is too large for a table; give a scan as LAS, PLY or XYZ.")])
    try:
        return Sheet(path.name), content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise InputError(path.name, [Finding(where="the file", message="is no UTF-8 text; save it as CSV in UTF-8.", line=line)]) from None


def _corners(job: Job) -> Mapping[str, tuple[float, float]]:
    from slabwright.geometry.corners import corner_places

    return corner_places(job.floor.outline)
