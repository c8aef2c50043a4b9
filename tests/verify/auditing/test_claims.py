"""Claims that must be refused: a house that is not the pattern's, a chain of another digit."""

from __future__ import annotations

import random

import pytest

from gridassay.encodings.grid import Cell, classic, parse_cells
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.auditing.claims import Claim, Matcher, agrees
from gridassay.verify.solving.board.candidates_file import read_candidates
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.step_reader import Because
from gridassay.verify.solving.routes import route
from gridassay.verify.solving.techniques import TECHNIQUES

from ..minimal import CLOCK, minimal

OPENING = read("8.7.4.1......8792......3..65......1....631....2......84..9......1835......3.1.2.9")
"""6 in box 2 can only be at r1c6; neither row 1 nor column 6 has one place for it."""


def houses_of(cell: Cell) -> set[str]:
    """The names of a cell's houses, counted out by hand."""
    box = 3 * ((cell.row - 1) // 3) + (cell.column - 1) // 3 + 1
    return {f"row {cell.row}", f"column {cell.column}", f"box {box}"}


@pytest.mark.parametrize("house", ["box 5", "box 1", "row 2", "column 9", "row 1", "column 6"])
def test_a_hidden_single_holds_in_its_own_house_alone(house: str) -> None:
    right = audit(OPENING, "r1c6 = 6 because hidden single: digit 6, box 2").steps[0]
    assert right.result == "sound"
    wrong = audit(OPENING, f"r1c6 = 6 because hidden single: digit 6, {house}").steps[0]
    assert wrong.result == "wider"


@pytest.mark.parametrize("seed", range(6))
def test_no_pattern_lies_in_a_house_that_it_has_no_cell_in(seed: int) -> None:
    """Each step of a walkthrough that names cells, with a house added in which none of them lies."""
    chance = random.Random(seed)
    puzzle = minimal(classic(9), seed + 40)
    steps = route(puzzle, every_step=True).steps
    names = [f"{kind} {number}" for kind in ("row", "column", "box") for number in range(1, 10)]
    places = [n for n, step in enumerate(steps) if step.cells and not step.story]
    for place in chance.sample(places, min(4, len(places))):
        touched = {*steps[place].cells, *(cell for cell, _ in steps[place].removes)}
        touched |= {cell for cell, _ in steps[place].places}
        near = set().union(*map(houses_of, touched), steps[place].houses)
        other = chance.choice([name for name in names if name not in near])
        lines = [step.line(puzzle.canvas).split("  #")[0] for step in steps[: place + 1]]
        lines[place] = f"{lines[place]}, {other}"
        held = audit(puzzle, "\n".join(lines)).steps[place]
        assert held.result == "wider" or "sound, but" in held.detail, lines[place]


@pytest.mark.parametrize(
    ("goes", "houses", "right"),
    [
        ("r2c1", "box 1", True),
        ("r2c1", "box 1, row 1", True),
        ("r1c9", "row 1, box 1", True),
        ("r2c1", "box 1, column 1", False),
        ("r1c9", "row 1, box 2", False),
    ],
)
def test_a_pattern_may_be_said_to_lie_in_any_house_that_holds_it(
    goes: str, houses: str, right: bool
) -> None:
    """A pair of 1 and 2 in r1c1 and r1c2 lies in row 1 and in box 1, whichever it strikes in."""
    puzzle = Puzzle(classic(9))
    grid = [["."] * 9 for _ in range(9)]
    grid[0][:2] = ["12", "12"]
    position = read_candidates("\n".join(map(" ".join, grid)), puzzle)
    (cell,) = parse_cells(goes)
    (find,) = (technique.find for technique in TECHNIQUES if "naked pair" in technique.names)
    mark = (position.layout.index[cell], 0)
    pairs = [idea for idea in find(position) if mark in idea.removes]
    assert pairs
    because = Because(
        "naked pair", tuple(parse_cells("r1c1 r1c2")), houses=tuple(houses.split(", "))
    )
    assert any(agrees(idea, because, position.layout) for idea in pairs) is right


def skyscraper(others: str = "") -> tuple[Puzzle, Matcher, tuple[Cell, ...]]:
    """Digit 5 has two places in row 1 and two in row 5, of which one pair shares column 1."""
    puzzle = Puzzle(classic(9))
    grid = [["."] * 9 for _ in range(9)]
    chain = tuple(parse_cells("r1c5 r1c1 r5c1 r5c6"))
    gone = "".join(str(digit) for digit in range(1, 10) if str(digit) not in f"5{others}")
    for row in (1, 5):
        for column in range(1, 10):
            if Cell(row, column) not in chain:
                grid[row - 1][column - 1] = gone
    text = "\n".join(map(" ".join, grid))
    return puzzle, Matcher(puzzle, read_candidates(text, puzzle), CLOCK), chain


def test_an_x_chain_speaks_of_one_digit() -> None:
    """So its name says: links of one digit only (common practice, no published source)."""
    _, matcher, chain = skyscraper(others="7")
    layout = matcher.layout
    five, seven = (layout.index[Cell(2, 6)], 4), (layout.index[Cell(2, 6)], 6)

    def holds(*digits: int, marks: tuple[tuple[int, int], ...] = (five,)) -> bool:
        return matcher.by_links(Claim((), marks, Because("X-chain", chain, digits)), "X-chain")

    assert holds(5)
    assert holds()
    assert holds(7, marks=(seven,))
    assert not holds(7)
    assert not holds(5, 7)
    assert not holds(5, 7, marks=(five, seven))
    assert not holds(marks=(five, seven))


@pytest.mark.parametrize("name", ["X-chain", "alternating inference chain"])
def test_a_chain_passes_only_through_the_cells_that_it_names(name: str) -> None:
    """With a cell left out, a digit has a further place in its row, so nothing leads on from there."""
    _, matcher, chain = skyscraper()
    five = (matcher.layout.index[Cell(2, 6)], 4)

    def holds(cells: tuple[Cell, ...]) -> bool:
        return matcher.by_links(Claim((), (five,), Because(name, cells, (5,))), name)

    assert holds(chain)
    for left_out in chain:
        assert not holds(tuple(cell for cell in chain if cell != left_out))


def test_what_a_placement_leaves_of_a_claim() -> None:
    """4 in the first cell removes every other digit there, and nothing in the second."""
    placed = Idea("naked single", places=((0, 3),))
    claim = Claim(((0, 3), (2, 3)), ((0, 1), (0, 3), (1, 0), (1, 3)), None)
    left = claim.left_by(placed)
    assert (left.places, left.removes) == (((2, 3),), ((0, 3), (1, 0), (1, 3)))


BETWEEN = """
size = 4
regions = '''
aaab
acbb
ccbd
cddd
'''
givens = '''
....
....
2..4
....
'''
[[rule]]
kind = "renban"
id = "k1"
cells = "r4c2 r4c3 r3c3"
[[rule]]
kind = "between-ends"
id = "k2"
cells = "r3c4 r4c3 r4c2 r3c3"
"""


def test_a_rule_whose_cells_differ_may_be_named_as_a_house() -> None:
    """Found by tests/attack (seed 818203761000012500): it leaves one way to fill the line, not two."""
    board = "r2c3 = 4\nr4c1 = 4\nr1c2 = 4\nr1c3 = 2\nr2c4 = 2\nr4c2 = 2\n"
    step = "r4c3 = 3; r3c3 = 1 because rule with its houses: r4c3 r3c3, k2, k1\n"
    assert audit(read(BETWEEN), board + step).steps[-1].result == "sound"
    assert (
        audit(read(BETWEEN), step).steps[-1].result == "wider"
    )  # 1 and 3 are not all that is left
