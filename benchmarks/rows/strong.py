"""The verdict on what is hard or large, the clues of every example, and a file from a cold start."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import exp, log
from random import Random
from time import perf_counter
from typing import Any, NamedTuple

from benchmarks.corpora import lines, puzzles
from benchmarks.measure import (
    COMMAND,
    ROOT,
    Measured,
    Row,
    installed,
    process,
    ratio,
    seconds,
    spread,
)
from benchmarks.peers import bare_sat
from gridassay.encodings.files import read_file
from gridassay.encodings.grid import Cell, classic
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify import assay, check
from gridassay.verify.budget import Clock
from gridassay.verify.engines import forget_engines
from gridassay.verify.engines.one_shot import OutrightEngine
from gridassay.verify.examination.examination import Listener, Part

LIMIT = 30.0
"""Seconds for one verdict, of whichever side; a limit that is reached counts as the time taken."""

SMALL = ("sequences", "multisets12", "sandwiches12", "mixed16")
EXAMPLES = ROOT / "examples"


class Pair(NamedTuple):
    """The seconds that a verdict took here and of the peer."""

    ours: float
    theirs: float


def _decided(name: str, within: float, quick: bool) -> Measured:
    """The share of a corpus that is decided in time, each puzzle as if it were the first."""
    corpus = puzzles(name)[: 2 if quick else None]
    done = []
    for puzzle in corpus:
        forget_engines()
        done.append(check(replace(puzzle), budget=within).status != "undecided")
    return spread([100 * sum(done) / len(done)], f"{sum(done)} of {len(done)}")


@lru_cache
def _against_cp(name: str, quick: bool) -> tuple[Pair, ...]:
    """Each puzzle of a corpus here and as an OR-Tools model of its own, reading left out."""
    from benchmarks.peers import cp_variants

    pairs = []
    for puzzle in puzzles(name)[: 2 if quick else None]:
        fresh, same = replace(puzzle), replace(puzzle)
        forget_engines()
        mine: list[int] = []
        ours = seconds(lambda fresh=fresh, mine=mine: mine.append(_solutions(fresh))).wall  # type: ignore[misc]
        told: list[int | None] = []
        theirs = seconds(
            lambda same=same, told=told: told.append(cp_variants.count(same, LIMIT))
        ).wall  # type: ignore[misc]
        if told[0] is not None and mine[0] >= 0 and told != mine:
            raise AssertionError(f"the verdicts on {puzzle.source} differ")
        pairs.append(Pair(ours, theirs))
    return tuple(pairs)


def _solutions(puzzle: Puzzle) -> int:
    return {"none": 0, "unique": 1, "multiple": 2}.get(check(puzzle, budget=LIMIT).status, -1)


def _mean(ratios: list[float]) -> float:
    return exp(sum(map(log, ratios)) / len(ratios))


def ahead_on_sparse(quick: bool) -> Measured:
    """How many times as long OR-Tools takes on 25×25 grids with few givens."""
    ratios = [pair.theirs / pair.ours for pair in _against_cp("sparse25", quick)]
    return Measured(_mean(ratios), min(ratios), max(ratios), "limits of 30 s counted as times")


def behind_on_small(quick: bool) -> Measured:
    """Our time in units of OR-Tools' on small puzzles of other kinds, and the note by corpus."""
    by_name = {
        name: [pair.ours / pair.theirs for pair in _against_cp(name, quick)] for name in SMALL
    }
    ratios = [ratio for some in by_name.values() for ratio in some]
    note = ", ".join(f"{name} {_mean(some):.2f}" for name, some in by_name.items())
    return Measured(_mean(ratios), min(ratios), max(ratios), note)


def worst_on_small(quick: bool) -> Measured:
    """The same for the puzzle where we are furthest behind."""
    ratios = [pair.ours / pair.theirs for name in SMALL for pair in _against_cp(name, quick)]
    return spread([max(ratios)])


class _Times(Listener):
    """How long each part of an assay takes."""

    def __init__(self) -> None:
        self.spent: dict[str, float] = {}
        self._since = perf_counter()

    def asking(self, part: Part) -> None:
        self._since = perf_counter()

    def told(self, part: Part, answer: Any) -> None:
        self.spent[part] = perf_counter() - self._since


class Assayed(NamedTuple):
    """An example's assay: the seconds of all but its route, and what the budget did not reach."""

    name: str
    apart: float
    ran_out: tuple[str, ...]


