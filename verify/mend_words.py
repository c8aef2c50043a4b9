"""An explanation in words, a line each: what is wrong, and what would mend it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.phrases import as_printed

if TYPE_CHECKING:
    from gridassay.verify.conflict import Conflict
    from gridassay.verify.explanation import Explanation

BRACKETS = (("(", ")"), ("[", "]"), ("{", "}"))
"""What the cells of the first conflicts stand in where a grid is drawn in text."""
_MOST_SLIPS = 10


def wrong_words(explained: Explanation, *, drawn: bool = True) -> Iterator[str]:
    """What is wrong; with ``drawn`` it refers to brackets in a grid above."""
    puzzle = explained.verdict.puzzle
    if explained.conflicts:
        for number, conflict in enumerate(explained.conflicts.found):
            yield from _conflict(puzzle, number, conflict, drawn)
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
    for variable, values in (explained.possible or {}).items():
        if not isinstance(variable, Cell) and not variable.name.startswith("doubler"):
            yield f"{variable} is one of {' '.join(map(str, sorted(values)))}"


def _conflict(puzzle: Puzzle, number: int, conflict: Conflict, drawn: bool) -> Iterator[str]:
    smallest = "no smaller set does" if conflict.smallest else "not proved smallest"
    if number == 0:
        above = ", in brackets above" if drawn else ""
        if len(conflict.premises) == 1:
            yield f"No digits at all keep this{above}:"
        else:
            yield f"These contradict each other ({smallest}){above}:"
    else:
        bracketed = drawn and number < len(BRACKETS)
        place = f", in {''.join(BRACKETS[number])} above" if bracketed else ""
        yield f"And so do these, which share no given or rule with the others{place}:"
    for name, members in (
        ("givens", [as_printed(puzzle, given) for given in conflict.givens]),
        ("rules", conflict.rules),
        ("houses", conflict.houses),
    ):
        if members:
            yield f"  {name}: {', '.join(members)}"


def mend_words(explained: Explanation) -> Iterator[str]:
    """What would mend it, the smallest mend first, then the usual slips."""
    puzzle = explained.verdict.puzzle
    dropped, mend, rules = explained.drop, explained.repair, explained.rule_repair
    if dropped:
        least = "nothing less does" if dropped.proved else "perhaps less would do"
        givens = [as_printed(puzzle, given) for given in dropped.givens]
        yield f"drop {', '.join([*givens, *dropped.rules])} ({least})"
        if dropped.instead:
            either = "any one of " if len(dropped.instead) > 1 else ""
            yield f"  or instead {either}{', '.join(dropped.instead)}"
    if mend:
        least = "no fewer do" if mend.proved else "not proved fewest"
        towards = ""
        if mend.tried > 1:
            whole = "all" if mend.all_tried else "the best of"
            towards = f", {whole} {mend.tried} solutions tried"
        added = " ".join(as_printed(puzzle, given) for given in mend.givens)
        yield f"add {added} ({least}{towards}); the solution is then"
        yield f"  {puzzle.line(mend.solution)}"
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
