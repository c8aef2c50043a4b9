"""Every speed figure that is asked for, one row each, a file an issue.

A file of this folder with a tuple ``ROWS`` is all it takes: files are found by themselves.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from benchmarks.measure import Row


def every_row() -> list[Row]:
    """The rows of every file, by issue. Imports what they measure and are measured against."""
    modules = [import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)]
    rows: list[Row] = [row for module in modules for row in module.ROWS]
    return sorted(rows, key=lambda row: row.issue)