@lru_cache
def _assayed(quick: bool) -> tuple[Assayed, ...]:
    """The assay of each example within its budget, from a cold start, certificate included."""
    found = []
    for file in sorted(EXAMPLES.glob("*.toml"))[: 3 if quick else None]:
        times = _Times()
        forget_engines()
        done = assay(read_file(file), document=file.read_bytes(), listener=times)
        route = sum(times.spent.get(part, 0) for part in ("route", "only steps"))
        found.append(Assayed(file.stem, done.seconds - route, done.ran_out))
    return tuple(found)


def slowest_assay(quick: bool) -> Measured:
    """The slowest of the examples' assays, its route left out."""
    slowest = max(_assayed(quick), key=lambda one: one.apart)
    return spread([slowest.apart], slowest.name)


def not_reached(quick: bool) -> Measured:
    """How many of the examples' assays left something open."""
    short = [one for one in _assayed(quick) if one.ran_out]
    return spread([len(short)], "; ".join(f"{one.name}: {', '.join(one.ran_out)}" for one in short))


def cold_file(quick: bool) -> Measured:
    """``gridassay check --json`` of a puzzle file with rules against the bare script on a line."""
    with installed() as folder:
        line = folder / "one.txt"
        line.write_text(lines("seventeen")[0] + "\n", encoding="utf-8")
        file = str(EXAMPLES / "tow-lines.toml")
        return ratio(
            lambda: process("-c", COMMAND, "check", "--json", file, path=str(folder)),
            lambda: process(bare_sat.__file__, str(line), path=str(folder)),
            rounds=5 if quick else 25,
        )


def cold_thousand(quick: bool) -> Measured:
    """A thousand lines, in JSON, against the bare script on the same."""
    with installed() as folder:
        many = folder / "many.txt"
        many.write_text("\n".join(lines("hard9") * 5) + "\n", encoding="utf-8")
        return ratio(
            lambda: process("-c", COMMAND, "check", "--json", str(many), path=str(folder)),
            lambda: process(bare_sat.__file__, str(many), path=str(folder)),
            rounds=3 if quick else 10,
        )


def growth(quick: bool) -> Measured:
    """A verdict on a grid with a third given, by size: the largest, the others in the note."""
    spent = {size: _third_given(size) for size in ((9, 16) if quick else (9, 16, 25, 30, 35))}
    note = ", ".join(f"{size}×{size} {time:.3g} s" for size, time in spent.items())
    return spread([spent[max(spent)]], note)


def _third_given(size: int) -> float:
    """Seconds for a verdict, compiling included, on a third of the digits of some solution."""
    rng, empty = Random(size), Puzzle(classic(size))
    first = [Fact(Cell(1, 1 + at), n) for at, n in enumerate(rng.sample(range(1, size + 1), size))]
    engine = OutrightEngine(empty.model, first, Clock(600))
    solution = engine.solve(Clock(600))
    engine.close()
    assert solution is not None
    facts = [Fact(c, d) for c, d in zip(empty.canvas.cells, solution, strict=True)]
    puzzle = Puzzle(empty.canvas, tuple(rng.sample(facts, len(facts) // 3)))
    forget_engines()
    return check(puzzle, budget=60).seconds


ROWS = (
    Row(
        20,
        "25×25 with few givens: decided in 10 s",
        "at least",
        85,
        "%",
        lambda quick: _decided("sparse25", 10, quick),
    ),
    Row(
        20,
        "25×25 with few givens: decided in 30 s",
        "at least",
        100,
        "%",
        lambda quick: _decided("sparse25", 30, quick),
    ),
    Row(20, "25×25 with few givens: OR-Tools against us", "at least", 5, "×", ahead_on_sparse),
    Row(
        20,
        "lines with letters: decided in 10 s",
        "at least",
        80,
        "%",
        lambda quick: _decided("letters9", 10, quick),
    ),
    Row(20, "small puzzles of other kinds, against OR-Tools", "at most", 1, "×", behind_on_small),
    Row(20, "the same, the worst of them", "at most", 2.5, "×", worst_on_small),
    Row(
        20,
        "assay of an example apart from its route, the slowest",
        "at most",
        3,
        "s",
        slowest_assay,
    ),
    Row(20, "examples whose assay does not come to its end", "at most", 0, "", not_reached),
    Row(
        20,
        "a puzzle file as a whole process, against a bare script",
        "at most",
        4.5,
        "×",
        cold_file,
    ),
    Row(
        20,
        "a thousand lines as a whole process, against a bare script",
        "at most",
        1.5,
        "×",
        cold_thousand,
    ),
    Row(20, "35×35 with a third given, a verdict", "at most", 10, "s", growth),
)
