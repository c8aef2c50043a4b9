"""Patterns as they are printed: the digits along a line, one after another, in words."""

from __future__ import annotations

from .grid import LARGEST, symbol
from .notation import listing
from .pattern_parts import Choice, InOrder, OneOf, PatternNode, Repeat
from .pattern_reader import read

_SYMBOLS = {symbol(digit): digit for digit in range(LARGEST + 1)}
_ANYTHING = Repeat(OneOf(frozenset(_SYMBOLS.values())), 0, None)


def in_words(text: str) -> str:
    """The pattern as a clause on the digits: ``contain a 1 directly followed by a 2``.

    Raises PatternError for any text that is not a pattern.
    """
    tree = read(text, _SYMBOLS)
    contained = _parts_in_order(tree)
    return f"contain {contained}" if contained else f"are {_part_words(tree, alone=True)}"


def _parts_in_order(tree: PatternNode) -> str:
    """The parts that occur in order along the line, if that is all the pattern says."""
    if not isinstance(tree, InOrder) or len(tree.parts) < 3:
        return ""
    first, *inside, last = tree.parts
    if not (first == last == _ANYTHING):
        return ""
    runs: list[list[str]] = [[]]
    for part in inside:
        if part == _ANYTHING:
            runs.append([])
        elif isinstance(part, OneOf):
            runs[-1].append(_one(part.digits))
        elif isinstance(part, Repeat) and isinstance(part.part, OneOf) and part.least == part.most:
            several = _several(part.part.digits)
            runs[-1].append(f"{part.most} {several}, side by side" if part.most != 1 else several)
        else:
            return ""
    if not all(runs):
        return ""
    return " and, further on, ".join(" directly followed by ".join(run) for run in runs)


def _part_words(tree: PatternNode, *, alone: bool) -> str:
    """A part of a pattern; in brackets if it has several parts and does not stand alone."""
    if isinstance(tree, OneOf):
        return _one(tree.digits)
    if isinstance(tree, Repeat):
        return _repeat_words(tree)
    if isinstance(tree, InOrder):
        if not tree.parts:
            return "no digit"
        said = ", then ".join(_part_words(part, alone=False) for part in tree.parts)
    else:
        assert isinstance(tree, Choice)
        parts = [_part_words(part, alone=isinstance(part, InOrder)) for part in tree.parts]
        said = "either " + "; or ".join(parts)
    return said if alone else f"({said})"


def _repeat_words(tree: Repeat) -> str:
    least, most = tree.least, tree.most
    if not isinstance(tree.part, OneOf):
        times = _times(least, most)
        return f"{_part_words(tree.part, alone=False)} {times}"
    several = _several(tree.part.digits)
    if most is None:
        if least == 0:
            return (
                "any digits or none"
                if several == "digits"
                else f"any number of {several} (or none)"
            )
        return f"{'one' if least == 1 else least} or more {several}"
    if (least, most) == (0, 1):
        return f"possibly {_one(tree.part.digits)}"
    if least == most:
        return f"{most} {several}" if most != 1 else _one(tree.part.digits)
    return f"{least} to {most} {several}"


def _times(least: int, most: int | None) -> str:
    if most is None:
        return "any number of times or not at all" if not least else f"{least} or more times"
    if (least, most) == (0, 1):
        return "once or not at all"
    if least == most:
        return "once" if most == 1 else f"{most} times"
    return f"{least} to {most} times"


def _one(digits: frozenset[int]) -> str:
    if len(digits) == 1:
        name = symbol(*digits)
        return f"{'an' if name in '8AEFHILMNORSX' else 'a'} {name}"
    if len(digits) == len(_SYMBOLS):
        return "any digit"
    which = _which(digits, "or")
    return which.replace("out of", "one of") if which.startswith("out") else f"a digit {which}"


def _several(digits: frozenset[int]) -> str:
    if len(digits) == 1:
        return f"{symbol(*digits)}s"
    return "digits" if len(digits) == len(_SYMBOLS) else f"digits {_which(digits, 'and')}"


def _which(digits: frozenset[int], last: str) -> str:
    others = sorted(frozenset(_SYMBOLS.values()) - digits)
    if len(others) < len(digits):
        return f"other than {listing([symbol(digit) for digit in others], 'and')}"
    ordered = sorted(digits)
    if len(ordered) > 2 and ordered[-1] - ordered[0] == len(ordered) - 1:
        return f"from {symbol(ordered[0])} to {symbol(ordered[-1])}"
    return f"out of {listing([symbol(digit) for digit in ordered], last)}"
