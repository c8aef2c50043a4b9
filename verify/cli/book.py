"""``gridassay book``: begin a collection of puzzles, check it, make its pages, compare two versions."""

from __future__ import annotations

import json
from collections.abc import Iterator
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.batch.results import BatchError
from gridassay.verify.book.document import BookRefused
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    LOOKS,
    SHOWN,
    WRITTEN,
    Budget,
    answering,
    check_ending,
    say,
    stop,
    writing,
)
from gridassay.verify.cli.ending import BAD_INPUT, FAULT, NOT_UNIQUE, UNDECIDED
from gridassay.verify.cli.telling import ExitCode, code_of, fail, print_json, tell
from gridassay.verify.cli.workers import Dask, Workers, executor_of
from gridassay.verify.saving import save
from gridassay.verify.words import quantity

if TYPE_CHECKING:
    from gridassay.verify.book.contents import Entry

book = typer.Typer(
    help="Keep a collection of puzzles sound: start a book, check it, make its pages.",
    invoke_without_command=True,
    no_args_is_help=True,
)
BookFile = Annotated[str, typer.Argument(metavar="BOOK", help="A book file; see docs/book.md.")]
OneObject = Annotated[
    bool, typer.Option("--json", help="Print one JSON object.", rich_help_panel=SHOWN)
]


@book.callback()
def _book(
    schema: Annotated[
        bool, typer.Option("--schema", help="Print the JSON Schema of book files.")
    ] = False,
) -> None:
    if schema:
        from gridassay.verify.book.document import book_schema

        print(json.dumps(book_schema(), indent=2))
        raise typer.Exit


@book.command("new")
def new(
    folder: Annotated[str, typer.Argument(metavar="DIR", help="A folder of puzzle files.")],
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            "-o",
            metavar="BOOK",
            help="Write the book to this file, not to DIR/book.toml.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
) -> None:
    """Start a book file that lists every puzzle in a folder, one chapter per folder."""
    from gridassay.verify.book.starting import new_book

    file = out or Path(folder) / "book.toml"
    with _answering():
        check_ending(file, (".toml", ".book"), "a book")
        if file.exists():
            stop(f"{file}: already exists; -o names another file")
        text, count = new_book(folder, file)
        with writing(file):
            save(file, text)
    say(f"{file}: a book of {count} puzzles; gridassay book check {file} is next")


