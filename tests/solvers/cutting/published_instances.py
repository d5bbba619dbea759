"""Cutting problems with known optima, typed from the published lists."""

from slabwright.sources import Basis, Clause, Source

PAPER_MACHINE = Clause(Source("paper machine example", "Encyclopedia article on the cutting stock problem"), "example", Basis.TEXT_SEEN)
CHVATAL = Clause(Source("Chvátal 1983", "Linear Programming"), "chapter 13", Basis.MEMORY)
BPPLIB = Clause(
    Source("BPPLIB 2018", "Bin packing problem library (Delorme, Iori, Martello)"), "instance files and bound table", Basis.TEXT_SEEN
)
DOSA = Clause(Source("Dósa 2007", "The tight bound of first fit decreasing bin-packing algorithm"), "theorem", Basis.MEMORY)
GUILLOTINE_TABLE = Clause(
    Source("gcut result table", "Results of unconstrained guillotine cutting, gcut1-13 and gcut1r-13r"), "gcut1", Basis.TEXT_SEEN
)
CHRISTOFIDES = Clause(Source("Christofides & Whitlock 1977", "Operations Research 25"), "cgcut1 and cgcut2", Basis.QUOTED)
CHRISTOFIDES_LIMITED = Clause(Source("Christofides & Whitlock 1977", "Operations Research 25"), "cgcut1 and cgcut2, limited", Basis.MEMORY)
BEASLEY = Clause(Source("Beasley 1985", "Operations Research 33"), "ngcut1", Basis.MEMORY)

PAPER_WIDTHS = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200)
PAPER_DEMANDS = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20)

# name: capacity, items, fewest bins, bins of first-fit decreasing where the library's table states them
BINS = {
    "PM_u010_02": (150, (41, 22, 77, 30, 57, 57, 46, 27, 76, 88), 4, None),
    "PM_u010_03": (150, (90, 94, 98, 80, 42, 24, 76, 32, 74, 67), 5, None),
    "PM_u010_04": (150, (58, 83, 76, 24, 21, 78, 70, 28, 45, 98), 4, None),
    "Falkenauer_t60_00": (
        1000,
        (
            495, 474, 473, 472, 466, 450, 445, 444, 439, 430, 419, 414, 410, 395, 372, 370, 366, 366, 366, 363,
            361, 357, 355, 351, 350, 350, 347, 320, 315, 307, 303, 299, 298, 298, 292, 288, 287, 283, 275, 275,
            274, 273, 273, 272, 272, 271, 269, 269, 268, 263, 262, 261, 259, 258, 255, 254, 252, 252, 252, 251,
        ),
        20,
        23,
    ),
    "N1C1W1_A": (
        100,
        (
            99, 99, 96, 96, 92, 92, 91, 88, 87, 86, 85, 76, 74, 72, 69, 67, 67, 62, 61, 56, 52, 51, 49, 46, 44,
            42, 40, 40, 33, 33, 30, 30, 29, 28, 28, 27, 25, 24, 23, 22, 21, 20, 17, 14, 13, 11, 10, 7, 7, 3,
        ),
        25,
        25,
    ),
    "N1C2W1_A": (
        120,
        (
            100, 97, 96, 92, 89, 88, 88, 87, 83, 75, 75, 72, 71, 70, 69, 66, 63, 62, 62, 61, 60, 58, 50, 47, 46,
            40, 40, 37, 36, 32, 31, 30, 28, 27, 27, 26, 24, 18, 16, 14, 13, 12, 10, 10, 10, 8, 7, 5, 4, 2,
        ),
        21,
        21,
    ),
}  # fmt: skip

GCUT1 = ((167, 184), (114, 118), (167, 152), (83, 140), (70, 86), (143, 166), (120, 160), (66, 148), (87, 141), (69, 165))
# length, width, value, limit
CGCUT1 = ((8, 4, 66, 2), (3, 7, 35, 1), (8, 2, 24, 3), (3, 4, 17, 5), (3, 3, 11, 2), (3, 2, 8, 2), (2, 1, 2, 1))
CGCUT2 = (
    (21, 22, 582, 1), (31, 13, 403, 1), (9, 35, 315, 3), (9, 24, 216, 3), (30, 7, 210, 2),
    (11, 13, 143, 3), (10, 14, 140, 1), (14, 8, 110, 3), (12, 8, 94, 3), (13, 7, 90, 3),
)  # fmt: skip
NGCUT1 = ((3, 7, 35, 2), (8, 2, 40, 2), (10, 2, 27, 1), (5, 4, 23, 3), (2, 9, 43, 2))
