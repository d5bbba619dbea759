"""Tables of the job file about place, ground and shape."""

from collections.abc import Iterator, Mapping
from typing import Annotated

from slabwright.files.jobfile.assembled import assembled
from slabwright.files.jobfile.positions import Path
from slabwright.files.jobfile.shapes import Area, Areas, Fall, Grid, Point, Points, Ring, Size, Slope
from slabwright.files.jobfile.trade import JobTable, Trade, about, needed, one_of
from slabwright.files.jobfile.values import Choice, Flag, Listed, Number, PerCent, Quantity, Sign, Text, TimeZone, Whole
from slabwright.model import concrete, ground, job, loads
from slabwright.sources import practice
from slabwright.standards.ibc import NO_VALUE_CLASSES, SOIL_CLASSES
from slabwright.units import ANGLE, DENSITY, FORCE, LENGTH, PRESSURE, SUBGRADE_MODULUS, Family

_PSF = ("100 psf", "5 kPa")
_EDITIONS = practice("the editions in common use; the local building department says which are adopted")


class JobHead(JobTable):
    """What the job is called, and the editions it is checked against."""

    name: Annotated[str | None, Text("Seed and tool store", most=120)] = about(
        "Name printed on every sheet; the file's own name if silent."
    )
    units: Annotated[Family | None, Choice(Family)] = about("Family of units shown; the one of floor.thickness if silent.")
    loads: Annotated[
        job.LoadStandard | None,
        Choice(job.LoadStandard),
        Trade("ASCE 7-22", "EN 1990", "Loads are combined by {}.", _EDITIONS),
    ] = about("Edition that load combinations follow.")
    concrete: Annotated[
        job.ConcreteStandard | None,
        Choice(job.ConcreteStandard),
        Trade("ACI 318-19", "EN 1992-1-1", "Concrete is checked by {}.", _EDITIONS),
    ] = about("Edition that concrete is checked by.")
    minimums: Annotated[
        job.MinimumRules | None,
        Choice(job.MinimumRules),
        Trade("IRC/IBC", "European practice", "Least dimensions are those of {}.", _EDITIONS),
    ] = about("Rules whose least dimensions are shown.")


class PlaceTable(JobTable):
    """Where the job is."""

    latitude: Annotated[float | None, Quantity(ANGLE, "44.9 deg", "-36.8 deg", Sign.ANY, most="90 deg")] = about("North of the equator.")
    longitude: Annotated[float | None, Quantity(ANGLE, "-93.2 deg", "174.7 deg", Sign.ANY, most="180 deg")] = about("East of Greenwich.")
    elevation: Annotated[
        float | None,
        Quantity(LENGTH, "850 ft", "260 m", Sign.ANY, most="9 km"),
        Trade("0 ft", "0 m", "The site lies at sea level ({}).", practice("air pressure hardly matters below 1,000 ft")),
    ] = about("Above the sea.")
    time_zone: Annotated[str | None, TimeZone("America/Denver")] = about("Name in the time zone database.")
    frost_depth: Annotated[float | None, Quantity(LENGTH, "24 in", "450 mm", Sign.NOT_NEGATIVE, usual=("0 in", "10 ft"))] = about(
        "Depth that frost reaches, from the local building department."
    )
    groundwater_depth: Annotated[float | None, Quantity(LENGTH, "6 ft", "2 m", Sign.NOT_NEGATIVE)] = about(
        "Groundwater below outside grade in the wet season."
    )
    ground_snow: Annotated[float | None, Quantity(PRESSURE, "30 psf", "1.5 kPa", Sign.NOT_NEGATIVE, usual=("0 psf", "400 psf"))] = about(
        "Snow load on the ground."
    )
    street_side: Annotated[str | None, Text("south", among=("south", "east", "north", "west"))] = about(
        "Side of the plan that faces the street; south if silent."
    )
    address: Annotated[str | None, Text("Field lane 3, by the water tower", most=160)] = about("Where trucks go, for the dispatcher.")
    washout: Annotated[str | None, Text("lined pit at the north-west corner", most=160)] = about("Where trucks and chutes are washed out.")

    def built(self) -> ground.Place:
        return assembled(ground.Place, self, latitude_deg=_degrees(self.latitude), longitude_deg=_degrees(self.longitude))


