"""How results look on a terminal: the verdict first, then the grids, told apart without colour."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from time import perf_counter
from types import TracebackType
from typing import TYPE_CHECKING, Any

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeElapsedColumn
from rich.progress import Progress as Bar
from rich.table import Column
from rich.text import Text

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.cli.common import say, terminal_width, title_words
from gridassay.verify.counting.verdict import Verdict
from gridassay.verify.draw.text import beside, text_grid
from gridassay.verify.safe_text import printable
from gridassay.verify.words import quantity

if TYPE_CHECKING:
    from gridassay.verify.batch.run import Summary

_WORDS = {
    "unique": "ONE SOLUTION",
    "multiple": "SEVERAL SOLUTIONS",
    "none": "NO SOLUTION",
}


def show_heading(verdict: Verdict) -> None:
    """Print the title and the verdict on one puzzle."""
    console = Console(highlight=False, soft_wrap=True)
    puzzle = verdict.puzzle
    if puzzle.title:
        console.print(Text(printable(title_words(puzzle))))
    console.print(Text(headline(verdict), style="bold"))
    if puzzle.expect:
        word = "as" if verdict.met else "NOT as"
        console.print(Text(f"{word} the file expects ({puzzle.expect})"))


def show_grids(verdict: Verdict) -> None:
    """Print the givens beside the solution, or beside two of them in one grid."""
    say()
    for line in _pictures(verdict):
        say(line)


def headline(verdict: Verdict) -> str:
    """The verdict in one line."""
    took = f"({verdict.engine}, {_duration(verdict.seconds)})"
    if verdict.status == "undecided":
        if verdict.solutions:
            known = "one solution found, whether there is a second is open"
        else:
            known = "no solution found yet"
        return f"UNDECIDED when the budget ran out: {known} {took}"
    return f"{_WORDS[verdict.status]} {took}"


def one_line(verdict: Verdict, *, blind: bool = False) -> str:
    """One verdict among many: the verdict, the source, the title and, if unique, the solution."""
    puzzle = verdict.puzzle
    shown = f"{verdict.status:<9}  {puzzle.source}"
    if puzzle.title:
        shown += f"  {puzzle.title}"
    if puzzle.expect and puzzle.expect != "unique":
        shown += f"  ({'as' if verdict.met else 'NOT as'} expected: {puzzle.expect})"
    if verdict.status == "unique" and not blind:
        shown += f"  {puzzle.in_one_line(verdict.solutions[0])}"
    return shown


def summary(counts: Counter[str]) -> str:
    """How many of each: ``12 puzzles: 10 unique, 1 multiple, 1 bad input``."""
    order = ("unique", "multiple", "none", "undecided", "bad input", "fault")
    parts = ", ".join(f"{counts[name]} {name}" for name in order if counts[name])
    return f"{quantity(counts.total(), 'puzzle')}: {parts}"


def _duration(seconds: float) -> str:
    return f"{seconds * 1000:.1f} ms" if seconds < 1 else f"{seconds:.1f} s"


def _pictures(verdict: Verdict) -> Iterator[str]:
    puzzle = verdict.puzzle
    canvas = puzzle.canvas
    given = {fact.variable: fact.value for fact in puzzle.givens}
    if canvas.digits:
        yield from beside(_digit_blocks(verdict), terminal_width())
    for layer in puzzle.layers:
        if canvas.digits or layer is not puzzle.layers[0]:
            yield ""
        blocks = []
        known = layer.variables(canvas).keys() & given.keys()
        if known:
            signs = layer.signs(canvas, {one: given[one] for one in known})
            blocks.append((f"{layer.name}, given", text_grid(canvas, signs)))
        found = [
            layer.signs(canvas, dict(zip(puzzle.board.shown, solution, strict=True)))
            for solution in verdict.solutions
        ]
        if len(found) == 1:
            blocks.append((layer.name, text_grid(canvas, found[0])))
        elif found:
            first, second = found
            both = {
                c: first[c] if first[c] == second[c] else f"{first[c]}/{second[c]}" for c in first
            }
            blocks.append((f"{layer.name}, two solutions", text_grid(canvas, both)))
        yield from beside(blocks, terminal_width())
    yield from _unknowns(verdict)


def _digit_blocks(verdict: Verdict) -> list[tuple[str, list[str]]]:
    puzzle = verdict.puzzle
    canvas = puzzle.canvas
    given = {fact.variable: fact.value for fact in puzzle.givens}
    blocks = []
    if any(cell in given for cell in canvas.cells):
        dots = {c: canvas.symbols[given[c]] if c in given else "·" for c in canvas.cells}
        blocks.append(("givens", text_grid(canvas, dots)))
    if len(verdict.solutions) == 1:
        blocks.append(("solution", text_grid(canvas, _digits(puzzle, verdict.solutions[0]))))
    elif verdict.solutions:
        first, second = (_digits(puzzle, solution) for solution in verdict.solutions)
        both = {c: first[c] if first[c] == second[c] else f"{first[c]}/{second[c]}" for c in first}
        blocks.append(("two solutions, as a/b where they differ", text_grid(canvas, both)))
    return blocks


def _digits(puzzle: Puzzle, solution: Solution) -> dict[Cell, str]:
    cells = puzzle.canvas.cells
    return {c: puzzle.canvas.symbols[digit] for c, digit in zip(cells, solution, strict=False)}


def _unknowns(verdict: Verdict) -> Iterator[str]:
    """Letters and doublers of each solution, if there are any."""
    for number, solution in enumerate(verdict.solutions, start=1):
        letters, doublers = verdict.puzzle.letters(solution), verdict.puzzle.doubled_cells(solution)
        if letters or doublers:
            name = "with" if len(verdict.solutions) == 1 else f"solution {number} with"
            parts = [f"{letter} = {value}" for letter, value in letters.items()]
            parts += [f"doublers at {' '.join(map(str, doublers))}"] if doublers else []
            yield f"{name} {', '.join(parts)}"


@contextmanager
def working(what: str) -> Iterator[None]:
    """Show on a terminal what is being worked on, until it is done."""
    sys.stdout.flush()
    if not sys.stderr.isatty():
        yield
        return
    with Console(stderr=True).status(what):
        yield


class Progress:
    """Lines of output with a bar below them, which appears once the work takes over a second.

    Without a terminal there are only the lines.
    """

    def __init__(self, what: str, total: int | None = None) -> None:
        self.what, self.total = what, total
        self._started = perf_counter()
        self._done = 0
        self._bar: Bar | None = None
        self._task: Any = None

    def __enter__(self) -> Progress:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._bar:
            self._bar.stop()

    def say(self, line: str) -> None:
        """Print the line of one finished piece of work."""
        with self.pause():
            say(line)
            if self._bar is not None:
                sys.stdout.flush()
        self.step()

    def step(self) -> None:
        """Count one finished piece of work."""
        self._done += 1
        if self._bar is None and sys.stderr.isatty() and perf_counter() - self._started > 1:
            counted = MofNCompleteColumn() if self.total else TextColumn("{task.completed}")
            self._bar = Bar(
                TextColumn(self.what),
                BarColumn(),
                counted,
                TimeElapsedColumn(),
                console=Console(stderr=True),
                transient=True,
            )
            self._task = self._bar.add_task(self.what, total=self.total)
            self._bar.start()
        if self._bar:
            self._bar.update(self._task, completed=self._done)

    @contextmanager
    def pause(self) -> Iterator[None]:
        """Hide the bar while something else is printed."""
        if self._bar:
            self._bar.stop()
        yield
        if self._bar:
            self._bar.start()


class BatchBar:
    """The progress of a batch: counts by verdict, rate and time left; only on a terminal.

    ``count`` returns how many results there will be, if that can be known; it is not called if nothing is
    shown. Time left is shown only if ``count`` knows.
    """

    def __init__(self, count: Callable[[], int | None]) -> None:
        self._shown = sys.stderr.isatty()
        self._bar = Bar(
            BarColumn(20),
            TimeElapsedColumn(),
            TextColumn("{task.description}", table_column=Column(ratio=1)),
            console=Console(stderr=True),
            expand=True,
            transient=True,
        )
        self._total = count() if self._shown else None
        self._started = perf_counter()
        self._task = self._bar.add_task("starting", total=self._total)

    def __enter__(self) -> BatchBar:
        if self._shown:
            self._bar.start()
        return self

    def __exit__(self, *_: object) -> None:
        if self._shown:
            self._bar.stop()

    def step(self, so_far: Summary) -> None:
        """Show the counts after one more result."""
        if self._shown:
            self._bar.update(self._task, completed=so_far.total, description=self._words(so_far))

    def _words(self, so_far: Summary) -> str:
        """The rate and time left come first: a narrow terminal cuts off the end."""
        spent = perf_counter() - self._started
        new = so_far.total - so_far.resumed
        rate = new / max(1e-9, spent)
        said = f"{rate:,.0f} a second" if rate >= 10 else f"{60 * rate:,.0f} a minute"
        if self._total is None:
            return f"{said}; {so_far.words()}"
        left = timedelta(seconds=round(max(0, self._total - so_far.total) / max(1e-9, rate)))
        number, _, rest = so_far.words().partition(" ")
        of = f"{number} of {self._total}{rest.removeprefix('puzzles').removeprefix('puzzle')}"
        return f"{said}, {left} left; {of}"
