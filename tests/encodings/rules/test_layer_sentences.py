"""Printed sentences for layers, and for the rules on them, are true and complete.

As for the other rules (test_sentences.py): two settings that print the same mean the same on random
fillings, in which lines and shadings are random too, and no number or value of a field is lost.
"""

from __future__ import annotations

import random
import re
from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest

from gridassay.encodings.board import Filled
from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules import RULES
from gridassay.encodings.rules.base import Rule
from gridassay.verify.reference import rule_text

FILLINGS = 10_000
CANVAS = 'rows = 3\ncolumns = 3\nhouses = "none"\ndigits = [1, 2, 3, 4]\n'
LAYERS = {
    "water": 'kind = "shading"\nvalues = ["deep", "shallow"]\n',
    "chart": 'kind = "shading"\nvalues = [0, 1, 2]\n',
    "cruise": 'kind = "loop"\n',
    "walk": 'kind = "path"\n',
    "fence": 'kind = "border-loop"\n',
    "parishes": 'kind = "regions"\nsizes = "free"\n',
    "lots": 'kind = "regions"\nsizes = "free"\n',
}
DEEP = {"layer": "water", "value": "deep"}
SHALLOW = {"layer": "water", "value": "shallow"}
TWO = {"layer": "chart", "value": 2}
VALUES = (DEEP, SHALLOW, TWO)
AMOUNTS: tuple[Any, ...] = (1, 2, [1, 2], "digit of r3c3")
ROW = "r1c1 r1c2 r1c3"

SETTINGS: Mapping[str, tuple[dict[str, Any], ...]] = {
    "connected": tuple(v | {"empty": e} for v in VALUES for e in (True, False)),
    "to-the-edge": VALUES,
    "no-square": tuple(
        {"layer": "water"} | values
        for values in (
            {},
            {"values": ["deep"]},
            {"values": ["shallow"]},
            {"values": ["deep", "shallow"]},
        )
    ),
    "groups": tuple(
        v | told
        for v in (DEEP, SHALLOW)
        for told in (
            {"sizes": [1, 2]},
            {"sizes": [2, 1]},
            {"sizes": [2]},
            {"sizes": [2, 2]},
            {"sizes": []},
            {"count": 2},
            {"count": 1},
        )
    ),
    "group-size": tuple(
        v | {"cells": "r1c1 r2c3", "sizes": sizes, "all": every}
        for v in (DEEP, SHALLOW)
        for sizes in ([1, 2], [2, 1], [2, "any"], ["any", "any"], "digit")
        for every in (True, False)
    ),
    "apart": tuple(v | {"touching": t} for v in VALUES for t in ("side", "diagonal", "any")),
    "count-in": tuple(v | {"cells": ROW, "count": count} for v in VALUES for count in AMOUNTS),
    "seen-of": tuple(v | {"cell": "r2c2", "count": count} for v in VALUES for count in AMOUNTS),
    "digits-of": tuple(
        v | {"digits": digits, "only": only}
        for v in (DEEP, SHALLOW)
        for digits in ([1], [1, 4], [4, 1])
        for only in (True, False)
    ),
    "counts-as": tuple(
        v | {"formula": formula}
        for v in (DEEP, SHALLOW)
        for formula in ("2*d", "-d", "0", "d+1", "3*d", "10 - d**2")
    ),
    "same-along": tuple(
        {"layer": layer, "cells": ROW, "same": same}
        for layer in ("water", "chart")
        for same in (True, False)
    ),
    "on-it": tuple(
        {"layer": layer, "cells": "r1c1 r2c2", "on": on}
        for layer in ("cruise", "walk")
        for on in (True, False)
    ),
    "turns": tuple({"layer": layer, "cells": "r1c2"} for layer in ("cruise", "walk")),
    "straight": tuple({"layer": layer, "cells": "r1c2"} for layer in ("cruise", "walk")),
    "counts-on-it": tuple(
        {"layer": layer, "cells": ROW, "count": count}
        for layer in ("cruise", "walk")
        for count in AMOUNTS
    ),
    "sides-on-it": tuple({"layer": "fence", "cell": "r2c2", "count": count} for count in AMOUNTS),
    "along": tuple(
        {"layer": layer, "formula": formula}
        for layer in ("cruise", "walk")
        for formula in ("a + b >= 5", "a + b != 5", "abs(a-b) >= 2")
    ),
    "stretch-total": tuple(
        {"layer": layer, "total": total}
        for layer in ("cruise", "walk")
        for total in (5, 6, "equal")
    ),
    "inside": tuple(
        {"layer": layer, "cells": "r2c2", "side": side}
        for layer in ("cruise", "fence")
        for side in ("in", "out")
    ),
    "matches": tuple(
        v | {"of": of, "inside": inside}
        for v in (DEEP, SHALLOW)
        for of, inside in (("cruise", False), ("cruise", True), ("fence", True), ("walk", False))
    ),
    "region-total": tuple(
        {"layer": "parishes", "total": total} | place
        for total in (4, 6)
        for place in ({}, {"cell": "r1c1"}, {"cell": "r3c3"})
    ),
    "shapes": tuple(
        {"layer": "parishes", "shapes": shapes, "times": "any", "turn": turn, "flip": flip}
        for shapes in (["##", "#"], ["##/#.", "#"], ["#", "##"])
        for turn in (True, False)
        for flip in (True, False)
    ),
    "region-digit": ({"layer": "parishes"}, {"layer": "lots"}),
    "one-region": tuple(
        {"layer": layer, "cells": ROW, "together": together}
        for layer in ("parishes", "lots")
        for together in (True, False)
    ),
}


