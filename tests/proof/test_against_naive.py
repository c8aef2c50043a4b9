"""Thousands of damaged proofs: our checker refuses exactly those that a naive one refuses.

The naive one shares nothing with ours: it reads the text itself, keeps clauses as sets, and
propagates by looking through all of them again and again. Many a damaged proof still is a proof.
"""

import random
from collections.abc import Callable, Iterable
from functools import partial

import pytest

from gridassay.verify.proof.checker import (
    ProofRefused,
    check_drat_text,
    check_lrat,
    check_lrat_text,
    parse_drat,
)
from gridassay.verify.proof.lrat import to_drat, to_text, with_hints
from gridassay.verify.proof.refute import refutation

Formula = list[tuple[int, ...]]
MUTATIONS = 1000  # of each proof


class MalformedError(Exception):
    """The naive reader cannot make sense of a line."""


def naive_numbers(line: str) -> list[int]:
    words = line.split()
    if not words or words[-1] != "0":
        raise MalformedError
    for word in words:
        digits = word.removeprefix("-")
        if not digits.isdigit() or len(digits) > 9 or (digits[0] == "0" and word != "0"):
            raise MalformedError
    return [int(word) for word in words]


def naive_clause(line: str) -> frozenset[int]:
    *literals, _ = naive_numbers(line)
    if 0 in literals:
        raise MalformedError
    return frozenset(literals)


def propagated(clauses: Iterable[frozenset[int]], true: set[int]) -> set[int] | None:
    """All that follows from the literals by unit propagation, None for a conflict."""
    true = set(true)
    grown = True
    while grown:
        grown = False
        for clause in clauses:
            if clause & true:
                continue
            left = [literal for literal in clause if -literal not in true]
            if not left:
                return None
            if len(left) == 1:
                true.add(left[0])
                grown = True
    return true


def naive_drat(formula: Formula, text: str) -> bool:
    """Whether the text refutes the formula, deletions read as DRAT-trim reads them."""
    steps = []
    for line in text.splitlines():
        if line.strip():
            delete = line.split()[0] == "d"
            steps.append((delete, naive_clause(line.replace("d", "", 1) if delete else line)))
    clauses = [frozenset(clause) for clause in formula]
    true = propagated(clauses, set())
    for delete, clause in steps:
        if true is None:
            return True
        if delete:
            if clause in clauses:
                clauses.remove(clause)
            continue
        negated = {-literal for literal in clause}
        if not (clause & negated or clause & true or propagated(clauses, true | negated) is None):
            return False
        clauses.append(clause)
        true = propagated(clauses, true)
    return true is None


def naive_lrat(formula: Formula, text: str) -> bool:
    """Whether the text refutes the formula: every hint gives one new literal, the last a conflict.

    An assignment is a set of literals here; a hint is judged by what it leaves of its clause.
    """
    steps: list[tuple[int, frozenset[int] | None, list[int]]] = []
    for line in text.splitlines():
        words = line.split()
        if words[1:2] == ["d"]:
            if not words[0].isdigit():
                raise MalformedError
            steps.append((0, None, list(map(int, words[2:-1]))))
            naive_clause(" ".join(words[2:]))
        elif words:
            number, *middle, _ = naive_numbers(line)
            if number < 1 or middle.count(0) != 1:
                raise MalformedError
            cut = middle.index(0)
            steps.append((number, frozenset(middle[:cut]), middle[cut + 1 :]))
    clauses = {number: frozenset(clause) for number, clause in enumerate(formula, 1)}
    highest = len(formula)
    for number, clause, numbers in steps:
        if clause is None:
            for gone in numbers:
                if gone not in clauses:
                    return False
                del clauses[gone]
            continue
        assigned = {-literal for literal in clause}
        if number <= highest or assigned & clause:
            return False
        for position, hint in enumerate(numbers, 1):
            left = [lit for lit in clauses.get(hint, [0, 0]) if lit == 0 or -lit not in assigned]
            if not left:
                if position < len(numbers):
                    return False
                break
            if len(left) > 1 or left[0] in assigned:
                return False
            assigned.add(left[0])
        else:
            return False
        if not clause:
            return True
        clauses[number] = clause
        highest = number
    return False


def accepts(check: Callable[[], object]) -> bool:
    try:
        return check() is not False
    except (ProofRefused, MalformedError):
        return False


