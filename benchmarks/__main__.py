"""``python -m benchmarks [--quick] [WORD …]``: measure the rows whose name has one of the words."""

from __future__ import annotations

import argparse

from rich.console import Console
from rich.table import Table

from benchmarks.rows import ROWS


def main() -> None:
    """Measure and print a table, a row at a time as it is done."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks")
    parser.add_argument("words", nargs="*", help="only the rows whose name has one of these")
    parser.add_argument("--quick", action="store_true", help="fewer rounds")
    asked = parser.parse_args()
    console = Console()
    table = Table("issue", "what", "measured", "quartiles", "target", "", "note")
    chosen = [
        row for row in ROWS if not asked.words or any(word in row.name for word in asked.words)
    ]
    with console.status("measuring") as status:
        for row in chosen:
            status.update(row.name)
            got = row.run(asked.quick)
            table.add_row(
                str(row.issue),
                row.name,
                f"{got.value:.3g} {row.unit}",
                f"{got.low:.3g} to {got.high:.3g}",
                f"{row.sense} {row.target:g} {row.unit}",
                "met" if row.met(got) else "NOT met",
                got.note,
            )
    console.print(table)


if __name__ == "__main__":
    main()
