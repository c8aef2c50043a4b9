"""The parts of the attack, and running seeds through one of them."""

from __future__ import annotations

import traceback
from collections.abc import Callable
from importlib import import_module

from .failures import Failure, Found

PARTS = {
    "differential": 50,
    "layers": 50,
    "readers": 100,
    "certificates": 5,
    "batches": 5,
    "budgets": 1,
    "interrupts": 1,
    "disks": 2,
    "page": 5,
}
"""Every part, with how many seeds are put to it at a time."""


def attack(part: str, first: int, count: int) -> tuple[int, int, list[Found]]:
    """Run some seeds through a part: the number of checks and seeds, and what was wrong."""
    one: Callable[[int], Found] = import_module(f"tests.attack.{part}").one
    found = [_put(one, part, seed) for seed in range(first, first + count)]
    return sum(f.checks for f in found), count, [f for f in found if f.failure]


def _put(one: Callable[[int], Found], part: str, seed: int) -> Found:
    try:
        return one(seed)
    except (
        Exception
    ):  # the fault is in the part itself or in what it called: either must be looked at
        return Found(1, Failure(part, seed, traceback.format_exc()))
