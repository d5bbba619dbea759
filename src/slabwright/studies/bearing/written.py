"""How demands are written out on paper in each family of units."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from slabwright.model.combinations import Combination
from slabwright.model.loads import LoadCase, Reactions
from slabwright.results.working import Working
from slabwright.units import FORCE, LENGTH, MOMENT, PRESSURE, Family, in_unit

Quantity = tuple[float, str]


@dataclass(frozen=True, slots=True)
class WrittenUnits:
    """Units that go together without factors: a force over the square of the length is the pressure."""

    force: str
    length: str
    pressure: str
    moment: str

    def force_of(self, value_n: float) -> Quantity:
        """A force as written."""
        return in_unit(value_n, FORCE, self.force), self.force

    def length_of(self, value_m: float) -> Quantity:
        """A length as written."""
        return in_unit(value_m, LENGTH, self.length), self.length

    def pressure_of(self, value_pa: float) -> Quantity:
        """A pressure as written."""
        return in_unit(value_pa, PRESSURE, self.pressure), self.pressure

    def moment_of(self, value_nm: float) -> Quantity:
        """A moment as written."""
        return in_unit(value_nm, MOMENT, self.moment), self.moment

    def per_length_of(self, load_n_m: float) -> Quantity:
        """A load per length as written."""
        return load_n_m * LENGTH.units[self.length].factor / self.newtons, f"{self.force}/{self.length}"

    def unit_weight_of(self, weight_n_m3: float) -> Quantity:
        """A unit weight as written."""
        return weight_n_m3 * LENGTH.units[self.length].factor ** 3 / self.newtons, f"{self.force}/{self.length}³"

    @property
    def newtons(self) -> float:
        """Newtons in the written force."""
        return FORCE.units[self.force].factor

    @property
    def newton_metres(self) -> float:
        """Newton metres in the written moment."""
        return MOMENT.units[self.moment].factor

    @property
    def pascals(self) -> float:
        """Pascals in the written pressure."""
        return PRESSURE.units[self.pressure].factor


_UNITS = MappingProxyType({Family.US: WrittenUnits("lb", "ft", "psf", "lb-ft"), Family.SI: WrittenUnits("kN", "m", "kPa", "kN·m")})


def units_of(family: Family) -> WrittenUnits:
    """The units a family writes demands in."""
    return _UNITS[family]


def write_sum(combination: Combination, reactions: Reactions, family: Family, working: Working, symbol: str = "P_u") -> float:
    """Write a combination out with the post's loads and add it up. [N]"""
    units = units_of(family)
    loads = {case: units.force_of(reaction.down_n) for case, reaction in reactions.items()}
    return _write(combination, loads, units.force, working, symbol) * units.newtons


def write_line_sum(combination: Combination, loads_n_m: Mapping[LoadCase, float], family: Family, working: Working) -> Quantity:
    """Write a combination out with loads per length and add it up, as written."""
    units = units_of(family)
    unit = units.per_length_of(0.0)[1]
    return _write(combination, {case: units.per_length_of(load) for case, load in loads_n_m.items()}, unit, working, "w"), unit


def _write(combination: Combination, loads: Mapping[LoadCase, Quantity], unit: str, working: Working, symbol: str) -> float:
    terms = [(factor, case) for factor, case in combination.terms if case in loads]
    if not terms:
        return 0.0
    symbols = {case: _symbol(combination.letters[case]) for _, case in terms}
    text = " + ".join(f"{'' if factor == 1 else f'{factor:g}*'}{symbols[case]}" for factor, case in terms).replace("+ -", "- ")
    values = {symbols[case]: loads[case] for _, case in terms}
    return working.line(f"{symbol} = {text}", unit, f"governs: {combination.name}", **values)


def _symbol(letters: str) -> str:
    """The letters that a standard gives a case, as a symbol of a formula.

    >>> _symbol("D"), _symbol("Lr"), _symbol("W (uplift)")
    ('D', 'L_r', 'W_up')
    """
    letter, _, way = letters.partition(" (")
    rest = "up" if way else letter[1:]
    return f"{letter[0]}_{rest}" if rest else letter
