"""The time band: hours to scale, sun and rain above, concrete below. One picture for pour day, set, saw and cure."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from slabwright.model.weather import Weather
from slabwright.results.picture import Area, Hatch, Item, Layer, Line, Note, Picture, Point
from slabwright.units import DIMENSIONS, Family, format_quantity

ROW_M = 1.9
CURVE_M = 7.0
LABEL_M = 0.4
NAMED_H = 0.75
"""A bar shorter than this keeps its name for the table. [h]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A stretch of time in a row; hours from the start of the weather."""

    label: str
    start_h: float
    end_h: float
    hatch: Hatch = Hatch.SPARSE
    chalk: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of bars under a name."""

    name: str
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A value over hours; ``band`` is drawn as an area between low and high."""

    name: str
    hours: tuple[float, ...]
    values: tuple[float, ...]
    band: tuple[tuple[float, ...], tuple[float, ...]] | None = None
    dashed: bool = False


@dataclass(slots=True)
class TimeBand:
    """Collects rows from the top down and draws them; x is hours, one metre an hour."""

    weather: Weather
    start_h: float
    end_h: float
    family: Family
    items: list[Item] = field(default_factory=list)
    _y: float = 0.0

    def sky(self, elevation_rad: Sequence[float], rain_m: Sequence[float], rain_chance: Sequence[float] | None) -> None:
        """Sun as the height it stands at, rain as drops below it."""
        top = self._y
        sun = [(self._x(h), top + 2.0 * max(0.0, elevation_rad[h])) for h in self._hours()]
        ring = ((sun[0][0], top), *sun, (sun[-1][0], top))
        self.items.append(Area(layer=Layer.MAP, outline=ring, hatch=Hatch.SPARSE, label="sun"))
        self._name("sun, rain", top + 0.5)
        for hour in self._hours():
            chance = rain_chance[hour] if rain_chance is not None else 0.0
            if rain_m[hour] > 1e-4 or chance >= 0.3:
                text = f"{100 * chance:.0f} %" if rain_chance is not None else f"{1000 * rain_m[hour]:.0f} mm"
                self.items.append(
                    Line(layer=Layer.SHEET, points=((self._x(hour), top - 0.2), (self._x(hour) - 0.2, top - 0.8)), label="rain")
                )
                self.items.append(Note(layer=Layer.SHEET, at=(self._x(hour), top - 1.1), text=text, size=0.7))
        self._y -= ROW_M

    def clock(self) -> None:
        """Hours of the day, every third one named, midnight with its date."""
        self._y -= 0.4
        self.items.append(Line(layer=Layer.DIMENSION, points=((0.0, self._y), (self._x(self.end_h), self._y))))
        for hour in self._hours():
            of_day = round(self.weather.clock_h(hour)) % 24
            tall = of_day % 3 == 0
            self.items.append(
                Line(layer=Layer.DIMENSION, points=((self._x(hour), self._y), (self._x(hour), self._y - (0.3 if tall else 0.15))))
            )
            if tall:
                text = f"{self.weather.at(hour):%d %b}" if of_day == 0 else f"{of_day:02d}:00"
                self.items.append(Note(layer=Layer.DIMENSION, at=(self._x(hour), self._y - 0.7), text=text, size=0.8, bold=of_day == 0))
        self._y -= ROW_M

    def curves(self, curves: Sequence[Curve], marks: Sequence[tuple[float, str]] = (), name: str = "", suffix: str = "c") -> None:
        """Curves of one unit on one scale, with levels to compare them with; the scale's ends are written in the family's unit."""
        values = [
            v for curve in curves for v in (*curve.values, *(curve.band[0] if curve.band else ()), *(curve.band[1] if curve.band else ()))
        ]
        values += [level for level, _ in marks]
        low, high = min(values), max(values)
        span = max(high - low, 1e-9)
        bottom = self._y - CURVE_M

        def place(hour: float, value: float) -> Point:
            return self._x(hour), bottom + CURVE_M * (value - low) / span

        for curve in curves:
            kept = [i for i, hour in enumerate(curve.hours) if self.start_h - 1e-9 <= hour <= self.end_h + 1e-9]
            if curve.band is not None:
                under = [place(curve.hours[i], curve.band[0][i]) for i in kept]
                over = [place(curve.hours[i], curve.band[1][i]) for i in kept]
                self.items.append(
                    Area(layer=Layer.MAP, outline=(*under, *reversed(over)), hatch=Hatch.MEDIUM, outlined=False, label=curve.name)
                )
            points = tuple(place(curve.hours[i], curve.values[i]) for i in kept)
            if len(points) > 1:
                self.items.append(Line(layer=Layer.CONCRETE_SEEN, points=points, dashed=curve.dashed, weight=1.4, label=curve.name))
                x, y = points[-1]
                self.items.append(Note(layer=Layer.TEXT, at=(x - 0.3, y + 0.5), text=curve.name, size=0.8, anchor="end"))
        for level, text in marks:
            x, y = place(self.start_h, level)
            self.items.append(Line(layer=Layer.DIMENSION, points=((x, y), (self._x(self.end_h), y)), dashed=True, weight=0.6))
            self.items.append(Note(layer=Layer.DIMENSION, at=(x + 0.3, y + 0.4), text=text, size=0.7, anchor="start"))
        for value in (low, high):
            shown = format_quantity(value, DIMENSIONS[suffix], self.family, digits=2)
            self.items.append(Note(layer=Layer.DIMENSION, at=(-LABEL_M, place(self.start_h, value)[1]), text=shown, size=0.7, anchor="end"))
        if name:
            self._name(name, bottom + 0.5 * CURVE_M)
        self._y = bottom - 0.8

    def rows(self, rows: Sequence[Row]) -> None:
        """Bars in rows, the picked ones in chalk."""
        for row in rows:
            y = self._y - ROW_M
            self._name(row.name, y + 0.6)
            for bar in row.bars:
                left, right = max(bar.start_h, self.start_h), min(bar.end_h, self.end_h)
                if right - left < 0.05:
                    continue
                ring = ((self._x(left), y), (self._x(right), y), (self._x(right), y + 1.2), (self._x(left), y + 1.2))
                self.items.append(
                    Area(layer=Layer.CHALK if bar.chalk else Layer.CONCRETE_SEEN, outline=ring, hatch=bar.hatch, label=bar.label)
                )
                if bar.label and right - left >= NAMED_H:
                    self.items.append(Note(layer=Layer.TEXT, at=((self._x(left) + self._x(right)) / 2, y + 0.6), text=bar.label, size=0.8))
            self._y = y

    def picture(self, key: str, title: str, alt: str, notes: tuple[str, ...] = ()) -> Picture:
        """The band as a drawing."""
        return Picture(key=key, title=title, items=tuple(self.items), alt=alt, notes=notes)

    def _x(self, hour: float) -> float:
        return hour - self.start_h

    def _hours(self) -> range:
        last = min(int(self.end_h), self.weather.hours.n_hours - 1)
        return range(int(-(-self.start_h // 1)), last + 1)

    def _name(self, text: str, y: float) -> None:
        self.items.append(Note(layer=Layer.TEXT, at=(-LABEL_M, y), text=text, size=0.8, anchor="end"))
