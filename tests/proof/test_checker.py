"""Refutations made by hand, some of them published, and the same with a wrong step."""

import ast
import shutil
import subprocess
import sys
from collections.abc import Callable
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridassay.verify.proof import checker
from gridassay.verify.proof.checker import (
    ProofRefused,
    check_drat,
    check_lrat,
    parse_drat,
    parse_lrat,
)

Formula = list[tuple[int, ...]]

# Rivest's eight clauses, unsatisfiable and none of them wasted, with the certificate (12, 1, 2, ε):
# Knuth, The Art of Computer Programming, section 7.2.2.2 (from memory; checked by hand).
RIVEST: Formula = [
    (1, 2, -3), (2, 3, -4), (3, 4, 1), (4, -1, 2),
    (-1, -2, 3), (-2, -3, 4), (-3, -4, -1), (-4, 1, -2),
]  # fmt: skip
RIVEST_DRAT = "1 2 0\n1 0\n2 0\n0\n"
RIVEST_LRAT = "9 1 2 0 1 2 3 0\n10 1 0 9 8 3 6 0\n11 2 0 10 4 2 7 0\n12 0 10 11 5 6 7 0\n"

# Three pigeons, two holes. If the first sits in the first hole, the others both sit in the second;
# so it sits in the second, and the others both in the first.
PIGEONS_3_2_DRAT = "-1 0\n0\n"
PIGEONS_3_2_LRAT = "10 -1 0 4 5 2 3 9 0\n11 0 10 1 7 8 2 3 6 0\n"

# Four pigeons, three holes, by cases of where the first two sit.
PIGEONS_4_3_DRAT = "-1 -5 0\n-1 -6 0\n-1 0\n-2 -4 0\n-2 -6 0\n-2 0\n-4 0\n0\n"


def parity(variables: tuple[int, ...], odd: bool) -> Formula:
    """The clauses of x + y + … = odd modulo 2: one for each assignment that it excludes."""
    return [
        tuple(-v if value else v for v, value in zip(variables, values, strict=True))
        for values in product((False, True), repeat=len(variables))
        if sum(values) % 2 != odd
    ]


# x + y, y + z and z + x all odd: their total is even, but has to be odd.
ODD_CYCLE = parity((1, 2), True) + parity((2, 3), True) + parity((3, 1), True)
# x + y + z odd and even.
BOTH_PARITIES = parity((1, 2, 3), True) + parity((1, 2, 3), False)


def test_accepts_published_and_textbook_refutations(
    pigeonholes: Callable[[int, int], Formula],
) -> None:
    assert check_drat(RIVEST, parse_drat(RIVEST_DRAT)) == 3  # after 1 and 2 nothing is left open
    assert check_lrat(RIVEST, parse_lrat(RIVEST_LRAT)) == 4
    assert check_drat(pigeonholes(3, 2), parse_drat(PIGEONS_3_2_DRAT)) == 1
    assert check_lrat(pigeonholes(3, 2), parse_lrat(PIGEONS_3_2_LRAT)) == 2
    assert check_drat(pigeonholes(4, 3), parse_drat(PIGEONS_4_3_DRAT)) == 7
    assert check_drat(ODD_CYCLE, parse_drat("-1 0\n")) == 1
    assert check_drat(BOTH_PARITIES, parse_drat("1 2 0\n1 0\n2 0\n")) == 3


def test_the_second_to_last_step_of_a_refutation_may_complete_it() -> None:
    assert check_drat(RIVEST, parse_drat("1 2 0\n1 0\n2 0\n")) == 3


@pytest.mark.parametrize(
    ("proof", "message"),
    [
        ("1 0\n2 0\n0\n", "line 1: clause (1) does not follow"),  # without the case 1 2
        ("1 2 0\n-1 0\n0\n", "line 2: clause (-1) does not follow"),
        ("1 2 0\n0\n", "line 2: the empty clause does not follow"),
        ("1 2 0\nd 3 4 1 0\n1 0\n0\n", "line 3: clause (1) does not follow"),
        ("5 0\n1 2 0\n1 0\n0\n", "line 1: clause (5) does not follow"),  # RAT, as 5 is new
        ("1 2 0\n1 2 3 0\n", "the proof ends before"),
        ("", "the proof ends before"),
    ],
)
def test_refuses_drat_with_a_wrong_step(proof: str, message: str) -> None:
    with pytest.raises(ProofRefused) as refused:
        check_drat(RIVEST, parse_drat(proof))
    assert message in str(refused.value)


