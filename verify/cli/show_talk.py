"""The audit of a talk on the terminal: one line per claim, with remarks."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from gridassay.verify.cli.common import say, terminal_width
from gridassay.verify.cli.telling import print_json
from gridassay.verify.listening.results import TalkAudit, TalkStep
from gridassay.verify.safe_text import shown


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
        say(f"{mark}  {where}  {step.result:<8}  {shown(' '.join(step.said.split()))}")
        for line in _more(step):
            for part in wrap(line, max(40, terminal_width() - 22)):
                say(f"{'':22}{part}")
    say()
    say(found.tally)
    say(found.ending)


def _more(step: TalkStep) -> Iterator[str]:
    if step.means:
        yield f"means: {step.means}"
    for line in step.skipped:
        yield f"left out: {line}"
    for line in step.rightly:
        yield f"valid reason: {line}"
    for line in step.readings:
        yield f"perhaps: {line}"
    if step.detail:
        yield step.detail
