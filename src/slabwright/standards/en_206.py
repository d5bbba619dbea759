"""EN 206 and EN 1992-1-1, section 4: exposure classes, mix limits and cover in European practice."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source
from slabwright.standards.en_1992_1_1 import EN_1992_1_1

EN_206 = Source("EN 206", "EN 206:2013, Concrete: specification, performance, production and conformity")
MIX_LIMITS = Clause(EN_206, "Table F.1, recommended values", Basis.MEMORY)
COVER = Clause(EN_1992_1_1, "4.4.1 and Table 4.4N, structural class S4", Basis.MEMORY)
COVER_AGAINST_GROUND = Clause(EN_1992_1_1, "4.4.1.3(4), recommended values", Basis.MEMORY)

# class: highest w/c, least cylinder strength MPa, least cement kg/m³, least air
_LIMITS: Mapping[str, tuple[float | None, int, int, float]] = MappingProxyType(
    {
        "X0": (None, 12, 0, 0.0), "XC1": (0.65, 20, 260, 0.0), "XC2": (0.60, 25, 280, 0.0), "XC3": (0.55, 30, 280, 0.0),
        "XC4": (0.50, 30, 300, 0.0), "XS1": (0.50, 30, 300, 0.0), "XS2": (0.45, 35, 320, 0.0), "XS3": (0.45, 35, 340, 0.0),
        "XD1": (0.55, 30, 300, 0.0), "XD2": (0.55, 30, 300, 0.0), "XD3": (0.45, 35, 320, 0.0), "XF1": (0.55, 30, 300, 0.0),
        "XF2": (0.55, 25, 300, 0.04), "XF3": (0.50, 30, 320, 0.04), "XF4": (0.45, 30, 340, 0.04), "XA1": (0.55, 30, 300, 0.0),
        "XA2": (0.50, 30, 320, 0.0), "XA3": (0.45, 35, 360, 0.0),
    }
)  # fmt: skip
_COVER_MM = {"X0": 10, "XC1": 15, "XC2": 25, "XC3": 25, "XC4": 30, "XD1": 35, "XS1": 35, "XD2": 40, "XS2": 40, "XD3": 45, "XS3": 45}
EXPOSURE_CLASSES = tuple(_LIMITS)


@dataclass(frozen=True, slots=True)
class MixLimits:
    """What the exposure classes ask of the mix.

    Attributes
    ----------
    w_cm : float or None
        Highest water-cement ratio.
    strength_pa : float
        Least cylinder strength. [Pa]
    cement_kg_m3 : float
        Least cement. [kg/m³]
    air : float
        Least air, a fraction.
    """

    w_cm: float | None
    strength_pa: float
    cement_kg_m3: float
    air: float


def _known(classes: Sequence[str]) -> list[str]:
    keys = [name.strip().upper() for name in classes]
    for name, key in zip(classes, keys, strict=True):
        if key not in _LIMITS:
            raise OutOfRange(f'"{name}" is no exposure class; write some of {", ".join(EXPOSURE_CLASSES)}.')
    return keys


@published("exposure-limits-en", MIX_LIMITS, validity="Recommended values, 50 years; national rules replace them.")
def mix_limits(*, classes: Sequence[str]) -> MixLimits:
    """Highest water-cement ratio, least strength, cement and air: the strictest class governs.

    Parameters
    ----------
    classes : sequence of str
        Such as ``XC2, XA1``.

    Returns
    -------
    MixLimits
        [Pa], [kg/m³]

    Raises
    ------
    OutOfRange
        For an unknown class.
    """
    rows = [_LIMITS[key] for key in _known(classes)] or [_LIMITS["X0"]]
    return MixLimits(
        min((row[0] for row in rows if row[0] is not None), default=None),
        max(row[1] for row in rows) * 1e6,
        float(max(row[2] for row in rows)),
        max(row[3] for row in rows),
    )


class CastAgainst(Enum):
    """What the concrete is cast against."""

    FORM = "form"
    PREPARED_GROUND = "prepared ground"
    SOIL = "soil"


@published("cover-en", COVER, validity="Structural class S4, 50 years; nominal cover with 10 mm for deviation.")
def nominal_cover_m(
    *,
    classes: Sequence[str] = ("XC2",),
    bar_diameter_m: float = 0.012,
    against: CastAgainst = CastAgainst.FORM,
    deviation_m: float = 0.010,
) -> float:
    """Nominal cover: bond or durability, the larger, plus the deviation; 40 mm on blinding and 75 mm on soil at least.

    Parameters
    ----------
    classes : sequence of str
        Exposure classes; XF and XA add nothing of their own.
    bar_diameter_m : float
        [m]
    against : CastAgainst
    deviation_m : float
        Allowance for deviation. [m]

    Returns
    -------
    float
        [m]
    """
    durability_mm = max((_COVER_MM.get(key, 0) for key in _known(classes)), default=10)
    nominal_m = max(bar_diameter_m, durability_mm / 1000, 0.010) + deviation_m
    floor_m = {CastAgainst.FORM: 0.0, CastAgainst.PREPARED_GROUND: 0.040, CastAgainst.SOIL: 0.075}[against]
    return max(nominal_m, floor_m)
