"""The verdicts of ``check --json``: one object per puzzle."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.cli.ending import BAD_INPUT, FAULT
from gridassay.verify.cli.telling import ExitCode, code_of, fault_of, print_json, tell, with_clocks
from gridassay.verify.counting.solution_count import DEFAULT_LIMIT
from gridassay.verify.counting.verdict import Verdict
from gridassay.verify.counting.verdict import check as ask

if TYPE_CHECKING:
    from gridassay.verify.mending.explanation import Explanation

EngineChoice = Literal["any", "sat", "cp", "both"]


class Wishes(NamedTuple):
    """Options of the command line for an explanation."""

    solution: str | None
    any_solution: bool
    limit: int


def tell_verdicts(
    files: Sequence[str],
    budget: float,
    engine: EngineChoice,
    wishes: Wishes,
    *,
    blind: bool,
    warn: bool,
) -> int:
    """Write the verdict on every puzzle of the files; gives the exit code."""
    code = ExitCode()
    for puzzle, clock in with_clocks(files, budget):
        try:
            if isinstance(puzzle, PuzzleError):
                raise puzzle
            verdict = ask(puzzle, engine=engine, budget=clock)
            if blind:
                result = _without_digits(verdict.to_json())
            elif verdict.status in ("none", "multiple"):
                result = explain_verdict(verdict, wishes, clock).to_json()
            else:
                result = verdict.to_json()
            if warn and puzzle.rules:
                result["warnings"] = list(warnings_of(puzzle, clock))
        except PuzzleError as error:
            code.add(BAD_INPUT)
            tell(error, as_json=True)
        except Exception as error:
            code.add(FAULT)
            tell(fault_of(error, puzzle.source), as_json=True)
        else:
            code.add(code_of(verdict.status, verdict.met))
            print_json(result)
    return code.code


def plain_files(arguments: Sequence[str]) -> list[str]:
    """The files of a command line that asks only for verdicts in JSON."""
    files = [one for one in arguments[1:] if one != "--json"]
    plain = arguments[:1] == ["check"] and len(files) == len(arguments) - 2
    found = all(one == "-" or (one[:1] != "-" and Path(one).is_file()) for one in files)
    return files if plain and found else []


def tell_plainly(files: Sequence[str]) -> int:
    """Do what ``check --json`` does with these files; gives the exit code."""
    wishes = Wishes(None, any_solution=False, limit=DEFAULT_LIMIT)
    return tell_verdicts(files, DEFAULT_SECONDS, "any", wishes, blind=False, warn=True)


def warnings_of(puzzle: Puzzle, clock: Clock) -> tuple[str, ...]:
    """Likely slips, in words."""
    if not (puzzle.rules or puzzle.layers):
        return ()
    # Imported here: a line of givens has nothing to warn of.
    from gridassay.verify.mending.cautions import warnings

    return warnings(puzzle, clock)


def explain_verdict(verdict: Verdict, wishes: Wishes, clock: Clock) -> Explanation:
    """Raises PuzzleError if the solution named is not a solution."""
    # Imported here: a puzzle with one solution needs none of it.
    from gridassay.verify.counting.answers import read_solution
    from gridassay.verify.mending.explanation import explain

    kept = None
    if wishes.solution is not None and verdict.status == "multiple":
        # Without time to check the solution there is no time to find a repair towards it either.
        with suppress(OutOfTime):
            kept = read_solution(verdict.puzzle, wishes.solution, clock)
    return explain(
        verdict, budget=clock, solution=kept, any_solution=wishes.any_solution, limit=wishes.limit
    )


def _without_digits(result: dict[str, Any]) -> dict[str, Any]:
    shown = ("title", "source", "verdict", "engine", "seconds")
    return {key: result[key] for key in shown}
