"""Stories: written, read, audited, held against a plain prover, the same everywhere."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest

from gridassay.encodings.board import Filled
from gridassay.encodings.grid import Cell, parse_cells
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import Step, audit, read, route, write_steps
from gridassay.verify.budget import Clock
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Position, members
from gridassay.verify.solving.board.steps_file import read_steps
from gridassay.verify.solving.levels import level_of
from gridassay.verify.solving.routes import RouteWalk, technique_order
from gridassay.verify.solving.truth import truth_of

PLAIN = read("." * 81)

# Random thermometers on a 6x6 grid, givens added until it had one solution: made for this test.
TIDES = '''
size = 6
box = "2x3"
givens = """
......
...5..
3.....
......
......
..5...
"""
[[rule]]
kind = "thermometer"
cells = "r1c2 r1c1 r2c2"
[[rule]]
kind = "thermometer"
cells = "r3c4 r4c3 r3c3"
[[rule]]
kind = "thermometer"
cells = "r5c5 r6c5 r5c4"
[[rule]]
kind = "thermometer"
cells = "r5c3 r4c4 r3c5 r4c6"
[[rule]]
kind = "thermometer"
cells = "r6c2 r5c2 r6c1"
[[rule]]
kind = "thermometer"
cells = "r1c3 r2c4 r1c5"
[[rule]]
kind = "thermometer"
cells = "r1c6 r2c5 r1c4"
'''

GOOD = """
r4c7 not 3 because suppose r4c7 = 3:
    r4c8 = 2 because naked single: r4c8   # said aloud
    # a comment, and a blank line

    nothing for digit 2, column 9
r5c5 not 2 because either r1c1:
    if r1c1 = 4:
        r5c5 not 2 because locked candidates: r5c1 r5c2, digit 2, row 5
    if r1c1 = 7:
        r2c2 = 2 because naked single: r2c2
        r5c5 not 2 because hidden single: digit 2, row 5
r1c1 = 5
"""


def test_the_grammar_reads_stories() -> None:
    first, second, third = read_steps(GOOD, PLAIN)
    assert (first.line, first.trouble) == (2, "")
    assert first.story
    assert first.story.form == "suppose"
    (branch,) = first.story.branches
    assert [link.line for link in branch.links] == [3]
    assert branch.end
    assert (branch.end.digit, branch.end.premise, branch.end_line) == (2, "column 9", 6)
    assert second.story
    assert second.story.form == "either"
    assert [len(one.links) for one in second.story.branches] == [1, 2]
    assert second.story.about
    assert second.story.about.unknown == Cell(1, 1)
    assert (third.line, third.story) == (13, None)


HEAD = "r4c7 not 3 because suppose r4c7 = 3:\n"


@pytest.mark.parametrize(
    ("text", "trouble"),
    [
        (HEAD, "nothing below the head"),
        (HEAD.replace(":\n", "\n") + "    nothing for r1c1\n", "ends in a colon"),
        (HEAD + "    r4c8 = 2 because naked single: r4c8\n", "has no end"),
        (HEAD + "\tnothing for r1c1\n", "with spaces, not tabs"),
        (HEAD + "    r1c2 = 1 because naked single: r1c2\n      nothing for r1c1\n", "alike"),
        (HEAD + "    nothing for r1c1\n    nothing for r1c2\n", "after the end"),
        (HEAD + "    nothing for digit 2\n", "'digit' is not a cell"),
        (
            "r1c1 not 2 because either r2c2:\n    if r2c2 = 1:\n        nothing for r3c3\n",
            "two or three branches",
        ),
        ("r1c1 not 2 because either r2c2:\n    r2c2 = 1\n", "begins with if"),
        ("r1c1 not 2 because either r2c2:\n    if r2c2 = 1:\n    if r2c2 = 2:\n", "below it"),
    ],
)
def test_a_damaged_block_is_one_step_at_its_head(text: str, trouble: str) -> None:
    step, last = read_steps(text + "r9c9 = 9\n", PLAIN)
    assert step.line == 1
    assert trouble in step.trouble
    assert not last.trouble


def test_a_link_that_cannot_be_read_is_the_links_own_trouble() -> None:
    text = HEAD + "    r4c8 = x because naked single\n    r4c8 = 2\n    nothing for r1c1\n"
    (step,) = read_steps(text, PLAIN)
    assert not step.trouble
    assert step.story
    troubles = [link.trouble for link in step.story.branches[0].links]
    assert "not a digit" in troubles[0]
    assert troubles[1] == "a link of a story says why it holds"


# In row 1, 1 is in r1c1 or r1c2, which both see r2c1 and r2c2.
SEVERAL = """r2c1 r2c2 not 1 because suppose r2c1 r2c2 = 1:
    nothing for digit 1, row 1
