"""Maturity, setting, hydration, strength and tension over time: published values as printed."""

import pytest

from slabwright.errors import OutOfRange
from slabwright.results.working import Working
from slabwright.sources import arithmetic
from slabwright.standards import concrete_tension, register
from slabwright.standards.aci_209r_92 import STRENGTH_GAIN, Hardening, strength_at_age_pa
from slabwright.standards.aci_318_19 import MODULUS, RUPTURE, concrete_modulus_pa, rupture_modulus_pa
from slabwright.standards.astm_c1074 import (
    COLD_ACTIVATION,
    EQUIVALENT_AGE,
    TEMPERATURE_TIME,
    age_factor,
    cold_age_factor,
    equivalent_age_h,
    linear_age_factor,
    maturity_kh,
)
from slabwright.standards.en_1992_1_1 import mean_tensile_mpa
from slabwright.standards.en_1992_1_1_time import (
    AUTOGENOUS,
    STIFFNESS,
    STRENGTH_OVER_TIME,
    CementClass,
    autogenous_strain,
    mean_modulus_pa,
    strength_share,
)
from slabwright.standards.heat_of_hydration import (
    BOGUE,
    CHANGING,
    CURVE,
    EXPANSION,
    EXPANSION_1_K,
    THERMAL,
    ULTIMATE_DEGREE,
    adiabatic_rise_k,
    cement_phases,
    conductivity_w_mk,
    degree_of_hydration,
    hydrated_cement_specific_heat_j_kgk,
    hydration_parameters,
)
from slabwright.standards.setting import (
    FINAL_PENETRATION_PA,
    INITIAL_PENETRATION_PA,
    INITIAL_SET_HEAT_J_KG,
    PENETRATION,
    SET_DEGREE,
    SET_HEAT,
    SET_RULE,
    set_degrees,
    set_time_h,
)
from slabwright.units import PSI_PA

HISTORY = {"times_h": [0, 4, 8, 12, 18, 24, 36, 48], "temps_c": [20, 26, 31, 28, 22, 17, 14, 12]}


def steady(temp_c, hours):
    return {"times_h": [0, hours], "temps_c": [temp_c, temp_c]}


@pytest.mark.published(TEMPERATURE_TIME)
def test_temperature_time_factor():
    """20 °C for 24 h: 480 °C·h over 0 °C, 720 over -10 °C; the history by interval means 933; nothing counts below the datum."""
    assert pytest.approx(480.0) == maturity_kh(**steady(20, 24))
    assert pytest.approx(720.0) == maturity_kh(**steady(20, 24), datum_c=-10.0)
    assert pytest.approx(933.0) == maturity_kh(**HISTORY)
    assert 0.0 == maturity_kh(**steady(-5, 24))


@pytest.mark.published(TEMPERATURE_TIME)
def test_the_datum_decides_in_the_cold():
    """10 °C against 20 °C: 0.5 over 0 °C, 0.66667 over -10 °C; the exponential form gives 0.547."""
    assert pytest.approx(0.5) == linear_age_factor(temp_c=10.0)
    assert pytest.approx(0.66667, rel=1e-4) == linear_age_factor(temp_c=10.0, datum_c=-10.0)
    assert pytest.approx(0.547, abs=0.001) == age_factor(temp_c=10.0, reference_c=20.0)


@pytest.mark.published(EQUIVALENT_AGE)
@pytest.mark.parametrize(
    ("temp", "q", "reference", "hours", "age"),
    [(10, 5000, 23, 24, 11.055), (30, 5000, 23, 24, 35.442), (23, 5000, 23, 48, 48.0), (35, 5500, 20, 12, 29.91)],
)
def test_equivalent_age_at_a_steady_temperature(temp, q, reference, hours, age):
    """At the reference temperature an hour is an hour."""
    assert pytest.approx(age, rel=0.001) == equivalent_age_h(**steady(temp, hours), activation_temp_k=q, reference_c=reference)


@pytest.mark.published(EQUIVALENT_AGE)
def test_equivalent_age_of_a_history():
    """By interval means: 41.203 h."""
    assert pytest.approx(41.203, rel=0.001) == equivalent_age_h(**HISTORY)


