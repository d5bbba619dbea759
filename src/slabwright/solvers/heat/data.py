"""What the compiled march of heat reads and writes: named bundles of arrays, and the places of its records."""

from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


class Kind(IntEnum):
    """What an end of the chain meets."""

    EXCHANGE = 0
    HELD = 1
    INSULATED = 2


class Channel(IntEnum):
    """Places of a record: temperatures [°C], their mean and linear part, equivalent ages [s], water on and lost from the top [kg/m²]."""

    TOP = 0
    MIDDLE = 1
    BOTTOM = 2
    MEAN = 3
    LINEAR = 4
    AGE_TOP = 5
    AGE_MIDDLE = 6
    AGE_BOTTOM = 7
    WATER = 8
    LOST = 9


class Part(IntEnum):
    """Places of an energy balance, each positive into the body. [J/m²]"""

    STORED = 0
    REACTED = 1
    SOURCED = 2
    THROUGH_TOP = 3
    EVAPORATED = 4
    THROUGH_BOTTOM = 5


class Matter(NamedTuple):
    """A chain of nodes from the top down and how its matter reacts.

    Attributes
    ----------
    capacity, source, reaction : array (n)
        Heat capacity, steady source and heat given off from degree of reaction 0 to 1, per node. [J/m²K, W/m², J/m²]
    conductance, softening : array (n - 1)
        Between neighbours before any reaction, and the fraction of it lost at full reaction. [W/m²K, -]
    n_reacting, middle : int
        Leading nodes that react, and the middle one of them.
    ultimate, tau_s, beta : float
        Degree of reaction over equivalent age: ``ultimate * exp(-(tau / age)**beta)``.
    activation_k, reference_k : float
        Arrhenius clock of the equivalent age. [K]
    """

    capacity: Floats
    conductance: Floats
    softening: Floats
    reaction: Floats
    source: Floats
    n_reacting: int
    middle: int
    ultimate: float
    tau_s: float
    beta: float
    activation_k: float
    reference_k: float


class Meeting(NamedTuple):
    """What top and bottom meet at one moment; ``absorbed`` is sun taken up, ``transfer`` the vapour coefficient [kg/m²s Pa]."""

    air_c: float
    film: float
    sky_c: float
    absorbed: float
    emissivity: float
    resistance: float
    transfer: float
    vapour_pa: float
    foot_c: float
    foot_film: float
    top_kind: int
    bottom_kind: int


class Flows(NamedTuple):
    """Heat into the chain during a stage [W/m²] and the iterations it took; -1 of them when it failed."""

    top: float
    vapour: float
    bottom: float
    iterations: int


class Chain(NamedTuple):
    """Bodies of all members; a first axis of length 1 is shared by all. See :class:`Matter`.

    ``width`` is the depth each reacting node stands for and ``depth`` where it lies. [m]
    """

    capacity: Floats
    conductance: Floats
    softening: Floats
    reaction: Floats
    source: Floats
    start_c: Floats
    width: Floats
    depth: Floats
    middle: int


class Members(NamedTuple):
    """One value per member: which outside table it meets and from when, how its matter reacts, bleeds and takes the sun.

    ``age_s`` is the equivalent age at the start, ``sun`` a factor on absorbed sun. Water that feeds evaporation rises at
    ``bleed_kg_m2_s`` until ``bleed_total_kg_m2`` or the degree ``bleed_end``; below it, ``skin_kg_m2`` is the loss at which the
    surface has dried to 1/e.
    """

    table: Whole
    start_s: Floats
    ultimate: Floats
    tau_s: Floats
    beta: Floats
    activation_k: Floats
    reference_k: Floats
    age_s: Floats
    sun: Floats
    bleed_kg_m2_s: Floats
    bleed_total_kg_m2: Floats
    bleed_end: Floats
    skin_kg_m2: Floats


class Outside(NamedTuple):
    """Tables (table, time) on equal steps of what top and bottom meet; units as in :class:`Meeting`."""

    step_s: float
    air_c: Floats
    film: Floats
    sky_c: Floats
    sun: Floats
    transfer: Floats
    vapour_pa: Floats
    foot_c: Floats
    foot_film: Floats
    top_kind: int
    bottom_kind: int


class Phases(NamedTuple):
    """What lies on the surface, in order; each begins at a time (member, phase) or at a degree of the middle node.

    ``resistance`` of a cover [m²K/W], ``absorptivity`` and ``emissivity`` of what faces the sky, ``wetness`` the share of free
    evaporation it still allows. A degree of infinity leaves the moment to the clock, a time of infinity to the degree.
    """

    start_s: Floats
    degree: Floats
    resistance: Floats
    absorptivity: Floats
    emissivity: Floats
    wetness: Floats


class Records(NamedTuple):
    """Where the march writes: (member, record, channel), (member, record, node) or none, (member, part), (member, phase)."""

    channels: Floats
    field: Floats
    balance: Floats
    switched_s: Floats


class State(NamedTuple):
    """One member at one moment: temperatures, their trend, ages, enthalpy less heat of reaction, running sums."""

    temps: Floats
    trend: Floats
    ages: Floats
    enthalpy: Floats
    tally: Floats
