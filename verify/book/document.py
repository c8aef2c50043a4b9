"""Book files: TOML with the chapters, the requirements of the puzzles, and the look of the pages.

The fields of a file are those of ``BookDocument``, and so is its JSON Schema. All errors of a file
are told at once, one line each.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from gridassay.encodings.files import decode, read_bytes
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.rules.reading import plain
from gridassay.verify.book.wants import PATTERNS
from gridassay.verify.solving.levels import GROUPS

Length = Annotated[float, Field(gt=0, le=2000)]


class BookRefused(ValueError):
    """A book that cannot be used; ``errors`` has one line for each thing that is wrong."""

    def __init__(self, errors: list[PuzzleError]) -> None:
        super().__init__("\n".join(map(str, errors)))
        self.errors = errors


class _BookTable(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class WantsDocument(_BookTable):
    """``[wants]``: the requirements for every puzzle whose own table does not say otherwise."""

    verdict: Literal["unique", "multiple", "none"] = "unique"
    wasted: Annotated[int, Field(ge=0)] | Literal["any"] = Field(
        default="any", description="the most givens that may be wasted"
    )
    level: (
        Annotated[
            list[Annotated[str, Field(json_schema_extra={"enum": list(GROUPS)})]],
            Field(min_length=2, max_length=2),
        ]
        | Literal["any"]
    ) = Field(default="any", description="from and to, by names of groups of techniques")
    symmetric: str = Field(
        default="any",
        description="the pattern of the givens and marks",
        json_schema_extra={"enum": ["any", *PATTERNS]},
    )
    needs: list[str] = Field(default=[], description="techniques it cannot be solved without")
    fresh: bool = Field(
        default=True,
        description="no other puzzle of the book or the catalogue is the same in disguise",
    )
    certificate: bool = Field(default=False, description="its certificate is current")


class PuzzleDocument(_BookTable):
    """``[[chapter.puzzle]]``: a puzzle with more than a file name."""

    file: str = Field(min_length=1, description="as in puzzles; a pattern is not taken here")
    title: str = Field(default="", description="in place of its own, or of none")
    credit: str = Field(default="", description="likewise")
    number: int | None = Field(default=None, ge=0, le=10**6)
    wants: WantsDocument = WantsDocument()


class ChapterDocument(_BookTable):
    """``[[chapter]]``: puzzles in order, those of ``puzzles`` first."""

    title: str = ""
    puzzles: list[str] = Field(
        default=[], description="files, patterns (sorted by name), FILE:LINE, FILE:FIRST-LAST"
    )
    puzzle: list[PuzzleDocument] = []
    explains: list[str] = Field(
        default=[], description="kinds of rules that are to be new to the reader in this chapter"
    )


def _paper(given: Any) -> Any:
    """The name of a paper as we write it, however its letters are written."""
    papers = {"a4": "A4", "a5": "A5", "letter": "letter"}
    return papers.get(given.lower(), given) if isinstance(given, str) else given


class BookDocument(_BookTable):
    """A book file. The paths in it are relative to its folder."""

    title: str = Field(min_length=1)
    credit: str = Field(default="", description="who made the book, for the cover")
    style: str | None = Field(default=None, description="a style file, as for draw --style")
    page: Annotated[
        Literal["A4", "A5", "letter"] | Annotated[list[Length], Field(min_length=2, max_length=2)],
        BeforeValidator(_paper),
    ] = Field(default="A5", description="or [width, height] in millimetres")
    margin: float = Field(default=15, ge=0, le=500, description="millimetres")
    cell: float = Field(default=9, ge=2, le=100, description="the side of a cell in millimetres")
    number_from: int = Field(default=1, alias="number-from", ge=0, le=10**6)
    answers: bool = True
    hints: bool = Field(default=False, description="graded, at the back")
    walkthroughs: bool = False
    wants: WantsDocument = WantsDocument()
    wording: dict[str, Annotated[str, Field(pattern=r"\S")]] = Field(
        default={}, description="by kind of rule, its one sentence for the whole book"
    )
    chapter: list[ChapterDocument] = Field(min_length=1)


def book_schema() -> dict[str, Any]:
    """The JSON Schema of book files."""
    schema = BookDocument.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema"} | schema


def read_tables(path: str) -> tuple[BookDocument, str]:
    """A book file and its text. Raises BookRefused with all errors of its tables."""
    try:
        text = decode(read_bytes(path), path)
        return BookDocument.model_validate(tomllib.loads(text)), text
    except PuzzleError as error:
        raise BookRefused([error]) from None
    except tomllib.TOMLDecodeError as error:
        raise BookRefused([PuzzleError(f"not TOML: {error}", path)]) from None
    except RecursionError:
        raise BookRefused([PuzzleError("the file is nested too deeply", path)]) from None
    except ValidationError as error:
        raise BookRefused(list(_field_errors(error, text, path))) from None
    except ValueError:  # Python refuses to read a number with so many figures
        raise BookRefused([PuzzleError("a number in it is too long", path)]) from None


_MODELS: dict[str, type[BaseModel]] = {
    "wants": WantsDocument,
    "chapter": ChapterDocument,
    "puzzle": PuzzleDocument,
}
_SHAPES = {
    "wasted": 'wasted is a number from 0 up, or "any"',
    "level": 'level is [from, to] by the names of two groups of techniques, or "any"',
    "page": 'page is "A4", "A5", "letter", or [width, height] in millimetres',
}
"""The values allowed in fields that have several forms."""


def _field_errors(error: ValidationError, text: str, path: str) -> Iterator[PuzzleError]:
    """One error per field, in the order of the models."""
    told: set[tuple[int | str, ...]] = set()
    for one in error.errors(include_url=False):
        way = one["loc"]
        several = next((place for place, part in enumerate(way) if part in _SHAPES), None)
        if several is not None:
            way = way[: several + 1]
        if way in told:
            continue
        told.add(way)
        if several is not None:
            message = _SHAPES[str(way[-1])]
        else:
            key, said = plain(one, BookDocument, _MODELS)
            message = f"{key}: {said}" if key else said
        yield PuzzleError(message, path, _line(text, way))


def _line(text: str, way: tuple[int | str, ...]) -> int | None:
    """The line of the last named key, if its name and table are enough to find it."""
    lines = text.splitlines()
    start = 0
    keys = [part for part in way if isinstance(part, str)]
    places = {way[n]: way[n + 1] for n in range(len(way) - 1) if isinstance(way[n + 1], int)}
    header = re.compile(r"\s*\[+\s*([\w.-]+)\s*\]+")
    if way and way[0] == "chapter" and isinstance(places.get("chapter"), int):
        heads = [n for n, line in enumerate(lines) if re.match(r"\s*\[\[\s*chapter\s*\]\]", line)]
        number = places["chapter"]
        if isinstance(number, int) and number < len(heads):
            start = heads[number]
    elif len(keys) > 1:
        found = [n for n, line in enumerate(lines) if (m := header.match(line)) and m[1] == keys[0]]
        start = found[0] if found else 0
    for number in range(start, len(lines)):
        if keys and re.match(rf"\s*[\"']?{re.escape(keys[-1])}[\"']?\s*=", lines[number]):
            return number + 1
    return start + 1 if start else None


def line_of(text: str, value: str) -> int | None:
    """The first line of a file that has a text in quotes."""
    for number, line in enumerate(text.splitlines(), start=1):
        if f'"{value}"' in line or f"'{value}'" in line:
            return number
    return None


def beside(path: str, name: str) -> Path:
    """The path that a book file means, relative to its folder."""
    return Path(path).parent / name
