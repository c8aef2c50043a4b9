"""Hand-made positions for every technique: one where it applies and one that just misses.

Each is tried as it stands, transposed, turned by a half, and with its digits renamed; what the
technique gives must change in the same way. Every idea must be proved from its premises.

The patterns are common practice of the trade, no published source, unless a test says otherwise.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import pytest

from gridassay.encodings.grid import Cell, classic, parse_cells
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import Clock
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.position import Position, layout_of
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.routes import RouteWalk
from gridassay.verify.solving.techniques import TECHNIQUES, Idea

PLAIN = Puzzle(classic(9))
CLOCK = Clock(float("inf"))

Transform = tuple[Callable[[Cell], Cell], Callable[[int], int]]
TRANSFORMS: dict[str, Transform] = {
    "as it stands": (lambda cell: cell, lambda digit: digit),
    "transposed": (lambda cell: Cell(cell.column, cell.row), lambda digit: digit),
    "half turn": (lambda cell: Cell(10 - cell.row, 10 - cell.column), lambda digit: digit),
    "renamed": (lambda cell: cell, lambda digit: digit % 9 + 1),
}


@dataclass
class Case:
    """A position and what a technique gives there.

    ``cells`` lists candidates; ``confined`` says, for a digit, that in these houses its places are
    these cells only; ``solved`` lists digits that are written in, not given. ``miss`` is one more
    candidate with which the pattern is not there.
    """

    technique: str
    gives: str
    cells: Mapping[str, str] = field(default_factory=dict)
    confined: tuple[tuple[int, str, str], ...] = ()
    solved: Mapping[str, int] = field(default_factory=dict)
    miss: str = ""

    def position(self, transform: Transform, *, missed: bool = False) -> Position:
        """The position, transformed; with the candidate that spoils it if ``missed``."""
        move, rename = transform
        layout = layout_of(PLAIN)
        houses = {house.name: house.cells for house in PLAIN.canvas.houses}
        masks = {cell: set(range(1, 10)) for cell in layout.cells}
        for names, digits in self.cells.items():
            for cell in parse_cells(names):
                masks[cell] = {int(digit) for digit in digits}
        for digit, house, names in self.confined:
            for cell in houses[house]:
                if cell not in list(parse_cells(names)):
                    masks[cell].discard(digit)
        if missed:
            cell_name, digit_text = self.miss.split("=")
            masks[next(parse_cells(cell_name))].add(int(digit_text))
        moved = [0] * len(layout.cells)
        for cell, allowed in masks.items():
            place = layout.index[move(cell)]
            moved[place] = sum(1 << layout.digit_index[rename(digit)] for digit in allowed)
        position = Position(layout, moved)
        for cell_text, digit in self.solved.items():
            for cell in parse_cells(cell_text):
                position.place(layout.index[move(cell)], layout.digit_index[rename(digit)])
        return position


CASES = [
    Case("last cell", "r5c5=7", solved={f"r5c{c}": c for c in (1, 2, 3, 4, 6, 8, 9)} | {"r5c7": 5}),
    Case("hidden single", "r2c3=4", confined=((4, "box 1", "r2c3"),), miss="r1c1=4"),
    Case("hidden single", "r2c3=4", confined=((4, "row 2", "r2c3"),), miss="r2c9=4"),
    Case("naked single", "r6c6=3", cells={"r6c6": "3"}, miss="r6c6=4"),
    Case(
        "locked candidates",
        "r1c5-2 r1c9-2",
        confined=((2, "box 1", "r1c1 r1c2"), (2, "row 1", "r1c1 r1c2 r1c5 r1c9")),
        miss="r3c3=2",
    ),
    Case("naked pair", "r1c4-1 r1c4-2", cells={"r1c1 r1c5": "12", "r1c4": "129"}, miss="r1c5=3"),
    Case(
        "naked triple",
        "r5c9-1",
        cells={
            "r5c1": "12",
            "r5c4": "23",
            "r5c7": "13",
            "r5c9": "14",
            "r5c2 r5c3 r5c5": "4567",
            "r5c6 r5c8": "6789",
        },
        miss="r5c7=8",
    ),
    Case(
        "naked quad",
        "r5c9-1",
        cells={
            "r5c1": "12",
            "r5c4": "23",
            "r5c7": "34",
            "r5c2": "14",
            "r5c9": "156",
            "r5c3 r5c5 r5c6 r5c8": "56789",
        },
        miss="r5c7=8",
    ),
    Case(
        "hidden pair",
        "r4c1-7 r4c9-5",
        cells={"r4c1": "127", "r4c9": "125"},
        confined=((1, "row 4", "r4c1 r4c9"), (2, "row 4", "r4c1 r4c9")),
        miss="r4c5=2",
    ),
    Case(
        "hidden triple",
        "r4c1-7",
        cells={"r4c1": "127", "r4c9": "23", "r4c5": "13"},
        confined=tuple((d, "row 4", "r4c1 r4c5 r4c9") for d in (1, 2, 3)),
        miss="r4c2=2",
    ),
    Case(
        "hidden quad",
        "r4c1-7",
        cells={"r4c1": "127", "r4c9": "23", "r4c5": "34", "r4c2": "14"},
        confined=tuple((d, "row 4", "r4c1 r4c2 r4c5 r4c9") for d in (1, 2, 3, 4)),
        miss="r4c3=2",
    ),
    Case(
        "X-wing",
        "r1c2-6 r9c7-6",
        confined=(
            (6, "row 3", "r3c2 r3c7"),
            (6, "row 8", "r8c2 r8c7"),
            (6, "column 2", "r3c2 r8c2 r1c2"),
            (6, "column 7", "r3c7 r8c7 r9c7"),
        ),
        miss="r8c5=6",
    ),
    Case(
        "swordfish",
        "r2c1-6",
        confined=(
            (6, "row 1", "r1c1 r1c5"),
            (6, "row 4", "r4c5 r4c9"),
            (6, "row 7", "r7c1 r7c9"),
            (6, "column 1", "r1c1 r7c1 r2c1"),
            (6, "column 5", "r1c5 r4c5"),
            (6, "column 9", "r4c9 r7c9"),
        ),
        miss="r7c3=6",
    ),
    Case(
        "jellyfish",
        "r3c1-6",
        confined=(
            (6, "row 1", "r1c1 r1c4"),
            (6, "row 4", "r4c4 r4c7"),
            (6, "row 7", "r7c7 r7c9"),
            (6, "row 9", "r9c1 r9c9"),
            (6, "column 1", "r1c1 r9c1 r3c1"),
            (6, "column 4", "r1c4 r4c4"),
            (6, "column 7", "r4c7 r7c7"),
            (6, "column 9", "r7c9 r9c9"),
        ),
        miss="r7c3=6",
    ),
    Case(
        "finned X-wing",
        "r2c7-6",
        confined=(
            (6, "row 1", "r1c1 r1c7 r1c9"),
            (6, "row 5", "r5c1 r5c7"),
            (6, "column 1", "r1c1 r5c1"),
            (6, "column 7", "r1c7 r5c7 r2c7 r8c7"),
        ),
        miss="r1c4=6",
    ),
    Case(
        "sashimi X-wing",
        "r2c7-6",
        confined=(
            (6, "row 1", "r1c1 r1c9"),
            (6, "row 5", "r5c1 r5c7"),
            (6, "column 1", "r1c1 r5c1"),
            (6, "column 7", "r5c7 r2c7"),
        ),
        miss="r1c4=6",
    ),
    Case(
        "skyscraper",
        "r2c9-6",
        confined=(
            (6, "row 1", "r1c2 r1c8"),
            (6, "row 6", "r6c2 r6c9"),
            (6, "column 9", "r6c9 r2c9 r9c9"),
        ),
        miss="r1c4=6",
    ),
    Case(
        "two-string kite",
        "r7c8-6",
        confined=(
            (6, "row 1", "r1c2 r1c8"),
            (6, "column 1", "r2c1 r7c1"),
            (6, "row 7", "r7c1 r7c8 r7c9"),
        ),
        miss="r1c5=6",
    ),
    Case(
        "empty rectangle",
        "r7c5-6",
        confined=(
            (6, "box 5", "r4c4 r4c6 r5c5 r6c5"),
            (6, "column 9", "r4c9 r7c9"),
            (6, "row 7", "r7c9 r7c5 r7c1"),
        ),
        miss="r6c6=6",
    ),
    Case(
        "XY-wing",
        "r4c3-8",
        cells={"r9c8": "14", "r4c8": "18", "r9c3": "48", "r4c3": "89"},
        miss="r9c3=2",
    ),
    Case(
        "XYZ-wing",
        "r1c3-5",
        cells={"r1c2": "125", "r1c8": "15", "r2c1": "25", "r1c3": "59"},
        miss="r1c8=3",
    ),
    Case(
        "WXYZ-wing",
        "r1c3-5",
        cells={"r1c2": "1235", "r1c8": "15", "r1c9": "35", "r2c1": "25", "r1c3": "59"},
        miss="r1c8=6",
    ),
    Case(
        "W-wing",
        "r6c1-2",
        cells={"r1c1": "12", "r6c9": "12", "r6c1": "239"},
        confined=((1, "row 4", "r4c1 r4c8"),),
        miss="r4c5=1",
    ),
    Case(
        "remote pairs",
        "r6c3-4 r6c3-7",
        cells={"r1c3 r1c8 r5c8 r6c9": "47", "r6c3": "347"},
        miss="r5c8=1",
    ),
    Case(
        "colouring",
        "r8c1-6",
        confined=(
            (6, "row 1", "r1c1 r1c5"),
            (6, "column 5", "r1c5 r7c5"),
            (6, "row 7", "r7c5 r7c2"),
        ),
        miss="r1c9=6",
    ),
    Case(
        "X-chain",
        "r8c1-6",
        confined=(
            (6, "row 1", "r1c1 r1c5"),
            (6, "column 5", "r1c5 r7c5 r4c5"),
            (6, "row 7", "r7c5 r7c2"),
        ),
        miss="r1c9=6",
    ),
    Case(
        "XY-chain",
        "r1c9-5",
        cells={"r1c1": "52", "r4c1": "23", "r4c6": "38", "r8c6": "81", "r8c9": "15", "r1c9": "579"},
        miss="r4c6=7",
    ),
    Case(
        "colouring of several digits",
        "r2c5-5",
        cells={"r1c1": "57"},
        confined=(
            (5, "box 1", "r1c1 r2c3"),
            (7, "column 1", "r1c1 r9c1"),
            (7, "row 9", "r9c1 r9c5"),
            (7, "column 5", "r9c5 r2c5"),
        ),
        miss="r3c1=5",
    ),
    Case(
        "alternating inference chain",
        "r2c4-5",
        cells={"r2c1": "57", "r2c4": "589"},
        confined=(
            (7, "column 1", "r2c1 r8c1"),
            (7, "row 8", "r8c1 r8c4"),
            (8, "column 4", "r8c4 r2c4"),
        ),
        miss="r8c9=7",
    ),
    Case(
        "almost locked sets",
        "r1c9-5",
        cells={"r1c1": "12", "r1c2": "15", "r4c1": "23", "r4c9": "35", "r1c9": "567"},
        miss="r1c2=6",
    ),
    Case(
        "doubly linked sets",
        "r1c9-5 r1c9-7 r4c9-6 r9c1-1 r9c5-2",
        cells={"r1c1": "157", "r1c4": "57", "r1c5": "257", "r4c1": "16", "r4c5": "26"},
        miss="r4c5=8",
    ),
    Case(
        "crossing houses",
        "r1c9-7 r2c2-8",
        cells={
            "r1c1": "1278",
            "r1c2": "1278",
            "r1c7": "17",
            "r2c3": "28",
            "r1c9": "379",
            "r2c2": "389",
        },
        miss="r1c7=6",
    ),
    Case(
        "unique rectangle",
        "r2c8-1 r2c8-2",
        cells={"r1c2 r1c8 r2c2": "12", "r2c8": "127"},
        miss="r1c8=5",
    ),
    Case(
        "unique rectangle",
        "r2c1-5 r2c1-7 r2c6-5 r2c9-7",
        cells={"r1c2 r1c8": "12", "r2c2": "125", "r2c8": "127", "r2c5": "57"},
        miss="r2c5=8",
    ),
    Case(
        "unique rectangle",
        "r4c5-6 r8c5-8",
        cells={"r2c4 r7c4": "13", "r2c5": "136", "r7c5": "138", "r5c5": "69", "r9c5": "89"},
        miss="r9c5=4",
    ),
    Case(
        "hidden rectangle",
        "r2c9-2",
        cells={"r1c2": "12", "r1c9": "127", "r2c2": "126", "r2c9": "128"},
        confined=((1, "row 2", "r2c2 r2c9"), (1, "column 9", "r1c9 r2c9")),
        miss="r5c9=1",
    ),
    Case(
        "avoidable rectangle",
        "r2c9-1",
        solved={"r1c1": 1, "r1c9": 2, "r2c1": 2},
        cells={"r2c9": "157"},
    ),
]


def ideas(name: str, position: Position) -> list[Idea]:
    found = []
    for technique in TECHNIQUES:
        if name in technique.names:
            found += [idea for idea in technique.find(position) if idea.technique == name]
    return found


def conclusions(text: str, transform: Transform) -> set[tuple[Cell, int, bool]]:
    move, rename = transform
    wanted = set()
    for word in text.split():
        cell, sign, digit = word[:4], word[4], word[5:]
        wanted.add((move(next(parse_cells(cell))), rename(int(digit)), sign == "="))
    return wanted


def concluded(idea: Idea, position: Position) -> set[tuple[Cell, int, bool]]:
    layout = position.layout
    said = {(layout.cells[c], layout.digits[d], True) for c, d in idea.places}
    return said | {(layout.cells[c], layout.digits[d], False) for c, d in idea.removes}


@pytest.mark.parametrize("transform", TRANSFORMS)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.technique)
def test_a_technique_finds_its_pattern(case: Case, transform: str) -> None:
    position = case.position(TRANSFORMS[transform])
    wanted = conclusions(case.gives, TRANSFORMS[transform])
    found = ideas(case.technique, position)
    assert any(wanted <= concluded(idea, position) for idea in found), [
        concluded(idea, position) for idea in found
    ]
    for idea in found:
        assert follows(sat_engine_for(PLAIN, CLOCK), position, idea, CLOCK)
        assert idea.say()


@pytest.mark.parametrize("transform", TRANSFORMS)
@pytest.mark.parametrize("case", [c for c in CASES if c.miss], ids=lambda case: case.technique)
def test_one_more_candidate_spoils_it(case: Case, transform: str) -> None:
    position = case.position(TRANSFORMS[transform], missed=True)
    wanted = conclusions(case.gives, TRANSFORMS[transform])
    found = ideas(case.technique, position)
    assert not any(wanted <= concluded(idea, position) for idea in found)


def test_every_technique_has_a_hand_made_position() -> None:
    untested = {name for technique in TECHNIQUES for name in technique.names}
    untested -= {case.technique for case in CASES}
    shown_elsewhere = {
        "rule alone",
        "rule with its houses",
        "sure digit",
        "pair with a rule",
        "triple with a rule",
        "equal cells",
        "alternation",
        "house total",
        "law of leftovers",
        "bivalue universal grave",
    }
    layers = {
        "crossed square",
        "edge in two",
        "corner of two",
        "same region",
        "digit in a region",
        "full group",
        "room to grow",
    }
    layers |= {
        "kept apart",
        "meeting place",
        "dead end",
        "cut off",
        "closed too early",
        "fitting shape",
    }
    kinds = ("finned swordfish", "sashimi swordfish", "finned jellyfish", "sashimi jellyfish")
    larger_fish = set(kinds)
    assert untested <= shown_elsewhere | layers | larger_fish


@pytest.mark.parametrize("name", ["unique rectangle", "hidden rectangle"])
def test_nothing_rests_on_a_promise_unless_it_is_asked_for(name: str) -> None:
    """An only step of an assay, and the way to a cell in a reply, are found without it."""
    case = next(case for case in CASES if case.technique == name)
    position = case.position(TRANSFORMS["as it stands"])
    promised = {name for technique in TECHNIQUES if technique.promised for name in technique.names}
    assert ideas(name, position)
    assert not any(
        idea.technique in promised for idea in RouteWalk(PLAIN, position, CLOCK).all_ideas()
    )
