"""The verdict: warm, cold, in memory, on large grids."""

from __future__ import annotations

from functools import lru_cache

from benchmarks.corpora import batches, lines
from benchmarks.measure import (
    COMMAND,
    Measured,
    Row,
    installed,
    inverse,
    peak_megabytes,
    process,
    ratio,
    spread,
)
from benchmarks.peers import bare_sat, cp_per_puzzle
from gridassay.verify import check, read

_WORDS = ("none", "unique", "multiple")


def _agreed(corpus: tuple[str, ...], counts: list[int]) -> None:
    """No time counts before the answers are the same."""
    ours = [check(read(line)).status for line in corpus]
    if ours != [_WORDS[count] for count in counts]:
        raise AssertionError("a peer gives other verdicts than gridassay")


def warm_against_bare_loop(quick: bool) -> Measured:
    """A verdict on 17-given lines not met before, reading included, against the bare loop."""
    peer = bare_sat.BareLoop()
    _agreed(lines("seventeen"), [peer.count(line) for line in lines("seventeen")])
    rounds, size = 8 if quick else 30, 100
    ours, theirs = (batches("seventeen", 1, rounds, size) for _ in "ab")
    return ratio(
        lambda: [check(read(line)) for line in next(ours)],
        lambda: [peer.count(line) for line in next(theirs)],
        rounds,
        each=size,
    )


def warm_against_cp(quick: bool) -> Measured:
    """The same against an OR-Tools model built for each puzzle."""
    corpus = lines("seventeen")
    _agreed(corpus, [cp_per_puzzle.count(line) for line in corpus])
    rounds, size = 5 if quick else 15, 20
    ours, theirs = (batches("seventeen", 2, rounds, size) for _ in "ab")
    return inverse(
        ratio(
            lambda: [check(read(line)) for line in next(ours)],
            lambda: [cp_per_puzzle.count(line) for line in next(theirs)],
            rounds,
            each=size,
        )
    )


@lru_cache
def cold(quick: bool) -> Measured:
    """``gridassay check --json`` as a whole process against the bare loop as a script."""
    with installed() as folder:
        file = folder / "one.txt"
        file.write_text(lines("seventeen")[0] + "\n", encoding="utf-8")
        return ratio(
            lambda: process("-c", COMMAND, "check", "--json", str(file), path=str(folder)),
            lambda: process(bare_sat.__file__, str(file), path=str(folder)),
            rounds=8 if quick else 25,
        )


def memory(line: str) -> Measured:
    """Peak resident memory of a fresh process that gives one verdict."""
    code = f"from gridassay.verify import check, read; check(read({line!r}))"
    return spread([peak_megabytes(code)])


def large(name: str) -> Measured:
    """The slowest verdict of a corpus of large grids, building included."""
    return spread([max(check(read(line), budget=60).seconds for line in lines(name))])


ROWS = (
    Row(
        2,
        "17-given 9×9, warm, against a bare python-sat loop",
        "at most",
        1.5,
        "×",
        warm_against_bare_loop,
    ),
    Row(
        2, "17-given 9×9, warm: OR-Tools per puzzle against us", "at least", 7, "×", warm_against_cp
    ),
    Row(2, "one 9×9 as a whole process, against a bare script", "at most", 2.5, "×", cold),
    Row(2, "memory, 9×9", "at most", 60, "MB", lambda quick: memory(lines("seventeen")[0])),
    Row(2, "memory, 25×25", "at most", 500, "MB", lambda quick: memory(lines("large25")[0])),
    Row(2, "slowest 16×16 verdict", "at most", 10, "s", lambda quick: large("large16")),
    Row(2, "slowest 25×25 verdict", "at most", 10, "s", lambda quick: large("large25")),
    Row(20, "a line as a whole process, against a bare script", "at most", 2, "×", cold),
)
