"""The questions of the page, each a function of a request's body that returns JSON.

They run in workers, never in the process that answers requests. A quick question stops itself after
`QUICK_SECONDS` and then says *undecided*; a long one has the budget that the page names, and
reports its progress.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from itertools import zip_longest
from typing import Any

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import Fact, Layered
from gridassay.verify.budget import Clock
from gridassay.verify.counting.verdict import Verdict, check
from gridassay.verify.draw.premises import premises_view
from gridassay.verify.draw.view import PLAIN
from gridassay.verify.web.asked import SOURCE, Asked
from gridassay.verify.web.outline import layer_given, outline, values
from gridassay.verify.web.pictures import (
    QUICK_SECONDS,
    Tell,
    draw,
    frames,
    stages_of,
    svg_of,
    view_for,
    wrong_view,
)

WARNING_SECONDS = 0.3
LONGEST_SECONDS = 120.0

_SOLVING = 0.7
"""The share of a budget that goes into steps; the rest is for their pictures."""

Question = Callable[[Asked, Tell], dict[str, Any]]


def look(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The answer after each edit: the puzzle, its clues, its verdict and a picture."""
    written = asked.whole_puzzle()
    puzzle = asked.switched(written)
    verdict = check(puzzle, budget=QUICK_SECONDS)
    return outline(asked, written) | _judge(asked, verdict)


def reads(asked: Asked, tell: Tell) -> dict[str, Any]:
    """An empty answer for a text that is a puzzle; the form of a rule asks this before it changes one."""
    asked.whole_puzzle()
    return {}


