"""Relations, sequences and combinations: witnesses on small scopes, and counts from elsewhere."""

from __future__ import annotations

import re
from collections import Counter
from itertools import product

import pytest

from gridassay.encodings.constraints import Automaton
from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.counting.verdict import check
from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, bare, read_plainly, solutions, witnesses


def rule(kind: str, fields: str, header: str = "rule") -> str:
    return f'[[{header}]]\nkind = "{kind}"\n{fields}\n'


THREE = 'cells = "r1c1..r1c3"\n'


@pytest.mark.parametrize(
    "formula",
    [
        "a + c == 2*b",
        "a % b == c",
        "a // (b - c) == 1",  # undefined where b is c
        "b == c or a // (b - c) == 1",  # and then false as a whole
        "a < b < c",
        "a == c",
        "2 > 1",
        "1 > 2",
        "abs(a - b) != max(b, c) and not a ** b > 9",
    ],
)
def test_relation_witnesses(formula: str) -> None:
    witnesses(bare(1, 3, 4, rule("relation", f'{THREE}holds = "{formula}"')))


def test_a_relation_is_undefined_as_a_whole() -> None:
    puzzle = bare(1, 3, 3, rule("relation", THREE + 'holds = "b == c or a // (b - c) == 1"'))
    assert not any(row[1] == row[2] for row in read_plainly(puzzle))


SEVEN = 'cells = "r1c1..r1c7"\n'


