"""Heat flow through layers: any number of them, from above and below, with a source or a reaction inside.

A textbook case::

    wall = Column.of(Layer(thickness_m=0.15, conductivity_w_mk=1.5, heat_capacity_j_m3k=2.35e6))
    run = conduct(wall, start_c=25.0, top=Held(5.0), bottom=Insulated(), duration_s=4 * 3600, step_s=60)
    run.temps_c[-1]

Depth runs downward from the top face. Time stepping and mesh are of second order; every run reports how far its energy
balance closes.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from slabwright.errors import NotConverged, OutOfRange
from slabwright.solvers.heat.data import Chain, Channel, Kind, Members, Outside, Part, Phases, Records
from slabwright.solvers.heat.march import march
from slabwright.solvers.hydration import Reaction
from slabwright.solvers.threads import in_threads

Floats = NDArray[np.float64]
Series = float | Callable[[Floats], Floats]


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """One layer.

    Attributes
    ----------
    thickness_m : float
    conductivity_w_mk : float
    heat_capacity_j_m3k : float
        Density times specific heat. [J/m³K]
    n_cells : int
    growth : float
        Each cell's thickness over the one above it.
    contact_m2k_w : float
        Resistance between this layer and the one above. [m²K/W]
    source_w_m3 : float
        Steady heat source. [W/m³]
    reaction_j_m3 : float
        Heat given off from degree of reaction 0 to 1; only leading layers may react. [J/m³]
    softening : float
        Fraction of the conductivity lost at full reaction.
    """

    thickness_m: float
    conductivity_w_mk: float
    heat_capacity_j_m3k: float
    n_cells: int = 16
    growth: float = 1.0
    contact_m2k_w: float = 0.0
    source_w_m3: float = 0.0
    reaction_j_m3: float = 0.0
    softening: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Column:
    """Layers cut into a chain of nodes, those at a face or an interface included.

    Attributes
    ----------
    depths_m : array (n)
        Of the nodes; a contact resistance stands between two nodes of one depth. [m]
    capacity_j_m2k, source_w_m2, reaction_j_m2 : array (n)
        Per node.
    conductance_w_m2k, softening : array (n - 1)
        Between neighbours.
    n_reacting : int
        Leading nodes that react.
    """

    depths_m: Floats
    capacity_j_m2k: Floats
    conductance_w_m2k: Floats
    source_w_m2: Floats
    reaction_j_m2: Floats
    softening: Floats
    n_reacting: int

    @classmethod
    def of(cls, *layers: Layer) -> "Column":
        """Cut layers, from the top down.

        Raises
        ------
        OutOfRange
            For no layer, a layer without thickness, conductivity or capacity, or one that reacts below one that does not.
        """
        if not layers:
            raise OutOfRange("a column needs at least one layer.")
        depths, capacity, source, reaction = [0.0], [0.0], [0.0], [0.0]
        conductance: list[float] = []
        softening: list[float] = []
        n_reacting = 0
        for number, layer in enumerate(layers, start=1):
            if min(layer.thickness_m, layer.conductivity_w_mk, layer.heat_capacity_j_m3k) <= 0 or layer.n_cells < 1:
                raise OutOfRange(f"layer {number}: thickness, conductivity, heat capacity and number of cells must be above nought.")
            if layer.reaction_j_m3 > 0 and number > 1 and layers[number - 2].reaction_j_m3 <= 0:
                raise OutOfRange(f"layer {number} reacts below one that does not; put the reacting layers first.")
            if layer.contact_m2k_w > 0 and number > 1:
                conductance.append(1.0 / layer.contact_m2k_w)
                softening.append(0.0)
                for column in (capacity, source, reaction):
                    column.append(0.0)
                depths.append(depths[-1])
            shares = layer.growth ** np.arange(layer.n_cells)
            for cell in layer.thickness_m * shares / shares.sum():
                for column, value in ((capacity, layer.heat_capacity_j_m3k), (source, layer.source_w_m3), (reaction, layer.reaction_j_m3)):
                    column[-1] += 0.5 * cell * value
                    column.append(0.5 * cell * value)
                conductance.append(layer.conductivity_w_mk / cell)
                softening.append(layer.softening)
                depths.append(depths[-1] + float(cell))
            if layer.reaction_j_m3 > 0:
                n_reacting = len(depths)
        return cls(
            depths_m=np.array(depths),
            capacity_j_m2k=np.array(capacity),
            conductance_w_m2k=np.array(conductance),
            source_w_m2=np.array(source),
            reaction_j_m2=np.array(reaction),
            softening=np.array(softening),
            n_reacting=n_reacting,
        )

    def chain(self, start_c: float | Floats) -> Chain:
        """The compiled march's view of this column, starting at these temperatures (a number, or one per node)."""
        depth = self.depths_m[: self.n_reacting]
        width = np.zeros_like(depth)
        if self.n_reacting:
            half = 0.5 * np.diff(depth)
            width[:-1] += half
            width[1:] += half
        middle = int(np.argmin(np.abs(depth - 0.5 * depth[-1]))) if self.n_reacting else 0
        start = np.broadcast_to(np.asarray(start_c, dtype=float), self.depths_m.shape)
        return Chain(
            self.capacity_j_m2k[None, :],
            self.conductance_w_m2k[None, :],
            self.softening,
            self.reaction_j_m2[None, :],
            self.source_w_m2[None, :],
            np.ascontiguousarray(start)[None, :],
            width,
            depth,
            middle,
        )


