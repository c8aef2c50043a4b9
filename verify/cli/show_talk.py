"""The audit of a talk on the terminal: one line per claim, with remarks."""

from __future__ import annotations

from textwrap import wrap

from gridassay.verify.cli.common import say, terminal_width
from gridassay.verify.cli.telling import print_json
from gridassay.verify.listening.results import TalkAudit, told_of
from gridassay.verify.safe_text import printable


def show_talk(found: TalkAudit, *, as_json: bool) -> None:
    """Print the audit, in words or as JSON."""
    if as_json:
        print_json(found.to_json())
        return
    if found.puzzle.title:
        say(found.puzzle.title)
    for step in found.steps:
        mark = " " if step.result in ("sound", "idle") else "?" if step.result == "unclear" else "!"
        where = step.time or f"{step.line:>4}"
        say(f"{mark}  {where}  {step.result:<8}  {printable(' '.join(step.said.split()))}")
        for line in told_of(step):
            for part in wrap(line, max(40, terminal_width() - 22)):
                say(f"{'':22}{part}")
    say()
    say(found.tally)
    say(found.ending)
