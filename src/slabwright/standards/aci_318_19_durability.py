"""ACI 318-19, chapters 19, 20 and 26: exposure classes, air, chlorides, cementitious limits and cover."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.units import INCH_M, PSI_PA

EXPOSURE_LIMITS = Clause(ACI_318_19, "Table 19.3.2.1", Basis.QUOTED)
SULFATE_CLASSES = Clause(ACI_318_19, "Table 19.3.1.1", Basis.TEXT_SEEN)
AIR_CONTENT = Clause(ACI_318_19, "Table 19.3.3.1", Basis.MEMORY)
CEMENTITIOUS_LIMITS = Clause(ACI_318_19, "Table 26.4.2.2(b)", Basis.MEMORY)
CHLORIDE_LIMITS = Clause(ACI_318_19, "Table 19.3.2.1, chloride column", Basis.QUOTED)
COVER = Clause(ACI_318_19, "Table 20.5.1.3.1", Basis.TEXT_SEEN)

# class: highest w/cm (None for no limit), least strength psi
_LIMITS: Mapping[str, tuple[float | None, int]] = MappingProxyType(
    {
        "F0": (None, 2500), "F1": (0.55, 3500), "F2": (0.45, 4500), "F3": (0.40, 5000),
        "S0": (None, 2500), "S1": (0.50, 4000), "S2": (0.45, 4500), "S3": (0.45, 4500),
        "W0": (None, 2500), "W1": (None, 2500), "W2": (0.50, 4000),
        "C0": (None, 2500), "C1": (None, 2500), "C2": (0.40, 5000),
    }
)  # fmt: skip
_F3_PLAIN = (0.45, 4500)
_S3_OPTION_2 = (0.40, 5000)
EXPOSURE_CLASSES = tuple(_LIMITS)


@dataclass(frozen=True, slots=True)
class ExposureLimits:
    """What the assigned exposure classes ask of the mix.

    Attributes
    ----------
    w_cm : float or None
        Highest water-cement ratio; None for no limit.
    strength_pa : float
        Least specified strength. [Pa]
    governing : str
        The class that asks for the strength.
    """

    w_cm: float | None
    strength_pa: float
    governing: str


@published("exposure-limits", EXPOSURE_LIMITS, validity="Normalweight concrete without prestress.")
def exposure_limits(*, classes: Sequence[str], plain: bool = False, s3_option: int = 1) -> ExposureLimits:
    """Highest water-cement ratio and least strength: the strictest of all classes governs.

    Parameters
    ----------
    classes : sequence of str
        Such as ``F2, S1, W1, C1``.
    plain : bool
        True for plain concrete, which F3 treats more mildly.
    s3_option : int
        1 or 2 of class S3.

    Returns
    -------
    ExposureLimits
        [Pa]

    Raises
    ------
    OutOfRange
        For an unknown class.
    """
    limits: dict[str, tuple[float | None, int]] = {}
    for name in classes:
        key = name.strip().upper()
        if key not in _LIMITS:
            raise OutOfRange(f'"{name}" is no exposure class; write some of {", ".join(EXPOSURE_CLASSES)}.')
        if key == "F3" and plain:
            limits[key] = _F3_PLAIN
        elif key == "S3" and s3_option == 2:
            limits[key] = _S3_OPTION_2
        else:
            limits[key] = _LIMITS[key]
    if not limits:
        return ExposureLimits(None, 2500 * PSI_PA, "")
    ratios = [w_cm for w_cm, _ in limits.values() if w_cm is not None]
    governing = max(limits, key=lambda key: limits[key][1])
    return ExposureLimits(min(ratios, default=None), limits[governing][1] * PSI_PA, governing)


@published("sulfate-class", SULFATE_CLASSES)
def sulfate_class(*, sulfate: float) -> str:
    """Exposure class from water-soluble sulfate in the soil.

    Parameters
    ----------
    sulfate : float
        SO4, a fraction of the soil's mass (``0.15 %`` is read as 0.0015). [-]

    Returns
    -------
    str
        ``S0`` to ``S3``.
    """
    if sulfate < 0.0010 - 1e-12:
        return "S0"
    if sulfate < 0.0020 - 1e-12:
        return "S1"
    return "S2" if sulfate <= 0.0200 + 1e-12 else "S3"


# nominal largest aggregate in inches: total air per cent for F1, for F2 and F3
_AIR_PERCENT = {0.375: (6.0, 7.5), 0.5: (5.5, 7.0), 0.75: (5.0, 6.0), 1.0: (4.5, 6.0), 1.5: (4.5, 5.5), 2.0: (4.0, 5.0), 3.0: (3.5, 4.5)}
AIR_TOLERANCE = 0.015


@published("total-air", AIR_CONTENT, validity="Tolerance 1.5 points; above 5,000 psi it may be 1 point lower.")
def total_air(*, exposure_class: str, aggregate_size_m: float, strength_pa: float = 0.0) -> float:
    """Total air of concrete that freezes and thaws.

    Parameters
    ----------
    exposure_class : str
        ``F1``, ``F2`` or ``F3``; nought for ``F0``.
    aggregate_size_m : float
        Nominal largest; between two lines the finer is read. [m]
    strength_pa : float
        Specified strength. [Pa]

    Returns
    -------
    float
        A fraction. [-]

    Raises
    ------
    OutOfRange
        For another class or an aggregate under 3/8 in.
    """
    key = exposure_class.strip().upper()
    if key == "F0":
        return 0.0
    if key not in ("F1", "F2", "F3"):
        raise OutOfRange(f'"{exposure_class}" is no freezing class; write F0, F1, F2 or F3.')
    lines = [size for size in _AIR_PERCENT if size <= aggregate_size_m / INCH_M + 1e-6]
    if not lines:
        raise OutOfRange("the table of air starts at 3/8 in. aggregate.")
    percent = _AIR_PERCENT[max(lines)][0 if key == "F1" else 1]
    return (percent - (1.0 if strength_pa > 5000 * PSI_PA else 0.0)) / 100


@dataclass(frozen=True, slots=True)
class CementitiousLimits:
    """Highest shares of the cementitious mass where de-icers reach the concrete (class F3)."""

    fly_ash: float = 0.25
    slag: float = 0.50
    silica_fume: float = 0.10
    fly_ash_and_silica_fume: float = 0.35
    total: float = 0.50


F3_CEMENTITIOUS = CementitiousLimits()


def f3_cementitious_holds(*, fly_ash: float = 0.0, slag: float = 0.0, silica_fume: float = 0.0) -> bool:
    """Whether the shares of other cementitious materials are within those of class F3.

    Parameters
    ----------
    fly_ash, slag, silica_fume : float
        Fractions of the cementitious mass. [-]

    Returns
    -------
    bool
    """
    limit, slack = F3_CEMENTITIOUS, 1e-9
    return (
        fly_ash <= limit.fly_ash + slack
        and slag <= limit.slag + slack
        and silica_fume <= limit.silica_fume + slack
        and fly_ash + silica_fume <= limit.fly_ash_and_silica_fume + slack
        and fly_ash + slag + silica_fume <= limit.total + slack
    )


@published("chloride-limit", CHLORIDE_LIMITS)
def chloride_limit(*, exposure_class: str) -> float:
    """Highest water-soluble chloride of concrete with plain bars.

    Parameters
    ----------
    exposure_class : str
        ``C0``, ``C1`` or ``C2``.

    Returns
    -------
    float
        Fraction of the cementitious mass. [-]

    Raises
    ------
    OutOfRange
        For another class.
    """
    limits = {"C0": 0.0100, "C1": 0.0030, "C2": 0.0015}
    if exposure_class.strip().upper() not in limits:
        raise OutOfRange(f'"{exposure_class}" is no corrosion class; write C0, C1 or C2.')
    return limits[exposure_class.strip().upper()]


class CoverExposure(Enum):
    """What the face of the concrete meets."""

    AGAINST_GROUND = "cast against ground"
    WEATHER_OR_GROUND = "exposed to weather or ground"
    INTERIOR = "not exposed"


@published("cover", COVER, validity="Cast-in-place concrete without prestress; interior values for slabs and walls, No. 11 and smaller.")
def cover_m(*, exposure: CoverExposure, bar_diameter_m: float = 0.5 * INCH_M) -> float:
    """Least cover of bars.

    Parameters
    ----------
    exposure : CoverExposure
    bar_diameter_m : float
        Nominal. [m]

    Returns
    -------
    float
        [m]
    """
    if exposure is CoverExposure.AGAINST_GROUND:
        return 3 * INCH_M
    if exposure is CoverExposure.WEATHER_OR_GROUND:
        return (2.0 if bar_diameter_m > 0.7 * INCH_M else 1.5) * INCH_M
    return 0.75 * INCH_M
