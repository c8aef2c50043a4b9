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
from gridassay.verify.verdict import Disagreement, Verdict, check

if TYPE_CHECKING:
    from gridassay.verify.answers import Answer, answer
    from gridassay.verify.auditing import Audit, AuditedStep, audit
    from gridassay.verify.comparison import Comparison, compare
    from gridassay.verify.conflict import Conflict, Conflicts, conflicts
    from gridassay.verify.detours import needed_techniques, open_steps, route_to
    from gridassay.verify.draw.output import write_pictures
    from gridassay.verify.draw.scene import picture
    from gridassay.verify.draw.view import View
    from gridassay.verify.effects import Clues, Effect, clues
    from gridassay.verify.examination import Assay, assay
    from gridassay.verify.explanation import Explanation, explain
    from gridassay.verify.exporting import Export, export
    from gridassay.verify.filling import fill_in
    from gridassay.verify.keepers import Keepers, Search
    from gridassay.verify.kin import Catalogue, canonical, kin_groups, same_solutions, symmetries
    from gridassay.verify.nearest import Nearest, nearest_solutions
    from gridassay.verify.position import Position, read_candidates, write_candidates
    from gridassay.verify.proof.certificate import Certificate, certify
    from gridassay.verify.proof.recheck import Recheck, recheck
    from gridassay.verify.repairs import (
        Drop,
        Repair,
        RuleRepair,
        any_repair,
        drop,
        repair,
        rule_repair,
    )
    from gridassay.verify.routes import Route, position_from, route
    from gridassay.verify.slips import Slip, Slips, usual_slips
    from gridassay.verify.steps import Step, write_steps
    from gridassay.verify.steps_file import read_steps
    from gridassay.verify.sweeping import Layout, Sweep, read_layout, sweep

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
    "Answer": "gridassay.verify.answers",
    "Assay": "gridassay.verify.examination",
    "Audit": "gridassay.verify.auditing",
    "AuditedStep": "gridassay.verify.auditing",
    "Catalogue": "gridassay.verify.kin",
    "Certificate": "gridassay.verify.proof.certificate",
    "Clues": "gridassay.verify.effects",
    "Comparison": "gridassay.verify.comparison",
    "Conflict": "gridassay.verify.conflict",
    "Conflicts": "gridassay.verify.conflict",
    "Drop": "gridassay.verify.repairs",
    "Effect": "gridassay.verify.effects",
    "Explanation": "gridassay.verify.explanation",
    "Export": "gridassay.verify.exporting",
    "Keepers": "gridassay.verify.keepers",
    "Layout": "gridassay.verify.sweeping",
    "Nearest": "gridassay.verify.nearest",
    "Position": "gridassay.verify.position",
    "Recheck": "gridassay.verify.proof.recheck",
    "Repair": "gridassay.verify.repairs",
    "Route": "gridassay.verify.routes",
    "RuleRepair": "gridassay.verify.repairs",
    "Search": "gridassay.verify.keepers",
    "Slip": "gridassay.verify.slips",
    "Slips": "gridassay.verify.slips",
    "Step": "gridassay.verify.steps",
    "Sweep": "gridassay.verify.sweeping",
    "View": "gridassay.verify.draw.view",
    "answer": "gridassay.verify.answers",
    "any_repair": "gridassay.verify.repairs",
    "assay": "gridassay.verify.examination",
    "audit": "gridassay.verify.auditing",
    "canonical": "gridassay.verify.kin",
    "certify": "gridassay.verify.proof.certificate",
    "clues": "gridassay.verify.effects",
    "compare": "gridassay.verify.comparison",
    "conflicts": "gridassay.verify.conflict",
    "drop": "gridassay.verify.repairs",
    "explain": "gridassay.verify.explanation",
    "export": "gridassay.verify.exporting",
    "fill_in": "gridassay.verify.filling",
    "kin_groups": "gridassay.verify.kin",
    "nearest_solutions": "gridassay.verify.nearest",
    "needed_techniques": "gridassay.verify.detours",
    "open_steps": "gridassay.verify.detours",
    "picture": "gridassay.verify.draw.scene",
    "position_from": "gridassay.verify.routes",
    "read_candidates": "gridassay.verify.position",
    "read_layout": "gridassay.verify.sweeping",
    "read_steps": "gridassay.verify.steps_file",
    "recheck": "gridassay.verify.proof.recheck",
    "repair": "gridassay.verify.repairs",
    "route": "gridassay.verify.routes",
    "route_to": "gridassay.verify.detours",
    "rule_repair": "gridassay.verify.repairs",
    "same_solutions": "gridassay.verify.kin",
    "sweep": "gridassay.verify.sweeping",
    "symmetries": "gridassay.verify.kin",
    "usual_slips": "gridassay.verify.slips",
    "write_candidates": "gridassay.verify.position",
    "write_pictures": "gridassay.verify.draw.output",
    "write_steps": "gridassay.verify.steps",
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
