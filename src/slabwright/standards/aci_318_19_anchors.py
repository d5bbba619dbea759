"""ACI 318-19, chapter 17: cast-in anchors in tension, and tension with shear."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.aci_318_19 import ACI_318_19, strength_psi
from slabwright.units import INCH_M, POUND_FORCE_N, PSI_PA

STEEL_TENSION = Clause(ACI_318_19, "17.6.1, 17.5.3", Basis.MEMORY)
BREAKOUT = Clause(ACI_318_19, "17.6.2", Basis.QUOTED)
DEEP_BREAKOUT = Clause(ACI_318_19, "17.6.2.2.3", Basis.TEXT_SEEN)
PULLOUT = Clause(ACI_318_19, "17.6.3", Basis.MEMORY)
SIDE_BLOWOUT = Clause(ACI_318_19, "17.6.4", Basis.MEMORY)
INTERACTION = Clause(ACI_318_19, "17.8", Basis.MEMORY)
EDGE_DISTANCE = Clause(ACI_318_19, "17.9.2", Basis.MEMORY)

PHI_STEEL_TENSION = 0.75
PHI_CONCRETE = 0.70
"""Ductile steel; concrete modes of cast-in anchors without supplementary reinforcement (17.5.3)."""

# Inch rods with coarse thread: tensile stress area in²; net bearing area of a hex head in², from memory
_ROD_IN: Mapping[float, tuple[float, float]] = MappingProxyType(
    {
        0.375: (0.078, 0.164), 0.5: (0.142, 0.291), 0.625: (0.226, 0.454), 0.75: (0.334, 0.654), 0.875: (0.462, 0.891),
        1.0: (0.606, 1.163),
    }
)  # fmt: skip
# Metric rods: tensile stress area mm²; net bearing area of a hex nut mm² (width across flats, circle, less the rod)
_ROD_MM: Mapping[float, tuple[float, float]] = MappingProxyType(
    {10.0: (58.0, 122.5), 12.0: (84.3, 141.4), 16.0: (157.0, 251.3), 20.0: (245.0, 392.7), 24.0: (353.0, 565.5)}
)


class AnchorKind(Enum):
    """Generic kinds of cast-in anchor."""

    HEADED = "headed"
    HOOKED = "hooked"


@dataclass(frozen=True, slots=True)
class Rod:
    """Areas of a threaded rod: in tension, and of its head on the concrete. [m²]"""

    tension_area_m2: float
    head_area_m2: float


@published("anchor-rod", Clause(ACI_318_19, "17.6.1.2, commentary; inch and metric thread tables", Basis.MEMORY))
def rod(*, diameter_m: float) -> Rod:
    """Tensile stress area and head bearing area of a threaded rod with a plain hex head.

    Parameters
    ----------
    diameter_m : float
        3/8 to 1 in., or 10 to 24 mm. [m]

    Returns
    -------
    Rod
        [m²]

    Raises
    ------
    OutOfRange
        For a diameter that is not in the tables.
    """
    for size, (tension, head) in _ROD_IN.items():
        if abs(diameter_m - size * INCH_M) < 1e-4:
            return Rod(tension * INCH_M**2, head * INCH_M**2)
    for size, (tension, head) in _ROD_MM.items():
        if abs(diameter_m - size / 1000) < 1e-4:
            return Rod(tension / 1e6, head / 1e6)
    raise OutOfRange("no anchor rod of that diameter is tabulated; write 1/2, 5/8, 3/4, 7/8 or 1 in., or 12, 16, 20 or 24 mm.")


@published("anchor-steel", STEEL_TENSION, validity="Ductile steel.")
def steel_tension_n(*, area_m2: float, steel_strength_pa: float, anchors: int = 1, working: Working | None = None) -> float:
    """Design strength of anchor rods in tension.

    Parameters
    ----------
    area_m2 : float
        Tensile stress area of one. [m²]
    steel_strength_pa : float
        Specified tensile strength. [Pa]
    anchors : int
        In the group.

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    capacity = working.line(
        "phi_Nsa = phi*n*A_se*f_uta", "lb",
        phi=PHI_STEEL_TENSION, n=anchors, A_se=(area_m2 / INCH_M**2, "in²"), f_uta=(steel_strength_pa / PSI_PA, "psi"),
    )  # fmt: skip
    return capacity * POUND_FORCE_N


@dataclass(frozen=True, slots=True)
class Breakout:
    """Concrete breakout in tension.

    Attributes
    ----------
    basic_n : float
        Of one anchor far from edges. [N]
    area_m2, single_area_m2 : float
        Projected areas of the group and of one anchor far from edges. [m²]
    edge_factor, eccentricity_factor : float
        [-]
    strength_n, capacity_n : float
        Nominal and design. [N]
    """

    basic_n: float
    area_m2: float
    single_area_m2: float
    edge_factor: float
    eccentricity_factor: float
    strength_n: float
    capacity_n: float


