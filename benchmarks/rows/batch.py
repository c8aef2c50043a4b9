"""Many puzzles: rates against clingo, what each stage decides, two workers, memory over length."""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache, partial
from multiprocessing import get_context
from os import cpu_count, getloadavg
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

from benchmarks.corpora import batches, disguised, lines, take
from benchmarks.measure import Measured, Row, inverse, peak_megabytes, ratio, seconds, spread
from benchmarks.peers import PEERS
from gridassay.verify import check, read
from gridassay.verify.batch.reports import read_results
from gridassay.verify.batch.run import run_batch

BATCH = """
from pathlib import Path
from gridassay.verify.batch.run import run_batch
run_batch([{file!r}], Path({out!r}))
"""
CORPORA = {"hard9": "hard lines", "seventeen": "17-given lines", "easy9": "easy lines"}


def _peer(corpus: str) -> Callable[[str], int]:
    """clingo, set up, and seen to agree on the corpus: no time counts before the answers do."""
    count = PEERS["clingo, multi-shot"]()
    if any(count(line) != 1 for line in lines(corpus)[:50]):
        raise AssertionError("clingo does not find the one solution of a line")
    return count


@lru_cache
def one_by_one(corpus: str, quick: bool) -> Measured:
    """The SAT engine line by line, reading included, without the extra."""
    count = _peer(corpus)
    rounds, size = (4, 250) if quick else (10, 1_000)
    ours, theirs = (batches(corpus, 3, rounds, size) for _ in "ab")
    return ratio(
        lambda: [check(read(line)) for line in next(ours)],
        lambda: [count(line) for line in next(theirs)],
        rounds,
        each=size,
    )


def in_bulk(corpus: str, quick: bool) -> Measured:
    """A whole batch, file to file, with the extra, against clingo's answers alone."""
    count = _peer(corpus)
    rounds, size = 3, 1_000 if quick else 10_000
    theirs = batches(corpus, 4, rounds, size)
    with tempfile.TemporaryDirectory() as folder:
        file, out = Path(folder) / "lines.txt", Path(folder) / "out.jsonl"
        file.write_text("\n".join(next(batches(corpus, 5, 0, size))), encoding="utf-8")

        def batch() -> None:
            out.unlink(missing_ok=True)
            if run_batch([str(file)], out).verdicts["unique"] != size:
                raise AssertionError("not every line of the corpus is found unique")

        measured = inverse(
            ratio(batch, lambda: [count(line) for line in next(theirs)], rounds, each=size)
        )
        decided = Counter(result["engine"] for result in read_results(out))
    shares = ", ".join(f"{name} decides {n / size:.1%}" for name, n in decided.most_common())
    return Measured(measured.value, measured.low, measured.high, f"{measured.note}; {shares}")


def microseconds_in_bulk(quick: bool) -> Measured:
    """Processor time of a line of a batch with the extra, file to file, in microseconds."""
    size = 1_000 if quick else 10_000
    with tempfile.TemporaryDirectory() as folder:
        file, out = Path(folder) / "lines.txt", Path(folder) / "out.jsonl"
        file.write_text("\n".join(next(batches("seventeen", 5, 0, size))), encoding="utf-8")

        def batch() -> None:
            out.unlink(missing_ok=True)
            run_batch([str(file)], out)

        batch()
        return spread([1e6 * seconds(batch).cpu / size for _ in range(5)], "read and written")


def microseconds_of_search(quick: bool) -> Measured:
    """Processor time of the compiled search on a 17-given grid, without reading and writing."""
    import numpy as np

    from gridassay.verify.counting.classic import count_to_two

    size = 1_000 if quick else 10_000
    digits = bytes(
        int(symbol) if symbol.isdigit() else 0
        for line in next(batches("seventeen", 5, 0, size))
        for symbol in line
    )
    grids = np.frombuffer(bytearray(digits), dtype=np.int8).reshape(size, 81)
    count_to_two(grids)
    times = [1e6 * seconds(partial(count_to_two, grids)).cpu / size for _ in range(5)]
    return spread(times, f"{size:,} grids, each counted to two")


