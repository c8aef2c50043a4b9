"""Refutations by solvers: always judged by our checker, with and without hints."""

import random
from collections.abc import Callable
from itertools import count

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pysat.solvers import Solver

from gridassay.verify.proof.checker import (
    ProofRefused,
    check_drat,
    check_lrat,
    parse_drat,
    parse_lrat,
)
from gridassay.verify.proof.lrat import to_text, with_hints
from gridassay.verify.proof.refute import refutation

Formula = list[tuple[int, ...]]
LOGGING_SOLVERS = ("cadical153", "cadical195", "lingeling", "glucose4", "maplechrono")


def logged(solver_name: str, formula: Formula, assumptions: tuple[int, ...] = ()) -> str:
    """The log of a solver that finds no solution."""
    with Solver(name=solver_name, bootstrap_with=formula, with_proof=True) as solver:
        assert solver.solve(assumptions=assumptions) is False
        return "\n".join(solver.get_proof())


def check_both(formula: Formula, proof: list[str]) -> None:
    """Check a DRAT proof, and the LRAT proof made from it."""
    steps = list(parse_drat("\n".join(proof)))
    check_drat(formula, steps)
    hinted = with_hints(formula, steps)
    assert check_lrat(formula, hinted) in (0, len(hinted))  # 0: the empty clause is given


literals = st.integers(1, 5).flatmap(lambda v: st.sampled_from((v, -v)))
clauses = st.one_of(
    st.lists(literals, min_size=3, max_size=3), st.lists(literals, max_size=4, min_size=1)
).map(tuple)


@settings(max_examples=15, deadline=None)
@given(st.randoms(use_true_random=False))
def test_random_3sat_far_above_the_threshold(chance: random.Random) -> None:
    n = chance.randint(20, 40)
    formula = [
        tuple(v * chance.choice((1, -1)) for v in chance.sample(range(1, n + 1), 3))
        for _ in range(7 * n)
    ]
    proof = refutation(formula)
    with Solver(name="minisat22", bootstrap_with=formula) as other:
        assert other.solve() == (proof is None)
    if proof is not None:
        check_both(formula, proof)


def test_refutes_an_empty_clause_and_opposite_units() -> None:
    formulas: list[Formula] = [[()], [(1, 2), ()], [(1,), (-1,)], [(1,), (-1, 2), (-2,)]]
    for formula in formulas:
        proof = refutation(formula)
        assert proof is not None
        check_both(formula, proof)
    assert refutation([]) is None


@pytest.mark.parametrize("seed", range(3))
def test_a_blocked_sudoku(blocked_sudoku: Callable[[int, int], Formula], seed: int) -> None:
    formula = blocked_sudoku(3, seed)
    proof = refutation(formula)
    assert proof is not None
    check_both(formula, proof)
    assert refutation(formula[:-1]) is None  # the solution itself, no longer forbidden
    with pytest.raises(ProofRefused):
        check_drat(formula[:-1], parse_drat("\n".join(proof)))


def test_hints_keep_only_what_is_needed(pigeonholes: Callable[[int, int], Formula]) -> None:
    formula = pigeonholes(3, 2)
    unused = [(number, number + 1) for number in range(10, 20)]
    steps = parse_drat("\n".join(f"{a} {b} 5 6 0" for a, b in unused) + "\n-1 0\n-1 5 0\n0\n")
    formula += unused
    hinted = with_hints(formula, steps)
    assert hinted[0].literals == (-1,)
    assert hinted[0].number == len(formula) + 1
    assert all(set(step.literals) <= set(range(-6, 7)) for step in hinted)
    assert check_lrat(formula, hinted) == len(hinted)


