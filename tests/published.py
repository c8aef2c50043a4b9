"""Puzzles published elsewhere, typed in as outside checks; each names its source."""

from __future__ import annotations

# The example of the encyclopaedia article "Sudoku" (Wikipedia), with its printed solution; from memory.
ENCYCLOPAEDIA = "530070000600195000098000060800060003400803001700020006060000280000419005000080079"
ENCYCLOPAEDIA_SOLUTION = (
    "534678912672195348198342567859761423426853791713924856961537284287419635345286179"
)

# The sudoku example that ships with OR-Tools (sudoku_sat), with the solution it prints; from memory.
LIBRARY = "060050020000300090700600010006030400004070100005090800040001006030008000020040050"
LIBRARY_SOLUTION = (
    "861459723452317698793682514216835479984276135375194862547921386139568247628743951"
)

# From the open collection of 17-given grids kept by Gordon Royle (University of Western Australia);
# from memory. Each has one solution and no given to spare.
SEVENTEEN = (
    "000000010400000000020000000000050407008000300001090000300400200050100000000806000",
    "000000010400000000020000000000050604008000300001090000300400200050100000000807000",
    "000000012000035000000600070700000300000400800100000000000120000080000040050000600",
    "000000012003600000000007000410020000000500300700000600280000040000300500000000000",
    "000000012008030000000000040120500000000004700060000000507000300000620000000100000",
    "000000012040050000000009000070600400000100000000000050000087500601000300200000000",
    "000000012050400000000000030700600400001000000000080000920000800000510700000003000",
    "000000012300000060000040000900000500000001070020000000000350400001400800060000000",
)

# The killer example of the encyclopaedia article "Killer sudoku" (Wikipedia), as it also stands in
# the examples of constraint libraries; from memory. Totals and cells, then the printed solution.
KILLER_CAGES = (
    (3, "r1c1 r1c2"),
    (15, "r1c3..r1c5"),
    (22, "r1c6 r2c5 r2c6 r3c5"),
    (4, "r1c7 r2c7"),
    (16, "r1c8 r2c8"),
    (15, "r1c9..r4c9"),
    (25, "r2c1 r2c2 r3c1 r3c2"),
    (17, "r2c3 r2c4"),
    (9, "r3c3 r3c4 r4c4"),
    (8, "r3c6..r5c6"),
    (20, "r3c7 r3c8 r4c7"),
    (6, "r4c1 r5c1"),
    (14, "r4c2 r4c3"),
    (17, "r4c5..r6c5"),
    (17, "r4c8 r5c7 r5c8"),
    (13, "r5c2 r5c3 r6c2"),
    (20, "r5c4..r7c4"),
    (12, "r5c9 r6c9"),
    (27, "r6c1..r9c1"),
    (6, "r6c3 r7c2 r7c3"),
    (20, "r6c6 r7c6 r7c7"),
    (6, "r6c7 r6c8"),
    (10, "r7c5 r8c4 r8c5 r9c4"),
    (14, "r7c8 r7c9 r8c8 r8c9"),
    (8, "r8c2 r9c2"),
    (16, "r8c3 r9c3"),
    (15, "r8c6 r8c7"),
    (13, "r9c5..r9c7"),
    (17, "r9c8 r9c9"),
)
KILLER_SOLUTION = (
    "215647398368952174794381652586274931142593867973816425821739546659428713437165289"
)


def killer() -> str:
    """The killer example as a puzzle file."""
    return "\n".join(
        f'[[rule]]\nkind = "cage"\nsum = {total}\ncells = "{cells}"'
        for total, cells in KILLER_CAGES
    )