@pytest.mark.parametrize("left_out", range(6))
def test_four_pigeons_need_the_cases(
    pigeonholes: Callable[[int, int], Formula], left_out: int
) -> None:
    steps = list(parse_drat(PIGEONS_4_3_DRAT))
    with pytest.raises(ProofRefused):
        check_drat(pigeonholes(4, 3), steps[:left_out] + steps[left_out + 1 : -2])


@pytest.mark.parametrize(
    ("proof", "message"),
    [
        ("9 1 2 0 1 2 0", "line 1: the hints end without a conflict"),
        ("9 1 2 0 2 1 3 0", "line 1: hint 2 leaves 2 literals open"),
        ("9 1 2 0 1 1 2 3 0", "line 1: hint 1 gives -3, which is known already"),
        ("9 1 2 0 1 2 3 4 0", "line 1: hint 4 comes after the conflict"),
        ("9 1 2 0 1 2 17 0", "line 1: hint 17: this clause does not exist"),
        ("9 1 2 0 1 2 9 0", "line 1: hint 9: this clause does not exist"),
        ("9 1 2 0 1 2 -3 0", "line 1: hint -3 is for a RAT step"),
        ("9 1 2 0 0", "line 1: the hints end without a conflict"),
        ("9 1 -1 0 1 0", "line 1: clause (1 -1) has two opposite literals"),
        ("8 1 2 0 1 2 3 0", "line 1: number 8 does not come after 8"),
        ("9 1 2 0 1 2 3 0\n9 1 0 9 8 3 6 0", "line 2: number 9 does not come after 9"),
        (
            "9 1 2 0 1 2 3 0\n9 d 9 0\n10 1 0 9 8 3 6 0",
            "line 3: hint 9: this clause does not exist",
        ),
        ("9 d 1 0\n9 1 2 0 1 2 3 0", "line 2: hint 1: this clause does not exist"),
        ("9 d 1 1 0", "line 1: no clause 1 to delete"),
        ("9 d -1 0", "line 1: no clause -1 to delete"),
        ("9 1 2 0 1 2 3 0\n10 1 0 9 8 3 6 0\n11 2 0 10 4 2 7 0", "the proof ends before"),
        ("", "the proof ends before"),
    ],
)
def test_refuses_lrat_with_a_wrong_step(proof: str, message: str) -> None:
    with pytest.raises(ProofRefused) as refused:
        check_lrat(RIVEST, parse_lrat(proof))
    assert message in str(refused.value)


def test_no_proof_is_needed_where_propagation_is_enough() -> None:
    assert check_drat([(1,), (-1, 2), (-2,)], []) == 0
    assert check_drat([(1, 2), ()], []) == 0
    assert check_lrat([(1, 2), ()], []) == 0
    with pytest.raises(ProofRefused):
        check_lrat([(1,), (-1, 2), (-2,)], [])  # LRAT has to say how


def test_deleting_a_clause_leaves_what_it_made_true() -> None:
    formula: Formula = [(1,), (-1, 2), (-2, 3, 4), (-2, 3, -4), (-2, -3, 4), (-2, -3, -4)]
    assert check_drat(formula, parse_drat("d 1 0\nd 2 -1 0\n3 0\n")) == 3


def test_deleting_takes_one_copy_and_ignores_what_is_not_there() -> None:
    assert check_drat([*RIVEST, RIVEST[2]], parse_drat("d 1 3 4 0\nd 1 9 0\n" + RIVEST_DRAT)) == 5
    with pytest.raises(ProofRefused):
        check_drat([*RIVEST, RIVEST[2]], parse_drat("d 1 3 4 0\nd 4 3 1 0\n" + RIVEST_DRAT))


def test_repeated_and_opposite_literals_do_no_harm() -> None:
    formula: Formula = [(1, 1), (2, -2), (-1, 3, 3, -1), (-3, -3, 2), (4, -2, -2), (-4, -2)]
    assert check_drat(formula, []) == 0
    assert check_drat(RIVEST, parse_drat("5 -5 0\n2 1 2 0\n3 -3 2 0\n1 1 0\n2 0\n")) == 5


