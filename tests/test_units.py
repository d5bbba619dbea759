"""Every conversion factor against a general units library, and the reading and printing of quantities by hand."""

import math
import re

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slabwright.errors import OutOfRange, UnknownName
from slabwright.units import (
    ANGLE,
    AREA,
    DIMENSIONS,
    FORCE,
    LENGTH,
    LINE_LOAD,
    NUMBER,
    PRESSURE,
    SUBGRADE_MODULUS,
    TEMPERATURE,
    THERMAL_RESISTANCE,
    TIME,
    Family,
    bare_name,
    dimension_of,
    format_feet_inches,
    format_number,
    format_quantity,
    in_unit,
    parse_quantity,
)  # fmt: skip

PINT = pint.UnitRegistry()
# NIST SP 811, appendix B: the US perm at 0 °C. The Btu is that of the International Table, the ton that of 2,000 lb.
PINT.define("nistperm = 5.72135e-11 kg / (Pa * s * m**2)")

# Units whose written form a general library reads otherwise, kind by kind: what they stand for.
SPELLED = {
    "length": {'"': "inch", "'": "foot", "in.": "inch", "ft.": "foot", "inches": "inch", "mil": "mil_length", "mils": "mil_length",
    "feet": "foot"},
    "area": {"sq ft": "foot**2", "sf": "foot**2", "sq in": "inch**2", "sq yd": "yard**2"},
    "volume": {"cu yd": "yard**3", "cy": "yard**3", "cu ft": "foot**3", "cf": "foot**3", "gal": "gallon", "l": "litre"},
    "mass": {"t": "tonne", "lbs": "pound", "ton": "short_ton", "tons": "short_ton"},
    "mass per length": {"plf": "pound/foot"},
    "mass per area": {"psf": "pound/foot**2", "lb/csf": "pound/foot**2/100", "lb/100 ft2": "pound/foot**2/100"},
    "density": {"pcf": "pound/foot**3", "pcy": "pound/yard**3", "t/m3": "tonne/metre**3"},
    "force": {"k": "kip", "kips": "kip", "lb": "lbf", "lbs": "lbf", "kn": "kN", "n": "N", "tf": "tonne*standard_gravity"},
    "load per length": {"plf": "lbf/ft", "lb/ft": "lbf/ft", "klf": "kip/ft", "lb/in": "lbf/inch"},
    "pressure": {
        "psf": "lbf/ft**2", "lb/ft2": "lbf/ft**2", "lb/ft²": "lbf/ft**2", "ksf": "kip/ft**2", "ksi": "kip/inch**2", "tsf": "2*kip/ft**2",
        "mpa": "MPa", "kpa": "kPa", "pa": "Pa",
    },
    "unit weight": {"pcf": "lbf/ft**3", "lb/ft3": "lbf/ft**3", "lb/ft³": "lbf/ft**3"},
    "subgrade modulus": {"pci": "lbf/inch**3", "lb/in3": "lbf/inch**3"},
    "time": {"months": "365.25*day/12", "month": "365.25*day/12", "d": "day", "hr": "hour", "sec": "second"},
    "speed": {"mph": "mile/hour", "kph": "km/hour", "fpm": "ft/minute", "kn": "knot", "kt": "knot"},
    "placing rate": {"cy/h": "yard**3/hour", "yd3/hr": "yard**3/hour"},
    "finishing rate": {"sf/h": "foot**2/hour"},
    "angle": {"°": "degree", "deg": "degree", "gon": "grade", "grad": "grade", '"': "arcsecond", "arcsec": "arcsecond"},
    "thermal resistance": dict.fromkeys(("R", "h·ft2·°F/Btu", "hr ft2 F/Btu"), "hour*foot**2*delta_degF/Btu_it"),
    "permeance": {
        **dict.fromkeys(("perm", "perms", "US perm"), "nistperm"), **dict.fromkeys(("ng/Pa·s·m2", "ng/(Pa·s·m²)", "ng/Pa.s.m2"),
        "ng/(Pa*s*m**2)"),
        "kg/Pa·s·m2": "kg/(Pa*s*m**2)",
    },
    "vapour flow": {**dict.fromkeys(("lb/1000 ft2/24 h", "lb/1000 ft²/24 h"), "pound/(1000*ft**2)/day"), "g/m2/d": "g/m**2/day"},
    "moment per width": {"ft-lb/ft": "ft*lbf/ft", "lb-ft/ft": "ft*lbf/ft", "in-lb/in": "inch*lbf/inch", "lb-in/in": "inch*lbf/inch"},
    "moment": {"lb-ft": "lbf*ft", "ft-lb": "lbf*ft", "lb·ft": "lbf*ft", "lb-in": "lbf*inch", "in-lb": "lbf*inch", "lb·in": "lbf*inch",
               "k-ft": "kip*ft"},
    "freezing index": {**dict.fromkeys(("F-days", "°F·days", "degF days"), "delta_degF*day"),
                       **dict.fromkeys(("K·d", "C-days", "°C·days", "K d"), "kelvin*day")},
    "maturity": {**dict.fromkeys(("°F·h", "F-hours", "degF h"), "delta_degF*hour"),
                 **dict.fromkeys(("°C·h", "C-hours", "K·h", "degC h"), "kelvin*hour")},
    "thermal expansion": {**dict.fromkeys(("/degF", "1/degF", "per degF"), "1/delta_degF"), **dict.fromkeys(("/K", "1/K", "/degC",
    "per K"), "1/kelvin")},
    "temperature gradient": {"degF/in": "delta_degF/inch", "°F/in": "delta_degF/inch", "degC/m": "kelvin/metre"},
    "temperature difference": {**dict.fromkeys(("degF", "°F", "F"), "delta_degF"), **dict.fromkeys(("degC", "°C", "C"), "kelvin")},
    "conductivity": {**dict.fromkeys(("Btu/h·ft·°F", "Btu/h.ft.F"), "Btu_it/(hour*foot*delta_degF)"), **dict.fromkeys(("W/mK", "W/m·K"),
    "W/(m*K)")},
    "heat transfer coefficient": {**dict.fromkeys(("Btu/h·ft2·°F", "Btu/h.ft2.F"), "Btu_it/(hour*foot**2*delta_degF)"),
                                  **dict.fromkeys(("W/m2K", "W/m²K"), "W/(m**2*K)")},
    "heat flux": dict.fromkeys(("Btu/h·ft2", "Btu/h.ft2"), "Btu_it/(hour*foot**2)"),
    "specific energy": {"Btu/lb": "Btu_it/pound"},
    "specific heat": {**dict.fromkeys(("Btu/lb·°F", "Btu/lb.F"), "Btu_it/(pound*delta_degF)"), **dict.fromkeys(("J/kgK", "J/kg·K"),
    "J/(kg*K)"),
                      **dict.fromkeys(("kJ/kgK", "kJ/kg·K"), "kJ/(kg*K)")},
    "evaporation rate": {
        **dict.fromkeys(("lb/ft2·h", "lb/ft²·h"), "pound/foot**2/hour"), **dict.fromkeys(("kg/m2·h", "kg/m²·h"), "kg/m**2/hour"),
    },
}  # fmt: skip
# What one unit of each suffix is.
SI = {
    "m": "m", "m2": "m**2", "m3": "m**3", "m4": "m**4", "kg": "kg", "kg_m": "kg/m", "kg_m2": "kg/m**2", "kg_m3": "kg/m**3", "n": "N",
    "n_m": "N/m",
    "nm": "N*m", "nm_m": "N*m/m", "pa": "Pa", "n_m3": "N/m**3", "pa_m": "Pa/m", "pa_s": "Pa/s", "s": "s", "h": "hour", "days": "day",
    "k": "kelvin",
    "kd": "kelvin*day", "kh": "kelvin*hour", "1_k": "1/kelvin", "k_m": "kelvin/m", "m_s": "m/s", "m_h": "m/hour", "m3_h": "m**3/hour",
    "m2_h": "m**2/hour", "kg_m2_h": "kg/m**2/hour", "rad": "radian", "w_mk": "W/(m*K)", "w_m2k": "W/(m**2*K)", "m2k_w": "m**2*K/W",
    "w_m2": "W/m**2", "j_kg": "J/kg", "j_mol": "J/mol", "j_kgk": "J/(kg*K)", "kg_pa_s_m2": "kg/(Pa*s*m**2)", "kg_m2_s": "kg/m**2/s",
    "m2_s": "m**2/s", "m2_kg": "m**2/kg", "m2_m": "m**2/m", "m2_m3": "m**2/m**3",
}  # fmt: skip


