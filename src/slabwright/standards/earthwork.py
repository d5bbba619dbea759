"""Volumes of dug, filled and missing earth: end areas, the prismoid, a grid of depths, swell and shrinkage."""

import math
from collections.abc import Sequence

from slabwright.errors import OutOfRange
from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic

VOSE = Source("Vose 1857", "Vose: Handbook of Railroad Construction, 1857, earthwork")
SURVEYING_EXAMS = Source("surveying examinations", "Borrow-pit rule as set in surveying examinations")
BULKING = Source("bulking tables", "Tables of bulking, swell and shrinkage of soils, with worked examples")
END_AREAS = Clause(VOSE, "sec. 108, mean end areas", Basis.TEXT_SEEN)
PRISMOID = Clause(VOSE, "sec. 108, prismoidal formula", Basis.QUOTED)
BORROW_PIT = Clause(SURVEYING_EXAMS, "depth at a node counts once for each cell it touches", Basis.QUOTED)
SWELL = Clause(BULKING, "loose = bank × (1 + swell)", Basis.TEXT_SEEN)
SHRINKAGE = Clause(BULKING, "bank = compacted / remaining fraction", Basis.QUOTED)
RAISED_PAD = arithmetic("prismoid with level top and equal side slopes")
LAYER = arithmetic("area times mean depth")


@published("end-area-volume", END_AREAS, validity="A little too great where the areas change fast; compare prismoid-volume.")
def end_area_volume_m3(*, areas_m2: Sequence[float], spacing_m: float) -> float:
    """Volume between equally spaced cross sections, each pair taken at its mean.

    Parameters
    ----------
    areas_m2 : sequence of float
        Two or more. [m²]
    spacing_m : float
        [m]

    Returns
    -------
    float
        [m³]
    """
    if len(areas_m2) < 2 or min(areas_m2) < 0 or not spacing_m > 0:
        raise OutOfRange("give two areas or more, none below nought, and a spacing above nought.")
    return spacing_m * (math.fsum(areas_m2) - (areas_m2[0] + areas_m2[-1]) / 2)


@published(
    "prismoid-volume", PRISMOID, validity="Exact where the section changes with the square of the distance, as in cuts, fills and frusta."
)
def prismoid_volume_m3(*, length_m: float, end_1_m2: float, middle_m2: float, end_2_m2: float, working: Working | None = None) -> float:
    """Volume of a prismoid from its two ends and its middle.

    Parameters
    ----------
    length_m : float
        [m]
    end_1_m2, middle_m2, end_2_m2 : float
        The middle from the mean dimensions, not from the mean of the areas. [m²]

    Returns
    -------
    float
        [m³]
    """
    if min(length_m, end_1_m2, middle_m2, end_2_m2) < 0:
        raise OutOfRange("length and areas must not be below nought.")
    return (working or Working()).line(
        "V = L/6*(A_1 + 4*A_m + A_2)", "m³",
        L=(length_m, "m"), A_1=(end_1_m2, "m²"), A_m=(middle_m2, "m²"), A_2=(end_2_m2, "m²"),
    )  # fmt: skip


@published("grid-volume", BORROW_PIT, validity="Whole rectangle of equal cells; depths below the wanted level are positive.")
def grid_volume_m3(*, depths_m: Sequence[float], n_columns: int, cell_x_m: float, cell_y_m: float) -> float:
    """Volume from depths at the nodes of a grid.

    Parameters
    ----------
    depths_m : sequence of float
        Row after row. [m]
    n_columns : int
        Nodes in a row.
    cell_x_m, cell_y_m : float
        Sides of a cell. [m]

    Returns
    -------
    float
        [m³]

    Notes
    -----
    ``V = A/4 (Σh1 + 2 Σh2 + 3 Σh3 + 4 Σh4)``: a node counts once for each cell it touches.
    """
    n_rows, rest = divmod(len(depths_m), n_columns) if n_columns > 0 else (0, 1)
    if rest or n_rows < 2 or n_columns < 2:
        raise OutOfRange(f"{len(depths_m)} depths do not make whole rows of {n_columns}, two rows and two columns at least.")
    weighted = math.fsum(
        depth * (1 if row in (0, n_rows - 1) else 2) * (1 if column in (0, n_columns - 1) else 2)
        for row in range(n_rows)
        for column, depth in enumerate(depths_m[row * n_columns : (row + 1) * n_columns])
    )
    return cell_x_m * cell_y_m / 4 * weighted


@published("loose-volume", SWELL, validity="Swell is a property of the soil at hand; measure it or ask the supplier.")
def loose_volume_m3(*, bank_m3: float, swell: float, working: Working | None = None) -> float:
    """Volume of dug soil on the truck.

    Parameters
    ----------
    bank_m3 : float
        In the ground. [m³]
    swell : float
        Fraction gained. [-]

    Returns
    -------
    float
        [m³]
    """
    if bank_m3 < 0 or swell < 0:
        raise OutOfRange("volume and swell must not be below nought.")
    return (working or Working()).line("V_l = V_b*(1 + s)", "m³", V_b=(bank_m3, "m³"), s=swell)


@published("bank-volume", SHRINKAGE, validity="The fraction is a property of the soil and its compaction; set it per job.")
def bank_volume_m3(*, compacted_m3: float, remaining: float, working: Working | None = None) -> float:
    """Soil to take from the bank for a compacted fill.

    Parameters
    ----------
    compacted_m3 : float
        [m³]
    remaining : float
        Compacted over bank volume, 0 to 1. [-]

    Returns
    -------
    float
        [m³]
    """
    if compacted_m3 < 0 or not 0 < remaining <= 1.5:
        raise OutOfRange("the volume must not be below nought and the remaining fraction above nought.")
    return (working or Working()).line("V_b = V_c/f", "m³", V_c=(compacted_m3, "m³"), f=remaining)


@published("raised-pad-volume", RAISED_PAD, validity="Level ground, level top, one side slope.")
def raised_pad_volume_m3(*, length_m: float, width_m: float, height_m: float, side_slope: float, working: Working | None = None) -> float:
    """Fill of a raised pad with sloped sides.

    Parameters
    ----------
    length_m, width_m : float
        Of the top. [m]
    height_m : float
        [m]
    side_slope : float
        Horizontal per unit of height. [-]

    Returns
    -------
    float
        [m³]
    """
    if min(length_m, width_m, height_m, side_slope) < 0:
        raise OutOfRange("sizes and slope must not be below nought.")
    return (working or Working()).line(
        "V = h*(L*W + s*h*(L + W) + 4/3*s**2*h**2)", "m³", h=(height_m, "m"), L=(length_m, "m"), W=(width_m, "m"), s=side_slope
    )


@published("layer-volume", LAYER, validity="Also what a base that lies too low on the average costs in concrete.")
def layer_volume_m3(*, area_m2: float, depth_m: float, working: Working | None = None) -> float:
    """Volume of a layer, or of the concrete a low base takes.

    Parameters
    ----------
    area_m2 : float
        [m²]
    depth_m : float
        Mean. [m]

    Returns
    -------
    float
        [m³]
    """
    return (working or Working()).line("V = A*d", "m³", A=(area_m2, "m²"), d=(depth_m, "m"))
