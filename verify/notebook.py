"""Results in a notebook: a picture if there is one to look at, else a table."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import singledispatch
from html import escape

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.results import Audit
from gridassay.verify.clue_worth.effects import Clues
from gridassay.verify.counting.verdict import Verdict
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.svg import svg
from gridassay.verify.draw.view import View
from gridassay.verify.draw.views import differing, hanging, view_of_solution
from gridassay.verify.examination.examination import Assay
from gridassay.verify.examination.page import page_words
from gridassay.verify.in_short import InShort
from gridassay.verify.mending.conflict import Conflict
from gridassay.verify.solving.board.steps import Step
from gridassay.verify.solving.results import Route


@singledispatch
def html(result: InShort) -> str:
    """A result as a piece of HTML, for the front end of a notebook."""
    return _paragraph(result.in_short())


@html.register
def _(result: Verdict) -> str:
    views = {
        "unique": lambda: view_of_solution(result.puzzle, result.solutions[0]),
        "multiple": lambda: differing(result.puzzle, result.solutions),
    }
    view = views.get(result.status, View)()
    return _paragraph(result.in_short()) + _picture(result.puzzle, view)


@html.register
def _(result: Clues) -> str:
    if result.verdict.status != "unique":
        return html(result.verdict)
    return _paragraph(result.in_short()) + _picture(result.verdict.puzzle, hanging(result))


@html.register
def _(result: Conflict) -> str:
    return _table(["cannot all hold"], ([premise] for premise in result.premises))


@html.register
def _(result: Step) -> str:
    return _table(["technique", "step"], [[result.technique, result.text]])


@html.register
def _(result: Route) -> str:
    rows = ([str(n), s.technique, s.text] for n, s in enumerate(result.steps, start=1))
    return _paragraph(result.in_short()) + _table(["", "technique", "step"], rows)


@html.register
def _(result: Audit) -> str:
    rows = ([str(s.line), s.result, s.text, s.detail] for s in result.steps)
    return _paragraph(result.in_short()) + _table(["line", "result", "step", ""], rows)


@html.register
def _(result: Assay) -> str:
    return _paragraph(result.in_short()) + _table([], map(list, page_words(result)))


def _picture(puzzle: Puzzle, view: View) -> str:
    return svg(picture(puzzle, view))


def _paragraph(text: str) -> str:
    return f"<p>{escape(text)}</p>"


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    head = "".join(f"<th>{escape(cell)}</th>" for cell in heads)
    body = "".join(
        f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows
    )
    return f"<table>{head and f'<tr>{head}</tr>'}{body}</table>"
