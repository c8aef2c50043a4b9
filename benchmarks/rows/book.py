"""A book: checked from nothing and again, set as a PDF, and the memory that takes over its length.

Processor time, since the machine is shared: two workers at best share it, so that 20 s by two workers are
40 s of processor time. Seconds are those of the yardstick machine of docs/benchmarks.md.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from benchmarks.corpora import lines
from benchmarks.measure import Measured, Row, peak_megabytes, seconds, spread
from gridassay.verify.book.checking import Asking
from gridassay.verify.book.making import book_style, find_out, set_pages, write_book
from gridassay.verify.book.reading import read_book
from gridassay.verify.book.record import Record, record_path
from gridassay.verify.book.results import check_book

CHECK = """
from gridassay.verify.book.reading import read_book
from gridassay.verify.book.record import Record, record_path
from gridassay.verify.book.results import check_book
path = {path!r}
with Record(record_path(path)) as record:
    check_book(read_book(path, record.facts), record)
"""
MAKE = """
from pathlib import Path
from gridassay.verify.book.checking import Asking
from gridassay.verify.book.making import book_style, find_out, set_pages, write_book
from gridassay.verify.book.reading import read_book
from gridassay.verify.book.record import Record, record_path
path = {path!r}
with Record(record_path(path)) as record:
    book = read_book(path, record.facts)
    find_out(book, record, Asking())
    write_book(set_pages(book, record, book_style(book), 10.0), Path(path + ".pdf"))
"""


@contextmanager
def _shelf(number: int) -> Iterator[str]:
    """A book of so many easy classics, a file each, no two the same in disguise."""
    with tempfile.TemporaryDirectory() as folder:
        for place, line in enumerate([*lines("easy9"), *lines("hard9")][:number]):
            name = Path(folder) / f"p{place:03d}.toml"
            name.write_text(f'title = "Quay {place}"\ncredit = "Old Hask"\ngivens = """{line}"""\n')
        path = Path(folder) / "book.toml"
        path.write_text('title = "Quays"\n[[chapter]]\npuzzles = ["p*.toml"]\n')
        yield str(path)


def _check(path: str) -> None:
    with Record(record_path(path)) as record:
        if not check_book(read_book(path, record.facts), record).ok:
            raise AssertionError("a puzzle of the book is not as wanted")


def _make(path: str) -> None:
    with Record(record_path(path)) as record:
        book = read_book(path, record.facts)
        find_out(book, record, Asking())
        write_book(set_pages(book, record, book_style(book), 10.0), Path(f"{path}.pdf"))


def from_nothing(quick: bool) -> Measured:
    """Processor seconds of a first check of 200 classics; when quick of 40, times five."""
    number = 40 if quick else 200
    with _shelf(number) as path:
        taken = seconds(lambda: _check(path))
    note = f"{number} puzzles, {taken.wall:.1f} s by one process"
    return spread([taken.cpu * 200 / number], note)


def again(quick: bool) -> Measured:
    """Processor time of a second check over that of the first."""
    number = 40 if quick else 200
    with _shelf(number) as path:
        first = seconds(lambda: _check(path))
        rounds = [seconds(lambda: _check(path)) for _ in range(3)]
    note = f"{number} puzzles, {min(one.cpu for one in rounds):.2f} s after {first.cpu:.1f} s"
    return spread([one.cpu / first.cpu for one in rounds], note)


def printed(quick: bool) -> Measured:
    """Processor seconds of the PDF of 40 puzzles with answers, from nothing."""
    with _shelf(40) as path:
        taken = seconds(lambda: _make(path))
    return spread([taken.cpu], f"{taken.wall:.1f} s of wall time")


def memory(code: str, quick: bool) -> Measured:
    """Peak memory of a book of 400 puzzles over that of one of 40."""
    peaks = []
    for number in (40, 120 if quick else 400):
        with _shelf(number) as path:
            peaks.append(peak_megabytes(code.format(path=path)))
    note = f"{peaks[1]:.0f} MB against {peaks[0]:.0f} MB"
    return spread([peaks[1] / peaks[0]], note)


ROWS = (
    Row(25, "book of 200 classics checked, processor time", "at most", 40, "s", from_nothing),
    Row(25, "the same book checked again, over the first time", "at most", 0.05, "×", again),
    Row(25, "PDF of 40 classics with answers, processor time", "at most", 10, "s", printed),
    Row(25, "memory of a check, 400 puzzles over 40", "at most", 1.3, "×", partial(memory, CHECK)),
    Row(25, "memory of a PDF, 400 puzzles over 40", "at most", 1.3, "×", partial(memory, MAKE)),
)
