"""Shared by the small languages of setters' own rules: a guarded text, and an error that points.

Formulas (`formulas.py`) and line patterns (`patterns.py`) are typed by people and arrive in files
from anywhere, so both first refuse what no honest text contains, and both report errors in one
line that says what is wrong and at which column.
"""

from collections.abc import Sequence


class NotationError(ValueError):
    """A text cannot be read.

    `message` says what is wrong; `column` says where, counted from 1, or is None when the text as
    a whole is at fault.
    """

    def __init__(self, message: str, column: int | None = None) -> None:
        super().__init__(message, column)
        self.message = message
        self.column = column

    def __str__(self) -> str:
        return self.message if self.column is None else f"column {self.column}: {self.message}"


def quote(text: str, longest: int = 40) -> str:
    """`text` in quotes, on one line and shortened, fit for an error message."""
    return repr(text if len(text) <= longest else text[:longest] + "…")


def guard(text: str, longest: int, error: type[NotationError]) -> None:
    """Raise `error` for a text that is blank, longer than `longest`, or not plain ASCII.

    Line ends and tabs count as spaces, and spaces do not count towards the length. Plain ASCII
    keeps columns exact and excludes look-alike letters and digits of other scripts.
    """
    length = 0
    for column, character in enumerate(text, start=1):
        if character in " \t\r\n":
            continue
        if not "!" <= character <= "~":
            raise error(f"{quote(character)} cannot be used here", column)
        length += 1
        if length > longest:
            raise error(f"more than {longest:,} characters, spaces not counted", column)
    if length == 0:
        raise error("there is nothing here", 1)


def listing(words: Sequence[str], last: str) -> str:
    """Write words as a list with ``last`` before the last one: ``1, 2 or 3``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
