"""An explanation in words, one line per statement: what is wrong, and what would repair it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from gridassay.encodings.constraints import CellMark, CellValue, Letter
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.wording import article, quantity
from gridassay.verify.mending.conflict import conflict_cells
from gridassay.verify.words import as_printed

if TYPE_CHECKING:
    from gridassay.verify.mending.conflict import Conflict
    from gridassay.verify.mending.explanation import Explanation
    from gridassay.verify.mending.missing import Missing
    from gridassay.verify.mending.repairs import Drop
    from gridassay.verify.mending.slips import Slip

BRACKETS = (("(", ")"), ("[", "]"), ("{", "}"))
"""The brackets around the cells of the first conflicts, in a grid drawn as text."""
_MOST_SLIPS = 10
_LEAVES = {
    "unique": ": one solution is left",
    "multiple": ": several solutions are left",
    None: "",
}


def wrong_words(explained: Explanation, *, drawn: bool = True) -> Iterator[str]:
    """Words for what is wrong; with ``drawn`` they refer to brackets in a grid above."""
    puzzle = explained.verdict.puzzle
    if explained.conflicts:
        for number, conflict in enumerate(explained.conflicts.found):
            yield from _conflict(puzzle, number, conflict, drawn)
        if not explained.conflicts.complete:
            yield "There may be further conflicts."
        elif len(explained.conflicts.found) > 1:
            yield "Every other conflict shares something with these."
    if explained.count:
        yield f"It has {explained.count} solutions."
    if explained.nearest:
        cells = " ".join(map(str, explained.nearest.differs))
        where = quantity(len(explained.nearest.differs), "place")
        proved = (
            "no two differ in fewer" if explained.nearest.proved else "not proved to be the fewest"
        )
        yield f"The nearest two differ in {where} ({proved}): {cells}"
    letters = {Letter(name) for name in puzzle.board.letters}
    for variable, values in (explained.possible or {}).items():
        if variable in letters:
            yield f"{variable} is one of {' '.join(map(str, sorted(values)))}"


def _conflict(puzzle: Puzzle, number: int, conflict: Conflict, drawn: bool) -> Iterator[str]:
    smallest = "no smaller set does" if conflict.smallest else "not proved to be the smallest"
    drawn = drawn and bool(conflict_cells(puzzle, conflict))
    if number == 0:
        above = "see the brackets above"
        if len(conflict.premises) == 1:
            what = "No digits satisfy" if puzzle.canvas.digits else "Nothing satisfies"
            yield f"{what} this ({above}):" if drawn else f"{what} this:"
        else:
            remarks = f"{smallest}; {above}" if drawn else smallest
            yield f"These contradict each other ({remarks}):"
    else:
        bracketed = drawn and number < len(BRACKETS)
        place = f" (see {''.join(BRACKETS[number])} above)" if bracketed else ""
        yield f"And so do these, which share no given or rule with the others{place}:"
    for name, members in (
        ("givens", [as_printed(puzzle, given) for given in conflict.givens]),
        ("rules", [as_printed(puzzle, rule) for rule in conflict.rules]),
        ("houses", conflict.houses),
    ):
        if members:
            yield f"  {name}: {', '.join(members)}"
    yield from _counting(puzzle, conflict)


def _counting(puzzle: Puzzle, conflict: Conflict) -> Iterator[str]:
    """The way in which cells count, if a rule of the conflict reads it: a fact, not a premise."""
    read = any(
        isinstance(variable, CellValue | CellMark)
        for premise in puzzle.model.premises
        if premise.name in conflict.rules
        for part in premise.parts
        for variable in part.constraint.scope()
    )
    for rule in puzzle.rules if read else ():
        if rule.defines and not rule.optional:
            yield f"  as the board counts: {rule.printed}"


def mend_words(explained: Explanation) -> Iterator[str]:
    """Words for what would repair it, the smallest repair first, then the usual slips."""
    puzzle = explained.verdict.puzzle
    mend, rules = explained.repair, explained.rule_repair
    dropped = list(_drop_words(puzzle, explained.drop)) if explained.drop else []
    mends = not explained.drop or explained.drop.leaves != "multiple"
    if mends:
        yield from dropped
    if mend:
        least = "the fewest for this solution" if mend.proved else "not proved to be the fewest"
        if mend.tried > 1:
            whole = "all" if mend.all_tried else "the best of"
            least = "the fewest possible" if mend.proved and mend.all_tried else least
            least += f", {whole} {mend.tried} solutions tried"
        added = " ".join(as_printed(puzzle, given) for given in mend.givens)
        yield f"add {added} ({least}); that leaves one solution:"
        yield f"  {puzzle.in_one_line(mend.solution)}"
    for one in explained.missing[:_MOST_SLIPS]:
        yield f"or {missing_words(puzzle, one)}: that alone leaves one solution"
    if len(explained.missing) > _MOST_SLIPS:
        yield f"and {len(explained.missing) - _MOST_SLIPS} more of that kind (check --json lists all)"
    if rules and rules.rules is None:
        yield "the optional rules are not enough, even all together"
    elif rules and rules.rules:
        least = "the fewest possible" if rules.proved else "not proved to be the fewest"
        named = ", ".join(as_printed(puzzle, rule) for rule in rules.rules)
        yield f"make these optional rules count ({least}): {named}"
    if explained.slips:
        found = explained.slips.found
        for slip in found[:_MOST_SLIPS]:
            yield f"possible slip: {slip_words(puzzle, slip)}"
        if len(found) > _MOST_SLIPS:
            yield f"and {len(found) - _MOST_SLIPS} more possible slips (check --json lists all)"
        if not explained.slips.complete:
            yield "not all the usual slips were tried"
    if not mends:
        yield from dropped


def missing_words(puzzle: Puzzle, missing: Missing) -> str:
    """Advice about something that was left out: ``give the cage in box 1 the total 7``."""
    if missing.key is None:
        mark = " ".join(filter(None, (missing.rule.sign(), missing.rule.spoken)))
        cells = missing.rule.where()
        place = (
            f"between {cells[0]} and {cells[1]}" if len(cells) == 2 else f"at {missing.rule.site()}"
        )
        return f"add {article(mark)} {mark} {place}"
    lacking = puzzle.rule_phrases[puzzle.rule_names[missing.place]]
    value = f"the total {missing.value}" if missing.is_total else f"{missing.key} {missing.value}"
    return f"give {lacking} {value}"


def slip_words(puzzle: Puzzle, slip: Slip) -> str:
    """A slip in words: ``the sum of the 12 cage in box 1 should be 21, not 12``."""
    if slip.misprint is None:
        return slip.text
    rule, key, should = slip.misprint
    what = f"the {key} of {puzzle.rule_phrases[rule]}" if key else puzzle.rule_phrases[rule]
    return f"{what} should {should}"


def _drop_words(puzzle: Puzzle, drop: Drop) -> Iterator[str]:
    """Words for what to remove, and how many solutions that leaves."""
    givens = [as_printed(puzzle, given) for given in drop.givens]
    least = "no smaller change works" if drop.proved else "perhaps a smaller change works"
    rules = [as_printed(puzzle, rule) for rule in drop.rules]
    yield f"remove {', '.join([*givens, *rules])} ({least}){_LEAVES[drop.leaves]}"
    for left in _LEAVES:
        others = [
            puzzle.rule_phrases.get(name, name)
            for name, leaves in drop.instead.items()
            if leaves == left
        ]
        if others:
            either = "any one of " if len(others) > 1 else ""
            then = "" if left == drop.leaves else _LEAVES[left]
            yield f"  or instead {either}{', '.join(others)}{then}"
