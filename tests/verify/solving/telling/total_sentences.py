"""Sentences about the totals of houses and cages."""

from __future__ import annotations

import re
from itertools import combinations, product

from gridassay.encodings.grid import Cell

from .board import Board
from .fillings import Reading
from .forms import NUMBERS
from .why_sentences import why
from .words import CELLS, Marks, Unreadable, cells_in, conclusion, named

HOUSES = r"(?:(?:rows|columns|boxes|regions) [\w, ]+?|[a-z]+ [\w]+(?:(?:, | and )[a-z]+ \w+)*?)"


def _houses(board: Board, text: str) -> list[frozenset[Cell]]:
    m = re.fullmatch(r"(rows|columns|boxes|regions) (.+)", text)
    if m is None:
        return [board.plain.houses[name] for name in named(text, board.plain.houses)]
    kind = {"boxes": "box"}.get(m[1], m[1][:-1])
    if run := re.fullmatch(r"(\d+) to (\d+)", m[2]):
        names = [str(n) for n in range(int(run[1]), int(run[2]) + 1)]
    else:
        names = re.findall(r"\w+", m[2].replace(" and ", ", "))
    return [board.plain.houses[f"{kind} {name}"] for name in names]


def house_total(board: Board, text: str) -> tuple[Marks, Marks] | None:
    """Check a sentence about the total of houses; None for any other."""
    end = r", so (?P<result>.+?)(?:: (?P<why>.+))?"
    inner = re.fullmatch(
        rf"(?P<houses>{HOUSES}) makes? (?P<sum>\d+); (?P<cages>.+?) makes? (?P<made>\d+){end}", text
    )
    outer = re.fullmatch(
        rf"(?P<cages>.+?) makes? (?P<made>\d+)(?:, leave out (?P<left>{CELLS}))? and stick out by "
        rf"(?P<out>{CELLS})(?: alone)?; (?P<houses>{HOUSES}) makes? (?P<sum>\d+){end}",
        text,
    )
    m = inner or outer
    if m is None:
        return None
    houses = _houses(board, m["houses"])
    union = [cell for house in houses for cell in house]
    assert len(union) == len(set(union)), text
    assert int(m["sum"]) == len(houses) * sum(board.plain.digits), text
    every = {p: n for p in board.plain.rules if (n := board.plain.total(p)) is not None}
    inside = [p for p in every if {*board.plain.fillings(p)[0]} <= set(union)]
    touching = [p for p in every if {*board.plain.fillings(p)[0]} & set(union)]
    if re.match(r"the \w+ cages in (?!and)", m["cages"]) and m["cages"] not in every:
        cages = inside
    elif re.match(r"the \w+ cages (?:that cover|in and across) ", m["cages"]):
        cages = touching
    else:
        cages = named(m["cages"], every)
    if counted := re.match(r"the (\w+) cages ", m["cages"]):
        assert counted[1] == NUMBERS[len(cages)], text
    covered = [cell for p in cages for cell in board.plain.fillings(p)[0]]
    assert len(covered) == len(set(covered)), text
    assert int(m["made"]) == sum(every[p] for p in cages), text
    left, out = set(union) - set(covered), set(covered) - set(union)
    if inner:
        assert not out, text
    else:
        assert set(cells_in(m["left"] or "")) == left, text
        assert set(cells_in(m["out"])) == out, text
    cells = sorted(left | out)
    weights = [1 if cell in left else -1 for cell in cells]
    rest = int(m["sum"]) - int(m["made"])
    _result(m["result"], left, out, rest, text)
    zones = [*houses, *(frozenset(board.plain.fillings(p)[0]) for p in cages)]
    pairs = [
        (a, b)
        for a, b in combinations(range(len(cells)), 2)
        if any({cells[a], cells[b]} <= zone for zone in zones)
    ]
    fillings = [
        f
        for f in product(board.plain.digits, repeat=len(cells))
        if sum(w * d for w, d in zip(weights, f, strict=True)) == rest
        and all(f[a] != f[b] for a, b in pairs)
    ]
    reading = Reading(board, cells, fillings)
    if m["why"]:
        return why(reading, m["why"])
    said = conclusion(board, m["result"])
    reading.hold(said, text)
    return said


def _result(words: str, left: set[Cell], out: set[Cell], rest: int, text: str) -> None:
    """The total of the cells left over, as it is said."""
    if m := re.fullmatch(rf"({CELLS}) (?:is|make) (\d+)", words):
        assert set(cells_in(m[1])) == left | out, text
        assert not (left and out), text
        assert int(m[2]) == (rest if left else -rest), text
        return
    m = re.fullmatch(
        rf"({CELLS}) (?:is|make) (?:(\d+) more than|as much as) ({CELLS})(?: together)?", words
    )
    if m is None:
        raise Unreadable(words)
    more, less = set(cells_in(m[1])), set(cells_in(m[3]))
    assert (more, less) == ((left, out) if rest >= 0 else (out, left)), text
    assert int(m[2] or 0) == abs(rest), text
