"""Digits that must be in a cage or line, and lines on which classes
alternate.

Each is tried as it stands, transposed, turned by a half, and with every digit d as 10 − d (totals with
it); and with the rule or a candidate changed so that it just misses. Common practice of the trade, no
published source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import pytest

from gridassay.encodings.grid import Cell, parse_cells
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.auditing.claims import Claim, Matcher
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.step_reader import Because
from gridassay.verify.solving.reasons.proving import follows

from ...minimal import CLOCK
from .test_patterns import concluded, conclusions, ideas

Move = Callable[[Cell], Cell]
Rename = Callable[[int], int]
TRANSFORMS: dict[str, tuple[Move, Rename]] = {
    "as it stands": (lambda cell: cell, lambda digit: digit),
    "transposed": (lambda cell: Cell(cell.column, cell.row), lambda digit: digit),
    "half turn": (lambda cell: Cell(10 - cell.row, 10 - cell.column), lambda digit: digit),
    "complemented": (lambda cell: cell, lambda digit: 10 - digit),
}


@dataclass
class Line:
    """A rule by its kind and cells, with its total if it has one; an arrow's bulb comes first."""

    kind: str
    cells: str
    total: int = 0

    def written(self, move: Move, rename: Rename) -> str:
        """The rule as a table of a puzzle file, moved; thermometers turn round with their digits."""
        cells = [move(cell) for cell in parse_cells(self.cells)]
        turned = rename(1) != 1
        if "thermometer" in self.kind and turned:
            cells.reverse()
        total = 10 * len(cells) - self.total if turned else self.total
        names = " ".join(map(str, cells))
        fields = f'cells = "{names}"\n' + (f"sum = {total}\n" if self.total else "")
        if self.kind == "arrow":
            bulb, _, shaft = names.partition(" ")
            fields = f'bulb = "{bulb}"\nshaft = "{shaft}"\n'
        return f'[[rule]]\nkind = "{self.kind}"\n{fields}'


@dataclass
class Case:
    """A technique, the rules and candidates it needs, all it gives, and rules that just miss."""

    technique: str
    gives: str
    rules: tuple[Line, ...]
    missed: tuple[Line, ...]
    says: str
    candidates: dict[str, str] = field(default_factory=dict)
    missed_candidates: dict[str, str] = field(default_factory=dict)

    def at(self, transform: str, *, missed: bool = False) -> tuple[Puzzle, Position]:
        """The puzzle and its position, transformed; those that just miss if asked for."""
        move, rename = TRANSFORMS[transform]
        rules = self.missed if missed else self.rules
        text = "size = 9\n" + "".join(rule.written(move, rename) for rule in rules)
        puzzle = read(text, "herring.toml")
        position = Position.start(puzzle)
        layout = position.layout
        wanted = {**self.candidates, **(self.missed_candidates if missed else {})}
        for names, digits in wanted.items():
            for cell in parse_cells(names):
                for digit in set(range(1, 10)) - set(map(int, digits)):
                    position.remove(layout.index[move(cell)], layout.digit_index[rename(digit)])
        return puzzle, position


def all_of(cells: str, digits: str) -> str:
    """Every one of these digits from every one of these cells."""
    return " ".join(f"{cell}-{digit}" for cell in parse_cells(cells) for digit in digits)


