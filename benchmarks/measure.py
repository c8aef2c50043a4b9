"""Measuring on noisy machines: pairs of runs side by side, and the median of their ratios."""

from __future__ import annotations

import gc
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from math import log
from pathlib import Path
from resource import RUSAGE_CHILDREN, RUSAGE_SELF, getrusage
from shutil import copytree
from statistics import linear_regression, median, quantiles
from time import perf_counter
from typing import Literal, NamedTuple

ROOT = Path(__file__).parent.parent
"""The checkout."""


class NotMeasured(Exception):
    """A tool that a figure is measured with is missing; the message names it."""


@dataclass(frozen=True)
class Measured:
    """A figure with its quartiles over the rounds, and a note on what is behind it."""

    value: float
    low: float
    high: float
    note: str = ""


TIMES = ("s", "ms", "µs")
"""The units of times, which depend on the machine."""


@dataclass(frozen=True)
class Row:
    """One speed figure: what is measured, its target, and the function that measures it.

    ``run(quick)`` does fewer rounds if ``quick``, and may raise NotMeasured.
    """

    issue: int
    name: str
    sense: Literal["at most", "at least"]
    target: float
    unit: str
    run: Callable[[bool], Measured]

    def met(self, measured: Measured, slowness: float = 1.0) -> bool:
        """Whether the figure meets its target, which is so many times as long if it is a time.

        ``slowness`` is how much slower the machine is than the one for which seconds are asked.
        """
        target = self.target * (slowness if self.unit in TIMES else 1)
        return measured.value <= target if self.sense == "at most" else measured.value >= target


def spread(values: Sequence[float], note: str = "") -> Measured:
    """The median of a series and its quartiles."""
    if len(values) == 1:
        return Measured(values[0], values[0], values[0], note)
    low, _, high = quantiles(values, n=4)
    return Measured(median(values), low, high, note)


def slope(sizes: Sequence[float], values: Sequence[float]) -> float:
    """The exponent by which values grow with sizes: the least-squares slope on log-log paper."""
    return linear_regression([log(x) for x in sizes], [log(y) for y in values]).slope


def peak_of_this_process() -> float:
    """The peak resident memory of this process so far, in megabytes of 2²⁰ bytes."""
    # Not getrusage: its figure survives exec, and would be the parent's own.
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(status.split("VmHWM:")[1].split()[0]) / 1024


class Time(NamedTuple):
    """Seconds of processor time, of this process and its children, and seconds of wall time."""

    cpu: float
    wall: float


def seconds(work: Callable[[], object]) -> Time:
    """The time of one run, with the garbage collector held back."""
    gc.collect()
    gc.disable()
    try:
        started, spent = perf_counter(), _processor_time()
        work()
        return Time(_processor_time() - spent, perf_counter() - started)
    finally:
        gc.enable()


def _processor_time() -> float:
    usages = (getrusage(RUSAGE_SELF), getrusage(RUSAGE_CHILDREN))
    return sum(usage.ru_utime + usage.ru_stime for usage in usages)


def ratio(
    one: Callable[[], object],
    other: Callable[[], object],
    rounds: int,
    each: int = 1,
) -> Measured:
    """How much processor time ``one`` takes in units of ``other``: A B A B …, the pairs' ratios.

    Processor time, because other work on the machine disturbs it least; the note gives both. The
    first pair warms up and is dropped. ``each`` is how many pieces of work one call does.
    """
    pairs = [(seconds(one), seconds(other)) for _ in range(rounds + 1)][1:]
    first, second = zip(*pairs, strict=True)
    note = f"{_plain(first, each)} against {_plain(second, each)}"
    return spread([a.cpu / b.cpu for a, b in pairs], note)


def inverse(measured: Measured) -> Measured:
    """The inverse of the ratio."""
    return Measured(1 / measured.value, 1 / measured.high, 1 / measured.low, measured.note)


def _plain(times: Sequence[Time], each: int) -> str:
    """The median of the pieces of work, in processor time and wall time."""
    cpu, wall = (median(column) / each for column in zip(*times, strict=True))
    scale, unit = (1e6, "µs") if cpu < 1e-3 else (1e3, "ms") if cpu < 1 else (1, "s")
    return f"{cpu * scale:.3g} {unit} (wall {wall * scale:.3g})"


def surroundings(path: str | None = None) -> dict[str, str]:
    """The environment of a process that looks for modules in ``path`` first and keeps bytecode there.

    With most people other packages too are installed compiled, but not everywhere. Hashes of strings
    are the same in every run.
    """
    environment = {**os.environ, "PYTHONHASHSEED": "0"}
    if path is not None:
        environment |= {"PYTHONPATH": path, "PYTHONPYCACHEPREFIX": str(Path(path) / "bytecode")}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
    return environment


def process(
    *arguments: str, stdin: str = "", path: str | None = None
) -> subprocess.CompletedProcess[str]:
    """Run this Python with arguments, as a whole process, in these surroundings."""
    return subprocess.run(
        [sys.executable, *arguments],
        input=stdin,
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        env=surroundings(path),
    )


COMMAND = "from gridassay.verify.cli import main; main()"
"""The command line as a program of Python."""


@contextmanager
def installed() -> Iterator[Path]:
    """A folder with the package laid out as an ordinary install has it.

    The finder of an editable install takes time that users do not spend.
    """
    with tempfile.TemporaryDirectory() as folder:
        for part in ("encodings", "verify"):
            copytree(ROOT / part, Path(folder) / "gridassay" / part)
        process("-c", COMMAND, "rules", path=folder)
        yield Path(folder)


def peak_megabytes(code: str) -> float:
    """The peak resident memory of a fresh process that runs some code."""
    tail = "\nfrom benchmarks.measure import peak_of_this_process as peak; print(peak())"
    finished = process("-c", code + tail)
    if finished.returncode:
        raise RuntimeError(finished.stderr)
    return float(finished.stdout.split()[-1])
