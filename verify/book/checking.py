"""Checking a book: each puzzle is asked what its requirements call for, and compared with them.

Known answers come from the record. The rest is asked as a batch asks it, by this process or by
workers, and each answer is kept at once, so that a check that was stopped goes on from there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Literal

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.writing import puzzle_text
from gridassay.verify.batch.asking import PARTS, Answered, Questions
from gridassay.verify.batch.run import answers_to
from gridassay.verify.book.certificates import certificate_file, certificate_state
from gridassay.verify.book.contents import Book, Entry
from gridassay.verify.book.record import Record
from gridassay.verify.book.wants import Held, hold, parts_for
from gridassay.verify.budget import DEFAULT_SECONDS, OutOfTime
from gridassay.verify.kin.catalogue import Catalogue
from gridassay.verify.saving import save

Answers = Mapping[str, Any]
State = Literal["current", "old", "none"]


@dataclass(frozen=True)
class Row:
    """One puzzle of a book with the answers about it.

    ``level`` is None if it is open. ``techniques`` are those of its route, as far as it is known,
    and ``whole`` tells whether the route reaches the end. ``fault`` is an internal fault of
    gridassay.
    """

    entry: Entry
    verdict: str
    level: str | None
    techniques: tuple[str, ...]
    whole: bool
    held: tuple[Held, ...]
    certificate: State
    certificate_hash: str | None
    warnings: tuple[str, ...] = ()
    fault: str = ""

    @property
    def ok(self) -> bool:
        """Whether it meets all its requirements."""
        return not self.fault and all(one.result == "met" for one in self.held)

    @property
    def open(self) -> bool:
        """Whether it fails no requirement, but one is not decided."""
        results = {one.result for one in self.held}
        return not self.fault and "open" in results and "not met" not in results

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        entry = self.entry
        found: dict[str, Any] = {
            "number": entry.number,
            "source": entry.source,
            "title": entry.title,
            "verdict": self.verdict,
            "level": self.level,
            "route": "whole" if self.whole else "open",
            "techniques": list(self.techniques),
            "wants": [one.to_json() for one in self.held],
            "certificate": self.certificate,
        }
        if self.certificate_hash:
            found["sha256"] = self.certificate_hash
        if self.warnings:
            found["warnings"] = list(self.warnings)
        if self.fault:
            found |= {"error": self.fault, "fault": True}
        return found


@dataclass
class Asking:
    """How a book is checked: the budget per puzzle, the workers, and who is told of progress.

    ``routes`` asks for the route of every puzzle, whether a want calls for it or not. Certificates go
    into the folder ``certificates``, if there is one.
    """

    budget: float = DEFAULT_SECONDS
    executor: Executor | None = None
    window: int = 8
    routes: bool = True
    certificates: Path | None = None
    begin: Callable[[int], None] = field(default=lambda count: None)
    step: Callable[[], None] = field(default=lambda: None)


def ask_all(book: Book, record: Record, asking: Asking) -> dict[str, str]:
    """Ask each puzzle what is not known yet, and keep the answers.

    Returns the faults, by the puzzle's text.

    Raises PuzzleError if a file cannot be written.
    """
    jobs = list(_jobs(book, record, asking))
    asking.begin(len(jobs))
    work = (([entry.piece], questions) for entry, questions in jobs)
    found = answers_to(work, asking.executor, asking.window)
    faults: dict[str, str] = {}
    for (entry, questions), (one,) in zip(jobs, found, strict=True):
        if "error" in one.result:
            faults[entry.digest] = str(one.result["error"])
        else:
            _keep(record, entry, questions, one)
            if asking.certificates is not None and one.certificate:
                _write(asking.certificates, entry, one.certificate)
        asking.step()
    return faults


def _jobs(book: Book, record: Record, asking: Asking) -> Iterator[tuple[Entry, Questions]]:
    """Each puzzle with open questions; equal texts only once."""
    any_fresh = any(entry.wants.fresh for entry in book.entries)
    asked: dict[str, set[str]] = {}
    for entry in book.entries:
        wanted = ["verdict", *parts_for(entry.wants, told=asking.routes)]
        if any_fresh and "form" not in wanted:
            wanted.append("form")
        digest = entry.digest
        missing = [
            part
            for part in wanted
            if part not in asked.get(digest, ())
            and (
                not record.is_settled(digest, part, asking.budget)
                or (part == "certify" and _to_be_written(entry, asking))
            )
        ]
        asked.setdefault(digest, set()).update(missing)
        needs = [
            name
            for name in entry.wants.needs
            if not record.is_settled(digest, f"needs {name}", asking.budget)
        ]
        if missing or needs:
            parts = tuple(part for part in missing if part != "verdict")
            first = Questions(asking.budget, parts, needs[0] if needs else None)
            yield entry, first
            for name in needs[1:]:
                yield entry, replace(first, parts=(), needs=name, warn=False)


def _to_be_written(entry: Entry, asking: Asking) -> bool:
    folder = asking.certificates
    return folder is not None and not (folder / certificate_file(entry.source)).exists()


def _write(folder: Path, entry: Entry, data: bytes) -> None:
    out = folder / certificate_file(entry.source)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        save(out, data)
    except OSError as error:
        raise PuzzleError(
            f"cannot be written: {(error.strerror or str(error)).lower()}", str(out)
        ) from None


def _keep(record: Record, entry: Entry, questions: Questions, one: Answered) -> None:
    result = dict(one.result)
    ran_out = {*result.pop("ran_out", ())}
    answers: dict[str, Any] = {part: result.pop(part, None) for part in questions.parts}
    if questions.needs:
        answers[f"needs {questions.needs}"] = result.pop("wanted", None)
    for key in ("source", "title", "seconds", "input", "wanted", *PARTS):
        result.pop(key, None)
    if questions.warn:
        answers["verdict"] = result
    if result["verdict"] == "undecided":
        ran_out.add("verdict")
    if "needs" in ran_out:
        ran_out.add(f"needs {questions.needs}")
    record.keep(entry.digest, answers, dict.fromkeys(ran_out, questions.budget))


def known_answers(record: Record, entry: Entry) -> dict[str, Any]:
    """All that the record has on a puzzle, whatever its budget was."""
    parts = ("verdict", "route", "form", "wasted", "certify")
    named = (*parts, *(f"needs {name}" for name in entry.wants.needs))
    return {part: record.answer_to(entry.digest, part) for part in named}


def rows_of(
    book: Book,
    record: Record,
    asking: Asking,
    faults: Mapping[str, str],
    catalogue: str | None = None,
) -> tuple[list[Row], list[list[Entry]]]:
    """Every puzzle compared with its requirements, and the groups of puzzles that are kin.

    Raises PuzzleError if the catalogue cannot be read.
    """
    members: dict[str, list[Entry]] = {}
    for entry in book.entries:
        form = record.answer_to(entry.digest, "form")
        if form is not None:
            members.setdefault(form["form"], []).append(entry)
    groups = [group for group in members.values() if len(group) > 1]
    twins: dict[int, list[str]] = {}
    for group in groups:
        for entry in group:
            twins[entry.number] = [other.number_and_title for other in group if other is not entry]
    if catalogue is not None:
        _search(book, catalogue, twins, asking)
    rows = [_row(record, entry, twins, faults, asking) for entry in book.entries]
    return rows, groups


def _search(book: Book, path: str, twins: dict[int, list[str]], asking: Asking) -> None:
    """Add the puzzles of a catalogue that are these in disguise. The catalogue is not changed."""
    try:
        # Renewing its forms may take long, and no puzzle should pay for it.
        with Catalogue(path, looking=True, budget=60 * asking.budget) as kept:
            for entry in book.entries:
                if not entry.wants.fresh:
                    continue
                puzzle = entry.puzzle()
                own = puzzle_text(puzzle)
                found = kept.search(puzzle, budget=asking.budget)
                twins.setdefault(entry.number, []).extend(
                    f"entry {match.entry.number} of the catalogue, "
                    f"{match.entry.title or match.entry.source}"
                    for match in found.kin
                    if match.entry.text != own
                )
    except OutOfTime:
        raise PuzzleError("it was not searched within the budget", path) from None


def _row(
    record: Record,
    entry: Entry,
    twins: Mapping[int, Sequence[str]],
    faults: Mapping[str, str],
    asking: Asking,
) -> Row:
    fault = faults.get(entry.digest, "")
    answers = known_answers(record, entry)
    if answers["verdict"] is None:
        return Row(entry, "undecided", None, (), False, (), "none", None, (), fault)
    route = answers["route"] or {}
    state, digest = certificate_state(entry, record, asking.certificates)
    others = None if answers["form"] is None else tuple(twins.get(entry.number, ()))
    return Row(
        entry,
        answers["verdict"]["verdict"],
        route.get("level"),
        tuple(route.get("techniques", ())),
        bool(route.get("solved")),
        tuple(hold(entry.wants, answers, twins=others, certificate=state)),
        state,
        digest,
        tuple(answers["verdict"].get("warnings", ())),
        fault,
    )
