"""Many puzzles: the same questions for each, by one process or several, resumed after a stop.

Work is handed out in chunks of pieces of files, which each worker reads for itself, to anything shaped
like an executor of ``concurrent.futures``: a pool of processes here, or a Dask client's. Results are
JSON objects, one per line, written as they are known. A line is a finished result, so a run killed at
any moment continues where it stopped.
"""

from __future__ import annotations

import hashlib
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass, field, replace
from glob import glob, has_magic
from importlib.util import find_spec
from itertools import islice
from pathlib import Path
from time import perf_counter

from gridassay.encodings.files import FilePart, pieces
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.batch.asking import Answered, Questions, Result, ask, load
from gridassay.verify.batch.results import BatchError, results_file, with_digest
from gridassay.verify.counting.verdict import Verdict
from gridassay.verify.faults import fault_words
from gridassay.verify.saving import save
from gridassay.verify.words import quantity

SUFFIXES = (".toml", ".txt")
"""What is taken from a folder."""
NOT_PUZZLES = ("pyproject.toml", "requirements.txt", "LICENSE.txt")
"""Files of other kinds that stand in folders beside puzzles."""

_CHUNK_LINES = 200
_CHUNK_LINES_OF_MORE = 4
"""So few where more is asked than verdicts: results are to be seen, and kept, as they come."""


@dataclass(frozen=True)
class Summary:
    """Counts over all results, those of earlier runs included."""

    verdicts: Mapping[str, int] = field(default_factory=dict)
    met: int = 0
    wanted: int = 0
    ran_out: int = 0
    warned: int = 0
    resumed: int = 0
    seconds: float = 0.0

    @property
    def total(self) -> int:
        """How many puzzles have results, bad ones included."""
        return sum(self.verdicts.values())

    def plus(self, result: Result) -> Summary:
        """The counts with one more result."""
        verdict = "fault" if result.get("fault") else result.get("verdict", "bad input")
        return replace(
            self,
            verdicts={**self.verdicts, verdict: self.verdicts.get(verdict, 0) + 1},
            met=self.met + bool(result.get("met")),
            wanted=self.wanted + bool(result.get("wanted")),
            ran_out=self.ran_out + ("ran_out" in result),
            warned=self.warned + bool(result.get("warnings")),
        )

    def words(self) -> str:
        """The counts in one line: ``12 puzzles: 10 unique, 1 multiple, 1 bad input``."""
        order = ("unique", "multiple", "none", "undecided", "bad input", "fault")
        parts = ", ".join(
            f"{self.verdicts[name]} {name}" for name in order if name in self.verdicts
        )
        return quantity(self.total, "puzzle") + (f": {parts}" if parts else "")

    def to_json(self) -> Result:
        """Plain counts."""
        return {
            "puzzles": self.total,
            "verdicts": dict(self.verdicts),
            "met": self.met,
            "wanted": self.wanted,
            "ran_out": self.ran_out,
            "warned": self.warned,
            "resumed": self.resumed,
            "seconds": round(self.seconds, 3),
        }


def find_files(names: Iterable[str]) -> Iterator[str]:
    """The files meant by names of files, folders and patterns; those of a folder in the order of names.

    A file that is named twice is read once.
    """
    yield from dict.fromkeys(_every_file(names))


def _every_file(names: Iterable[str]) -> Iterator[str]:
    for name in names:
        path = Path(name)
        if path.is_dir():
            yield from map(str, sorted(_inside(path)))
        elif has_magic(name) and not path.exists():
            yield from sorted(glob(name, recursive=True)) or [name]  # noqa: PTH207  (Path.glob takes no absolute pattern)
        else:
            yield name


def _inside(folder: Path) -> Iterator[Path]:
    """The puzzle files in a folder at any depth, and the folders in it that cannot be read.

    Such a folder, opened as a file, gives a row that says why.
    """
    shut: list[OSError] = []
    for place, _, names in os.walk(folder, onerror=shut.append):
        for name in names:
            file = Path(place, name)
            if file.suffix in SUFFIXES and name not in NOT_PUZZLES:
                yield file
    yield from (Path(error.filename) for error in shut)


