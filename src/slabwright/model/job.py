"""A job: everything the builder knows about what is to be built."""

from dataclasses import dataclass, field
from datetime import date
from enum import Enum

from slabwright.model.combinations import LoadStandard as LoadStandard
from slabwright.model.concrete import Edge, Floor, Pad, Strip
from slabwright.model.ground import BaseCourse, Embed, Insulation, Pipe, Place, Retarder, Soil
from slabwright.model.loads import Post, Wall
from slabwright.model.steel import Bars, Mesh
from slabwright.model.supply import Crew, Forms, JointWishes, Mix, Plant, Prices
from slabwright.results.check import Assumption
from slabwright.units import Family


class ConcreteStandard(Enum):
    """Edition that concrete is checked against."""

    ACI_318_19 = "ACI 318-19"
    EN_1992 = "EN 1992-1-1"


class MinimumRules(Enum):
    """Edition whose least dimensions and under-slab rules are shown."""

    US_CODES = "IRC/IBC"
    EUROPEAN = "European practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Codes:
    """Editions chosen once for the job; every sheet prints them."""

    loads: LoadStandard = LoadStandard.ASCE_7_22
    concrete: ConcreteStandard = ConcreteStandard.ACI_318_19
    minimums: MinimumRules = MinimumRules.US_CODES

    def __str__(self) -> str:
        return f"{self.loads.value}, {self.concrete.value}, {self.minimums.value}"


class Enclosure(Enum):
    """Open roof, closed without heat, or heated."""

    OPEN = "open"
    ENCLOSED = "enclosed"
    HEATED = "heated"


@dataclass(frozen=True, slots=True, kw_only=True)
class Building:
    """What the floor is for.

    Attributes
    ----------
    enclosure : Enclosure
    n_stories : int
    use : str
        In the builder's words.
    floor_covering : bool
        True where a covering is to be laid later.
    vehicles : bool
    wash_down : bool
    radon : bool
        True where the local code asks for a soil-gas layer.
    electrode : bool
        True where the footing steel is to serve as earth electrode.
    steel_frame : bool
    """

    enclosure: Enclosure = Enclosure.ENCLOSED
    n_stories: int = 1
    use: str = ""
    floor_covering: bool = False
    vehicles: bool = False
    wash_down: bool = False
    radon: bool = False
    electrode: bool = False
    steel_frame: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerances:
    """Limits the contract holds the work to; defaults are in the docstring of each study that uses them.

    Attributes
    ----------
    thickness_minus_single_m, thickness_minus_mean_m : float
        How much thinner than drawn a single sample and the average of samples may be. [m]
    form_settlement_m : float
    square_m : float
        Largest difference of two diagonals. [m]
    level_m : float
    unsupported_length_m : float
        Soft spot that the perimeter edge must bridge. [m]
    """

    thickness_minus_single_m: float = 0.01905
    thickness_minus_mean_m: float = 0.009525
    form_settlement_m: float = 0.003175
    square_m: float = 0.00635
    level_m: float = 0.01905
    unsupported_length_m: float = 1.2192


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """How a clash between good rules was settled, by whom and when."""

    clash: str
    choice: str
    by: str = ""
    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Signature:
    """A hold point that somebody has looked at and signed; ``point`` is its key."""

    point: str
    by: str
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One slab.

    Attributes
    ----------
    name : str
    family : Family
        Units that sheets show.
    assumptions : tuple of Assumption
        Every default that was filled in for a value the file did not state.
    digest : str
        Short hash of the job file's content; printed on every sheet.

    The other fields are the sections a study may name in ``reads``.
    """

    name: str
    floor: Floor
    family: Family = Family.US
    codes: Codes = field(default_factory=Codes)
    place: Place = field(default_factory=Place)
    building: Building = field(default_factory=Building)
    soil: Soil = field(default_factory=Soil)
    edge: Edge | None = None
    strips: tuple[Strip, ...] = ()
    pads: tuple[Pad, ...] = ()
    posts: tuple[Post, ...] = ()
    walls: tuple[Wall, ...] = ()
    pipes: tuple[Pipe, ...] = ()
    embeds: tuple[Embed, ...] = ()
    base: BaseCourse | None = None
    retarder: Retarder | None = None
    insulation: tuple[Insulation, ...] = ()
    mesh: Mesh | None = None
    bars: tuple[Bars, ...] = ()
    joints: JointWishes = field(default_factory=JointWishes)
    mix: Mix | None = None
    forms: Forms = field(default_factory=Forms)
    crew: Crew = field(default_factory=Crew)
    plant: Plant = field(default_factory=Plant)
    prices: Prices | None = None
    tolerances: Tolerances = field(default_factory=Tolerances)
    decisions: tuple[Decision, ...] = ()
    signatures: tuple[Signature, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    digest: str = ""