@cache
def board() -> Puzzle:
    layers = (f'[[layer]]\nname = "{name}"\n{fields}' for name, fields in LAYERS.items())
    return read_document(CANVAS + "".join(layers))


@cache
def fillings() -> list[Filled]:
    """Half with the first value of everything more often, so that loops are short and shades rare."""
    puzzle, chance, found = board(), random.Random(22), []
    for number in range(FILLINGS):
        weight = (1, 3, 6)[number % 3]
        numbers = {
            variable: chance.choices(domain, [weight, *[1] * (len(domain) - 1)])[0]
            for variable, domain in puzzle.board.domains.items()
        }
        found.append(Filled(puzzle.board, numbers))
    return found


def rule_of(kind: str, fields: Mapping[str, Any]) -> Rule:
    rule = RULES[kind].model_validate({"kind": kind} | dict(fields))
    rule.check(board().bare_board)
    return rule


def meaning(rule: Rule) -> tuple[bool, ...]:
    return tuple(rule.holds(filled) for filled in fillings())


@pytest.mark.parametrize("kind", SETTINGS)
def test_what_prints_the_same_means_the_same(kind: str) -> None:
    told: dict[str, list[Rule]] = {}
    for fields in SETTINGS[kind]:
        rule = rule_of(kind, fields)
        seen = list(rule.shapes(board().board))
        told.setdefault(f"{rule.printed} {seen}", []).append(rule)
    assert len(told) > 1
    for sentence, rules in told.items():
        assert len(rules) == 1 or len({meaning(rule) for rule in rules}) == 1, sentence


@pytest.mark.parametrize("kind", SETTINGS)
def test_no_number_and_no_value_is_lost(kind: str) -> None:
    for fields in SETTINGS[kind]:
        rule = rule_of(kind, fields)
        labels = " ".join(shape.label for shape in rule.shapes(board().board))
        read = f"{rule.wording()} {rule.sign()} {labels}"
        for key, value in fields.items():
            if key in (
                "cells",
                "cell",
                "layer",
                "touching",
                "side",
                "times",
                "shapes",
            ) or isinstance(value, bool):
                continue
            if value == "equal":
                assert "the same total" in read
                continue
            # A formula may stand in words, but its numbers stand as figures.
            words = re.findall(r"\d+" if key == "formula" else r"\w+", str(value))
            for word in filter(lambda word: word != "any", words):
                assert re.search(rf"(?<!\w){word}(?!\w)", read), (kind, fields, read)


@pytest.mark.parametrize("kind", SETTINGS)
def test_it_begins_with_a_capital_and_ends_with_a_full_stop(kind: str) -> None:
    for fields in SETTINGS[kind]:
        said = rule_of(kind, fields).printed
        assert re.fullmatch(r"[A-Z2].*[^ ,;:]\.", said), said


def test_sentences_that_name_the_value_need_no_place() -> None:
    both = "".join(
        f'[[rule]]\nkind = "connected"\nlayer = "water"\nvalue = "{value}"\n'
        for value in ("deep", "shallow")
    )
    layer = f'[[layer]]\nname = "water"\n{LAYERS["water"]}'
    said = list(rule_text(read_document(CANVAS + layer + both)))
    assert said[-2:] == [
        "All deep cells form one orthogonally connected group.",
        "All shallow cells form one orthogonally connected group.",
    ]
