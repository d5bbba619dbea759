"""Tables of the job file about what lies under and in the slab: services, fixings, base, sheet, steel."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from slabwright.files.jobfile.assembled import assembled
from slabwright.files.jobfile.positions import Path
from slabwright.files.jobfile.shapes import Fall, Points, Ring, Size
from slabwright.files.jobfile.trade import JobTable, Trade, about, needed, one_of
from slabwright.files.jobfile.values import Choice, Flag, Fraction, Known, Listed, Number, Quantity, Sign, Text, Whole
from slabwright.model import ground, steel
from slabwright.sources import practice
from slabwright.standards import aci_318_19_durability as aci_318
from slabwright.standards import en_206, irc
from slabwright.standards.bars import bar
from slabwright.standards.mesh import mesh
from slabwright.units import DENSITY, LENGTH, PERMEANCE, PRESSURE, THERMAL_RESISTANCE

_STOCK = practice("sizes that dealers keep in stock")
_DRAWN = practice("as drawn on most sheets")


class PipeTable(JobTable):
    """A pipe, conduit or drain through or under the floor."""

    name: Annotated[str | None, Text("closet stub", most=60)] = about("Name on the plan.")
    kind: Annotated[ground.PipeKind, Choice(ground.PipeKind)] = needed("What it is.")
    run: Annotated[Ring, Points()] = needed("Where it rises through the floor; or its line, the riser last.")
    diameter: Annotated[float, Quantity(LENGTH, "4 in", "110 mm", usual=("3/8 in", "24 in"))] = needed("Outside.")
    wrap: Annotated[ground.Wrap | None, Choice(ground.Wrap)] = about("What keeps the concrete from gripping it; none if silent.")
    wrap_thickness: Annotated[
        float | None,
        Quantity(LENGTH, "1/2 in", "12 mm", Sign.NOT_NEGATIVE),
        Trade("1/2 in", "12 mm", "Foam round pipes is {} thick.", _STOCK, when=lambda pipe: pipe.wrap is ground.Wrap.FOAM),
    ] = about("Of the wrap.")
    depth: Annotated[float | None, Quantity(LENGTH, "18 in", "450 mm", Sign.NOT_NEGATIVE)] = about(
        "Top of the pipe below the top of the floor, along its run."
    )
    fall: Annotated[float | None, Fall()] = about("Of the run.")
    rim: Annotated[float | None, Quantity(LENGTH, "-1/4 in", "-5 mm", Sign.ANY)] = about(
        "Rim against the finished floor there, above counts up."
    )
    riser: Annotated[bool | None, Flag()] = about("It comes up through the floor; true if silent.")

    def built(self, name: str) -> ground.Pipe:
        return assembled(ground.Pipe, self, name=name)


class EmbedTable(JobTable):
    """Something cast in: at one place, or a row along a line."""

    name: Annotated[str | None, Text("sill bolts, south", most=60)] = about("Name on the plan.")
    kind: Annotated[ground.EmbedKind, Choice(ground.EmbedKind)] = needed("What it is.")
    line: Annotated[Ring, Points()] = needed("Its place, or the line of a row.")
    diameter: Annotated[
        float | None,
        Quantity(LENGTH, "1/2 in", "12 mm", usual=("1/4 in", "12 in")),
        Trade("1/2 in", "12 mm", "Bolts are {} thick.", irc.ANCHOR_BOLTS, when=lambda embed: embed.kind is ground.EmbedKind.ANCHOR_BOLT),
    ] = about("Of the bolt or bar.")
    embedment: Annotated[
        float | None,
        Quantity(LENGTH, "7 in", "180 mm", usual=("2 in", "4 ft")),
        Trade(
            "7 in", "180 mm", "Bolts reach {} into the concrete.", irc.ANCHOR_BOLTS, when=lambda e: e.kind is ground.EmbedKind.ANCHOR_BOLT
        ),
    ] = about("Depth in the concrete.")
    projection: Annotated[float | None, Quantity(LENGTH, "2 1/2 in", "60 mm", Sign.NOT_NEGATIVE)] = about("Above the floor.")
    max_spacing: Annotated[float | None, Quantity(LENGTH, "6 ft", "1.8 m")] = about("Largest distance along a row.")
    wet_set: Annotated[bool | None, Flag()] = about("Set into the fresh concrete instead of tied before.")

    def built(self, name: str) -> ground.Embed:
        return assembled(ground.Embed, self, name=name)


class BaseTable(JobTable):
    """The compacted base under the floor."""

    thickness: Annotated[float, Quantity(LENGTH, "4 in", "200 mm", usual=("2 in", "24 in"))] = needed("Compacted.")
    material: Annotated[
        str | None,
        Text("crushed stone", most=80),
        Trade("crushed stone", "crushed stone", "The base is {}.", practice("drains and does not pump")),
    ] = about("What it is made of.")
    compaction: Annotated[float | None, Fraction("95 %", most=1.1, usual=(0.85, 1.05))] = about("Share of the reference density asked for.")
    shrink_factor: Annotated[float | None, Number(1.2, most=2.0)] = about("Loose volume for one compacted.")
    loose_density: Annotated[float | None, Quantity(DENSITY, "100 pcf", "1600 kg/m3", usual=("60 pcf", "150 pcf"))] = about("As delivered.")

    def built(self) -> ground.BaseCourse:
        return assembled(ground.BaseCourse, self)


class RetarderTable(JobTable):
    """The sheet under the concrete."""

    thickness: Annotated[float, Quantity(LENGTH, "10 mil", "300 µm", usual=("4 mil", "40 mil"))] = needed("Of the sheet.")
    sheet_class: Annotated[str | None, Text("A", among=("A", "B", "C"))] = about("Class of the sheet.", alias="class")
    permeance: Annotated[float | None, Quantity(PERMEANCE, "0.1 perm", "5 ng/Pa·s·m2")] = about("Of the sheet.")
    roll: Annotated[
        tuple[float, float] | None,
        Size("12 ft x 100 ft", "4 m x 25 m", square=False),
        Trade("12 ft x 100 ft", "4 m x 25 m", "The sheet comes in rolls of {}.", _STOCK),
    ] = about("Width and length of a roll.")
    lap: Annotated[
        float | None,
        Quantity(LENGTH, "6 in", "300 mm", usual=("4 in", "24 in")),
        Trade("6 in", "300 mm", "Sheets lap by {}.", irc.VAPOUR_RETARDER, practice("common in Britain")),
    ] = about("Where sheets meet.")
    under_edge: Annotated[
        bool | None,
        Flag(),
        Trade(True, True, "The sheet runs down under the edge and the pads.", practice("an electrode in the edge needs it stopped short")),
    ] = about("It runs down under edge and pads.")

    def built(self) -> ground.Retarder:
        roll = self.roll or (None, None)
        return assembled(ground.Retarder, self, roll_width_m=roll[0], roll_length_m=roll[1])


class InsulationTable(JobTable):
    """Insulation board."""

    place: Annotated[str, Text("edge", among=("floor", "edge", "skirt"))] = needed("Under the floor, at the edge, or flat outside it.")
    thickness: Annotated[float, Quantity(LENGTH, "2 in", "50 mm", usual=("1/2 in", "12 in"))] = needed("Of the board.")
    resistance: Annotated[float, Quantity(THERMAL_RESISTANCE, "R-10", "1.8 m2K/W")] = needed("To the flow of heat.")
    width: Annotated[float | None, Quantity(LENGTH, "2 ft", "600 mm")] = about("Of a skirt, or of a band along the edge.")

    def built(self) -> ground.Insulation:
        return assembled(ground.Insulation, self)


class MeshTable(JobTable):
    """Welded wire in the floor."""

    style: Annotated[str, Known(lambda style: mesh(style=style), ("6x6-W2.9xW2.9", "A252"))] = needed("As its standard writes it.")
    sheet: Annotated[
        tuple[float, float] | None,
        Size("8 ft x 20 ft", "2.4 m x 4.8 m", square=False),
        Trade("8 ft x 20 ft", "2.4 m x 4.8 m", "Mesh comes in sheets of {}.", _STOCK, when=lambda mesh: mesh.roll is None),
    ] = about("Size of a sheet.")
    roll: Annotated[tuple[float, float] | None, Size("5 ft x 150 ft", "2.4 m x 30 m", square=False)] = about(
        "Size of a roll, in place of sheet."
    )
    lap: Annotated[
        float | None,
        Quantity(LENGTH, "8 in", "400 mm", usual=("2 in", "3 ft")),
        Trade("8 in", "400 mm", "Mesh laps by {}.", practice("one space and two inches; two spaces of a 200 mm mesh")),
    ] = about("Where sheets meet, outside wire to outside wire.")
    cover: Annotated[
        float | None,
        Quantity(LENGTH, "2 in", "50 mm", usual=("3/4 in", "6 in")),
        Trade("2 in", "50 mm", "Mesh lies {} below the top of the floor.", practice("in the upper third, clear of the saw")),
    ] = about("From the top of the floor.")
    chair_spacing: Annotated[float | None, Quantity(LENGTH, "2 ft", "800 mm", usual=("6 in", "6 ft"))] = about(
        "Between the chairs it stands on."
    )
    cut_out: Annotated[tuple[str, ...] | None, Listed(Text("P1", most=40))] = about(
        'Pads over which the mesh is cut out, by name; "all pads" for every one. It runs on over the pads if silent.'
    )

    @classmethod
    def clashes(cls, raw: Mapping[str, object]) -> Iterator[tuple[Path, str]]:
        if "sheet" in raw and "roll" in raw:
            yield ("roll",), "stands beside sheet; keep one of the two."

    def built(self) -> steel.Mesh:
        size = self.roll or self.sheet or (0.0, 0.0)
        return assembled(steel.Mesh, self, roll=self.roll is not None, sheet_width_m=min(size), sheet_length_m=max(size))


def _is_top(bars: Any) -> bool:
    return bars.face is steel.Face.TOP or bars.zone is steel.Zone.RE_ENTRANT


class BarsTable(JobTable):
    """A set of like bars."""

    zone: Annotated[steel.Zone, Choice(steel.Zone)] = needed("Where they lie.")
    size: Annotated[str, Known(lambda size: bar(size=size), ("No.4", "H12"))] = needed("As its standard writes it.")
    face: Annotated[steel.Face | None, Choice(steel.Face)] = about("Near the top or the bottom; bottom if silent.")
    count: Annotated[int | None, Whole(2, least=1, most=200)] = about(
        "Along an edge or strip; each way in a pad; at each corner elsewhere."
    )
    spacing: Annotated[float | None, Quantity(LENGTH, "18 in", "300 mm", usual=("3 in", "4 ft"))] = about("In place of a count.")
    length: Annotated[float | None, Quantity(LENGTH, "4 ft", "1.2 m")] = about("Of corner bars, dowels and ties.")
    cover: Annotated[
        float | None,
        Quantity(LENGTH, "3 in", "75 mm", usual=("3/4 in", "6 in")),
        Trade("2 in", "50 mm", "Top bars lie {} below the top of the floor.", _DRAWN, when=_is_top),
        Trade("3 in", "75 mm", "Bars cast against the ground have {} of cover.", aci_318.COVER, en_206.COVER_AGAINST_GROUND),
    ] = about("Of concrete over the bar: near the top; elsewhere.")
    lap: Annotated[float | None, Quantity(LENGTH, "20 in", "600 mm", usual=("10 in", "6 ft"))] = about(
        "The concrete standard's own if silent."
    )
    stock: Annotated[tuple[float, ...] | None, Listed(Quantity(LENGTH, "20 ft", "6 m", usual=("6 ft", "60 ft")))] = about(
        "Lengths that can be bought."
    )
    yield_strength: Annotated[
        float | None,
        Quantity(PRESSURE, "60 ksi", "500 MPa", usual=("33 ksi", "100 ksi")),
        Trade("60 ksi", "500 MPa", "Bars have a yield strength of {}.", practice("the grade that dealers keep")),
    ] = about("Of the steel.")
    only: Annotated[tuple[str, ...] | None, Listed(Text("P1", most=40))] = about("Pads or strips they belong to; all if silent.")

    @classmethod
    def clashes(cls, raw: Mapping[str, object]) -> Iterator[tuple[Path, str]]:
        yield from one_of(raw, "count", "spacing", example="count = 2")

    def built(self) -> steel.Bars:
        return assembled(steel.Bars, self, n_bars=self.count, stock_lengths_m=self.stock)
