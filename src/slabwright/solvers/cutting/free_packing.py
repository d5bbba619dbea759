"""Packing rectangles into one sheet without through-cuts, to the proven most value."""

from collections.abc import Sequence

import numpy as np
from scipy.sparse import lil_array, vstack

from slabwright.errors import NotConverged
from slabwright.solvers.cutting.guillotine import Piece, SheetCut
from slabwright.solvers.highs import solve_whole


def pack_sheet(length: int, width: int, pieces: Sequence[Piece]) -> SheetCut:
    """Most valuable pieces that lie side by side in one sheet, unturned.

    Parameters
    ----------
    length, width : int
        Of the sheet.
    pieces : sequence of Piece

    Raises
    ------
    NotConverged
        If the whole-number program is not settled.

    Notes
    -----
    One 0/1 variable for each piece and position on the grid of units; each unit cell is covered at most once
    (Beasley 1985, Operations Research 33; basis MEMORY). For small sheets.
    """
    spots = [
        (number, x, y)
        for number, piece in enumerate(pieces)
        for x in range(length - piece.length + 1)
        for y in range(width - piece.width + 1)
    ]
    if not spots:
        return SheetCut(0, ())
    cells = lil_array((length * width, len(spots)))
    takes = lil_array((len(pieces), len(spots)))
    for column, (number, x, y) in enumerate(spots):
        piece = pieces[number]
        takes[number, column] = 1.0
        for i in range(x, x + piece.length):
            for j in range(y, y + piece.width):
                cells[i * width + j, column] = 1.0
    limits = [float(length * width if piece.limit is None else piece.limit) for piece in pieces]
    worth = np.array([pieces[number].value for number, _, _ in spots], np.float64)
    most = np.array([*[1.0] * (length * width), *limits])
    answer = solve_whole(-worth, vstack([cells, takes]), -np.inf, most, high=1.0)
    if answer.values is None or not answer.is_settled:
        raise NotConverged("sheet packing: the program was not settled.")
    taken = [spot for spot, used in zip(spots, answer.values, strict=True) if used > 0.5]
    places = tuple((number, x, y, pieces[number].length, pieces[number].width) for number, x, y in taken)
    return SheetCut(sum(pieces[number].value for number, _, _ in taken), places)