@given(st.data())
def test_what_has_a_solution_is_never_refuted(data: st.DataObject) -> None:
    n = data.draw(st.integers(1, 6))
    solution = data.draw(st.tuples(*(st.sampled_from((v, -v)) for v in range(1, n + 1))))
    literals = st.integers(1, n + 1).flatmap(lambda v: st.sampled_from((v, -v)))
    clauses = st.lists(st.lists(literals, max_size=4).map(tuple), max_size=25)
    formula = [c for c in data.draw(clauses) if not set(solution).isdisjoint(c)]
    drat = [
        checker.DratStep(line, literals, delete)
        for line, literals, delete in data.draw(
            st.lists(
                st.tuples(st.integers(1), st.lists(literals, max_size=4).map(tuple), st.booleans())
            )
        )
    ]
    with pytest.raises(ProofRefused):
        check_drat(formula, [*drat, checker.DratStep(0, ())])
    numbers = st.integers(-2, len(formula) + 10)
    hints = st.lists(numbers, max_size=5).map(tuple)
    lrat = [
        checker.LratStep(line, len(formula) + line, literals, hints)
        for line, (literals, hints) in enumerate(
            data.draw(st.lists(st.tuples(st.lists(literals, max_size=3).map(tuple), hints))), 1
        )
    ]
    with pytest.raises(ProofRefused):
        check_lrat(formula, lrat)


def test_imports_the_standard_library_and_nothing_else() -> None:
    tree = ast.parse(Path(checker.__file__).read_text(encoding="utf-8"))
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names.update(alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").split(".")[0])
    assert names
    assert names <= set(sys.stdlib_module_names)


def run(folder: Path, *names: str) -> tuple[int, str]:
    """Run the checker as a stranger would: a copy of the one file, and Python without packages."""
    shutil.copy(checker.__file__, folder / "checker.py")
    result = subprocess.run(
        [sys.executable, "-I", "-S", "checker.py", *names],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )
    return result.returncode, result.stdout + result.stderr


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    lines = [" ".join(map(str, clause)) + " 0\n" for clause in RIVEST]
    (tmp_path / "formula.cnf").write_text("c by hand\np cnf 4 8\n" + "".join(lines))
    (tmp_path / "good.drat").write_text(RIVEST_DRAT)
    (tmp_path / "good.lrat").write_text(RIVEST_LRAT)
    (tmp_path / "bad.drat").write_text("1 2 0\n0\n")
    (tmp_path / "bad.lrat").write_text(RIVEST_LRAT.replace("9 8 3 6", "9 3 8 6"))
    (tmp_path / "binary.drat").write_bytes(b"a\x02\x81\x00")
    return tmp_path


def test_runs_as_a_program_on_its_own(folder: Path) -> None:
    assert run(folder, "formula.cnf", "good.drat") == (
        0,
        "refuted: 8 clauses over 4 variables, 3 proof steps\n",
    )
    assert run(folder, "formula.cnf", "good.lrat")[0] == 0
    assert run(folder, "formula.cnf", "bad.drat") == (
        1,
        "bad.drat: refused: line 2: the empty clause does not follow by unit propagation"
        " (RAT steps are not accepted)\n",
    )
    assert run(folder, "formula.cnf", "bad.lrat") == (
        1,
        "bad.lrat: refused: line 2: hint 3 leaves 2 literals open\n",
    )
    assert run(folder, "good.drat", "good.drat") == (
        1,
        "good.drat: refused: line 1: expected the header 'p cnf VARIABLES CLAUSES'\n",
    )


def test_says_in_one_line_what_cannot_be_read(folder: Path) -> None:
    assert run(folder, "formula.cnf", "none.drat") == (2, "none.drat: No such file or directory\n")
    assert run(folder, "formula.cnf", "binary.drat") == (
        2,
        "binary.drat: not a text file (binary proofs are not read)\n",
    )
    for names in ((), ("formula.cnf",), ("formula.cnf", "good.txt")):
        assert run(folder, *names) == (2, "usage: checker.py FORMULA.cnf PROOF.drat|PROOF.lrat\n")
