"""Random jobs for properties: outlines, edges, pads and strips of the sizes that are built, and some odder ones."""

import math

import shapely
from hypothesis import strategies as st

from slabwright.model.concrete import Edge, Floor, Pad, PadShape, Strip

lengths_m = st.floats(min_value=3.0, max_value=30.0)


@st.composite
def star_outlines(draw):
    """Any simple polygon that can be seen from one point inside: convex and re-entrant corners, skewed sides."""
    n = draw(st.integers(min_value=4, max_value=10))
    radii = draw(st.lists(st.floats(min_value=4.0, max_value=14.0), min_size=n, max_size=n))
    turns = draw(st.lists(st.floats(min_value=-0.3, max_value=0.3), min_size=n, max_size=n))
    angles = [2 * math.pi * (k + turn) / n for k, turn in enumerate(turns)]
    return tuple((r * math.cos(a), r * math.sin(a)) for r, a in zip(radii, angles, strict=True))


@st.composite
def lettered_outlines(draw):
    """L, T and U shapes with square corners."""
    x, y = draw(lengths_m), draw(lengths_m)
    a, b = (draw(st.floats(min_value=0.2, max_value=0.8)) for _ in range(2))
    kind = draw(st.sampled_from("LTU"))
    if kind == "L":
        ring = [(0, 0), (x, 0), (x, b * y), (a * x, b * y), (a * x, y), (0, y)]
    elif kind == "T":
        w = 0.5 * a * x
        ring = [(-w, 0), (w, 0), (w, b * y), (x, b * y), (x, y), (-x, y), (-x, b * y), (-w, b * y)]
    else:
        w = 0.4 * a * x
        ring = [(0, 0), (x, 0), (x, y), (x - w, y), (x - w, b * y), (w, b * y), (w, y), (0, y)]
    return tuple((float(p), float(q)) for p, q in ring)


outlines = st.one_of(star_outlines(), lettered_outlines())
runs = st.sampled_from((0.0, 0.5, 1.0, 1.5))
edges = st.builds(
    Edge,
    depth_m=st.floats(min_value=0.3, max_value=0.9),
    width_m=st.floats(min_value=0.2, max_value=0.6),
    run=runs,
    top_above_grade_m=st.floats(min_value=0.0, max_value=0.25),
)


@st.composite
def places_on(draw, outline):
    """A point of the floor, anywhere between a corner and a point well inside."""
    corner = draw(st.sampled_from(outline))
    middle = shapely.Polygon(outline).representative_point()
    share = draw(st.floats(min_value=0.0, max_value=0.95))
    place = (share * corner[0] + (1 - share) * middle.x, share * corner[1] + (1 - share) * middle.y)
    return place if shapely.Polygon(outline).contains(shapely.Point(place)) else (middle.x, middle.y)


@st.composite
def pads_on(draw, outline, name):
    """A pad with its middle on the floor."""
    return Pad(
        name=name,
        at=draw(places_on(outline)),
        size_x_m=draw(st.floats(min_value=0.4, max_value=1.6)),
        size_y_m=draw(st.floats(min_value=0.4, max_value=1.6)),
        depth_m=draw(st.floats(min_value=0.3, max_value=1.0)),
        shape=draw(st.sampled_from(PadShape)),
        run=draw(runs),
        rotation_rad=draw(st.floats(min_value=0.0, max_value=3.0)),
    )


@st.composite
def strips_on(draw, outline):
    """A strip from one place of the floor to another, bent once or not."""
    points = draw(st.lists(places_on(outline), min_size=2, max_size=3, unique_by=lambda p: (round(p[0], 1), round(p[1], 1))))
    width, depth = draw(st.floats(min_value=0.2, max_value=0.6)), draw(st.floats(min_value=0.3, max_value=0.8))
    return Strip(name="S1", line=tuple(points), width_m=width, depth_m=depth, run=draw(runs))


@st.composite
def slabs(draw):
    """Floor, edge, strips and pads that belong together."""
    outline = draw(outlines)
    floor = Floor(outline=outline, thickness_m=draw(st.floats(min_value=0.09, max_value=0.25)))
    strips = draw(st.lists(strips_on(outline), max_size=1))
    pads = [draw(pads_on(outline, f"P{number}")) for number in range(1, 1 + draw(st.integers(0, 3)))]
    return floor, draw(edges), strips, pads
