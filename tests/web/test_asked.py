"""Puzzle after puzzle as someone edits one: what is shared, and that it makes no difference."""

from __future__ import annotations

import pytest

from gridassay.encodings.files import read
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check
from gridassay.verify.web.asked import Asked

CAGE = '[[rule]]\nkind = "cage"\ncells = "r1c2 r1c3"\nsum = {total}\n'


def text(givens: str, total: int = 5) -> str:
    return f'size = 4\ngivens = "{givens}"\n' + CAGE.format(total=total)


def asked(text: str, **off: list[str]) -> Puzzle:
    return Asked.of({"text": text, "off": off}).puzzle()


def test_the_model_serves_again_where_only_givens_changed() -> None:
    first = asked(text("1" + "." * 15))
    model = first.model
    assert asked(text("12" + "." * 14)).model is model
    assert asked(text("12" + "." * 14), givens=["r1c2"]).model is model
    assert asked(text("12" + "." * 14)).givens != first.givens


@pytest.mark.parametrize(
    "other",
    [
        text("1" + "." * 15, total=6),
        text("1" + "." * 15).replace("size = 4", 'size = 4\nbox = "none"'),
        text("1" + "." * 15) + CAGE.format(total=3),
        text("1" + "." * 15).replace("size = 4", "size = 4\ndigits = [0, 1, 2, 3]"),
    ],
)
def test_any_other_change_makes_it_anew(other: str) -> None:
    model = asked(text("1" + "." * 15)).model
    assert asked(other).model is not model
    assert [p.name for p in asked(other).model.premises] == [
        p.name for p in read(other).model.premises
    ]


def test_a_rule_that_is_off_does_not_bind_the_next_look() -> None:
    whole = text("1......2..3..4..", total=7)
    assert check(asked(whole)).status == "none"
    assert check(asked(whole, rules=["cage r1c2 r1c3"])).status == "unique"
    assert check(asked(whole)).status == "none"


def test_edits_one_after_the_other_are_judged_as_each_by_itself() -> None:
    rows = ("1.....2.........", "1......2..3..4..", "11..............", "1......2..3..4..")
    for givens in rows:
        written = text(givens)
        puzzle = asked(written)
        assert puzzle == read(written, "puzzle")
        assert check(puzzle).status == check(read(written)).status