"""


@pytest.mark.parametrize(
    ("new", "result"),
    [
        ("r2c1 r2c2", "sound"),
        ("r2c2 r3c2", "unforced"),  # r3c2 does not see r1c1
        ("r2c1", "wider"),  # the other cell is not supposed
    ],
)
def test_a_digit_may_be_supposed_in_several_cells(new: str, result: str) -> None:
    puzzle = read("size = 4\ngivens = '''\n..34\n....\n....\n....\n'''\n", "several.toml")
    text = SEVERAL.replace("suppose r2c1 r2c2", f"suppose {new}")
    if new == "r2c2 r3c2":
        text = text.replace("r2c1 r2c2 not", "r2c2 r3c2 not")
    (step,) = audit(puzzle, text).steps
    assert step.result == result


@pytest.mark.parametrize("said", ["r2c1 r2c2 = 1 2", "r2c1 r2c2 not 1"])
def test_only_one_thing_is_supposed(said: str) -> None:
    (step,) = read_steps(SEVERAL.replace("suppose r2c1 r2c2 = 1", f"suppose {said}"), PLAIN)
    assert "one thing is supposed" in step.trouble


@pytest.fixture(scope="module")
def puzzle() -> Puzzle:
    return read(TIDES, "tides.toml")


@pytest.fixture(scope="module")
def told(puzzle: Puzzle) -> tuple[Step, ...]:
    found = route(puzzle, budget=300)
    assert any(step.story for step in found.steps)
    return found.steps


def test_what_is_written_audits_sound(puzzle: Puzzle, told: tuple[Step, ...]) -> None:
    found = audit(puzzle, write_steps(told, puzzle), budget=300)
    assert {step.result for step in found.steps} == {"sound"}
    stories = [step for step in found.steps if step.branches]
    assert stories
    for step in stories:
        assert not step.detail  # no link that nothing uses
        assert {link.result for one in step.branches for link in one.links} <= {"sound"}
        assert step.to_json()["branches"][0]["links"] is not None


def mutations(step: Step, puzzle: Puzzle) -> Iterator[str]:
    """Every line of a story in another form: another digit, left out, another end."""
    lines = step.line(puzzle.canvas).split("\n")
    for place in range(1, len(lines) - 1):
        yield "\n".join([*lines[:place], *lines[place + 1 :]])
        claim, rest = lines[place].split(" because ", 1)
        digit = int(claim[-1])
        yield "\n".join(
            [*lines[:place], f"{claim[:-1]}{digit % 6 + 1} because {rest}", *lines[place + 1 :]]
        )
    last = lines[-1]
    if "digit" in last:
        digit = int(last.split("digit ")[1][0])
        other = last.replace(f"digit {digit}", f"digit {digit % 6 + 1}")
        yield "\n".join([*lines[:-1], other])
    yield "\n".join(lines[:-1])


def test_mutated_stories_are_caught(puzzle: Puzzle, told: tuple[Step, ...]) -> None:
    before: list[Step] = []
    tried = 0
    for step in told:
        if step.story:
            for text in mutations(step, puzzle):
                found = audit(puzzle, write_steps(before, puzzle) + text + "\n", budget=300)
                (last,) = found.steps[len(before) :]
                assert last.result in ("wider", "unreadable"), text
                tried += 1
        before.append(step)
    assert tried > 10


def candidates(steps: list[dict[str, Any]], puzzle: Puzzle) -> dict[Cell, set[int]]:
    """The board after some steps, worked out here: placements clear rows, columns, boxes."""
    canvas = puzzle.canvas
    board = {cell: set(canvas.digits) for cell in canvas.cells}
    for fact in puzzle.givens:
        assert isinstance(fact.variable, Cell)
        place(board, fact.variable, fact.value, puzzle)
    for step in steps:
        apply(board, step, puzzle)
    return board


def place(board: dict[Cell, set[int]], cell: Cell, digit: int, puzzle: Puzzle) -> None:
    board[cell] &= {digit}
    for house in puzzle.canvas.houses:
        if cell in house.cells:
            for other in house.cells:
                if other != cell:
                    board[other].discard(digit)


def suppose(board: dict[Cell, set[int]], supposed: list[dict[str, Any]], puzzle: Puzzle) -> None:
    """One of these candidates is true: what each of them excludes is gone."""
    after = []
    for one in supposed:
        after.append({cell: set(left) for cell, left in board.items()})
        place(after[-1], next(parse_cells(one["cell"])), one["digit"], puzzle)
    for cell in board:
        board[cell] = set().union(*(one[cell] for one in after))


def apply(board: dict[Cell, set[int]], step: dict[str, Any], puzzle: Puzzle) -> None:
    for one in step["place"]:
        place(board, next(parse_cells(one["cell"])), one["digit"], puzzle)
    for one in step["remove"]:
        board[next(parse_cells(one["cell"]))].discard(one["digit"])


def proved_plainly(board: dict[Cell, set[int]], step: dict[str, Any], puzzle: Puzzle) -> bool:
    """Whether a single or a single rule follows, from the listed premises only, by enumeration."""
    houses = {house.name: house.cells for house in puzzle.canvas.houses}
    if step["technique"] in ("hidden single", "last cell"):
        (one,), (name,), (digit,) = step["place"], step["houses"], step["digits"]
        places = [cell for cell in houses[name] if digit in board[cell]]
        return digit == one["digit"] and list(map(str, places)) == [one["cell"]]
    if step["technique"] == "naked single":
        (one,) = step["place"]
        return one["cell"] in step["cells"] and board[next(parse_cells(one["cell"]))] == {
            one["digit"]
        }
    assert step["technique"] == "rule alone"
    (name,) = step["rules"]
    rule = dict(zip(puzzle.rule_names, puzzle.rules, strict=True))[name]
    listed = [next(parse_cells(text)) for text in step["cells"]]
    concluded = {one["cell"] for one in (*step["place"], *step["remove"])}
    cells = rule.where()
    domains = [
        sorted(board[cell] if cell in listed or str(cell) in concluded else puzzle.canvas.digits)
        for cell in cells
    ]
    left: dict[str, set[int]] = {str(cell): set() for cell in cells}
    for digits in product(*domains):
        filling = dict(zip(cells, digits, strict=True))
        if rule.holds(Filled(puzzle.board, filling)):
            for cell, digit in filling.items():
                left[str(cell)].add(digit)
    return all(one["digit"] not in left[one["cell"]] for one in step["remove"]) and all(
        left[one["cell"]] <= {one["digit"]} for one in step["place"]
    )


def test_a_plain_prover_follows_every_story(puzzle: Puzzle, told: tuple[Step, ...]) -> None:
    before: list[dict[str, Any]] = []
    followed = 0
    for step in (one.to_json() for one in told):
        if "story" in step:
            (branch,) = step["story"]["branches"]
            board = candidates(before, puzzle)
            suppose(board, branch["suppose"], puzzle)
            simple = True
            for link in branch["links"]:
                if link["technique"] in (
                    "hidden single",
                    "last cell",
                    "naked single",
                    "rule alone",
                ):
                    assert proved_plainly(board, link, puzzle), link["text"]
                    followed += 1
                else:
                    simple = False
                apply(board, link, puzzle)
            ends = branch["ends"]
            if ends.startswith("digit"):
                digit, name = int(ends[6]), ends.partition(", ")[2]
                houses = {house.name: house.cells for house in puzzle.canvas.houses}
                assert not any(digit in board[cell] for cell in houses[name])
            elif ends.startswith("r") and "c" in ends and simple:
                assert not board[next(parse_cells(ends))]
            assert step["remove"] == branch["suppose"]
        before.append(step)
    assert followed > 5


def steps_of(puzzle: Puzzle) -> str:
    found = route(puzzle, budget=300).to_json()
    del found["seconds"]
    return json.dumps(found)


def test_a_route_is_the_same_after_other_questions_and_with_another_hash_seed(
    puzzle: Puzzle,
) -> None:
    first = steps_of(puzzle)
    for line in ("1" + "." * 15, "." * 81):
        route(read(line), most=3)
    audit(puzzle, "r1c1 not 6\nr2c2 = 3\n")
    assert steps_of(puzzle) == first
    code = (
        "import sys; from tests.verify.solving import test_stories as t; "
        "print(t.steps_of(t.read(t.TIDES, 'tides.toml')))"
    )
    for seed in ("1", "2"):
        again = subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        )
        assert again.stdout.strip() == first


def test_no_striking_step_of_a_tidy_route_can_be_left_out(puzzle: Puzzle) -> None:
    found = route(puzzle, budget=300)
    untidied = route(puzzle, every_step=True, budget=300)
    strikes = [n for n, step in enumerate(found.steps) if not step.places]
    assert 0 < len(strikes) <= sum(not step.places for step in untidied.steps)
    for number in strikes:
        kept = [step for place, step in enumerate(found.steps) if place != number]
        results = {step.result for step in audit(puzzle, write_steps(kept, puzzle)).steps}
        assert results - {"sound", "idle"}, found.steps[number].text


def test_totals_that_cancel_out_are_no_fault() -> None:
    """Found by the attack: the same two cells on both sides say nothing at all."""
    rule = '[[rule]]\nkind = "equal-sums"\ngroups = ["r2c2 r1c1", "r1c1 r2c2"]\n'
    puzzle = read(f'rows = 2\ncolumns = 2\nhouses = "none"\ndigits = [1, 2, 3]\n{rule}', "t.toml")
    assert not route(puzzle).solved


def test_a_step_of_a_rule_strikes_all_that_its_premises_show(puzzle: Puzzle) -> None:
    """By the plain reading of each thermometer: its bounds, not only what the route uses."""
    found = route(puzzle, budget=300)
    board = found.start.copy()
    layout = board.layout

    def left(cell: Cell) -> set[int]:
        return {layout.digits[place] for place in members(board.masks[layout.index[cell]])}

    seen = 0
    for step in found.steps:
        known = {cell: left(cell) for cell in step.cells}
        step.apply(board)
        # What takes an argument for each candidate is not shown in passing.
        if step.technique != "rule alone" or "would" in step.text:
            continue
        rule = puzzle.rules[puzzle.rule_names.index(*step.rules)]
        where = rule.where()
        ways = [
            filling
            for filling in product(*(known.get(cell, layout.digits) for cell in where))
            if rule.holds(Filled(puzzle.board, dict(zip(where, filling, strict=True))))
        ]
        for cell, *digits in zip(where, *ways, strict=True):
            assert left(cell) <= set(digits), step.text
        seen += 1
    assert seen > 5


def test_steps_that_are_put_into_words_later_are_the_same(puzzle: Puzzle) -> None:
    """A route that will be tidied is found without words; they are made on the boards of its steps."""
    clock = Clock(300)
    first = Position.start(puzzle)
    walk = RouteWalk(puzzle, first.copy(), clock, truth=truth_of(puzzle, clock))
    ideas: list[Idea] = []
    while not walk.position.solved:
        idea = walk.next_idea()
        assert idea
        ideas.append(idea)
        walk.conclude(idea)
    told_later = tuple(walk.tell(first, ideas))
    assert told_later == route(puzzle, every_step=True, budget=300).steps
    assert walk.position.solved
    # The level does not depend on the steps with which its search begins.
    techniques = technique_order()
    none_first = sorted(ideas, key=lambda idea: idea.story is None)
    level = level_of(first, techniques, clock, ideas)
    assert level == level_of(first, techniques, clock, none_first)