def count_puzzles(files: Iterable[str]) -> int | None:
    """How many results the files will give, bad ones included; None if one cannot be read twice."""
    total = 0
    for file in files:
        if file == "-" or (Path(file).exists() and not Path(file).is_file()):
            return None
        for piece in pieces(file):
            total += 1 if isinstance(piece, PuzzleError) else piece.puzzles
    return total


def answer(chunk: Sequence[FilePart], questions: Questions) -> list[Answered]:
    """The results of every puzzle in a chunk, in order. Runs in a worker."""
    load(questions)
    read = [list(piece.read()) for piece in chunk]
    wanted = [puzzle for some in read for puzzle in some if isinstance(puzzle, Puzzle)]
    quick = iter(_quick_verdicts(wanted))
    results = []
    for piece, puzzles in zip(chunk, read, strict=True):
        for puzzle, text in zip(puzzles, _texts(piece, puzzles), strict=True):
            if isinstance(puzzle, PuzzleError):
                one = Answered({"source": puzzle.source, "error": puzzle.message})
            else:
                known = next(quick)
                try:
                    if isinstance(known, Exception):
                        raise known
                    one = ask(puzzle, text, known, questions)
                except Exception as error:
                    # The row says so, and the others go on.
                    said = fault_words(error, puzzle.source)
                    one = Answered({"source": puzzle.source, "error": said, "fault": True})
            one.result["input"] = _digest(text, questions)
            results.append(one)
    return results


def _quick_verdicts(puzzles: Sequence[Puzzle]) -> Sequence[Verdict | Exception | None]:
    """The puzzles that the compiled search of the extra ``bulk`` decides, if it is installed.

    If it is at fault, the puzzle has the exception in the place of a verdict.
    """
    if find_spec("numba") is None:
        return [None] * len(puzzles)
    from gridassay.verify.counting.classic import bulk_verdicts

    try:
        return bulk_verdicts(puzzles)
    except Exception as error:
        if len(puzzles) == 1:
            return [error]
        return [one for puzzle in puzzles for one in _quick_verdicts([puzzle])]


def _texts(piece: FilePart, puzzles: Sequence[Puzzle | PuzzleError]) -> list[str]:
    """The source text of each puzzle of a piece."""
    if piece.document is not None:
        return [piece.document]
    texts = [line for _, line in piece.block]
    return ["\n".join(texts)] if len(puzzles) < len(texts) else texts


def _digest(text: str, questions: Questions) -> str:
    """Return a short hash of a puzzle and the questions: a result with the same one still holds."""
    asked = f"{text}\n\n{questions.key}" if questions.key else text
    return hashlib.sha256(asked.encode()).hexdigest()[:12]


def run_batch(
    files: Iterable[str],
    out: Path,
    *,
    questions: Questions | None = None,
    executor: Executor | None = None,
    window: int = 8,
    ordered: bool = True,
    resume: bool = False,
    certificates: Path | None = None,
    seen: Callable[[Result, Summary], None] = lambda result, summary: None,
) -> Summary:
    """Check every puzzle of the files and write the results to ``out``, one JSON object per line.

    With an executor at most ``window`` chunks are in progress at once; without one the work is done
    here. ``ordered`` keeps the order of the input, else results come as they are known. ``seen`` is
    called with each result. Certificates, if they are asked for, go into the folder
    ``certificates``. Raises BatchError if ``out`` exists and ``resume`` is not set, if a resumed
    input or its questions have changed, if existing results are doubled or were changed, if another
    batch is writing to ``out``, or if writing fails.
    """
    started = perf_counter()
    summary = Summary()
    asked = questions or Questions()
    if "certify" in asked.parts and certificates is None:
        raise BatchError("certificates need a folder")
    if out.exists() and not resume:
        raise BatchError(f"{out}: already exists; --resume continues it")
    most = _CHUNK_LINES_OF_MORE if asked.more else _CHUNK_LINES
    try:
        with results_file(out) as file:
            done = {}
            for result in file.earlier():
                done[result["source"]] = result["input"]
                summary = summary.plus(result)
            summary = replace(summary, resumed=len(done))
            chunks = _chunks(_left_to_do(files, done, asked), most)
            work = ((chunk, asked) for chunk in chunks)
            for answers in answers_to(work, executor, window, ordered=ordered):
                # Certificates first: once a result is written, all of it must be there.
                for one in answers:
                    if certificates is not None and one.certificate:
                        certificates.mkdir(parents=True, exist_ok=True)
                        save(certificates / one.result["certify"]["out"], one.certificate)
                results = [with_digest(one.result) for one in answers]
                file.add(results)
                for result in results:
                    summary = summary.plus(result)
                    seen(result, summary)
    except OSError as error:
        raise BatchError(
            f"{error.filename or out}: cannot be written: {(error.strerror or str(error)).lower()}"
        ) from None
    return replace(summary, seconds=perf_counter() - started)


