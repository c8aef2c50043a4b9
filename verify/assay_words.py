"""The parts of an assay in words: a caption and a line each, for the screen and for the page."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from textwrap import shorten
from typing import Any

from gridassay.verify.effects import Clues
from gridassay.verify.kin import Symmetries
from gridassay.verify.kin.catalogue import Found
from gridassay.verify.routes import Route

Line = tuple[str, str]


def part_words(name: str, answer: Any, *, blind: bool = False) -> Iterator[Line]:
    """The lines for one part by its name in ``Assay``; none for a part that has no words.

    ``blind`` keeps digits and cells out of them.
    """
    tell = _TELLERS.get(name)
    return iter(()) if tell is None else tell(answer, blind)


def _kin(known: Symmetries, blind: bool) -> Iterator[Line]:
    patterns = ", ".join(turn.name for turn in known.patterns)
    yield "positions", f"symmetric: {patterns}" if patterns else "no symmetry"
    if known.looks:
        yield "mirrored", "yes: turned and with digits renamed it is the same puzzle"
    elif known.echoes:
        first = known.echoes[0].words()
        more = f" (and {len(known.echoes) - 1} more)" if len(known.echoes) > 1 else ""
        told = f"{len(known.echoes)} pairs of boxes" if blind else f"{first}{more}"
        yield "echoes", told
    else:
        yield "mirrored", "no"


def _catalogue(found: Found, blind: bool) -> Iterator[Line]:
    if found.kin_count:
        yield "catalogue", f"{found.kin_count} of its puzzles are this one in disguise"
    else:
        alike = f"; {found.layout_count} have its layout" if found.layout_count else ""
        yield "catalogue", f"this puzzle is not in it{alike}"


def _clues(found: Clues, blind: bool) -> Iterator[Line]:
    for name, effects in (("givens", found.givens), ("rules", found.rules)):
        if not effects:
            continue
        wasted = [str(effect.clue) for effect in effects if effect.wasted]
        told = f"{len(effects)}, {len(wasted) or 'none'} of them wasted"
        if wasted and not blind:
            told += f": {', '.join(wasted[:8])}{' …' if len(wasted) > 8 else ''}"
        yield name, told
    if found.droppable:
        yield (
            "",
            f"{len(found.droppable)} can be dropped together (gridassay clues tells which)",
        )


def _route(found: Route, blind: bool) -> Iterator[Line]:
    if found.solved:
        ends = "to its end"
    else:
        ends = "and then the time ran out" if found.timed_out else "and then nothing helps"
    yield "route", f"{len(found.steps)} steps {ends}"
    yield "", "; ".join(f"{name} {count}" for name, count in found.techniques.items())
    if found.crux is not None:
        crux = found.steps[found.crux]
        told = crux.technique
        if not blind:
            told = shorten(f"step {found.crux + 1}, {told}: {crux.text}", 240, placeholder=" …")
        yield "crux", told


def _only(steps: tuple[int, ...], blind: bool) -> Iterator[Line]:
    if not steps:
        yield "narrow", "nowhere: more than one step is open at every moment"
    elif blind:
        yield "narrow", f"{len(steps)} times only one step is open"
    else:
        named = ", ".join(str(step + 1) for step in steps[:12])
        more = " …" if len(steps) > 12 else ""
        yield "narrow", f"only one step is open at {len(steps)} of them: {named}{more}"


_TELLERS: dict[str, Callable[[Any, bool], Iterator[Line]]] = {
    "kin": _kin,
    "catalogue": _catalogue,
    "clues": _clues,
    "route": _route,
    "only steps": _only,
}
