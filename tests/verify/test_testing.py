"""Assertions for people who test generators."""

from __future__ import annotations

import pytest

from gridassay.verify import PuzzleError, read
from gridassay.verify.testing import assert_unique


def test_one_solution_passes() -> None:
    assert_unique(read("123434122143432."))
    assert_unique("1234 | 3412 | 2143 | 432.")


def test_several_solutions_are_told_apart() -> None:
    with pytest.raises(AssertionError, match=r"multiple.* differ in r2c3 r2c4 r4c3 r4c4"):
        assert_unique("123434..214343..")


def test_none_and_nonsense() -> None:
    with pytest.raises(AssertionError, match="none"):
        assert_unique("11" + "." * 14)
    with pytest.raises(PuzzleError):
        assert_unique("1")
