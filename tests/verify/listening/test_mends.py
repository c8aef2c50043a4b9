"""Classes of words that a listener once missed, each with sentences of our own and their truth.

The truth is the solution of the puzzle named, and the arithmetic of its rules said beside it.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.talk import audit_talk

EXAMPLES = Path(__file__).parents[3] / "examples"
LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")
POTS = read_file(EXAMPLES / "lobster-pots.toml")


def meant(steps: tuple[TalkStep, ...]) -> list[tuple[str, str]]:
    return [((step.means or "").partition(" because ")[0], step.result) for step in steps]


def notes(said: str) -> list[tuple[str, str]]:
    return meant(audit_talk(LIGHTS, said, form="notes").steps)


def spoken(*cues: str) -> list[tuple[str, str]]:
    times = (
        f"00:00:{4 * number:02}.000 --> 00:00:{4 * number + 3:02}.000\n{said}\n"
        for number, said in enumerate(cues)
    )
    return meant(audit_talk(LIGHTS, "WEBVTT\n\n" + "\n".join(times)).steps)


# The thermometer from r2c2 has four cells: its bulb is at most 6, its second cell 2 to 7.
BOUNDS = [
    ("Because of the thermometer from r2c2, r2c2 is six or less.", "r2c2 not 7; r2c2 not 8; r2c2 not 9"),
    ("r2c2 can't be more than six, by the thermometer from r2c2.", "r2c2 not 7; r2c2 not 8; r2c2 not 9"),
    ("By the thermometer from r2c2, r2c2 is at most a 6.", "r2c2 not 7; r2c2 not 8; r2c2 not 9"),
    ("r2c2 < 7 by the thermometer from r2c2.", "r2c2 not 7; r2c2 not 8; r2c2 not 9"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "means"), BOUNDS)
def test_a_bound_denies_what_lies_beyond_it(said: str, means: str) -> None:
    steps = meant(audit_talk(POTS, said).steps)
    assert [one.replace(" not 7 8 9", " not 7; r2c2 not 8; r2c2 not 9") for one, _ in steps] == [
        means
    ]
    assert [result for _, result in steps] == ["sound"]


@pytest.mark.parametrize("said", ["At least one of r1c6 and r3c5.", "There is at most one cell."])
def test_a_bound_on_how_many_cells_is_none_on_a_digit(said: str) -> None:
    assert not notes(said)


ARROWS = [
    # 6 in box 2 has only r1c6; 9 in box 2 only r3c5.
    ("6 -> r1c6", [("r1c6 = 6", "sound")]),
    (
        "6 in b2 only r1c6 -> r1c2 r1c4 <> 6",
        [("r1c6 = 6", "sound"), ("r1c2 not 6; r1c4 not 6", "idle")],
    ),
    ("9 r3c5 leaving 6 r1c6", [("r3c5 = 9", "sound"), ("r1c6 = 6", "sound")]),
]


@pytest.mark.parametrize(("said", "truth"), ARROWS)
def test_an_arrow_places_or_concludes(said: str, truth: list[tuple[str, str]]) -> None:
    heard = notes(said)
    assert [means for means, _ in heard] == [means for means, _ in truth]
    assert "wrong" not in {result for _, result in heard}


HOUSES = [
    # Houses that rule the digit out elsewhere claim nothing of where it is.
    "b2: 6 only fits r1c6 (c4, r3)",
    "Row two has a six, so in box two it has to be r1c6 that is a six.",
    "r1c6 is a six 'cause row two has one and row three has one",
]


@pytest.mark.parametrize("said", HOUSES)
def test_houses_that_were_only_looked_at_are_no_place(said: str) -> None:
    assert notes(said)[-1] == ("r1c6 = 6", "sound")


@pytest.mark.parametrize(
    "said", ["r1c6 = 6 because of box 3", "6 in r1c6 (b3)", "the 6 in row 2 is r1c6"]
)
def test_a_house_in_which_a_digit_is_said_to_be_has_to_have_it(said: str) -> None:
    assert notes(said) == [("r1c6 = 6", "wider")]


def test_a_heading_gives_the_other_half_of_a_cell() -> None:
    assert notes("Column six. The six goes in row one.") == [("r1c6 = 6", "sound")]
    assert notes("Row three: the nine is in column five.") == [("r3c5 = 9", "sound")]
    assert notes("Row three wants its nine in column five to live.") == [("r3c5 = 9", "sound")]


@pytest.mark.parametrize("verb", ["drops into", "settles in", "finds its home in", "is at home in"])
def test_a_digit_has_a_home_in_many_words(verb: str) -> None:
    assert notes(f"The six {verb} r1c6.") == [("r1c6 = 6", "sound")]
    assert notes(f"Row one: the six {verb} column six.") == [("r1c6 = 6", "sound")]


def test_a_house_said_after_a_last_digit_is_where_it_lies() -> None:
    """Not the house that ends: row 1 has other open cells, and 6 has one place in it."""
    assert spoken("column six", "it finishes off with a six in row one")[-1] == (
        "r1c6 = 6",
        "sound",
    )


def test_what_only_tells_of_the_board_is_no_step() -> None:
    assert not notes("There's a two in row two and a two in column five.")


POINTING_BACK = [
    ("Look at r1c2 and r1c4: neither is a 6.", "r1c2 not 6; r1c4 not 6"),
    ("r1c2 and r1c4, so 6 is gone from both.", "r1c2 not 6; r1c4 not 6"),
    ("r3c5 is a nine. It isn't a six.", "r3c5 not 6"),
    ("That takes a six out of both r1c2 and r1c4.", "r1c2 not 6; r1c4 not 6"),
    ("Neither r1c2 nor r1c4 has room to hold a six.", "r1c2 not 6; r1c4 not 6"),
    ("r3c5 sees all but one digit, so a nine it is.", "r3c5 = 9"),
    ("I had r3c5 as a four yesterday; it is a nine.", "r3c5 = 9"),
]


@pytest.mark.parametrize(("said", "means"), POINTING_BACK)
def test_cells_that_were_said_before_are_pointed_back_at(said: str, means: str) -> None:
    heard = notes(said)
    assert heard[-1][0] == means
    assert heard[-1][1] != "wrong"


def test_the_rest_of_a_house_is_what_is_left_of_it() -> None:
    """r1c6 is 6: the six goes from every other cell of row 1 that is not filled."""
    (_, rest) = notes("r1c6 is a six. That knocks six out of the rest of row one.")
    empty = [cell for cell in LIGHTS.canvas.cells if cell.row == 1 and (cell.column != 6)]
    filled = {fact.variable for fact in LIGHTS.givens}
    assert rest[0] == "; ".join(f"{cell} not 6" for cell in empty if cell not in filled)
    assert rest[1] in ("idle", "sound")
    (named,) = notes("Six comes out of the rest of row one: r1c2 and r1c4.")
    assert named[0] == "r1c2 not 6; r1c4 not 6"


CUES = [
    (["where does the six go", "row one column six"], ("r1c6 = 6", "sound")),
    (["six in box two then", "is in row one column six"], ("r1c6 = 6", "sound")),
    (["row three column five", "can't be anything but a nine"], ("r3c5 = 9", "sound")),
    (["twenty one and ten is thirty one", "so row one column six is six"], ("r1c6 = 6", "sound")),
]


@pytest.mark.parametrize(("cues", "truth"), CUES)
def test_what_is_said_over_two_cues_is_one_claim(cues: list[str], truth: tuple[str, str]) -> None:
    assert spoken(*cues) == [truth]


def test_a_digit_is_said_once_for_a_list_of_cells() -> None:
    """In the solution 6 is in r1c6 (box 2) and r7c5 (box 8)."""
    said = ("so the sixes", "row one column six in box two", "row seven column five in box eight")
    assert spoken(*said) == [("r1c6 = 6", "sound"), ("r7c5 = 6", "sound")]


def test_a_line_of_notes_is_not_run_into_the_next() -> None:
    """Only a line that was full goes on: notes that begin small do not."""
    said = (
        "what follows is easy, all of it, so I only list the cells in order\nsix r1c6\nnine in r3c5"
    )
    assert notes(said) == [("r1c6 = 6", "sound"), ("r3c5 = 9", "sound")]
    wrapped = (
        "It took a while to see, but in the end the\nsix in box two has its only place in r1c6."
    )
    assert notes(wrapped)[0][0] == "r1c6 = 6"


def test_a_claim_that_no_technique_gives_has_its_reasons_in_the_clean_steps() -> None:
    """On the empty board of Lobster Pots there is no X-wing: the steps of its reasons audit sound."""
    (plain,) = audit_talk(POTS, "r5c7 is a 1 by an X-wing.", budget=120).steps
    assert plain.result == "wider"
    assert plain.clean[0].startswith("# wider")
    told = audit_talk(POTS, "r5c7 is a 1 by an X-wing.", reasons=True, budget=120)
    audited = audit(POTS, told.clean(), budget=120)
    assert audited.steps[-1].text.startswith("r5c7 = 1 because")
    assert {one.result for one in audited.steps} == {"sound"}


def test_deep_fills_in_steps_that_are_left_out_otherwise() -> None:
    """After its singles 8 goes from r5c2 by an X-wing, once longer steps have gone before."""
    puzzle = read_file(Path(__file__).parent / "narrations" / "puzzles" / "hard-633.txt")
    said = (
        "r2c1 = 9. r1c3 = 8. r3c5 = 4. r1c4 = 3. r9c6 = 9. r9c4 = 2. r8c4 = 1. r8c6 = 6. r2c5 = 7. "
        "r4c1 = 1. r3c1 = 5. r5c2 is not 8."
    )
    plain = audit_talk(puzzle, said, form="notes").steps[-1]
    assert (plain.result, plain.skipped) == ("early", ())
    found = audit_talk(puzzle, said, form="notes", deep=True)
    assert found.steps[-1].result == "early"
    assert found.steps[-1].skipped
    assert {one.result for one in audit(puzzle, found.clean()).steps} == {"sound"}
