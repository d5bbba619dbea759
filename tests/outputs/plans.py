"""Small invented plans that show every state, long and hostile text, waiting studies and empty results."""

from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal

from slabwright.errors import MissingInput
from slabwright.model.concrete import Floor
from slabwright.model.job import Job
from slabwright.model.site import Site
from slabwright.model.supply import Prices
from slabwright.results.check import Ask, Assumption, Caution, Check, Referral, State
from slabwright.results.lines import QuantityLine, Task, Trade
from slabwright.results.table import Column, Table
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause, Source, arithmetic, practice
from slabwright.study import Done, Inputs, Plan, Presentation, Result, Stage, Study, run_studies
from slabwright.units import CUBIC_YARD_M3, FOOT_M, INCH_M, KIP_N, PSF_PA, PSI_PA, Family
from tests.outputs.pictures import map_picture, plan_picture, section_picture

BOOK = Source("Invented Code 7", "Invented Code for Slabs, seventh edition, 2031")
TABLE = Clause(BOOK, "table 4.2", Basis.TEXT_SEEN)
RULE = Clause(BOOK, "8.4.2", Basis.MEMORY)
HOSTILE = '<script>alert("x")</script> =cmd()|#set page(fill: red) *bold* $x$ \\u{1F600} & Sons'
FLOOR = Floor(outline=((0.0, 0.0), (9.0, 0.0), (9.0, 11.0), (0.0, 11.0)), thickness_m=5 * INCH_M)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeResult(Result):
    """Fields of its own, some plain, some not."""

    area_m2: float
    volumes_m3: dict[str, float] = field(default_factory=dict)
    solid: object = None
    states: tuple[State, ...] = ()


def bearing(pad: str, load_kip: float, area_ft2: float, allowed_psf: float, spread: float = 0.0) -> Check:
    """Pressure under a pad, worked."""
    working = Working()
    gross = working.line("q_gross = P/A", "psf", note="Load and the pad's own weight", P=(load_kip * 1000, "lb"), A=(area_ft2, "ft²"))
    working.line("r = q_gross/q_a", "", q_gross=(gross, "psf"), q_a=(allowed_psf, "psf"))
    return Check(
        key=f"{pad}.bearing",
        name="Bearing under the pad",
        where=f"pad {pad}",
        demand=gross * PSF_PA,
        capacity=allowed_psf * PSF_PA,
        suffix="pa",
        clause=TABLE,
        method=arithmetic("load over area"),
        governing="D + S",
        spread=spread,
        steps=tuple(working.steps),
        remedy="widen the pad to 3 ft" if gross > allowed_psf else "",
    )


