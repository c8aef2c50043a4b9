"""Audits: each result on a step made for it, and walkthroughs with a slip in them."""

from __future__ import annotations

import random

import pytest

from gridassay.encodings.grid import Cell, classic, parse_cells
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check, read
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.auditing.claims import Claim, Matcher
from gridassay.verify.auditing.results import AuditedStep
from gridassay.verify.solving.board.candidates_file import read_candidates
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.step_reader import Because
from gridassay.verify.solving.board.steps import Step, write_steps
from gridassay.verify.solving.routes import route

from ... import published
from ..minimal import CLOCK, minimal, variant

PUZZLE = read(published.ENCYCLOPAEDIA)


def only(puzzle: Puzzle, text: str) -> AuditedStep:
    (step,) = audit(puzzle, text).steps
    return step


def test_sound_when_it_follows_from_what_it_names() -> None:
    assert only(PUZZLE, "r5c5 = 5 because naked single: r5c5").result == "sound"
    assert only(PUZZLE, "r5c5 = 5 because naked single").result == "sound"
    assert only(PUZZLE, "r5c5 = 5").result == "sound"
    assert only(PUZZLE, "r6c3 = 3 because hidden single: digit 3, box 4").result in (
        "sound",
        "wider",
    )


def test_idle_when_it_is_already_so() -> None:
    assert only(PUZZLE, "r1c1 = 5").result == "idle"
    assert only(PUZZLE, "r1c3 not 5 because naked pair: r9c1 r9c2").result == "idle"


def test_wrong_when_no_solution_has_it() -> None:
    step = only(PUZZLE, "r5c5 = 6")
    assert step.result == "wrong"
    assert "r5c5 is 5 in the solution" in step.detail
    assert only(PUZZLE, "r5c5 not 5 because reason: row 5").result == "wrong"
    none = audit(read("11.............."), "r2c2 = 3")
    assert none.steps[0].result == "wrong"
    assert none.ending == "the puzzle has no solution"


def test_unforced_when_only_some_solutions_have_it() -> None:
    puzzle = read("12..34......21..")
    verdict = check(puzzle)
    assert verdict.status == "multiple"
    cell = verdict.differs[0]
    digits = [dict(zip(puzzle.board.shown, s, strict=True))[cell] for s in verdict.solutions]
    held = audit(puzzle, f"{cell} = {digits[0]}\n{cell} = {digits[1]}\n{cell} not {digits[1]}\n")
    assert [step.result for step in held.steps] == ["unforced", "wrong", "idle"]
    assert not held.ok


def test_wider_when_the_board_says_it_but_not_what_is_named() -> None:
    step = only(PUZZLE, "r5c5 = 5 because reason: box 1")
    assert step.result == "wider"
    assert "it is shown so: r5c5 has no other candidate" in step.detail
    step = only(PUZZLE, "r1c3 not 2 because reason: box 9")
    assert step.result == "wider"
    assert "it is shown so: suppose r1c3 were 2. Then " in step.detail
    step = only(PUZZLE, "r5c5 = 5 because naked single: r5c4")
    assert step.result == "wider"


def test_unreadable_says_why_and_the_audit_goes_on() -> None:
    held = audit(PUZZLE, "r5c5 is five\nr5c5 = 5\n")
    assert [step.result for step in held.steps] == ["unreadable", "sound"]
    assert held.steps[0].line == 1


def test_a_wrong_step_is_left_out_and_the_audit_goes_on() -> None:
    held = audit(PUZZLE, "r5c5 = 6\nr5c5 = 5\nr5c5 = 5\n")
    assert [step.result for step in held.steps] == ["wrong", "sound", "idle"]


def test_a_solution_merely_copied_out_does_not_pass() -> None:
    puzzle = minimal(classic(9), 3)
    (solution,) = check(puzzle).solutions
    given = {fact.variable for fact in puzzle.givens}
    text = "".join(
        f"{cell} = {digit}\n"
        for cell, digit in zip(puzzle.canvas.cells, solution, strict=True)
        if cell not in given
    )
    held = audit(puzzle, text)
    assert held.solved
    assert held.ending == "the end is the solution"
    assert not held.ok


