"""Questions about a puzzle, answered by asking a compiled model.

The public face of the library: read a puzzle, ask about it, get a frozen result with ``to_json``.

>>> from gridassay.verify import check, read
>>> check(read("1..." "...2" "..3." ".4..")).status
'unique'
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from gridassay.encodings.files import read_puzzle as read
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.counting.verdict import Verdict, check
from gridassay.verify.faults import Disagreement

if TYPE_CHECKING:
    from gridassay.verify.auditing.auditing import Audit, AuditedStep, audit
    from gridassay.verify.auditing.versions import Comparison, compare
    from gridassay.verify.clue_worth.effects import Clues, Effect, clues
    from gridassay.verify.clue_worth.filling import fill_in
    from gridassay.verify.clue_worth.keepers import Keepers, Search
    from gridassay.verify.clue_worth.sweeping import Layout, Sweep, read_layout, sweep
    from gridassay.verify.counting.answers import Answer, answer
    from gridassay.verify.counting.nearest import Nearest, nearest_solutions
    from gridassay.verify.draw.output import write_pictures
    from gridassay.verify.draw.scene import picture
    from gridassay.verify.draw.view import View
    from gridassay.verify.examination.examination import Assay, assay
    from gridassay.verify.kin import Catalogue, canonical, kin_groups, same_solutions, symmetries
    from gridassay.verify.mending.conflict import Conflict, Conflicts, conflicts
    from gridassay.verify.mending.explanation import Explanation, explain
    from gridassay.verify.mending.repairs import (
        Drop,
        Repair,
        RuleRepair,
        any_repair,
        drop,
        repair,
        rule_repair,
    )
    from gridassay.verify.mending.slips import Slip, Slips, usual_slips
    from gridassay.verify.proof.certificate import Certificate, certify
    from gridassay.verify.proof.exporting import Export, export
    from gridassay.verify.proof.recheck import Recheck, recheck
    from gridassay.verify.solving.board.candidates_file import read_candidates, write_candidates
    from gridassay.verify.solving.board.position import Position
    from gridassay.verify.solving.board.steps import Step, write_steps
    from gridassay.verify.solving.board.steps_file import read_steps
    from gridassay.verify.solving.detours import needed_techniques, open_steps, route_to
    from gridassay.verify.solving.routes import Route, position_from, route

__all__ = [
    "Answer",
    "Assay",
    "Audit",
    "AuditedStep",
    "Catalogue",
    "Certificate",
    "Clock",
    "Clues",
    "Comparison",
    "Conflict",
    "Conflicts",
    "Disagreement",
    "Drop",
    "Effect",
    "Explanation",
    "Export",
    "Keepers",
    "Layout",
    "Nearest",
    "OutOfTime",
    "Position",
    "Puzzle",
    "PuzzleError",
    "Recheck",
    "Repair",
    "Route",
    "RuleRepair",
    "Search",
    "Slip",
    "Slips",
    "Step",
    "Sweep",
    "Verdict",
    "View",
    "answer",
    "any_repair",
    "assay",
    "audit",
    "canonical",
    "certify",
    "check",
    "clues",
    "compare",
    "conflicts",
    "drop",
    "explain",
    "export",
    "fill_in",
    "kin_groups",
    "nearest_solutions",
    "needed_techniques",
    "open_steps",
    "picture",
    "position_from",
    "read",
    "read_candidates",
    "read_layout",
    "read_steps",
    "recheck",
    "repair",
    "route",
    "route_to",
    "rule_repair",
    "same_solutions",
    "sweep",
    "symmetries",
    "usual_slips",
    "write_candidates",
    "write_pictures",
    "write_steps",
]

# Loaded when first asked for, so that a verdict does not wait for modules it has no use for.
# A function here must not be called what its module is, or the module would stand in its place.
_LATER = {
    "Answer": "gridassay.verify.counting.answers",
    "Assay": "gridassay.verify.examination.examination",
    "Audit": "gridassay.verify.auditing.auditing",
    "AuditedStep": "gridassay.verify.auditing.auditing",
    "Catalogue": "gridassay.verify.kin",
    "Certificate": "gridassay.verify.proof.certificate",
    "Clues": "gridassay.verify.clue_worth.effects",
    "Comparison": "gridassay.verify.auditing.versions",
    "Conflict": "gridassay.verify.mending.conflict",
    "Conflicts": "gridassay.verify.mending.conflict",
    "Drop": "gridassay.verify.mending.repairs",
    "Effect": "gridassay.verify.clue_worth.effects",
    "Explanation": "gridassay.verify.mending.explanation",
    "Export": "gridassay.verify.proof.exporting",
    "Keepers": "gridassay.verify.clue_worth.keepers",
    "Layout": "gridassay.verify.clue_worth.sweeping",
    "Nearest": "gridassay.verify.counting.nearest",
    "Position": "gridassay.verify.solving.board.position",
    "Recheck": "gridassay.verify.proof.recheck",
    "Repair": "gridassay.verify.mending.repairs",
    "Route": "gridassay.verify.solving.routes",
    "RuleRepair": "gridassay.verify.mending.repairs",
    "Search": "gridassay.verify.clue_worth.keepers",
    "Slip": "gridassay.verify.mending.slips",
    "Slips": "gridassay.verify.mending.slips",
    "Step": "gridassay.verify.solving.board.steps",
    "Sweep": "gridassay.verify.clue_worth.sweeping",
    "View": "gridassay.verify.draw.view",
    "answer": "gridassay.verify.counting.answers",
    "any_repair": "gridassay.verify.mending.repairs",
    "assay": "gridassay.verify.examination.examination",
    "audit": "gridassay.verify.auditing.auditing",
    "canonical": "gridassay.verify.kin",
    "certify": "gridassay.verify.proof.certificate",
    "clues": "gridassay.verify.clue_worth.effects",
    "compare": "gridassay.verify.auditing.versions",
    "conflicts": "gridassay.verify.mending.conflict",
    "drop": "gridassay.verify.mending.repairs",
    "explain": "gridassay.verify.mending.explanation",
    "export": "gridassay.verify.proof.exporting",
    "fill_in": "gridassay.verify.clue_worth.filling",
    "kin_groups": "gridassay.verify.kin",
    "nearest_solutions": "gridassay.verify.counting.nearest",
    "needed_techniques": "gridassay.verify.solving.detours",
    "open_steps": "gridassay.verify.solving.detours",
    "picture": "gridassay.verify.draw.scene",
    "position_from": "gridassay.verify.solving.routes",
    "read_candidates": "gridassay.verify.solving.board.candidates_file",
    "read_layout": "gridassay.verify.clue_worth.sweeping",
    "read_steps": "gridassay.verify.solving.board.steps_file",
    "recheck": "gridassay.verify.proof.recheck",
    "repair": "gridassay.verify.mending.repairs",
    "route": "gridassay.verify.solving.routes",
    "route_to": "gridassay.verify.solving.detours",
    "rule_repair": "gridassay.verify.mending.repairs",
    "same_solutions": "gridassay.verify.kin",
    "sweep": "gridassay.verify.clue_worth.sweeping",
    "symmetries": "gridassay.verify.kin",
    "usual_slips": "gridassay.verify.mending.slips",
    "write_candidates": "gridassay.verify.solving.board.candidates_file",
    "write_pictures": "gridassay.verify.draw.output",
    "write_steps": "gridassay.verify.solving.board.steps",
}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        return getattr(import_module(_LATER[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def _svg(puzzle: Puzzle) -> str:
    from gridassay.verify.draw.scene import picture
    from gridassay.verify.draw.svg import svg

    return svg(picture(puzzle))


Puzzle.drawn_by = _svg
