"""The result of checking a book, also for programs: JSON, JUnit XML, annotations."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element, ElementTree, SubElement

from gridassay.verify.book.checking import Asking, Row, ask_all, rows_of
from gridassay.verify.book.contents import Book, Entry
from gridassay.verify.book.document import line_of
from gridassay.verify.book.record import Record
from gridassay.verify.book.remarks import Problem, problems_of
from gridassay.verify.in_short import InShort
from gridassay.verify.safe_text import printable
from gridassay.verify.saving import saving
from gridassay.verify.solving.levels import GROUPS
from gridassay.verify.words import quantity


@dataclass(frozen=True)
class BookCheck(InShort):
    """Every puzzle of a book with its answers, and the problems of the book."""

    book: Book
    rows: tuple[Row, ...]
    duplicates: tuple[tuple[Entry, ...], ...]
    problems: tuple[Problem, ...]

    def in_short(self) -> str:
        """How many puzzles meet their requirements."""
        met = sum(row.ok for row in self.rows)
        return f"{quantity(len(self.rows), 'puzzle')}, {met} as wanted, " + quantity(
            len(self.problems), "problem"
        )

    @property
    def ok(self) -> bool:
        """Whether every puzzle meets all its requirements."""
        return all(row.ok for row in self.rows)

    @property
    def first_needed(self) -> dict[str, Entry]:
        """The first puzzle, in the order of the book, whose route uses each technique."""
        found: dict[str, Entry] = {}
        for row in self.rows:
            for name in row.techniques:
                found.setdefault(name, row.entry)
        return found

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract, and where techniques and rules first appear."""
        return {
            "title": self.book.title,
            "source": self.book.path,
            "ok": self.ok,
            "puzzles": [row.to_json() for row in self.rows],
            "duplicates": [[entry.source for entry in group] for group in self.duplicates],
            "problems": [problem.to_json() for problem in self.problems],
            "first_needed": {name: entry.number for name, entry in self.first_needed.items()},
        }


def check_book(
    book: Book, record: Record, asking: Asking | None = None, *, catalogue: str | None = None
) -> BookCheck:
    """Check a book: ask its puzzles what is not known yet, and compare each with its requirements.

    The record keeps the answers and the present order of the puzzles. Raises PuzzleError if the
    record or the catalogue cannot be used.
    """
    asked = asking or Asking()
    stood = record.last_order()
    record.keep_facts({entry.digest: entry.facts for entry in book.entries})
    faults = ask_all(book, record, asked)
    rows, groups = rows_of(book, record, asked, faults, catalogue)
    problems = problems_of(book, rows, groups, stood, asked.budget)
    found = BookCheck(book, tuple(rows), tuple(map(tuple, groups)), tuple(problems))
    record.keep_order(
        {entry.source: (entry.number, entry.digest, entry.title) for entry in book.entries}
    )
    return found


def levels_row(found: BookCheck) -> str:
    """The levels of the puzzles, in order, as a row of bars; a dot stands for an open level."""
    bars = "▁▂▃▄▅▆▇█"
    return "".join(
        "·" if row.level is None else bars[min(GROUPS.index(row.level), len(bars) - 1)]
        for row in found.rows
    )


def write_junit(found: BookCheck, out: Path) -> None:
    """The check as JUnit XML, one test case per puzzle.

    A requirement that is not met, or is open, fails.
    """
    suite = Element("testsuite", name=f"gridassay book {printable(found.book.title)}")
    failures = errors = 0
    for row in found.rows:
        case = SubElement(
            suite,
            "testcase",
            classname="gridassay.book",
            name=printable(row.entry.number_and_title),
            file=printable(row.entry.source.rpartition(":")[0] or row.entry.source),
        )
        if row.fault:
            errors += 1
            SubElement(case, "error", message=printable(row.fault))
            continue
        missed = [
            f"{one.said} is wanted: {'open, ' if one.result == 'open' else ''}{one.found}"
            for one in row.held
            if one.result != "met"
        ]
        if missed:
            failures += 1
            SubElement(case, "failure", message=printable("; ".join(missed)))
    suite.set("tests", str(len(found.rows)))
    suite.set("failures", str(failures))
    suite.set("errors", str(errors))
    with saving(out) as part:
        ElementTree(suite).write(part, encoding="utf-8", xml_declaration=True)


def github_lines(found: BookCheck, text: str) -> Iterator[str]:
    """The problems as annotations of a GitHub workflow, at the line of the book that names the puzzle.

    The form is that of GitHub's documentation, "Workflow commands for GitHub Actions".
    """
    kinds = {"wrong": "error", "open": "warning", "note": "notice"}
    for problem in found.problems:
        where = f"file={_property(found.book.path)}"
        line = problem.entry and line_of(text, problem.entry.source)
        if line:
            where += f",line={line}"
        said = _message(f"{problem.where}: {problem.what}")
        yield f"::{kinds[problem.weight]} {where},title=gridassay book::{said}"


def _message(text: str) -> str:
    return printable(text).replace("%", "%25")


def _property(text: str) -> str:
    return _message(text).replace(":", "%3A").replace(",", "%2C")
