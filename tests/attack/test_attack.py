"""The attack itself: it knows every kind, finds nothing in a few seeds, and finds planted faults."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gridassay.encodings.rules import RULES
from gridassay.encodings.rules.layered import OnLayer

from . import batches, certificates, differential, layers, readers
from .boards import boards
from .cases import Case
from .failures import Failure
from .layer_readings import READ
from .makers import MAKERS
from .planted import FAULTS, hunt
from .readings import READINGS
from .tally import add, totals


def test_every_kind_can_be_made_and_read() -> None:
    over_layers = {kind for kind, rule in RULES.items() if issubclass(rule, OnLayer)}
    assert set(RULES) - over_layers == set(READINGS) == set(MAKERS)
    assert over_layers <= set(READ)


def test_boards_have_the_fillings_that_are_known() -> None:
    # 4×4 grids with boxes 288, Latin squares 576 (OEIS A107739, A002860), from memory.
    fillings = {board.name: len(board.worlds) for board, _ in boards()}
    assert fillings["grid"] == 288
    assert fillings["latin"] == 576


def test_a_mark_with_a_letter_is_a_mark() -> None:
    # Of rows of digits 1 to 4, no neighbours of which add up to 6, there are 4, 13, 43 and 142 of lengths
    # 1 to 4, counted by hand; the marked pair may add up to anything.
    (row,) = (board for board, _ in boards() if board.name == "bare 1x5 of 4")
    marked = {"kind": "pair-sum", "cells": "r1c4 r1c5", "sum": "A"}
    complete = {"kind": "marks-complete", "kinds": ["pair-sum"], "sums": [6]}
    assert len(Case(row, {}, (marked, complete)).solutions) == 142 * 4


@pytest.mark.parametrize("part", [differential, layers, readers, certificates, batches])
def test_nothing_is_found_in_a_few_seeds(part) -> None:
    found = [part.one(seed) for seed in range(1, 13)]
    assert [one.failure for one in found if one.failure] == []
    assert sum(one.checks for one in found) >= 12


@pytest.mark.parametrize("name", FAULTS)
def test_a_planted_fault_is_found(name: str) -> None:
    failure, _ = hunt(name, first=1)
    assert failure is not None


def test_a_failure_is_small_and_can_be_read_again(tmp_path: Path) -> None:
    failure, _ = hunt("a plain reading", first=1)
    assert failure is not None
    path = failure.write(tmp_path)
    text = path.read_text(encoding="utf-8")
    assert text.count("[[rule]]") == 1
    assert f"--again {failure.seed}" in text


def test_a_reproducer_of_bytes_is_written_as_it_is(tmp_path: Path) -> None:
    path = Failure("certificates", 5, "it passed", b"PK", "zip").write(tmp_path)
    assert (path.name, path.read_bytes()) == ("certificates-5.zip", b"PK")


def test_the_tally_sums_runs_of_a_commit_and_counts_no_seed_twice(tmp_path: Path) -> None:
    path = tmp_path / "tally.json"
    for seed, seeds in (("a", 10), ("a", 30), ("a", 20), ("b", 5)):
        add(path, "c0ffee", "readers", seed, seeds, seeds, 0)
    add(path, "decade", "readers", "a", 1, 1, 1)
    assert totals(path)["c0ffee"]["readers"] == {"checks": 35, "seeds": 35, "bad": 0}
    assert totals(path)["decade"]["readers"]["bad"] == 1
    assert json.loads(path.read_text(encoding="utf-8"))["c0ffee"]["readers"]["a"]["seeds"] == 30
