"""Words for clues that are not needed: how many can be removed alone, and how many together."""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.verify.clue_worth.effects import Clues, Effect
from gridassay.verify.words import quantity

_COVERED = 0.75
"""Cages are said to cover a grid if they cover at least this share of its cells."""


def lone(found: Clues) -> int:
    """How many clues could each be removed alone."""
    return sum(effect.wasted is True for effect in found.effects)


def alone(effects: Sequence[Effect], noun: str = "") -> str:
    """How many of some clues could each be removed: ``24 of 26 rules could each be removed``."""
    wasted = sum(effect.wasted is True for effect in effects)
    whole = quantity(len(effects), noun) if noun else str(len(effects))
    if wasted < 2:
        return f"{'1' if wasted else 'none'} of {whole} can be removed"
    some = "each of the" if wasted == len(effects) else f"{wasted} of"
    return f"{some} {whole} could{' each' if wasted < len(effects) else ''} be removed"


def together(found: Clues) -> str:
    """How many clues can be removed at once, as far as that is known; empty if only one can be.

    These are found by removing one clue after another until no more can go. That does not
    prove that no larger set could be removed instead: only a smallest keeper set proves that.
    """
    single, dropped = lone(found), len(found.droppable or ())
    if single < 2 or found.droppable is None:
        return ""
    if dropped == single:
        return f"{'both' if single == 2 else 'all of them'} can be removed together"
    if dropped < 2:
        return "not both together" if single == 2 and dropped else ""
    keepers = found.keepers
    over = keepers.search.over if keepers else ""
    of = {"givens": len(found.givens), "rules": len(found.rules), "both": len(found.effects)}
    if keepers and keepers.exact and keepers.size is not None and not keepers.search.keep:
        most = of[over] - keepers.size
        if most >= dropped:
            noun = "clue" if over == "both" else over.removesuffix("s")
            return (
                f"{quantity(most, noun)} can be removed together, and no more (see the keeper set)"
            )
    return f"at least {dropped} of these clues can be removed together"


def usual(found: Clues) -> bool:
    """Whether unneeded rules are nothing to worry about: cages cover the grid, and every given is needed.

    If cages cover a grid, each of them nearly follows from the others and the houses (common practice,
    no published source).
    """
    puzzle = found.verdict.puzzle
    if any(effect.wasted for effect in found.givens):
        return False
    cages = [rule for rule in puzzle.rules if rule.kind == "cage" and not rule.optional]
    covered = {cell for cage in cages for cell in cage.where()}
    return len(covered) >= _COVERED * len(puzzle.canvas.cells)