def _shape(inputs: Inputs, done: Done) -> ShapeResult:
    return ShapeResult(
        answer="Order *29 yd³*, the last load held until measured; the sloped edge alone takes *3 1/4 yd³* more than a plain rectangle.",
        checks=(
            bearing("P1", 9.6, 6.25, 2000.0),
            bearing("P2", 9.6, 6.25, 2000.0),
            bearing("P3", 11.9, 6.25, 2000.0, spread=0.1),
            bearing("P4", 13.1, 6.25, 2000.0),
            Check(
                key="edge.depth",
                name="Depth of the edge below outside grade",
                where="perimeter edge",
                demand=12 * INCH_M,
                capacity=12.25 * INCH_M,
                suffix="m",
                clause=TABLE,
            ),
            Check(
                key="strength", name="Strength of the mix", where="", demand=3000 * PSI_PA, capacity=3500 * PSI_PA, suffix="pa", clause=RULE
            ),
        ),
        referrals=(
            Referral(question="Is the pad under the gable post to be tied to the edge?", where="pad P3", to=Ask.ENGINEER, clause=RULE),
            Referral(question="Which frost depth does the county use?", where="site", to=Ask.BUILDING_DEPARTMENT),
        ),
        lines=(
            QuantityLine(
                key="concrete.order",
                item="Concrete to order",
                quantity=29 * CUBIC_YARD_M3,
                suffix="m3",
                trade=Trade.CONCRETE,
                basis="26.7 yd³ neat, then each allowance, to the half yard",
                waste=0.086,
                waste_reason="over-dig, bulge, pump",
                clause=practice("allowances of the trade"),
            ),
            QuantityLine(
                key="concrete.floor",
                item="of which floor",
                quantity=16.67 * CUBIC_YARD_M3,
                suffix="m3",
                trade=Trade.CONCRETE,
                basis="1,080 ft² x 5 in",
                part_of="concrete.order",
            ),
            QuantityLine(
                key="base",
                item="Base stone, loose",
                quantity=22.0 * 907.18474,
                suffix="kg",
                unit="ton",
                trade=Trade.EARTHWORK,
                basis="13.3 yd³ compacted x 1.2 x 1.38 ton/yd³",
            ),
            QuantityLine(
                key="bars.no4",
                item="No.4 bars, 20 ft",
                quantity=24,
                suffix="",
                unit="bars",
                trade=Trade.STEEL,
                basis="132 ft x 3 / 18.3 ft",
                waste=0.09,
                waste_reason="laps 20 in",
            ),
            QuantityLine(
                key="forms", item="Edge form, 2x12", quantity=132 * FOOT_M, suffix="m", unit="ft", trade=Trade.FORMS, basis="outline"
            ),
        ),
        tasks=(Task(what="Shoot the base on a 6 ft grid", who="crew lead", when="two days before", where="whole floor"),),
        assumptions=(
            Assumption(
                where="floor.thickness", statement="5 in, the least that the trade would pour for light wheels", clause=practice("floors")
            ),
        ),
        cautions=(
            Caution(text="An open cut deeper than 5 ft caves in without a sign; the site supervisor decides how it is held.", clause=RULE),
        ),
        area_m2=100.3,
        volumes_m3={"floor": 12.74, "edge": 7.2, "pads": 0.46},
        solid=object(),
        states=(State.HOLDS, State.ASK),
    )


def _show_shape(inputs: Inputs, done: Done, result: ShapeResult) -> Presentation:
    rows = [(f"P{n}", 2.5 * FOOT_M, 14 * INCH_M, 8.5 * KIP_N, n) for n in range(1, 5)]
    columns = ["pad", Column("side", "m"), Column("depth", "m"), Column("load", "n"), "posts"]
    return Presentation(
        pictures=(plan_picture(), section_picture(), replace(section_picture(), key="section-pad", title="Section through a pad")),
        tables=(Table.of("Pads", columns, rows, note="Sides are those of the underside."),),
    )


def _map(inputs: Inputs, done: Done) -> Result:
    done[SHAPE]
    return Result(answer="The floor is *4 1/8 in* thick where it is thinnest.", checks=(bearing("S1", 1.0, 2.0, 2000.0),))


def _near(inputs: Inputs, done: Done) -> Result:
    return Result(answer="The uplift holds by *4 %*.", checks=(bearing("P9", 12.0, 6.25, 2000.0, spread=0.15),))


def _fails(inputs: Inputs, done: Done) -> Result:
    checks = (bearing("P7", 13.1, 6.25, 2000.0), bearing("P8", 12.55, 6.25, 2000.0))
    return Result(answer="Two pads are *too small* for what stands on them.", checks=checks)


def _asks(inputs: Inputs, done: Done) -> Result:
    referral = Referral(question="May the electrode lie over the sheet?", where="west edge", to=Ask.ELECTRICIAN, clause=RULE)
    return Result(answer="Decide the earth electrode *before* the sheet goes down.", referrals=(referral,))


def _waits(inputs: Inputs, done: Done) -> Result:
    raise MissingInput('write the weather file as weather.file = "forecast.csv" to have the pour hour worked out')


def _empty(inputs: Inputs, done: Done) -> Result:
    return Result(answer="Nothing to do here.")


