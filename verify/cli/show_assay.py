"""How the assay looks on a terminal: a line a part, as each is known, and a sentence at the end."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap
from typing import Any

from rich.console import Console
from rich.text import Text

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.assay_words import part_words
from gridassay.verify.cli.common import terminal_width
from gridassay.verify.cli.mend import show_explanation
from gridassay.verify.cli.show import headline, show_grids
from gridassay.verify.examination import Assay
from gridassay.verify.explanation import Explanation
from gridassay.verify.verdict import Verdict

_MARGIN = 11


class Screen:
    """Prints the parts of an assay; ``blind`` keeps digits, cells and pictures out of it."""

    def __init__(self, puzzle: Puzzle, *, blind: bool) -> None:
        self.blind = blind
        self._console = Console(highlight=False, width=terminal_width())
        if puzzle.title:
            credit = f", {puzzle.credit}" if puzzle.credit else ""
            self._say(f"{puzzle.title}{credit}")

    def part(self, name: str, answer: Any) -> None:
        """Print one part of the examination."""
        if name == "verdict":
            self._verdict(answer)
        elif name == "explanation" and not self.blind:
            self._explanation(answer)
        else:
            for caption, text in part_words(name, answer, blind=self.blind):
                self._line(caption, text)

    def conclude(self, result: Assay, certificate: Path | None) -> None:
        """Print what has no part of its own, and the last sentence."""
        if certificate and result.certificate:
            size = certificate.stat().st_size
            self._line("evidence", f"written to {certificate} ({size:,} bytes)")
        self._console.print()
        conclusion = result.blind_conclusion if self.blind else result.conclusion
        for line in wrap(conclusion, terminal_width()):
            self._say(line, bold=True)

    def _say(self, text: str, *, bold: bool = False) -> None:
        self._console.print(Text(text, style="bold" if bold else ""), soft_wrap=True)

    def _line(self, caption: str, text: str) -> None:
        lines = wrap(text, max(30, terminal_width() - _MARGIN)) or [""]
        for number, line in enumerate(lines):
            self._say(f"{'' if number else caption:<{_MARGIN}}{line}")

    def _verdict(self, verdict: Verdict) -> None:
        self._say(headline(verdict), bold=True)
        expected = verdict.puzzle.expect
        if expected:
            self._say(f"{'as' if verdict.met else 'NOT as'} the file expects ({expected})")
        self._console.print()

    def _explanation(self, explanation: Explanation) -> None:
        if explanation.verdict.status == "multiple":
            show_grids(explanation.verdict)
            self._console.print()
        show_explanation(explanation)
