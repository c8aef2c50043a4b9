"""Worked examples: patterns as books and articles define them, laid out, with what these say goes.

Sources, all cited from memory:

- Crook: J. F. Crook, "A pencil-and-paper algorithm for solving Sudoku puzzles", Notices of the AMS
  56(4), 2009. Preemptive sets, hidden ones, and the occupancy theorem.
- Davis: T. Davis, "The mathematics of Sudoku", 2008. Singles, locked candidates, sets, fish, wings,
  colouring, remote pairs, the use of one promised solution.
- Régin: J.-C. Régin, "A filtering algorithm for constraints of difference in CSPs", AAAI 1994. The
  running example of six variables.
- Eppstein: D. Eppstein, "Nonrepetitive paths and cycles in graphs with application to Sudoku", 2005.
  Paths and cycles of cells with two candidates, cycles of digits with two places.
- Rosenhouse and Taalman: "Taking Sudoku Seriously", Oxford University Press, 2011. X-wings.
- Berthier: D. Berthier, "The Hidden Logic of Sudoku", 2007. Fish as sets of places.
- Killer sudoku: the encyclopaedia article of that name (Wikipedia). The 45 rule, few combinations.

What a technique strikes must be just what the source says, no less and no more; a near miss must not
give it; and a written step that names the pattern by its cells must be found to follow. Techniques
without a published source have their positions in ``test_patterns.py``.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from gridassay.encodings.grid import parse_cells
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.auditing.claims import Claim, Matcher
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.step_reader import Because
from gridassay.verify.solving.reasons.proving import follows

from .test_patterns import CLOCK, PLAIN, TRANSFORMS, Case, concluded, conclusions, ideas

AS_IT_STANDS = TRANSFORMS["as it stands"]


@dataclass
class Example:
    """A pattern, what its source says of it, and the cells that someone naming it would name.

    ``case`` has the position and all that goes in it; or ``rules`` has the rules of a puzzle, seen
    before its first step, and ``missed`` the rules of one that just misses.
    """

    source: str
    says: str
    case: Case
    names: str
    rules: str = ""
    missed: str = ""

    def at(self, *, missed: bool = False) -> tuple[Puzzle, Position]:
        """The puzzle and the position, or the one that just misses."""
        if not self.rules:
            return PLAIN, self.case.position(AS_IT_STANDS, missed=missed)
        puzzle = read(f"size = 9\n{self.missed if missed else self.rules}", "ropewalk.toml")
        return puzzle, Position.start(puzzle)


def places(digit: int, **houses: str) -> tuple[tuple[int, str, str], ...]:
    """A digit's only places in some houses, which are named like ``row3``."""
    return tuple((digit, f"{name[:-1]} {name[-1]}", cells) for name, cells in houses.items())


def cages(**totals: str) -> str:
    """Cages by their totals, named like ``of20``."""
    return "".join(
        f'[[rule]]\nkind = "cage"\ncells = "{cells}"\nsum = {name[2:]}\n'
        for name, cells in totals.items()
    )


