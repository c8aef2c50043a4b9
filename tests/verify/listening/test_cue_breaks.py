"""Captions that were broken within a name, or between a digit and what is said of it.

In the puzzle r2c6 is 2, r2c7 is 7 and r5c6 is 6, all singles.
"""

from __future__ import annotations

import pytest

from .test_confined import results

BROKEN = [
    (("the two in row", "two is in box two"), ["r2c6 = 2"]),
    (("seven in row two is in column", "seven two in row two is in column", "six"),
     ["r2c7 = 7", "r2c6 = 2"]),
    (("seven goes in row two column seven and the two", "is row two column six"),
     ["r2c7 = 7", "r2c6 = 2"]),
    (("so now row", "two column six is a two and the seven sits in row", "two column seven"),
     ["r2c6 = 2", "r2c7 = 7"]),
    (("two in row two", "column six easy and row two column", "seven seven"),
     ["r2c6 = 2", "r2c7 = 7"]),
    (("Good. Row 2", "column 6 is the 2 of box", "2. And box 3 has its 7 in row",
      "2 column 7. Tea soon, I"),
     ["r2c6 = 2", "r2c7 = 7"]),
]  # fmt: skip


@pytest.mark.parametrize(("cues", "meant"), BROKEN)
def test_a_name_that_was_broken_is_heard_whole(cues: tuple[str, ...], meant: list[str]) -> None:
    assert results(*cues) == [(one, "sound") for one in meant]


def test_a_house_that_is_whole_in_its_cue_stays_there() -> None:
    """*Column six* begins what is said next; it does not make a cell of *row two*."""
    heard = results("seven in row two", "column six has its six in row five")
    assert heard == [("r2c7 = 7", "sound"), ("r5c6 = 6", "sound")]


REASONS = [
    (("seven in row two column seven because row one has a seven",), [("r2c7 = 7", "sound")]),
    (("row two column six isnt a five row three has its five", "row two column six is a two"),
     [("r2c6 not 5", "idle"), ("r2c6 = 2", "sound")]),
    (("the step one in box two", "row two column six is a two"), [("r2c6 = 2", "sound")]),
]  # fmt: skip


@pytest.mark.parametrize(("cues", "meant"), REASONS)
def test_reasons_and_pronouns_place_nothing(
    cues: tuple[str, ...], meant: list[tuple[str, str]]
) -> None:
    heard = results(*cues)
    assert [one for one in heard if one[0]] == meant
