"""Exports as others read them: the same verdicts there, and their answers read back plainly.

The readers are CaDiCaL (Debian's binary), clasp (which comes with clingo) and python-sat's own.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pysat.formula import CNF
from pysat.solvers import Solver

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify import check, export, read
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.proof.checker import parse_dimacs
from gridassay.verify.proof.solutions import read_solution, write_solution

from .proof.puzzles import CLASSIC, IRREGULAR, LATIN, SIX, as_line, made

LETTERS = """
size = 4
letters = "different"
[[rule]]
kind = "cage"
cells = "r1c1 r1c2"
sum = "A"
[[rule]]
kind = "cage"
cells = "r3c1 r3c2 r3c3"
sum = "B"
"""
DOUBLERS = LETTERS.replace("[[rule]]", "[doublers]\n[[rule]]", 1)
NO_FIT = 'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 99\n'

PUZZLES = {
    "line": as_line(made(CLASSIC, 11)).decode(),
    "Latin": made(LATIN, 11).decode(),
    "irregular cages": made(IRREGULAR, 11, cages=4).decode(),
    "thermometers": made(SIX, 11, thermometers=4).decode(),
    "killer": made(CLASSIC, 11, cages=30).decode(),
    "several": "." * 36,
    "letters": LETTERS,
    "doublers": DOUBLERS,
    "none": "11" + "." * 14,
    "nothing fits": NO_FIT,
}


@pytest.fixture(scope="module", params=PUZZLES)
def puzzle(request: pytest.FixtureRequest) -> Puzzle:
    return read(PUZZLES[request.param], "tide.toml" if "=" in PUZZLES[request.param] else "tide")


def cadical(file: Path) -> set[int] | None:
    """The true literals that CaDiCaL finds, None if there is no solution."""
    program = shutil.which("cadical")
    if program is None:
        reason = "the cadical program is not installed (apt-get install cadical)"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    return answer([program, "-q", str(file)])


def clasp(file: Path) -> set[int] | None:
    """The same of clasp, which tells the formats apart by itself. A comma ends a name for it."""
    return answer([sys.executable, "-m", "clingo", "--mode=clasp", "--quiet=0,0"], file)


def answer(command: list[str], given: Path | None = None) -> set[int] | None:
    """The answer of a program in the output format of the solver competitions."""
    text = given.read_text() if given else ""
    done = subprocess.run(command, input=text, capture_output=True, text=True, check=False)
    said = re.findall(r"^s (.*)$", done.stdout, re.MULTILINE)
    if said == ["UNSATISFIABLE"]:
        return None
    assert said == ["SATISFIABLE"], done.stdout + done.stderr
    words = " ".join(re.findall(r"^v (.*)$", done.stdout, re.MULTILINE)).split()
    return {int(word.lstrip("x")) for word in words if not word.startswith("-")} - {0}


def python_sat(file: Path) -> set[int] | None:
    """The same of MiniSat behind python-sat's reader."""
    formula = CNF(from_file=str(file))
    with Solver(name="minisat22", bootstrap_with=formula) as solver:
        return {x for x in solver.get_model() if x > 0} if solver.solve() else None


READERS = {
    "cadical dimacs": (cadical, "dimacs"),
    "clasp dimacs": (clasp, "dimacs"),
    "python-sat dimacs": (python_sat, "dimacs"),
    "clasp opb": (clasp, "opb"),
}


def by_comments(text: str, puzzle: Puzzle, true: set[int]) -> Solution:
    """The solution that true variables stand for, by the comments of the file alone."""
    meant = dict[str, int]()
    for number, name, value in re.findall(r"^[c*] variable (\d+): (.*) is (\d+)$", text, re.M):
        if int(number) in true:
            assert name not in meant
            meant[name] = int(value)
    return tuple(meant[str(variable)] for variable in puzzle.board.shown)


@pytest.mark.parametrize("reader", READERS)
def test_others_give_the_same_verdict(puzzle: Puzzle, reader: str, tmp_path: Path) -> None:
    ask, format = READERS[reader]
    verdict = check(puzzle)
    file = tmp_path / f"tide.{format}"

    def asked(blocked: Solution | None) -> Solution | None:
        assert format in ("dimacs", "opb")
        text = export(puzzle, format, blocked=blocked).text()  # type: ignore[arg-type]
        file.write_text(text)
        true = ask(file)
        return None if true is None else by_comments(text, puzzle, true)

    found = asked(None)
    assert (found is None) == (verdict.status == "none")
    if found is not None:
        assert not [*puzzle.violations(found)]
        other = asked(found)
        assert (other is None) == (verdict.status == "unique")
        if other is not None:
            assert other != found
            assert not [*puzzle.violations(other)]


