"""The five shapes of a state: solid square, half filled, open with a diagonal, circle, dash."""

from slabwright.outputs.look import Mode, colour
from slabwright.results.check import State


def mark_shape(state: State, x: float, y: float, size: float, mode: Mode) -> str:
    """SVG of a mark in a square of ``size`` about a centre."""
    ink, paper = colour("ink", mode), colour("paper", mode)
    weight = 0.11 * size
    half = (size - weight) / 2
    box = f'x="{x - half:.2f}" y="{y - half:.2f}" width="{2 * half:.2f}" height="{2 * half:.2f}"'
    line = f'stroke="{ink}" stroke-width="{weight:.2f}"'
    match state:
        case State.HOLDS:
            return f'<rect {box} fill="{ink}" {line}/>'
        case State.NEAR:
            left = f'<path d="M{x - half:.2f} {y - half:.2f}H{x:.2f}V{y + half:.2f}H{x - half:.2f}Z" fill="{ink}"/>'
            return f'<rect {box} fill="{paper}" {line}/>{left}'
        case State.FAILS:
            slash = f'<path d="M{x - half:.2f} {y + half:.2f}L{x + half:.2f} {y - half:.2f}" fill="none" {line}/>'
            return f'<rect {box} fill="{paper}" {line}/>{slash}'
        case State.ASK:
            return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{half:.2f}" fill="{paper}" {line}/>'
        case State.WAITING:
            dash = f'fill="none" stroke="{ink}" stroke-width="{1.6 * weight:.2f}"'
            return f'<path d="M{x - 0.7 * half:.2f} {y:.2f}h{1.4 * half:.2f}" {dash}/>'


def mark_svg(state: State, size: float = 16.0, mode: Mode = Mode.SCREEN) -> str:
    """A mark as a drawing of its own, named for who cannot see it."""
    shape = mark_shape(state, size / 2, size / 2, size, mode)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="mark" role="img" aria-label="{state.value}" '
        f'viewBox="0 0 {size:g} {size:g}" width="{size:g}" height="{size:g}">{shape}</svg>'
    )


def mark_text(state: State) -> str:
    """The mark as one character, for a terminal: square, half square, crossed square, circle, dash."""
    return _CHARACTERS[state]


_CHARACTERS = {State.HOLDS: "■", State.NEAR: "◧", State.FAILS: "⧄", State.ASK: "○", State.WAITING: "–"}