def library_reading(unit: str, kind: str) -> str:
    """A written unit as the general library spells it."""
    if unit in SPELLED.get(kind, {}):
        return SPELLED[kind][unit]
    for sign, power in (("²", "**2"), ("³", "**3"), ("⁴", "**4"), ("·", "*"), ("^", "**"), (" ", "*"), ("-", "*")):
        unit = unit.replace(sign, power)
    unit = re.sub(r"(?<=[a-zA-Z])([234])", r"**\1", unit)
    unit = re.sub(r"(?<![a-zA-Z])lb(?![a-zA-Z])", "pound", unit)
    unit = re.sub(r"(?<![a-zA-Z])in(?![a-zA-Z])", "inch", unit)
    unit = re.sub(r"(?<![a-zA-Z])h(?![a-zA-Z])", "hour", unit)
    return re.sub(r"kNm", "kN*m", re.sub(r"(?<![a-zA-Z])Nm", "N*m", unit))


EVERY_UNIT = [(kind, unit) for kind in DIMENSIONS.values() if kind not in (NUMBER, TEMPERATURE) for unit in kind.units]


@pytest.mark.parametrize(("kind", "unit"), EVERY_UNIT, ids=[f"{kind.name}: {unit}" for kind, unit in EVERY_UNIT])
def test_every_factor_agrees_with_a_general_units_library(kind, unit):
    """Pint, an independent library, reads the same unit; international inch, pound and standard gravity are exact in both."""
    expected = (1.0 * PINT(library_reading(unit, kind.name))).to(SI[kind.suffix]).magnitude

    assert pytest.approx(expected, rel=1e-11) == kind.units[unit].factor
    assert 0.0 == kind.units[unit].offset


