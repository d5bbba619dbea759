"""From cases to combinations: what each post brings down, built from its tributary area where no reactions are given."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from slabwright.model.combinations import Combination, Level
from slabwright.model.loads import LoadCase, Reaction, Reactions, Wall
from slabwright.standards.load_combinations import CombinationSet

Array = NDArray[np.float64]


def with_walls(reactions: Reactions, walls: Sequence[tuple[Wall, float]]) -> tuple[Reactions, tuple[tuple[str, LoadCase, float], ...]]:
    """Reactions with the walls that stand on the same pad: each wall with the length of it over the pad. [m]"""
    total = dict(reactions)
    added = []
    for wall, length_m in walls:
        for case, load_n_m in wall.line_loads_n_m.items():
            force = load_n_m * length_m
            before = total.get(case, Reaction())
            total[case] = Reaction(
                down_n=before.down_n + force, shear_x_n=before.shear_x_n, shear_y_n=before.shear_y_n, moment_x_nm=before.moment_x_nm,
                moment_y_nm=before.moment_y_nm,
            )  # fmt: skip
            added.append((wall.name, case, force))
    return MappingProxyType(total), tuple(added)


@dataclass(frozen=True)
class LoadTable:
    """Combinations of an edition as matrices, to factor every post at once.

    Attributes
    ----------
    combinations : CombinationSet
    """

    combinations: CombinationSet
    _cache: dict[tuple[Level, frozenset[LoadCase]], tuple[tuple[Combination, ...], Array]] = field(default_factory=dict, repr=False)

    @cached_property
    def _factors(self) -> Mapping[Level, Array]:
        return {
            level: np.array([[one.factors.get(case, 0.0) for case in LoadCase] for one in self.combinations.at(level)]) for level in Level
        }

    def at(self, level: Level, reactions: Reactions) -> "Factored":
        """Every combination of a level for one post, less the terms of cases it does not have; repeats are left out.

        Dead load stays in, with or without some on the post: the concrete has its share of it.
        """
        combinations, matrix = self._limited(level, frozenset(reactions) | {LoadCase.DEAD})
        values = np.array([_row(reactions.get(case, _NOTHING)) for case in LoadCase])
        return Factored(combinations, matrix @ values, matrix[:, 0])

    def _limited(self, level: Level, cases: frozenset[LoadCase]) -> tuple[tuple[Combination, ...], Array]:
        if (level, cases) not in self._cache:
            matrix = self._factors[level] * np.array([case in cases for case in LoadCase])
            _, first = np.unique(matrix, axis=0, return_index=True)
            keep = np.sort(first)
            table = self.combinations.at(level)
            self._cache[level, cases] = tuple(table[k].limited(cases) for k in keep), matrix[keep]
        return self._cache[level, cases]


_NOTHING = Reaction()


def _row(reaction: Reaction) -> tuple[float, ...]:
    return reaction.down_n, reaction.shear_x_n, reaction.shear_y_n, reaction.moment_x_nm, reaction.moment_y_nm


@dataclass(frozen=True, slots=True)
class Factored:
    """Factored reactions of one post, a row for each combination.

    Attributes
    ----------
    combinations : tuple of Combination
    values : (n, 5) array
        Down, shear x and y, moment x and y. [N], [N·m]
    dead : (n,) array
        Factor on dead load in each.
    """

    combinations: tuple[Combination, ...]
    values: Array
    dead: Array

    @property
    def down(self) -> Array:
        """[N]"""
        return self.values[:, 0]

    @property
    def shear(self) -> Array:
        """Horizontal force, both ways together. [N]"""
        found: Array = np.hypot(self.values[:, 1], self.values[:, 2])
        return found

    def rows(self, keep: Sequence[int]) -> "Factored":
        """Some of the combinations."""
        index = list(keep)
        return Factored(tuple(self.combinations[k] for k in index), self.values[index], self.dead[index])
