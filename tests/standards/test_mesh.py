"""Welded mesh: styles, wires, laps."""

import math

import pytest

from slabwright.errors import OutOfRange
from slabwright.standards import aci_318_19_mesh, astm_a1064, en_1992_1_1_mesh
from slabwright.standards.aci_318_19_mesh import lap_of_mesh
from slabwright.standards.astm_a615 import bar_of_number
from slabwright.standards.astm_a1064 import wire_diameter_m, wire_yield_pa
from slabwright.standards.en_1992_1_1_mesh import lap_of_mesh_m
from slabwright.standards.mesh import FABRICS, SQUARE_MESH, mesh

from .us import FT, IN, IN2, PSI, close


@pytest.mark.published(astm_a1064.STYLES)
@pytest.mark.parametrize(
    ("style", "area_in2_ft", "lb_csf"),
    [
        ("6x6-W1.4xW1.4", 0.028, 21), ("6x6-W2.0xW2.0", 0.040, 29), ("6x6-W2.9xW2.9", 0.058, 42), ("6x6-W4.0xW4.0", 0.080, 58),
        ("4x4-W1.4xW1.4", 0.042, 31), ("4x4-W2.0xW2.0", 0.060, 43), ("4x4-W2.9xW2.9", 0.087, 62), ("4x4-W4.0xW4.0", 0.120, 85),
        ("6x6-W5.5xW5.5", 0.110, 80),
    ],
)  # fmt: skip
def test_common_stock_styles(style, area_in2_ft, lb_csf):
    """Area each way and weight, as printed; weights hold the overhangs of the sheet."""
    found = mesh(style=style)

    assert pytest.approx(area_in2_ft, abs=0.0005) == found.area_m2_m / (IN2 / FT) == found.cross_area_m2_m / (IN2 / FT)
    assert pytest.approx(lb_csf) == found.mass_kg_m2 * 100 * FT**2 / 0.45359237


@pytest.mark.published(astm_a1064.WIRE)
@pytest.mark.parametrize(
    ("number", "diameter_in"), [(1.4, 0.1335), (2.0, 0.1596), (2.1, 0.1635), (2.9, 0.1922), (4.0, 0.2257), (5.5, 0.2646)]
)
def test_wire_diameters(number, diameter_in):
    """Square root of 4A/pi, A in hundredths of a square inch; printed gauges lie slightly above."""
    assert close(diameter_in, rel=2e-3) == wire_diameter_m(w_number=number) / IN


@pytest.mark.published(astm_a1064.WIRE)
@pytest.mark.parametrize(("number", "area_in2_ft", "lb_csf"), [(1.4, 0.028, 19.04), (2.9, 0.058, 39.44), (4.0, 0.080, 54.4)])
def test_steel_and_mass_without_overhangs(number, area_in2_ft, lb_csf):
    """A x 12/spacing, and 3.40 lb/ft to the square inch; a style outside the table is weighed so. Arithmetic."""
    uncommon = mesh(style=f"6x6-W{number}xW{number + 0.1:.1f}")

    assert close(area_in2_ft) == uncommon.area_m2_m / (IN2 / FT)
    assert close(lb_csf + 340 * 0.001 * 2, rel=2e-3) == uncommon.mass_kg_m2 * 100 * FT**2 / 0.45359237


@pytest.mark.published(astm_a1064.STYLES)
def test_styles_that_stand_for_each_other():
    """Same area per foot, near enough: 0.058 and 0.060; No.3 at 18 in. is 0.0733 against 0.080."""
    per_ft = IN2 / FT

    assert close(0.058) == mesh(style="6x6-W2.9").area_m2_m / per_ft
    assert close(0.060) == mesh(style="4x4-W2.0").area_m2_m / per_ft
    assert close(0.0733) == bar_of_number(number=3).area_m2 / IN2 * 12 / 18
    assert close(0.080) == mesh(style="6x6-W4.0").area_m2_m / per_ft


@pytest.mark.published(astm_a1064.WIRE_STRENGTH)
def test_wire_strength():
    """Plain wire 65 ksi from W1.2 up, 56 ksi below; from memory."""
    assert close(65_000 * PSI) == wire_yield_pa(w_number=1.2) == wire_yield_pa(w_number=2.9)
    assert close(56_000 * PSI) == wire_yield_pa(w_number=1.1)