@pytest.mark.parametrize("number", [-40.0, 0.0, 32.0, 68.0, 212.0])
@pytest.mark.parametrize(("unit", "spelled"), [("degF", "degF"), ("°F", "degF"), ("degC", "degC"), ("C", "degC"), ("K", "kelvin")])
def test_temperatures_agree_with_a_general_units_library(number: float, unit: str, spelled: str):
    expected = PINT.Quantity(number, spelled).to("degC").magnitude

    assert pytest.approx(expected, abs=1e-12) == parse_quantity(f"{number} {unit}", TEMPERATURE)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("4 in", 4), ('4"', 4), ("4in", 4), ("4 in.", 4), ("4 inches", 4), ("3/4 in", 0.75), ("1 1/2 in", 1.5), ("1-1/2 in", 1.5),
        ("1½ in", 1.5),
        ("½ in", 0.5), ("5/8\"", 0.625), (".5 in", 0.5), ("5.125 in", 5.125), ("16'-6 1/2\"", 198.5), ("16' 6 1/2\"", 198.5),
        ("16'6.5\"", 198.5),
        ("16 ft 6 1/2 in", 198.5), ("16′-6½″", 198.5), ("16’-6 1/2”", 198.5), ("16 feet 6 inches", 198), ("16'", 192), ("16 ft", 192),
        ("16.5 ft", 198),
        ("16'-1/2\"", 192.5), ("0'-6\"", 6), ("1/2 ft", 6), ("1,200 ft", 14400), ("-1/2 in", -0.5), ("-1 1/2 in", -1.5),
        ("-5'-6\"", -66), ("−3 in", -3),
        ("+3 in", 3), ("1e1 in", 10), ("10 mil", 0.01), ("1 yd", 36), ("1 mi", 63360), ("  4   in  ", 4), ("4 IN", 4), ("4 Ft", 48),
        ("1⁄2 in", 0.5),
    ],
)  # fmt: skip
def test_lengths_are_read_as_builders_write_them(text: str, inches: float):
    """Feet and inches, fractions of every kind of sign, mils, capitals."""
    assert pytest.approx(inches * 0.0254, rel=1e-15) == parse_quantity(text, LENGTH)


@given(feet=st.integers(0, 500), inches=st.integers(0, 11), parts=st.integers(0, 15))
def test_a_length_printed_in_feet_and_inches_reads_back(feet: int, inches: int, parts: int):
    """To the sixteenth of an inch, and exactly: the same float whichever way it is written."""
    length_m = parse_quantity(f"{feet}'-{inches} {parts}/16\"", LENGTH)

    assert length_m == parse_quantity(f"{feet * 12 + inches + parts / 16} in", LENGTH)
    assert pytest.approx(length_m, abs=1e-12) == parse_quantity(format_feet_inches(length_m, 16), LENGTH)