EXAMPLES = [
    Example(
        "Davis",
        "a digit with one place in a block goes there",
        Case("hidden single", "r4c5=2", confined=places(2, box5="r4c5"), miss="r6c6=2"),
        "r4c5",
    ),
    Example(
        "Davis",
        "a digit's candidates in a block all lie in one row: it is removed from the rest of the row",
        Case(
            "locked candidates",
            "r2c4-7 r2c6-7 r2c9-7",
            confined=places(7, box1="r2c1 r2c3", row2="r2c1 r2c3 r2c4 r2c6 r2c9"),
            miss="r1c2=7",
        ),
        "r2c1 r2c3",
    ),
    Example(
        "Davis",
        "a digit's candidates in a row all lie in one block: it is removed from the rest of the block",
        Case(
            "locked candidates",
            "r4c5-3 r6c4-3",
            confined=places(3, row5="r5c4 r5c6", box5="r5c4 r5c6 r4c5 r6c4"),
            miss="r5c9=3",
        ),
        "r5c4 r5c6",
    ),
    Example(
        "Crook",
        "a preemptive pair of a row: its two numbers leave the other cells of the row",
        Case(
            "naked pair",
            "r3c5-2 r3c5-6 r3c7-6",
            cells={
                "r3c2 r3c8": "26",
                "r3c5": "267",
                "r3c7": "69",
                "r3c1 r3c3 r3c4 r3c6 r3c9": "1345",
            },
            miss="r3c8=9",
        ),
        "r3c2 r3c8",
    ),
    Example(
        "Crook",
        "a preemptive pair whose cells share a row and a box clears both of its ranges",
        Case(
            "naked pair",
            "r1c7-4 r2c3-9",
            cells={"r1c1 r1c2": "49", "r1c7": "478", "r2c3": "359"},
            confined=(
                *places(4, row1="r1c1 r1c2 r1c7", box1="r1c1 r1c2"),
                *places(9, row1="r1c1 r1c2", box1="r1c1 r1c2 r2c3"),
            ),
            miss="r1c2=5",
        ),
        "r1c1 r1c2",
    ),
    Example(
        "Régin",
        "of {1,2}, {2,3}, {1,3}, {2,4}, {3,4,5,6}, {6,7} the first three use up 1, 2 and 3, which "
        "the fourth and fifth lose",
        Case(
            "naked triple",
            "r7c4-2 r7c5-3",
            cells={
                "r7c1": "12",
                "r7c2": "23",
                "r7c3": "13",
                "r7c4": "24",
                "r7c5": "3456",
                "r7c6": "67",
                "r7c7 r7c8 r7c9": "6789",
                "r8c1 r8c2 r8c3 r9c1 r9c2 r9c3": "456789",
            },
            miss="r7c3=7",
        ),
        "r7c1 r7c2 r7c3",
    ),
    Example(
        "Crook",
        "a preemptive quadruple, none of whose cells has all four numbers",
        Case(
            "naked quad",
            "r2c5-1 r9c5-8",
            cells={
                "r1c5": "13",
                "r4c5": "38",
                "r6c5": "68",
                "r8c5": "16",
                "r2c5": "145",
                "r9c5": "789",
                "r3c5 r5c5 r7c5": "24579",
            },
            miss="r6c5=9",
        ),
        "r1c5 r4c5 r6c5 r8c5",
    ),
    Example(
        "Davis",
        "a hidden pair: two digits have the same two cells of a block, which lose all else",
        Case(
            "hidden pair",
            "r8c8-1 r8c8-4 r9c7-6",
            cells={"r8c8": "1249", "r9c7": "269"},
            confined=(*places(2, box9="r8c8 r9c7"), *places(9, box9="r8c8 r9c7")),
            miss="r7c7=2",
        ),
        "r8c8 r9c7",
    ),
    Example(
        "Crook",
        "a hidden preemptive triple: three numbers in three cells, each in two of them only",
        Case(
            "hidden triple",
            "r1c6-1 r4c6-2 r9c6-3",
            cells={"r1c6": "156", "r4c6": "267", "r9c6": "357"},
            confined=(
                *places(5, column6="r1c6 r9c6"),
                *places(6, column6="r1c6 r4c6"),
                *places(7, column6="r4c6 r9c6"),
            ),
            miss="r8c6=6",
        ),
        "r1c6 r4c6 r9c6",
    ),
    Example(
        "Rosenhouse and Taalman",
        "an X-wing: two rows with a digit in the same two columns only, whose rest loses it",
        Case(
            "X-wing",
            "r1c3-5 r4c8-5 r9c8-5",
            confined=(
                *places(5, row2="r2c3 r2c8", row7="r7c3 r7c8"),
                *places(5, column3="r2c3 r7c3 r1c3", column8="r2c8 r7c8 r4c8 r9c8"),
            ),
            miss="r7c5=5",
        ),
        "r2c3 r2c8 r7c3 r7c8",
    ),
    Example(
        "Davis",
        "a swordfish: three columns with a digit in three rows, though not at all nine crossings",
        Case(
            "swordfish",
            "r2c6-4 r5c1-4 r9c6-4",
            confined=(
                *places(4, column2="r2c2 r5c2", column5="r5c5 r9c5", column9="r2c9 r9c9"),
                *places(4, row2="r2c2 r2c9 r2c6", row5="r5c2 r5c5 r5c1", row9="r9c5 r9c9 r9c6"),
            ),
            miss="r7c5=4",
        ),
        "r2c2 r5c2 r5c5 r9c5 r2c9 r9c9",
    ),
    Example(
        "Berthier",
        "a jellyfish: four rows whose places of a digit lie in four columns",
        Case(
            "jellyfish",
            "r2c1-8 r9c7-8",
            confined=(
                *places(8, row1="r1c1 r1c3", row4="r4c3 r4c5", row6="r6c5 r6c7", row8="r8c1 r8c7"),
                *places(8, column1="r1c1 r8c1 r2c1", column3="r1c3 r4c3"),
                *places(8, column5="r4c5 r6c5", column7="r6c7 r8c7 r9c7"),
            ),
            miss="r6c9=8",
        ),
        "r1c1 r1c3 r4c3 r4c5 r6c5 r6c7 r8c1 r8c7",
    ),
    Example(
        "Davis",
        "an XY-wing across a row and a block: z leaves every cell that sees both pincers",
        Case(
            "XY-wing",
            "r4c1-1 r4c2-1 r4c3-1 r5c4-1 r5c6-1",
            cells={"r5c5": "27", "r5c1": "21", "r4c4": "71"},
            miss="r5c1=9",
        ),
        "r5c5 r5c1 r4c4",
    ),
    Example(
        "Davis",
        "an XYZ-wing: the pivot has z as well, so z leaves only what sees all three",
        Case(
            "XYZ-wing",
            "r2c1-3 r2c3-3",
            cells={"r2c2": "123", "r2c8": "13", "r1c1": "23"},
            miss="r2c8=9",
        ),
        "r2c2 r2c8 r1c1",
    ),
    Example(
        "Davis",
        "simple colouring: cells that see both colours lose the digit",
        Case(
            "colouring",
            "r8c1-3 r9c1-3 r2c2-3 r3c2-3",
            confined=places(3, row1="r1c1 r1c5", column5="r1c5 r7c5", row7="r7c5 r7c2"),
            miss="r7c8=3",
        ),
        "r1c1 r1c5 r7c5 r7c2",
    ),
    Example(
        "Davis",
        "simple colouring: two cells of a colour in one block, so none of that colour is true",
        Case(
            "colouring",
            "r1c1-3 r5c5-3 r2c2-3",
            confined=places(
                3, row1="r1c1 r1c5", column5="r1c5 r5c5", row5="r5c5 r5c2", column2="r5c2 r2c2"
            ),
            miss="r5c9=3",
        ),
        "r1c1 r1c5 r5c5 r5c2 r2c2",
    ),
    Example(
        "Davis",
        "remote pairs: along a chain of one pair the ends differ, so both digits leave what sees both",
        Case(
            "remote pairs",
            "r2c5-4 r2c5-7 r8c2-4 r8c2-7",
            cells={"r2c2 r2c7 r8c7 r8c5": "47"},
            miss="r8c7=1",
        ),
        "r2c2 r2c7 r8c7 r8c5",
    ),
    Example(
        "Eppstein",
        "a path of cells with two candidates, each step by another digit, that begins and ends with "
        "the same one: an end has it",
        Case(
            "XY-chain",
            "r4c1-1 r5c1-1 r6c1-1 r1c2-1 r2c2-1 r3c2-1",
            cells={"r1c1": "12", "r1c6": "23", "r5c6": "34", "r5c2": "41"},
            miss="r5c6=9",
        ),
        "r1c1 r1c6 r5c6 r5c2",
    ),
    Example(
        "Eppstein",
        "a nonrepetitive cycle of cells with two candidates: each digit is removed from the rest of "
        "the house along which it was passed on",
        Case(
            "XY-chain",
            "r1c9-2 r3c6-3 r5c9-4 r9c1-1",
            cells={"r1c1": "12", "r1c6": "23", "r5c6": "34", "r5c1": "41"},
            confined=(
                *places(2, row1="r1c1 r1c6 r1c9"),
                *places(3, column6="r1c6 r5c6 r3c6"),
                *places(4, row5="r5c6 r5c1 r5c9"),
                *places(1, column1="r5c1 r1c1 r9c1"),
            ),
            miss="r5c6=9",
        ),
        "r1c1 r1c6 r5c6 r5c1",
    ),
    Example(
        "Eppstein",
        "a nonrepetitive cycle of digits with two places in a house: its cells hold no other digit",
        Case(
            "alternating inference chain",
            "r1c1-9 r1c6-8 r5c1-7",
            cells={"r1c1": "149", "r1c6": "128", "r5c6": "23", "r5c1": "347"},
            confined=(
                *places(1, row1="r1c1 r1c6"),
                *places(2, column6="r1c6 r5c6"),
                *places(3, row5="r5c6 r5c1"),
                *places(4, column1="r5c1 r1c1"),
            ),
            miss="r1c9=1",
        ),
        "r1c1 r1c6 r5c6 r5c1",
    ),
    Example(
        "Davis",
        "three corners of a rectangle in two blocks have one pair: the fourth has neither",
        Case(
            "unique rectangle",
            "r5c4-6 r5c4-8",
            cells={"r4c1 r5c1 r4c4": "68", "r5c4": "689"},
            miss="r4c4=1",
        ),
        "r4c1 r5c1 r4c4 r5c4",
    ),
    Example(
        "Killer sudoku",
        "the 45 rule: a row's cages leave one cell, which takes the rest",
        Case("house total", "r1c9=4"),
        "r1c9",
        cages(of20="r1c1..r1c4", of21="r1c5..r1c8"),
        cages(of20="r1c1..r1c4", of19="r1c5..r1c8"),
    ),
    Example(
        "Killer sudoku",
        "the 45 rule: the cages of a nonet stick out by one cell, which takes what is too much",
        Case("house total", "r4c1=7"),
        "r4c1",
        cages(of25="r1c1 r1c2 r1c3 r2c1 r2c2", of27="r3c1 r4c1 r3c2 r3c3 r2c3"),
        cages(of25="r1c1 r1c2 r1c3 r2c1 r2c2", of26="r3c1 r4c1 r3c2 r3c3 r2c3"),
    ),
    *(
        Example(
            "Killer sudoku",
            f"few combinations: a cage of two cells with {total} holds {kept[0]} and {kept[1]}",
            Case(
                "rule alone",
                " ".join(
                    f"{cell}-{digit}"
                    for cell in ("r1c1", "r1c2")
                    for digit in range(1, 10)
                    if str(digit) not in kept
                ),
            ),
            "r1c1 r1c2",
            cages(**{f"of{total}": "r1c1 r1c2"}),
            cages(of10="r1c1 r1c2"),
        )
        for total, kept in ((3, "12"), (4, "13"), (16, "79"), (17, "89"))
    ),
]