@pytest.mark.published(COLD_ACTIVATION)
def test_the_older_clock_slows_more_in_the_cold():
    """5, 10, 20, 30 °C: 0.29255, 0.49736, 1, 1.5737."""
    for temp, factor in ((5, 0.29255), (10, 0.49736), (20, 1.0), (30, 1.5737)):
        assert pytest.approx(factor, rel=0.005) == cold_age_factor(temp_c=temp)


@pytest.mark.published(PENETRATION, SET_HEAT)
def test_what_set_means():
    """500 and 4000 psi of penetration; 12.5 kJ per kg of cement."""
    assert pytest.approx((500.0, 4000.0)) == (INITIAL_PENETRATION_PA / PSI_PA, FINAL_PENETRATION_PA / PSI_PA)
    assert 12.5e3 == INITIAL_SET_HEAT_J_KG


@pytest.mark.published(SET_RULE)
@pytest.mark.parametrize(("temp_f", "hours"), [(90, 3.0), (60, 8.4853), (50, 12.0), (40, 16.971)])
def test_twenty_degrees_double_the_time_of_setting(temp_f, hours):
    """From 6 h at 70 °F."""
    assert pytest.approx(hours, rel=0.01) == set_time_h(set_at_70f_h=6.0, temp_c=(temp_f - 32) / 1.8)


@pytest.mark.published(SET_DEGREE)
def test_degrees_of_hydration_at_set():
    """w/cm 0.45: 0.0675 and 0.117; 0.50: 0.075 and 0.13."""
    for w_cm, initial, final in ((0.45, 0.0675, 0.117), (0.50, 0.075, 0.13)):
        assert pytest.approx((initial, final)) == (set_degrees(w_cm=w_cm).initial, set_degrees(w_cm=w_cm).final)


@pytest.mark.published(STRENGTH_GAIN)
def test_strength_gain_of_the_older_guide():
    """Type I moist .46 .70 .88 1.0 1.08 at 3 to 56 d as printed (rounded); Type III moist and Type I steam as worked."""
    for days, share in ((1, 0.20619), (3, 0.45802), (7, 0.70352), (14, 0.8805), (28, 1.0072), (56, 1.0853)):
        assert pytest.approx(share, rel=0.01) == strength_at_age_pa(strength_pa=1.0, age_days=days)
    for hardening, shares in (
        (Hardening.TYPE_III_MOIST, (0.31056, 0.59289, 0.80092, 0.99786)),
        (Hardening.TYPE_I_STEAM, (0.51282, 0.77922, 0.91503, 1.0145)),
    ):
        for days, share in zip((1, 3, 7, 28), shares, strict=True):
            assert pytest.approx(share, rel=0.01) == strength_at_age_pa(strength_pa=1.0, age_days=days, hardening=hardening)


@pytest.mark.published(STRENGTH_OVER_TIME)
def test_strength_gain_of_the_eurocode():
    """Class N at 1, 3, 7 days; R is faster, S slower, all 1 at 28."""
    for days, share in ((1, 0.34202), (3, 0.59824), (7, 0.7788)):
        assert pytest.approx(share, rel=0.005) == strength_share(age_days=days)
    rapid, slow = (strength_share(age_days=3.0, cement=cement) for cement in (CementClass.RAPID, CementClass.SLOW))
    assert slow < strength_share(age_days=3.0) < rapid
    assert 1.0 == strength_share(age_days=28.0, cement=CementClass.SLOW)


@pytest.mark.published(MODULUS, RUPTURE)
def test_stiffness_and_flexure_of_the_code():
    """4000 psi: 3,605,000 psi; 474.34 psi."""
    assert pytest.approx(3.605e6, rel=0.001) == concrete_modulus_pa(strength_pa=4000 * PSI_PA) / PSI_PA
    assert pytest.approx(474.34, rel=0.001) == rupture_modulus_pa(strength_pa=4000 * PSI_PA) / PSI_PA