FIRST_WING = 54
"""Where the search below ended: it is tried first, and need not be right."""


def wing_position() -> tuple[Puzzle, str]:
    """A puzzle and the steps of its route up to its first XYZ-wing, that step last."""
    for seed in (FIRST_WING, *range(200)):
        puzzle = minimal(classic(9), seed)
        steps = route(puzzle).steps
        names = [step.technique for step in steps]
        if "XYZ-wing" in names:
            place = names.index("XYZ-wing")
            return puzzle, write_steps(steps[: place + 1], puzzle)
    raise AssertionError("no XYZ-wing in two hundred puzzles")


def test_the_right_name_when_the_pattern_is_another() -> None:
    puzzle, text = wing_position()
    step = audit(puzzle, text.replace("because XYZ-wing", "because XY-wing")).steps[-1]
    assert step.result == "sound"
    assert step.detail == "sound, but an XYZ-wing, not an XY-wing"
    step = audit(puzzle, text.replace("because XYZ-wing", "because harbour wing")).steps[-1]
    assert "there is no technique 'harbour wing'" in step.detail


def test_a_simpler_step_that_stood_open_is_named() -> None:
    puzzle, text = wing_position()
    *before, last = text.splitlines()
    placing = max(place for place, line in enumerate(before) if " = " in line.partition("#")[0])
    held = audit(puzzle, "\n".join([*before[:placing], *before[placing + 1 :], last]))
    said = held.steps[-1].detail
    assert held.steps[-1].result in ("sound", "wider")
    if held.steps[-1].result == "sound":
        assert " stood at r" in said
        assert "when the XYZ-wing was shown" in said


@pytest.mark.parametrize("single", ["last cell", "hidden single", "naked single"])
def test_one_single_is_never_said_to_be_simpler_than_another(single: str) -> None:
    """Which of the three a person sees first is theirs to say (common practice, no published source)."""
    step = audit(read("123.3412214.4321"), f"r1c4 = 4 because {single}").steps[0]
    assert (step.result, step.detail) == ("sound", "")


def test_a_missing_removal_is_named_with_what_supplies_it() -> None:
    """A naked pair shown before its second cell is down to two candidates."""
    puzzle = next(
        p
        for p in (minimal(classic(9), seed) for seed in range(300))
        if _pair_after_locked(p) is not None
    )
    found = _pair_after_locked(puzzle)
    assert found is not None
    steps, place = found
    text = write_steps([*steps[: place - 1], steps[place]], puzzle)
    step = audit(puzzle, text).steps[-1]
    assert step.result == "wider"
    assert "missing: " in step.detail
    assert "supplied by locked candidates" in step.detail


def _pair_after_locked(puzzle: Puzzle) -> tuple[tuple[Step, ...], int] | None:
    """A route and the place in it of a naked pair that the step before it made."""
    steps = route(puzzle).steps
    for place in range(1, len(steps)):
        if steps[place].technique == "naked pair" and steps[place - 1].technique == (
            "locked candidates"
        ):
            struck = {cell for cell, _ in steps[place - 1].removes}
            if struck & set(steps[place].cells):
                return steps, place
    return None


def test_what_else_the_pattern_gives() -> None:
    puzzle = next(
        p
        for p in (minimal(classic(9), seed) for seed in range(100))
        if any(s.technique == "naked pair" and len(s.removes) > 1 for s in route(p).steps)
    )
    steps = route(puzzle).steps
    place = next(
        n for n, s in enumerate(steps) if s.technique == "naked pair" and len(s.removes) > 1
    )
    text = write_steps(steps[:place], puzzle)
    pair = steps[place]
    cell, digit = pair.removes[0]
    claim = f"{cell} not {digit} because naked pair: {' '.join(map(str, pair.cells))}"
    step = audit(puzzle, text + claim).steps[-1]
    assert step.result == "sound"
    assert "the pattern also gives" in step.detail


