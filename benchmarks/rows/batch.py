"""Many puzzles: rates against clingo, two workers against one, memory over length."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from statistics import median
from time import perf_counter

from benchmarks.corpora import batches, disguised, lines, take
from benchmarks.measure import Measured, Row, inverse, peak_megabytes, ratio, spread
from benchmarks.peers import PEERS
from gridassay.verify import check, read
from gridassay.verify.batch import run_batch

BATCH = """
from pathlib import Path
from gridassay.verify.batch import run_batch
run_batch([{file!r}], Path({out!r}))
"""


def _agreed(corpus: tuple[str, ...], count: Callable[[str], int]) -> None:
    if any(count(line) != 1 for line in corpus):
        raise AssertionError("a peer does not find the one solution")


def one_by_one(quick: bool) -> Measured:
    """The SAT engine line by line, without the extra, against clingo kept and assumed."""
    count = PEERS["clingo, multi-shot"]()
    _agreed(lines("hard9")[:20], count)
    rounds, size = 4 if quick else 12, 200
    ours, theirs = (batches("hard9", 3, rounds, size) for _ in "ab")
    return ratio(
        lambda: [check(read(line)) for line in next(ours)],
        lambda: [count(line) for line in next(theirs)],
        rounds,
        each=size,
    )


def in_bulk(quick: bool) -> Measured:
    """A whole batch to a file with the extra, against clingo's answers alone."""
    rounds, size = 3, 1_000 if quick else 10_000
    count = PEERS["clingo, multi-shot"]()
    theirs = batches("hard9", 4, rounds, size)
    with tempfile.TemporaryDirectory() as folder:
        file, out = Path(folder) / "lines.txt", Path(folder) / "out.jsonl"
        file.write_text("\n".join(next(batches("hard9", 4, 0, size))), encoding="utf-8")

        def batch() -> None:
            out.unlink(missing_ok=True)
            if run_batch([str(file)], out).verdicts["unique"] != size:
                raise AssertionError("not every line of the corpus is found unique")

        return inverse(
            ratio(batch, lambda: [count(line) for line in next(theirs)], rounds, each=size)
        )


def two_workers(quick: bool) -> Measured:
    """Wall time of one process over that of two, pools started before."""
    number = 4_000 if quick else 20_000
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "lines.txt"
        file.write_text("\n".join(take(disguised(lines("hard9"), 5), number)), encoding="utf-8")

        def wall(pool: ProcessPoolExecutor) -> float:
            out = Path(folder) / "out.jsonl"
            out.unlink(missing_ok=True)
            started = perf_counter()
            run_batch([str(file)], out, executor=pool)
            return perf_counter() - started

        spawn = get_context("spawn")
        with ProcessPoolExecutor(1, spawn) as one, ProcessPoolExecutor(2, spawn) as two:
            pairs = [(wall(one), wall(two)) for _ in range(4)][1:]
    note = " against ".join(
        f"{number / median(column):,.0f}/s" for column in zip(*pairs, strict=True)
    )
    return spread([alone / shared for alone, shared in pairs], note)


def memory_over_length(quick: bool) -> Measured:
    """Peak memory of a batch of many lines over that of a thousand."""
    most = 20_000 if quick else 1_000_000
    peaks = []
    with tempfile.TemporaryDirectory() as folder:
        for number in (1_000, most):
            file, out = Path(folder) / f"{number}.txt", Path(folder) / f"{number}.jsonl"
            with file.open("w", encoding="utf-8") as written:
                fresh = disguised(lines("easy9"), 6)
                written.writelines(f"{next(fresh)}\n" for _ in range(number))
            peaks.append(peak_megabytes(BATCH.format(file=str(file), out=str(out))))
    note = f"{most:,} lines {peaks[1]:.0f} MB against 1,000 lines {peaks[0]:.0f} MB"
    return spread([peaks[1] / peaks[0]], note)


ROWS = (
    Row(
        10,
        "hard lines one by one, without the extra, against clingo multi-shot",
        "at most",
        1,
        "×",
        one_by_one,
    ),
    Row(
        10,
        "batch of hard lines with the extra: clingo multi-shot against us",
        "at least",
        5,
        "×",
        in_bulk,
    ),
    Row(10, "two workers against one, wall time", "at least", 1.8, "×", two_workers),
    Row(10, "batch memory over its length", "at most", 1.1, "×", memory_over_length),
)
