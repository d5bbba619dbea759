"""International Residential Code: least footings, turned-down edges, slabs on the ground, frost protection.

Prescriptive figures for detached one- and two-family, light-frame buildings. The adopted local edition overrides them.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.units import FOOT_M, INCH_M, PSF_PA, PSI_PA

IRC = Source("IRC", "International Residential Code for One- and Two-Family Dwellings, editions 2000 to 2021 as stated")

FOOTING_TABLE_2012 = Clause(IRC, "2000-2012, Table R403.1", Basis.TEXT_SEEN)
FOOTING_TABLE_2018 = Clause(IRC, "2015-2021, Table R403.1(1)", Basis.MEMORY)
FOOTING_TABLE_2018_30_2000 = Clause(IRC, "2015/2018, Tables R403.1(1) and (3), 30 psf block, 2000 psf column", Basis.TEXT_SEEN)
HOUSE_WIDTH_NOTE = Clause(IRC, "2015/2018, Table R403.1(1) footnote b", Basis.TEXT_SEEN)
FOOTING_SIZE = Clause(IRC, "R403.1.1", Basis.TEXT_SEEN)
PAD_AREA = Clause(IRC, "R403.1.1, last sentence", Basis.QUOTED)
FOOTING_DEPTH = Clause(IRC, "R403.1.4 and R403.1.4.1", Basis.TEXT_SEEN)
FOOTING_SLOPE = Clause(IRC, "R403.1.5", Basis.TEXT_SEEN)
SITE_DRAINAGE = Clause(IRC, "2015, R401.3", Basis.TEXT_SEEN)
TURNED_DOWN_STEEL = Clause(IRC, "2015-2021, R403.1.3.3", Basis.TEXT_SEEN)
TURNED_DOWN_SIZE = Clause(IRC, "Figure R403.1(1) with R403.1.1, R403.1.4 and R506.1", Basis.QUOTED)
SLAB_THICKNESS = Clause(IRC, "2006-2021, R506.1", Basis.TEXT_SEEN)
FILL_DEPTH = Clause(IRC, "2009-2021, R506.2.1", Basis.TEXT_SEEN)
BASE_COURSE = Clause(IRC, "2018, R506.2.2", Basis.TEXT_SEEN)
VAPOUR_RETARDER = Clause(IRC, "2012 / 2021, R506.2.3", Basis.QUOTED)
SLAB_STEEL = Clause(IRC, "2009-2021, R506.2.4", Basis.TEXT_SEEN)
CONCRETE_STRENGTH = Clause(IRC, "2012-2021, Table R402.2", Basis.TEXT_SEEN)
ANCHOR_BOLTS = Clause(IRC, "2009-2021, R403.1.6", Basis.TEXT_SEEN)
FROST_PROTECTION = Clause(IRC, "2003-2021, Table R403.3(1)", Basis.MEMORY)
INSULATION_R = Clause(IRC, "2000, Table R403.3(1) footnote", Basis.TEXT_SEEN)

LEAST_FOOTING_WIDTH_M = 12 * INCH_M
LEAST_FOOTING_THICKNESS_M = 6 * INCH_M
LEAST_FOOTING_DEPTH_M = 12 * INCH_M
LEAST_SLAB_THICKNESS_M = 3.5 * INCH_M
LEAST_PROJECTION_M = 2 * INCH_M
DOWEL_SPACING_M = 4 * FOOT_M


class IrcEdition(Enum):
    """Edition whose tables are read."""

    IRC_2012 = "IRC 2012"
    IRC_2018 = "IRC 2018"
    IRC_2021 = "IRC 2021"


class WallKind(Enum):
    """What stands on the footing."""

    LIGHT_FRAME = "light frame"
    BRICK_VENEER = "brick veneer"
    CONCRETE_OR_GROUTED = "concrete or grouted"


class FloorKind(Enum):
    """How the lowest floor is built; part of the tables since 2015."""

    SLAB = "slab"
    CRAWL_SPACE = "crawl space"
    BASEMENT = "basement"


@dataclass(frozen=True, slots=True)
class FootingSize:
    """Least width and thickness of a continuous footing. [m]"""

    width_m: float
    thickness_m: float


_OLD_COLUMNS_PSF = (1500, 2000, 3000, 4000)
_OLD_WIDTHS_IN: Mapping[WallKind, Mapping[int, tuple[int, ...]]] = MappingProxyType(
    {
        WallKind.LIGHT_FRAME: {1: (12, 12, 12, 12), 2: (15, 12, 12, 12), 3: (23, 17, 12, 12)},
        WallKind.BRICK_VENEER: {1: (12, 12, 12, 12), 2: (21, 16, 12, 12), 3: (32, 24, 16, 12)},
        WallKind.CONCRETE_OR_GROUTED: {1: (16, 12, 12, 12), 2: (29, 21, 14, 12), 3: (42, 32, 21, 16)},
    }
)

_SNOW_ROWS_PSF = (20, 30, 50, 70)
_SOIL_COLUMNS_PSF = (1500, 2000, 2500, 3000, 3500, 4000)
_S, _C, _B = FloorKind.SLAB, FloorKind.CRAWL_SPACE, FloorKind.BASEMENT
_ALL_12 = ((12, 6),) * 6


def _row(*cells: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    """Cells of one line of the table; the columns not written are 12 x 6 in."""
    return cells + ((12, 6),) * (6 - len(cells))


_LIGHT_FRAME_IN: Mapping[tuple[int, FloorKind], tuple[tuple[tuple[int, int], ...], ...]] = MappingProxyType(
    {
        (1, _S): (_ALL_12, _ALL_12, _ALL_12, _ALL_12),
        (1, _C): (_ALL_12, _row((13, 6)), _row((16, 6)), _row((18, 6), (13, 6))),
        (1, _B): (
            _row((18, 6), (14, 6)),
            _row((19, 6), (14, 6)),
            _row((21, 6), (16, 6), (13, 6)),
            _row((24, 7), (18, 6), (14, 6)),
        ),
        (2, _S): (_ALL_12, _ALL_12, _row((14, 6)), _row((16, 6))),
        (2, _C): (_row((16, 6)), _row((17, 6), (13, 6)), _row((19, 6), (14, 6)), _row((21, 6), (16, 6), (13, 6))),
        (2, _B): (
            _row((22, 6), (16, 6), (13, 6)),
            _row((23, 6), (17, 6), (14, 6)),
            _row((25, 7), (19, 6), (15, 6)),
            _row((27, 9), (20, 6), (16, 6), (14, 6)),
        ),
        (3, _S): (_row((14, 6)), _row((15, 6)), _row((17, 6), (13, 6)), _row((19, 6), (14, 6))),
        (3, _C): (
            _row((19, 6), (14, 6)),
            _row((20, 6), (15, 6)),
            _row((22, 6), (17, 6), (13, 6)),
            _row((25, 7), (18, 6), (15, 6)),
        ),
        (3, _B): (
            _row((25, 8), (19, 6), (15, 6), (13, 6)),
            _row((26, 8), (20, 6), (16, 6), (13, 6)),
            _row((28, 9), (21, 6), (17, 6), (14, 6)),
            _row((30, 10), (23, 6), (18, 6), (15, 6), (13, 6)),
        ),
    }
)
_CONCRETE_WALL_30_2000_IN: Mapping[tuple[int, FloorKind], tuple[int, int]] = MappingProxyType(
    {
        (1, _S): (12, 6), (1, _C): (15, 6), (1, _B): (20, 6), (2, _S): (18, 6), (2, _C): (22, 6), (2, _B): (27, 8),
        (3, _S): (25, 7), (3, _C): (29, 9), (3, _B): (33, 12),
    }
)  # fmt: skip


@published(
    "footing-width",
    FOOTING_TABLE_2018,
    validity="Light-frame one- and two-family buildings of one to three stories; interpolation allowed, extrapolation not.",
    limits={"soil_bearing_pa": (1500 * PSF_PA, math.inf), "snow_pa": (0.0, 70 * PSF_PA)},
)
def footing_size(
    *,
    stories: int,
    soil_bearing_pa: float,
    snow_pa: float = 30 * PSF_PA,
    wall: WallKind = WallKind.LIGHT_FRAME,
    floor: FloorKind = FloorKind.SLAB,
    house_width_m: float = 32 * FOOT_M,
    edition: IrcEdition = IrcEdition.IRC_2018,
) -> FootingSize:
    """Least width and thickness of a wall footing by stories, snow and soil.

    Parameters
    ----------
    stories : int
        1 to 3.
    soil_bearing_pa : float
        Load-bearing value of the soil. [Pa]
    snow_pa : float
        Ground snow or roof live load, the larger; not read before 2015. [Pa]
    wall, floor : Enum
        What stands on the footing; how the lowest floor is built (not read before 2015).
    house_width_m : float
        Of a house with a bearing wall along its middle; not read before 2015. [m]
    edition : IrcEdition

    Returns
    -------
    FootingSize
        Width and thickness. [m]

    Raises
    ------
    OutOfRange
        Where the table has no cell: it may be interpolated and not extrapolated.

    Notes
    -----
    Since 2015 each full or part 2 ft by which the house is wider than 32 ft adds 2 in of width and 1 in of thickness;
    each full 2 ft narrower takes as much off, never below 12 x 6 in. Of the light-frame table the column 30 psf,
    2000 psf was seen; the other cells are from memory. Of the concrete-wall table only that column is held.
    """
    if stories not in (1, 2, 3):
        raise OutOfRange(f"the footing tables cover 1 to 3 stories (got {stories}); size the footing by calculation.")
    if soil_bearing_pa < 1500 * PSF_PA * (1 - 1e-9):
        raise OutOfRange("the footing tables start at a soil value of 1500 psf; below it a soils investigation decides.")
    if edition is IrcEdition.IRC_2012:
        column = max(i for i, psf in enumerate(_OLD_COLUMNS_PSF) if soil_bearing_pa >= psf * PSF_PA * (1 - 1e-9))
        return FootingSize(_OLD_WIDTHS_IN[wall][stories][column] * INCH_M, LEAST_FOOTING_THICKNESS_M)
    width_in, thickness_in = _size_2015_in(stories, floor, wall, snow_pa / PSF_PA, soil_bearing_pa / PSF_PA)
    steps = math.ceil((house_width_m / FOOT_M - 32) / 2 - 1e-9)
    return FootingSize(max(12.0, width_in + 2 * steps) * INCH_M, max(6.0, thickness_in + steps) * INCH_M)


def _size_2015_in(stories: int, floor: FloorKind, wall: WallKind, snow_psf: float, soil_psf: float) -> tuple[float, float]:
    if wall is WallKind.CONCRETE_OR_GROUTED and abs(snow_psf - 30) < 1e-6 and abs(soil_psf - 2000) < 1e-3:
        return _CONCRETE_WALL_30_2000_IN[stories, floor]
    if wall is not WallKind.LIGHT_FRAME:
        raise OutOfRange(f"of the 2015-2021 table for {wall.value} walls this cell is not held; size the footing by calculation.")
    if snow_psf > 70 * (1 + 1e-9):
        raise OutOfRange("the footing tables end at 70 psf of snow and may not be extrapolated; size the footing by calculation.")
    (row, along_rows), (column, along_columns) = _cell(_SNOW_ROWS_PSF, snow_psf), _cell(_SOIL_COLUMNS_PSF, soil_psf)
    rows = _LIGHT_FRAME_IN[stories, floor]
    found = []
    for part in (0, 1):
        upper, lower = (
            (1 - along_columns) * line[column][part] + along_columns * line[column + 1][part] for line in (rows[row], rows[row + 1])
        )
        found.append((1 - along_rows) * upper + along_rows * lower)
    return found[0], found[1]


def _cell(marks: Sequence[int], value: float) -> tuple[int, float]:
    """Interval of ``marks`` that holds a value, and how far along; held at the ends."""
    index = max([i for i in range(len(marks) - 1) if value >= marks[i]], default=0)
    return index, min(1.0, max(0.0, (value - marks[index]) / (marks[index + 1] - marks[index])))


@published("wall-footing-width", FOOTING_SIZE, validity="Concentric service load; weight of the footing not counted.")
def wall_footing_width_m(*, line_load_n_m: float, soil_bearing_pa: float, working: Working | None = None) -> float:
    """Width of a wall footing from its service load and the soil value, never under 12 in.

    Parameters
    ----------
    line_load_n_m : float
        Service load. [N/m]
    soil_bearing_pa : float
        Load-bearing value of the soil. [Pa]

    Returns
    -------
    float
        [m]
    """
    _refuse_zero_bearing(soil_bearing_pa)
    working = working or Working()
    width_in = working.line("B = max(12*w/q, 12)", "in", w=(line_load_n_m / (PSF_PA * FOOT_M), "plf"), q=(soil_bearing_pa / PSF_PA, "psf"))
    return width_in * INCH_M


@published("prescriptive-pad", PAD_AREA, validity="Prescriptive reading: tributary load over soil value, weight of the pad not counted.")
def pad_area_m2(*, load_n: float, soil_bearing_pa: float) -> float:
    """Bottom area of a pad from its tributary service load and the soil value.

    Parameters
    ----------
    load_n : float
        Service load. [N]
    soil_bearing_pa : float
        Load-bearing value of the soil. [Pa]

    Returns
    -------
    float
        [m²]
    """
    _refuse_zero_bearing(soil_bearing_pa)
    return load_n / soil_bearing_pa


def _refuse_zero_bearing(soil_bearing_pa: float) -> None:
    if soil_bearing_pa <= 0:
        raise OutOfRange("the soil value must be above nought; ask for a soils report.")


@dataclass(frozen=True, slots=True)
class Projection:
    """What a footing stands out beyond its wall, and whether the rule holds. [m]"""

    projection_m: float
    holds: bool


@published("footing-projection", FOOTING_SIZE)
def footing_projection(*, footing_width_m: float, wall_thickness_m: float, footing_thickness_m: float) -> Projection:
    """Projection of a spread footing: at least 2 in, not over its thickness, and the thickness at least 6 in.

    Parameters
    ----------
    footing_width_m, wall_thickness_m, footing_thickness_m : float
        The wall stands in the middle. [m]

    Returns
    -------
    Projection
        [m]
    """
    projection_m = (footing_width_m - wall_thickness_m) / 2
    holds = (
        LEAST_PROJECTION_M - 1e-9 <= projection_m <= footing_thickness_m + 1e-9 and footing_thickness_m >= LEAST_FOOTING_THICKNESS_M - 1e-9
    )
    return Projection(projection_m, holds)


@published("footing-depth", FOOTING_DEPTH, validity="Not for frost-protected footings, small accessory buildings or solid rock.")
def footing_depth_m(*, frost_depth_m: float = 0.0) -> float:
    """Least depth of an outside footing's bottom below undisturbed ground: 12 in or the frost depth.

    Parameters
    ----------
    frost_depth_m : float
        Local frost depth. [m]

    Returns
    -------
    float
        [m]
    """
    return max(LEAST_FOOTING_DEPTH_M, frost_depth_m)


def footing_bottom_drop_m(*, run_m: float) -> float:
    """Greatest drop of a footing's bottom over a run, one in ten; steeper ground needs steps.

    Parameters
    ----------
    run_m : float
        [m]

    Returns
    -------
    float
        [m]
    """
    return run_m / 10


def outside_fall_m(*, distance_m: float, impervious: bool = False) -> float:
    """Fall of the ground away from the building: 6 in. in the first 10 ft, 2 per cent where paved.

    Parameters
    ----------
    distance_m : float
        From the wall, read up to 10 ft. [m]
    impervious : bool
        True for paving.

    Returns
    -------
    float
        [m]
    """
    return min(distance_m, 10 * FOOT_M) * (0.02 if impervious else 0.05)


@dataclass(frozen=True, slots=True)
class TurnedDownSize:
    """Least size of a slab with its footing turned down in one pour. [m]"""

    depth_below_ground_m: float
    bottom_width_m: float
    slab_thickness_m: float


def turned_down_size(*, frost_depth_m: float = 0.0, table_width_m: float = 0.0) -> TurnedDownSize:
    """Least depth, bottom width and slab thickness of a turned-down edge.

    Parameters
    ----------
    frost_depth_m : float
        Local frost depth. [m]
    table_width_m : float
        Width that the footing table asks for. [m]

    Returns
    -------
    TurnedDownSize
        [m]
    """
    return TurnedDownSize(footing_depth_m(frost_depth_m=frost_depth_m), max(LEAST_FOOTING_WIDTH_M, table_width_m), LEAST_SLAB_THICKNESS_M)


def turned_down_steel_holds(*, top: Sequence[int] = (), bottom: Sequence[int] = (), middle_third: Sequence[int] = ()) -> bool:
    """Whether the bars of a turned-down edge meet the rule for seismic design categories D0 to D2.

    Parameters
    ----------
    top, bottom, middle_third : sequence of int
        Bar numbers (4 for No. 4) near the top, near the bottom and in the middle third of the depth.

    Returns
    -------
    bool
        True for a No. 4 top and a No. 4 bottom, or in the middle third one No. 5 or two No. 4, or more.
    """
    return (max(top, default=0) >= 4 and max(bottom, default=0) >= 4) or (
        max(middle_third, default=0) >= 5 or sum(bar >= 4 for bar in middle_third) >= 2
    )


class FillMaterial(Enum):
    """Fill inside the foundation."""

    SAND_OR_GRAVEL = "sand or gravel"
    EARTH = "earth"


def fill_depth_limit_m(*, material: FillMaterial) -> float:
    """Greatest depth of compacted fill under the floor unless approved otherwise.

    Parameters
    ----------
    material : FillMaterial

    Returns
    -------
    float
        [m]
    """
    return {FillMaterial.SAND_OR_GRAVEL: 24 * INCH_M, FillMaterial.EARTH: 8 * INCH_M}[material]


BASE_COURSE_MAX_SIZE_M = 2 * INCH_M


def base_course_thickness_m(*, below_grade: bool, well_drained: bool = False) -> float:
    """Least base course of clean sand, gravel, crushed stone, concrete or slag passing a 2 in. sieve.

    Parameters
    ----------
    below_grade : bool
        True where the slab lies below the outside ground.
    well_drained : bool
        True over well-drained or sand-gravel ground, where none is asked for.

    Returns
    -------
    float
        [m]
    """
    return 4 * INCH_M if below_grade and not well_drained else 0.0


@dataclass(frozen=True, slots=True)
class RetarderRule:
    """Sheet between slab and base: thickness, lap and the sheet class asked for, empty for none. [m]"""

    thickness_m: float
    lap_m: float
    sheet_class: str


def retarder_rule(*, edition: IrcEdition = IrcEdition.IRC_2021) -> RetarderRule:
    """Vapour retarder of an edition.

    Parameters
    ----------
    edition : IrcEdition

    Returns
    -------
    RetarderRule
        6 mil before 2021, then 10 mil of class A; laps of 6 in. [m]
    """
    if edition is IrcEdition.IRC_2021:
        return RetarderRule(0.010 * INCH_M, 6 * INCH_M, "A")
    return RetarderRule(0.006 * INCH_M, 6 * INCH_M, "")


@dataclass(frozen=True, slots=True)
class SteelBand:
    """Heights of the bar's centre above the slab's bottom. [m]"""

    low_m: float
    high_m: float


def slab_steel_band(*, slab_thickness_m: float) -> SteelBand:
    """Where slab steel must stay while the concrete is placed: from the middle to the upper third.

    Parameters
    ----------
    slab_thickness_m : float
        [m]

    Returns
    -------
    SteelBand
        [m]
    """
    return SteelBand(slab_thickness_m / 2, slab_thickness_m * 2 / 3)


class ConcreteUse(Enum):
    """Where the concrete is."""

    NOT_EXPOSED = "walls and foundations not exposed"
    INTERIOR_SLAB = "interior slab"
    EXPOSED_WALL = "exposed wall"
    EXPOSED_SLAB = "porch, step, carport or garage slab"


class Weathering(Enum):
    """Weathering potential of the place."""

    NEGLIGIBLE = "negligible"
    MODERATE = "moderate"
    SEVERE = "severe"


_STRENGTH_PSI: Mapping[ConcreteUse, tuple[int, int, int]] = MappingProxyType(
    {
        ConcreteUse.NOT_EXPOSED: (2500, 2500, 2500),
        ConcreteUse.INTERIOR_SLAB: (2500, 2500, 2500),
        ConcreteUse.EXPOSED_WALL: (2500, 3000, 3000),
        ConcreteUse.EXPOSED_SLAB: (2500, 3000, 3500),
    }
)
EXPOSED_AIR = (0.05, 0.07)


def least_strength_pa(*, use: ConcreteUse, weathering: Weathering) -> float:
    """Least specified strength by place and weathering; exposed rows ask for 5 to 7 per cent of air from moderate on.

    Parameters
    ----------
    use : ConcreteUse
    weathering : Weathering

    Returns
    -------
    float
        [Pa]
    """
    return _STRENGTH_PSI[use][list(Weathering).index(weathering)] * PSI_PA


@dataclass(frozen=True, slots=True)
class SillBolts:
    """Anchor bolts of one length of sill plate.

    Attributes
    ----------
    n_bolts : int
    least_end_m, greatest_end_m : float
        From each end of the plate. [m]
    spacing_m, diameter_m, embedment_m : float
        Greatest spacing, least diameter, least embedment. [m]
    """

    n_bolts: int
    least_end_m: float
    greatest_end_m: float
    spacing_m: float
    diameter_m: float
    embedment_m: float


@published("sill-bolts", ANCHOR_BOLTS)
def sill_bolts(*, plate_length_m: float, end_distance_m: float = 12 * INCH_M, diameter_m: float = 0.5 * INCH_M) -> SillBolts:
    """Bolts of a sill plate: 1/2 in, at most 6 ft apart, 7 in deep, two a piece, one within 12 in. of each end.

    Parameters
    ----------
    plate_length_m : float
        Of one piece of plate. [m]
    end_distance_m : float
        Of the first bolt; 7 diameters to 12 in. [m]
    diameter_m : float
        Of the bolt. [m]

    Returns
    -------
    SillBolts
        [m]

    Raises
    ------
    OutOfRange
        If the end distance or the diameter breaks the rule.

    Notes
    -----
    Count (L - 2e) / 6 ft rounded up, plus one: derived from the rule.
    """
    least_m, greatest_m = 7 * diameter_m, 12 * INCH_M
    if diameter_m < 0.5 * INCH_M - 1e-9:
        raise OutOfRange("sill bolts must be at least 1/2 in.")
    if not least_m - 1e-9 <= end_distance_m <= greatest_m + 1e-9:
        raise OutOfRange("the end bolt must stand between 7 diameters and 12 in. from the end of the plate.")
    count = max(2, math.ceil((plate_length_m - 2 * end_distance_m) / (6 * FOOT_M) - 1e-9) + 1)
    return SillBolts(count, least_m, greatest_m, 6 * FOOT_M, 0.5 * INCH_M, 7 * INCH_M)
