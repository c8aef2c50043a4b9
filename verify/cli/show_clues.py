"""How the analysis of clues looks on a terminal: first what can be removed, then every clue by itself."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.table import Table
from rich.text import Text

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.encodings.variables import Shade, word
from gridassay.verify.cli.common import terminal_width, title_words
from gridassay.verify.cli.show import headline
from gridassay.verify.clue_worth.effects import Clues, Effect
from gridassay.verify.clue_worth.keepers import Keepers
from gridassay.verify.clue_worth.sweeping import Sweep
from gridassay.verify.clue_worth.words import alone, together, usual
from gridassay.verify.draw.text import beside, text_grid
from gridassay.verify.safe_text import printable
from gridassay.verify.words import as_printed

_SHADES = "░▒▓█"
_WASTED, _UNKNOWN = "×", "?"
_LONGEST = 12
"""Cells of a nearest solution that are written out in the table."""


def show_clues(result: Clues) -> None:
    """Print the analysis of one puzzle."""
    console = Console(highlight=False, width=terminal_width())
    puzzle = result.verdict.puzzle
    if puzzle.title:
        console.print(Text(printable(title_words(puzzle))))
    if result.verdict.status != "unique":
        console.print(Text(headline(result.verdict), style="bold"))
        if result.verdict.status != "undecided":
            console.print(
                Text(
                    f"Clues are weighed if there is one solution; run gridassay check {_file(result)}"
                )
            )
        return
    for line in _summary(result):
        console.print(Text(printable(line)))
    if result.keepers:
        # The table of all clues is what the command shows without --keepers.
        console.print()
        for line in _keepers(puzzle, result.keepers):
            console.print(Text(printable(line)))
        return
    console.print()
    for line in _pictures(result):
        console.print(Text(printable(line)), soft_wrap=True)
    if result.effects:
        console.print()
        console.print(_table(result))


def _file(result: Clues) -> str:
    return result.verdict.puzzle.source.partition(":")[0] or "FILE"


def _summary(result: Clues) -> Iterator[str]:
    for name, effects in (("given", result.givens), ("rule", result.rules)):
        if effects:
            open_ = sum(effect.wasted is None for effect in effects)
            left = f" ({open_} not decided within the budget)" if open_ else ""
            yield f"ONE SOLUTION: {alone(effects, name)}{left}"
    if result.droppable:
        puzzle = result.verdict.puzzle
        named = ", ".join(as_printed(puzzle, clue) for clue in result.droppable)
        said = together(result)
        such = ", such as these" if said.startswith("at least") else ""
        yield f"{said or 'can be removed'}{such}: {named}"
        if usual(result):
            yield "(usual when cages cover the grid: each follows from the others and the houses)"
    elif result.irreducible:
        yield "no clue can be removed"
    if not result.complete:
        yield "the budget ran out: what is not known is left blank"


def _pictures(result: Clues) -> Iterator[str]:
    """Two pictures of how much depends on each given: shades, and how many cells open up."""
    if not result.givens:
        return
    canvas = result.verdict.puzzle.canvas
    shaded, counted = dict.fromkeys(canvas.cells, "·"), dict.fromkeys(canvas.cells, "·")
    for effect in result.givens:
        assert isinstance(effect.clue, Fact)
        variable, value = effect.clue
        if isinstance(variable, Shade):
            cell, sign = variable.cell, str(word(variable, value))[0]
        elif isinstance(variable, Cell):
            cell, sign = variable, canvas.symbols[value]
        else:
            continue
        shaded[cell] = sign + _shade(effect, len(canvas.cells))
        opens = effect.opens
        counted[cell] = _WASTED if effect.wasted else _UNKNOWN if opens is None else str(len(opens))
    yield from beside(
        [
            ("how much depends on each given", text_grid(canvas, shaded)),
            ("cells that open up without it", text_grid(canvas, counted)),
        ],
        terminal_width(),
    )
    yield f"{_WASTED} wasted; {' '.join(_SHADES)} up to 1/4, 1/2, 3/4 and all of the cells open up"


def _shade(effect: Effect, cells: int) -> str:
    if effect.wasted:
        return _WASTED
    if effect.opens is None:
        return _UNKNOWN
    return _SHADES[min(3, 4 * len(effect.opens) // cells)]


def _table(result: Clues) -> Table:
    table = Table(box=None, pad_edge=False)
    for name in ("clue", "without it", "opens", "nearest other solution differs in"):
        table.add_column(name, justify="right" if name == "opens" else "left", overflow="fold")
    for effect in result.effects:
        table.add_row(*(Text(printable(text)) for text in _row(result.verdict.puzzle, effect)))
    return table


def _row(puzzle: Puzzle, effect: Effect) -> tuple[str, str, str, str]:
    name = as_printed(puzzle, effect.clue)
    if effect.wasted:
        return name, "WASTED", "", ""
    count, opens = effect.without, effect.opens
    left = "" if count is None else f"{count.count}" if count.exact else f"at least {count.count}"
    return name, left, "" if opens is None else str(len(opens)), _near(effect)


def _near(effect: Effect) -> str:
    near = effect.nearest
    if near is None:
        return ""
    shown = " ".join(map(str, near.cells[:_LONGEST]))
    more = " …" if len(near.cells) > _LONGEST else ""
    bound = "" if near.exact else "at most "
    return f"{bound}{len(near.cells)}: {shown}{more}"


def _keepers(puzzle: Puzzle, keepers: Keepers) -> Iterator[str]:
    over = {"givens": "givens", "rules": "rules", "both": "clues"}[keepers.search.over]
    if keepers.size == 0:
        yield f"KEEPER SET: no {over}; there is one solution without any"
        return
    if keepers.exact:
        many = over.removesuffix("s") if keepers.size == 1 else over
        yield f"KEEPER SET: {keepers.size} {many}; no smaller set is enough"
    else:
        yield (
            f"KEEPER SET: {keepers.size} {over} are enough; at least {keepers.lower_bound} are "
            "needed (the budget ran out before it was settled)"
        )
    if keepers.search.most > 1:
        yield "all sets of this size:" if keepers.all_listed else "some sets of this size:"
    for clues in keepers.sets:
        yield "  " + ", ".join(as_printed(puzzle, clue) for clue in clues)


def show_sweep(result: Sweep) -> None:
    """Print what each value of each "?" leads to."""
    console = Console(highlight=False, width=terminal_width())
    puzzle = result.layout.puzzle
    if puzzle.title:
        console.print(Text(printable(title_words(puzzle))))
    if len(result.holes) > 1:
        console.print(Text("each '?' by itself, the others left open"))
    for hole in result.holes:
        console.print(Text(printable(hole.name), style="bold"))
        for words, status in _WORDS:
            values = [value for value, verdict in hole.verdicts if verdict == status]
            if values:
                console.print(Text(printable(f"  {words}: {_ranges(values)}")))


_WORDS = (
    ("one solution", "unique"),
    ("several", "multiple"),
    ("none", "none"),
    ("undecided", "undecided"),
)


def _ranges(values: Sequence[int]) -> str:
    """Numbers in rising order with runs drawn together: ``3 5-9 12``."""
    runs: list[list[int]] = []
    for value in values:
        if runs and value == runs[-1][-1] + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    return " ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)
