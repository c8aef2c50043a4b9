"""The machine that attacks: ``python -m tests.attack [--seconds N] [--seed S] [PART …]``.

Each part has a function ``one(seed)`` in its file, which makes something from a number, tries it on
gridassay and returns how many checks that was and what was wrong. A failure is written as one file,
made as small as it can be, and ``--again SEED`` with its part repeats it. ``--tally FILE`` adds the
run to a committed table of what was run on which commit.
"""

from __future__ import annotations

import argparse
import sys
import time
import zlib
from collections.abc import Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from multiprocessing import get_context
from pathlib import Path

from .failures import Found
from .parts import PARTS, attack
from .tally import add, version

SPAN = 10**9
"""Seeds of one run, which begin at a place that its seed decides."""


def _pieces(part: str, first: int) -> Iterator[tuple[str, int, int]]:
    while True:
        yield part, first, PARTS[part]
        first += PARTS[part]


def main() -> int:
    """Run the named parts, each for its share of the time; return 1 if any found something."""
    parser = argparse.ArgumentParser(prog="python -m tests.attack", description=__doc__)
    parser.add_argument("parts", nargs="*", metavar="PART", help=", ".join(PARTS))
    parser.add_argument("--seconds", type=float, default=60.0, help="for all parts together")
    parser.add_argument("--seed", default="0", help="a number or any text, such as a commit")
    parser.add_argument("--again", type=int, help="repeat one seed of one part")
    parser.add_argument("--jobs", type=int, default=1, help="processes")
    parser.add_argument("--out", type=Path, default=Path("attack-failures"), help="for reproducers")
    parser.add_argument("--tally", type=Path, help="the table to add this run to")
    chosen = parser.parse_args()
    unknown = [part for part in chosen.parts if part not in PARTS]
    if unknown:
        parser.error(f"there is no part {unknown[0]!r}: {', '.join(PARTS)}")
    parts = chosen.parts or list(PARTS)
    if chosen.again is not None:
        return _tell([attack(parts[0], chosen.again, 1)[2]], chosen.out)
    first = zlib.crc32(chosen.seed.encode()) * SPAN
    every: list[list[Found]] = []
    with ProcessPoolExecutor(chosen.jobs, mp_context=get_context("spawn")) as pool:
        for part in parts:
            ends = time.monotonic() + chosen.seconds / len(parts)
            checks, seeds, bad = _run(pool, part, first, ends, chosen.jobs)
            print(
                f"{part:<14} {checks:>9,} checks of {seeds:>8,} seeds, {len(bad)} bad", flush=True
            )
            if chosen.tally:
                add(chosen.tally, version(), part, chosen.seed, checks, seeds, len(bad))
            every.append(bad)
    return _tell(every, chosen.out)


def _run(
    pool: ProcessPoolExecutor, part: str, first: int, ends: float, jobs: int
) -> tuple[int, int, list[Found]]:
    """Give seeds to a part until its time is over; a seed that was begun is finished."""
    pieces = _pieces(part, first)
    waiting: set[Future[tuple[int, int, list[Found]]]] = set()
    checks, seeds, bad = 0, 0, []
    while True:
        while len(waiting) < 2 * jobs and time.monotonic() < ends and len(bad) < 5:
            waiting.add(pool.submit(attack, *next(pieces)))
        if not waiting:
            return checks, seeds, bad
        done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
        for one in done:
            more, of, wrong = one.result()
            checks, seeds, bad = checks + more, seeds + of, bad + wrong
            if sys.stderr.isatty():
                left = max(0.0, ends - time.monotonic())
                print(f"\r{part}: {checks:,} checks, {left:.0f} s left ", end="\r", file=sys.stderr)


def _tell(every: list[list[Found]], out: Path) -> int:
    failures = [found.failure for bad in every for found in bad if found.failure]
    for failure in failures:
        print(f"{failure.write(out)}: {failure.what}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
