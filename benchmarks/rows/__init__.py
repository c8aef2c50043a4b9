"""Every speed figure that an issue asks for, one row each, one file per issue.

A new file in this folder only needs a tuple ``ROWS``: files are found automatically.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from benchmarks.measure import Row


def every_row() -> list[Row]:
    """The rows of every file, by issue. Imports everything that they measure and compare."""
    modules = [import_module(f"{__name__}.{module.name}") for module in iter_modules(__path__)]
    rows: list[Row] = [row for module in modules for row in module.ROWS]
    return sorted(rows, key=lambda row: row.issue)
