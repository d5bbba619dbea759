"""Published documents: one module per document and edition, with its tables, pure functions and clauses.

A module here declares its :class:`~slabwright.sources.Source`, imports nothing heavy at the top, and enters its
functions in the register with :func:`~slabwright.reckon.published`. ``MODULES`` is the whole list.
"""

from functools import cache
from importlib import import_module

from slabwright.errors import ProgramError
from slabwright.reckon import Entry, entries_of

MODULES: tuple[str, ...] = (
    "aashto_1993",
    "aci_117_10",
    "aci_209r_92",
    "aci_211_1",
    "aci_302_1r",
    "aci_305r",
    "aci_318_19",
    "aci_318_19_acceptance",
    "aci_318_19_anchor_shear",
    "aci_318_19_anchors",
    "aci_318_19_development",
    "aci_318_19_durability",
    "aci_318_19_flexure",
    "aci_318_19_mesh",
    "aci_318_19_plain",
    "aci_318_19_shear",
    "aci_347r",
    "aci_360r",
    "aci_95_m34",
    "asce_7",
    "ashrae_fundamentals",
    "astm_a615",
    "astm_c1074",
    "astm_c138",
    "astm_c94",
    "astm_e1745",
    "bars",
    "bradbury_1938",
    "ciria_108",
    "cold_weather",
    "concrete_tension",
    "curing_rules",
    "dispatch",
    "dowels",
    "earthwork",
    "en_1992_1_1",
    "en_1992_1_1_bars",
    "en_1992_1_1_flexural",
    "en_1992_1_1_mesh",
    "en_1992_1_1_punching",
    "en_1992_1_1_time",
    "en_206",
    "faa_150_5320_6",
    "fhwa_hrt_05_038",
    "form_bracing",
    "ground_heat",
    "heat_of_hydration",
    "hetenyi_1946",
    "hot_weather",
    "hud_structural_guide",
    "ibc",
    "irc",
    "irc_frost",
    "irc_plumbing",
    "iso_3766",
    "joint_transfer",
    "levelling",
    "load_combinations",
    "mensuration",
    "mesh",
    "nfpa_70",
    "order_quantity",
    "osha_1926",
    "pca_floors",
    "placing_practice",
    "ready_mix",
    "rheology",
    "setting",
    "setting_out",
    "settlement",
    "site_acceptance",
    "sky_and_sun",
    "slab_collapse",
    "stakes",
    "statics",
    "subgrade_drag",
    "take_off",
    "take_off_bars",
    "tm_5_818_1",
    "ufc_3_320_06a",
    "vapour_flow",
    "westergaard",
    "wmo_8",
)


@cache
def register() -> dict[str, Entry]:
    """Every entry of every module, by name, in alphabetical order.

    Raises
    ------
    ProgramError
        If two functions share one name.
    """
    found: dict[str, Entry] = {}
    for module in MODULES:
        for entry in entries_of(import_module(f"slabwright.standards.{module}")):
            if entry.name in found:
                raise ProgramError(f"two formulas are called {entry.name}.")
            found[entry.name] = entry
    return dict(sorted(found.items()))


def find(name: str) -> Entry | None:
    """The entry of that name, or None; loads only the module that holds it."""
    from slabwright.standards.catalogue import HOMES

    if name in HOMES:
        for entry in entries_of(import_module(f"slabwright.standards.{HOMES[name]}")):
            if entry.name == name:
                return entry
    return register().get(name)
