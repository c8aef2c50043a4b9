"""How the assay looks on a terminal: a line per part, each as it is known, and a sentence at the end."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from rich.console import Console
from rich.text import Text

from gridassay.verify.cli.common import terminal_width, writing
from gridassay.verify.cli.show import show_heading
from gridassay.verify.examination.examination import Assay, Listener, Part
from gridassay.verify.examination.words import part_words
from gridassay.verify.safe_text import printable
from gridassay.verify.saving import save

if TYPE_CHECKING:
    from rich.status import Status

    from gridassay.verify.proof.certificate import Certificate

_MARGIN = 11
_DOING: dict[Part, str] = {
    "explanation": "looking for what would repair it",
    "certificate": "proving it for others",
    "warnings": "looking for probable slips",
    "clues": "weighing clues",
    "kin": "looking for symmetries",
    "catalogue": "looking it up in the catalogue",
    "route": "walking the route",
    "only steps": "looking for narrow places on the route",
}


def write_certificate(made: Certificate | None, out: Path | None) -> str:
    """Write the certificate if it is wanted, and say what happened."""
    if out is None:
        return ""
    if made is None:
        return "undecided within the budget: nothing is written"
    data = made.to_bytes()
    with writing(out):
        save(out, data)
    return f"written to {out} ({len(data):,} bytes)"


class Screen(Listener):
    """Prints the parts of an assay; ``blind`` keeps digits, cells and pictures out of it.

    On a terminal it also shows what is being worked on.
    """

    def __init__(self, certificate: Path | None, *, blind: bool) -> None:
        self.blind = blind
        self._certificate = certificate
        self._console = Console(highlight=False, width=terminal_width())
        self._status: Status | None = None
        self._told = False

    def asking(self, part: Part) -> None:
        """Show on a terminal what is being worked on."""
        sys.stdout.flush()
        if part in _DOING and sys.stderr.isatty():
            self._status = Console(stderr=True).status(f"{_DOING[part]} …")
            self._status.start()

    def on_answer(self, part: Part, answer: Any) -> None:
        """Print one part of the examination."""
        self.close()
        if part == "verdict":
            show_heading(answer)
            self._console.print()
        elif part == "explanation" and not self.blind:
            from gridassay.verify.cli.show_explanation import show_explanation

            show_explanation(answer, mends_first=True)
            self._told = True
        elif part == "certificate":
            self._line("evidence", write_certificate(answer, self._certificate))
        else:
            for caption, text in part_words(part, answer, blind=self.blind):
                self._line(caption, text)

    def conclude(self, result: Assay) -> None:
        """Print the last sentence."""
        if self._certificate and not result.verdict.met:
            self._line("evidence", "none is written for a puzzle that is not as it should be")
        if self._told:
            self._console.print()
        for line in wrap(result.conclusion(blind=self.blind), terminal_width()):
            self._say(line, bold=True)

    def close(self) -> None:
        """Stop showing that something is being worked on."""
        if self._status:
            self._status.stop()
            self._status = None

    def _say(self, text: str, *, bold: bool = False) -> None:
        self._console.print(Text(printable(text), style="bold" if bold else ""), soft_wrap=True)

    def _line(self, caption: str, text: str) -> None:
        if not text:
            return
        self._told = True
        width = max(30, terminal_width() - _MARGIN)
        # A technique and its count stay together at the end of a line.
        kept = re.sub(r" (?=\d+(;|$))", "\xa0", text)
        for number, line in enumerate(wrap(kept, width, break_on_hyphens=False)):
            said = line.replace("\xa0", " ")
            self._say(f"{'' if number else caption:<{_MARGIN}}{said}")
