"""A small puzzle that is hard to refute, for budgets that are to run out."""

from __future__ import annotations

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
