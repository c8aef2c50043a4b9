"""Errors with the lines of a puzzle file that they point at."""

from __future__ import annotations

import re

from gridassay.encodings.grid import Canvas, GridError
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.places import Places
from gridassay.encodings.rules.base import RuleError


class Errors:
    """Errors with the lines of a TOML text that they point at."""

    def __init__(self, text: str, source: str) -> None:
        self.source = source
        self.places = Places(text)

    def at(self, message: str, key: str | None) -> PuzzleError:
        """Point at a key of the document, if one is named."""
        return PuzzleError(message, self.source, self.places.top(key) if key else None)

    def in_rule(self, error: RuleError | GridError, number: int, kind: object) -> PuzzleError:
        """Point at a rule, a rule nested in it, or the field at fault of either."""
        key, inside = (error.key, error.inside) if isinstance(error, RuleError) else ("", ())
        path = ("rule", *["of"] * len(inside))
        line = self.places.table(path, (number, *inside), key)
        named = f"rule {number} ({kind})" if isinstance(kind, str) else f"rule {number}"
        return PuzzleError(f"{named}: {error}", self.source, line)

    def in_layer(self, error: RuleError, number: int, kind: object) -> PuzzleError:
        """Point at a layer, or at the field of it at fault, or at the row of its givens."""
        line = self.places.table(("layer",), (number,), error.key)
        cell = re.match(r"r(\d+)c", str(error))
        if error.key == "givens" and cell and line:
            line = self._drawn_row(line, int(cell[1])) or line
        named = f"layer {number} ({kind})" if isinstance(kind, str) else f"layer {number}"
        told = not str(error).startswith("givens: ")
        field = f"{error.key}: " if error.key == "givens" and told else ""
        return PuzzleError(f"{named}: {field}{error}", self.source, line)

    def _drawn_row(self, start: int, row: int) -> int | None:
        """The line of a row of a drawn grid whose key is on line ``start``."""
        drawn = 0
        for offset, line in enumerate(self.places.lines[start - 1 :]):
            written = line.partition("=")[2] if not offset else line
            drawn += bool(re.sub(r"[\s|+=\"'-]", "", written.partition("#")[0]))
            if drawn == row:
                return start + offset
        return None

    def in_givens(self, message: str, canvas: Canvas) -> PuzzleError:
        """Point at the row of the givens with the named cell, if it can be found."""
        start = self.places.top("givens")
        cell = re.match(r"r(\d+)c", message)
        if start and cell:
            drawn = 0
            for offset, line in enumerate(self.places.lines[start - 1 :]):
                written = line.rpartition("=")[2] if not offset else line
                symbols = re.sub(r"[\s|+=\"'-]", "", written.partition("#")[0])
                drawn += bool(symbols)
                if drawn == int(cell[1]) and len(symbols) == canvas.columns:
                    return PuzzleError(f"givens: {message}", self.source, start + offset)
        return PuzzleError(f"givens: {message}", self.source, start)