@pytest.mark.parametrize(
    "formula",
    [
        "a + b + c + d + e + f + g == 10",
        "a < b or c + d + e + f + g > 11",
        "max(a, b, c, d) == min(e, f, g)",
        "not (a % b == c or d // (e - f) == g)",
        "a - b != A and A == c + d - e + f - g",
    ],
)
def test_formulas_over_many_cells_are_diagrams(
    formula: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("gridassay.encodings.rules.relations.TUPLE_LIMIT", 0)
    text = rule("relation", f'{SEVEN}holds = "{formula}"')
    puzzle = bare(1, 7, 2, text)
    (part,) = puzzle.rules[0].parts(puzzle.board)
    assert isinstance(part.constraint, Automaton)
    witnesses(puzzle)


def test_totals_of_many_cells_are_counted() -> None:
    # Compositions of 20 into six parts of 1 to 9: the coefficient of x^20 in (x + … + x^9)^6.
    totals = {0: 1}
    for _ in range(6):
        totals = dict(
            Counter(
                {
                    total: sum(totals.get(total - digit, 0) for digit in range(1, 10))
                    for total in range(1, 55)
                }
            )
        )
    text = rule("relation", 'cells = "r1c1..r1c6"\nholds = "a + b + c + d + e + f == 20"')
    puzzle = bare(1, 6, 9, text)
    (part,) = puzzle.rules[0].parts(puzzle.board)
    assert isinstance(part.constraint, Automaton)
    ways = {part.constraint.dfa.start: 1}
    for _ in range(6):
        after: Counter[int] = Counter()
        for state, number in ways.items():
            for digit in range(1, 10):
                if (state, digit) in part.constraint.dfa.step:
                    after[part.constraint.dfa.step[state, digit]] += number
        ways = dict(after)
    accepted = sum(ways.get(state, 0) for state in part.constraint.dfa.accepting)
    assert accepted == totals[20]


@pytest.mark.parametrize(
    "fields",
    [
        'each = "row triples"\nholds = "a + c != b"',
        'each = "column triples"\nholds = "a < b or b < c"',
        'offsets = [[1, 2]]\nholds = "a < b"',
        'offsets = [[2, 1], [1, -1]]\nholds = "a != b"',
        'each = "row neighbours"\nholds = "a + b >= A"',
    ],
)
def test_neighbourhoods_far_and_wide(fields: str) -> None:
    assert witnesses(bare(3, 3, 2, rule("relation", fields))) > 0


def test_relation_counts() -> None:
    # Arithmetic progressions of three terms in 1..9, the constant ones too: pairs of ends of one
    # parity, 5 * 5 + 4 * 4.
    puzzle = bare(1, 3, 9, rule("relation", THREE + 'holds = "a + c == 2*b"'))
    assert len(solutions(SatEngine(puzzle.model, CLOCK))) == 41


@pytest.mark.parametrize("formula", ["a + b == c", "a < b", "a == 2*b"])
def test_relations_read_values(formula: str) -> None:
    puzzle = bare(1, 3, 2, rule("relation", f'{THREE}holds = "{formula}"'), extra="[doublers]")
    assert witnesses(puzzle) > 0


def pairs(down: int, right: int) -> set[str]:
    found = set()
    for row, column in product(range(1, 4), repeat=2):
        if 1 <= row + down <= 3 and 1 <= column + right <= 3:
            found.add(f"r{row}c{column} r{row + down}c{column + right}")
    return found


@pytest.mark.parametrize(
    ("each", "expected"),
    [
        ("row neighbours", pairs(0, 1)),
        ("column neighbours", pairs(1, 0)),
        ("orthogonal neighbours", pairs(0, 1) | pairs(1, 0)),
        ("diagonal neighbours", pairs(1, 1) | pairs(1, -1)),
        (
            "2x2 squares",
            {
                f"r{r}c{c} r{r}c{c + 1} r{r + 1}c{c} r{r + 1}c{c + 1}"
                for r in (1, 2)
                for c in (1, 2)
            },
        ),
    ],
)
def test_each_names_every_neighbourhood_once(each: str, expected: set[str]) -> None:
    fields = f'each = "{each}"\nholds = "a != b"'
    puzzle = bare(3, 3, 2, rule("relation", fields))
    labels = [part.label.removeprefix("relation ") for part in puzzle.rules[0].parts(puzzle.board)]
    assert set(labels) == expected
    assert len(labels) == len(expected)


@pytest.mark.parametrize("each", ["row neighbours", "diagonal neighbours", "2x2 squares"])
def test_each_witnesses(each: str) -> None:
    witnesses(bare(2, 3, 2, rule("relation", f'each = "{each}"\nholds = "a < b or a * b == 4"')))


def test_nonconsecutive_by_formula() -> None:
    # Brute force over the 576 Latin squares of order 4 (OEIS A002860).
    formula = 'each = "orthogonal neighbours"\nholds = "abs(a - b) != 1"'
    puzzle = read_document('size = 4\nbox = "none"\n' + rule("relation", formula), "t.toml")
    squares = [
        rows
        for rows in product(
            [r for r in product((1, 2, 3, 4), repeat=4) if len(set(r)) == 4], repeat=4
        )
        if all(len(set(column)) == 4 for column in zip(*rows, strict=True))
    ]
    assert len(squares) == 576
    kept = {
        sum(rows, ())
        for rows in squares
        if not any(
            abs(rows[r][c] - rows[r + d][c + e]) == 1
            for r, c in product(range(4), repeat=2)
            for d, e in ((0, 1), (1, 0))
            if r + d < 4 and c + e < 4
        )
    }
    assert set(solutions(SatEngine(puzzle.model, CLOCK))) == kept


@pytest.mark.parametrize(("each", "count"), [("rows", 4), ("columns", 4), ("boxes", 4)])
def test_houses_of_a_relation(each: str, count: int) -> None:
    fields = f'each = "{each}"\nholds = "a < d"'
    puzzle = read_document("size = 4\n" + rule("relation", fields), "t.toml")
    assert len(list(puzzle.rules[0].parts(puzzle.board))) == count
    # Only the letters that are used make the table: 4 cells of 35 digits are not an obstacle.
    big = read_document("size = 25\n" + rule("relation", f'each = "{each}"\nholds = "a < b"'), "t")
    assert big.model


@pytest.mark.parametrize(
    "text", ["1.*", ".*(12|21).*", "[1-3]{2}4+", "[^2]*", "4", "(1|2)?(3|4){2,3}", ". . ."]
)
def test_sequence_witnesses(text: str) -> None:
    puzzle = bare(1, 3, 4, rule("sequence", f'{THREE}pattern = "{text}"'))
    # Outside check: Python's re module.
    expected = {
        row
        for row in product((1, 2, 3, 4), repeat=3)
        if re.fullmatch(text.replace(" ", ""), "".join(map(str, row)))
    }
    assert witnesses(puzzle) == len(expected)
    assert read_plainly(puzzle) == expected


TRUTHS = (
    rule("cage", 'cells = "r1c1 r1c2"\nsum = 4', "rule.of")
    + rule("thermometer", 'cells = "r1c1..r1c3"', "rule.of")
    + rule("relation", 'cells = "r1c2 r1c3"\nholds = "a == b"', "rule.of")
)


@pytest.mark.parametrize("kind", ["exactly", "at-least"])
@pytest.mark.parametrize("count", range(5))
def test_combination_witnesses(kind: str, count: int) -> None:
    puzzle = bare(1, 3, 4, rule(kind, f"count = {count}") + TRUTHS)
    # Read without the rules' classes, from the rule text.
    expected = 0
    for a, b, c in product(range(1, 5), repeat=3):
        true = (a != b and a + b == 4) + (a < b < c) + (b == c)
        expected += true == count if kind == "exactly" else true >= count
    assert witnesses(puzzle) == expected


def test_exactly_of_exactly() -> None:
    inner = rule("exactly", "count = 1", "rule.of") + TRUTHS.replace("rule.of", "rule.of.of")
    other = rule("cage", 'cells = "r1c3"\nsum = 2', "rule.of")
    puzzle = bare(1, 3, 3, rule("exactly", "count = 1") + inner + other)
    expected = 0
    for a, b, c in product(range(1, 4), repeat=3):
        one = ((a != b and a + b == 4) + (a < b < c) + (b == c)) == 1
        expected += one is not (c == 2)
    assert witnesses(puzzle) == expected


def test_a_lying_cage_lies_as_a_whole() -> None:
    liar = rule("exactly", "count = 0") + rule("cage", 'cells = "r1c1 r1c2"\nsum = 4', "rule.of")
    rows = read_plainly(bare(1, 2, 4, liar))
    assert (2, 2) in rows  # the total is right, but a digit repeats
    assert rows == set(product(range(1, 5), repeat=2)) - {(1, 3), (3, 1)}


def test_every_kind_of_clue_can_lie_with_letters_and_doublers() -> None:
    nested = rule("cage", 'cells = "r1c1 r1c2"\nsum = "A"', "rule.of") + rule(
        "x-sum", 'line = "r1"\nside = "left"\nsum = "A"', "rule.of"
    )
    assert witnesses(bare(1, 3, 3, rule("exactly", "count = 1") + nested)) > 0
    assert witnesses(bare(1, 2, 2, rule("exactly", "count = 1") + nested, extra="[doublers]")) > 0


def two_liars() -> Puzzle:
    first = rule("exactly", 'count = 1\nid = "harbour gossip"') + TRUTHS
    nested = rule("cage", 'cells = "r2c1"\nsum = 1\nid = "the ferry"', "rule.of")
    return bare(2, 3, 4, first + rule("at-least", "count = 1") + nested)


def test_combinations_are_named_and_drawn() -> None:
    puzzle = two_liars()
    assert puzzle.rule_names == ("harbour gossip", "at-least 1 of the ferry")
    gossip, ferry = puzzle.rules
    (part,) = gossip.parts(puzzle.board)
    assert part.label.startswith(
        "exactly 1 of cage r1c1 r1c2, thermometer r1c1 r1c2 r1c3, relation"
    )
    assert [shape.form for shape in gossip.shapes(puzzle.board)] == ["cage", "line", "line"]
    assert gossip.wording().startswith(
        "Of these 3 clues, exactly 1 is true and the others are false: the 4 cage r1c1 r1c2 (digits in a"
    )
    assert ferry.wording().startswith("Of this 1 clue, at least 1 is true: the ")


@pytest.mark.parametrize("count", [0, 1, 2])
def test_a_nested_rule_that_says_nothing_is_true(count: int) -> None:
    nested = rule("cage", 'cells = "r1c1"\nrepeats = true', "rule.of") + rule(
        "cage", 'cells = "r1c2"\nsum = 2', "rule.of"
    )
    expected = {0: 0, 1: 2 * 3, 2: 3}[count]
    assert witnesses(bare(1, 2, 3, rule("exactly", f"count = {count}") + nested)) == expected


def test_a_count_that_cannot_be_is_no_error() -> None:
    for kind in ("exactly", "at-least"):
        puzzle = bare(1, 3, 4, rule(kind, "count = 4") + TRUTHS)
        assert check(puzzle).status == "none"


def test_errors_are_told_of_the_rule_that_has_them() -> None:
    # The letter of the second rule cannot be told before its diagonal is known to be one.
    texts = (
        rule("cage", 'cells = "r1c1 r1c9"'),
        rule("little-killer", 'start = ""\ndirection = "down-right"\nsum = "A"'),
    )
    with pytest.raises(PuzzleError, match=r"t\.toml:6: rule 2 \(little-killer\): start: one cell"):
        read_document("".join(texts), "t.toml")


def test_clues_beyond_all_totals_are_none_for_both_engines() -> None:
    for clue in (10**9, -(10**9)):
        puzzle = bare(
            1, 3, 3, rule("head-sum", f'line = "r1"\nside = "left"\nlength = 2\nsum = {clue}')
        )
        assert check(puzzle, engine="both").status == "none"


BIG = 'cells = "r1c1..r1c9"\nholds = "1000*a + 100*b + 10*c + d == e*f"'


@pytest.mark.parametrize(
    ("size", "text", "line", "message"),
    [
        (9, rule("relation", BIG), 5, "6 cells are too many for this formula"),
        (9, rule("relation", THREE + 'holds = "a + d"'), 5, "holds: column 5: 'd' is unknown"),
        (9, rule("relation", THREE + 'holds = "a == 1 ="'), 5, "holds: column 8: '='"),
        (
            9,
            rule("relation", 'holds = "a == 1"'),
            2,
            "give cells, each or offsets, one of the three",
        ),
        (9, rule("relation", 'each = "row"\nholds = "a == b"'), 4, "each: 'row' is not 'row neigh"),
        (9, rule("relation", 'cells = "r1c1 r1c1"\nholds = "a == b"'), 4, "r1c1 is listed twice"),
        (
            7,
            rule("relation", 'each = "boxes"\nholds = "a < b"'),
            4,
            "each: there are no boxes here",
        ),
        (30, rule("relation", 'each = "rows"\nholds = "a < b"'), 4, "rows have 30 cells, but"),
        (9, rule("relation", THREE + 'holds = "a<b"\ngrid = "A"'), 6, "grid goes with each"),
        (9, rule("cage", f"{THREE}sum = {10**9 + 1}"), 5, "sum: a number is at most 1,000,000,000"),
        (
            9,
            rule("head-digits", f'line = "r1"\nside = "left"\ndigits = [{-(10**20)}]'),
            6,
            "a whole number has at most 15 figures",
        ),
        (9, rule("sequence", THREE + 'pattern = "12("'), 5, "pattern: column 4: ')' is missing"),
        (6, rule("sequence", THREE + 'pattern = "7"'), 5, "'7' is not a digit here"),
        (9, rule("exactly", "count = 1"), 2, "of is missing"),
        (9, rule("exactly", "count = 1\nof = []"), 5, "at least one nested rule is needed"),
        (9, rule("exactly", "count = -1\nof = [{}]"), 4, "count: input should be greater than or"),
        (
            9,
            rule("exactly", "count = 1") + rule("cage", 'cells = "r1c1"\nsume = 3', "rule.of"),
            8,
            "rule 1 (exactly): nested rule 1 (cage): there is no field 'sume'; did you mean 'sum'?",
        ),
        (
            9,
            rule("exactly", "count = 1") + rule("relation", 'cels = "r1c1"', "rule.of"),
            7,
            "nested rule 1 (relation): there is no field 'cels'; did you mean 'cells'?",
        ),
        (
            9,
            rule("exactly", "count = 1") + TRUTHS + rule("cag", "sum = 3", "rule.of"),
            17,
            "rule 1 (exactly): nested rule 4 (cag): there is no rule 'cag'; did you mean 'cage'?",
        ),
        (
            9,
            rule("cage", 'cells = "r1c1"')
            + rule("at-least", "count = 1")
            + rule("exactly", "count = 1", "rule.of")
            + TRUTHS.replace("rule.of", "rule.of.of")
            + rule("cage", 'cells = "r1c1 r10c1"', "rule.of.of"),
            24,
            "rule 2 (at-least): nested rule 1 (exactly): nested rule 4 (cage): "
            "r10c1 is not on the canvas",
        ),
        (
            9,
            rule("exactly", 'count = 1\nof = [\n{kind = "cage", cells = "r1c1", sume = 3},\n]'),
            5,
            "nested rule 1 (cage): there is no field 'sume'",
        ),
        (
            9,
            rule("exactly", "count = 1")
            + rule("cage", 'cells = "r1c1"\noptional = true', "rule.of"),
            8,
            "a nested rule is true or false, never optional",
        ),
    ],
)
def test_errors(size: int, text: str, line: int | None, message: str) -> None:
    with pytest.raises(PuzzleError) as caught:
        read_document(f"size = {size}\n{text}", "t.toml")
    error = str(caught.value)
    assert message in error
    assert "\n" not in error
    if line is not None:
        assert error.startswith(f"t.toml:{line}: ")


def test_a_file_nested_without_end_is_refused() -> None:
    """Which of the two is said depends on how deep Python itself goes."""
    text = "".join(rule("exactly", "count = 1", "rule" + ".of" * depth) for depth in range(400))
    with pytest.raises(PuzzleError, match=r"nested too deeply|more than 5 levels"):
        read_document(f"size = 9\n{text}", "t.toml")
