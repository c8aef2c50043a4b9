"""Puzzles that take long, for budgets that are to run out and work that is to be stopped."""

from __future__ import annotations

from pathlib import Path

PIGEONS = """
rows = 1
columns = 13
houses = "none"
digits = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]
[[rule]]
kind = "cage"
cells = "r1c1..r1c13"
"""
"""Thirteen cells that differ, and twelve digits."""

LONG_HAUL = Path(__file__).with_name("long-haul.toml")
"""A puzzle of one solution with a long route: eight kinds of rules and no givens."""