@pytest.mark.parametrize("seed", range(8))
def test_mutated_walkthroughs_are_caught(seed: int) -> None:
    """Another digit placed, another premise cell, a step left out: none of it passes as sound."""
    rng = random.Random(seed)
    puzzle = minimal(classic(9), seed)
    steps = route(puzzle).steps
    placing = [n for n, step in enumerate(steps) if step.places]
    place = rng.choice(placing)
    lines = [step.line(puzzle.canvas) for step in steps]
    cell, digit = steps[place].places[0]
    other = digit % 9 + 1
    lines[place] = lines[place].replace(f"{cell} = {digit}", f"{cell} = {other}")
    held = audit(puzzle, "\n".join(lines))
    assert held.steps[place].result == "wrong"
    assert not held.ok
    assert not held.solved or held.steps[-1].result != "wrong"


@pytest.mark.parametrize("seed", range(12))
def test_a_premise_cell_moved_is_caught(seed: int) -> None:
    rng = random.Random(seed)
    puzzle = minimal(classic(9), seed + 20)
    # A tidy step keeps quiet about cells that its pattern strikes as well.
    steps = route(puzzle, every_step=True).steps
    named = [
        n for n, step in enumerate(steps) if len(step.cells) > 1 and step.removes and not step.story
    ]
    if not named:
        return
    place = rng.choice(named)
    lines = [step.line(puzzle.canvas) for step in steps[: place + 1]]
    first = steps[place].cells[0]
    used = {*steps[place].cells, *(cell for cell, _ in steps[place].removes)}
    other = rng.choice([cell for cell in puzzle.canvas.cells if cell not in used])
    head, because, tail = lines[place].partition("because")
    lines[place] = head + because + tail.replace(str(first), str(other), 1)
    step = audit(puzzle, "\n".join(lines)).steps[place]
    assert step.result == "wider" or (step.result == "sound" and "sound, but" in step.detail)


def test_an_audit_of_a_variant_with_reasons() -> None:
    puzzle = variant(3)
    found = route(puzzle, budget=60)
    held = audit(puzzle, write_steps(found.steps, puzzle), budget=60)
    assert held.ok
    assert held.to_json()["results"]["sound"] == len(found.steps)


def test_a_chain_written_as_its_cells_is_checked_by_its_links() -> None:
    """Whether or not it is the chain that the technique would show first."""
    puzzle = Puzzle(classic(9))
    grid = [["."] * 9 for _ in range(9)]
    chain = {"r1c1": "52", "r4c1": "23", "r4c6": "38", "r8c6": "81", "r8c9": "15"}
    for name, digits in {**chain, "r1c9": "579"}.items():
        grid[int(name[1]) - 1][int(name[3]) - 1] = digits
    position = read_candidates("\n".join(map(" ".join, grid)), puzzle)
    matcher = Matcher(puzzle, position, CLOCK)
    mark = (position.layout.index[Cell(1, 9)], 4)
    cells = tuple(parse_cells(" ".join(chain)))
    whole = Claim((), (mark,), Because("XY-chain", cells))
    assert matcher.by_links(whole, "XY-chain")
    assert matcher.by_links(whole, "alternating inference chain")
    assert not matcher.by_links(whole, "X-chain")
    assert not matcher.by_links(whole, "remote pairs")
    short = Claim((), (mark,), Because("XY-chain", (*cells[:2], *cells[3:])))
    assert not matcher.by_links(short, "XY-chain")


OPENING = read("8.7.4.1......8792......3..65......1....631....2......84..9......1835......3.1.2.9")
"""6 in box 2 can only be at r1c6, which has other candidates too."""