def _degrees(angle_rad: float | None) -> float | None:
    return None if angle_rad is None else round(angle_rad * 57.29577951308232, 9)


class BuildingTable(JobTable):
    """What the floor is for; a flag left out means no."""

    enclosure: Annotated[
        job.Enclosure | None,
        Choice(job.Enclosure),
        Trade(
            "enclosed",
            "enclosed",
            "The building is {} and not heated.",
            practice("the middle case between an open roof and a heated house"),
        ),
    ] = about("Open roof, enclosed without heat, or heated.")
    stories: Annotated[
        int | None, Whole(1, least=1, most=10), Trade(1, 1, "The building has {} story.", practice("sheds, shops, halls"))
    ] = about("Stories carried by the foundation.")
    use: Annotated[str | None, Text("store for seed and tools", most=200)] = about("What it is for, in your words.")
    floor_covering: Annotated[bool | None, Flag()] = about("A covering will be laid on the floor later.")
    vehicles: Annotated[bool | None, Flag()] = about("Vehicles drive on the floor.")
    wash_down: Annotated[bool | None, Flag()] = about("The floor is washed down.")
    radon: Annotated[bool | None, Flag()] = about("The local code asks for a soil-gas layer.")
    electrode: Annotated[bool | None, Flag()] = about("Steel in the footing serves as earth electrode.")
    steel_frame: Annotated[bool | None, Flag()] = about("A steel frame stands on the foundation.")

    def built(self) -> job.Building:
        return assembled(job.Building, self, n_stories=self.stories)


_BEARING = ("2000 psf", "100 kPa")
_SOILS = (*SOIL_CLASSES, *NO_VALUE_CLASSES)
_MODULUS = ("150 pci", "40 MN/m3")


class SoilTable(JobTable):
    """The ground that carries the slab."""

    soil_class: Annotated[str | None, Text("SM", among=_SOILS)] = about(
        "Class of the soil; those from OL on have no bearing value of their own.", alias="class"
    )
    allowable_bearing: Annotated[float | None, Quantity(PRESSURE, *_BEARING, usual=("500 psf", "20 ksf"))] = about(
        "Allowable bearing pressure, from the soils report."
    )
    subgrade_modulus: Annotated[float | None, Quantity(SUBGRADE_MODULUS, *_MODULUS, usual=("20 pci", "1000 pci"))] = about(
        "Modulus of subgrade reaction under the floor."
    )
    pad_subgrade_modulus: Annotated[float | None, Quantity(SUBGRADE_MODULUS, *_MODULUS, usual=("20 pci", "2000 pci"))] = about(
        "The same under pads and edge, where they bear on other ground."
    )
    cbr: Annotated[float | None, PerCent(6)] = about("California bearing ratio, to estimate the modulus from.")
    elastic_modulus: Annotated[float | None, Quantity(PRESSURE, "2000 psi", "15 MPa")] = about("Elastic modulus of the ground.")
    spt_blows: Annotated[float | None, Number(15, most=200.0)] = about("Blows of the standard penetration test.")
    undrained_strength: Annotated[float | None, Quantity(PRESSURE, "1000 psf", "50 kPa", usual=("200 psf", "8000 psf"))] = about(
        "Undrained shear strength of clay, half its unconfined compressive strength; for stakes of forms."
    )
    unit_weight: Annotated[
        float | None,
        Quantity(DENSITY, "110 pcf", "1800 kg/m3", usual=("60 pcf", "150 pcf")),
        Trade("110 pcf", "1760 kg/m3", "Soil that is dug weighs {}.", practice("middle of common soils, moist")),
    ] = about("Of the soil that is dug.")
    friction: Annotated[float | None, Number(0.5, most=2.0)] = about("Coefficient of friction under the slab.")
    notes: Annotated[str | None, Text("Firm silty sand below 14 in of topsoil.")] = about("What the soils report says.")

    def built(self) -> ground.Soil:
        return assembled(ground.Soil, self, n_spt=self.spt_blows)


