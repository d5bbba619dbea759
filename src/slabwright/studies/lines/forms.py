"""Form tops shot twice: what settled, where to raise, and what it does to edge and floor."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely import Polygon

from slabwright.model.survey import FormLevel
from slabwright.solvers.plane_fit import plane_of_heights


@dataclass(frozen=True, slots=True, kw_only=True)
class FormStation:
    """One station of the form.

    Attributes
    ----------
    name : str
    at : (x, y)
        [m]
    settled_m : float
        Downward since the first shot; negative where it rose. [m]
    raise_m : float
        To bring the top back to the finished floor level; negative to lower it. [m]
    thickness_m, edge_depth_m : float
        Of floor and edge beside it, if placed to the form as it stands. [m]
    """

    name: str
    at: tuple[float, float]
    settled_m: float
    raise_m: float
    thickness_m: float
    edge_depth_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FormCheck:
    """The forms as they stand.

    Attributes
    ----------
    stations : tuple of FormStation
    mean_off_m : float
        Mean of the form tops against the finished floor level, up positive. [m]
    tilt_m : float
        Of the best plane through the tops across the floor. [m]
    volume_m3 : float
        Concrete more (positive) or less than with the forms at level. [m³]
    """

    stations: tuple[FormStation, ...]
    mean_off_m: float
    tilt_m: float
    volume_m3: float

    @property
    def worst(self) -> FormStation:
        """The station that moved most."""
        return max(self.stations, key=lambda one: abs(one.settled_m))


def form_check(
    levels: Sequence[FormLevel], outline: Sequence[tuple[float, float]], floor_thickness_m: float, edge_depth_m: float
) -> FormCheck:
    """What the form tops say.

    Parameters
    ----------
    levels : sequence of FormLevel
    outline : sequence of (x, y)
        [m]
    floor_thickness_m, edge_depth_m : float
        As drawn. [m]
    """
    stations = tuple(
        FormStation(
            name=one.name,
            at=one.at,
            settled_m=one.before_m - one.after_m,
            raise_m=-one.after_m,
            thickness_m=floor_thickness_m + one.after_m,
            edge_depth_m=edge_depth_m + one.after_m,
        )
        for one in levels
    )
    floor = Polygon(outline)
    plane = plane_of_heights(np.array([one.at for one in levels]), np.array([one.after_m for one in levels]))
    corners = plane.at(np.asarray(floor.exterior.coords))
    centroid = np.array([[floor.centroid.x, floor.centroid.y]])
    return FormCheck(
        stations=stations,
        mean_off_m=float(np.mean([one.after_m for one in levels])),
        tilt_m=float(np.ptp(corners)),
        volume_m3=float(plane.at(centroid)[0]) * floor.area,
    )