@pytest.mark.published(concrete_tension.TWO_THIRDS, concrete_tension.SPLITTING, concrete_tension.FLEXURAL)
def test_tension_laws():
    """Two thirds: 107.09, 170, 428.37 psi at 500, 1000, 4000; square root 423.75 at 4000 and 150 at 500; pavement 651.57, 628.89."""
    for compressive, tensile in ((500, 107.09), (1000, 170.0), (4000, 428.37)):
        assert pytest.approx(tensile, rel=0.001) == concrete_tension.tensile_strength_pa(strength_pa=compressive * PSI_PA) / PSI_PA
    for compressive, tensile in ((4000, 423.75), (500, 149.8)):
        assert pytest.approx(tensile, rel=0.001) == concrete_tension.splitting_strength_pa(strength_pa=compressive * PSI_PA) / PSI_PA
    strength = 4000 * PSI_PA
    assert pytest.approx(651.57, rel=0.001) == concrete_tension.flexural_strength_pa(strength_pa=strength) / PSI_PA
    assert pytest.approx(628.89, rel=0.001) == concrete_tension.flexural_strength_pa(strength_pa=strength, square_root=False) / PSI_PA


@pytest.mark.published(STIFFNESS, AUTOGENOUS)
def test_eurocode_stiffness_tension_and_autogenous_shrinkage():
    """C25: 2.565 MPa (table 2.6), 31.476 GPa (table 31); 6.7976, 15.409, 24.486 microstrain at 1, 7, 28 days."""
    assert pytest.approx(2.565, rel=0.005) == mean_tensile_mpa(25.0, Working())
    assert pytest.approx(31.476e9, rel=0.005) == mean_modulus_pa(strength_pa=25e6)
    for days, strain in ((1, 6.7976), (7, 15.409), (28, 24.486)):
        assert pytest.approx(strain, rel=0.001) == 1e6 * autogenous_strain(strength_pa=25e6, age_days=days)


@pytest.mark.published(ULTIMATE_DEGREE)
@pytest.mark.parametrize(("w_cm", "ultimate"), [(0.4, 0.69428), (0.45, 0.72042), (0.5, 0.7428), (0.6, 0.77909)])
def test_ultimate_degree_of_hydration(w_cm, ultimate):
    """1.031 w/(0.194 + w)."""
    assert pytest.approx(ultimate, rel=0.001) == hydration_parameters(w_cm=w_cm).ultimate


@pytest.mark.published(CURVE)
def test_hydration_of_a_typical_cement():
    """C3S .57, C2S .16, C3A .09, C4AF .08, SO3 .029, MgO .02, CaO .01, 370 m²/kg: 45,218 J/mol, 15.285 h, 0.65852, 485.1 J/g."""
    found = hydration_parameters(w_cm=0.5)

    assert pytest.approx(45218.0, rel=0.001) == found.activation_j_mol
    assert pytest.approx(15.285, rel=0.001) == found.tau_h
    assert pytest.approx(0.65852, rel=0.001) == found.beta
    assert pytest.approx(485.1e3, rel=0.001) == found.heat_j_kg


def test_additions_work_as_the_regression_says():
    """20 % fly ash with 10 % lime: heat 0.8 x 485.1 + 1800 x 0.1 x 0.2 = 424.1; 30 % slag: 0.7 x 485.1 + 461 x 0.3 = 477.9; by hand."""
    ash, slag, plain = hydration_parameters(w_cm=0.5, fly_ash=0.2), hydration_parameters(w_cm=0.5, slag=0.3), hydration_parameters(w_cm=0.5)

    assert pytest.approx(424.1e3, rel=0.001) == ash.heat_j_kg
    assert pytest.approx(477.9e3, rel=0.001) == slag.heat_j_kg
    assert ash.tau_h > plain.tau_h < slag.tau_h
    assert ash.activation_j_mol < plain.activation_j_mol < slag.activation_j_mol


@pytest.mark.published(CURVE)
def test_degree_of_hydration_over_age():
    """0.72, 13.5 h, 0.85 at 4, 8, 24, 72 h."""
    for age, degree in ((4, 0.043256), (8, 0.15128), (24, 0.38996), (72, 0.5658)):
        assert pytest.approx(degree, rel=0.001) == degree_of_hydration(age_h=age, ultimate=0.72, tau_h=13.5, beta=0.85)


@pytest.mark.published(arithmetic("C H alpha / (rho c)"))
def test_adiabatic_rise():
    """335 kg/m³, 485 J/g, 0.72, 2350, 1000: 49.78 K."""
    assert pytest.approx(49.78, rel=0.001) == adiabatic_rise_k(cement_kg_m3=335, heat_j_kg=485e3, degree=0.72)