@pytest.mark.published(astm_a1064.SMALLER_WIRE)
def test_wires_too_unequal_are_refused():
    """The smaller wire has 40 per cent of the larger at least."""
    with pytest.raises(OutOfRange, match="40 %"):
        mesh(style="6x6-W4.0xW1.5")

    assert mesh(style="6x6-W4.0xW1.6").cross_area_m2_m < mesh(style="6x6-W4.0xW1.6").area_m2_m


@pytest.mark.published(FABRICS)
@pytest.mark.parametrize(
    ("style", "wire_mm", "area_mm2", "kg_m2"),
    [("A142", 6, 142, 2.22), ("A193", 7, 193, 3.02), ("A252", 8, 252, 3.95), ("A393", 10, 393, 6.16)],
)
def test_british_fabrics(style, wire_mm, area_mm2, kg_m2):
    """The number is the steel in mm²/m; mass as printed, from memory."""
    found = mesh(style=style)

    assert close(wire_mm / 1000) == found.wire_diameter_m
    assert close(area_mm2, rel=5e-3) == found.area_m2_m * 1e6
    assert close(kg_m2, rel=5e-3) == found.mass_kg_m2


@pytest.mark.published(SQUARE_MESH)
@pytest.mark.parametrize(("style", "area_mm2"), [("SL62", 141), ("SL72", 179), ("SL82", 227), ("SL92", 290), ("SL102", 354)])
def test_square_mesh(style, area_mm2):
    """mm²/m as printed, from memory."""
    assert close(area_mm2, rel=5e-3) == mesh(style=style).area_m2_m * 1e6


@pytest.mark.published(aci_318_19_mesh.WIRE_LAP)
def test_lap_of_plain_wire():
    """6x6-W2.9, 65 ksi, 3,000 psi: development 1.549 in., lap one space and 2 in., 8 in.; with twice the steel 2.3 in."""
    wire = {"wire_area_m2": 0.029 * IN2, "wire_spacing_m": 6 * IN, "cross_wire_spacing_m": 6 * IN, "strength_pa": 3000 * PSI}
    full, half = lap_of_mesh(**wire), lap_of_mesh(**wire, twice_the_steel_needed=True)

    assert close(1.549, rel=3e-3) == full.development_m / IN
    assert close(8.0) == full.lap_m / IN
    assert close(2.3, rel=0.02) == half.lap_m / IN


@pytest.mark.published(en_1992_1_1_mesh.SECONDARY_LAP)
@pytest.mark.parametrize(("wire_mm", "lap_mm"), [(5, 200), (6, 200), (7, 400), (8, 400), (10, 400), (12, 400)])
def test_laps_of_crack_mesh(wire_mm, lap_mm):
    """At 200 mm: one space up to 6 mm wire, two above; 150, 250 and 350 mm govern at closer wires. From memory."""
    assert close(lap_mm / 1000) == lap_of_mesh_m(wire_diameter_m=wire_mm / 1000, cross_wire_spacing_m=0.2)
    least = {5: 150, 6: 150, 7: 250, 8: 250, 10: 350, 12: 350}[wire_mm]
    assert close(least / 1000) == lap_of_mesh_m(wire_diameter_m=wire_mm / 1000, cross_wire_spacing_m=0.1)


def test_thick_wires_and_unknown_styles_are_refused():
    with pytest.raises(OutOfRange, match="ends at wires of 12 mm"):
        lap_of_mesh_m(wire_diameter_m=0.014, cross_wire_spacing_m=0.2)
    with pytest.raises(OutOfRange, match="no mesh that is made"):
        mesh(style="6x6 heavy")
    with pytest.raises(OutOfRange, match="above nought"):
        lap_of_mesh(wire_area_m2=0, wire_spacing_m=0.15, cross_wire_spacing_m=0.15, strength_pa=25e6)


def test_the_number_of_a_fabric_is_its_steel():
    assert close(252, rel=5e-3) == math.pi * 8**2 / 4 * 5
