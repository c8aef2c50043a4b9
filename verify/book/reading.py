"""Reading book files: names and patterns become numbered puzzles, and all errors are gathered."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from gridassay.encodings.files import FilePart, pieces
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.rule_words import meant
from gridassay.encodings.rules import kinds
from gridassay.verify.batch.run import find_files
from gridassay.verify.book.contents import Book, Chapter, Entry, Facts, digest_of, facts_of
from gridassay.verify.book.document import (
    BookDocument,
    BookRefused,
    ChapterDocument,
    PuzzleDocument,
    WantsDocument,
    beside,
    line_of,
    read_tables,
)
from gridassay.verify.book.wants import Wants, wants_of

SIZES = {"A4": (210.0, 297.0), "A5": (148.0, 210.0), "letter": (215.9, 279.4)}
"""Width and height of a page in millimetres: ISO 216, and North American letter paper."""
_LEAST_COLUMN = 60.0
"""The least width between the margins of a page, in millimetres."""


def read_book(path: str, known: Callable[[str], Facts | None] = lambda digest: None) -> Book:
    """Read a book and every puzzle of it.

    ``known`` gives the facts of a text that was read before. Raises BookRefused with all errors,
    one line each.
    """
    document, text = read_tables(path)
    reader = _Reader(path, text, known)
    book = reader.book(document)
    if reader.errors:
        raise BookRefused(reader.errors)
    return book


@dataclass
class _Found:
    """A puzzle found for a chapter, before it has a number."""

    source: str
    piece: FilePart
    text: str
    facts: Facts
    number: int | None = None
    wants: Wants | None = None
    title: str = ""
    credit: str = ""


class _Reader:
    """Reads a book and gathers its errors."""

    def __init__(self, path: str, text: str, known: Callable[[str], Facts | None]) -> None:
        self.path, self.text, self.known = path, text, known
        self.errors: list[PuzzleError] = []
        self._pieces: dict[str, list[tuple[str, FilePart, str]]] = {}
        self._found: dict[str, _Found] = {}
        self._unmeetable: set[str] = set()

    def book(self, document: BookDocument) -> Book:
        """The book; errors are added to ``errors``."""
        wants = self._wants(document.wants, "wants")
        for kind in document.wording:
            self._kind(kind, "wording")
        size = SIZES[document.page] if isinstance(document.page, str) else document.page
        width, height = size
        if min(width, height) - 2 * document.margin < _LEAST_COLUMN:
            self._wrong(
                f"margin: a page of {width:g} by {height:g} mm with margins of {document.margin:g} mm "
                f"leaves less than {_LEAST_COLUMN:g} mm",
                "margin",
            )
        style = None
        if document.style is not None:
            style = str(beside(self.path, document.style))
            self._style(document.style, style)
        members = [self._chapter(chapter, document.wants) for chapter in document.chapter]
        chapters = self._number(document, members, wants)
        return Book(
            self.path,
            document.title,
            document.credit,
            style,
            (width, height),
            document.margin,
            document.cell,
            document.answers,
            document.hints,
            document.walkthroughs,
            document.wording,
            chapters,
        )

    def _wrong(self, message: str, value: str = "") -> None:
        line = _key_line(self.text, value) or line_of(self.text, value) if value else None
        self.errors.append(PuzzleError(message, self.path, line))

    def _kind(self, kind: str, key: str) -> None:
        if kind not in kinds():
            self._wrong(f"{key}: there is no rule {kind!r}{meant(kind, kinds())}", kind)

    def _style(self, name: str, path: str) -> None:
        from gridassay.verify.draw.style_files import read_style

        try:
            read_style(path)
        except PuzzleError as error:
            if Path(path).exists():
                self.errors.append(error)
            else:
                self._wrong(f"style: there is no file {name}", name)

    def _wants(self, document: WantsDocument, where: str, at: str = "") -> Wants:
        wants, faults = wants_of(document.model_dump())
        for fault in faults:
            # A fault in the common requirements is told once.
            if fault not in self._unmeetable:
                self._unmeetable.add(fault)
                self._wrong(f"{where}: nothing can meet {fault}", at or fault.partition(":")[0])
        return wants

    def _chapter(self, chapter: ChapterDocument, wants: WantsDocument) -> list[_Found]:
        """The puzzles that have their first place in this chapter."""
        for kind in chapter.explains:
            self._kind(kind, "explains")
        fresh: list[_Found] = []
        for name in chapter.puzzles:
            fresh += self._find(name)
        for table in chapter.puzzle:
            fresh += self._with_table(table, wants)
        if not chapter.puzzles and not chapter.puzzle:
            self._wrong(f"chapter {chapter.title!r} has no puzzle", chapter.title)
        return fresh

    def _with_table(self, table: PuzzleDocument, wants: WantsDocument) -> list[_Found]:
        """A puzzle with a table of its own, which counts wherever the puzzle first appears."""
        fresh = self._find(table.file, single=True)
        found = fresh[0] if fresh else self._found.get(table.file)
        if found is not None:
            found.number, found.title, found.credit = table.number, table.title, table.credit
            said = table.wants.model_dump(exclude_unset=True)
            if said:
                both = wants.model_dump() | said
                found.wants = self._wants(
                    WantsDocument(**both), f"wants of {table.file}", table.file
                )
        return fresh

    def _find(self, name: str, *, single: bool = False) -> list[_Found]:
        """The puzzles that a name stands for and that have no place yet."""
        match = re.fullmatch(r"(.+):(\d+)(?:-(\d+))?", name)
        whole = match is None or beside(self.path, name).exists()
        file = name if whole or match is None else match[1]
        found: list[tuple[str, FilePart, str]] = []
        for one in self._files(file, name):
            found += self._read(one, name)
        if found and not whole and match is not None:
            first, last = int(match[2]), int(match[3] or match[2])
            found = [one for one in found if first <= _line_of(one[1]) <= last]
            if not found:
                where = f"line {first}" if first == last else f"lines {first} to {last}"
                self._wrong(f"there is no puzzle on {where} of {file}", name)
        if single and len(found) > 1:
            self._wrong(f"file: {name} holds {len(found)} puzzles; {name}:LINE is one", name)
            return []
        fresh = []
        for source, piece, text in found:
            if source in self._found:
                continue
            facts = self._facts(source, piece, text)
            if facts is not None:
                self._found[source] = _Found(source, piece, text, facts)
                fresh.append(self._found[source])
        return fresh

    def _files(self, file: str, name: str) -> list[str]:
        """The files that a name or pattern stands for, as the book names them."""
        folder = Path(self.path).parent
        path = folder / file
        if path.is_file():
            return [file]
        if path.is_dir():
            self._wrong(
                f"{name} is a folder; {file.rstrip('/')}/*.toml are the puzzles in it", name
            )
            return []
        if not any(letter in file for letter in "*?["):
            self._wrong(f"there is no file {file}", name)
            return []
        try:
            every = [one for one in find_files([str(path)]) if Path(one).is_file()]
        except (OSError, ValueError) as error:
            self._wrong(f"{name} is not a pattern: {error}", name)
            return []
        own = Path(self.path).resolve()
        files = [one for one in every if Path(one).resolve() != own and _may_be_puzzles(Path(one))]
        if not files:
            self._wrong(f"no file matches {file}", name)
        return [str(Path(one).relative_to(folder)) if folder != Path() else one for one in files]

    def _read(self, file: str, name: str) -> list[tuple[str, FilePart, str]]:
        """The puzzles of a file, each as source, piece and text."""
        if file not in self._pieces:
            found: list[tuple[str, FilePart, str]] = []
            for piece in pieces(str(beside(self.path, file))):
                if isinstance(piece, PuzzleError):
                    self.errors.append(piece)
                elif piece.document is not None:
                    found.append((file, piece, piece.document))
                elif piece.puzzles == 1:
                    text = "\n".join(line for _, line in piece.block)
                    found.append((f"{file}:{piece.block[0][0]}", piece, text))
                else:
                    found += [
                        (f"{file}:{line[0]}", piece.part([line]), line[1]) for line in piece.block
                    ]
            self._pieces[file] = found
        return self._pieces[file]

    def _facts(self, source: str, piece: FilePart, text: str) -> Facts | None:
        known = self.known(digest_of(text))
        if known is not None:
            return known
        puzzle = next(piece.read())
        if isinstance(puzzle, PuzzleError):
            self.errors.append(puzzle)
            return None
        return facts_of(puzzle)

    def _number(
        self, document: BookDocument, members: Sequence[Sequence[_Found]], wants: Wants
    ) -> tuple[Chapter, ...]:
        """The chapters with numbered puzzles; the numbers run on from one to the next."""
        number = document.number_from - 1
        taken: dict[int, str] = {}
        chapters = []
        for place, (chapter, found) in enumerate(zip(document.chapter, members, strict=True)):
            entries = []
            for one in found:
                number = number + 1 if one.number is None else one.number
                if number in taken:
                    self._wrong(
                        f"number {number} stands twice: {taken[number]} and {one.source}",
                        one.source,
                    )
                taken.setdefault(number, one.source)
                entries.append(
                    Entry(
                        number,
                        one.source,
                        one.piece,
                        one.text,
                        one.facts,
                        one.wants or wants,
                        place,
                        document.wording,
                        one.title,
                        one.credit,
                    )
                )
            chapters.append(Chapter(chapter.title, tuple(entries), tuple(chapter.explains)))
        return tuple(chapters)


def _line_of(piece: FilePart) -> int:
    """The line of its file on which it begins."""
    return piece.block[0][0] if piece.block else 1


def _may_be_puzzles(path: Path) -> bool:
    """Whether a file is neither a book nor a style, which lie beside puzzles and end as they do."""
    if path.suffix.lower() != ".toml":
        return True
    if path.name.endswith(".style.toml"):
        return False
    with path.open(encoding="utf-8", errors="replace") as file:
        return not re.search(r"^\s*\[\[\s*chapter\s*\]\]", file.read(), re.M)


def _key_line(text: str, key: str) -> int | None:
    """The first line of a file that begins with a key."""
    for number, line in enumerate(text.splitlines(), start=1):
        if re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", line):
            return number
    return None