@pytest.mark.published(BOGUE)
def test_compounds_from_oxides():
    """63.5 CaO, 20.5 SiO2, 5.0 Al2O3, 3.0 Fe2O3, 2.8 SO3: 56.843, 15.891, 8.174, 9.129 per cent."""
    found = cement_phases(cao=0.635, sio2=0.205, al2o3=0.05, fe2o3=0.03, so3=0.028)

    assert pytest.approx((0.56843, 0.15891, 0.08174, 0.09129), rel=0.001) == (found.c3s, found.c2s, found.c3a, found.c4af)


@pytest.mark.published(CHANGING)
def test_conductivity_and_heat_of_hydrated_cement():
    """2.66, 2.33, 2.0 W/mK at no, half, full hydration; 549 J/kgK at 25 °C."""
    for degree, conductivity in ((0.0, 2.66), (0.5, 2.33), (1.0, 2.0)):
        assert pytest.approx(conductivity, rel=0.01) == conductivity_w_mk(hardened_w_mk=2.0, degree=degree)
    assert pytest.approx(549.0) == hydrated_cement_specific_heat_j_kgk(temp_c=25.0)


@pytest.mark.published(THERMAL)
def test_diffusivities_of_the_printed_table():
    """Concrete 1.5/(2350 x 1000) = 6.383e-7, dry soil 0.3/(1600 x 800) = 2.3437e-7 m²/s: the defaults of the rise are these."""
    assert pytest.approx(6.383e-7, rel=0.001) == 1.5 / (2350.0 * 1000.0)
    assert pytest.approx(2.3437e-7, rel=0.001) == 0.3 / (1600.0 * 800.0)
    defaults = {parameter.name: parameter.default for parameter in register()["adiabatic-rise"].parameters}
    assert (2350.0, 1000.0) == (defaults["density_kg_m3"], defaults["specific_heat_j_kgk"])


@pytest.mark.published(EXPANSION)
def test_thermal_expansion_by_aggregate():
    """Per °F: quartz 6.6, sandstone 6.5, gravel 6.0, granite 5.3, basalt 4.8, limestone 3.8 millionths."""
    printed = {"quartz": 6.6, "sandstone": 6.5, "gravel": 6.0, "granite": 5.3, "basalt": 4.8, "limestone": 3.8}

    assert printed == pytest.approx({name: value / 1.8e-6 for name, value in EXPANSION_1_K.items()})


def test_what_has_no_meaning_is_refused():
    """Histories that do not rise, ages below nought, mixes of nothing."""
    with pytest.raises(OutOfRange, match="must rise"):
        maturity_kh(times_h=[0, 0], temps_c=[1, 2])
    with pytest.raises(OutOfRange, match="two or more"):
        equivalent_age_h(times_h=[0], temps_c=[1])
    with pytest.raises(OutOfRange, match="above nought"):
        set_time_h(set_at_70f_h=0.0, temp_c=20.0)
    with pytest.raises(OutOfRange, match="above nought"):
        set_degrees(w_cm=0.0)
    with pytest.raises(OutOfRange, match="cannot be below"):
        strength_at_age_pa(strength_pa=1.0, age_days=-1.0)
    with pytest.raises(OutOfRange, match="above nought"):
        strength_share(age_days=0.0)
    with pytest.raises(OutOfRange, match="cannot be below"):
        autogenous_strain(strength_pa=25e6, age_days=-1.0)
    with pytest.raises(OutOfRange, match="mass fractions"):
        hydration_parameters(w_cm=0.5, fly_ash=0.6, slag=0.5)
    with pytest.raises(OutOfRange, match="alumina over iron"):
        cement_phases(cao=0.6, sio2=0.2, al2o3=0.01, fe2o3=0.05, so3=0.03)
    with pytest.raises(OutOfRange, match="above nought"):
        adiabatic_rise_k(cement_kg_m3=300, heat_j_kg=4e5, degree=0.5, density_kg_m3=0.0)
    with pytest.raises(OutOfRange, match="below nought"):
        concrete_tension.tensile_strength_pa(strength_pa=-1.0)
