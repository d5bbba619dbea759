"""Delivery tickets of the pour, as they come."""

import hashlib
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticket:
    """One load.

    Attributes
    ----------
    name : str
        Number on the ticket.
    batched, arrived, started, ended : datetime or None
        With their zone; None where not stamped yet.
    volume_m3 : float
        [m³]
    slump_m : float or None
        Measured at the chute. [m]
    water_added_m3 : float
        On site. [m³]
    """

    name: str
    batched: datetime
    volume_m3: float
    arrived: datetime | None = None
    started: datetime | None = None
    ended: datetime | None = None
    slump_m: float | None = None
    water_added_m3: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tickets:
    """All loads of one pour, in the order batched."""

    loads: tuple[Ticket, ...]

    @property
    def digest(self) -> str:
        """Short hash of the content."""
        return hashlib.sha256(repr(self.loads).encode()).hexdigest()[:16]

    @property
    def placed_m3(self) -> float:
        """Concrete of the loads that are emptied. [m³]"""
        return sum(load.volume_m3 for load in self.loads if load.ended is not None)

    @property
    def called_m3(self) -> float:
        """Concrete of all loads batched. [m³]"""
        return sum(load.volume_m3 for load in self.loads)

    @property
    def last_stamp(self) -> datetime:
        """Latest time on any ticket."""
        return max(stamp for load in self.loads for stamp in (load.batched, load.arrived, load.started, load.ended) if stamp is not None)