def test_a_name_that_does_not_give_it_is_no_reason() -> None:
    step = only(OPENING, "r1c6 = 6 because naked single: r1c6")
    assert step.result == "wider"
    assert step.detail.startswith(
        "r1c6 is not a naked single, it can be 2, 5, 6 or 9; a hidden single gives it: 6 in box 2"
    )
    bare = only(OPENING, "r1c6 = 6 because naked single")
    assert bare.result == "wider"
    bare = only(OPENING, "r1c6 = 6 because skyscraper")
    assert bare.result == "wider"
    assert bare.detail.startswith("it is not a skyscraper; a hidden single gives it")


def test_the_right_premises_under_a_wrong_name_are_told_apart_from_sound() -> None:
    held = audit(
        OPENING,
        "r1c6 = 6 because naked single: digit 6, box 2\n"
        "r3c5 = 9 because hidden single: digit 9, box 2\n",
    )
    wrong, right = held.steps
    assert wrong.result == right.result == "sound"
    assert wrong.detail == "sound, but a hidden single, not a naked single"
    assert (wrong.misnamed, wrong.rightly) == (True, ("hidden single",))
    assert not right.misnamed
    told = held.to_json()
    assert told["misnamed"] == 1
    assert [step["misnamed"] for step in told["steps"]] == [True, False]
    assert told["steps"][0]["rightly"] == ["hidden single"]


def test_a_name_that_nobody_knows_is_told() -> None:
    step = only(OPENING, "r1c6 = 6 because bananas")
    assert step.result == "sound"
    assert step.detail == "there is no technique 'bananas'; it is a hidden single"
    assert step.misnamed
    step = only(OPENING, "r1c6 = 6 because hiden single: digit 6, box 2")
    assert "(did you mean hidden single?)" in step.detail
    assert step.misnamed
    step = only(OPENING, "r1c6 = 6 because bananas: r1c6")
    assert step.result == "wider"
    assert step.detail.startswith("there is no technique 'bananas'; a hidden single gives it: ")


@pytest.mark.parametrize("word", ["cross-hatching", "Cross hatching", "Hidden Singles"])
def test_the_words_of_the_trade_are_names_too(word: str) -> None:
    step = only(OPENING, f"r1c6 = 6 because {word}: digit 6, box 2")
    assert (step.result, step.misnamed) == ("sound", False)


def test_steps_are_counted_beside_lines() -> None:
    held = audit(OPENING, "# the opening\n\nr1c6 = 6\nr3c5 = 9  # box 2\n")
    assert [(step.number, step.line) for step in held.steps] == [(1, 3), (2, 4)]
    assert [step["step"] for step in held.to_json()["steps"]] == [1, 2]


def test_the_cells_that_are_open_at_the_end_are_named() -> None:
    *most, last = write_steps(route(OPENING).steps, OPENING).splitlines()
    held = audit(OPENING, "\n".join(most))
    cell = last.split()[0]
    assert held.ending == f"1 cell is still open at the end: {cell}"
    assert held.to_json()["open"] == [cell]
    none = audit(OPENING, "")
    assert none.ending.startswith("54 cells are still open at the end: r1c2, r1c4, ")
    assert none.ending.endswith(" and 42 more")


def test_a_rule_with_houses_is_held_to_what_is_listed() -> None:
    """1 and 2 make the cage; with row 1 it leaves none of them for r1c3, with box 9 nothing follows."""
    puzzle = read('size = 9\n[[rule]]\nkind = "cage"\nid = "quay"\ncells = "r1c1 r1c2"\nsum = 3\n')
    matcher = Matcher(puzzle, Position.start(puzzle), CLOCK)
    mark = (matcher.layout.index[Cell(1, 3)], 0)

    def held(name: str, *houses: str) -> bool:
        because = Because(name, tuple(parse_cells("r1c1 r1c2")), (), houses, ("quay",))
        return matcher.by_reading(Claim((), (mark,), because))

    assert held("rule with its houses", "row 1")
    assert not held("rule with its houses", "box 9")
    assert not held("rule with its houses")
    assert not held("rule alone", "row 1")
    assert not held("rule alone")
