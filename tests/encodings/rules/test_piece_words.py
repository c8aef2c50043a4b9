"""Pieces of a few cells in words, as a rule text without pictures says them."""

import pytest

from gridassay.encodings.rules.piece_words import form, looks_of, pieces_in_words
from gridassay.encodings.rules.region_shapes import Shapes

# Numbers of pieces, turned and mirrored ones counted as one (Golomb 1965; OEIS A000105).
PIECES = {1: 1, 2: 1, 3: 2, 4: 5, 5: 12}


def grown(size):
    found = {frozenset({(0, 0)})}
    for _ in range(size - 1):
        found = {
            one | {(row + down, column + right)}
            for one in found
            for row, column in one
            for down, right in ((0, 1), (1, 0), (0, -1), (-1, 0))
            if (row + down, column + right) not in one
        }
    top = {
        frozenset((r - min(r for r, _ in one), c - min(c for _, c in one)) for r, c in one)
        for one in found
    }
    return {looks_of(one) for one in top}


@pytest.mark.parametrize("size", PIECES)
def test_each_piece_has_words_of_its_own(size):
    pieces = grown(size)
    assert len(pieces) == PIECES[size]
    said = {pieces_in_words([next(iter(looks))], True, True) for looks in pieces}
    assert len(said) == len(pieces)
    assert not any("row 1" in one for one in said)
    # In whatever way it was drawn, it is called the same.
    for looks in pieces:
        assert len({pieces_in_words([one], True, True) for one in looks}) == 1


@pytest.mark.parametrize("size", [4, 5])
@pytest.mark.parametrize(("turn", "flip"), [(True, False), (False, True), (False, False)])
def test_pieces_that_must_be_told_apart_are(size, turn, flip):
    drawn = {look for looks in grown(size) for look in looks}
    apart = {looks_of(one, turn, flip) for one in drawn}
    said = {frozenset(pieces_in_words([one], turn, flip) for one in looks) for looks in apart}
    assert len({word for words in said for word in words}) >= len(apart)
    assert sum(map(len, said)) == len({word for words in said for word in words})


def test_a_piece_that_lies_in_one_way_is_named_and_told_row_by_row():
    said = pieces_in_words([form("##/#."), form("##/##/##")], False, False)
    assert said == (
        "a corner of three (row 1: columns 1 and 2; row 2: column 1) and a rectangle of 3 rows and 2 "
        "columns"
    )


@pytest.mark.parametrize(
    ("drawings", "words"),
    [
        (["#"], "a single cell"),
        (
            ["####", "##/##", "###/#..", "..#/###"],
            "four in a row, a 2×2 square and an L of four (twice)",
        ),
        (["#.#/###"], "a U of five"),
        (
            ["###/#.#/###"],
            "a piece of eight (row 1: columns 1 to 3; row 2: columns 1 and 3; row 3: columns 1 to 3)",
        ),
        (["##/##/##"], "a 2×3 rectangle"),
    ],
)
def test_words_as_printed(drawings, words):
    assert pieces_in_words([form(one) for one in drawings], True, True) == words


def shapes(*drawings, **fields):
    given = {"kind": "shapes", "layer": "parishes", "shapes": list(drawings), **fields}
    return Shapes.model_validate(given)


@pytest.mark.parametrize(("size", "number"), [(4, 19), (5, 63)])
def test_a_piece_may_be_drawn_in_each_of_its_looks(size, number):
    """The numbers of pieces in every look: OEIS A001168 (from memory)."""
    drawn = {look for looks in grown(size) for look in looks}
    assert len(drawn) == number
    for piece in drawn:
        rows = max(row for row, _ in piece) + 1, max(column for _, column in piece) + 1
        text = "/".join(
            "".join(".#"[(row, column) in piece] for column in range(rows[1]))
            for row in range(rows[0])
        )
        assert shapes(text).drawings == (text,)


@pytest.mark.parametrize("turn", [True, False])
@pytest.mark.parametrize("flip", [True, False])
def test_what_may_be_done_with_the_pieces_is_said(turn, flip):
    """Each word stands in the sentence, and behind a "not" if it is not allowed."""
    text = shapes("##/#.", turn=turn, flip=flip).wording()
    (said,) = (part for part in text.split(";") if "may be" in part)
    may, _, not_allowed = said.partition(":")[0].partition(" not ")
    if "neither" in said:
        may, not_allowed = "", may
    assert ("turned" in may, "mirrored" in may) == (turn, flip)
    assert ("turned" in not_allowed, "mirrored" in not_allowed) == (not turn, not flip)
