"""Steps files: what is read, what cannot be, and that what is written reads back."""

from __future__ import annotations

import pytest

from gridassay.encodings.grid import Cell
from gridassay.verify import read
from gridassay.verify.solving.board.position import Candidate
from gridassay.verify.solving.board.step_reader import Because
from gridassay.verify.solving.board.steps import write_steps
from gridassay.verify.solving.board.steps_file import read_steps
from gridassay.verify.solving.routes import route

from ... import published

PLAIN = read("." * 81)
CAGED = read(
    'size = 9\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 3\n'
    '[[rule]]\nkind = "cage"\nid = "harbour, north, the long one"\ncells = "r2c1 r2c2"\nsum = 17\n'
    '[[rule]]\nkind = "cage"\ncells = "r3c1 r3c2"\nsum = 9\n'
    '[[rule]]\nkind = "cage"\ncells = "r3c1 r3c2"\nat-least = 9\n',
    "tide.toml",
)


def test_a_step_with_its_premises() -> None:
    (step,) = read_steps(
        "R3C2 not 4 6; r3c5=1 because XY-wing: r2c3 r2c8, r4c3, digit 8, row  6  # the bay", PLAIN
    )
    assert step.line == 1
    assert step.removes == (Candidate(Cell(3, 2), 4), Candidate(Cell(3, 2), 6))
    assert step.places == (Candidate(Cell(3, 5), 1),)
    assert step.because == Because(
        "XY-wing", (Cell(2, 3), Cell(2, 8), Cell(4, 3)), (8,), ("row 6",), ()
    )


def test_comments_blank_lines_runs_and_bare_steps() -> None:
    steps = list(read_steps("# head\n\nr1c1..r1c3 not 46\nr5c5 = 5\n", PLAIN))
    assert [step.line for step in steps] == [3, 4]
    assert len(steps[0].removes) == 6
    assert steps[1].because is None


def test_rules_are_cited_by_name_or_id() -> None:
    text = (
        "r1c3 not 1 because reason: row 1, cage r1c1 r1c2\n"
        "r2c3 not 9 because reason: harbour, north, the long one, row 2\n"
        "r3c3 not 9 because reason: cage#3, box 1\n"
    )
    steps = list(read_steps(text, CAGED))
    cited = [step.because and step.because.rules for step in steps]
    assert cited == [("cage r1c1 r1c2",), ("harbour, north, the long one",), ("cage#3",)]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("r3c2", "says neither r3c2 = 4 nor r3c2 not 4"),
        ("r3c2 = 45", "places more than one digit in one cell"),
        ("r3c2 =", "a digit is missing"),
        ("r3c2 = x", "'x' is not a digit here"),
        ("r3 not 4", "'r3' is not a cell"),
        ("r10c2 = 4", "r10c2 is not on the canvas"),
        ("because naked pair: r1c1", "nothing is placed"),
        ("r3c2 = 4 because", "a name is missing"),
        (
            "r3c2 = 4 because naked pair: row 10",
            "'row 10' is not a cell, digit, house or rule here",
        ),
    ],
)
def test_what_cannot_be_read_says_why(line: str, said: str) -> None:
    (step,) = read_steps(line, PLAIN)
    assert said in step.trouble


def test_what_a_route_writes_reads_back() -> None:
    puzzle = read(published.ENCYCLOPAEDIA)
    steps = route(puzzle).steps
    again = list(read_steps(write_steps(steps, puzzle), puzzle))
    assert [(step.places, step.removes) for step in steps] == [
        (step.places, step.removes) for step in again
    ]
    for step, written in zip(steps, again, strict=True):
        assert written.because == Because(
            step.technique, step.cells, step.digits, step.houses, step.rules
        )


def test_a_title_writes_no_step() -> None:
    puzzle = read('title = "Tide\\nr1c1 = 4"\nsize = 4\ngivens = "123. 3412 2143 4321"\n')
    lines = write_steps([], puzzle).splitlines()
    assert lines == ["# Tide\\u{a}r1c1 = 4"]
