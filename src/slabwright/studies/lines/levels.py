"""The level book: reduced, checked, closed."""

from dataclasses import dataclass

from slabwright.errors import MissingInput, OutOfRange
from slabwright.model.survey import LevelBook
from slabwright.standards.levelling import LevelClosure, ReducedBook, level_closure, reduced_book, shared_out

SET_UP_LENGTH_M = 60.0
"""Backsight and foresight of one set-up together, where the book states no length: 100 ft sights. [m]"""
_WHOLE_UNITS_M = (1.0, 0.3048, 0.1, 0.03048)


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelRun:
    """A reduced level book.

    Attributes
    ----------
    book : ReducedBook
    levels_m : tuple of float
        With the misclosure shared out where the run closes within its limit, else as reduced. [m]
    closure : LevelClosure or None
        None where the run ends on no known point.
    misbooked : tuple of (str, float, float)
        Point, level as booked, level as reduced, where they differ. [m]
    bust : str
        What a misclosure looks like, where it is near a whole foot, metre or tenth.
    length_assumed : bool
    """

    book: ReducedBook
    levels_m: tuple[float, ...]
    closure: LevelClosure | None
    misbooked: tuple[tuple[str, float, float], ...]
    bust: str
    length_assumed: bool


def level_run(book: LevelBook) -> LevelRun:
    """Reduce a level book.

    Raises
    ------
    MissingInput
        For a book that cannot be reduced.
    """
    if not book.readings or book.readings[0].known_m is None:
        raise MissingInput("the level book begins on no known point; give the elevation of its first point.")
    start = book.readings[0].known_m
    try:
        reduced = reduced_book([(one.point, one.back_m, one.between_m, one.fore_m) for one in book.readings], start_m=start)
    except OutOfRange as error:
        raise MissingInput(f"the level book cannot be reduced: {error}") from None
    misbooked = tuple(
        (one.point, one.booked_m, level.level_m)
        for one, level in zip(book.readings, reduced.levels, strict=True)
        if one.booked_m is not None and abs(one.booked_m - level.level_m) > 5e-4
    )
    end = book.readings[-1].known_m
    n_setups = len(reduced.foresights_m)
    closed = len(book.readings) > 1 and end is not None and n_setups == len(reduced.backsights_m)
    if not closed or end is None:
        levels = tuple(level.level_m for level in reduced.levels)
        return LevelRun(book=reduced, levels_m=levels, closure=None, misbooked=misbooked, bust="", length_assumed=False)
    closure = level_closure(
        backsights_m=reduced.backsights_m,
        foresights_m=reduced.foresights_m,
        start_m=start,
        end_m=end,
        length_m=book.length_m or SET_UP_LENGTH_M * n_setups,
    )
    return LevelRun(
        book=reduced,
        levels_m=shared_out(reduced, closure.misclosure_m) if closure.closes else tuple(level.level_m for level in reduced.levels),
        closure=closure,
        misbooked=misbooked,
        bust=_bust(closure),
        length_assumed=book.length_m is None,
    )


def _bust(closure: LevelClosure) -> str:
    """A misclosure within its own limit of a whole foot, metre or tenth is a misread figure."""
    if closure.closes:
        return ""
    names = dict(zip(_WHOLE_UNITS_M, ("a metre", "a foot", "a tenth of a metre", "a tenth of a foot"), strict=True))
    for unit, name in names.items():
        if abs(abs(closure.misclosure_m) - unit) <= max(closure.allowed_m, 0.004):
            return f"close to {name}: one figure was misread or misbooked"
    return ""