IDS = [f"{example.source}: {example.case.technique}" for example in EXAMPLES]


@pytest.mark.parametrize("example", EXAMPLES, ids=IDS)
def test_what_the_source_says_goes_and_nothing_else(example: Example) -> None:
    puzzle, position = example.at()
    struck = set()
    for idea in ideas(example.case.technique, position):
        assert follows(sat_engine_for(puzzle, CLOCK), position, idea, CLOCK)
        struck |= concluded(idea, position)
    assert struck == conclusions(example.case.gives, AS_IT_STANDS)


@pytest.mark.parametrize("example", EXAMPLES, ids=IDS)
def test_a_near_miss_does_not_give_it(example: Example) -> None:
    _, position = example.at(missed=True)
    wanted = conclusions(example.case.gives, AS_IT_STANDS)
    for idea in ideas(example.case.technique, position):
        assert not wanted <= concluded(idea, position)


@pytest.mark.parametrize("example", EXAMPLES, ids=IDS)
def test_a_step_that_names_the_pattern_follows(example: Example) -> None:
    for missed in (False, True):
        puzzle, position = example.at(missed=missed)
        layout = position.layout
        wanted = conclusions(example.case.gives, AS_IT_STANDS)
        claim = Claim(
            tuple((layout.index[c], layout.digit_index[d]) for c, d, placed in wanted if placed),
            tuple(
                (layout.index[c], layout.digit_index[d]) for c, d, placed in wanted if not placed
            ),
            Because(example.case.technique, tuple(parse_cells(example.names))),
        )
        assert bool(Matcher(puzzle, position, CLOCK).by_name(claim)) is not missed
