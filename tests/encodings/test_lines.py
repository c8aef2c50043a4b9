"""Puzzle lines: what is read, round trips, and thousands of damaged inputs."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridassay.encodings.files import read_text
from gridassay.encodings.grid import SYMBOLS, classic
from gridassay.encodings.lines import PuzzleError, read_lines
from gridassay.encodings.puzzle import Puzzle

NINE = "53..7....6..195....98....6.8...6...34..8.3..17...2...6.6....28....419..5....8..79"


def only(text: str) -> Puzzle:
    (found,) = read_text(text, "x")
    assert isinstance(found, Puzzle), found
    return found


def error(text: str) -> str:
    (found,) = read_text(text, "x")
    assert isinstance(found, PuzzleError)
    assert "\n" not in str(found)
    return str(found)


@pytest.mark.parametrize("empty", [".", "0", "_", "*", "-"])
def test_every_way_to_write_an_empty_cell(empty: str) -> None:
    assert only(NINE.replace(".", empty)).given_line() == NINE


def test_a_drawn_grid_is_one_puzzle() -> None:
    drawn = """# the tide table, as printed
    +-------+-------+-------+
    | 5 3 . | . 7 . | . . . |
    | 6 . . | 1 9 5 | . . . |
    | . 9 8 | . . . | . 6 . |   # high water
    |=======+=======+=======|
    | 8 . . | . 6 . | . . 3 |
    | 4 . . | 8 . 3 | . . 1 |
    | 7 . . | . 2 . | . . 6 |
    +-------+-------+-------+
    | . 6 . | . . . | 2 8 . |
    | . . . | 4 1 9 | . . 5 |
    | . . . | . 8 . | . 7 9 |
    +-------+-------+-------+
    """
    assert only(drawn).given_line() == NINE


def test_several_puzzles_each_keep_their_line() -> None:
    text = f"# two\n{NINE}\n\n{NINE.replace('5', '.')}  # no fives\n1...............\n"
    assert [puzzle.source for puzzle in read_text(text, "tide.txt")] == [
        "tide.txt:2",
        "tide.txt:4",
        "tide.txt:5",
    ]


def test_a_long_file_is_read_as_it_is_asked_for() -> None:
    taken = []

    def endless() -> Iterator[str]:
        while True:
            taken.append(None)
            yield NINE + "\n"

    puzzles = read_lines(endless(), "x")
    assert [next(puzzles).source for _ in range(500)] == [f"x:{n}" for n in range(1, 501)]
    assert len(taken) < 700


def test_letters_in_either_case_are_digits_beyond_nine() -> None:
    line = "g" + "." * 254 + "A"
    assert [fact.value for fact in only(line).givens] == [16, 10]


def test_sixteen_short_lines_are_small_puzzles_unless_a_digit_is_too_large() -> None:
    assert len(list(read_text("\n".join(["1" + "." * 15] * 16), "x"))) == 16
    assert only("\n".join(["G" + "." * 15, *["." * 16] * 15])).canvas == classic(16)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "x: there is no puzzle in it"),
        ("# only a remark", "x: there is no puzzle in it"),
        ("1" * 80, "x:1: 80 symbols do not make a square grid (16, 36, 81, 144, 256, 625 …)"),
        ("\n\n" + "." * 12 + "X" + "...", "x:3: r4c1: 'X' is not a digit here (1 to 4)"),
        ("." * 80 + "ß", "x:1: r9c9: 'ß' is not a digit here (1 to 9)"),
        (
            "\n".join(["123456789"] * 8),
            "x:1: 8 rows of 9 symbols do not make a square grid",
        ),
        (
            "\n".join(["1 2 3 | 4 5 6 | 7 8 9"] * 4 + ["1 2 x | 4 5 6 | 7 8 9"] * 5),
            "x:5: r5c3: 'x' is not a digit here (1 to 9)",
        ),
    ],
)
def test_errors_name_the_place_in_one_line(text: str, message: str) -> None:
    assert error(text) == message


@given(st.sampled_from([4, 5, 6, 9, 12, 16, 25, 35]), st.data())
def test_round_trip(size: int, data: st.DataObject) -> None:
    symbols = st.sampled_from("." + SYMBOLS[:size])
    line = "".join(data.draw(st.lists(symbols, min_size=size**2, max_size=size**2)))
    assert only(line).given_line() == line
    wrapped = "\n".join(line[start : start + size] for start in range(0, size**2, size))
    if size not in (16, 25):
        assert only(wrapped).given_line() == line


@settings(max_examples=1500, deadline=None)
@given(
    st.text(
        alphabet=st.sampled_from("123456789AaZz.0_*-|+= \t#\n\r\x0b\x1cé\x00x['\""), max_size=300
    )
)
def test_any_text_gives_puzzles_or_errors(text: str) -> None:
    for found in read_text(text, "x"):
        assert isinstance(found, Puzzle | PuzzleError)
        if isinstance(found, PuzzleError):
            assert "\n" not in str(found)


@settings(max_examples=1000, deadline=None)
@given(st.data())
def test_damaged_lines(data: st.DataObject) -> None:
    letters = list(NINE)
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(letters)))
        letters[place : place + data.draw(st.integers(0, 2))] = data.draw(st.text(max_size=2))
    for found in read_text("".join(letters), "x"):
        assert isinstance(found, Puzzle | PuzzleError)
