"""What the tape, the level, the total station and the scanner said: measurements in SI, each with its instrument.

Levels count from the finished floor level, up positive, so that a base shot is negative whatever the job's datum is.
Plan places are those of the job's outline.
"""

import hashlib
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument:
    """How well an instrument measures, as one standard deviation.

    Attributes
    ----------
    name : str
    length_sd_m : float
        Of one length. [m]
    length_part : float
        Further error in proportion to the length, a fraction.
    angle_sd_rad : float
        Of one angle or direction. [rad]
    place_sd_m : float
        Of one coordinate. [m]
    level_sd_m : float
        Of one reading of height. [m]
    datum_sd_m : float
        Common to every height of one set-up: benchmark, form tops, set-up of the instrument. [m]
    """

    name: str
    length_sd_m: float = 0.0016
    length_part: float = 0.0
    angle_sd_rad: float = 5e-5
    place_sd_m: float = 0.002
    level_sd_m: float = 0.0016
    datum_sd_m: float = 0.002


TAPE = Instrument(name="tape", length_sd_m=0.0016, length_part=3e-5)
LEVEL = Instrument(name="level and rod", level_sd_m=0.0016, datum_sd_m=0.002)
TOTAL_STATION = Instrument(
    name="total station", length_sd_m=0.002, angle_sd_rad=2.5e-5, place_sd_m=0.002, level_sd_m=0.002, datum_sd_m=0.002
)
SCANNER = Instrument(name="scanner", place_sd_m=0.003, level_sd_m=0.003, datum_sd_m=0.002)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """Height of the prepared base at a place.

    Attributes
    ----------
    at : Point
        [m]
    level_m : float
        Above the finished floor level; negative below. [m]
    name : str
        Number or name as booked.
    """

    at: Point
    level_m: float
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """A shot that was not used, and why; nothing is dropped in silence."""

    name: str
    at: Point | None
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseSurvey:
    """Shots on the base with what took them.

    Attributes
    ----------
    shots : tuple of Shot
    instrument : Instrument
    rejected : tuple of Rejected
    source : str
        Name of the file.
    scan : ScanSurface or None
        The fine surface that the shots are means of, where a scanner took it.
    """

    shots: tuple[Shot, ...]
    instrument: Instrument = LEVEL
    rejected: tuple[Rejected, ...] = ()
    source: str = ""
    scan: "ScanSurface | None" = None

    @property
    def digest(self) -> str:
        """Short hash of everything measured."""
        text = repr((self.shots, self.instrument, self.rejected)) + (self.scan.digest if self.scan else "")
        return hashlib.sha256(text.encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ScanSurface:
    """A scan on a grid, cleaned of what stood on the base.

    Attributes
    ----------
    corner : Point
        South-west corner of the grid. [m]
    cell_m : float
    level_m : (rows, columns) float array
        Above the finished floor level; NaN where no base was seen. [m]
    n_points : int
        Points of the scan.
    """

    corner: Point
    cell_m: float
    level_m: "NDArray[np.float32]"
    n_points: int

    @property
    def digest(self) -> str:
        """Short hash of the grid."""
        return hashlib.sha256(self.level_m.tobytes() + repr((self.corner, self.cell_m)).encode()).hexdigest()[:16]


class Measured(Enum):
    """What was measured between stakes."""

    DISTANCE = "distance"
    ANGLE = "angle"
    X = "x"
    Y = "y"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One measurement between named stakes.

    Attributes
    ----------
    kind : Measured
    at, to, second : str
        Stakes: the one measured from; the one measured to, for an angle the first target; its second target.
    value : float
        [m], or [rad] for an angle, clockwise from the first target to the second.
    instrument : Instrument
    sd : float or None
        Standard error where it was given, in the unit of the value; None for the instrument's own.
    """

    kind: Measured
    at: str
    to: str = ""
    second: str = ""
    value: float = 0.0
    instrument: Instrument = TAPE
    sd: float | None = None

    @property
    def standard_error(self) -> float:
        """In the unit of the value."""
        if self.sd is not None:
            return self.sd
        if self.kind is Measured.DISTANCE:
            return self.instrument.length_sd_m + self.instrument.length_part * self.value
        return self.instrument.angle_sd_rad if self.kind is Measured.ANGLE else self.instrument.place_sd_m


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingOutSurvey:
    """Measurements between stakes, and which stakes may not move.

    Attributes
    ----------
    measurements : tuple of Measurement
    held : tuple of str
        Stakes that stay: a boundary mark, a wall that stands.
    rejected : tuple of Rejected
    source : str
    """

    measurements: tuple[Measurement, ...]
    held: tuple[str, ...] = ()
    rejected: tuple[Rejected, ...] = ()
    source: str = ""

    @property
    def digest(self) -> str:
        """Short hash of everything measured."""
        return hashlib.sha256(repr(self).encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormLevel:
    """Top of the form at a station, before and after rain or a night.

    Attributes
    ----------
    name : str
    at : Point
        [m]
    before_m, after_m : float
        Above the finished floor level. [m]
    """

    name: str
    at: Point
    before_m: float
    after_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrenchStation:
    """The dug edge at a station.

    Attributes
    ----------
    name : str
        The station, or the pad that was dug.
    depth_m : float
        From the finished floor level to the bottom. [m]
    bottom_m : float
        Width of the bottom; for a pad its greater side. [m]
    top_m : float or None
        Width at the underside of the floor; None where the sides slope as drawn. [m]
    across_m : float or None
        Of a pad, its other side; None for a square. [m]
    """

    name: str
    depth_m: float
    bottom_m: float
    top_m: float | None = None
    across_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelReading:
    """One line of a level book.

    Attributes
    ----------
    point : str
    back_m, between_m, fore_m : float or None
        Backsight, intermediate sight and foresight. [m]
    known_m : float or None
        Elevation of a benchmark. [m]
    booked_m : float or None
        Elevation as the booker reduced it. [m]
    """

    point: str
    back_m: float | None = None
    between_m: float | None = None
    fore_m: float | None = None
    known_m: float | None = None
    booked_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelBook:
    """A run of levels.

    Attributes
    ----------
    readings : tuple of LevelReading
    length_m : float or None
        Of the run, for its allowable misclosure. [m]
    source : str
    """

    readings: tuple[LevelReading, ...]
    length_m: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrenchLog:
    """As-dug stations of edge and pads."""

    stations: tuple[TrenchStation, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FormLog:
    """Levels of the form tops.

    Attributes
    ----------
    levels : tuple of FormLevel
    source : str
    rejected : tuple of Rejected
    mean_assumed : bool
        True where only rods were read, so that the forms are taken to have been right on the average before.
    """

    levels: tuple[FormLevel, ...] = ()
    source: str = ""
    rejected: tuple[Rejected, ...] = ()
    mean_assumed: bool = False
