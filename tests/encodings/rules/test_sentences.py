"""Printed sentences are true and complete: rules that print the same mean the same, no number is lost,
and a reader of the print alone decides fillings as the rule does."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import combinations
from typing import Any

import pytest

from gridassay.encodings.board import Filled
from gridassay.encodings.constraints import Letter
from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules import RULES
from gridassay.encodings.rules.base import Rule
from gridassay.encodings.rules.layered import OnLayer
from gridassay.verify.reference import sentences

from . import reader
from .test_layer_sentences import SETTINGS as LAYER_SETTINGS

FILLINGS = 10_000
SIX = 'rows = 4\ncolumns = 4\nhouses = "none"\ndigits = [1, 2, 3, 4, 5, 6]\n'
GRID = 'size = 6\nbox = "2x3"\n'
LINE = {"cells": "r1c1..r1c4"}
LOOP = {"cells": "r1c1 r1c2 r2c2 r2c1"}
SHORT = {"cells": "r1c1 r1c2"}
CROSS = {"cells": "r1c1 r1c2 r2c1 r2c2"}
ROW = {"line": "r1", "side": "left"}

ENDS = tuple(
    {"line": line, "side": side}
    for line, side in (("r1", "left"), ("r1", "right"), ("c1", "top"), ("c1", "bottom"))
)
ONE_SETTING = {"windows", "box-places", "nonconsecutive", "entropic-squares"}
"""Kinds without any field of their own, and so with only one sentence."""
OUTSIDE = ("little-killer", "sandwich", "battlefield", "x-sum", "seen-count", "numbered-room")

SETTINGS: Mapping[str, tuple[dict[str, Any], ...]] = {
    "cage": tuple(
        LOOP | total | again
        for total in (
            {},
            {"sum": 11},
            {"sum": 14},
            {"at-least": 9},
            {"at-most": 14},
            {"at-least": 9, "at-most": 14},
            {"sum": 12, "at-least": 9},
        )
        for again in ({}, {"repeats": True})
    ),
    "calculation-cage": tuple(
        cells | operation | {"target": target}
        for cells in (SHORT, {"cells": "r1c1"}, {"cells": "r1c1 r1c2 r2c2"})
        for operation in ({}, *({"operation": sign} for sign in "+-*/"))
        for target in (2, 6)
    ),
    "arrow": tuple(
        {"bulb": bulb, "shaft": "r3c3 r3c4"} | extra
        for bulb in ("r1c1", "r1c1 r1c2", "r1c2 r1c1", "r1c1 r2c1", "r1c1 r2c1 r2c2")
        for extra in ({}, {"optional": False})
    ),
    "contains": tuple(
        cells | {"digits": digits}
        for cells in (CROSS, LINE, {"cells": "r1c1 r1c2 r1c3"})
        for digits in ([1], [1, 4], [4, 1], [4, 4], [1, 4, 4], [4, 4, 4])
    ),
    "whisper": (
        LINE,
        *(LOOP | {"closed": c, "difference": d} for c in (True, False) for d in (2, 5)),
    ),
    "spread": tuple(LOOP | {"difference": d, "closed": c} for d in (1, 2) for c in (True, False)),
    "outside-ends": tuple(LINE | {"difference": d} for d in (0, 1, 4)),
    "modular": tuple(
        cells | {"modulus": modulus, "closed": closed}
        for cells in (LOOP, {"cells": "r1c1 r1c2 r2c2"})
        for modulus in (2, 3, 4, 5)
        for closed in (True, False)
    ),
    "entropic": ({**SHORT}, LOOP, LOOP | {"closed": True}),
    "parity-line": (LOOP, LOOP | {"closed": True}),
    "equal-difference": tuple(
        cells | {"least": least, "closed": closed}
        for cells in (LOOP,)
        for least in (0, 1, 2)
        for closed in (True, False)
    ),
    "sum-run": tuple(LOOP | {"total": t, "closed": c} for t in (6, 7) for c in (True, False)),
    "zipper": (LINE, {"cells": "r1c1..r1c3"}),
    "pair-sum": tuple(SHORT | {"sum": total} for total in (4, 5, 7, 10)),
    "pair-difference": tuple(SHORT | {"value": value} for value in (1, 2)),
    "pair-ratio": tuple(SHORT | {"value": value} for value in (2, 3)),
    "diagonals": tuple({"which": which} for which in ("both", "falling", "rising")),
    "anti-knight": ({}, {"wrap": True}),
    "anti-king": ({}, {"wrap": True}),
    "anti-queen": ({"digits": [2]}, {"digits": [2, 5]}, {"digits": [5, 2]}),
    "marks-complete": (
        {"kinds": ["consecutive-pair"]},
        {"kinds": ["double-pair"]},
        {"kinds": ["double-pair", "consecutive-pair"]},
        {"kinds": ["pair-sum"], "sums": [5]},
        {"kinds": ["pair-sum"], "sums": [5, 10]},
        {"kinds": ["pair-difference"], "differences": [2]},
        {"kinds": ["pair-ratio"], "ratios": [2]},
    ),
    "head-sum": tuple(ROW | {"sum": 7} | length for length in ({}, {"length": 2}, {"length": 3})),
    "head-digits": tuple(
        ROW | {"digits": digits} | length
        for digits in ([1, 2], [2, 2])
        for length in ({}, {"length": 2}, {"length": 3})
    ),
    "among": tuple(SHORT | {"digits": digits} for digits in ([1], [1, 6], [6, 1])),
    "counts-neighbours": tuple(
        {"cells": "r2c2 r1c1", "digits": digits, "around": around}
        for digits in ([2], [1, 2], [2, 1])
        for around in ("all", "sides")
    ),
    "indexing": ({"line": "r1"}, {"line": "c1"}, {"line": "c2"}),
    "copy": (
        {"cells": "r1c1 r1c2", "of": "r3c1 r3c2"},
        {"cells": "r1c1 r1c2", "of": "r3c2 r3c1"},
    ),
    "relation": (
        *(
            {"cells": "r1c1 r1c2 r1c3", "holds": formula}
            for formula in (
                "a + c == 2*b",
                "a + b == 2*c",
                "a < b < c",
                "a % 3 == b",
                "b > 2 or a == c",
            )
        ),
        {"cells": "r1c3 r1c2 r1c1", "holds": "a + b == 2*c"},
        *({"each": each, "holds": "a != b"} for each in ("row neighbours", "diagonal neighbours")),
        *({"each": each, "holds": "a < b + 3"} for each in ("column neighbours", "row triples")),
        *({"offsets": offsets, "holds": "a != b"} for offsets in ([[1, 2]], [[1, -2]], [[2, 1]])),
        {"each": "2x2 squares", "holds": "a + d != b + c"},
        {"each": "2x2 squares", "holds": "a + b != c + d"},
    ),
    "exactly": tuple(
        {"count": count, "of": [{"kind": "cage", "cells": "r1c1 r1c2"} | one for one in inner]}
        for count in (0, 1, 2)
        for inner in (
            ({"sum": 5}, {"sum": 7}),
            ({"sum": 7}, {"sum": 5}),
            ({"sum": 5}, {"sum": 7, "repeats": True}),
        )
    ),
    "at-least": tuple(
        {"count": count, "of": [{"kind": kind} | SHORT for kind in kinds]}
        for count in (1, 2)
        for kinds in (("even", "odd"), ("low", "high"), ("whisper", "renban"))
    ),
    "region-sum": tuple(
        {"cells": cells, "closed": closed}
        for cells in ("r1c3 r1c4 r2c4 r2c3", "r2c3 r2c4 r1c4 r1c3")
        for closed in (True, False)
    ),
    "renban": (LOOP, LOOP | {"closed": True}, SHORT),
    "little-killer": tuple(
        {"start": start, "direction": direction, "sum": total}
        for start, direction in (("r3c1", "down-right"), ("r6c1", "up-right"))
        for total in (7, 9)
    ),
    "sandwich": tuple({"line": line, "sum": total} for line in ("r1", "c1") for total in (0, 5)),
    "battlefield": tuple({"line": line, "sum": total} for line in ("r1", "c1") for total in (3, 5)),
    "x-sum": tuple(ends | {"sum": total} for ends in ENDS for total in (6, 9)),
    "seen-count": tuple(ends | {"seen": seen} for ends in ENDS for seen in (2, 3)),
    "numbered-room": tuple(ends | {"digit": digit} for ends in ENDS for digit in (1, 4)),
    "equal-sums": tuple(
        {"groups": groups}
        for groups in (
            ["r1c1 r1c2", "r3c3"],
            ["r3c3", "r1c1 r1c2"],
            ["r1c1", "r1c2 r3c3"],
        )
    ),
    "greater-sum": tuple(
        {"groups": groups} for groups in (["r1c1 r1c2", "r3c3"], ["r3c3", "r1c1 r1c2"])
    ),
    **{
        kind: tuple({"cells": cells} for cells in ("r1c1 r1c2", "r1c2 r1c1", "r2c1 r2c2"))
        for kind in ("even", "odd", "low", "high", "above-neighbours", "below-neighbours")
    },
    **{
        kind: tuple({"cells": cells} for cells in ("r1c1 r1c2", "r1c2 r1c1", "r2c1 r2c2"))
        for kind in (
            "consecutive-pair",
            "double-pair",
            "greater",
            "all-different",
            "counting-circles",
        )
    },
    **{
        kind: tuple({"cells": cells} for cells in ("r1c1..r1c4", "r1c4..r1c1", "r1c1..r3c3"))
        for kind in (
            *("thermometer", "slow-thermometer", "double-arrow", "palindrome"),
            *("between-ends", "progression"),
        )
    },
    "sequence": tuple(
        {"cells": cells, "pattern": pattern}
        for cells in ("r1c1..r1c4", "r1c4..r1c1")
        for pattern in (
            ".*12.*",
            ".*21.*",
            "[12]*[3-6]+",
            "(1|2.)*",
            "[^12]{4}",
            ".{3}5",
            ".*1.*2.*",
        )
    ),
}


def rule_of(kind: str, fields: Mapping[str, Any]) -> Rule:
    return RULES[kind].model_validate({"kind": kind} | dict(fields))


def canvas_of(kind: str) -> Puzzle:
    needs_grid = kind in {
        *("head-sum", "head-digits", "diagonals", "indexing", "relation", "region-sum", *OUTSIDE)
    }
    return read_document(GRID if needs_grid or not SETTINGS[kind][0] else SIX)


@cache
def fillings(whole: str) -> list[Filled]:
    """Random fillings of a board; half of them with few digits, so that rules of many cells hold."""
    puzzle = read_document(whole)
    chance = random.Random(19)
    cells, digits = puzzle.canvas.cells, puzzle.canvas.digits
    pools = [digits, digits[:3], digits[1:5], (1, 2), digits]
    return [
        Filled(puzzle.board, dict(zip(cells, chance.choices(pool, k=len(cells)), strict=True)))
        for pool in pools
        for _ in range(FILLINGS // len(pools))
    ]


def printed(kind: str, fields: Mapping[str, Any], puzzle: Puzzle) -> tuple[object, ...]:
    rule = rule_of(kind, fields)
    rule.check(puzzle.bare_board)
    return rule.printed, *rule.shapes(puzzle.board)


@pytest.mark.parametrize("kind", SETTINGS)
def test_what_prints_the_same_means_the_same(kind: str) -> None:
    puzzle = canvas_of(kind)
    whole = GRID if puzzle.canvas.grids else SIX
    told = [(fields, printed(kind, fields, puzzle)) for fields in SETTINGS[kind]]
    assert len({str(one) for _, one in told}) > 1
    for (one, first), (other, second) in combinations(told, 2):
        if first == second:
            a, b = rule_of(kind, one), rule_of(kind, other)
            differ = [filled for filled in fillings(whole) if a.holds(filled) != b.holds(filled)]
            assert not differ, (one, other, first[0])


def test_every_kind_is_tried() -> None:
    of_layers = {kind for kind, rule in RULES.items() if issubclass(rule, OnLayer)}
    assert RULES.keys() - of_layers == SETTINGS.keys() | ONE_SETTING
    assert of_layers == LAYER_SETTINGS.keys()


PLACES = {"cells", "of", "bulb", "shaft", "line", "which", "groups", "start"}
"""Fields that are drawn, or hold other rules."""


@pytest.mark.parametrize("kind", SETTINGS)
def test_no_number_is_lost(kind: str) -> None:
    for fields in SETTINGS[kind]:
        rule = rule_of(kind, fields)
        read = f"{rule.wording()} {' '.join(rule.sign()) if kind == 'head-digits' else rule.sign()}"
        for key, value in fields.items():
            if key in PLACES or isinstance(value, bool):
                continue
            numbers = re.findall(r"\d+", str(value))
            if key == "pattern":  # a repeat, a class or a row of single digits
                numbers = re.findall(r"\d", str(value))
            if key == "sum" and value in (5, 10):
                numbers = [str(value)]
            # X and V carry their number in the sentence; 2x2 is the name of a neighbourhood.
            for number in numbers if key != "each" else ():
                assert re.search(rf"(?<!\d){number}(?!\d)", read), (kind, fields, read)


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("cage", {"cells": "r1c1 r1c2", "sum": "Q"}),
        ("whisper", {"cells": "r1c1 r1c2", "difference": "Q"}),
        ("spread", {"cells": "r1c1 r1c2", "difference": "Q"}),
        ("outside-ends", {"cells": "r1c1..r1c3", "difference": "Q"}),
        ("modular", {"cells": "r1c1..r1c3", "modulus": "Q"}),
        ("sum-run", {"cells": "r1c1..r1c3", "total": "Q"}),
        ("pair-difference", {"cells": "r1c1 r1c2", "value": "Q"}),
        ("relation", {"cells": "r1c1 r1c2", "holds": "a + b == Q"}),
        ("relation", {"cells": "r1c1 r1c2", "holds": "a * b > 2 * Q or not a == b"}),
    ],
)
def test_no_letter_is_lost(kind: str, fields: dict[str, Any]) -> None:
    rule = rule_of(kind, fields)
    assert re.search(r"\bQ\b", f"{rule.wording()} {rule.sign()}")
    puzzle = read_document(SIX)
    assert set(rule.letters(puzzle.bare_board)) == {"Q"}


def nested(kind: str, count: int, of: list[dict[str, Any]]) -> dict[str, Any]:
    return {"kind": kind, "count": count, "of": of}


CLAIMS = [
    {"kind": "cage", "cells": "r1c1 r1c2", "sum": 5},
    {"kind": "cage", "cells": "r2c1 r2c2 r3c2", "sum": 9, "repeats": True},
    {"kind": "arrow", "bulb": "r1c1", "shaft": "r2c2 r3c3"},
    {"kind": "arrow", "bulb": "r4c1 r4c2", "shaft": "r1c1..r1c4"},
    {"kind": "contains", "cells": "r3c3 r3c4 r4c3 r4c4", "digits": [2, 2]},
    {"kind": "contains", "cells": "r1c1..r1c4", "digits": [1, 3, 3]},
    {"kind": "counting-circles", "cells": "r1c1 r2c2 r3c3"},
    {"kind": "counts-neighbours", "cells": "r2c2", "digits": [1, 2]},
]

NESTED = [
    nested("exactly", 1, CLAIMS[:2]),
    nested("exactly", 0, CLAIMS[:3]),
    nested("exactly", 2, CLAIMS[:2]),
    nested("at-least", 2, [*CLAIMS[:1], *CLAIMS[2:5]]),
    nested("exactly", 1, CLAIMS[2:4]),
    nested("exactly", 3, CLAIMS),
    nested("at-least", 1, CLAIMS[:1]),
    nested("exactly", 1, [CLAIMS[0], {"kind": "cage", "cells": "r4c3 r4c4", "sum": 7}, CLAIMS[5]]),
    nested("exactly", 1, [CLAIMS[0], nested("at-least", 1, CLAIMS[1:3]), CLAIMS[6]]),
    nested("exactly", 1, [nested("exactly", 1, CLAIMS[:2]), nested("exactly", 1, CLAIMS[2:4])]),
]


def readable() -> Iterator[dict[str, Any]]:
    for kind in ("cage", "arrow", "contains", "counts-neighbours"):
        for fields in SETTINGS[kind]:
            yield {"kind": kind} | fields
    yield {"kind": "counting-circles", "cells": "r1c1 r2c2 r3c3 r4c4"}
    yield from NESTED


@pytest.mark.parametrize("fields", list(readable()), ids=lambda fields: str(fields)[:70])
def test_a_reader_decides_as_the_rule_does(fields: dict[str, Any]) -> None:
    rule = rule_of(fields["kind"], fields)
    seen = reader.Mark(
        tuple(tuple(cell) for cell in getattr(rule, "shaft", rule.where())),
        rule.sign(),
        tuple(tuple(cell) for cell in getattr(rule, "bulb", ())),
    )
    answers = set()
    for filled in fillings(SIX)[::5]:
        digits = {tuple(cell): filled[cell] for cell in filled.board.canvas.cells}
        held = rule.holds(filled)
        answers.add(held)
        assert reader.decide(rule.printed, seen, digits) is held, (rule.printed, digits)
    always = fields.get("repeats") or fields.get("bulb") == "r1c1 r2c1 r2c2"  # or never
    assert len(answers) == 2 or always


def test_sets_that_are_counted_apart_are_named() -> None:
    two = "".join(
        f'[[rule]]\nkind = "counting-circles"\ncells = "{cells}"\n'
        for cells in ("r1c1 r2c2", "r3c3 r4c4")
    )
    first, second = sentences(read_document(SIX + two)).values()
    assert first == "A digit in a circle appears in exactly that many circles (r1c1 r2c2)."
    assert second == "A digit in a circle appears in exactly that many circles (r3c3 r4c4)."


def test_lines_of_one_kind_with_two_numbers_are_told_apart() -> None:
    two = "".join(
        f'[[rule]]\nkind = "whisper"\ncells = "{cells}"\ndifference = {difference}\n'
        for cells, difference in (("r1c1..r1c4", 2), ("r3c1 r4c2", 3), ("r4c4 r3c4", 2))
    )
    puzzle = read_document(SIX + two)
    assert set(sentences(puzzle, apart=True).values()) == {
        "Neighbouring digits along a whisper differ by at least 2 (r1c1 to r1c4 and r4c4 r3c4).",
        "Neighbouring digits along a whisper differ by at least 3 (r3c1 r4c2).",
    }
    assert all("(" not in sentence for sentence in sentences(puzzle).values())


def test_a_letter_is_no_number_of_the_filling() -> None:
    # The unknowns of a formula: what can make both sides equal.
    rule = rule_of("relation", {"cells": "r1c1 r1c2", "holds": "2*A == a + b"})
    assert rule.letters(read_document(SIX).bare_board) == {"A": (1, 6)}
    assert Letter("A") not in read_document(SIX).board.domains