def test_no_step_and_no_hint_is_superfluous(
    pigeonholes: Callable[[int, int], Formula], blocked_sudoku: Callable[[int, int], Formula]
) -> None:
    for formula in (pigeonholes(5, 4), blocked_sudoku(2, 3)):
        proof = refutation(formula)
        assert proof is not None
        hinted = with_hints(formula, parse_drat("\n".join(proof)))
        numbers = [step.number for step in hinted]
        assert numbers == list(range(len(formula) + 1, len(formula) + len(hinted) + 1))
        assert {hint for step in hinted for hint in step.hints} >= set(numbers[:-1])
        for place, step in enumerate(hinted):
            for left_out in range(len(step.hints)):
                hints = step.hints[:left_out] + step.hints[left_out + 1 :]
                changed = [*hinted[:place], step._replace(hints=hints)]
                with pytest.raises(ProofRefused, match=f"^line {step.line}: "):
                    check_lrat(formula, changed)


def test_what_propagation_refutes_is_spelt_out() -> None:
    assert to_text(with_hints([(-1, 2), (1,), (-2,)], [])) == "4 0 3 2 1 0\n"
    hinted = with_hints([(-1, 2), (1,), (-2, -1, 3), (-3, -2)], [])
    assert to_text(hinted) == "5 2 0 2 1 0\n6 3 0 2 5 3 0\n7 0 5 6 4 0\n"
    assert list(parse_lrat(to_text(hinted))) == hinted


class Countdown:
    """A clock that allows some checks and then says that time is up."""

    def __init__(self, allowed: int) -> None:
        self.checks = count(1)
        self.allowed = allowed
        self.seen = 0

    def check(self) -> None:
        self.seen = next(self.checks)
        if self.seen > self.allowed:
            raise TimeoutError


def test_a_proof_found_in_many_slices_is_whole(
    pigeonholes: Callable[[int, int], Formula],
) -> None:
    formula = pigeonholes(8, 7)
    clock = Countdown(10_000)
    proof = refutation(formula, clock)
    assert proof is not None
    assert clock.seen > 2
    check_both(formula, proof)


def test_stops_when_the_clock_says_so(pigeonholes: Callable[[int, int], Formula]) -> None:
    clock = Countdown(2)
    with pytest.raises(TimeoutError):
        refutation(pigeonholes(10, 9), clock)
    assert clock.seen == 3


@pytest.mark.parametrize("solver_name", LOGGING_SOLVERS)
def test_other_solvers_logs_pass_too(
    solver_name: str, pigeonholes: Callable[[int, int], Formula]
) -> None:
    formulas: list[Formula] = [pigeonholes(3, 2), pigeonholes(6, 5), [(1,), (-1,)]]
    for formula in formulas:
        check_both(formula, logged(solver_name, formula).splitlines())


def test_an_empty_log_passes_only_where_propagation_is_enough(
    pigeonholes: Callable[[int, int], Formula],
) -> None:
    formula: Formula = [(1,), (-1, 2), (-2, -1)]
    assert logged("glucose4", formula) == ""
    assert check_drat(formula, []) == 0
    with pytest.raises(ProofRefused):
        check_drat(pigeonholes(3, 2), [])


@pytest.mark.parametrize("solver_name", LOGGING_SOLVERS)
def test_what_is_logged_under_assumptions_refutes_nothing(
    solver_name: str, pigeonholes: Callable[[int, int], Formula]
) -> None:
    """Some solvers end with the empty clause here, though 7 alone satisfies the formula."""
    formula = [(*clause, 7) for clause in pigeonholes(3, 2)]
    steps = parse_drat(logged(solver_name, formula, assumptions=(-7,)))
    for check in (check_drat, with_hints):
        with pytest.raises(ProofRefused):
            check(formula, steps)


def test_a_truncated_proof_is_refused(
    pigeonholes: Callable[[int, int], Formula],
) -> None:
    formula = pigeonholes(6, 5)
    proof = refutation(formula)
    assert proof is not None
    for cut in (0, 1, len(proof) // 4, len(proof) // 2):
        with pytest.raises(ProofRefused, match="ends before"):
            check_drat(formula, parse_drat("\n".join(proof[:cut])))
    hinted = with_hints(formula, parse_drat("\n".join(proof)))
    for cut in (0, 1, len(hinted) // 2, len(hinted) - 1):
        with pytest.raises(ProofRefused, match="ends before"):
            check_lrat(formula, hinted[:cut])