@published(
    "anchor-breakout",
    BREAKOUT,
    validity="Cast-in, cracked concrete, no supplementary reinforcement; seismic reduction not included.",
    limits={"embedment_m": (0.0, 25 * INCH_M)},
)
def breakout(
    *,
    strength_pa: float,
    embedment_m: float,
    edge_west_m: float = 1e3,
    edge_east_m: float = 1e3,
    edge_south_m: float = 1e3,
    edge_north_m: float = 1e3,
    spread_x_m: float = 0.0,
    spread_y_m: float = 0.0,
    eccentricity_m: float = 0.0,
    deep_formula: bool = False,
    working: Working | None = None,
) -> Breakout:
    """Concrete breakout of a cast-in anchor or group in tension.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    embedment_m : float
        Effective. [m]
    edge_west_m, edge_east_m, edge_south_m, edge_north_m : float
        From the outermost anchors to the edges. [m]
    spread_x_m, spread_y_m : float
        From the first to the last anchor along x and y; 0 for one. [m]
    eccentricity_m : float
        Of the tension from the middle of the anchors in tension. [m]
    deep_formula : bool
        True takes the exponent 5/3, permitted for headed anchors from 11 to 25 in.

    Returns
    -------
    Breakout
        [N], [m²]

    Notes
    -----
    Where three or four edges are nearer than 1.5 times the embedment, the embedment that counts is the larger of the
    farthest of them over 1.5 and a third of the spread (17.6.2.1.2).
    """
    working = working or Working()
    edges = [edge / INCH_M for edge in (edge_west_m, edge_east_m, edge_south_m, edge_north_m)]
    h = _effective_embedment_in(embedment_m / INCH_M, edges, max(spread_x_m, spread_y_m) / INCH_M, working)
    west, east, south, north = (min(edge, 1.5 * h) for edge in edges)
    f_c = (strength_psi(strength_pa), "psi")
    if deep_formula:
        basic = working.line("N_b = 16*lam*sqrt(f_c)*h_ef**(5/3)", "lb", lam=1.0, f_c=f_c, h_ef=(h, "in"))
    else:
        basic = working.line("N_b = 24*lam*sqrt(f_c)*h_ef**1.5", "lb", lam=1.0, f_c=f_c, h_ef=(h, "in"))
    single = working.line("A_Nco = 9*h_ef**2", "in²", h_ef=(h, "in"))
    area = working.line(
        "A_Nc = (c_w + s_x + c_e)*(c_s + s_y + c_n)", "in²",
        c_w=(west, "in"), s_x=(spread_x_m / INCH_M, "in"), c_e=(east, "in"), c_s=(south, "in"), s_y=(spread_y_m / INCH_M, "in"),
        c_n=(north, "in"), note="edges beyond 1.5 h_ef count as 1.5 h_ef",
    )  # fmt: skip
    edge = working.line("psi_ed = min(1, 0.7 + 0.3*c_a/(1.5*h_ef))", c_a=(min(edges), "in"), h_ef=(h, "in"))
    eccentricity = working.line("psi_ec = min(1, 1/(1 + e/(1.5*h_ef)))", e=(eccentricity_m / INCH_M, "in"), h_ef=(h, "in"))
    nominal = working.line(
        "N_cb = A_Nc/A_Nco*psi_ec*psi_ed*psi_c*N_b", "lb",
        A_Nc=(area, "in²"), A_Nco=(single, "in²"), psi_ec=eccentricity, psi_ed=edge, psi_c=1.0, N_b=(basic, "lb"),
    )  # fmt: skip
    capacity = working.line("phi_Ncb = phi*N_cb", "lb", phi=PHI_CONCRETE, N_cb=(nominal, "lb"))
    pound = POUND_FORCE_N
    return Breakout(basic * pound, area * INCH_M**2, single * INCH_M**2, edge, eccentricity, nominal * pound, capacity * pound)


def _effective_embedment_in(h: float, edges: list[float], spread: float, working: Working) -> float:
    near = [edge for edge in edges if edge < 1.5 * h]
    if len(near) < 3:
        return h
    return working.line(
        "h_ef = max(c_max/1.5, s/3)", "in", c_max=(max(near), "in"), s=(spread, "in"), note="three or four edges near (17.6.2.1.2)"
    )


