"""Mesh, bars and what holds them, by rules of thumb: enough to price with; the laid-out counts take their place."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from slabwright.geometry.blocks import Array
from slabwright.model.concrete import Strip
from slabwright.model.job import Job
from slabwright.model.steel import Bars, Face, Mesh, Zone
from slabwright.results.lines import QuantityLine, Reckoned, Trade
from slabwright.results.notes import Notes
from slabwright.sources import Basis, Clause, arithmetic, practice
from slabwright.standards.astm_a615 import ASTM_A615
from slabwright.standards.bars import bar
from slabwright.standards.mesh import mesh
from slabwright.standards.take_off import AREA_OF_A_CHAIR_M2, CHAIRS_BY_AREA, chairs_by_area, pieces_lapped
from slabwright.standards.take_off_bars import LAPPED_RUN, lapped_run
from slabwright.studies.quantities.words import Words
from slabwright.studies.shape import ShapeResult
from slabwright.units import FOOT_M

STOCK_M = (20 * FOOT_M, 6.0)
LAP_DIAMETERS = 40
BLOCK_SPACING_M = (4 * FOOT_M, 1.2)
MESH_BY_AREA = arithmetic("area over what a sheet covers beyond its laps")
MASS = Clause(ASTM_A615, "Table 1, nominal mass", Basis.TEXT_SEEN)
STOCK = practice("bars are bought 20 ft (6 m) long")
LAP = practice("40 bar diameters; the engineer's lap decides")
BLOCKS = practice("cover blocks 4 ft (1.2 m) apart, four to a pad")
_ZONES = {
    Zone.EDGE: "edge", Zone.PADS: "pads", Zone.STRIPS: "strips", Zone.FLOOR: "floor", Zone.RE_ENTRANT: "corners",
    Zone.BLOCK_OUTS: "block_outs", Zone.JOINT_DOWELS: "dowels", Zone.TIES: "ties",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class BarCount:
    """Stock bars for one set.

    Attributes
    ----------
    n_stock : int
    stock_m : float
        [m]
    net_m : float
        Length wanted, without laps. [m]
    basis : str
    """

    n_stock: int
    stock_m: float
    net_m: float
    basis: str

    @property
    def bought_m(self) -> float:
        """[m]"""
        return self.n_stock * self.stock_m


def steel_lines(job: Job, shape: ShapeResult, words: Words, notes: Notes) -> Iterator[QuantityLine]:
    """Mesh and its chairs, bars by zone, cover blocks."""
    if job.mesh is not None:
        yield from _mesh(job.mesh, shape, words)
    counts = [(one, count_bars(job, one, shape, words)) for one in job.bars]
    yield from _bars([(one, count) for one, count in counts if count is not None], words, notes)
    yield from _blocks(job, shape, words)


def _mesh(wanted: Mesh, shape: ShapeResult, words: Words) -> Iterator[QuantityLine]:
    area = shape.foundation.region.area
    covers = (wanted.sheet_length_m - wanted.lap_m) * (wanted.sheet_width_m - wanted.lap_m)
    n = math.ceil(area / covers - 1e-9)
    sheet = wanted.sheet_length_m * wanted.sheet_width_m
    kind = "rolls" if wanted.roll else "sheets"
    size = f"{words.run(wanted.sheet_width_m)} x {words.run(wanted.sheet_length_m)}"
    mass = words.mass(n * sheet * mesh(style=wanted.style).mass_kg_m2)
    yield QuantityLine(
        key="steel.mesh", item=f"Mesh {wanted.style}, {kind} {size}", quantity=float(n), suffix="", unit=kind, trade=Trade.STEEL,
        basis=f"{words.area(area)} over {words.area(covers)} that one covers beyond its laps; {mass}", waste=n * sheet / area - 1.0,
        waste_reason=f"laps of {words.size(wanted.lap_m)} and cuts", clause=MESH_BY_AREA, reckoned=Reckoned.BY_RULE,
    )  # fmt: skip
    each = wanted.chair_spacing_m**2 if wanted.chair_spacing_m else AREA_OF_A_CHAIR_M2
    yield QuantityLine(
        key="steel.chairs", item="Chairs for the mesh", quantity=float(chairs_by_area(area_m2=area, area_of_a_chair_m2=each)), suffix="",
        unit="chairs", trade=Trade.STEEL, basis=f"one to {words.area(each)} of {words.area(area)}", clause=CHAIRS_BY_AREA,
        reckoned=Reckoned.BY_RULE,
    )  # fmt: skip


def _bars(counts: list[tuple[Bars, BarCount]], words: Words, notes: Notes) -> Iterator[QuantityLine]:
    if not counts:
        return
    mass = math.fsum(count.bought_m * bar(size=one.size).mass_kg_m for one, count in counts)
    net = math.fsum(count.net_m * bar(size=one.size).mass_kg_m for one, count in counts)
    yield QuantityLine(
        key="steel.bars", item="Bars, all sizes", quantity=mass, suffix="kg", trade=Trade.STEEL,
        basis=f"stock lengths as listed; {words.mass(net)} of it in place without laps", waste=mass / net - 1.0,
        waste_reason="laps and what is left of cut bars", clause=MASS, reckoned=Reckoned.BY_RULE,
    )  # fmt: skip
    seen: dict[str, int] = {}
    for one, count in counts:
        key = f"steel.bars.{_ZONES[one.zone]}.{one.size}"
        seen[key] = seen.get(key, 0) + 1
        pounds = words.mass(count.bought_m * bar(size=one.size).mass_kg_m)
        face = f", {one.face.value}" if one.zone in (Zone.EDGE, Zone.STRIPS, Zone.FLOOR) else ""
        yield QuantityLine(
            key=key if seen[key] == 1 else f"{key}.{seen[key]}",
            item=f"{one.size} for {one.zone.value}{face}, {words.run(count.stock_m)} long", quantity=float(count.n_stock), suffix="",
            unit="bars", trade=Trade.STEEL, basis=f"{count.basis}; {pounds}",
            waste=count.bought_m / count.net_m - 1.0, waste_reason="laps and ends", clause=LAPPED_RUN, part_of="steel.bars",
            reckoned=Reckoned.BY_RULE,
        )  # fmt: skip
        if not one.stock_lengths_m and one.length_m is None:
            notes.assume("bars.stock", f"{one.size} comes {words.run(count.stock_m)} long", STOCK)
        if one.lap_m is None and one.zone in (Zone.EDGE, Zone.STRIPS, Zone.FLOOR):
            notes.assume("bars.lap", f"{one.size} laps {LAP_DIAMETERS} diameters, {words.size(_lap_m(one))}", LAP)


def count_bars(job: Job, wanted: Bars, shape: ShapeResult, words: Words) -> BarCount | None:
    """Stock bars for one set by a rule of thumb; None where the job says too little to count."""
    stock = max(wanted.stock_lengths_m, default=words.either(*STOCK_M))
    lap = _lap_m(wanted)
    outline = shape.foundation.outline
    if wanted.zone is Zone.EDGE and wanted.n_bars:
        ring = lapped_run(length_m=outline.length, stock_length_m=stock, lap_m=lap, closed=True)
        basis = f"{wanted.n_bars} round {words.run(outline.length)}, laps {words.size(lap)}: {ring.n_bars} to a round"
        return BarCount(wanted.n_bars * ring.n_bars, stock, wanted.n_bars * outline.length, basis)
    if wanted.zone is Zone.STRIPS and wanted.n_bars:
        runs = [length_m(strip) for strip in job.strips if _meant(wanted, strip.name)]
        pieces = sum(pieces_lapped(length_m=run, piece_m=stock, lap_m=lap) for run in runs)
        return _some(wanted.n_bars * pieces, stock, wanted.n_bars * sum(runs), f"{wanted.n_bars} along {words.run(sum(runs))}")
    if wanted.zone is Zone.FLOOR and wanted.spacing_m:
        length = 2.0 * shape.foundation.region.area / wanted.spacing_m
        n = math.ceil(length / (stock - lap) - 1e-9)
        return BarCount(n, stock, length, f"every {words.size(wanted.spacing_m)} each way: {words.run(length)}, laps {words.size(lap)}")
    if wanted.zone is Zone.PADS:
        return _pads(job, wanted, stock, words)
    return _single(job, wanted, shape, stock, words)


def _pads(job: Job, wanted: Bars, stock: float, words: Words) -> BarCount | None:
    """Bars each way in every pad, cut from stock."""
    lengths: list[float] = []
    for pad in job.pads:
        if _meant(wanted, pad.name):
            for along, across in ((pad.size_x_m, pad.size_y_m), (pad.size_y_m, pad.size_x_m)):
                n = wanted.n_bars or (math.ceil((across - 2 * wanted.cover_m) / wanted.spacing_m) + 1 if wanted.spacing_m else 0)
                lengths += [along - 2.0 * wanted.cover_m] * n
    lengths = [length for length in lengths if length > 0.0]
    if not lengths:
        return None
    each = f"{len(lengths)} pieces of {words.size(max(lengths))}" if max(lengths) - min(lengths) < 1e-6 else f"{len(lengths)} pieces"
    return _cut(lengths, stock, f"each way in the pads, {each}")


def _single(job: Job, wanted: Bars, shape: ShapeResult, stock: float, words: Words) -> BarCount | None:
    """Short bars of a stated length, so many to a corner, a block-out corner or a post."""
    if wanted.length_m is None or not wanted.n_bars:
        return None
    places = {
        Zone.RE_ENTRANT: (n_inside_corners(np.asarray(shape.foundation.outline.exterior.coords)), "inside corners"),
        Zone.BLOCK_OUTS: (sum(len(ring) for ring in job.floor.block_outs), "corners of block-outs"),
        Zone.TIES: (sum(_meant(wanted, post.name) for post in job.posts), "posts"),
        Zone.JOINT_DOWELS: (len(job.joints.pinned), "pinned joints"),
    }
    n_places, name = places.get(wanted.zone, (0, ""))
    if not n_places:
        return None
    lengths = [wanted.length_m] * (wanted.n_bars * n_places)
    return _cut(lengths, stock, f"{wanted.n_bars} of {words.run(wanted.length_m)} at each of {n_places} {name}")


def _cut(lengths: list[float], stock: float, basis: str) -> BarCount | None:
    """Whole pieces from stock bars, longest first into the first bar with room; pieces longer than stock are bought at length."""
    longest = max(lengths)
    stock = max(stock, longest)
    rest: list[float] = []
    for length in sorted(lengths, reverse=True):
        room = next((k for k, left in enumerate(rest) if left >= length - 1e-9), None)
        if room is None:
            rest.append(stock - length)
        else:
            rest[room] -= length
    return BarCount(len(rest), stock, math.fsum(lengths), basis)


def length_m(strip: Strip) -> float:
    """Along the centre line. [m]"""
    return math.fsum(math.dist(a, b) for a, b in pairwise(strip.line))


def _some(n: int, stock: float, net: float, basis: str) -> BarCount | None:
    return BarCount(n, stock, net, basis) if n else None


def n_inside_corners(ring: Array) -> int:
    """Corners of a closed counter-clockwise ring that point inwards."""
    before = np.diff(ring, axis=0)
    after = np.roll(before, -1, axis=0)
    turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], np.sum(before * after, axis=1))
    return int((turn < -math.radians(10)).sum())


def _lap_m(wanted: Bars) -> float:
    return wanted.lap_m if wanted.lap_m is not None else LAP_DIAMETERS * bar(size=wanted.size).diameter_m


def _meant(wanted: Bars, name: str) -> bool:
    return not wanted.only or name in wanted.only


def _blocks(job: Job, shape: ShapeResult, words: Words) -> Iterator[QuantityLine]:
    """Blocks under bottom bars of edge, strips and pads."""
    zones = {one.zone for one in job.bars if one.face is Face.BOTTOM}
    run = shape.foundation.outline.length if Zone.EDGE in zones else 0.0
    run += math.fsum(length_m(strip) for strip in job.strips) if Zone.STRIPS in zones else 0.0
    n_pads = len(job.pads) if Zone.PADS in zones else 0
    spacing = words.either(*BLOCK_SPACING_M)
    n = math.ceil(run / spacing - 1e-9) + 4 * n_pads
    if n:
        yield QuantityLine(
            key="steel.blocks", item="Cover blocks under bottom bars", quantity=float(n), suffix="", unit="blocks", trade=Trade.STEEL,
            basis=f"every {words.size(spacing)} of {words.run(run)}, four to each of {n_pads} pads", clause=BLOCKS,
            reckoned=Reckoned.BY_RULE,
        )  # fmt: skip
