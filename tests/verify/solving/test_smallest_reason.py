"""The smallest reason, held against going through all sets of premises on 4×4 grids."""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import combinations

import pytest

from gridassay.encodings.grid import classic
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify import read
from gridassay.verify.budget import TooHard
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.questions import Denial, Switch
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.solving.board.position import Mark, Position, layout_of, members
from gridassay.verify.solving.reasons.proving import cell_premises, contrary, follows, spot_premises
from gridassay.verify.solving.reasons.search import PASSED_OVER, find_reason
from gridassay.verify.solving.reasons.smallest import LONG, idea_of, smallest_reason
from gridassay.verify.solving.reasons.witnesses import NO_BOUNDS, ReasonBook, Within

from ..minimal import CLOCK, minimal, random_solution, variant

FOUR = Puzzle(classic(4))
THERMOMETER = read(
    'size = 4\n[[rule]]\nkind = "thermometer"\ncells = "r1c1 r2c2 r3c3"\n'
    '[[rule]]\nkind = "cage"\ncells = "r4c1 r4c2 r3c2"\nsum = 9\n',
    "four.toml",
)


def a_position(puzzle: Puzzle, rng: random.Random) -> tuple[Position, Solution]:
    """A position with a known solution and no digit placed."""
    layout = layout_of(puzzle)
    solution = random_solution(puzzle, rng)
    masks = []
    for digit in solution:
        own = 1 << layout.digit_index[digit]
        masks.append(own | rng.choice((0, rng.randrange(16), 15)))
    return Position(layout, masks), solution


def false_candidates(position: Position, engine: SatEngine) -> list[Mark]:
    """Candidates that contradict the position as a whole."""
    held = everything(position)
    return [
        (cell, digit)
        for cell, mask in enumerate(position.masks)
        for digit in members(mask)
        if engine.solve([*held, contrary(position.layout, (cell, digit), placed=False)], CLOCK)
        is None
    ]


def least_size(position: Position, targets: list[Mark], engine: SatEngine) -> tuple[int, int]:
    """The size of the smallest reason, by trying all sets of premises in order of size."""
    layout = position.layout
    parts = [
        premise.name if premise.kind == "house" else (premise.name, number)
        for premise in layout.premises.values()
        for number in range(len(premise.parts))
    ]
    for count in range(1, len(parts)):
        least: int | None = None
        for on in combinations(parts, count):
            for mark in targets:
                if not _follows(position, mark, on, everything(position), engine):
                    continue
                found = _least_about(position, mark, on, engine, 4 if least is None else least - 1)
                least = found if least is None or found is not None else least
        if least is not None:
            return count, least
    raise AssertionError("there is no reason")


def everything(position: Position) -> list[Denial]:
    return list(cell_premises(position, range(len(position.masks))))


def _follows(
    position: Position,
    mark: Mark,
    on: Sequence[Switch],
    assumed: Sequence[Denial],
    engine: SatEngine,
) -> bool:
    opposite = contrary(position.layout, mark, placed=False)
    return engine.solve([*assumed, opposite], CLOCK, on=on) is None


def _least_about(
    position: Position, mark: Mark, on: Sequence[Switch], engine: SatEngine, most: int
) -> int | None:
    """The fewest premises about candidates, up to ``most``."""
    facts = [list(cell_premises(position, [cell])) for cell in range(len(position.masks))]
    facts += [
        list(spot_premises(position, [(digit, zone)]))
        for zone in position.layout.full_zones
        if zone.switch in on
        for digit in range(len(position.layout.digits))
    ]
    facts = [fact for fact in facts if fact]
    for count in range(most + 1):
        for chosen in combinations(facts, count):
            if _follows(position, mark, on, [denial for fact in chosen for denial in fact], engine):
                return count
    return None