@given(number=st.decimals(-9999, 9999, allow_nan=False, places=3))
def test_one_length_written_in_two_units_is_one_float(number):
    """So that corners meant to meet do meet."""
    assert parse_quantity(f"{number * 12} in", LENGTH) == parse_quantity(f"{number} ft", LENGTH)
    assert parse_quantity(f"{number} m", LENGTH) == parse_quantity(f"{number * 1000} mm", LENGTH)


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("4", LENGTH, '"4" has no unit; write "4 in" or "100 mm".'),
        ("3/4", LENGTH, '"3/4" has no unit; write "4 in" or "100 mm".'),
        ("0", LENGTH, '"0" has no unit; write "4 in" or "100 mm".'),
        ("3500", PRESSURE, '"3500" has no unit; write "3500 psi" or "25 MPa".'),
        ("4 kip", LENGTH, '"4 kip": "kip" is no unit of length; write "4 in" or "100 mm".'),
        ("4,5 in", LENGTH, '"4,5 in": ",5 in" is no unit of length; write "4 in" or "100 mm".'),
        ("four in", LENGTH, '"four in" is no length; write "4 in" or "100 mm".'),
        ("", LENGTH, '"" is no length; write "4 in" or "100 mm".'),
        ("nan in", LENGTH, '"nan in" is no length; write "4 in" or "100 mm".'),
        ("4 in 5", LENGTH, '"4 in 5": "in 5" is no unit of length; write "4 in" or "100 mm".'),
        ("1/0 in", LENGTH, '"1/0 in" divides by nought; write a fraction such as 1/2.'),
        ("5'-1/0\"", LENGTH, '"5\'-1/0"" divides by nought; write a fraction such as 1/2.'),
        ("1e999 in", LENGTH, '"1e999 in" is too large a number for a length.'),
        ("1e999999999 in", LENGTH, '"1e999999999 in" is too large a number for a length.'),
        ("9" * 99 + " in", LENGTH, 'a text of 102 characters is no length; write "4 in" or "100 mm".'),
        ("150 psi", SUBGRADE_MODULUS, '"150 psi": "psi" is no unit of subgrade modulus; write "150 pci" or "40 MN/m3".'),
        ("85", TEMPERATURE, '"85" has no unit; write "85 degF" or "30 degC".'),
    ],
)  # fmt: skip
def test_what_is_no_quantity_is_refused_with_how_to_write_it(text: str, kind, message: str):
    with pytest.raises(OutOfRange) as caught:
        parse_quantity(text, kind)
    assert message == str(caught.value)


def test_other_examples_may_be_given_for_the_message():
    with pytest.raises(OutOfRange, match='"20" has no unit; write "20 psf"'):
        parse_quantity("20", PRESSURE, examples='"20 psf"')


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("0.45", NUMBER, 0.45), ("6 %", NUMBER, 0.06), ("6 percent", NUMBER, 0.06), ("1/4", NUMBER, 0.25),
        ("3500 PSI", PRESSURE, 3500 * 6894.757293168361),
        ("R-10", THERMAL_RESISTANCE, 1.7611018), ("R10", THERMAL_RESISTANCE, 1.7611018), ("10 R", THERMAL_RESISTANCE, 1.7611018),
        ("90 min", TIME, 5400.0), ("1.5 h", TIME, 5400.0), ("45°", ANGLE, math.pi / 4), ("687 plf", LINE_LOAD, 687 * 14.593902937),
        ("1 MN", FORCE, 1e6), ("200 sq ft", AREA, 200 * 0.09290304),
    ],
)  # fmt: skip
def test_other_kinds_are_read_as_builders_write_them(text: str, kind, value: float):
    """Factors from NIST SP 811: 1 psi = 6,894.757 Pa, 1 lbf/ft = 14.5939 N/m, R 1 = 0.1761102 m²K/W."""
    assert pytest.approx(value, rel=1e-7) == parse_quantity(text, kind)


@given(st.text(max_size=80))
def test_any_text_is_a_quantity_or_is_refused(text: str):
    """Nothing else is raised, and nothing infinite comes back."""
    for kind in (LENGTH, TEMPERATURE, NUMBER, THERMAL_RESISTANCE):
        try:
            assert math.isfinite(parse_quantity(text, kind))
        except OutOfRange:
            continue


@pytest.mark.parametrize("kind", DIMENSIONS.values(), ids=lambda kind: kind.suffix or "number")
@given(value=st.floats(1e-3, 1e6))
def test_what_is_printed_reads_back(kind, value: float):
    """In both families, to the digits printed."""
    for family in Family:
        printed = format_quantity(value, kind, family, unit=kind.us if family is Family.US else kind.si, digits=9)
        assert pytest.approx(value, rel=1e-6, abs=1e-6) == parse_quantity(printed, kind)


