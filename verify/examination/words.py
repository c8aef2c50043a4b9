"""The parts of an assay in words, each a caption and a line, for the screen and for the page.

A part that the budget did not reach has a line that says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from textwrap import shorten
from typing import TYPE_CHECKING, Any

from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.clue_worth.words import alone, lone, together, usual
from gridassay.verify.examination.examination import LONG, Part
from gridassay.verify.mending.words import mend_words, wrong_words
from gridassay.verify.solving.words import profile
from gridassay.verify.words import as_printed, quantity

if TYPE_CHECKING:
    from gridassay.verify.clue_worth.effects import Clues, Effect
    from gridassay.verify.kin import Symmetries
    from gridassay.verify.kin.catalogue import Found
    from gridassay.verify.mending.explanation import Explanation
    from gridassay.verify.solving.results import Route

Line = tuple[str, str]
_MOST_NAMED = 8
"""More clues than this are counted, not named."""
_LONGEST = 240
"""Letters of a reason that are shown."""


def part_words(part: Part, answer: Any, *, blind: bool = False) -> Iterator[Line]:
    """The lines for one part of an assay; none for a part that has no words here.

    ``blind`` keeps digits and cells out of them.
    """
    if part not in _TELLERS:
        return
    caption, tell = _TELLERS[part]
    if answer is None:
        yield caption, "undecided within the budget"
    else:
        yield from tell(answer, blind)


def _explanation(found: Explanation, blind: bool) -> Iterator[Line]:
    if blind:
        return
    for caption, lines in (
        ("repair", mend_words(found)),
        ("wrong", wrong_words(found, drawn=False)),
    ):
        for number, line in enumerate(lines):
            yield "" if number else caption, line.strip()
    if found.ran_out:
        yield "undecided", f"the budget ran out for {', '.join(found.ran_out)}"


def _clues(found: Clues, blind: bool) -> Iterator[Line]:
    for noun, effects in (("given", found.givens), ("rule", found.rules)):
        if effects:
            yield f"{noun}s", _removable_words(found, effects, blind)
    if said := together(found):
        named = "" if blind else _names(found.verdict.puzzle, found.droppable or ())
        yield "", f"{said}{named}"
    if lone(found) and usual(found):
        yield (
            "",
            "this is usual when cages cover the grid: each follows from the others and the houses",
        )


def _removable_words(found: Clues, effects: Sequence[Effect], blind: bool) -> str:
    """How many could each be removed, and which, if they are few."""
    wasted = [effect.clue for effect in effects if effect.wasted]
    few = not blind and len(wasted) <= _MOST_NAMED
    told = f"{alone(effects)}{_names(found.verdict.puzzle, wasted) if few else ''}"
    undecided = sum(effect.wasted is None for effect in effects)
    return f"{told}, {undecided} undecided within the budget" if undecided else told


def _names(puzzle: Puzzle, clues: Sequence[Fact | str]) -> str:
    if not clues:
        return ""
    more = ", …" if len(clues) > _MOST_NAMED else ""
    named = [as_printed(puzzle, clue) for clue in clues[:_MOST_NAMED]]
    return f": {', '.join(named)}{more}"


def _warnings(found: Sequence[str], blind: bool) -> Iterator[Line]:
    for number, line in enumerate(() if blind else found):
        yield "" if number else "warning", line


def _kin(known: Symmetries, blind: bool) -> Iterator[Line]:
    patterns = ", ".join(turn.name for turn in known.patterns)
    symmetric = f"symmetric ({patterns})" if patterns else "not symmetric"
    mirrored = "MIRRORED: turning it and renaming digits gives the same puzzle"
    yield "pattern", f"{symmetric}, {mirrored if known.looks else 'not mirrored'}"
    if known.echoes:
        pairs = quantity(len(known.echoes), "pair of boxes", "pairs of boxes")
        first = "" if blind else f": {known.echoes[0].words()}"
        more = " …" if first and len(known.echoes) > 1 else ""
        yield (
            "echoes",
            f"{pairs} with givens in the same places and digits that repeat{first}{more}",
        )


def _catalogue(found: Found, blind: bool) -> Iterator[Line]:
    if found.itself or found.kin_count:
        held = ["it has this very puzzle"] if found.itself else []
        if found.kin_count:
            held.append(f"it has this one in disguise {_times(found.kin_count)}")
        yield "catalogue", ", and ".join(held)
    else:
        alike = ""
        if found.layout_count:
            alike = f"; it has the layout of {quantity(found.layout_count, 'other')}"
        yield "catalogue", f"it is not there{alike}"


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def _route(found: Route, blind: bool) -> Iterator[Line]:
    from gridassay.verify.solving.board.steps import STORY
    from gridassay.verify.solving.techniques.names import technique_names

    if found.solved:
        ends = "to the end"
    else:
        ends = "before the budget ran out" if found.timed_out else "and then no technique helps"
    yield "route", f"{quantity(len(found.steps), 'step')} {ends}"
    if found.steps:
        yield "", profile(found)
    if found.crux is None:
        if found.steps:
            yield "crux", "none: singles alone solve it"
        return
    crux = found.steps[found.crux]
    named = crux.technique == STORY or crux.technique in technique_names()
    if blind:
        yield "crux", crux.technique if named else "a step that no technique has a name for"
    elif (size := sum(crux.size)) > LONG and not crux.story:
        told = f"step {found.crux + 1} rests on {size} premises, too many to say aloud"
        yield "crux", f"{told} (gridassay route tells them)"
    else:
        name = f", {crux.technique}" if named else ""
        told = f"step {found.crux + 1}{name}: {crux.text}"
        yield "crux", shorten(told, _LONGEST, placeholder=" …")


def _only(steps: tuple[int, ...], blind: bool) -> Iterator[Line]:
    if not steps:
        yield "narrow", "nowhere: every step has an alternative"
        return
    told = f"at {quantity(len(steps), 'step')} there is no alternative"
    if not blind:
        more = ", …" if len(steps) > _MOST_NAMED else ""
        told += f": {', '.join(str(step + 1) for step in steps[:_MOST_NAMED])}{more}"
    yield "narrow", told


_TELLERS: dict[Part, tuple[str, Callable[[Any, bool], Iterator[Line]]]] = {
    "explanation": ("repair", _explanation),
    "warnings": ("warning", _warnings),
    "clues": ("clues", _clues),
    "kin": ("pattern", _kin),
    "catalogue": ("catalogue", _catalogue),
    "route": ("route", _route),
    "only steps": ("narrow", _only),
}
