"""Rows of sheets: where each row lies across the floor, before any sheet is placed in it."""

from dataclasses import dataclass
from itertools import pairwise

from shapely import box

from slabwright.geometry.bands import Interval, levels, occupied
from slabwright.geometry.drawing import polygons_of
from slabwright.geometry.overlay import Area, as_area
from slabwright.solvers.covering import cover_with_rows

MOST_LEVELS = 40
_SAME_M = 1e-6
_TRIM = 0.3
_RIP = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """What a sheet or a roll is, and how it laps; all in metres.

    Attributes
    ----------
    length_m, width_m : float
        Over the outermost wires. [m]
    lap_m : float
        Least lap, along and across. [m]
    pitch_m, cross_pitch_m : float
        A sheet is cut to multiples of these: spacing of the wires across it, and of those along it. [m]
    """

    length_m: float
    width_m: float
    lap_m: float
    pitch_m: float
    cross_pitch_m: float

    def sheets_for(self, length_m: float) -> float:
        """Sheets of a row of that length, in fractions; laps counted."""
        if length_m <= self.length_m:
            return length_m / self.length_m
        return (length_m - self.lap_m) / (self.length_m - self.lap_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of sheets, lying along x.

    Attributes
    ----------
    low_m, high_m : float
        Its edges. [m]
    spans : tuple of (from, to)
        What it has to cover. [m]
    strips : int
        Strips that one sheet is ripped into for it; 1 where it is of whole width.
    """

    low_m: float
    high_m: float
    spans: tuple[Interval, ...]
    strips: int = 1


def rows_for(region: Area, size: SheetSize, *, may_rip: bool = True) -> tuple[Row, ...]:
    """Rows that cover a region at the least cost in sheets, trimmed edges and rips.

    Parameters
    ----------
    region : Polygon or MultiPolygon
        [m]
    size : SheetSize
    may_rip : bool
        False where sheets are to be left at their width if that can be.

    Raises
    ------
    OutOfRange
        If a sheet is not wider than its lap.
    """
    low, high = region.bounds[1], region.bounds[3]
    anchors = _anchors(region, size)
    offers = sorted(set(_offers(anchors, low, high, size, may_rip)))
    parts = _parts(region, size.width_m)
    near = [parts[min(max(0, int((start - low) / size.width_m)), len(parts) - 1)] for start, _, _ in offers]
    spans = [_spans(part, size, low, start, width) for part, (start, width, _) in zip(near, offers, strict=True)]
    costs = [_cost(part, size, offer, inside) for part, offer, inside in zip(near, offers, spans, strict=True)]
    cover = cover_with_rows(
        low,
        high,
        lap=size.lap_m,
        starts=[start for start, _, _ in offers],
        widths=[width for _, width, _ in offers],
        row_costs=costs,
        seam_costs=[0.0] * len(offers),
    )
    rows = [
        Row(low_m=offers[n][0], high_m=offers[n][0] + offers[n][1], spans=spans[n], strips=offers[n][2]) for n in cover.chosen if spans[n]
    ]
    return _spread(region, size, rows, anchors)


def _parts(region: Area, width: float) -> list[Area]:
    """The region in lapping parts two rows high, one row apart, so that a row need not look at all of it."""
    west, low, east, high = region.bounds
    n = max(1, int((high - low) / width))
    bands = [box(west - 1.0, low + k * width - _SAME_M, east + 1.0, low + (k + 2) * width + _SAME_M) for k in range(n)]
    return [as_area(polygons_of(region.intersection(band))) for band in bands]


def _spans(region: Area, size: SheetSize, low: float, start: float, width: float) -> tuple[Interval, ...]:
    """What a row must cover: the region in its band, but for the lap, which the row before covers."""
    own = start if start <= low + _SAME_M else min(start + size.lap_m, start + 0.5 * width)
    return occupied(region, own, start + width)


def _anchors(region: Area, size: SheetSize) -> tuple[float, ...]:
    """Ordinates that an edge of a row should keep to: corners of the region, or a grid where there are very many."""
    low, high = region.bounds[1], region.bounds[3]
    inner = levels(region)[1:-1]
    if len(inner) <= MOST_LEVELS:
        return (low, *inner, high)
    n = max(1, round(4 * (high - low) / size.width_m))
    return (*(low + (high - low) * step / n for step in range(n)), high)


def _offers(anchors: tuple[float, ...], low: float, high: float, size: SheetSize, may_rip: bool) -> list[tuple[float, float, int]]:
    """(start, width, strips) of rows worth trying: chains of whole widths from every anchor, ripped rows at anchors."""
    offers: list[tuple[float, float, int]] = []
    step = size.width_m - size.lap_m
    widths = [(size.width_m, 1)]
    for strips in (2, 3, 4) if may_rip else ():
        ripped = size.width_m / strips // size.cross_pitch_m * size.cross_pitch_m
        if ripped > size.lap_m + _SAME_M and step > 0:
            widths.append((ripped, strips))
    if high - low < size.width_m:
        widths.append((high - low, int(size.width_m // (high - low))))
    for width, strips in widths:
        last = high - width
        if last < low:
            offers.append((round(low, 9), width, strips))
            continue
        n = int((high - low) / max(step, 0.1 * size.width_m)) + 1
        for anchor in anchors:
            starts = [anchor + k * step for k in range(n)] + [anchor - width - k * step for k in range(n)]
            starts += [anchor - size.lap_m + k * step for k in range(n)]
            offers += [(round(start, 9), width, strips) for start in starts if low - _SAME_M <= start <= last + _SAME_M]
    return offers


def _cost(region: Area, size: SheetSize, offer: tuple[float, float, int], spans: tuple[Interval, ...]) -> float:
    start, width, strips = offer
    sheets = sum(size.sheets_for(high - low) for low, high in spans)
    outside = sum(box(low, start, high, start + width).difference(region).area for low, high in spans)
    return sheets / strips + (_RIP * sheets if strips > 1 else 0.0) + _TRIM * outside / (size.width_m * size.length_m)


def _spread(region: Area, size: SheetSize, rows: list[Row], anchors: tuple[float, ...]) -> tuple[Row, ...]:
    """Rows between two that keep to anchors moved evenly, so that the laps across are alike."""

    def is_held(row: Row) -> bool:
        return any(min(abs(row.low_m - anchor), abs(row.high_m - anchor)) < _SAME_M for anchor in anchors)

    held = [number for number, row in enumerate(rows) if number in (0, len(rows) - 1) or is_held(row) or row.strips > 1]
    spread = list(rows)
    for first, last in pairwise(held):
        chain = rows[first : last + 1]
        alike = all(row.strips == 1 and row.spans == chain[0].spans for row in chain)
        if last - first < 2 or not alike or len(chain[0].spans) != 1:
            continue
        step = (chain[-1].low_m - chain[0].low_m) / (last - first)
        if 2 * step < chain[0].high_m - chain[0].low_m:  # the row after the next would lap it too
            continue
        for number in range(first + 1, last):
            low = chain[0].low_m + (number - first) * step
            high = low + chain[0].high_m - chain[0].low_m
            if _spans(region, size, region.bounds[1], low, high - low) == chain[0].spans:
                spread[number] = Row(low_m=low, high_m=high, spans=chain[0].spans)
    return tuple(spread)