@pytest.mark.parametrize("kind", DIMENSIONS.values(), ids=lambda kind: kind.suffix or "number")
def test_every_kind_prints_units_that_it_reads(kind):
    """And says in messages how it is written, in texts that it reads."""
    assert kind.us in kind.units
    assert kind.si in kind.units
    if kind is not NUMBER:
        for text in kind.examples().split(" or "):
            parse_quantity(text.strip('"'), kind)


@pytest.mark.parametrize(
    ("value", "us", "si"),
    [
        (0.1016, "4 in", "102 mm"), (0.1, "3 7/8 in", "100 mm"), (5.0419, "16'-6 1/2\"", "5.042 m"), (0.9144, "3'-0\"", "914 mm"),
        (0.0, "0 in", "0 mm"),
        (0.0047625, "3/16 in", "4.76 mm"), (0.000254, "10 mil", "0.25 mm"), (-0.1016, "-4 in", "-102 mm"), (0.003175, "1/8 in",
        "3.17 mm"),
        (0.0254, "1 in", "25.4 mm"), (0.0245, "15/16 in", "24.5 mm"), (10.9728, "36'-0\"", "10.973 m"), (0.0015875, "1/16 in", "1.59 mm"),
    ],
)  # fmt: skip
def test_lengths_are_printed_as_builders_read_them(value: float, us: str, si: str):
    """Inches below three feet, to an eighth, below one inch to a sixteenth; millimetres below one metre."""
    assert (us, si) == (format_quantity(value, LENGTH, Family.US), format_quantity(value, LENGTH, Family.SI))


@pytest.mark.parametrize(
    ("value", "suffix", "us", "si"),
    [
        (24.131650526e6, "pa", "3,500 psi", "24.13 MPa"), (85.0, "c", "185 °F", "85 °C"), (0.7853981634, "rad", "45°", "45°"),
        (0.25, "", "0.25", "0.25"),
        (7.645548579, "m3", "10 yd³", "7.646 m³"), (18682.5, "n", "4.2 kip", "18.68 kN"), (0.0, "n", "0 kip", "0 kN"),
        (1e-6, "m2_m", "0.0004724 in²/ft", "1 mm²/m"),
    ],
)  # fmt: skip
def test_quantities_are_printed_with_their_unit(value: float, suffix: str, us: str, si: str):
    kind = DIMENSIONS[suffix]

    assert (us, si) == (format_quantity(value, kind, Family.US), format_quantity(value, kind, Family.SI))


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (1234.567, 4, "1,235"), (0.04567, 3, "0.0457"), (9999.6, 4, "10,000"), (0.99996, 4, "1"), (0, 4, "0"), (-0.5, 4, "-0.5"),
        (1234567, 4, "1,234,567"),
        (1.5e-7, 3, "1.50e-07"), (12.0, 4, "12"), (100.0, 2, "100"), (float("inf"), 4, "inf"),
    ],
)  # fmt: skip
def test_numbers_are_printed_to_so_many_digits(value: float, digits: int, text: str):
    assert text == format_number(value, digits)


@pytest.mark.parametrize(
    ("name", "kind", "bare"),
    [
        ("thickness_m", "length", "thickness"), ("form_pressure_pa", "pressure", "form_pressure"), ("load_n_m", "load per length",
        "load"),
        ("moment_nm", "moment", "moment"), ("k_pa_m", "subgrade modulus", "k"), ("rate_kg_m2_h", "evaporation rate", "rate"),
        ("air_temp_c", "temperature", "air_temp"),
        ("rel_humidity", "number", "rel_humidity"), ("n_bars", "number", "n_bars"), ("area_m2_m", "steel area per width", "area"),
        ("speed_m_s", "speed", "speed"),
        ("x_m2_s", "diffusivity", "x"), ("blaine_m2_kg", "fineness", "blaine"), ("alpha_1_k", "thermal expansion", "alpha"),
    ],
)  # fmt: skip
def test_the_kind_of_a_quantity_is_read_off_its_name(name: str, kind: str, bare: str):
    """The longest suffix counts."""
    assert (kind, bare) == (dimension_of(name).name, bare_name(name))


def test_no_two_kinds_share_a_suffix():
    assert all(suffix == kind.suffix for suffix, kind in DIMENSIONS.items())


def test_a_value_in_another_unit_of_its_kind():
    assert pytest.approx(4.0) == in_unit(0.1016, LENGTH, "in")
    assert pytest.approx(212.0) == in_unit(100.0, TEMPERATURE, "degF")
    with pytest.raises(UnknownName, match='"kip" is no unit of length'):
        in_unit(1.0, LENGTH, "kip")
