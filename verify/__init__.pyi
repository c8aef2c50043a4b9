"""The public names of gridassay.verify, and where each stands: ``__init__.py`` loads them from here."""

from gridassay.encodings.files import read as read, read_file as read_file
from gridassay.encodings.grid import Cell as Cell
from gridassay.encodings.lines import PuzzleError as PuzzleError
from gridassay.encodings.puzzle import Puzzle as Puzzle
from gridassay.verify.auditing.auditing import audit as audit
from gridassay.verify.auditing.results import Audit as Audit, AuditedStep as AuditedStep
from gridassay.verify.auditing.versions import Comparison as Comparison, compare as compare
from gridassay.verify.budget import Clock as Clock, OutOfTime as OutOfTime
from gridassay.verify.clue_worth.effects import Clues as Clues, Effect as Effect, clues as clues
from gridassay.verify.clue_worth.filling import fill_in as fill_in
from gridassay.verify.clue_worth.keepers import Keepers as Keepers, Search as Search
from gridassay.verify.clue_worth.sweeping import (
    OpenPuzzle as OpenPuzzle,
    Sweep as Sweep,
    read_layout as read_layout,
    sweep as sweep,
)
from gridassay.verify.counting.answers import Answer as Answer, answer as answer
from gridassay.verify.counting.nearest_pair import (
    Nearest as Nearest,
    nearest_solutions as nearest_solutions,
)
from gridassay.verify.counting.verdict import Verdict as Verdict, check as check
from gridassay.verify.draw.output import write_pictures as write_pictures
from gridassay.verify.draw.scene import picture as picture
from gridassay.verify.draw.view import View as View
from gridassay.verify.examination.examination import Assay as Assay, assay as assay
from gridassay.verify.faults import Disagreement as Disagreement
from gridassay.verify.kin import (
    Catalogue as Catalogue,
    canonical as canonical,
    kin_groups as kin_groups,
    same_solutions as same_solutions,
    symmetries as symmetries,
)
from gridassay.verify.mending.conflict import (
    Conflict as Conflict,
    Conflicts as Conflicts,
    conflicts as conflicts,
)
from gridassay.verify.mending.explanation import Explanation as Explanation, explain as explain
from gridassay.verify.mending.repairs import (
    Drop as Drop,
    Repair as Repair,
    RuleRepair as RuleRepair,
    any_repair as any_repair,
    drop as drop,
    repair as repair,
    rule_repair as rule_repair,
)
from gridassay.verify.mending.slips import Slip as Slip, Slips as Slips, usual_slips as usual_slips
from gridassay.verify.proof.certificate import Certificate as Certificate, certify as certify
from gridassay.verify.proof.exporting import Export as Export, export as export
from gridassay.verify.proof.recheck import Recheck as Recheck, recheck as recheck
from gridassay.verify.solving.board.candidates_file import (
    read_candidates as read_candidates,
    write_candidates as write_candidates,
)
from gridassay.verify.solving.board.position import Position as Position
from gridassay.verify.solving.board.position_file import position_from as position_from
from gridassay.verify.solving.board.steps import Step as Step, write_steps as write_steps
from gridassay.verify.solving.board.steps_file import read_steps as read_steps
from gridassay.verify.solving.route_questions import (
    needed_techniques as needed_techniques,
    open_steps as open_steps,
    route_to as route_to,
)
from gridassay.verify.solving.results import Route as Route
from gridassay.verify.solving.routes import route as route

__version__: str
