"""The board of all unknowns: letters and doublers have candidates like cells."""

from __future__ import annotations

import pytest

from gridassay.encodings.constraints import Doubler, Letter
from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.variables import Fact
from gridassay.verify import Clock, audit, read, route
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.candidates_file import read_candidates, write_candidates
from gridassay.verify.solving.board.position import Position, members

LETTERED = read(
    'size = 4\ngivens = "1..4 .... .... ...."\n'
    '[[rule]]\nkind = "cage"\ncells = "r1c2 r1c3"\nsum = "A"\n'
    '[[rule]]\nkind = "cage"\ncells = "r2c1 r2c2"\nsum = "B"\n',
    "labels.toml",
)
DOUBLED = read(
    'size = 4\n[doublers]\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 9\n', "twice.toml"
)


def values(position: Position, unknown: Letter | Doubler) -> list[int]:
    place = position.layout.index[unknown]
    return [position.layout.domains[place][value] for value in members(position.masks[place])]


def test_cells_come_first_and_the_rest_has_its_domains() -> None:
    position = Position.start(DOUBLED)
    layout = position.layout
    assert layout.unknowns[:16] == layout.cells
    assert set(layout.unknowns[16:]) == {Doubler(cell) for cell in layout.cells}
    assert values(position, Doubler(Cell(1, 1))) == [0, 1]
    assert position.open_bits.bit_count() == 16
    assert not position.solved
    assert position.open_unknowns.bit_count() == 32


def test_a_letter_left_with_one_value_is_decided() -> None:
    position = Position.start(LETTERED)
    place = position.layout.index[Letter("A")]
    for value in members(position.masks[place])[1:]:
        assert not position.is_placed(place)
        position.remove(place, value)
    assert position.is_placed(place)


def test_a_route_decides_the_letters() -> None:
    found = route(LETTERED)
    struck = [one for step in found.steps for one in step.removes if one.unknown == Letter("A")]
    # The two cells between 1 and 4 are 2 and 3: A is 5, whatever the rest of the grid.
    assert {one.value for one in struck} == {*range(2, 9)} - {5}
    assert values(found.end, Letter("A")) == [5]
    assert any(step.text.endswith("so A is 5") for step in found.steps)
    said = found.steps[0].to_json()
    assert all({"unknown", "value"} == set(one) for one in said["remove"] if "cell" not in one)


def test_candidates_files_hold_letters_and_doublers() -> None:
    position = Position.start(LETTERED)
    position.remove(position.layout.index[Letter("B")], 0)
    text = write_candidates(position)
    assert text.splitlines()[-1] == "letter B: 3 4 5 6 7 8"
    again = read_candidates(text, LETTERED)
    assert again.masks == position.masks

    doubled = Position.start(DOUBLED)
    place = doubled.layout.index[Doubler(Cell(1, 1))]
    doubled.remove(place, 1)
    text = write_candidates(doubled)
    assert text.splitlines()[-1].startswith("doublers: r1c2 r1c3 r1c4 r2c1")
    assert read_candidates(text, DOUBLED).masks == doubled.masks


@pytest.mark.parametrize(
    ("last", "message"),
    [
        ("letter C: 3", "there is no letter 'C'"),
        ("letter A: 3 99", "'99': A lies between 2 and 8"),
        ("letter A:", "A has no candidate"),
        ("doublers: r1c1", "there are no doublers in this puzzle"),
        ("tides: r1c1", "'tides' is neither a letter nor doublers"),
    ],
)
def test_what_cannot_be_read_after_the_grid(last: str, message: str) -> None:
    grid = "1 . . 4\n" + ". . . .\n" * 3
    with pytest.raises(PuzzleError, match=f"a.txt:5: {message}"):
        read_candidates(f"{grid}{last}\n", LETTERED, "a.txt")


def test_steps_about_letters_and_doublers_are_audited() -> None:
    text = (
        "A = 5 because reason: row 1, cage r1c2 r1c3\n"
        "A not 3, 4\n"
        "B not 99\n"
        "doubler r1c1 = yes\n"
        "B = 6 because rule alone: letter B\n"
    )
    results = [step.result for step in audit(LETTERED, text).steps]
    assert results == ["sound", "idle", "unreadable", "unreadable", "unforced"]
    (step,) = audit(DOUBLED, "doubler r1c1 = yes\n").steps
    assert step.result == "unforced"


def test_that_nothing_mentions_a_letter_proves_nothing_about_it() -> None:
    """Without its cages a letter is its least number in a solution; a step must not rest on that."""
    clock = Clock(60)
    five = Fact(Letter("A"), 5)
    assert sat_engine_for(LETTERED, clock).solve([five], clock, on=["row 1"]) is None
    steps = sat_engine_for(LETTERED, clock, for_steps=True)
    assert steps.solve([five], clock, on=["row 1"]) is not None


def test_a_known_letter_strikes_the_others_where_letters_differ() -> None:
    puzzle = read(
        'size = 4\nletters = "different"\ngivens = "1..4 .... .... ...."\n'
        '[[rule]]\nkind = "cage"\ncells = "r1c2 r1c3"\nsum = "A"\n'
        '[[rule]]\nkind = "cage"\ncells = "r2c1 r2c2"\nsum = "B"\n',
        "differing.toml",
    )
    found = route(puzzle)
    by_letters = [step for step in found.steps if "letters" in step.rules]
    assert by_letters
    assert all(one.value == 5 for one in by_letters[0].removes)