def two_workers(extra: bool, quick: bool) -> Measured:
    """Wall time of one process over that of two, pools started and warm.

    Without the extra nearly all the work is the workers'; with it reading and writing, which one
    process does, are a larger part: the note tells it. Two workers need two idle cores: it tells
    the load, too.
    """
    number = (8_000 if quick else 40_000) if extra else (2_000 if quick else 10_000)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "lines.txt"
        file.write_text("\n".join(take(disguised(lines("hard9"), 6), number)), encoding="utf-8")

        own = []

        def wall(pool: ProcessPoolExecutor) -> float:
            out = Path(folder) / "out.jsonl"
            out.unlink(missing_ok=True)
            started, spent = perf_counter(), process_time()
            run_batch([str(file)], out, executor=pool)
            own.append((process_time() - spent) / number)
            return perf_counter() - started

        def pool(workers: int) -> ProcessPoolExecutor:
            return ProcessPoolExecutor(
                workers, get_context("spawn"), None if extra else _without_extra
            )

        with pool(1) as one, pool(2) as two:
            pairs = [(wall(one), wall(two)) for _ in range(4 if quick else 7)][1:]
    rates = (f"{number / median(column):,.0f} a second" for column in zip(*pairs, strict=True))
    note = (
        f"{' against '.join(rates)}; handing out and writing {median(own) * 1e6:.1f} µs a line; "
        f"load {getloadavg()[0]:.1f} on {cpu_count()} cores"
    )
    return spread([alone / shared for alone, shared in pairs], note)


def _without_extra() -> None:
    """Make a worker one in which numba is not installed."""
    sys.modules["numba"] = None  # type: ignore[assignment]


def memory_over_length(quick: bool) -> Measured:
    """Peak memory of a batch of many lines over that of a thousand."""
    most = 20_000 if quick else 1_000_000
    peaks = []
    with tempfile.TemporaryDirectory() as folder:
        for number in (1_000, most):
            file, out = Path(folder) / f"{number}.txt", Path(folder) / f"{number}.jsonl"
            with file.open("w", encoding="utf-8") as written:
                fresh = disguised(lines("easy9"), 7)
                written.writelines(f"{next(fresh)}\n" for _ in range(number))
            peaks.append(peak_megabytes(BATCH.format(file=str(file), out=str(out))))
    note = f"{most:,} lines {peaks[1]:.0f} MB against 1,000 lines {peaks[0]:.0f} MB"
    return spread([peaks[1] / peaks[0]], note)


def _rows() -> tuple[Row, ...]:
    rows = []
    for corpus, called in CORPORA.items():
        one = f"{called} one by one, without the extra, against clingo multi-shot"
        many = f"batch of {called} with the extra: clingo multi-shot against us"
        rows += [
            Row(10, one, "at most", 1, "×", partial(one_by_one, corpus)),
            Row(10, many, "at least", 5, "×", partial(in_bulk, corpus)),
        ]
    for extra in (False, True):
        name = f"two workers against one{'' if extra else ', without the extra'}, wall time"
        rows.append(Row(10, name, "at least", 1.8, "×", partial(two_workers, extra)))
    return (
        *rows,
        Row(10, "batch memory over its length", "at most", 1.1, "×", memory_over_length),
        Row(
            20,
            "the same easy lines one by one, against clingo multi-shot",
            "at most",
            1.05,
            "×",
            partial(one_by_one, "easy9"),
        ),
        Row(
            20,
            "a 17-given line of a batch with the extra",
            "at most",
            15,
            "µs",
            microseconds_in_bulk,
        ),
        Row(
            20,
            "a 17-given grid by the compiled search of the extra",
            "at most",
            15,
            "µs",
            microseconds_of_search,
        ),
    )


ROWS = _rows()
