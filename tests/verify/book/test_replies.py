"""Replies to readers: what was right, what was not, and why, in sentences that can be sent."""

from __future__ import annotations

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify import read
from gridassay.verify.book.replies import reply

SOLUTION = "1234341221434321"
ONE = "1..4...2....43.."
SEVERAL = "1..4............"


def test_grids() -> None:
    puzzle = read(f'title = "Slipway"\nsize = 4\ngivens = """{ONE}"""')
    assert reply(puzzle, SOLUTION).text == (
        "Yes, that is it: your grid is the only solution of Slipway. Well done."
    )
    so_far = reply(puzzle, "12.4...2....43..")
    assert so_far.right
    assert "all 6 digits" in so_far.text
    slip = reply(puzzle, "13.4...2....43..")
    assert not slip.right
    assert "r1c2 has another digit in the solution" in slip.text
    assert slip.view is not None
    assert [str(cell) for cell in slip.view.ringed] == ["r1c2"]
    # All digits turned round: none is left where it was, and too many are wrong to name them all.
    other = "".join(str(5 - int(digit)) for digit in SOLUTION)
    many = reply(puzzle, other).text
    assert " 16 cells have another digit in the solution, r1c1, " in many
    assert many.endswith(" and r2c4 among them; the rest is right.")
    clash = reply(puzzle, "14.4...2....43..")
    assert "row 1" in clash.text


def test_a_second_solution_is_granted() -> None:
    found = reply(read(SEVERAL), SOLUTION)
    assert found.right
    assert found.text.startswith(
        "You are right, and thank you: the puzzle has more than one solution"
    )
    assert found.view is not None
    assert found.view.differing


def test_steps_that_need_no_guess_and_steps_that_do_not_hold() -> None:
    puzzle = read(ONE)
    yes = reply(puzzle, "r1c2 = 2")
    assert yes.right
    assert yes.text.startswith("Yes, r1c2 = 2, and there is no need to guess at r1c2: ")
    assert yes.text.endswith("so r1c2 is 2.")
    assert yes.view is not None
    no = reply(puzzle, "r1c2 = 3")
    assert not no.right
    assert no.text == (
        "Not quite: r1c2 = 3 does not hold. r1c2 holds something else in the solution."
    )
    assert reply(puzzle, "r1c1 = 1").text == "That is so already: r1c1 = 1 needs no step."
    assert "more than one solution" in reply(read(SEVERAL), "r1c2 = 2").text


def test_whether_a_technique_stands() -> None:
    puzzle = read(ONE)
    yes = reply(puzzle, "uses a hidden single")
    assert yes.right
    assert yes.text.startswith("Yes, a hidden single stands there from the start: ")
    no = reply(puzzle, "uses X-wing")
    assert not no.right
    assert no.text.startswith("No: an X-wing does not come up in the puzzle")
    with pytest.raises(PuzzleError, match="there is no technique 'X-wnig'; did you mean X-wing"):
        reply(puzzle, "uses an X-wnig")


def test_what_is_neither_is_refused() -> None:
    with pytest.raises(PuzzleError):
        reply(read(ONE), "I like it")
    with pytest.raises(PuzzleError, match="this step cannot be read"):
        reply(read(ONE), "r9c9 = 1")
