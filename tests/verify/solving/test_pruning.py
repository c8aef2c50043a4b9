"""The fillings of a rule, listed cell by cell with early checks, against the plain reading."""

from __future__ import annotations

import random
from itertools import product

import pytest

from gridassay.verify import read
from gridassay.verify.solving.board.position import layout_of, members
from gridassay.verify.solving.rule_meaning.pieces import pieces_of
from gridassay.verify.solving.stories.tables import Tables

RULES = {
    "a cage": 'kind = "cage"\ncells = "r1c1 r1c2 r2c1"\nsum = 11',
    "a little killer": 'kind = "little-killer"\nstart = "r1c2"\ndirection = "down-right"\nsum = 9',
    "an arrow": 'kind = "arrow"\nbulb = "r1c1"\nshaft = "r1c2 r2c3 r3c3"',
    "a renban": 'kind = "renban"\ncells = "r1c1 r2c2 r2c3 r3c4"',
    "a sandwich": 'kind = "sandwich"\nline = "r2"\nsum = 5',
    "a thermometer": 'kind = "thermometer"\ncells = "r1c1 r2c1 r3c2"',
}


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_fillings_are_those_that_hold(rule: str, seed: int) -> None:
    text = f'size = 6\nbox = "2x3"\n[[rule]]\n{RULES[rule]}\n'
    puzzle = read(text, "one-rule.toml")
    layout, rng = layout_of(puzzle), random.Random(seed)
    masks = [rng.randrange(1, full + 1) for full in layout.full]
    (table,) = Tables(layout, puzzle.board, tuple(pieces_of(layout))).at(masks)
    (premise,) = (one for one in puzzle.model.premises if one.kind == "rule")
    names = [layout.unknowns[unknown] for unknown in table.scope]
    expected = {
        values
        for values in product(*(members(masks[unknown]) for unknown in table.scope))
        if all(
            part.constraint.holds(
                {
                    name: layout.domains[unknown][value]
                    for name, unknown, value in zip(names, table.scope, values, strict=True)
                }
            )
            for part in premise.parts
        )
    }
    listed = {
        tuple(
            next(value for value, having in enumerate(row) if having >> number & 1)
            for row in table.having
        )
        for number in members(table.every)
    }
    assert listed == expected
