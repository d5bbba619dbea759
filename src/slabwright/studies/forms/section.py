"""What a form carries between stakes: a board by published stresses of lumber, a steel form by the section its maker states."""

from dataclasses import dataclass

from slabwright.errors import MissingInput
from slabwright.model.supply import Forms
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source
from slabwright.standards import form_bracing
from slabwright.standards.form_bracing import Board
from slabwright.units import PCF_KG_M3, PSI_PA, STANDARD_GRAVITY_M_S2

NDS_2018 = Source("NDS 2018", "National Design Specification for Wood Construction, supplement, 2018")
LUMBER = Clause(NDS_2018, "Table 4A, spruce-pine-fir No.2, flat use, wet, short duration", Basis.MEMORY)
AISC_ASD = Source("AISC ASD 1989", "Specification for Structural Steel Buildings, allowable stress design, 1989")
STEEL = Clause(AISC_ASD, "F1 and F4: 0.6 of the yield strength in bending, 0.4 in shear", Basis.MEMORY)

BENDING_PA = 875 * 1.25 * 0.85 * 1.15 * PSI_PA
"""Reference 875 psi x 1.25 short duration x 0.85 wet x 1.15 flat use. [Pa]"""
SHEAR_PA = 135 * 1.25 * 0.97 * PSI_PA
"""Reference 135 psi x 1.25 short duration x 0.97 wet. [Pa]"""
MODULUS_PA = 1.4e6 * 0.9 * PSI_PA
"""Reference 1,400,000 psi x 0.9 wet. [Pa]"""
STEEL_MODULUS_PA = 29e6 * PSI_PA
_WOOD_N_M3 = 28 * PCF_KG_M3 * STANDARD_GRAVITY_M_S2
"""Spruce-pine-fir, dry side: the lighter, the more a form must be held down. [N/m³]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """A form between stakes.

    Attributes
    ----------
    name : str
        In trade words.
    found : Board
        Its stresses and its deflection.
    bending_pa, shear_pa : float
        Allowed. [Pa]
    clause : Clause
        Of what is allowed.
    weight_n_m : float
        Counted against lifting; nothing for a steel form, whose weight is not stated. [N/m]
    upright_nm2 : float or None
        Stiffness under a load from above; None where the section for it is not known. [N·m²]
    """

    name: str
    found: Board
    bending_pa: float
    shear_pa: float
    clause: Clause
    weight_n_m: float
    upright_nm2: float | None


def rail(forms: Forms, thrust_n_m: float, spacing_m: float, height_m: float, work: Working) -> Rail:
    """The form of the job under a thrust.

    Raises
    ------
    MissingInput
        If a steel form's section is not stated.
    """
    if forms.material == "steel":
        return _steel(forms, thrust_n_m, spacing_m, work)
    thickness = forms.board_thickness_m
    board = form_bracing.form_board(
        thrust_n_m=thrust_n_m, stake_spacing_m=spacing_m, board_height_m=height_m, board_thickness_m=thickness,
        elastic_modulus_pa=MODULUS_PA, working=work,
    )  # fmt: skip
    return Rail(
        name="Board", found=board, bending_pa=BENDING_PA, shear_pa=SHEAR_PA, clause=LUMBER,
        weight_n_m=_WOOD_N_M3 * height_m * thickness, upright_nm2=MODULUS_PA * thickness * height_m**3 / 12,
    )  # fmt: skip


def _steel(forms: Forms, thrust_n_m: float, spacing_m: float, work: Working) -> Rail:
    stated = (forms.section_modulus_m3, forms.second_moment_m4, forms.shear_area_m2, forms.yield_pa)
    modulus, inertia, area, strength = stated
    if modulus is None or inertia is None or area is None or strength is None:
        raise MissingInput(
            "the steel form's section: write forms.section_modulus, forms.second_moment, forms.shear_area and forms.yield_strength "
            "from its maker's sheet."
        )
    found = form_bracing.form_section(
        thrust_n_m=thrust_n_m, stake_spacing_m=spacing_m, section_modulus_m3=modulus, second_moment_m4=inertia, shear_area_m2=area,
        elastic_modulus_pa=STEEL_MODULUS_PA, working=work,
    )  # fmt: skip
    return Rail(
        name="Steel form", found=found, bending_pa=0.6 * strength, shear_pa=0.4 * strength, clause=STEEL, weight_n_m=0.0, upright_nm2=None
    )
