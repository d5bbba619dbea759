"""Pictures as studies make them: a plan with a notch, a section through its edge, a map with contours."""

import math

from slabwright.results.check import State
from slabwright.results.picture import (
    Area,
    Circle,
    DimensionLine,
    Hatch,
    Layer,
    Leader,
    Line,
    Mark,
    Note,
    Picture,
    Point,
    Ring,
    Scale,
)

FT = 0.3048
IN = 0.0254


def ft(*points: tuple[float, float]) -> Ring:
    """Points given in feet."""
    return tuple((x * FT, y * FT) for x, y in points)


def square(x: float, y: float, side: float) -> Ring:
    """A square about a point, in feet."""
    half = side / 2
    return ft((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


OUTLINE = ft((0, 0), (57, 0), (57, 6), (67, 6), (67, 0), (76, 0), (76, 32), (48, 32), (48, 60), (0, 60))
INNER = ft((2, 2), (55, 2), (55, 8), (69, 8), (69, 2), (74, 2), (74, 30), (46, 30), (46, 58), (2, 58))


def plan_picture() -> Picture:
    """A plan with re-entrant corners: edge, pads, joints, posts, dimensions, notes, leaders, marks."""
    items: list[object] = [
        Area(layer=Layer.CONCRETE_SEEN, outline=OUTLINE, hatch=Hatch.SOLID, outlined=False),
        Area(layer=Layer.CONCRETE_HIDDEN, outline=OUTLINE, holes=(INNER,), hatch=Hatch.MEDIUM, label="perimeter edge"),
    ]
    pads = [(x, y) for y in (1.33, 20, 40, 58.67) for x in (1.33, 46.67)]
    items += [
        Area(layer=Layer.CONCRETE_HIDDEN, outline=square(x, y, 4), hatch=Hatch.DENSE, label=f"pad P{n}") for n, (x, y) in enumerate(pads, 1)
    ]
    for start, end in (
        ((16, 0), (16, 60)), ((32, 0), (32, 60)), ((0, 15), (48, 15)), ((0, 45), (48, 45)), ((57, 0), (57, 32)), ((67, 0), (67, 32)),
        ((48, 6), (76, 6)), ((48, 15), (76, 15)), ((48, 23.5), (76, 23.5)),
    ):  # fmt: skip
        items.append(Line(layer=Layer.JOINT, points=ft(start, end), label="saw-cut, 1 3/4 in deep"))
    items.append(Line(layer=Layer.CONCRETE_SEEN, points=OUTLINE, closed=True, weight=1.6))
    items.append(Line(layer=Layer.PIPE, points=ft((0, 30), (48, 30)), dashed=True, label="trench drain"))
    items += [Area(layer=Layer.POST, outline=square(x, y, 1), hatch=Hatch.SOLID) for x, y in pads]
    items += [Note(layer=Layer.TEXT, at=(x * FT, (y + 3.2) * FT), text=f"P{n}", bold=True) for n, (x, y) in enumerate(pads, 1)]
    items += [
        Circle(layer=Layer.PIPE, centre=(71 * FT, 27.5 * FT), radius_m=2 * IN),
        Circle(layer=Layer.PIPE, centre=(60 * FT, 20 * FT), radius_m=6 * IN, dashed=True),
        Circle(layer=Layer.BOLT, centre=(50.5 * FT, 3 * FT), radius_m=1 * IN, filled=True),
        Note(layer=Layer.TEXT, at=(24 * FT, 38 * FT), text="Truck bay\n7 in floor", size=1.3, bold=True),
        Note(layer=Layer.TEXT, at=(62 * FT, 12 * FT), text="Wing\n4 in floor", size=1.3),
        Leader(layer=Layer.TEXT, tip=(71 * FT, 27.5 * FT), at=(82 * FT, 36 * FT), text="WC stub, 2 ties"),
        Leader(
            layer=Layer.CHALK, tip=(48 * FT, 32 * FT), at=(56 * FT, 44 * FT), text="Two No.5 x 4 ft diagonals in the corner, 2 in clear"
        ),
        Mark(layer=Layer.TEXT, at=(8 * FT, 8 * FT), state=State.HOLDS, text="bearing 71 %"),
        Mark(layer=Layer.TEXT, at=(24 * FT, 8 * FT), state=State.NEAR, text="uplift"),
        Mark(layer=Layer.TEXT, at=(40 * FT, 8 * FT), state=State.FAILS, text="lap"),
        Mark(layer=Layer.TEXT, at=(8 * FT, 52 * FT), state=State.ASK, text="engineer"),
        Mark(layer=Layer.TEXT, at=(40 * FT, 52 * FT), state=State.WAITING, text="soils report"),
        Note(layer=Layer.CHALK, at=(24 * FT, 22 * FT), text="Start here", boxed=True),
    ]
    for start, end, offset in (
        ((0, 60), (48, 60), 10), ((0, 60), (16, 60), 5), ((16, 60), (32, 60), 5), ((32, 60), (48, 60), 5),
        ((0, 0), (0, 60), 10), ((0, 0), (0, 15), 5), ((0, 15), (0, 30), 5), ((0, 30), (0, 45), 5), ((0, 45), (0, 60), 5),
        ((76, 32), (76, 0), 6), ((76, 0), (0, 0), 10), ((57, 0), (0, 0), 5), ((67, 0), (57, 0), 5), ((76, 0), (67, 0), 5),
        ((57, 6), (57, 0), -2),
    ):  # fmt: skip
        (a, b), (c, d) = start, end
        items.append(DimensionLine(start=(a * FT, b * FT), end=(c * FT, d * FT), offset_m=offset * FT))
    return Picture(
        key="plan",
        title="Plan of the slab",
        items=tuple(items),  # type: ignore[arg-type]
        alt="Plan of an L-shaped floor, 76 by 60 ft, with eight pads, nine saw cuts and a notch in the south side.",
        notes=("Pads are drawn at their undersides.", "Joints are sawn 1 3/4 in deep in the bay and 1 in deep in the wing."),
    )


def section_picture() -> Picture:
    """A section through the thickened edge: soil, base, sheet, concrete, steel, form."""
    slab, edge, width, grade = 5 * IN, 20 * IN, 12 * IN, -8 * IN
    skirt = width + (edge - slab)
    concrete: Ring = ((0, 0), (1.5, 0), (1.5, -slab), (skirt, -slab), (width, -edge), (0, -edge))
    base: Ring = ((1.5, -slab), (skirt, -slab), (skirt - 0.1016, -slab - 0.1016), (1.5, -slab - 0.1016))
    under = ((skirt - 0.1016, -slab - 0.1016), (1.5, -slab - 0.1016))
    soil: Ring = ((-0.35, grade), (0, grade), (0, -edge), (width, -edge), *under, (1.5, -0.75), (-0.35, -0.75))
    bars = [(3.4 * IN, -edge + 3.3 * IN), (width - 3.4 * IN, -edge + 3.3 * IN), (3 * IN, -2.4 * IN)]
    items = (
        Area(layer=Layer.SOIL, outline=soil, hatch=Hatch.EARTH),
        Area(layer=Layer.BASE, outline=base, hatch=Hatch.STONE),
        Area(layer=Layer.CONCRETE_CUT, outline=concrete, hatch=Hatch.SOLID),
        Line(layer=Layer.SHEET, points=((1.5, -slab - 0.004), (skirt, -slab - 0.004), (width, -edge - 0.004), (0, -edge - 0.004))),
        Area(layer=Layer.FORM, outline=((-1.5 * IN, 0), (0, 0), (0, -11.25 * IN), (-1.5 * IN, -11.25 * IN)), hatch=Hatch.SPARSE),
        Line(layer=Layer.STEEL, points=((4 * IN, -2 * IN), (1.45, -2 * IN)), dashed=True),
        *(Circle(layer=Layer.STEEL, centre=bar, radius_m=0.25 * IN, filled=True, label="No.4 bar") for bar in bars),
        Line(layer=Layer.JOINT, points=((1.1, 0), (1.1, -1.25 * IN))),
        DimensionLine(start=(0, -edge), end=(0, 0), offset_m=0.25),
        DimensionLine(start=(width, -edge), end=(0, -edge), offset_m=-0.18),
        DimensionLine(start=(1.5, 0), end=(1.5, -slab), offset_m=0.12),
        DimensionLine(start=(1.5, -slab), end=(1.5, -slab - 0.1016), offset_m=0.12),
        DimensionLine(start=(width, -edge), end=(skirt, -edge), offset_m=-0.18),
        Leader(layer=Layer.TEXT, tip=(0.8, -slab - 0.004), at=(0.9, 0.28), text="10 mil retarder, lapped 6 in and taped"),
        Leader(layer=Layer.TEXT, tip=(1.0, -2 * IN), at=(1.25, 0.2), text="6x6 W2.9 mesh in the upper third"),
        Leader(layer=Layer.TEXT, tip=bars[1], at=(0.75, -0.6), text="2 No.4 bottom, 1 No.4 top, 3 in cover"),
        Leader(layer=Layer.TEXT, tip=(-0.03, -0.1), at=(-0.12, 0.18), text="2x12 form"),
        Note(layer=Layer.TEXT, at=(-0.33, grade + 0.03), text="outside grade", anchor="start", size=0.9),
    )
    return Picture(
        key="section-edge", title="Section through the edge", items=items, alt="The edge is 20 in deep and 12 in wide at its base."
    )


def map_picture(cells: int = 30) -> Picture:
    """A thickness map over a rectangle with contours and their numbers."""

    def thickness_m(x: float, y: float) -> float:
        return 5.2 * IN + 0.6 * IN * math.sin(x / 2.1) * math.cos(y / 2.7) - 0.5 * IN * math.exp(-((x - 6) ** 2 + (y - 6.5) ** 2))

    low, high = 4.0 * IN, 6.0 * IN
    wide, deep = 30 * FT, 36 * FT
    dx, dy = wide / cells, deep / cells
    items: list[object] = []
    for i in range(cells):
        for j in range(cells):
            x, y = i * dx, j * dy
            value = (thickness_m(x + dx / 2, y + dy / 2) - low) / (high - low)
            items.append(Area(layer=Layer.MAP, outline=((x, y), (x + dx, y), (x + dx, y + dy), (x, y + dy)), value=value))
    for radius, text in ((0.7, "4 3/4 in"), (1.4, "5 in")):
        ring: tuple[Point, ...] = tuple(
            (6 + radius * math.cos(a / 20 * math.pi), 6.5 + radius * math.sin(a / 20 * math.pi)) for a in range(40)
        )
        items.append(Line(layer=Layer.CONTOUR, points=ring, closed=True, label=text))
    wave: tuple[Point, ...] = tuple((x / 40 * wide, 2.2 + 0.6 * math.sin(x / 6)) for x in range(41))
    items.append(Line(layer=Layer.CONTOUR, points=wave, label="5 1/4 in"))
    items.append(Line(layer=Layer.CONCRETE_SEEN, points=ft((0, 0), (30, 0), (30, 36), (0, 36)), closed=True))
    items.append(Note(layer=Layer.CHALK, at=(6.0, 6.5), text="thin: 4 1/8 in", bold=True))
    items.append(Leader(layer=Layer.CHALK, tip=(6.0, 6.3), at=(10.5, 8.0), text="Shave 3/8 in here, 2 barrow loads"))
    return Picture(
        key="thickness",
        title="Thickness from the base survey",
        items=tuple(items),  # type: ignore[arg-type]
        scale=Scale(title="thickness", low=low, high=high, suffix="m", levels=tuple(n * 0.25 * IN for n in range(17, 24))),
        alt="Thickness between 4 and 6 in; thinnest at the north-east.",
    )
