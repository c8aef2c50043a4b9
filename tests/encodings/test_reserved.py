"""No rule, letter or layer is called what something else is called."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import chain

import pytest

from gridassay.encodings.board import Board
from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.reserved import trouble_with
from gridassay.encodings.rules import RULES
from gridassay.encodings.technique_words import TECHNIQUE_WORDS
from gridassay.verify import check, clues, conflicts, route
from gridassay.verify.mending.slips import usual_slips
from gridassay.verify.solving.techniques.names import technique_names

TAKEN = """
row 1 | Row  1 | column 4 | box 5 | region A | row 3 of B
r1c1 | R1C1 | r1c1..r1c4 | r1c1 r1c2 | r1c1=5 | r1c1-r1c2 | cage r1c1 r1c2
letters | doublers | because | not | suppose | either | if | nothing | digit | digits | letter | layer
doubler | story | reason | Reason | digit 4 | digits 4 5 | letter A | doubler r1c1
cage | cage#1 | quay: north | a; b | # | killer pair | XY-wing | xy wing | naked singles | BUG
"""
FREE = """
quay | harbour cage | row of crates | box kite | box 5 kite | Reasonable | A | r | r1 | שפל | 1
r1c1 quay side | digital | cage by the quay | not here | if only | letter box | harbour, north
"""


def listed(names: str) -> list[str]:
    return [name.strip() for line in names.strip().splitlines() for name in line.split("|")]


def cage(fields: str) -> str:
    return f'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\n{fields}\n'


@pytest.mark.parametrize("name", listed(TAKEN))
def test_no_rule_is_called_that(name: str) -> None:
    with pytest.raises(PuzzleError) as refused:
        read_document(cage(f'sum = 3\nid = "{name}"'), "tide.toml")
    assert str(refused.value).startswith("tide.toml:6: ")
    assert repr(name) in str(refused.value)
    nested = 'size = 4\n[[rule]]\nkind = "exactly"\ncount = 1\n[[rule.of]]\nkind = "even"\n'
    with pytest.raises(PuzzleError, match=r"tide\.toml:8: "):
        read_document(f'{nested}cells = "r1c1"\nid = "{name}"\n', "tide.toml")


@pytest.mark.parametrize("name", listed(FREE))
def test_a_rule_may_be_called_that(name: str) -> None:
    assert read_document(cage(f'sum = 3\nid = "{name}"')).rule_names == (name,)


@pytest.mark.parametrize(
    "name", ["r1c1", "R2C3", "letters", "doublers", "because", "cage", "skyscraper"]
)
def test_no_letter_is_called_that(name: str) -> None:
    with pytest.raises(PuzzleError, match=rf"tide\.toml:5: .*'{name}'"):
        read_document(cage(f'sum = "{name}"'), "tide.toml")


def test_every_kind_and_every_technique_is_taken() -> None:
    for name in (*RULES, *technique_names(), *chain(*TECHNIQUE_WORDS.values())):
        assert trouble_with(name)


def test_all_techniques_stand_among_the_words() -> None:
    assert set(TECHNIQUE_WORDS) == set(technique_names())


@pytest.mark.parametrize(
    ("name", "said"),
    [("A", "a letter of this puzzle"), ("x-sum r2 left", "the name of another rule")],
)
def test_no_rule_is_called_what_something_else_in_the_puzzle_is(name: str, said: str) -> None:
    others = (
        '[[rule]]\nkind = "cage"\ncells = "r2c1 r2c2"\nsum = "A"\n'
        '[[rule]]\nkind = "x-sum"\nline = "r2"\nside = "left"\nsum = 7\n'
    )
    plain = read_document(cage("sum = 3") + others)
    taken = plain.rule_names[2] if said.startswith("what") else name
    with pytest.raises(PuzzleError, match=said):
        read_document(cage(f'sum = 3\nid = "{taken}"') + others)


def colliding() -> Puzzle:
    """Ids that no file may have: rules copied in a program carry what they are given."""
    puzzle = read_document(
        cage("sum = 3")
        + '[[rule]]\nkind = "cage"\ncells = "r2c1 r2c2"\nsum = 7\n'
        + '[[rule]]\nkind = "thermometer"\ncells = "r3c1 r3c2"\n'
        + 'id = "quay"\n'
    )
    names = ("row 1", "row 1", "thermometer#1")
    rules = [r.model_copy(update={"id": n}) for r, n in zip(puzzle.rules, names, strict=True)]
    return replace(puzzle, rules=(*rules, rules[2].model_copy(update={"id": "letters"})))


def test_premises_keep_apart_whatever_their_rules_are_called() -> None:
    puzzle = colliding()
    names = [premise.name for premise in puzzle.model.premises]
    assert len(set(names)) == len(names) == 12 + 4
    apart = [r.model_copy(update={"id": f"quay {n}"}) for n, r in enumerate(puzzle.rules)]
    plain = replace(puzzle, rules=tuple(apart))
    assert check(puzzle).status == check(plain).status
    assert clues(puzzle).to_json()["verdict"] == clues(plain).to_json()["verdict"]
    assert len(route(puzzle).steps) == len(route(plain).steps)


def test_a_conflict_names_the_house_and_the_rule() -> None:
    puzzle = colliding()
    wrong = replace(puzzle, rules=(puzzle.rules[0].model_copy(update={"sum": 2, "repeats": True}),))
    (found,) = conflicts(wrong, budget=30).found[:1]
    assert [str(one) for one in found.premises] == ["cage r1c1 r1c2", "row 1"]


NAMES = (
    *("row 1", "box 2", "letters", "doublers", "r1c1=4", "water", "quay", "cage", "cage#1"),
    *("slip #0", "thermometer r3c1 r3c2", "even r4c4", "A", "r1c1"),
)
SEVERAL = """
size = 4
letters = "different"

