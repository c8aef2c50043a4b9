"""How an explanation looks on a terminal: what is wrong, on the grid and in words, then the mends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.cli.common import terminal_width
from gridassay.verify.cli.show import show_grids
from gridassay.verify.conflict import Conflict, conflict_cells
from gridassay.verify.draw.text import text_grid
from gridassay.verify.explanation import Explanation

_BRACKETS = (("(", ")"), ("[", "]"), ("{", "}"))
_MOST_SLIPS = 10


def show_explanation(explained: Explanation) -> None:
    """Print the grids and everything that an explanation says."""
    puzzle = explained.verdict.puzzle
    if explained.conflicts and explained.conflicts.found:
        print()
        for line in conflict_grid(puzzle, explained.conflicts.found):
            print(line)
        print()
    else:
        show_grids(explained.verdict)
        print()
    for line in lines(explained):
        print(line)


def lines(explained: Explanation) -> Iterator[str]:
    """Everything an explanation says, line by line, pictures of solutions apart."""
    yield from _wrong(explained)
    mends = list(_mends(explained))
    if mends:
        yield ""
        yield "What would mend it:"
        yield from (f"  {mend}" for mend in mends)
    if explained.ran_out:
        yield ""
        yield f"The budget ran out for: {', '.join(explained.ran_out)}. A longer --budget helps."


def conflict_grid(puzzle: Puzzle, found: Sequence[Conflict]) -> list[str]:
    """The givens, with the cells of each conflict in brackets of its own kind."""
    canvas = puzzle.canvas
    given = {fact.variable: fact.value for fact in puzzle.givens}
    content = {c: canvas.symbols[given[c]] if c in given else "·" for c in canvas.cells}
    for conflict, (left, right) in reversed(list(zip(found, _BRACKETS, strict=False))):
        for cell in conflict_cells(puzzle, conflict):
            content[cell] = f"{left}{content[cell].strip('()[]{}')}{right}"
    return text_grid(canvas, content)


def _wrong(explained: Explanation) -> Iterator[str]:
    if explained.conflicts:
        for number, conflict in enumerate(explained.conflicts.found):
            yield from _conflict(number, conflict)
        if not explained.conflicts.complete:
            yield "There may be further conflicts."
        elif len(explained.conflicts.found) > 1:
            yield "There are no others that share nothing with these."
    if explained.count:
        yield f"Solutions: {explained.count}"
    if explained.nearest:
        cells = " ".join(map(str, explained.nearest.differs))
        proved = "no two differ in fewer" if explained.nearest.proved else "not proved fewest"
        yield f"The nearest two differ in {len(explained.nearest.differs)} places ({proved}): {cells}"
    if explained.possible:
        yield from _possible(explained)


def _conflict(number: int, conflict: Conflict) -> Iterator[str]:
    smallest = "no smaller set does" if conflict.smallest else "not proved smallest"
    if number == 0:
        yield f"These contradict each other ({smallest}), in brackets above:"
    else:
        place = f", in {''.join(_BRACKETS[number])} above" if number < len(_BRACKETS) else ""
        yield f"And so do these, which share no given or rule with the others{place}:"
    for name, members in (
        ("givens", [str(given) for given in conflict.givens]),
        ("rules", conflict.rules),
        ("houses", conflict.houses),
    ):
        if members:
            yield f"  {name}: {', '.join(members)}"


def _possible(explained: Explanation) -> Iterator[str]:
    puzzle, possible = explained.verdict.puzzle, explained.possible or {}
    written = puzzle.canvas.symbols
    content = {
        cell: "".join(written[digit] for digit in sorted(possible[cell]))
        for cell in puzzle.canvas.cells
    }
    drawn = text_grid(puzzle.canvas, content)
    if max(map(len, drawn)) <= terminal_width():
        yield ""
        yield "digits each cell takes over all solutions"
        yield from drawn
    for variable, values in possible.items():
        if not isinstance(variable, Cell) and not variable.name.startswith("doubler"):
            yield f"{variable} is one of {' '.join(map(str, sorted(values)))}"


def _mends(explained: Explanation) -> Iterator[str]:
    dropped, mend, rules = explained.drop, explained.repair, explained.rule_repair
    if dropped:
        least = "nothing less does" if dropped.proved else "perhaps less would do"
        yield f"drop {', '.join([*map(str, dropped.givens), *dropped.rules])} ({least})"
        if dropped.instead:
            either = "any one of " if len(dropped.instead) > 1 else ""
            yield f"  or instead {either}{', '.join(dropped.instead)}"
    if mend:
        least = "no fewer do" if mend.proved else "not proved fewest"
        towards = ""
        if mend.tried > 1:
            whole = "all" if mend.all_tried else "the best of"
            towards = f", {whole} {mend.tried} solutions tried"
        added = " ".join(map(str, mend.givens))
        yield f"add {added} ({least}{towards}); the solution is then"
        yield f"  {explained.verdict.puzzle.line(mend.solution)}"
    if rules and rules.rules is None:
        yield "the optional rules are not enough, even all together"
    elif rules and rules.rules:
        least = "no fewer do" if rules.proved else "not proved fewest"
        yield f"make these optional rules count ({least}): {', '.join(rules.rules)}"
    if explained.slips:
        found = explained.slips.found
        for slip in found[:_MOST_SLIPS]:
            yield f"a slip: {slip.text}"
        if len(found) > _MOST_SLIPS:
            yield f"and {len(found) - _MOST_SLIPS} more slips, all in --json"
        if not explained.slips.complete:
            yield "not all the usual slips were tried"