def strict_opb(text: str) -> tuple[int, list[set[int]]]:
    """Read the linear OPB format to the letter: the header, comments, sums that are clauses.

    After Roussel and Manquinho's format description: `* #variable= V #constraint= C` comes first,
    each sum has terms `+C xN`, a relation, a whole number and a semicolon.
    """
    first, *lines = text.removesuffix("\n").split("\n")
    header = re.fullmatch(r"\* #variable= (\d+) #constraint= (\d+)", first)
    assert header
    clauses = []
    for line in lines:
        if line.startswith("*"):
            continue
        assert re.fullmatch(r"([+-]\d+ x[1-9]\d* )+>= [+-]?\d+ ;", line), line
        terms = [(int(c), int(x)) for c, x in re.findall(r"([+-]\d+) x(\d+)", line)]
        bound = int(line.split(">= ")[1].split()[0])
        if sum(max(c, 0) for c, _ in terms) < bound:
            clauses.append(set[int]())
            continue
        assert {c for c, _ in terms} <= {1, -1}
        assert bound == 1 - sum(c < 0 for c, _ in terms)
        clauses.append({c * x for c, x in terms})
    assert len(clauses) == int(header[2])
    assert all(abs(x) <= int(header[1]) for clause in clauses for x in clause)
    return int(header[1]), clauses


def test_both_formats_say_the_same(puzzle: Puzzle) -> None:
    solutions = check(puzzle).solutions
    for blocked in (None, *solutions):
        dimacs = export(puzzle, "dimacs", blocked=blocked).text()
        opb = export(puzzle, "opb", blocked=blocked).text()
        variables, clauses = parse_dimacs(dimacs)
        assert strict_opb(opb) == (variables, [set(clause) for clause in clauses])
        comments = [line[2:] for line in dimacs.splitlines() if line.startswith("c")]
        assert comments == [line[2:] for line in opb.splitlines()[1:] if line.startswith("*")]


def test_a_rule_that_is_optional_is_absent() -> None:
    rule = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = "A"\n'
    on, off = (read(f"size = 4\n{rule}{extra}") for extra in ("", "optional = true\n"))
    assert "cage" in export(on).text()
    assert "cage" not in export(off).text()
    assert "A, which no rule mentions" in export(off).text()


def test_solutions_are_written_and_read_back(puzzle: Puzzle) -> None:
    for solution in check(puzzle).solutions:
        assert read_solution(puzzle, write_solution(puzzle, solution)) == solution


HOLES = 'rows = 2\ncolumns = 3\nhouses = "none"\ndigits = [0, 1]\ngivens = "_.. ..."'


@pytest.mark.parametrize(
    ("puzzle", "line", "message"),
    [
        ("." * 16, "", "0 symbols, but 4 rows of 4 are needed"),
        ("." * 16, "123412341234123", "15 symbols"),
        ("." * 16, "1234123412341235", "r4c4: '5' is not a digit here (1 to 4)"),
        ("." * 16, "123412341234123.", "r4c4: '.' is not a digit"),
        ("." * 16, "1234123412341234 A=3", "'A=3' is not an unknown of this puzzle"),
        (LETTERS, "1234123412341234", "the number of A is missing: write A=NUMBER"),
        (LETTERS, "1234123412341234 A=3 B=99", "B=99: B lies between 3 and 12"),
        (LETTERS, "1234123412341234 A=3 A=3 B=6", "named twice"),
        (LETTERS, "1234123412341234 A=+3 B=6", "'A=+3' is not an unknown"),
        (DOUBLERS, "1234123412341234 A=3 B=6 doubler=r9c9", "'doubler=r9c9' is not an unknown"),
        (HOLES, "101010", "r1c1: '1' stands where there is no cell"),
    ],
)
def test_what_is_no_full_grid_is_refused(puzzle: str, line: str, message: str) -> None:
    with pytest.raises(PuzzleError) as caught:
        read_solution(read(puzzle), line)
    assert message in str(caught.value)


def test_holes_are_read_over() -> None:
    assert read_solution(read(HOLES), "_01010") == (0, 1, 0, 1, 0)


def test_out_of_time() -> None:
    with pytest.raises(OutOfTime):
        export(read("." * 81), budget=Clock(-1))