class RegionTable(JobTable):
    """A part of the floor with a thickness of its own."""

    within: Annotated[Ring, Area()] = needed("The part, as corners in order or { from, to }.")
    thickness: Annotated[float, Quantity(LENGTH, "7 in", "180 mm", usual=("3 in", "18 in"))] = needed("Its thickness.")

    def built(self) -> concrete.ThicknessRegion:
        return assembled(concrete.ThicknessRegion, self)


class FallTable(JobTable):
    """A part of the floor that slopes to a drain."""

    slope: Annotated[float, Fall()] = needed("Drop along the run.")
    to: Annotated[Ring, Points()] = needed("The gully, as one point, or the channel or edge, as a line.")
    within: Annotated[Ring | None, Area()] = about("The part that falls; the whole floor if silent.")

    def built(self) -> concrete.Fall:
        return assembled(concrete.Fall, self)


class WheelTable(JobTable):
    """A wheel, or a leg of a rack."""

    name: Annotated[str, Text("tractor, rear wheel", most=80)] = needed("What it is.")
    load: Annotated[float, Quantity(FORCE, "4.2 kip", "18 kN", usual=("50 lb", "50 kip"))] = needed("Load of one wheel.")
    contact_pressure: Annotated[float, Quantity(PRESSURE, "60 psi", "400 kPa", usual=("5 psi", "2000 psi"))] = needed(
        "Pressure of tyre or foot on the floor."
    )
    spacing: Annotated[float | None, Quantity(LENGTH, "6 ft", "1.8 m", Sign.NOT_NEGATIVE)] = about("To the other wheel of the axle.")
    within: Annotated[Ring | None, Area()] = about(
        "The part of the floor it goes over, as corners in order or { from, to }; all of it if silent."
    )

    def built(self) -> loads.Wheel:
        return assembled(loads.Wheel, self)


class FloorTable(JobTable):
    """The floor slab."""

    outline: Annotated[Ring, Area()] = needed("Form line: corners in order, or { from, to } for a rectangle.")
    thickness: Annotated[float, Quantity(LENGTH, "4 in", "100 mm", usual=("3 in", "18 in"))] = needed("Design thickness.")
    block_outs: Annotated[tuple[Ring, ...] | None, Areas()] = about("Holes through the floor.")
    regions: list[RegionTable] | None = about("Parts of another thickness.")
    top_elevation: Annotated[float | None, Quantity(LENGTH, "100.00 ft", "52.4 m", Sign.ANY)] = about(
        "Finished floor against the job's datum; nought if silent."
    )
    falls: list[FallTable] | None = about("Parts that slope to a drain.")
    base_parallel: Annotated[
        bool | None,
        Flag(),
        Trade(
            True,
            True,
            "The base is graded parallel to the falls of the floor.",
            practice("a level base under a sloping floor makes a wedge of concrete"),
            when=lambda floor: bool(floor.falls),
        ),
    ] = about("The base follows the falls, so that the thickness stays the same.")
    live_load: Annotated[
        float | None,
        Quantity(PRESSURE, *_PSF, Sign.NOT_NEGATIVE, usual=("0 psf", "1000 psf")),
        Trade("0 psf", "0 kPa", "No load stands on the floor ({}).", practice("the file states none; a store or a shop has one")),
    ] = about("Live load on the floor.")
    wheels: list[WheelTable] | None = about("Wheels and legs that stand or roll on the floor.")
    finish: Annotated[
        concrete.Finish | None,
        Choice(concrete.Finish),
        Trade("trowel", "trowel", "The floor gets a {} finish.", practice("closed floors are troweled")),
    ] = about("What the surface is to be.")

    def built(self) -> concrete.Floor:
        return assembled(
            concrete.Floor,
            self,
            live_pa=self.live_load,
            wheels=[one.built() for one in self.wheels or ()],
            falls=[one.built() for one in self.falls or ()],
            thickness_regions=[one.built() for one in self.regions or ()],
        )


