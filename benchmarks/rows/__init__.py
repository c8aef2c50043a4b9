"""Every speed figure that is asked for, one row each, a file an issue."""

from __future__ import annotations

from benchmarks.measure import Row
from benchmarks.rows import clues, mend, pictures, rules, verdict

ROWS: tuple[Row, ...] = (*verdict.ROWS, *rules.ROWS, *mend.ROWS, *clues.ROWS, *pictures.ROWS)