@published("anchor-pullout", PULLOUT, validity="Cast-in, cracked concrete; hooks of 3 to 4.5 diameters.")
def pullout_n(
    *,
    strength_pa: float,
    kind: AnchorKind,
    diameter_m: float,
    head_area_m2: float = 0.0,
    hook_m: float | None = None,
    anchors: int = 1,
    working: Working | None = None,
) -> float:
    """Design strength of cast-in anchors in pull-out.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    kind : AnchorKind
    diameter_m : float
        Of the rod. [m]
    head_area_m2 : float
        Net bearing area of one head; of a plain hex head where 0. [m²]
    hook_m : float or None
        From the inside of a hooked rod's shaft to its tip; 3 diameters where not given. [m]
    anchors : int
        In the group.

    Returns
    -------
    float
        [N]

    Raises
    ------
    OutOfRange
        For a hook outside 3 to 4.5 diameters.
    """
    working = working or Working()
    f_c = (strength_psi(strength_pa), "psi")
    if kind is AnchorKind.HEADED:
        head = head_area_m2 or rod(diameter_m=diameter_m).head_area_m2
        capacity = working.line("phi_Np = phi*n*8*A_brg*f_c", "lb", phi=PHI_CONCRETE, n=anchors, A_brg=(head / INCH_M**2, "in²"), f_c=f_c)
        return capacity * POUND_FORCE_N
    hook = hook_m if hook_m is not None else 3 * diameter_m
    if not 3 * diameter_m - 1e-9 <= hook <= 4.5 * diameter_m + 1e-9:
        raise OutOfRange("the hook of a bent anchor must reach 3 to 4.5 diameters.")
    capacity = working.line(
        "phi_Np = phi*n*0.9*f_c*e_h*d_a", "lb",
        phi=PHI_CONCRETE, n=anchors, f_c=f_c, e_h=(hook / INCH_M, "in"), d_a=(diameter_m / INCH_M, "in"),
    )  # fmt: skip
    return capacity * POUND_FORCE_N


@published(
    "anchor-side-blowout", SIDE_BLOWOUT, validity="Headed anchors deeper than 2.5 times the edge distance; otherwise it does not govern."
)
def side_blowout_n(
    *,
    strength_pa: float,
    embedment_m: float,
    edge_m: float,
    head_area_m2: float,
    crossing_edge_m: float = 1e3,
    spread_along_edge_m: float = 0.0,
    anchors_along_edge: int = 1,
    working: Working | None = None,
) -> float | None:
    """Design strength of headed anchors near an edge against side-face blow-out.

    Parameters
    ----------
    strength_pa : float
        Specified compressive strength. [Pa]
    embedment_m, edge_m : float
        Effective embedment; distance to the near edge. [m]
    head_area_m2 : float
        Net bearing area of one head. [m²]
    crossing_edge_m : float
        Distance to an edge square to it. [m]
    spread_along_edge_m : float
        From the first to the last anchor along the edge. [m]
    anchors_along_edge : int

    Returns
    -------
    float or None
        [N]; None where the anchors are shallow enough for it not to govern.
    """
    if embedment_m <= 2.5 * edge_m * (1 + 1e-9):
        return None
    working = working or Working()
    edge, crossing, spread = edge_m / INCH_M, crossing_edge_m / INCH_M, spread_along_edge_m / INCH_M
    single = working.line(
        "N_sb = 160*c_a1*sqrt(A_brg)*lam*sqrt(f_c)", "lb",
        c_a1=(edge, "in"), A_brg=(head_area_m2 / INCH_M**2, "in²"), lam=1.0, f_c=(strength_psi(strength_pa), "psi"),
    )  # fmt: skip
    if crossing < 3 * edge:
        single = working.line(
            "N_sb = N_sb*(1 + max(1, c_a2/c_a1))/4",
            "lb",
            N_sb=(single, "lb"),
            c_a2=(crossing, "in"),
            c_a1=(edge, "in"),
            note="near a corner",
        )
    if anchors_along_edge > 1 and spread < 6 * edge * (anchors_along_edge - 1):
        nominal = working.line("N_sbg = (1 + s/(6*c_a1))*N_sb", "lb", s=(spread, "in"), c_a1=(edge, "in"), N_sb=(single, "lb"))
    else:
        nominal = working.line("N_sbg = n*N_sb", "lb", n=anchors_along_edge, N_sb=(single, "lb"))
    return working.line("phi_Nsbg = phi*N_sbg", "lb", phi=PHI_CONCRETE, N_sbg=(nominal, "lb")) * POUND_FORCE_N


@published("anchor-interaction", INTERACTION)
def interaction(*, tension_ratio: float, shear_ratio: float, working: Working | None = None) -> float:
    """Share of the permitted combination of tension and shear that is used; 1 or less holds.

    Parameters
    ----------
    tension_ratio, shear_ratio : float
        Demand over design strength of the weakest mode. [-]

    Returns
    -------
    float
        [-]
    """
    working = working or Working()
    if min(tension_ratio, shear_ratio) <= 0.2:
        return working.line("r = max(n, v)", n=tension_ratio, v=shear_ratio, note="one of the two is 0.2 or less: no interaction")
    return working.line("r = max(n, v, (n + v)/1.2)", n=tension_ratio, v=shear_ratio)
