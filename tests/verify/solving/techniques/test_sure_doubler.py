"""Doublers that must be in a cage: what is said of them holds in every way to fill the cage."""

from __future__ import annotations

import random
import re
from itertools import product

import pytest

from gridassay.encodings.grid import Cell, parse_cells
from gridassay.encodings.variables import Doubler
from gridassay.verify import audit, read
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import ALL, Layout, Position, layout_of, members
from gridassay.verify.solving.board.steps import step_of
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.techniques import rule_alone, sure_digit

from ...minimal import CLOCK

CAGES = {"r1c2 r1c3": 12, "r3c1 r4c1": 13, "r5c5 r5c6 r6c6": 17, "r2c5 r2c6": 4}
PUZZLE = read(
    "size = 6\n[doublers]\n"
    + "".join(
        f'[[rule]]\nkind = "cage"\ncells = "{cells}"\nsum = {total}\n'
        for cells, total in CAGES.items()
    ),
    "doublers.toml",
)
HOUSES = {house.name: set(house.cells) for house in PUZZLE.canvas.houses}


def random_position(rng: random.Random) -> Position:
    """A board on which some candidates are gone, of cells and of doublers."""
    position = Position.start(PUZZLE)
    for unknown, mask in enumerate(position.masks):
        share = 0.2 if position.layout.is_cell(unknown) else 0.3
        for value in members(mask):
            if rng.random() < share and position.masks[unknown].bit_count() > 1:
                position.remove(unknown, value)
    return position


def ideas(position: Position) -> list[Idea]:
    """The strikes of doublers."""
    found = sure_digit.find(position, ALL)
    return [one for one in found if not position.layout.is_cell(one.removes[0][0])]


def ways(position: Position, cells: list[Cell]) -> list[tuple[tuple[int, ...], set[Cell]]]:
    """Every way to fill a cage, with the cells that are doublers in it."""
    layout = position.layout

    def left(thing: object) -> list[int]:
        unknown = layout.index[thing]  # type: ignore[index]
        return [layout.domains[unknown][value] for value in members(position.masks[unknown])]

    total = CAGES[" ".join(map(str, cells))]
    found = []
    for digits in product(*map(left, cells)):
        for doubled in product(*(left(Doubler(cell)) for cell in cells)):
            made = sum(d * (1 + twice) for d, twice in zip(digits, doubled, strict=True))
            if len(set(digits)) == len(digits) and made == total:
                found.append(
                    (digits, {c for c, twice in zip(cells, doubled, strict=True) if twice})
                )
    return found


@pytest.mark.parametrize("seed", range(4))
def test_what_is_said_holds_in_every_way_to_fill_the_cage(seed: int) -> None:
    rng, told, bounded = random.Random(seed), 0, 0
    engine = sat_engine_for(PUZZLE, CLOCK, for_steps=True)
    for _ in range(60):
        position = random_position(rng)
        for idea in ideas(position):
            assert follows(engine, position, idea, CLOCK)
            text = idea.say()
            m = re.fullmatch(
                r"the \d+ cage in [\w ]+?(?: must hold the doubler of (?P<a>[\w ]+), in (?P<b>.+), so "
                r"|: (?:as .+, )?without a doubler (?P<d>.+) make at most (?P<most>\d+), so one of them "
                r"is the doubler of (?P<c>[\w ]+), and )(?P<end>.+) (is not a doubler|are not doublers)",
                text,
            )
            assert m, text
            house = HOUSES[m["a"] or m["c"]]
            places = set(map_cells(m["b"] or m["d"]))
            cage = next(list(parse_cells(one)) for one in CAGES if places <= set(parse_cells(one)))
            for digits, doubled in ways(position, cage):
                assert doubled & places, f"{text}: {digits}"
            if m["most"]:
                made = [sum(d) for d in plain_digits(position, cage)]
                assert max(made) <= int(m["most"]) < CAGES[" ".join(map(str, cage))], text
                bounded += 1
            assert places <= house, text
            gone = {position.layout.unknowns[one].cell for one, _ in idea.removes}  # type: ignore[union-attr]
            assert gone == set(map_cells(m["end"])) <= house - places, text
            told += 1
    assert told > 20
    assert bounded


@pytest.mark.parametrize("seed", range(4))
def test_a_house_has_one_doubler(seed: int) -> None:
    rng, told = random.Random(seed), 0
    for _ in range(30):
        position = random_position(rng)
        layout = position.layout

        def left(cell: Cell, position: Position = position, layout: Layout = layout) -> set[int]:
            return {*members(position.masks[layout.index[Doubler(cell)]])}

        for idea in rule_alone.find(position):
            text = idea.say()
            if m := re.fullmatch(r"the doublers: (\S+) is the doubler of ([\w ]+), so (.+)", text):
                (doubler,), house = map_cells(m[1]), HOUSES[m[2]]
                assert left(doubler) == {1}, text
                others = {c for c in house - {doubler} if 1 in left(c)}
                assert set(map_cells(m[3])) == others, text
            elif m := re.fullmatch(
                r"the doublers: no other cell of ([\w ]+) can be a doubler, so (\S+) is a doubler",
                text,
            ):
                (doubler,) = map_cells(m[2])
                assert {c for c in HOUSES[m[1]] if 1 in left(c)} == {doubler}, text
            else:
                continue
            told += 1
    assert told > 20


def map_cells(text: str) -> list[Cell]:
    """The cells that are named."""
    return [Cell(int(row), int(column)) for row, column in re.findall(r"r(\d)c(\d)", text)]


def plain_digits(position: Position, cells: list[Cell]) -> list[tuple[int, ...]]:
    """Different digits from the candidates of some cells."""
    layout = position.layout
    lists = [
        [layout.digits[d] for d in members(position.masks[layout.index[cell]])] for cell in cells
    ]
    return [one for one in product(*lists) if len(set(one)) == len(one)]


def test_a_written_one_is_sound_and_needs_its_rule() -> None:
    position = Position.start(PUZZLE)
    idea = next(one for one in ideas(position) if "row 1" in one.say())
    line = step_of(idea, position).line(PUZZLE.canvas)
    assert [step.result for step in audit(PUZZLE, line).steps] == ["sound"]
    name = layout_of(PUZZLE).premise_of(idea.switches[0]).name
    other = line.replace(f" {name},", " the cage 4,").replace(f", {name}", "")
    assert other != line
    assert [step.result for step in audit(PUZZLE, other).steps] != ["sound"]
