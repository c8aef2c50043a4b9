"""Text that is safe to show: from files, on its way to a terminal or a page.

A title that clears the screen, ends its line or turns the direction of writing could show a report of
its own. So whatever is printed goes through here: characters that do something rather than stand for
something are written out, ``\\u{1b}``. Letters of every script stay, and so do the joiners that scripts
need. Data for programs (JSON) is not shown, and stays what it is.
"""

from __future__ import annotations

from unicodedata import category

_WRITTEN_OUT = frozenset({"Cc", "Cf", "Cs", "Co", "Zl", "Zp"})
"""Controls, formats, half pairs, private use, and separators of lines and paragraphs (The Unicode
Standard, General Category)."""

_JOINERS = "\u200c\u200d"
"""The zero width joiner and non-joiner: spelling in Persian and in the scripts of India."""


def printable(text: str) -> str:
    """The text on one line, with what would act on a terminal or a page written out."""
    if text.isprintable():
        return text
    return "".join(
        f"\\u{{{ord(letter):x}}}"
        if category(letter) in _WRITTEN_OUT and letter not in _JOINERS
        else letter
        for letter in text
    )


def marked_up(text: str) -> str:
    """The text as a page in HTML holds it."""
    from html import escape  # here, since a line of JSON has no use for it

    return escape(printable(text))


def cell(value: object) -> object:
    """A cell of a table for spreadsheets, which would take a text that begins so for a formula."""
    if not isinstance(value, str):
        return value
    text = printable(value)
    return f"'{text}" if text.startswith(("=", "+", "-", "@")) else text
