"""The checker reads what it should, and refuses the rest with the line at fault and nothing else."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gridassay.verify.proof.checker import (
    DratStep,
    LratDeletion,
    LratStep,
    ProofRefused,
    check_drat,
    check_lrat,
    parse_dimacs,
    parse_drat,
    parse_lrat,
)


def test_reads_a_formula_with_comments_and_an_empty_clause() -> None:
    text = "c r1c1 is 1\np cnf 3 3\n1 -2 0\r\nc\n\n 3\t0\n0\n"
    assert parse_dimacs(text) == (3, [(1, -2), (3,), ()])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "line 1: expected the header"),
        ("1 2 0\n", "line 1: expected the header"),
        ("p cnf 2\n", "line 1: expected the header"),
        ("p cnf -2 1\n1 0\n", "line 1: expected the header"),
        (f"p cnf {'9' * 5000} 1\n1 0\n", "line 1: expected the header"),
        ("p cnf 2 1\n1 2\n", "line 2: the closing 0 is missing"),
        ("p cnf 2 1\n1 0 2 0\n", "line 2: a 0 stands before the end"),
        ("p cnf 2 1\nc map\n1 3 0\n", "line 3: a variable beyond the 2 of the header"),
        ("p cnf 2 1\n1 -3 0\n", "line 2: a variable beyond"),
        ("p cnf 2 2\n1 2 0\n", "1 clauses, but the header announces 2"),
        ("p cnf 2 1\n1 0\n2 0\n", "line 3: more than 1 clauses"),
        ("p cnf 2 1\n1 x 0\n", "line 2: 'x' is not a number"),
        ("p cnf 2 1\n1 +2 0\n", "line 2: '+2' is not a number"),
        ("p cnf 2 1\n1 -0 0\n", "line 2: '-0' is not a number"),
        ("p cnf 2 1\n1 02 0\n", "line 2: '02' is not a number"),
        ("p cnf 20 1\n1_0 0\n", "line 2: '1_0' is not a number"),
        ("p cnf 2 1\n٢ 0\n", "line 2: '\\u0662' is not a number"),
        (f"p cnf 2 1\n{'7' * 5000} 0\n", "line 2: '77777777777777777777' is not a number"),
        ("p cnf 2 1\n1\x0b2 0\n", "line 2: '1\\x0b2' is not a number"),
        ("p cnf 2 1\np cnf 2 1\n1 0\n", "line 2: 'p' is not a number"),
    ],
)
def test_refuses_a_malformed_formula(text: str, message: str) -> None:
    with pytest.raises(ProofRefused) as refused:
        parse_dimacs(text)
    assert message in str(refused.value)


def test_reads_additions_and_deletions() -> None:
    assert list(parse_drat("c ours\n1 -2 0\n\nd 1 -2 0\n0\n")) == [
        DratStep(2, (1, -2)),
        DratStep(4, (1, -2), delete=True),
        DratStep(5, ()),
    ]


@pytest.mark.parametrize("text", ["1 2\n", "1 0 2 0\n", "d 1 2\n", "d\n", "e 1 0\n", "dd 1 0\n"])
def test_refuses_a_malformed_drat_line(text: str) -> None:
    with pytest.raises(ProofRefused, match=r"^line 2: "):
        list(parse_drat("1 0\n" + text))


def test_reads_hints_and_deletions_by_number() -> None:
    assert list(parse_lrat("9 1 -2 0 3 4 0\n9 d 3 4 0\n10 0 9 -1 0\n")) == [
        LratStep(1, 9, (1, -2), (3, 4)),
        LratDeletion(2, (3, 4)),
        LratStep(3, 10, (), (9, -1)),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "9 1 -2 0 3 4\n",
        "9 1 -2 0\n",
        "0 1 0 3 0\n",
        "-9 1 0 3 0\n",
        "9 1 0 3 0 4 0\n",
        "0\n",
        "9\n",
        "d 1 0\n",
        "9 d 3 4\n",
        "9 d 3 0 4 0\n",
        f"{'9' * 5000} 1 0 3 0\n",
        f"9 1 0 {'3' * 5000} 0\n",
    ],
)
def test_refuses_a_malformed_lrat_line(text: str) -> None:
    with pytest.raises(ProofRefused, match=r"^line 2: "):
        list(parse_lrat("c\n" + text))


# Characters of proofs are likelier than others, so that some of the text is read.
_TEXT = st.text(alphabet=st.sampled_from("0123456789 - \n\tdpcnf") | st.characters())


@given(_TEXT)
@example("1" * 5000)
@example("-" * 5000 + " 0")
@example("1 " * 5000)
def test_any_text_is_read_or_refused(text: str) -> None:
    formula = [(1, 2), (-1, 2), (1, -2)]
    with pytest.raises(ProofRefused):
        check_drat(formula, parse_drat(text))  # the formula has a solution
    with pytest.raises(ProofRefused):
        check_lrat(formula, parse_lrat(text))
    try:
        n_variables, clauses = parse_dimacs(text)
    except ProofRefused:
        return
    assert all(abs(literal) <= n_variables for clause in clauses for literal in clause)
