"""The words around the names of cells in notes, made into patterns (``notations.py``)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple

AnyOf = Callable[[Iterable[str]], str]
"""A pattern for any of some phrases."""


class ListedHouses(NamedTuple):
    """Patterns of rows and columns that are listed, and of the numbers of several."""

    separated: re.Pattern[str]
    and_house: re.Pattern[str]
    crossed: re.Pattern[str]
    before: re.Pattern[str]
    after: re.Pattern[str]
    heading: re.Pattern[str]
    or_column: re.Pattern[str]


class NotationVocabulary(NamedTuple):
    """Patterns of heads in which writers say how they name cells, and of what stands beside such names.

    ``lettered`` has a place for the ``{last}`` letter of the grid; ``holds``, ``at``, ``beside`` and
    ``among`` lead to digits, whose groups are called *digit*.
    """

    usual: re.Pattern[str]
    paired: re.Pattern[str]
    declared: re.Pattern[str]
    lettered: str
    holds: str
    at: str
    beside: str
    among: str
    no_cell: re.Pattern[str]
    after_number: re.Pattern[str]
    told: re.Pattern[str]


def listed_houses(
    table: Mapping[str, list[str]], houses: Mapping[str, list[str]], any_of: AnyOf
) -> ListedHouses:
    """The patterns of a language's words for lists of rows and columns."""
    joins, at = any_of(table["and"]), any_of(table["at"])
    line = any_of([*houses["row"], *houses["column"]])
    several = rf"\s*(?:,|&|{joins})\s*(?:(?:{joins})\s+)?"
    return ListedHouses(
        re.compile(rf"\s*,\s*(?:{joins})\s+|\s*[,&]\s*|\s+(?:{joins})\s+|\s+", re.IGNORECASE),
        re.compile(rf"{several}(?P<kind>{line})", re.IGNORECASE),
        re.compile(rf"\s+(?P<kind>{line})", re.IGNORECASE),
        re.compile(rf"(?:{line})\s+\w+\s*,\s*$", re.IGNORECASE),
        re.compile(rf"{several}(?:{line})\s+\w+", re.IGNORECASE),
        re.compile(
            rf"\s*(?P<kind>[rc])(?P<number>\d+)\s*[:–-]\s+(?=\d\s*(?:{at})?\s*[rc]\d)",
            re.IGNORECASE,
        ),
        re.compile(
            r"/(?P<column>[1-9])(?![\d/])"
            rf"|,(?P<column2>[1-9])(?=\s+(?:{any_of(table['denies'])}|=)(?!\w))",
            re.IGNORECASE,
        ),
    )


def notations_of(
    table: Mapping[str, list[str]], houses: Mapping[str, list[str]], any_of: AnyOf
) -> NotationVocabulary:
    """The patterns of a language's words for names of cells."""
    row, column = any_of(houses["row"]), any_of(houses["column"])
    one_row, one_column = (
        any_of([one, *table[name]]) for one, name in (("r", "row"), ("c", "column"))
    )
    axis = any_of([*houses["row"], *houses["column"]])
    joins, start, until = any_of(table["and"]), any_of(table["from"]), any_of(table["to"])
    lettered, run = any_of(table["lettered"]), any_of(table["run"])
    article = any_of(table["the"])
    sign = r"[,;./:x-]"
    return NotationVocabulary(
        re.compile(
            rf"\br\s?\d+\s?c\s?\d+|\bc\d+r\d+\b|(?:{row})\s+\w+,?\s+(?:{column})", re.IGNORECASE
        ),
        re.compile(
            rf"(?P<bracket>\()?(?:(?P<row>{one_row})|{one_column})\s*(?P<sign>{sign})\s*"
            rf"(?:{one_row}|{one_column})(?(bracket)\s*\))",
            re.IGNORECASE,
        ),
        re.compile(
            rf"(?:\b|(?P<bracket>[(\[]))(?P<one>[A-Za-z1-9])\s?(?P<sign>{sign}?)\s?(?P<other>[A-Za-z1-9])"
            rf"(?(bracket)[)\]])\s*(?:{any_of(table['means'])})\s*\(?"
            rf"(?:(?P<row>r|{row})\s*(?P<first>[A-Za-z1-9]),?\s*(?:(?:{joins})\s+)?"
            rf"(?:c|{column})\s*(?P<second>[A-Za-z1-9])\b"
            rf"|(?:c|{column})\s*(?P<first2>[A-Za-z1-9]),?\s*(?:(?:{joins})\s+)?"
            rf"(?:r|{row})\s*(?P<second2>[A-Za-z1-9])\b)",
            re.IGNORECASE,
        ),
        rf"(?P<axis>{axis})\s*(?:{run})?\s*(?:(?:{lettered})\s*)?(?:(?:{start})\s+)?"
        rf"A\s*(?:{until})\s*{{last}}\b"
        rf"|\bA\s*(?:{until})\s*{{last}}\s*(?:{any_of(table['stands'])})?\s*"
        rf"(?:(?:{article})\s+)?(?P<axis2>{axis})"
        rf"|(?P<axis3>{axis})\s+(?:(?:{any_of(table['are'])})\s+)?(?:{any_of(table['letters'])}|{lettered})"
        rf"|(?:{any_of(table['letters'])})\s+(?:{any_of(table['stands'])})\s+(?:(?:{article})\s+)?"
        rf"(?P<axis4>{axis})",
        rf"\s*(?:{any_of(table['holds'])})\s*(?P<digit>[1-9])(?![\dx/+.]|,\d\b|\s\d\b(?!\s*=))",
        rf"(?<![\w./=+-])(?P<digit>[1-9])\s+(?:{any_of(table['into'])})\s+",
        r"\s*[: ]\s*(?P<digit>[1-9])(?=\s*(?:[,.;()]|$|[a-zA-Z]))(?!\.\d)",
        rf"\s*(?:{any_of(table['among'])})?\s*[{{(\[]?(?P<digit>[1-9](?:\s*[,/]\s*[1-9]){{1,3}})(?![\d./,])",
        re.compile(rf"\s*(?:{any_of(table['amounts'])})", re.IGNORECASE),
        re.compile(
            rf"(?:[+×=<≤≥]|(?<!-)>|(?:{any_of([*table['amounts'], *table['makes']])})|\b[1-9])\s*$",
            re.IGNORECASE,
        ),
        re.compile(rf"\s*(?:{any_of(table['told'])})"),
    )


def several_cells(
    houses: Mapping[str, list[str]], number: str, table: Mapping[str, Any], any_of: AnyOf
) -> re.Pattern[str]:
    """Several cells of one line: *row 5, columns 1 and 3*, *rows 5 and 6 of column 3*.

    Also *row 5 column 1 and 3 are*, with a word for several after them.
    """
    row, rows, column, columns = (
        any_of([word for word in houses[name] if word.endswith("s") == plural])
        for name in ("row", "column")
        for plural in (False, True)
    )
    both, several_are = any_of(table["and"]), any_of(table["several are"])
    several = (
        rf"(?:{number})(?:(?:\s*,\s*(?:{both})\s+|\s*[,&]\s*|\s+(?:{both})\s+)(?:{number})\b)+"
    )
    return re.compile(
        rf"(?:{row})\s+(?P<row>{number})\s*,?\s*"
        rf"(?:(?:{columns})\s+|(?:{column})\s+(?={several}\s+(?:{several_are})))"
        rf"(?P<columns>{several})"
        rf"|(?:{rows})\s+(?P<rows>{several})\s+(?:(?:of|in)\s+)?(?:{column})\s+(?P<column>{number})\b",
        re.IGNORECASE,
    )
