"""``gridassay book``: a collection of puzzles, begun, checked, made into pages, and compared."""

from __future__ import annotations

import json
from collections.abc import Iterator
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.batch.results import BatchError
from gridassay.verify.book.document import BookRefused
from gridassay.verify.cli.common import BUDGET, Budget, check_ending, say, stop, writing
from gridassay.verify.cli.ending import BAD_INPUT, FAULT, NOT_UNIQUE, UNDECIDED
from gridassay.verify.cli.telling import ExitCode, fail, print_json, tell
from gridassay.verify.cli.workers import Dask, Workers, executor_of
from gridassay.verify.saving import save

book = typer.Typer(
    help="Keep a collection of puzzles right together: begin a book, check it, make its pages.",
    invoke_without_command=True,
    no_args_is_help=True,
)
BookFile = Annotated[str, typer.Argument(metavar="BOOK", help="A book file: docs/book.md.")]


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
            "--out", "-o", metavar="BOOK", help="The book file; DIR/book.toml if left out."
        ),
    ] = None,
) -> None:
    """Begin a book: a book file that names every puzzle in a folder, a chapter a folder."""
    from gridassay.verify.book.starting import new_book

    file = out or Path(folder) / "book.toml"
    with _answering():
        check_ending(file, (".toml", ".book"), "a book")
        if file.exists():
            stop(f"{file}: is there already; -o names another")
        text, count = new_book(folder, file)
        with writing(file):
            save(file, text)
    say(f"{file}: a book of {count} puzzles; gridassay book check {file} is next")


@book.command("check")
def check(
    file: BookFile,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object.")] = False,
    budget: Budget = BUDGET,
    workers: Workers = 1,
    dask: Dask = None,
    catalogue: Annotated[
        str | None,
        typer.Option(metavar="FILE.sqlite", help="Look for each puzzle there; nothing is added."),
    ] = None,
    certificates: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="Where certificates go.")
    ] = None,
    page: Annotated[
        Path | None, typer.Option("--page", metavar="OUT", help="A page to print: .html or .pdf.")
    ] = None,
    junit: Annotated[Path | None, typer.Option("--junit", help="Write JUnit XML for CI.")] = None,
    github: Annotated[
        bool, typer.Option("--github", help="Print annotations for a GitHub workflow.")
    ] = False,
) -> None:
    """Check every puzzle of a book against what is wanted, and the book as a whole.

    What was found is kept beside the book, and only what changed is asked again. Exit code 0 when all
    that is wanted is met, 1 when something is not, 2 for bad input, 3 when something is open.
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
        show_check(checked)
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


@contextmanager
def _answering(*, as_json: bool = False, file: str = "") -> Iterator[None]:
    """Bad input ends the command, each thing that is wrong in a line of its own."""
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
        stop("a worker died; what is known is kept, and the same command goes on with it")
    except BatchError as error:
        stop(str(error))
    except PuzzleError as error:
        tell(error, as_json=as_json)
        raise typer.Exit(BAD_INPUT) from None
