"""Claims that are announced before they are said, and digits only recalled; each talk is our own."""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

HERON = Path(__file__).parent / "narrations" / "puzzles" / "heron.txt"


def judged(*cues: str) -> list[tuple[str | None, str]]:
    """The meaning and the result of each claim of captions about a classic grid."""
    lines = ["WEBVTT", ""]
    for number, cue in enumerate(cues):
        lines += [f"00:00:{number:02}.000 --> 00:00:{number + 1:02}.000", cue, ""]
    return [(one.means, one.result) for one in audit_talk(read_file(HERON), "\n".join(lines)).steps]


@pytest.mark.parametrize(
    "announced",
    [
        "Box two, look at the twos.",
        "Now the twos, in box two.",
    ],
)
def test_a_claim_stands_where_its_cell_is_named(announced: str) -> None:
    said = judged(announced, "Row two column six is a two.")
    assert said == [("r2c6 = 2", "sound")]


def test_digits_that_stand_already_are_recalled() -> None:
    said = judged("Eight in row two, eight in row eight.", "Row one column four is an eight.")
    assert said == [("r1c4 = 8", "sound")]


def test_what_is_said_twice_with_its_cell_is_idle_the_second_time() -> None:
    said = judged("Row two column six is a two.", "So row two column six is two.")
    assert [result for _, result in said] == ["sound", "idle"]


def test_a_row_and_a_column_of_a_list_do_not_cross_before_a_cell() -> None:
    said = judged("Two in row eight, two in column five, row two column six, that's a two.")
    assert said == [("r2c6 = 2", "sound")]


@pytest.mark.parametrize(
    "said",
    [
        "Which lets us finish the column with a four.",
        "The last one in the column is a four.",
        "So row three has got its six in one of the middle two.",
    ],
)
def test_what_no_cell_or_house_was_named_for_is_never_wrong(said: str) -> None:
    results = [result for _, result in judged("Row two column six is a two.", said)]
    assert results[0] == "sound"
    assert "wrong" not in results