@book.command("check")
def check(
    file: BookFile,
    catalogue: Annotated[
        str | None,
        typer.Option(
            metavar="FILE.sqlite",
            help="Look for each puzzle in this catalogue; nothing is added to it.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    as_json: OneObject = False,
    github: Annotated[
        bool,
        typer.Option(
            "--github", help="Print annotations for a GitHub workflow.", rich_help_panel=SHOWN
        ),
    ] = False,
    certificates: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER", help="Write certificates to this folder.", rich_help_panel=WRITTEN
        ),
    ] = None,
    page: Annotated[
        Path | None,
        typer.Option(
            "--page",
            metavar="OUT",
            help="Write a page to print: .html or .pdf.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    junit: Annotated[
        Path | None,
        typer.Option(
            "--junit", help="Write JUnit XML to this file, for CI.", rich_help_panel=WRITTEN
        ),
    ] = None,
    budget: Budget = BUDGET,
    workers: Workers = 1,
    dask: Dask = None,
) -> None:
    """Check every puzzle, and the book as a whole, against the requirements.

    The results are kept next to the book, and only what changed is checked
    again.

    Exit code: 0 if all requirements are met, 1 if one is not, 2 for bad
    input, 3 if something is undecided.
    """
    from gridassay.verify.book.checking import Asking
    from gridassay.verify.book.reading import read_book
    from gridassay.verify.book.record import Record, record_path
    from gridassay.verify.book.results import check_book, github_lines, write_junit
    from gridassay.verify.cli.show_book import PuzzleBar, show_check

    with _answering(as_json=as_json, file=file):
        if page is not None:
            check_ending(page, (".html", ".pdf"), "a page")
        with Record(record_path(file)) as record, PuzzleBar() as bar:
            found = read_book(file, record.facts)
            with executor_of(workers, dask) as executor:
                asking = Asking(budget, executor, 4 * workers if dask is None else 64)
                asking.certificates = certificates
                asking.begin, asking.step = bar.begin, bar.step
                checked = check_book(found, record, asking, catalogue=catalogue)
        if page is not None:
            from gridassay.verify.book.check_page import write_check_page

            with writing(page):
                write_check_page(checked, page)
        if junit is not None:
            with writing(junit):
                write_junit(checked, junit)
    if as_json:
        print_json(checked.to_json())
    else:
        show_check(checked, budget)
    if github:
        for line in github_lines(checked, Path(file).read_text("utf-8")):
            print(line)
    code = ExitCode()
    for row in checked.rows:
        if row.fault:
            code.add(FAULT)
        elif not row.ok:
            code.add(UNDECIDED if row.open else NOT_UNIQUE)
    raise typer.Exit(code.code)


@book.command("make")
def make(
    file: BookFile,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            "-o",
            metavar="OUT",
            help="Write the book to this .pdf file, or pages for the web to this folder.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    bleed: Annotated[
        float,
        typer.Option(
            "--bleed",
            min=0,
            max=20,
            metavar="MM",
            help="Make the pages this much larger on all sides, with trim marks.",
            rich_help_panel=LOOKS,
        ),
    ] = 0.0,
    pictures: Annotated[
        Path | None,
        typer.Option(
            "--pictures",
            metavar="DIR",
            help="Write each grid and each answer to this folder, for another layout.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    budget: Budget = BUDGET,
    workers: Workers = 1,
    dask: Dask = None,
) -> None:
    """Make the pages of a book: a PDF, a folder for the web, or pictures.

    Exit code: 0 if every puzzle has the answer printed with it, 1 if a puzzle
    does not have one solution, 2 for bad input, 3 if an answer was not found
    in time.
    """
    from gridassay.verify.book.checking import Asking
    from gridassay.verify.book.edition import write_edition
    from gridassay.verify.book.loose import write_loose
    from gridassay.verify.book.making import book_style, find_out, known_in, set_pages, write_book
    from gridassay.verify.book.parts import LATE, no_answer
    from gridassay.verify.book.reading import read_book
    from gridassay.verify.book.record import Record, record_path
    from gridassay.verify.cli.show_book import PuzzleBar

    with _answering(file=file):
        if out is None and pictures is None:
            stop("-o OUT is where the pages go; --pictures DIR where pictures do")
        if out is not None and out.suffix.lower() not in ("", ".pdf"):
            stop(f"{out}: a book is a .pdf file or a folder")
        if bleed and (out is None or not out.suffix):
            stop("--bleed is for a .pdf file")
        with Record(record_path(file)) as record, PuzzleBar() as bar:
            found = read_book(file, record.facts)
            style = book_style(found)
            with executor_of(workers, dask) as executor:
                asking = Asking(budget, executor, 4 * workers if dask is None else 64)
                asking.begin, asking.step = bar.begin, bar.step
                find_out(found, record, asking)
            known = known_in(record)
            unanswered: list[Entry] = []
            if out is not None and out.suffix:
                volume = set_pages(found, record, style, budget)
                with writing(out):
                    write_book(volume, out, bleed=bleed)
                unanswered = volume.unanswered
                say(f"{out}: {quantity(len(volume), 'page')}")
                for number, cell in volume.fitted.items():
                    say(f"number {number} is fitted to its page, with cells of {cell:.1f} mm")
            elif out is not None:
                with writing(out):
                    unanswered = write_edition(found, style, known, out, budget)
                say(f"{out}/index.html")
            if pictures is not None:
                with writing(pictures):
                    count = write_loose(found, style, known, pictures, budget)
                say(f"{pictures}: {quantity(count, 'picture')}, and words.json")
            late = {
                entry.number for entry in unanswered if no_answer(known(entry, "verdict")) == LATE
            }
            open_routes = [
                entry.number_and_title
                for entry in found.entries
                if found.hints and not (known(entry, "route") or {}).get("solved")
            ]
    code = ExitCode()
    for entry in unanswered:
        code.add(UNDECIDED if entry.number in late else NOT_UNIQUE)
        why = (
            "its solution was not found within --budget"
            if entry.number in late
            else "it does not have exactly one solution"
        )
        fail(PuzzleError(f"{why}, so it has no answer here", entry.number_and_title))
    if open_routes:
        say(f"the route is open, and the hints say so: {', '.join(open_routes)}")
    raise typer.Exit(code.code)


@book.command("diff")
def diff(
    old: Annotated[str, typer.Argument(metavar="OLD", help="The earlier version of a book file.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="The later version.")],
    as_json: OneObject = False,
    budget: Budget = BUDGET,
) -> None:
    """Show what changed between two versions of a book, and on which pages.

    Exit code: 0 if every changed puzzle is as its file expects, 1 if one is
    not, 2 for bad input, 3 if the budget ran out.
    """
    from gridassay.verify.book.changes import book_changes
    from gridassay.verify.book.reading import read_book

    errors: list[PuzzleError] = []
    books = []
    with _answering(as_json=as_json, file=new), answering(new, as_json=as_json):
        for file in (old, new):
            try:
                books.append(read_book(file))
            except BookRefused as refused:
                errors += refused.errors
        if errors:
            raise BookRefused(errors)
        found = book_changes(*books, budget=budget)
    if as_json:
        print_json(found.to_json())
    else:
        for line in found.lines():
            say(line)
    code = ExitCode()
    for _, _, one in found.changed:
        code.add(code_of(one.new.status, one.new.met))
    raise typer.Exit(code.code)


@contextmanager
def _answering(*, as_json: bool = False, file: str = "") -> Iterator[None]:
    """End the command on bad input, with one line for each error."""
    try:
        yield
    except BookRefused as refused:
        if as_json:
            said = [{"where": one.source, "what": one.message} for one in refused.errors]
            print_json({"source": file, "error": str(refused.errors[0]), "problems": said})
        else:
            for error in refused.errors:
                fail(error)
        raise typer.Exit(BAD_INPUT) from None
    except BrokenProcessPool:
        stop("a worker died; all answers so far are kept, and the same command goes on from there")
    except BatchError as error:
        stop(str(error))
    except PuzzleError as error:
        tell(error, as_json=as_json)
        raise typer.Exit(BAD_INPUT) from None