CASES = [
    Case(
        "sure digit",
        all_of("r1c2 r2c2 r2c3 r3c1 r3c2 r3c3", "1"),
        (Line("cage", "r1c1 r2c1 r1c3", 8),),
        (Line("cage", "r1c1 r2c1 r1c3", 9),),
        "the 8 cage in box 1: 8 in three cells is 1+2+5 or 1+3+4; its 1 is in r1c1, r1c3 or "
        "r2c1, so 1 can be removed from",
    ),
    Case(
        "sure digit",
        all_of("r5c3..r5c9", "89") + " " + all_of("r4c1..r4c3 r6c1..r6c3", "89"),
        (Line("cage", "r5c1 r5c2", 17),),
        (Line("cage", "r5c1 r5c2", 15),),
        "the 17 cage in box 4: 17 in two cells is 8+9; its 8 and 9 are in",
    ),
    Case(
        "sure digit",
        all_of("r7c6..r7c9", "5"),
        (Line("renban", "r7c1..r7c5"),),
        (Line("renban", "r7c1..r7c4"),),
        "the renban in row 7 must hold 5",
    ),
    Case(
        "sure digit",
        all_of("r7c5..r7c9", "456"),
        (Line("renban", "r7c1..r7c4"),),
        (Line("renban", "r7c1..r7c4"),),
        "in any order; its 4, 5 and 6 are in r7c1, r7c2, r7c3 or r7c4",
        {"r7c1..r7c4": "34567"},
        {"r7c1..r7c4": "345678"},
    ),
    Case(
        "sure digit",
        all_of("r2c1 r2c2 r3c1 r3c2 r3c3 r1c4..r1c9", "123"),
        (Line("arrow", "r2c3 r1c3 r1c2 r1c1"),),
        (Line("arrow", "r2c3 r1c3 r1c2 r1c1"),),
        "the arrow in box 1, where no digit repeats: as r2c3 is 6, 6 is 1+2+3; its 1, 2 and 3 are in",
        {"r2c3": "6", "r1c1..r1c3": "1234"},
        {"r2c3": "7"},
    ),
    Case(
        "rule with its houses",
        " ".join(
            all_of(cell, digits)
            for cell, digits in {
                "r1c1": "6789",
                "r2c1": "1789",
                "r3c1": "1289",
                "r2c2": "1239",
                "r3c3": "1234",
            }.items()
        ),
        (Line("slow-thermometer", "r1c1 r2c1 r3c1 r2c2 r3c3"),),
        (Line("slow-thermometer", "r1c1 r2c1 r3c1 r3c2 r4c3"),),
        "the slow thermometer in box 1, where no digit repeats",
    ),
    Case(
        "rule with its houses",
        all_of("r2c3", "345") + " " + all_of("r1c1..r1c3", "7"),
        (Line("arrow", "r2c3 r1c3 r1c2 r1c1"),),
        (Line("arrow", "r2c3 r3c3 r4c3 r4c2"),),
        "the arrow in box 1, no digit twice in row 1",
    ),
    Case(
        "pair with a rule",
        all_of("r4c3 r5c2 r5c3 r6c1 r6c2", "23"),
        (Line("cage", "r4c1 r4c2 r5c1", 8),),
        (Line("cage", "r4c1 r4c2 r5c1", 8),),
        "the 8 cage in box 4 must hold 2 or 3, and r6c3 is one of these: together they use up 2 and 3",
        {"r6c3": "23"},
        {"r6c3": "234"},
    ),
    Case(
        "pair with a rule",
        all_of("r3c1..r3c3 r1c3 r2c3", "12"),
        (Line("cage", "r1c1 r1c2", 5), Line("cage", "r2c1 r2c2", 6)),
        (Line("cage", "r1c1 r1c2", 5), Line("cage", "r2c1 r2c2", 7)),
        "must each hold 1 or 2: together they use up 1 and 2 in box 1",
    ),
    Case(
        "triple with a rule",
        all_of("r4c2 r5c2 r5c3 r6c1 r6c2", "123"),
        (Line("cage", "r4c1 r5c1", 7),),
        (Line("cage", "r4c1 r5c1", 7),),
        "the 7 cage in box 4 must hold 1, 2 or 3, and r4c3 and r6c3 are two of these",
        {"r4c3": "12", "r6c3": "23"},
        {"r6c3": "234"},
    ),
    Case(
        "equal cells",
        "r5c5=3",
        (Line("palindrome", "r2c2 r3c3 r4c4 r5c5"),),
        (Line("whisper", "r2c2 r3c3 r4c4 r5c5"),),
        "r5c5 equals r2c2 by the palindrome from r2c2 to r5c5, so it is 3",
        {"r2c2": "3"},
    ),
    Case(
        "equal cells",
        all_of("r3c3", "19") + " " + all_of("r4c4", "8"),
        (Line("palindrome", "r2c2 r3c3 r4c4 r5c5"),),
        (Line("palindrome", "r2c2 r3c3 r4c4 r5c5 r6c6"),),
        "r3c3 equals r4c4 by the palindrome from r2c2 to r5c5, and r4c4 is not 1 or 9, so 1 and 9 can be "
        "removed from r3c3",
        {"r3c3": "12345679", "r4c4": "2345678"},
        {"r3c3": "123456789", "r4c4": "123456789"},
    ),
    Case(
        "alternation",
        all_of("r1c1 r1c5", "56789") + " " + all_of("r1c2 r1c4", "12345"),
        (Line("whisper", "r1c1..r1c5"),),
        (Line("whisper", "r1c1..r1c5"),),
        "r1c3 is low, and along the whisper in row 1 low and high take turns, so r1c1 and r1c5 are low",
        {"r1c3": "1234"},
        {"r1c3": "12346"},
    ),
    Case(
        "alternation",
        all_of("r4c4", "13579") + " " + all_of("r1c1 r3c3", "2468"),
        (Line("parity-line", "r1c1 r2c2 r3c3 r4c4"),),
        (Line("renban", "r1c1 r2c2 r3c3 r4c4"),),
        "r2c2 is even",
        {"r2c2": "24"},
    ),
    Case(
        "alternation",
        all_of("r7c4", "456789"),
        (Line("entropic", "r7c1..r7c5"),),
        (Line("entropic", "r7c1..r7c5"),),
        "low, middle and high take turns, so r7c4 is low",
        {"r7c1": "123"},
        {"r7c1": "1234"},
    ),
    Case(
        "alternation",
        all_of("r8c1", "235689"),
        (Line("modular", "r8c1..r8c5"),),
        (Line("modular", "r8c1..r8c5"),),
        "r8c4 is one of 1, 4 and 7",
        {"r8c4": "17"},
        {"r8c4": "127"},
    ),
]


