"""How a checked book looks on a terminal."""

from __future__ import annotations

import sys

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table
from rich.text import Text

from gridassay.verify.book.checking import Row
from gridassay.verify.book.results import BookCheck, levels_row
from gridassay.verify.cli.common import say
from gridassay.verify.safe_text import printable
from gridassay.verify.solving.levels import GROUPS
from gridassay.verify.words import quantity

_SAID = {
    "unique": "unique",
    "multiple": "SEVERAL",
    "none": "NONE",
    "undecided": "undecided",
}


class PuzzleBar:
    """A bar for the puzzles that have to be asked; shown only if a person can see it."""

    def __init__(self) -> None:
        self._bar = Progress(
            BarColumn(20),
            MofNCompleteColumn(),
            TextColumn("puzzles to look at"),
            TimeRemainingColumn(),
            console=Console(stderr=True),
            transient=True,
            disable=not sys.stderr.isatty(),
        )
        self._task = self._bar.add_task("", total=None, start=False)

    def __enter__(self) -> PuzzleBar:
        return self

    def __exit__(self, *_: object) -> None:
        self._bar.stop()

    def begin(self, count: int) -> None:
        """Show the bar for so many; none if there is nothing to do."""
        if count:
            self._bar.start()
            self._bar.update(self._task, total=count)
            self._bar.start_task(self._task)

    def step(self) -> None:
        """One more is done."""
        self._bar.advance(self._task)


def show_check(found: BookCheck, budget: float) -> None:
    """Print the table, the row of levels, where techniques come first, and what is to be said."""
    console = Console(highlight=False)
    certified = any(row.certificate != "none" for row in found.rows)
    table = Table(box=None, pad_edge=False, header_style="bold")
    table.add_column("no.", justify="right")
    table.add_column("puzzle", overflow="fold")
    table.add_column("verdict")
    table.add_column("level")
    table.add_column("wants")
    if certified:
        table.add_column("certificate")
    chapter = -1
    for row in found.rows:
        if row.entry.chapter != chapter and len(found.book.chapters) > 1:
            chapter = row.entry.chapter
            table.add_row("", Text(printable(found.book.chapters[chapter].title), style="bold"))
        cells = [
            str(row.entry.number),
            printable(row.entry.title or row.entry.source),
            _SAID[row.verdict],
            row.level or ("open" if row.verdict == "unique" else ""),
            _wants(row),
        ]
        table.add_row(*map(Text, cells), *([Text(row.certificate)] if certified else []))
    console.print(table)
    say()
    known = [row.level for row in found.rows if row.level]
    if known:
        low, high = (f(known, key=GROUPS.index) for f in (min, max))
        span = low if low == high else f"from {low} to {high}"
        say(f"levels  {levels_row(found)}  {span}; a dot where one is open")
    for name, entry in found.first_needed.items():
        say(f"first   {name}: {entry.number_and_title}")
    if found.problems:
        say()
    for problem in found.problems:
        say(f"{problem.weight:<6}  {problem.where}: {problem.what}")
    say()
    met = sum(row.ok for row in found.rows)
    said = "every one as wanted" if found.ok else f"{met} as wanted"
    late = sum(
        row.open or (row.verdict == "unique" and not (row.whole and row.level))
        for row in found.rows
    )
    if late:
        more = "a larger --budget asks only these again"
        say(f"{quantity(late, 'puzzle')} open after {budget:g} s each: {more}")
    notes = quantity(sum(one.weight == "note" for one in found.problems), "note")
    say(f"{found.book.title}: {quantity(len(found.rows), 'puzzle')}, {said}, {notes}")


def _wants(row: Row) -> str:
    """``met``, or the wants that are not, and those that are open."""
    if row.fault:
        return "fault"
    parts = (("NOT", "not met"), ("open:", "open"))
    told = [
        f"{word} {', '.join(dict.fromkeys(missed))}"
        for word, result in parts
        if (missed := [one.want for one in row.held if one.result == result])
    ]
    return "; ".join(told) or "met"
