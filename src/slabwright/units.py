"""Every conversion factor, the reading of quantities as people write them, and their printing.

Inside the program a quantity is a plain SI float and its unit stands in its name: ``thickness_m``. In such a
suffix letters written together multiply and an underscore divides: ``_nm`` is newton metre, ``_n_m`` newton per
metre, ``_kg_m2_h`` kilogram per square metre and hour. Text with units exists only in files, on screens and on
paper; it is read by :func:`parse_quantity` and written by :func:`format_quantity`.

Factors are exact by definition of the international inch, pound and standard gravity (NIST SP 811, appendix B).
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType

from slabwright.errors import OutOfRange, UnknownName

INCH_M = 0.0254
FOOT_M = 0.3048
YARD_M = 0.9144
MILE_M = 1609.344
POUND_KG = 0.45359237
STANDARD_GRAVITY_M_S2 = 9.80665
POUND_FORCE_N = POUND_KG * STANDARD_GRAVITY_M_S2
KIP_N = 1000.0 * POUND_FORCE_N
PSI_PA = POUND_FORCE_N / INCH_M**2
PSF_PA = POUND_FORCE_N / FOOT_M**2
PCF_KG_M3 = POUND_KG / FOOT_M**3
PCI_PA_M = PSI_PA / INCH_M
GALLON_M3 = 231 * INCH_M**3
CUBIC_YARD_M3 = YARD_M**3
US_TON_KG = 2000.0 * POUND_KG
BTU_J = 1055.05585262


class Family(Enum):
    """Which family of units a person reads."""

    US = "US"
    SI = "SI"

    def says(self, us: str, si: str) -> str:
        """The one of two wordings that people of this family read."""
        return us if self is Family.US else si


@dataclass(frozen=True, slots=True)
class Unit:
    """SI value = written value x factor + offset."""

    factor: float
    offset: float = 0.0


@dataclass(frozen=True, slots=True)
class Dimension:
    """A kind of quantity: its SI suffix, the units people write it in and the one each family reads.

    Attributes
    ----------
    name : str
        Trade word for the kind, used in messages.
    suffix : str
        Ending of names that hold it in SI, without the leading underscore.
    units : Mapping[str, Unit]
        Written unit to conversion; the first of each spelling family is the one printed.
    us, si : str
        The unit each family prints.
    digits : tuple[int, int]
        Significant digits printed, US and SI.
    """

    name: str
    suffix: str
    units: Mapping[str, Unit]
    us: str
    si: str
    digits: tuple[int, int] = (4, 4)

    def examples(self) -> str:
        """How to write it, for messages."""
        us, si = _EXAMPLE_NUMBERS.get(self.name, ("10", "10"))
        return f'"{us} {self.us}" or "{si} {self.si}"'


_EXAMPLE_NUMBERS = {
    "length": ("4", "100"),
    "pressure": ("3500", "25"),
    "force": ("4.2", "18"),
    "temperature": ("85", "30"),
    "area": ("200", "20"),
    "volume": ("10", "8"),
    "subgrade modulus": ("150", "40"),
}


def _units(**groups: tuple[float, str]) -> Mapping[str, Unit]:
    table: dict[str, Unit] = {}
    for factor, spellings in groups.values():
        for spelling in spellings.split("|"):
            table[spelling] = Unit(factor)
    return MappingProxyType(table)


LENGTH = Dimension(
    "length",
    "m",
    _units(
        a=(INCH_M, 'in|"|in.|inch|inches'),
        b=(FOOT_M, "ft|'|ft.|foot|feet"),
        c=(1.0, "m|metre|meter|metres|meters"),
        d=(0.001, "mm|millimetre|millimeter"),
        e=(0.01, "cm"),
        f=(YARD_M, "yd|yard|yards"),
        g=(1e-3 * INCH_M, "mil|mils"),
        h=(1e-6, "µm|um|micron|microns"),
        i=(MILE_M, "mi|mile|miles"),
        j=(1000.0, "km"),
    ),
    "in",
    "mm",
)
AREA = Dimension(
    "area",
    "m2",
    _units(
        a=(FOOT_M**2, "ft2|ft²|sq ft|sf|ft^2"),
        b=(INCH_M**2, "in2|in²|sq in|in^2"),
        c=(1.0, "m2|m²|m^2"),
        d=(1e-6, "mm2|mm²|mm^2"),
        e=(1e-4, "cm2|cm²"),
        f=(YARD_M**2, "yd2|yd²|sq yd"),
    ),
    "ft2",
    "m2",
)
VOLUME = Dimension(
    "volume",
    "m3",
    _units(
        a=(CUBIC_YARD_M3, "yd3|yd³|cu yd|cy|yd^3"),
        b=(FOOT_M**3, "ft3|ft³|cu ft|cf|ft^3"),
        c=(1.0, "m3|m³|m^3"),
        d=(1e-3, "L|l|litre|liter|litres"),
        e=(GALLON_M3, "gal|gallon|gallons"),
        f=(INCH_M**3, "in3|in³|in^3"),
        g=(1e-9, "mm3|mm³"),
    ),
    "yd3",
    "m3",
)
SECOND_MOMENT = Dimension(
    "second moment of area", "m4", _units(a=(INCH_M**4, "in4|in⁴"), b=(1.0, "m4|m⁴"), c=(1e-12, "mm4|mm⁴")), "in4", "mm4"
)
MASS = Dimension(
    "mass",
    "kg",
    _units(
        a=(POUND_KG, "lb|lbs|pound|pounds"),
        b=(1.0, "kg"),
        c=(US_TON_KG, "ton|tons"),
        d=(1000.0, "t|tonne|tonnes"),
        e=(0.001, "g"),
        f=(POUND_KG / 16.0, "oz"),
    ),
    "lb",
    "kg",
)
LINEAR_MASS = Dimension("mass per length", "kg_m", _units(a=(POUND_KG / FOOT_M, "lb/ft|plf"), b=(1.0, "kg/m")), "lb/ft", "kg/m")
AREAL_MASS = Dimension(
    "mass per area",
    "kg_m2",
    _units(a=(POUND_KG / FOOT_M**2, "lb/ft2|lb/ft²|psf"), b=(1.0, "kg/m2|kg/m²"), c=(POUND_KG / (100 * FOOT_M**2), "lb/100 ft2|lb/csf")),
    "lb/ft2",
    "kg/m2",
)
DENSITY = Dimension(
    "density",
    "kg_m3",
    _units(
        a=(PCF_KG_M3, "pcf|lb/ft3|lb/ft³"), b=(1.0, "kg/m3|kg/m³"), c=(POUND_KG / CUBIC_YARD_M3, "lb/yd3|lb/yd³|pcy"), d=(1000.0, "t/m3")
    ),
    "pcf",
    "kg/m3",
)
FORCE = Dimension(
    "force",
    "n",
    _units(
        a=(KIP_N, "kip|kips|k"),
        b=(POUND_FORCE_N, "lb|lbs|lbf"),
        c=(1000.0, "kN|kn"),
        d=(1.0, "N|n"),
        e=(1e6, "MN"),
        f=(1000 * STANDARD_GRAVITY_M_S2, "tf"),
    ),
    "kip",
    "kN",
)
LINE_LOAD = Dimension(
    "load per length",
    "n_m",
    _units(
        a=(POUND_FORCE_N / FOOT_M, "plf|lb/ft"),
        b=(KIP_N / FOOT_M, "klf|kip/ft"),
        c=(1000.0, "kN/m"),
        d=(1.0, "N/m"),
        e=(POUND_FORCE_N / INCH_M, "lb/in"),
        f=(1.0, "N/m"),
        g=(1000.0, "N/mm"),
    ),
    "plf",
    "kN/m",
)
MOMENT = Dimension(
    "moment",
    "nm",
    _units(
        a=(KIP_N * FOOT_M, "kip-ft|kip·ft|kip ft|k-ft"),
        b=(POUND_FORCE_N * FOOT_M, "lb-ft|ft-lb|lb·ft"),
        c=(KIP_N * INCH_M, "kip-in|kip·in"),
        d=(1000.0, "kN·m|kNm|kN-m"),
        e=(1.0, "N·m|Nm|N-m"),
        f=(POUND_FORCE_N * INCH_M, "lb-in|in-lb|lb·in"),
    ),
    "kip-ft",
    "kN·m",
)
MOMENT_PER_WIDTH = Dimension(
    "moment per width",
    "nm_m",
    _units(
        a=(POUND_FORCE_N, "ft-lb/ft|lb-ft/ft|in-lb/in|lb-in/in"),
        b=(KIP_N, "kip-ft/ft"),
        c=(1000.0, "kN·m/m|kNm/m|kN-m/m"),
        d=(1.0, "N·m/m|Nm/m"),
    ),
    "ft-lb/ft",
    "kN·m/m",
)
PRESSURE = Dimension(
    "pressure",
    "pa",
    _units(
        a=(PSI_PA, "psi"),
        b=(PSF_PA, "psf|lb/ft2|lb/ft²"),
        c=(1000 * PSF_PA, "ksf"),
        d=(1000 * PSI_PA, "ksi"),
        e=(1e6, "MPa|N/mm2|N/mm²|mpa"),
        f=(1e3, "kPa|kN/m2|kN/m²|kpa"),
        g=(1e9, "GPa"),
        h=(1.0, "Pa|pa|N/m2"),
        i=(2000 * PSF_PA, "tsf"),
        j=(1e5, "bar"),
        k=(100.0, "hPa|mbar"),
    ),
    "psi",
    "MPa",
)
STRESS_RATE = Dimension("stress build-up", "pa_s", _units(a=(PSI_PA / 3600.0, "psi/h"), b=(1.0, "Pa/s")), "psi/h", "Pa/s")
UNIT_WEIGHT = Dimension(
    "unit weight",
    "n_m3",
    _units(a=(POUND_FORCE_N / FOOT_M**3, "pcf|lb/ft3|lb/ft³"), b=(1000.0, "kN/m3|kN/m³"), c=(1.0, "N/m3|N/m³")),
    "pcf",
    "kN/m3",
)
SUBGRADE_MODULUS = Dimension(
    "subgrade modulus",
    "pa_m",
    _units(a=(PCI_PA_M, "pci|psi/in|lb/in3"), b=(1e6, "MN/m3|MPa/m|MN/m³"), c=(1e3, "kN/m3|kPa/m|kN/m³"), d=(1.0, "N/m3|Pa/m")),
    "pci",
    "MN/m3",
)
TIME = Dimension(
    "time",
    "s",
    _units(a=(60.0, "min|minute|minutes"), b=(1.0, "s|sec"), c=(3600.0, "h|hr|hour|hours"), d=(86400.0, "d|day|days")),
    "min",
    "min",
)
HOURS = Dimension("time", "h", _units(a=(1.0, "h|hr|hour|hours"), b=(1 / 60, "min|minute|minutes"), c=(24.0, "d|day|days")), "h", "h")
DAYS = Dimension(
    "time",
    "days",
    _units(a=(1.0, "days|d|day"), b=(1 / 24, "h|hr|hour|hours"), c=(7.0, "weeks|week"), d=(365.25 / 12, "months|month")),
    "days",
    "days",
)
TEMPERATURE = Dimension(
    "temperature",
    "c",
    MappingProxyType(
        {
            **dict.fromkeys(("degF", "°F", "F", "deg F"), Unit(5 / 9, -160 / 9)),
            **dict.fromkeys(("degC", "°C", "C", "deg C"), Unit(1.0)),
            "K": Unit(1.0, -273.15),
        }
    ),
    "degF",
    "degC",
)
TEMPERATURE_DIFFERENCE = Dimension("temperature difference", "k", _units(a=(5 / 9, "degF|°F|F"), b=(1.0, "K|degC|°C|C")), "degF", "K")
FREEZING_INDEX = Dimension(
    "freezing index", "kd", _units(a=(5 / 9, "F-days|°F·days|degF days"), b=(1.0, "K·d|C-days|°C·days|K d")), "°F·days", "K·d"
)
EXPANSION = Dimension("thermal expansion", "1_k", _units(a=(1.8, "/degF|1/degF|per degF"), b=(1.0, "/K|1/K|/degC|per K")), "/degF", "/K")
GRADIENT = Dimension(
    "temperature gradient", "k_m", _units(a=(5 / 9 / INCH_M, "degF/in|°F/in"), b=(1.0, "K/m|degC/m"), c=(1000.0, "K/mm")), "degF/in", "K/m"
)
SPEED = Dimension(
    "speed",
    "m_s",
    _units(a=(MILE_M / 3600, "mph"), b=(1.0, "m/s"), c=(1 / 3.6, "km/h|kph"), d=(FOOT_M / 60, "ft/min|fpm"), e=(1852 / 3600, "kn|kt")),
    "mph",
    "m/s",
)
RATE_OF_RISE = Dimension("rate of rise", "m_h", _units(a=(FOOT_M, "ft/h|ft/hr"), b=(1.0, "m/h")), "ft/h", "m/h")
VOLUME_RATE = Dimension("placing rate", "m3_h", _units(a=(CUBIC_YARD_M3, "yd3/h|yd³/h|cy/h|yd3/hr"), b=(1.0, "m3/h|m³/h")), "yd3/h", "m3/h")
AREA_RATE = Dimension("finishing rate", "m2_h", _units(a=(FOOT_M**2, "ft2/h|ft²/h|sf/h"), b=(1.0, "m2/h|m²/h")), "ft2/h", "m2/h")
EVAPORATION = Dimension(
    "evaporation rate",
    "kg_m2_h",
    _units(a=(POUND_KG / FOOT_M**2, "lb/ft2/h|lb/ft²/h|lb/ft2·h|lb/ft²·h"), b=(1.0, "kg/m2/h|kg/m²/h|kg/m2·h|kg/m²·h")),
    "lb/ft2/h",
    "kg/m2/h",
)
ANGLE = Dimension(
    "angle",
    "rad",
    _units(a=(math.pi / 180, "deg|°|degrees|degree"), b=(1.0, "rad"), c=(math.pi / 200, "gon|grad"), d=(math.pi / 648000, 'arcsec|"')),
    "deg",
    "deg",
)
CONDUCTIVITY = Dimension(
    "conductivity",
    "w_mk",
    _units(a=(BTU_J / 3600 / FOOT_M / (5 / 9), "Btu/h·ft·°F|Btu/h.ft.F"), b=(1.0, "W/mK|W/m·K")),
    "Btu/h·ft·°F",
    "W/mK",
)
HEAT_TRANSFER = Dimension(
    "heat transfer coefficient",
    "w_m2k",
    _units(a=(BTU_J / 3600 / FOOT_M**2 / (5 / 9), "Btu/h·ft2·°F|Btu/h.ft2.F"), b=(1.0, "W/m2K|W/m²K")),
    "Btu/h·ft2·°F",
    "W/m2K",
)
THERMAL_RESISTANCE = Dimension(
    "thermal resistance",
    "m2k_w",
    _units(a=(3600 * FOOT_M**2 * (5 / 9) / BTU_J, "R|h·ft2·°F/Btu|hr ft2 F/Btu"), b=(1.0, "m2K/W|m²K/W")),
    "R",
    "m2K/W",
)
HEAT_FLUX = Dimension(
    "heat flux", "w_m2", _units(a=(BTU_J / 3600 / FOOT_M**2, "Btu/h·ft2|Btu/h.ft2"), b=(1.0, "W/m2|W/m²")), "Btu/h·ft2", "W/m2"
)
SPECIFIC_ENERGY = Dimension(
    "specific energy", "j_kg", _units(a=(BTU_J / POUND_KG, "Btu/lb"), b=(1.0, "J/kg"), c=(1000.0, "kJ/kg|J/g")), "Btu/lb", "kJ/kg"
)
MOLAR_ENERGY = Dimension("activation energy", "j_mol", _units(a=(1.0, "J/mol"), b=(1000.0, "kJ/mol")), "kJ/mol", "kJ/mol")
SPECIFIC_HEAT = Dimension(
    "specific heat",
    "j_kgk",
    _units(a=(BTU_J / POUND_KG / (5 / 9), "Btu/lb·°F|Btu/lb.F"), b=(1.0, "J/kgK|J/kg·K"), c=(1000.0, "kJ/kgK|kJ/kg·K")),
    "Btu/lb·°F",
    "J/kgK",
)
PERMEANCE = Dimension(
    "permeance",
    "kg_pa_s_m2",
    _units(a=(5.72135e-11, "perm|perms|US perm"), b=(1e-12, "ng/Pa·s·m2|ng/(Pa·s·m²)|ng/Pa.s.m2"), c=(1.0, "kg/Pa·s·m2")),
    "perm",
    "ng/Pa·s·m2",
)
VAPOUR_FLOW = Dimension(
    "vapour flow",
    "kg_m2_s",
    _units(
        a=(POUND_KG / (1000 * FOOT_M**2 * 86400.0), "lb/1000 ft2/24 h|lb/1000 ft²/24 h"),
        b=(1e-3 / 86400.0, "g/m2/day|g/m²/day|g/m2/d"),
        c=(1.0, "kg/m2/s"),
    ),
    "lb/1000 ft2/24 h",
    "g/m2/day",
    (2, 2),
)
MATURITY = Dimension("maturity", "kh", _units(a=(5 / 9, "°F·h|F-hours|degF h"), b=(1.0, "°C·h|C-hours|K·h|degC h")), "°F·h", "°C·h")
DIFFUSIVITY = Dimension(
    "diffusivity",
    "m2_s",
    _units(a=(FOOT_M**2 / 86400, "ft2/day|ft²/day"), b=(1e-6, "mm2/s|mm²/s"), c=(1.0, "m2/s|m²/s")),
    "ft2/day",
    "mm2/s",
)
FINENESS = Dimension("fineness", "m2_kg", _units(a=(0.1, "cm2/g|cm²/g"), b=(1.0, "m2/kg|m²/kg")), "m2/kg", "m2/kg")
AREA_PER_WIDTH = Dimension(
    "steel area per width",
    "m2_m",
    _units(a=(INCH_M**2 / FOOT_M, "in2/ft|in²/ft"), b=(1e-6, "mm2/m|mm²/m"), c=(1.0, "m2/m")),
    "in2/ft",
    "mm2/m",
)
COVERAGE = Dimension(
    "coverage", "m2_m3", _units(a=(FOOT_M**2 / GALLON_M3, "ft2/gal|ft²/gal"), b=(1000.0, "m2/L|m²/L"), c=(1.0, "m2/m3")), "ft2/gal", "m2/L"
)
NUMBER = Dimension("number", "", MappingProxyType({"": Unit(1.0), "%": Unit(0.01), "percent": Unit(0.01)}), "", "")

DIMENSIONS: Mapping[str, Dimension] = MappingProxyType(
    {
        dimension.suffix: dimension
        for dimension in (
            LENGTH, AREA, VOLUME, SECOND_MOMENT, MASS, LINEAR_MASS, AREAL_MASS, DENSITY, FORCE, LINE_LOAD, MOMENT,
            MOMENT_PER_WIDTH, PRESSURE, STRESS_RATE, UNIT_WEIGHT, SUBGRADE_MODULUS, TIME, HOURS, DAYS, TEMPERATURE, TEMPERATURE_DIFFERENCE,
            EXPANSION, FREEZING_INDEX, GRADIENT, SPEED, RATE_OF_RISE, VOLUME_RATE, AREA_RATE, EVAPORATION, ANGLE, CONDUCTIVITY,
            HEAT_TRANSFER,
            THERMAL_RESISTANCE, HEAT_FLUX, SPECIFIC_ENERGY, MOLAR_ENERGY, SPECIFIC_HEAT, PERMEANCE, VAPOUR_FLOW, DIFFUSIVITY,
            FINENESS, MATURITY,
            AREA_PER_WIDTH, COVERAGE, NUMBER,
        )
    }
)  # fmt: skip
_SUFFIXES_LONGEST_FIRST = sorted((suffix for suffix in DIMENSIONS if suffix), key=len, reverse=True)


def dimension_of(name: str) -> Dimension:
    """Kind of quantity that a name holds, read off its suffix; ``NUMBER`` where it has none.

    >>> dimension_of("thickness_m").name
    'length'
    >>> dimension_of("n_bars").name
    'number'
    """
    for suffix in _SUFFIXES_LONGEST_FIRST:
        if name.endswith("_" + suffix) or name == suffix:
            return DIMENSIONS[suffix]
    return NUMBER


def bare_name(name: str) -> str:
    """A name without its unit suffix: what a person writes.

    >>> bare_name("air_temp_c")
    'air_temp'
    """
    suffix = dimension_of(name).suffix
    return name.removesuffix("_" + suffix) if suffix else name


_UNSIGNED = r"(?:\d+(?:,\d{3})+(?:\.\d*)?|\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_MIXED_NUMBER = re.compile(
    rf"^\s*(?P<sign>[+-])?\s*(?:(?P<whole>{_UNSIGNED})(?:\s+|-))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)\s*(?P<unit>.*)$", re.ASCII
)
_PLAIN_NUMBER = re.compile(rf"^\s*(?P<sign>[+-])?\s*(?P<whole>{_UNSIGNED})\s*(?P<unit>.*)$", re.ASCII)
_R_VALUE = re.compile(r"^R[\s-]?(\d+(?:\.\d+)?)$", re.ASCII)
_FEET_INCHES = re.compile(
    r"""^\s*(?P<sign>[+-])?\s*(?P<feet>\d+(?:\.\d+)?)\s*(?:'|ft\.?|feet|foot)\s*-?\s*
    (?:(?P<inches>\d+(?:\.\d+)?)(?!\s*/))?(?:[\s-]*(?P<top>\d+)\s*/\s*(?P<bottom>\d+))?\s*(?:"|in\.?|inch|inches)?\s*$""",
    re.VERBOSE | re.ASCII,
)


def _tidied(text: str) -> str:
    for sign, plain in _VULGAR.items():
        text = re.sub(rf"(?<=\d){sign}", f" {plain}", text).replace(sign, plain)
    return text.replace("′", "'").replace("″", '"').replace("’", "'").replace("”", '"').replace("⁄", "/").replace("−", "-").strip()


def parse_quantity(text: str, dimension: Dimension, *, examples: str = "") -> float:
    """Read a quantity with its unit into SI.

    Parameters
    ----------
    text : str
        Such as ``"4 in"``, ``"16'-6 1/2\\""``, ``"3/4 in"``, ``"25 MPa"``. A number alone is refused unless the
        kind of quantity has no unit.
    dimension : Dimension
        The kind of quantity expected.
    examples : str
        How to write it, for messages, where the kind's own examples would mislead.

    Returns
    -------
    float
        Value in the SI unit of ``dimension.suffix``.

    Raises
    ------
    OutOfRange
        If the text is no quantity of that kind; the message says which units would do.

    Examples
    --------
    >>> round(parse_quantity("16'-6 1/2\\"", LENGTH), 6)
    5.0419
    """
    tidy, how = _tidied(text), examples or dimension.examples()
    if len(tidy) > 60:
        raise OutOfRange(f"a text of {len(tidy)} characters is no {dimension.name}; write {how}.")
    if dimension is THERMAL_RESISTANCE:
        tidy = _R_VALUE.sub(r"\1 R", tidy)
    if dimension is LENGTH and (match := _FEET_INCHES.match(tidy)):
        inches = Fraction(match["feet"]) * 12 + Fraction(match["inches"] or 0) + _part(match, text)
        return float((-inches if match["sign"] == "-" else inches) * _exact(INCH_M))
    match = _MIXED_NUMBER.match(tidy) or _PLAIN_NUMBER.match(tidy)
    if match is None:
        raise OutOfRange(f'"{text}" is no {dimension.name}; write {how}.')
    written = match["unit"].strip()
    unit = dimension.units.get(written) or dimension.units.get(written.lower())
    if unit is None:
        if not written:
            raise OutOfRange(f'"{text}" has no unit; write {how}.')
        raise OutOfRange(f'"{text}": "{written}" is no unit of {dimension.name}; write {how}.')
    try:
        number = _exact(match["whole"] or "0") + _part(match, text)
        value = float((-number if match["sign"] == "-" else number) * _exact(unit.factor)) + unit.offset
    except OverflowError:
        raise OutOfRange(f'"{text}" is too large a number for a {dimension.name}.') from None
    return value


@lru_cache(maxsize=1024)
def _exact(number: str | float) -> Fraction:
    """A decimal number as it is written, so that ``12 in`` and ``1 ft`` come out as the same float."""
    text = str(number).lower().replace(",", "")
    exponent = text.partition("e")[2] or "0"
    return Fraction(text) if abs(int(exponent)) <= 30 else Fraction(float(text))


def _part(match: re.Match[str], text: str) -> Fraction:
    """The fraction of a mixed number; nought where it has none."""
    parts = match.groupdict()
    if not parts.get("top"):
        return Fraction(0)
    if int(parts["bottom"]) == 0:
        raise OutOfRange(f'"{text}" divides by nought; write a fraction such as 1/2.')
    return Fraction(int(parts["top"]), int(parts["bottom"]))


def in_unit(value: float, dimension: Dimension, unit: str) -> float:
    """An SI value in a written unit of its kind."""
    try:
        chosen = dimension.units[unit]
    except KeyError:
        raise UnknownName(f'"{unit}" is no unit of {dimension.name}.') from None
    return (value - chosen.offset) / chosen.factor


def format_number(value: float, digits: int = 4) -> str:
    """A number to so many significant digits, thousands apart, no exponent in the range people read.

    >>> format_number(1234.567)
    '1,235'
    >>> format_number(0.04567, 3)
    '0.0457'
    """
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    magnitude = math.floor(math.log10(abs(value)))
    if not -5 <= magnitude <= 12:
        return f"{value:.{digits - 1}e}"
    decimals = max(0, digits - 1 - magnitude)
    text = f"{value:,.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def format_feet_inches(value_m: float, denominator: int | None = None) -> str:
    """A length in inches below 3 ft, in feet and inches above, to 1/8 inch, or 1/16 below one inch.

    >>> format_feet_inches(5.0419)
    '16\\'-6 1/2"'
    >>> format_feet_inches(0.1143)
    '4 1/2 in'
    """
    if denominator is None:
        denominator = 8 if abs(value_m) >= INCH_M else 16
    parts = round(abs(value_m) / INCH_M * denominator)
    sign = "-" if value_m < 0 and parts else ""
    inches, part = divmod(parts, denominator)
    fraction = Fraction(part, denominator)
    if parts < 36 * denominator:
        if fraction and inches:
            return f"{sign}{inches} {fraction} in"
        return f"{sign}{fraction if fraction else inches} in"
    feet, inches = divmod(inches, 12)
    return f"{sign}{feet}'-{inches} {fraction}\"" if fraction else f"{sign}{feet}'-{inches}\""


_SMALL_AREA_M2 = 0.02
"""Below it an area is one of steel or of a contact, and read in square inches or millimetres. [m²]"""


def format_quantity(value: float, dimension: Dimension, family: Family, *, unit: str | None = None, digits: int | None = None) -> str:
    """An SI value as a person of that family reads it, unit included.

    Parameters
    ----------
    value : float
        In the SI unit of the dimension.
    dimension : Dimension
    family : Family
    unit : str, optional
        A written unit to use instead of the family's own.
    digits : int, optional
        Significant digits instead of the dimension's own.

    Examples
    --------
    >>> format_quantity(0.1016, LENGTH, Family.US), format_quantity(0.1016, LENGTH, Family.SI)
    ('4 in', '102 mm')
    >>> format_quantity(0.000129, AREA, Family.US), format_quantity(0.000129, AREA, Family.SI)
    ('0.2 in²', '129 mm²')
    """
    if unit is None and dimension is LENGTH:
        if family is Family.US:
            return (
                format_feet_inches(value) if abs(value) >= INCH_M / 16 or value == 0 else f"{format_number(value / INCH_M * 1000, 3)} mil"
            )
        if abs(value) >= 1.0:
            return f"{value:,.3f}".rstrip("0").rstrip(".") + " m"
        return f"{format_number(value * 1000, 3 if abs(value) >= 0.001 else 2)} mm"
    chosen = unit if unit is not None else (dimension.us if family is Family.US else dimension.si)
    if unit is None and dimension is AREA and 0.0 < abs(value) < _SMALL_AREA_M2:
        chosen = "in2" if family is Family.US else "mm2"
    if digits is None:
        digits = dimension.digits[0 if family is Family.US else 1]
    number = format_number(in_unit(value, dimension, chosen), digits)
    return f"{number}{_NO_SPACE.get(chosen, ' ' + printed_unit(chosen))}".rstrip()


def format_place(at: tuple[float, float], family: Family) -> str:
    """A place on the plan in words, to the inch or the centimetre.

    Parameters
    ----------
    at : tuple of float
        From the south-west form corner. [m]
    family : Family

    Examples
    --------
    >>> print(format_place((1.5, 9.1), Family.US))
    4'-11" east, 29'-10" north
    >>> print(format_place((1.5, 9.1), Family.SI))
    1.5 m east, 9.1 m north
    """
    step = INCH_M if family is Family.US else 0.01
    x, y = (format_quantity(round(one / step) * step, LENGTH, family) for one in at)
    return f"{x} east, {y} north"


def printed_unit(unit: str) -> str:
    """A written unit as sheets print it.

    >>> printed_unit("yd3")
    'yd³'
    """
    return _PRINTED.get(unit, unit)


_PRINTED = {
    "ft2": "ft²", "m2": "m²", "yd3": "yd³", "m3": "m³", "ft3": "ft³", "in2": "in²", "mm2": "mm²", "degF": "°F", "degC": "°C",
    "in2/ft": "in²/ft", "mm2/m": "mm²/m", "kg/m2": "kg/m²", "lb/ft2": "lb/ft²", "kg/m3": "kg/m³", "kN/m3": "kN/m³",
    "MN/m3": "MN/m³", "lb/ft2/h": "lb/ft²·h", "kg/m2/h": "kg/m²·h", "yd3/h": "yd³/h", "m3/h": "m³/h", "ft2/h": "ft²/h",
    "m2/h": "m²/h", "ft2/gal": "ft²/gal", "m2/L": "m²/L", "in4": "in⁴", "mm4": "mm⁴", "deg": "°",
}  # fmt: skip
_NO_SPACE = {"deg": "°", "": "", "%": " %"}
