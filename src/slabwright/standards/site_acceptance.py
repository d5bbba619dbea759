"""Acceptance numbers that are read on site with a tape, a boot or a card; each with who published it, where anybody did."""

from slabwright.reckon import published
from slabwright.sources import Basis, Clause, Source, practice
from slabwright.standards.aci_302_1r import ACI_302_1R
from slabwright.standards.aci_318_19 import ACI_318_19
from slabwright.units import FOOT_M, INCH_M

ACI_330 = Source("ACI 330", "Guide for the Design and Construction of Concrete Parking Lots, proof rolling")
UNIFIED_SPEC = Source("unified facilities guide specification", "US unified facilities guide specification, concrete tolerances")
STEEL_FRAME_CODE = Source("AISC 303", "Code of Standard Practice for Steel Buildings and Bridges, anchor rods")
MONOLITHIC_SHEET = Source("municipal slab hand-out", "A city's hand-out on monolithic slabs of accessory buildings")
WARRANTY = Source("warranty standard", "Construction warranty standards of a remodelling trade body and of a state")
FINISHING_PRESS = Source("trade press, finishing", "Trade-magazine answers on bleeding, finishing, settlement cracks and sawing")
NRMCA_TESTING = Source("NRMCA testing", "National Ready Mixed Concrete Association, answers on testing")
ASTM_E1643_11 = Source("ASTM E1643-11", "Installation of water vapor retarders, sections 7 and 8")
HANDOUT_PIPES = Source("municipal pre-slab checklist", "A city's checklist before a slab is covered")
RADON = Source("IRC radon appendix", "International Residential Code, radon appendix: gas-permeable layer, sheet, vent")

PROOF_ROLL = Clause(ACI_330, "loaded tandem truck, no rut deeper than 1/2 in.", Basis.QUOTED)
PROOF_ROLL_RUT_M = 0.5 * INCH_M
SAW_POSITION = Clause(UNIFIED_SPEC, "saw cuts and embedments in the slab within 3/4 in.", Basis.TEXT_SEEN)
SAW_POSITION_M = 0.75 * INCH_M
OPENING_POSITION = Clause(UNIFIED_SPEC, "centre of an opening within 1/2 in.", Basis.TEXT_SEEN)
OPENING_POSITION_M = 0.5 * INCH_M
ROD_GROUP = Clause(STEEL_FRAME_CODE, "anchor rods: 1/8 in. within a group, 1/4 in. between groups", Basis.QUOTED)
ROD_GROUP_M, ROD_GROUPS_M = INCH_M / 8, INCH_M / 4
FOOTING_VIEW = Clause(MONOLITHIC_SHEET, "no mud, water, roots or loose soil; 12 in. wide and 12 in. below grade", Basis.QUOTED)
NO_PIPE_IN_FOOTING = Clause(HANDOUT_PIPES, "no pipe in interior footings unless engineered; pipes wrapped", Basis.QUOTED)
NO_STAKES = Clause(ASTM_E1643_11, "no stakes through the sheet; every damage marked and patched before placing", Basis.QUOTED)
READINESS = Clause(FINISHING_PRESS, "a boot leaves 1/8 to 1/4 in. and no sheen is seen", Basis.QUOTED)
BOOT_LOW_M, BOOT_HIGH_M = INCH_M / 8, INCH_M / 4
REVIBRATE = Clause(FINISHING_PRESS, "settlement cracks where the depth changes; revibrate 1 to 1 1/2 h after placing", Basis.QUOTED)
REVIBRATE_FROM_H, REVIBRATE_TO_H = 1.0, 1.5
TROWEL_AIR = Clause(ACI_302_1R, "no hard trowel on concrete with more than 3 % air", Basis.QUOTED)
TROWEL_AIR_MOST = 0.03
SAMPLE_TIME = Clause(NRMCA_TESTING, "from the middle of the load, portions within 15 minutes", Basis.QUOTED)
SAMPLE_TIME_H = 0.25
CRACKS = Clause(WARRANTY, "repair cracks wider than 3/16 in. or stepped more than 1/8 in.", Basis.QUOTED)
CRACK_WIDTH_M, CRACK_STEP_M = 3 * INCH_M / 16, INCH_M / 8
ADHESIVE_ANCHORS = Clause(ACI_318_19, "chapter 17: adhesive anchors in concrete at least 21 days old", Basis.MEMORY)
ADHESIVE_ANCHORS_H = 21 * 24.0
EMBEDDED_PIPE = Clause(ACI_318_19, "conduits in a slab at most a third of it thick, as in 318-11, 6.3.5.1", Basis.MEMORY)
EMBEDDED_PIPE_SHARE = 1 / 3
RADON_LAYER = Clause(RADON, "4 in. of clean gravel, sheet lapped 12 in. to the outer edge of the slab, vent pipe", Basis.QUOTED)
RADON_LAYER_M = 4 * INCH_M
FORM_TOPS = practice("form tops within 1/8 in. of the floor level, straight within 1/8 in. in 10 ft")
FORM_TOPS_M = INCH_M / 8
FORM_SHOTS_M = 10 * FOOT_M
"""Farthest apart that form tops are shot; common practice, no source. [m]"""
DEPTH_PROBE_M2 = 100 * FOOT_M**2
"""Floor for which one depth is probed while placing; common practice, no source. [m²]"""
DEPTH_PROBE = practice("one depth probe to 100 ft²")
LIGHT_WIRE_M, CITY_WIRE_M = 1 * FOOT_M, 3 * FOOT_M
LIGHT_WIRE = Clause(Source("ACI 301-16", "Specifications for Structural Concrete"), "supports 12 in. apart for wire under W4", Basis.QUOTED)
CITY_WIRE = Clause(Source("a state building code", "1909.3, exception 2"), "mesh in the upper third, supports 3 ft apart", Basis.QUOTED)
STUB_TIES = practice("two ties to wall lines or sides of the slab, within 1/2 in.")


@published("trowel-air", TROWEL_AIR)
def may_be_troweled(*, air: float) -> bool:
    """Whether a steel trowel may go on concrete with this air.

    Parameters
    ----------
    air : float
        Total, a fraction. [-]

    Returns
    -------
    bool
        False over 3 %.
    """
    return air <= TROWEL_AIR_MOST + 1e-9
