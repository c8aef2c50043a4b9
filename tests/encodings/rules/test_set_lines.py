"""Lines of digits that go together: palindromes, renbans, and one of each class."""

from __future__ import annotations

from math import factorial, prod

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.rules.set_lines import Modular

from .boards import count, doublers_agree, line, with_digits
from .witnesses import bare, witnesses

CLOSED = "closed = true"
SQUARE = "r1c1 r1c2 r2c2 r2c1"


@pytest.mark.parametrize("length", [2, 3, 4])
@pytest.mark.parametrize("kind", ["palindrome", "renban", "parity-line"])
def test_witnesses(kind: str, length: int) -> None:
    witnesses(bare(1, length, 4, line(kind, f"r1c1..r1c{length}")))


@pytest.mark.parametrize("fields", ["", "modulus = 2", "modulus = 4", "modulus = 1000000000"])
def test_modular(fields: str) -> None:
    witnesses(bare(1, 4, 4, line("modular", "r1c1..r1c4", fields)))
    witnesses(bare(1, 2, 6, line("modular", "r1c1 r1c2", fields)))


@pytest.mark.parametrize("length", [2, 3, 5])
def test_entropic(length: int) -> None:
    witnesses(bare(1, length, 3, line("entropic", f"r1c1..r1c{length}")))


@pytest.mark.parametrize("kind", ["renban", "modular", "entropic", "parity-line"])
def test_closed_lines(kind: str) -> None:
    witnesses(bare(2, 2, 3, line(kind, SQUARE, CLOSED)))
    witnesses(bare(2, 3, 3, line(kind, "r1c1 r1c2 r1c3 r2c2 r2c1", CLOSED)))
    witnesses(bare(2, 2, 3, line(kind, "r1c1 r1c2 r2c1", CLOSED)))


@pytest.mark.parametrize("kind", ["renban", "modular", "entropic", "parity-line"])
def test_digits_from_0_and_with_gaps(kind: str) -> None:
    witnesses(with_digits(1, 3, [0, 1, 2], line(kind, "r1c1..r1c3")))
    witnesses(with_digits(1, 3, [0, 1, 2, 4, 5, 6], line(kind, "r1c1..r1c3")))


@pytest.mark.parametrize(("length", "digits"), [(3, 9), (4, 9), (5, 6), (4, 4)])
def test_renbans_are_runs_in_any_order(length: int, digits: int) -> None:
    # n - k + 1 runs of k consecutive digits, each in k! orders.
    expected = (digits - length + 1) * factorial(length)
    assert count(bare(1, length, digits, line("renban", f"r1c1..r1c{length}"))) == expected


@pytest.mark.parametrize(("length", "digits"), [(2, 9), (5, 5), (4, 9)])
def test_palindromes_are_their_first_half(length: int, digits: int) -> None:
    expected = digits ** -(-length // 2)
    assert count(bare(1, length, digits, line("palindrome", f"r1c1..r1c{length}"))) == expected


def test_parity_lines_are_counted() -> None:
    # Odd or even first: of 1 to 5 three are odd and two are even.
    odd_first, even_first = 3 * 2 * 3 * 2 * 3, 2 * 3 * 2 * 3 * 2
    found = count(bare(1, 5, 5, line("parity-line", "r1c1..r1c5")))
    assert found == odd_first + even_first


@pytest.mark.parametrize("kind", ["modular", "entropic"])
def test_one_of_each_class(kind: str) -> None:
    # The first three cells order the classes, the rest repeat them: 3! orders, 3 digits for each cell.
    assert count(bare(1, 5, 9, line(kind, "r1c1..r1c5"))) == factorial(3) * 3**5


def test_modular_with_uneven_classes() -> None:
    # 1 to 5 modulo 3: {1, 4}, {2, 5}, {3}; over three cells each class once.
    expected = factorial(3) * prod((2, 2, 1))
    assert count(bare(1, 3, 5, line("modular", "r1c1..r1c3"))) == expected


def test_a_loop_of_odd_length_cannot_alternate() -> None:
    assert count(bare(2, 2, 9, line("parity-line", "r1c1 r1c2 r2c1", CLOSED))) == 0


@pytest.mark.parametrize(
    ("kind", "cells"),
    [
        ("palindrome", "r1c1 r2c2"),
        ("renban", "r1c1 r1c2 r1c3"),
        ("modular", "r1c1 r2c2 r3c3"),
        ("parity-line", "r1c1 r2c2"),
    ],
)
def test_doublers_change_nothing(kind: str, cells: str) -> None:
    assert doublers_agree(line(kind, cells)) > 0


@pytest.mark.parametrize(
    ("digits", "rule", "message"),
    [
        (4, line("entropic", "r1c1..r1c3"), "4 digits cannot be divided into thirds"),
        (4, line("modular", "r1c1..r1c3", "modulus = 1"), "modulus: "),
        (4, line("renban", "r1c1"), "cells lists 1, but at least 2 are needed"),
        (4, line("palindrome", "r1c1 r1c1"), "r1c1 is listed twice"),
    ],
)
def test_errors(digits: int, rule: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        bare(1, 3, digits, rule)


def test_the_sentence_names_its_modulus() -> None:
    text = Modular.model_validate({"cells": "r1c1..r1c4", "modulus": 4}).wording()
    assert "4 neighbouring" in text
    assert "division by 4" in text
