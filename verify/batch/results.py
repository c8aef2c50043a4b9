"""The results file of a batch: one JSON object per line, each whole, by one batch
at a time.

Each row has ``row``, a digest of the rest, so that a row changed since it was written is
noticed. A puzzle has one row, so that a second one is noticed too.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import ModuleType
from typing import Any, BinaryIO

Result = dict[str, Any]

fcntl: ModuleType | None
try:
    import fcntl
except ImportError:  # a system without such locks
    fcntl = None


class BatchError(Exception):
    """A batch cannot go on; the message is one clear line."""


def with_digest(result: Result) -> Result:
    """The result with the digest of its row."""
    return {**result, "row": _digest(result)}


def _digest(result: Result) -> str:
    """The content of a row, without who answered it and how long that took."""
    said = {key: of for key, of in result.items() if key not in ("row", "seconds", "engine")}
    text = json.dumps(said, ensure_ascii=False, sort_keys=True)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:12]


class ResultsFile:
    """A file of results that is open, and locked, for one batch."""

    def __init__(self, path: Path, file: BinaryIO) -> None:
        self._path, self._file = path, file

    def earlier(self) -> Iterator[Result]:
        """The results of earlier runs. A last line that was cut short is removed.

        Raises BatchError if a row is malformed, was changed, or is the second one of its puzzle.
        """
        self._file.seek(0)
        whole = 0
        sources: dict[str, int] = {}
        for number, line in enumerate(self._file, start=1):
            if not line.endswith(b"\n"):
                break
            result = self._read(line, number)
            source = result["source"]
            if source in sources:
                raise BatchError(
                    f"{self._path}:{number}: {source} has a result in line {sources[source]} already; "
                    "remove one of them, or start again"
                )
            sources[source] = number
            whole += len(line)
            yield result
        self._file.truncate(whole)

    def _read(self, line: bytes, number: int) -> Result:
        try:
            result = json.loads(line)
            is_row = isinstance(result["source"], str) and isinstance(result["input"], str)
        except (ValueError, KeyError, TypeError, RecursionError):
            is_row = False
        if not is_row:
            raise BatchError(f"{self._path}:{number}: this is not a file of results")
        if result.get("row") != _digest(result):
            raise BatchError(
                f"{self._path}:{number}: this row was changed after it was written; "
                "remove it and its puzzle is checked again"
            )
        return dict(result)

    def add(self, results: Iterable[Result]) -> None:
        """Write results at once, one row each."""
        rows = "".join(json.dumps(result, ensure_ascii=False) + "\n" for result in results)
        self._file.write(rows.encode("utf-8", "surrogateescape"))
        self._file.flush()


@contextmanager
def results_file(path: Path) -> Iterator[ResultsFile]:
    """Open a file of results for this batch alone; made new if there is none.

    Raises BatchError if another batch is writing to it, OSError if it cannot be opened. A file
    that is still empty is removed again if an error ends the block.
    """
    file = path.open("a+b")
    try:
        if fcntl:
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                raise BatchError(f"{path}: another batch is writing to it") from None
            except OSError:  # a file system without locks
                pass
        try:
            yield ResultsFile(path, file)
        except Exception:
            if path.is_file() and path.stat().st_size == 0:
                path.unlink()
            raise
    finally:
        with suppress(OSError):  # reported already: there was no room for the last write
            file.close()
