"""Lines of steps: whispers, spreads, equal differences, progressions."""

from __future__ import annotations

import numpy as np
import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.rules.step_lines import Spread, Whisper

from .boards import count, doublers_agree, line, with_digits
from .witnesses import bare, witnesses

CLOSED = "closed = true"
KINDS = ["whisper", "spread", "equal-difference", "progression"]


@pytest.mark.parametrize("length", [2, 3, 4])
@pytest.mark.parametrize("kind", KINDS)
def test_witnesses(kind: str, length: int) -> None:
    fields = "difference = 2" if kind == "whisper" else ""
    witnesses(bare(1, length, 5 if length < 4 else 4, line(kind, f"r1c1..r1c{length}", fields)))


@pytest.mark.parametrize("kind", ["whisper", "spread"])
@pytest.mark.parametrize("difference", [1, 3, 9])
def test_differences(kind: str, difference: int) -> None:
    witnesses(bare(1, 3, 6, line(kind, "r1c1..r1c3", f"difference = {difference}")))


@pytest.mark.parametrize("kind", ["whisper", "spread", "equal-difference"])
def test_closed_lines(kind: str) -> None:
    fields = f"{CLOSED}\n" + ("" if kind == "equal-difference" else "difference = 2")
    witnesses(bare(2, 2, 5, line(kind, "r1c1 r1c2 r2c1", fields)))
    witnesses(bare(2, 2, 4, line(kind, "r1c1 r1c2 r2c2 r2c1", fields)))


@pytest.mark.parametrize("kind", KINDS)
def test_digits_from_0_and_with_gaps(kind: str) -> None:
    fields = "difference = 2" if kind == "whisper" else ""
    witnesses(with_digits(1, 3, [0, 1, 3, 4, 8], line(kind, "r1c1..r1c3", fields)))


def _neighbours(difference: int) -> np.ndarray:
    digits = np.arange(1, 10)
    return (abs(digits[:, None] - digits[None, :]) >= difference).astype(int)


@pytest.mark.parametrize(("length", "difference"), [(2, 5), (4, 5), (5, 6), (3, 4)])
def test_whispers_by_powers_of_the_transfer_matrix(length: int, difference: int) -> None:
    # Words along a line are walks in the graph of allowed neighbours: the entries of a power of
    # its adjacency matrix count them, the diagonal those that come back.
    step = np.linalg.matrix_power(_neighbours(difference), length - 1)
    rule = line("whisper", f"r1c1..r1c{length}", f"difference = {difference}")
    assert count(bare(1, length, 9, rule)) == step.sum()


def test_closed_whispers_by_the_trace() -> None:
    rule = line("whisper", "r1c1 r1c2 r2c2 r2c1", CLOSED)
    expected = np.trace(np.linalg.matrix_power(_neighbours(5), 4))
    assert count(bare(2, 2, 9, rule)) == expected


def test_progressions_are_counted() -> None:
    # Step s over four cells spans 3s: 9 - 3s first digits, rising and falling.
    expected = 2 * sum(9 - 3 * step for step in (1, 2))
    assert count(bare(1, 4, 9, line("progression", "r1c1..r1c4"))) == expected


def test_spread_over_nine_digits_leaves_the_odd_ones() -> None:
    # Five digits out of nine, no two consecutive: 1 3 5 7 9 in 5! orders.
    assert count(bare(1, 5, 9, line("spread", "r1c1..r1c5"))) == 120


@pytest.mark.parametrize("kind", KINDS)
def test_doublers_count_double_in_differences(kind: str) -> None:
    fields = "difference = 2" if kind == "whisper" else ""
    assert doublers_agree(line(kind, "r1c1 r1c2 r2c2", fields)) > 0


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (line("whisper", "r1c1..r1c3", "difference = 0"), "difference: "),
        (line("spread", "r1c1..r1c3", "diference = 3"), "did you mean 'difference'"),
        (line("equal-difference", "r1c1"), "cells lists 1, but at least 2 are needed"),
        (line("progression", "r1c1 r5c5"), "r5c5 is not on the canvas"),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        bare(1, 3, 9, rule)


def test_sentences_name_their_difference() -> None:
    assert (
        "at least 4." in Whisper.model_validate({"cells": "r1c1 r1c2", "difference": 4}).wording()
    )
    assert "at least 3." in Spread.model_validate({"cells": "r1c1 r1c2", "difference": 3}).wording()