def settle(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The verdict again, with more time than a quick look has."""
    return _judge(asked, check(asked.puzzle(), budget=_clock(asked)))


def conflict(asked: Asked, tell: Tell) -> dict[str, Any]:
    """Premises that cannot all hold, and a picture that points them out."""
    from gridassay.verify.mending.conflict import conflicts

    puzzle = asked.puzzle()
    found = conflicts(puzzle, budget=QUICK_SECONDS, most=1)
    premises = found.found[0].premises if found.found else ()
    view = premises_view(puzzle, premises)
    return {**found.to_json(), "svg": svg_of(puzzle, view, asked)}


def assay(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The whole assay in words, and as a page to save; with evidence if every clue is on."""
    from gridassay.verify.examination.examination import assay as examine
    from gridassay.verify.examination.page import page_html, page_words

    off = asked.off_givens or asked.off_rules
    document = None if off else asked.text.encode()
    found = examine(asked.puzzle(), budget=_clock(asked), document=document)
    return {"words": [[*line] for line in page_words(found)], "page": page_html(found)}


def mend(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The faults of a puzzle that does not have one solution, and the smallest repairs."""
    from gridassay.verify.mending.explanation import explain
    from gridassay.verify.mending.words import missing_words, slip_words

    clock = _clock(asked)
    puzzle = asked.puzzle()
    explained = explain(check(puzzle, budget=clock), budget=clock)
    found = explained.conflicts.found if explained.conflicts else ()
    view = premises_view(puzzle, found[0].premises) if found else wrong_view(explained.verdict)
    drawn = {} if view == PLAIN else {"svg": svg_of(puzzle, view, asked)}
    slips = explained.slips.found if explained.slips else ()
    answer = explained.to_json() | drawn
    if slips:
        answer["slips"] = [slip.to_json() | {"slip": slip_words(puzzle, slip)} for slip in slips]
    lacking = [missing_words(puzzle, one) for one in explained.missing]
    edits = [_edit(puzzle, slip.puzzle) for slip in slips]
    adding = [_edit(puzzle, one.puzzle) for one in explained.missing]
    repair = explained.repair
    added = {"repair_edit": _changes(puzzle, repair.givens)} if repair else {}
    return answer | {"edits": edits, "lacking": lacking, "lacking_edits": adding} | added


def clues(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The worth of each clue, and a picture of how much depends on each given."""
    from gridassay.verify.clue_worth.effects import clues as examine
    from gridassay.verify.draw.views import hanging

    puzzle = asked.puzzle()
    done, of = 0, 4 * (len(puzzle.givens) + sum(not rule.optional for rule in puzzle.rules))

    def step() -> None:
        nonlocal done
        done += 1
        tell(done, of)

    found = examine(puzzle, budget=_clock(asked), step=step)
    if not puzzle.givens or found.verdict.status != "unique":
        return found.to_json()
    view = replace(hanging(found), caption="")
    return found.to_json() | {"svg": svg_of(puzzle, view, asked)}


def route(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The solving route, its steps as a file, and each step in its stages while there is room."""
    from gridassay.verify.draw.stills import stills
    from gridassay.verify.solving.board.steps import write_steps
    from gridassay.verify.solving.routes import route as solve

    clock = _clock(asked)
    found = solve(asked.puzzle(), budget=clock.share(_SOLVING))
    told = stages_of(asked, stills(found), found.puzzle, clock)
    return found.to_json() | {"told": told, "written": write_steps(found.steps, found.puzzle)}


def sheet(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The walkthrough with a picture for each step, to print: as one page of HTML and as a PDF."""
    from gridassay.verify.draw.pdf import pdf
    from gridassay.verify.draw.route_sheet import sheet_html, sheet_pages
    from gridassay.verify.solving.routes import route as solve
    from gridassay.verify.solving.words import ending

    found = solve(asked.puzzle(), budget=_clock(asked))
    if not found.steps:
        return {"ending": ending(found)}
    pages = pdf(sheet_pages(found))
    return {"ending": ending(found), "page": sheet_html(found), "pdf": b64encode(pages).decode()}


def audit(asked: Asked, tell: Tell) -> dict[str, Any]:
    """A walkthrough checked against the puzzle: steps, or notes, prose and captions."""
    from gridassay.verify.auditing.auditing import audit as hold
    from gridassay.verify.draw.stills import written_stills
    from gridassay.verify.listening.forms import form_of
    from gridassay.verify.listening.hints import hinted
    from gridassay.verify.listening.talk import audit_talk

    steps = asked.options.get("steps")
    if not isinstance(steps, str):
        raise PuzzleError("the steps of a walkthrough are text")
    puzzle, clock = asked.puzzle(), _clock(asked)
    form = form_of(steps, puzzle)
    if form == "steps":
        found = hinted(hold(puzzle, steps, budget=clock.share(_SOLVING))).to_json()
        written = [*range(len(found["steps"]))]
    else:
        found = audit_talk(puzzle, steps, form=form, budget=clock.share(_SOLVING)).to_json()
        written = [at for at, one in enumerate(found["steps"]) if one["means"]]
        steps = "\n".join(found["steps"][at]["means"] for at in written)
    wrong = {n for n, at in enumerate(written, 1) if found["steps"][at]["result"] == "wrong"}
    told = stages_of(asked, written_stills(puzzle, steps, wrong), puzzle, clock)
    return found | {"told": [one | {"at": written[one["at"]]} for one in told]}


def kin(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The symmetries of the puzzle, and the form by which its disguises are recognised."""
    from gridassay.verify.kin import symmetries

    puzzle = asked.puzzle()
    found = symmetries(puzzle, budget=_clock(asked)).to_json()
    return found | {"svg": svg_of(puzzle, PLAIN, asked)}


def certify(asked: Asked, tell: Tell) -> dict[str, Any]:
    """The certificate of the puzzle as it is written, with every clue on."""
    from gridassay.verify.proof.certificate import certify as make

    asked.whole_puzzle()
    certificate = make(asked.text.encode(), SOURCE, budget=_clock(asked))
    return certificate.to_json() | {"zip": b64encode(certificate.to_bytes()).decode()}


QUICK: Mapping[str, Question] = {
    "look": look,
    "reads": reads,
    "conflict": conflict,
    "draw": draw,
}
LONG: Mapping[str, Question] = {
    "settle": settle,
    "assay": assay,
    "mend": mend,
    "clues": clues,
    "route": route,
    "sheet": sheet,
    "audit": audit,
    "kin": kin,
    "certify": certify,
    "frames": frames,
}


def _clock(asked: Asked) -> Clock:
    seconds = asked.options.get("budget", 10)
    if type(seconds) not in (int, float) or not 0 < seconds <= LONGEST_SECONDS:
        raise PuzzleError(f"a budget is a number of seconds, up to {LONGEST_SECONDS:g}")
    return Clock(seconds)


def _edit(old: Puzzle, new: Puzzle) -> dict[str, Any]:
    """The changes to the text that lead from one puzzle to another: givens, and rules by number.

    A rule beyond the last of the old ones has the number None: it is added.
    """
    before, after = dict(old.givens), dict(new.givens)
    gone = [Fact(variable, value) for variable, value in before.items() if variable not in after]
    put = [fact for fact in new.givens if before.get(fact.variable) != fact.value]
    rules = [
        {"number": None if before is None else number, "values": values(rule)}
        for number, (before, rule) in enumerate(zip_longest(old.rules, new.rules), start=1)
        if rule != before
    ]
    return _changes(old, put, gone) | {"rules": rules}


def _changes(puzzle: Puzzle, put: Iterable[Fact], gone: Iterable[Fact] = ()) -> dict[str, Any]:
    """Givens to be written and to be taken away, by cells and by what layers they belong to."""
    symbols = puzzle.canvas.symbols
    cells: list[dict[str, Any]] = []
    layers: list[dict[str, Any]] = []
    for fact, stays in [*((one, False) for one in gone), *((one, True) for one in put)]:
        if isinstance(fact.variable, Layered):
            layers.append(layer_given(fact) | ({} if stays else {"value": None}))
        else:
            symbol = symbols[fact.value] if stays else "."
            cells.append({"cell": str(fact.variable), "symbol": symbol})
    return {"givens": cells, "layers": layers, "rules": []}


def _judge(asked: Asked, verdict: Verdict) -> dict[str, Any]:
    puzzle = verdict.puzzle
    view = view_for(asked, verdict)
    told = verdict.to_json() | {"warnings": _quick_warnings(puzzle)}
    return {"verdict": told, "svg": svg_of(puzzle, view, asked)}


def _quick_warnings(puzzle: Puzzle) -> list[str]:
    """Likely slips that are found at once."""
    if not puzzle.rules:
        return []
    from gridassay.verify.mending.cautions import warnings

    return list(warnings(puzzle, Clock(WARNING_SECONDS)))