_DIG = practice("sides of a thickening dug in a granular base stand at about 45 degrees")


class EdgeTable(JobTable):
    """The thickened perimeter, with the short foundation wall it makes."""

    depth: Annotated[float, Quantity(LENGTH, "20 in", "500 mm", usual=("8 in", "6 ft"))] = needed("Overall, from the top of the floor.")
    width: Annotated[float, Quantity(LENGTH, "12 in", "300 mm", usual=("6 in", "4 ft"))] = needed("At the bottom.")
    slope: Annotated[float | None, Slope(), Trade("45 deg", "45 deg", "The inner face of the edge slopes at {}.", _DIG)] = about(
        "Of the inner face."
    )
    top_above_grade: Annotated[
        float | None,
        Quantity(LENGTH, "6 in", "150 mm", Sign.NOT_NEGATIVE, usual=("0 in", "3 ft")),
        Trade("6 in", "150 mm", "The floor stands {} above outside grade.", practice("keeps water and splash off the wall")),
    ] = about("Top of the floor above outside grade.")

    def built(self) -> concrete.Edge:
        return assembled(concrete.Edge, self, run=self.slope)


class StripTable(JobTable):
    """A thickening under a wall inside the building."""

    name: Annotated[str | None, Text("S1", most=40)] = about("Name on the plan; S1, S2 and so on if silent.")
    line: Annotated[Ring, Points(2)] = needed("Its centre line.")
    width: Annotated[float, Quantity(LENGTH, "16 in", "400 mm", usual=("6 in", "6 ft"))] = needed("At the bottom.")
    depth: Annotated[float, Quantity(LENGTH, "14 in", "350 mm", usual=("6 in", "6 ft"))] = needed("From the top of the floor.")
    slope: Annotated[float | None, Slope(), Trade("45 deg", "45 deg", "The sides of thickened strips slope at {}.", _DIG)] = about(
        "Of its sides."
    )


class Placed(JobTable):
    """Things that stand at one place or at several, so that like ones need one entry."""

    name: Annotated[str | None, Text("P", most=40)] = about("Name of a single one; of several, the letters before their numbers.")
    names: Annotated[tuple[str, ...] | None, Listed(Text("P1", most=40))] = about("One name for each position.")
    at: Annotated[Ring | None, Points()] = about("Centre, or a list of centres.")
    grid: Annotated[Ring | None, Grid()] = about("Centres at the crossings of grid lines.")

    @classmethod
    def clashes(cls, raw: Mapping[str, object]) -> Iterator[tuple[Path, str]]:
        yield from one_of(raw, "at", "grid", example='at = [["15 ft", "9 ft"]]')

    def places(self) -> tuple[Point, ...]:
        return self.at or self.grid or ()


class PadTable(Placed):
    """Thickenings under posts: one, or several alike."""

    size: Annotated[tuple[float, float] | None, Size()] = about("Bottom, along x and y before rotation; one length for a square.")
    diameter: Annotated[float | None, Quantity(LENGTH, "30 in", "750 mm", usual=("8 in", "15 ft"))] = about("Of a round pad's bottom.")
    depth: Annotated[float, Quantity(LENGTH, "14 in", "350 mm", usual=("6 in", "8 ft"))] = needed("From the top of the floor.")
    slope: Annotated[float | None, Slope(), Trade("45 deg", "45 deg", "The sides of pads slope at {}.", _DIG)] = about("Of its sides.")
    rotation: Annotated[float | None, Quantity(ANGLE, "30 deg", sign=Sign.ANY, most="360 deg")] = about("Counter-clockwise.")
    outside_top: Annotated[float | None, Quantity(LENGTH, "8 in", "200 mm", Sign.NOT_NEGATIVE)] = about(
        "Below the floor, the top of the part outside the form line; at outside grade if silent."
    )

    @classmethod
    def clashes(cls, raw: Mapping[str, object]) -> Iterator[tuple[Path, str]]:
        yield from super().clashes(raw)
        yield from one_of(raw, "size", "diameter", example='size = "2.5 ft x 2.5 ft"')