def _left_to_do(
    files: Iterable[str], done: dict[str, str], questions: Questions
) -> Iterator[FilePart | PuzzleError]:
    """The pieces of the files, without the puzzles that are done."""
    for file in files:
        for piece in pieces(file):
            if not done:
                yield piece
            elif isinstance(piece, PuzzleError):
                if piece.source not in done:
                    yield piece
            else:
                yield from _without_done(piece, done, questions)


def _without_done(
    piece: FilePart, done: dict[str, str], questions: Questions
) -> Iterator[FilePart]:
    read = list(piece.read())
    for puzzle, text in zip(read, _texts(piece, read), strict=True):
        digest = _digest(text, questions)
        if done.get(puzzle.source, digest) != digest:
            raise BatchError(
                f"{puzzle.source}: the puzzle, or what is asked of it, "
                "has changed since its result was written"
            )
    fresh = [puzzle.source for puzzle in read if puzzle.source not in done]
    if len(fresh) == len(read):
        yield piece
    elif fresh and piece.document is None:
        # Only a block of a puzzle per line can be done in part.
        numbers = {int(source.rpartition(":")[2]) for source in fresh}
        yield piece.part(line for line in piece.block if line[0] in numbers)


def _chunks(
    found: Iterator[FilePart | PuzzleError], most: int
) -> Iterator[list[FilePart] | PuzzleError]:
    """Pieces gathered into work for one go: a document, or about ``most`` lines."""
    chunk: list[FilePart] = []
    for piece in found:
        if isinstance(piece, PuzzleError) or piece.document is not None:
            if chunk:
                yield chunk
                chunk = []
            yield piece if isinstance(piece, PuzzleError) else [piece]
            continue
        for part in piece.divided(most):
            chunk.append(part)
            if sum(len(one.block) for one in chunk) >= most:
                yield chunk
                chunk = []
    if chunk:
        yield chunk


Work = tuple[list[FilePart] | PuzzleError, Questions]
"""A chunk, or what could not be read, and what is asked of each puzzle in it."""


def answers_to(
    work: Iterator[Work], executor: Executor | None, window: int, *, ordered: bool = True
) -> Iterator[list[Answered]]:
    """The results of each chunk: worked on here or, ``window`` at once, by an executor.

    In the order of the work if it is ``ordered``, else as they come.
    """
    if executor is None:
        for chunk, questions in work:
            yield _unreadable(chunk) if isinstance(chunk, PuzzleError) else answer(chunk, questions)
        return
    waiting: deque[Future[list[Answered]]] = deque()

    def submit(one: Work) -> Future[list[Answered]]:
        chunk, questions = one
        if isinstance(chunk, PuzzleError):
            known: Future[list[Answered]] = Future()
            known.set_result(_unreadable(chunk))
            return known
        return executor.submit(answer, chunk, questions)

    waiting.extend(map(submit, islice(work, window)))
    while waiting:
        if ordered:
            ready = [waiting.popleft()]
        else:
            finished, _ = wait(waiting, return_when=FIRST_COMPLETED)
            ready = [future for future in waiting if future in finished]
            waiting = deque(future for future in waiting if future not in finished)
        for future in ready:
            yield future.result()
        waiting.extend(map(submit, islice(work, len(ready))))


def _unreadable(error: PuzzleError) -> list[Answered]:
    digest = hashlib.sha256(error.message.encode()).hexdigest()[:12]
    return [Answered({"source": error.source, "error": error.message, "input": digest})]