def _hostile(inputs: Inputs, done: Done) -> Result:
    long = "An uncommonly long name for a check that no table column was made for, with a word-that-does-not-break-" + "x" * 60
    return Result(
        answer=f"{HOSTILE} *Ωmega ½* façade Żółć.",
        checks=(
            Check(key="h.1", name=long, where=HOSTILE, demand=1.0, capacity=2.0, suffix="", clause=RULE, governing=HOSTILE),
            Check(
                key="h.2", name="Small overrun", where="-2+3", demand=1.0004, capacity=1.0, suffix="m", clause=TABLE, remedy="=HYPERLINK(1)"
            ),
        ),
        lines=(
            QuantityLine(
                key="h", item="=1+1", quantity=3.0, suffix="", unit="@rolls", trade=Trade.SHEET, basis="+cmd", waste_reason="-x", waste=0.1
            ),
        ),
        assumptions=(Assumption(where="=A1", statement=HOSTILE, clause=practice("names")),),
        cautions=(Caution(text=HOSTILE),),
    )


def _long(inputs: Inputs, done: Done) -> Result:
    return Result(
        answer="All *60* posts stand on pads that hold.",
        checks=tuple(bearing(f"Q{n}", 6.0 + 0.05 * n, 6.25, 2000.0) for n in range(60)),
        tasks=tuple(Task(what=f"Check pad Q{n} for loose soil", who="crew lead", when="the morning before") for n in range(6)),
    )


def _show_long(inputs: Inputs, done: Done, result: Result) -> Presentation:
    rows = [(f"Q{n}", n * FOOT_M, (n % 7) * FOOT_M, None if n == 3 else 1.0 * n) for n in range(60)]
    return Presentation(tables=(Table.of("Posts", ["post", Column("x", "m"), Column("y", "m"), "number"], rows),))


def _show_map(inputs: Inputs, done: Done, result: Result) -> Presentation:
    return Presentation(pictures=(map_picture(),))


SHAPE = Study(key="shape", question="What is to be poured, and how much of it?", stage=Stage.DESIGN, run=_shape, present=_show_shape)
MAP = Study(
    key="thickness", question="Where is it thin, and does it matter?", stage=Stage.GROUND, run=_map, present=_show_map, needs=(SHAPE,)
)
NEAR = Study(key="uplift", question="Is it heavy enough to hold the roof down?", stage=Stage.DESIGN, run=_near)
FAILS = Study(key="pads", question="Do the pads carry their posts?", stage=Stage.DESIGN, run=_fails)
ASKS = Study(key="earth", question="Where does the earth electrode go?", stage=Stage.SERVICES, run=_asks)
WAITS = Study(key="hour", question="Which hour is best to begin?", stage=Stage.PLACING, run=_waits)
AFTER = Study(key="saw", question="When must it be sawn?", stage=Stage.CURING, run=_empty, needs=(WAITS,))
EMPTY = Study(key="nothing", question="Is there anything else?", stage=Stage.HANDOVER, run=_empty)
NASTY = Study(key="hostile", question=f"What if a name is {HOSTILE}?", stage=Stage.HANDOVER, run=_hostile)
LONG = Study(key="posts", question="Do all posts stand where they should?", stage=Stage.FORMS, run=_long, present=_show_long)

ALL = (SHAPE, NEAR, FAILS, MAP, ASKS, LONG, WAITS, AFTER, EMPTY, NASTY)
CALM = (SHAPE, NEAR, FAILS, MAP, ASKS, WAITS)


def job(family: Family = Family.US, name: str = "Brindlecote seed-and-tool store") -> Job:
    """An invented job with prices."""
    prices = Prices(per_unit={"concrete.order": Decimal("206.66"), "bars.no4": Decimal("11.40")})
    assumption = Assumption(where="soil.allowable_bearing", statement="2,000 psf for silty sand", clause=TABLE)
    return Job(name=name, floor=FLOOR, family=family, prices=prices, assumptions=(assumption,), digest="4f1c9a0b77de2231")


def plan(
    *studies: Study, family: Family = Family.US, name: str = "Brindlecote seed-and-tool store", today: date | None = date(2031, 4, 9)
) -> Plan:
    """The plan of some studies, all of them where none is named."""
    return run_studies(studies or ALL, Inputs(job=job(family, name), site=Site(today=today)))