def held(case: Case, transform: str) -> bool:
    """Whether the rules mean the same there: an arrow's total does not turn round with the digits."""
    return transform != "complemented" or all(rule.kind != "arrow" for rule in case.rules)


TURNED = [(case, turn) for case in CASES for turn in TRANSFORMS if held(case, turn)]
NAMES = [f"{case.technique}: {case.rules[0].kind}, {turn}" for case, turn in TURNED]


@pytest.mark.parametrize(("case", "transform"), TURNED, ids=NAMES)
def test_it_strikes_just_what_it_should(case: Case, transform: str) -> None:
    puzzle, position = case.at(transform)
    struck = set()
    for idea in ideas(case.technique, position):
        assert follows(sat_engine_for(puzzle, CLOCK), position, idea, CLOCK)
        struck |= concluded(idea, position)
    assert struck == conclusions(case.gives, TRANSFORMS[transform])


@pytest.mark.parametrize(("case", "transform"), TURNED, ids=NAMES)
def test_it_just_misses(case: Case, transform: str) -> None:
    _, position = case.at(transform, missed=True)
    struck = set()
    for idea in ideas(case.technique, position):
        struck |= concluded(idea, position)
    assert not conclusions(case.gives, TRANSFORMS[transform]) <= struck


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.technique}: {case.says}")
def test_it_is_said_as_people_say_it(case: Case) -> None:
    _, position = case.at("as it stands")
    said = [idea.say() for idea in ideas(case.technique, position)]
    assert any(case.says in text for text in said), said


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.technique}: {case.says}")
def test_a_step_that_names_it_follows(case: Case) -> None:
    for missed in (False, True):
        puzzle, position = case.at("as it stands", missed=missed)
        layout = position.layout
        said: dict[bool, list[tuple[int, int]]] = {True: [], False: []}
        for cell, digit, placed in conclusions(case.gives, TRANSFORMS["as it stands"]):
            said[placed].append((layout.index[cell], layout.digit_index[digit]))
        claim = Claim(tuple(said[True]), tuple(said[False]), Because(case.technique))
        assert bool(Matcher(puzzle, position, CLOCK).by_name(claim)) is not missed


@pytest.mark.parametrize(
    ("step", "result", "detail"),
    [
        ("r3c3 not 1 because sure digit: lobster, box 1", "sound", ""),
        ("r3c3 not 1 because sure digit: digit 1, lobster", "sound", ""),
        (
            "r3c3 not 1 because sure digit: mussel",
            "wider",
            "a sure digit gives it: the cage 'lobster'",
        ),
        ("r3c3 not 1 because alternation: lobster", "sound", "a sure digit, not alternation"),
        ("r3c3 not 2 because sure digit: lobster", "unforced", "in some solutions"),
        ("r3c3 not 1; r3c3 not 2 because sure digit: lobster", "unforced", "in some solutions"),
    ],
)
def test_an_audit_holds_a_step_to_the_rule_that_it_names(
    step: str, result: str, detail: str
) -> None:
    puzzle = read(
        'size = 9\n[[rule]]\nkind = "cage"\nid = "lobster"\ncells = "r1c1 r2c1 r1c3"\nsum = 8\n'
        '[[rule]]\nkind = "cage"\nid = "mussel"\ncells = "r7c7 r7c8"\nsum = 12\n',
        "herring.toml",
    )
    (held,) = audit(puzzle, step).steps
    assert held.result == result
    assert detail in held.detail