def damage(lines: list[str], chance: random.Random, formula: Formula) -> list[str]:
    """The lines with one thing changed."""
    lines = list(lines)
    at = chance.randrange(len(lines))
    words = lines[at].split()
    word = chance.randrange(len(words))
    match chance.randrange(11):
        case 0:
            del lines[at]
            return lines
        case 1:
            words[word] = words[word][1:] if words[word][0] == "-" else "-" + words[word]
        case 2:
            old = words[word]
            place = chance.randrange(len(old))
            words[word] = old[:place] + chance.choice("0123456789") + old[place + 1 :]
        case 3:
            lines[at] = lines[at][: chance.randrange(len(lines[at]))]
            return lines
        case 4:
            doomed = chance.choice(formula)
            lines.insert(at, f"d {' '.join(map(str, doomed))} 0")
            return lines
        case 5:
            lines.insert(at, f"{words[0]} d {chance.randint(1, len(formula) + len(lines))} 0")
            return lines
        case 6:
            del words[word]
        case 7:
            words.insert(word, words[word])
        case 8:
            other = chance.randrange(len(words))
            words[word], words[other] = words[other], words[word]
        case 9:
            other = chance.randrange(len(lines))
            lines[at], lines[other] = lines[other], lines[at]
            return lines
        case 10:
            return lines[:at]
    lines[at] = " ".join(words)
    return lines


def random_3sat(n: int, m: int, seed: int) -> Formula:
    """Random clauses of three literals; far above 4.27 a variable they have no solution."""
    chance = random.Random(seed)
    return [
        tuple(v * chance.choice((1, -1)) for v in chance.sample(range(1, n + 1), 3))
        for _ in range(m)
    ]


@pytest.fixture(params=["pigeons 4 3", "pigeons 5 4", "3-SAT", "sudoku 4x4"])
def refuted(
    request: pytest.FixtureRequest,
    pigeonholes: Callable[[int, int], Formula],
    blocked_sudoku: Callable[[int, int], Formula],
) -> tuple[Formula, list[str]]:
    """A formula and the solver's refutation of it."""
    makers: dict[str, Callable[[], Formula]] = {
        "pigeons 4 3": partial(pigeonholes, 4, 3),
        "pigeons 5 4": partial(pigeonholes, 5, 4),
        "3-SAT": partial(random_3sat, 12, 80, 1),
        "sudoku 4x4": partial(blocked_sudoku, 2, 1),
    }
    formula = makers[request.param]()
    proof = refutation(formula)
    assert proof is not None
    return formula, proof


def test_damaged_drat(refuted: tuple[Formula, list[str]]) -> None:
    formula, proof = refuted
    assert naive_drat(formula, "\n".join(proof))
    chance = random.Random(6)
    verdicts = []
    for _ in range(MUTATIONS):
        text = "\n".join(damage(proof, chance, formula))
        expected = accepts(lambda: naive_drat(formula, text))  # noqa: B023 - called at once
        ours = accepts(lambda: check_drat_text(formula, text))  # noqa: B023
        assert ours == expected, text
        verdicts.append(ours)
    assert {True, False} == set(verdicts)


def test_damaged_lrat(refuted: tuple[Formula, list[str]]) -> None:
    formula, drat = refuted
    proof = to_text(with_hints(formula, parse_drat("\n".join(drat)))).splitlines()
    assert naive_lrat(formula, "\n".join(proof))
    chance = random.Random(17)
    verdicts = []
    for _ in range(MUTATIONS):
        text = "\n".join(damage(proof, chance, formula))
        expected = accepts(lambda: naive_lrat(formula, text))  # noqa: B023 - called at once
        ours = accepts(lambda: check_lrat_text(formula, text))  # noqa: B023
        assert ours == expected, text
        verdicts.append(ours)
    assert {True, False} == set(verdicts)


def test_hints_are_found_for_exactly_the_proofs_that_pass_without_deletions(
    refuted: tuple[Formula, list[str]],
) -> None:
    formula, proof = refuted
    chance = random.Random(2017)
    for _ in range(MUTATIONS // 4):
        text = "\n".join(damage(proof, chance, formula))
        added = "\n".join(line for line in text.split("\n") if not line.startswith("d"))
        passes = accepts(lambda: check_drat_text(formula, added))  # noqa: B023
        made = accepts(lambda: with_hints(formula, list(parse_drat(added))))  # noqa: B023
        assert made == passes
        if made:
            hinted = with_hints(formula, list(parse_drat(added)))
            check_lrat(formula, hinted)
            check_drat_text(formula, to_drat(hinted))
        elif accepts(lambda: check_drat_text(formula, text)):  # noqa: B023
            raise AssertionError("deletions made a proof pass")