[doublers]

[[layer]]
kind = "loop"
name = "water"

[[rule]]
kind = "cage"
cells = "r1c2 r1c3"
sum = "A"

[[rule]]
kind = "cage"
cells = "r2c1 r2c2"
sum = "B"

[[rule]]
kind = "thermometer"
cells = "r3c1 r3c2"

[[rule]]
kind = "even"
cells = "r4c4"

[[rule]]
kind = "on-it"
layer = "water"
cells = "r1c1"
"""


class Borrowed(RULES["cage"]):  # type: ignore[misc, name-defined]
    """A rule of a package whose own name is that of a house."""

    def own_name(self) -> str:
        return "row 1"


@pytest.mark.parametrize("seed", range(30))
def test_whatever_a_program_calls_its_rules_no_two_premises_share_a_name(seed: int) -> None:
    """So a name stands for one premise, as its number in the model does."""
    chance = random.Random(seed)
    plain = read_document(SEVERAL)
    borrowed = Borrowed(cells=plain.rules[0].where(), sum=3)
    rules = [
        rule.model_copy(update={"id": chance.choice((None, *NAMES))})
        for rule in (*plain.rules, borrowed, plain.rules[0])
    ]
    called = replace(plain, rules=tuple(rules))
    names = [premise.name for premise in called.model.premises]
    assert len(set(names)) == len(names) == 12 + 2 + len(rules) + 1
    apart = [rule.model_copy(update={"id": f"quay {n}"}) for n, rule in enumerate(rules)]
    others = replace(plain, rules=tuple(apart)).model.premises
    for one, other in zip(called.model.premises, others, strict=True):
        assert [part.constraint for part in one.parts] == [part.constraint for part in other.parts]


@pytest.mark.parametrize("name", ["letters", "doublers"])
def test_a_model_refuses_two_premises_of_one_name(name: str) -> None:
    """Which only a layer made in a program could bring; files refuse its name."""
    puzzle = read_document(SEVERAL)
    layer = puzzle.layers[0].model_copy(update={"name": name})
    walled = replace(puzzle, layers=(layer,), rules=puzzle.rules[:2])
    with pytest.raises(ValueError, match=f"two premises have one name: '{name}'"):
        assert walled.model
    with pytest.raises(PuzzleError, match=f"name: '{name}' is a word of steps files"):
        read_document(SEVERAL.replace('"water"', f'"{name}"'))
    twice = replace(puzzle, layers=(puzzle.layers[0], puzzle.layers[0]))
    with pytest.raises(ValueError, match="two premises have one name: 'water'"):
        assert twice.model


def test_no_letter_that_a_rule_of_a_package_brings_is_called_what_a_cell_is() -> None:
    class Named(RULES["cage"]):  # type: ignore[misc, name-defined]
        """A rule that names its letter itself."""

        def letters(self, board: Board) -> dict[str, tuple[int, int]]:
            return {"r1c1": (1, 9)}

    puzzle = read_document(cage("sum = 3"))
    with pytest.raises(ValueError, match="'r1c1' is how cells are written"):
        check(replace(puzzle, rules=(Named(cells=puzzle.rules[0].where()),)))


def test_slips_keep_apart_from_rules_that_are_called_so_in_a_program() -> None:
    puzzle = read_document(
        'size = 4\ngivens = "1... .... .... ...."\n'
        '[[rule]]\nkind = "cage"\ncells = "r1c2 r2c2 r2c3"\nsum = 7\n'
        '[[rule]]\nkind = "marks-complete"\nkinds = ["consecutive-pair"]\n'
    )
    names = ("slip #0", "slip #1")
    rules = [r.model_copy(update={"id": n}) for r, n in zip(puzzle.rules, names, strict=True)]
    found = usual_slips(replace(puzzle, rules=tuple(rules)), budget=60)
    same = usual_slips(puzzle, budget=60)
    assert [one.solution for one in found.found] == [one.solution for one in same.found]