@dataclass(frozen=True, slots=True)
class Held:
    """A face held at a temperature: a number, or a function of an array of times. [°C]"""

    temp_c: Series


@dataclass(frozen=True, slots=True)
class Film:
    """A face that gives heat to surroundings through a coefficient; both numbers or functions of time. [W/m²K, °C]"""

    coefficient_w_m2k: Series
    temp_c: Series


@dataclass(frozen=True, slots=True)
class Insulated:
    """A face that lets nothing through."""


Face = Held | Film | Insulated


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Heat that entered a column over a run, per unit area, each positive inward. [J/m²]

    Attributes
    ----------
    stored_j_m2 : float
        Rise of sensible heat.
    reacted_j_m2, sourced_j_m2, top_j_m2, evaporated_j_m2, bottom_j_m2 : float
        What brought it.
    """

    stored_j_m2: float
    reacted_j_m2: float
    sourced_j_m2: float
    top_j_m2: float
    evaporated_j_m2: float
    bottom_j_m2: float

    @classmethod
    def of(cls, parts: Floats) -> "Balance":
        """From the parts of one member of a batch."""
        return cls(
            stored_j_m2=float(parts[Part.STORED]),
            reacted_j_m2=float(parts[Part.REACTED]),
            sourced_j_m2=float(parts[Part.SOURCED]),
            top_j_m2=float(parts[Part.THROUGH_TOP]),
            evaporated_j_m2=float(parts[Part.EVAPORATED]),
            bottom_j_m2=float(parts[Part.THROUGH_BOTTOM]),
        )

    @property
    def gap(self) -> float:
        """What is unaccounted for, as a fraction of the largest part; 0 where nothing moved."""
        brought = (self.reacted_j_m2, self.sourced_j_m2, self.top_j_m2, self.evaporated_j_m2, self.bottom_j_m2)
        largest = max(abs(self.stored_j_m2), *(abs(part) for part in brought))
        return abs(self.stored_j_m2 - sum(brought)) / largest if largest > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Run:
    """Temperatures of a column over time.

    Attributes
    ----------
    times_s : array (n_times)
    depths_m : array (n_nodes)
    temps_c : array (n_times, n_nodes)
    ages_s : array (n_times)
        Equivalent age of the middle of the reacting depth; nought where nothing reacts. [s]
    balance : Balance
    """

    times_s: Floats
    depths_m: Floats
    temps_c: Floats
    ages_s: Floats
    balance: Balance

    def temp_at(self, depth_m: float, time_s: float) -> float:
        """Temperature at a depth and a time, interpolated. [°C]"""
        profile = [float(np.interp(time_s, self.times_s, self.temps_c[:, node])) for node in range(self.depths_m.size)]
        return float(np.interp(depth_m, self.depths_m, profile))


def conduct(
    column: Column,
    *,
    start_c: float | Floats,
    top: Face,
    bottom: Face,
    duration_s: float,
    step_s: float,
    every: int = 1,
    reaction: Reaction | None = None,
) -> Run:
    """Carry one column through time.

    Parameters
    ----------
    column : Column
    start_c : float or array (n_nodes)
        [°C]
    top, bottom : Held, Film or Insulated
    duration_s, step_s : float
        The duration is rounded to whole steps. [s]
    every : int
        Steps between records.
    reaction : Reaction, optional
        How the reacting layers react.

    Raises
    ------
    OutOfRange
        If a duration or a step is not above nought.
    NotConverged
        If a step finds no temperature.
    """
    if not (duration_s > 0 and step_s > 0 and every >= 1):
        raise OutOfRange(f"duration and step must be above nought (got {duration_s} s and {step_s} s).")
    n_steps = max(1, round(duration_s / step_s))
    times = np.arange(n_steps + 1, dtype=np.float64) * float(step_s)
    top_kind, air, film = _face(top, times)
    bottom_kind, foot, foot_film = _face(bottom, times)
    nought = np.zeros((1, 1))
    outside = Outside(step_s, air, film, nought, nought, nought, nought, foot, foot_film, top_kind, bottom_kind)
    members = one_member(reaction)
    bare = Phases(np.zeros((1, 1)), np.array([np.inf]), np.zeros(1), np.zeros(1), np.zeros(1), np.zeros(1))
    records = carry(column.chain(start_c), members, outside, bare, n_steps=n_steps, step_s=step_s, every=every, keep_field=True)
    return Run(
        times_s=times[::every],
        depths_m=column.depths_m,
        temps_c=records.field[0],
        ages_s=records.channels[0, :, Channel.AGE_MIDDLE],
        balance=Balance.of(records.balance[0]),
    )


def one_member(reaction: Reaction | None) -> Members:
    """A batch of one, dry, starting with its outside table."""
    r = reaction or Reaction(ultimate=0.0, tau_s=1.0, beta=1.0, activation_j_mol=0.0)
    one = np.ones(1)
    return Members(
        np.zeros(1, dtype=np.int64), 0.0 * one, r.ultimate * one, r.tau_s * one, r.beta * one, r.activation_k * one,
        r.reference_k * one, r.start_age_s * one, one, 0.0 * one, 0.0 * one, 0.0 * one, one,
    )  # fmt: skip


def carry(
    chain: Chain,
    members: Members,
    outside: Outside,
    phases: Phases,
    *,
    n_steps: int,
    step_s: float,
    every: int = 1,
    keep_field: bool = False,
) -> Records:
    """Carry a batch of members through time, sharing it over the cores.

    Raises
    ------
    NotConverged
        If a step of a member finds no temperature.
    """
    outside = outside._replace(step_s=float(outside.step_s))
    n, n_records = members.table.size, n_steps // every + 1
    records = Records(
        np.zeros((n, n_records, len(Channel))),
        np.zeros((n if keep_field else 0, n_records, chain.capacity.shape[1])),
        np.zeros((n, len(Part))),
        np.full((n, phases.resistance.size), np.nan),
    )
    failed = in_threads(lambda first, last: march(chain, members, outside, phases, n_steps, float(step_s), every, first, last, records), n)
    if max(failed) >= 0:
        raise NotConverged(f"heat flow of member {max(failed) + 1} of {n} found no temperature; shorten the step of {step_s:g} s.")
    return records


def _face(face: Face, times: Floats) -> tuple[int, Floats, Floats]:
    """Kind, temperature table and coefficient table of a face."""
    if isinstance(face, Insulated):
        return Kind.INSULATED, np.zeros((1, 1)), np.zeros((1, 1))
    if isinstance(face, Held):
        return Kind.HELD, _table(face.temp_c, times), np.zeros((1, 1))
    return Kind.EXCHANGE, _table(face.temp_c, times), _table(face.coefficient_w_m2k, times)


def _table(series: Series, times: Floats) -> Floats:
    values = np.asarray(series(times) if callable(series) else series, dtype=float)
    return np.ascontiguousarray(np.broadcast_to(values, times.shape))[None, :] if values.ndim else values.reshape(1, 1)