@pytest.mark.parametrize(("puzzle", "seed"), [(FOUR, 1), (FOUR, 2), (THERMOMETER, 3)])
def test_it_is_the_smallest_there_is(puzzle: Puzzle, seed: int) -> None:
    rng = random.Random(seed)
    engine = sat_engine_for(puzzle, CLOCK)
    tried = 0
    while tried < 6:
        position, solution = a_position(puzzle, rng)
        targets = rng.sample(found := false_candidates(position, engine), min(3, len(found)))
        if not targets:
            continue
        tried += 1
        book = ReasonBook(puzzle, CLOCK)
        searched = find_reason(book, position, targets, solution, CLOCK, NO_BOUNDS)
        quick = smallest_reason(book, position, targets, solution, CLOCK)
        assert searched is not None
        assert quick is not None
        assert searched.exact
        assert searched.size == quick.size == least_size(position, targets, engine)
        for reason in (searched, quick):
            assert follows(engine, position, idea_of(reason, position), CLOCK)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_without_techniques_a_route_reaches_its_end_by_reasons_alone(seed: int) -> None:
    puzzle = minimal(classic(9), seed)
    engine = sat_engine_for(puzzle, CLOCK)
    solution = engine.solve(puzzle.givens, CLOCK)
    assert solution is not None
    position, book = Position.start(puzzle), ReasonBook(puzzle, CLOCK)
    layout = position.layout
    while not position.solved:
        for cell in members(position.open_bits):
            if position.masks[cell].bit_count() == 1:
                position.place(cell, position.masks[cell].bit_length() - 1)
        targets = [
            (cell, digit)
            for cell in members(position.open_bits)
            for digit in members(position.masks[cell])
            if layout.digits[digit] != solution[cell]
        ]
        if not targets:
            continue
        found = smallest_reason(book, position, targets, solution, CLOCK)
        assert found is not None
        assert follows(engine, position, idea_of(found, position), CLOCK)
        for cell, digit in found.removes:
            position.remove(cell, digit)


def test_a_search_given_up_still_gives_a_reason() -> None:
    puzzle = variant(5)
    engine = sat_engine_for(puzzle, CLOCK)
    solution = engine.solve(puzzle.givens, CLOCK)
    assert solution is not None
    position = Position.start(puzzle)
    targets = [
        (cell, digit)
        for cell in members(position.open_bits)
        for digit in members(position.masks[cell])
        if position.layout.digits[digit] != solution[cell]
    ]
    found = find_reason(
        ReasonBook(puzzle, CLOCK), position, targets, solution, CLOCK, Within(choices=0)
    )
    assert found is not None
    assert not found.exact
    idea = idea_of(found, position)
    assert follows(engine, position, idea, CLOCK)
    assert ("perhaps not the shortest" in idea.say()) == (len(found.switches) >= LONG)


@pytest.mark.parametrize("hard", [3, 50])
def test_choices_too_hard_to_answer_are_passed_over(
    monkeypatch: pytest.MonkeyPatch, hard: int
) -> None:
    puzzle = minimal(classic(9), 2)
    engine = sat_engine_for(puzzle, CLOCK)
    solution = engine.solve(puzzle.givens, CLOCK)
    assert solution is not None
    position = Position.start(puzzle)
    targets = [
        (cell, digit)
        for cell in members(position.open_bits)
        for digit in members(position.masks[cell])
        if position.layout.digits[digit] != solution[cell]
    ]
    asked = 0
    answered = SatEngine.solve

    def often_too_hard(self: SatEngine, *question: object, **more: object) -> Solution | None:
        nonlocal asked
        if more.get("effort") is not None and (asked := asked + 1) <= hard:
            raise TooHard
        return answered(self, *question, **more)

    monkeypatch.setattr(SatEngine, "solve", often_too_hard)
    found = find_reason(ReasonBook(puzzle, CLOCK), position, targets, solution, CLOCK)
    monkeypatch.undo()
    assert asked >= min(hard, PASSED_OVER)
    assert found is not None
    assert not found.exact
    assert follows(engine, position, idea_of(found, position), CLOCK)
