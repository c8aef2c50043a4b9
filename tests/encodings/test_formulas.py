"""Formulas: read as Python would read them, valued exactly, and nothing else let in."""

import ast
import operator
import pickle
from collections.abc import Sequence
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gridassay.encodings.expressions import (
    Arithmetic,
    BooleanExpression,
    Call,
    CellDigit,
    ComparisonChain,
    Junction,
    Literal,
    Negative,
    Not,
    Number,
)
from gridassay.encodings.formulas import Formula, FormulaError, parse, tuples

LETTERS = "abc"


# An independent reading: Python's own grammar (the ast module), values as Fraction throughout.
class NoValueError(Exception):
    """The formula is undefined."""


def _bounded(value: Fraction) -> Fraction:
    if max(value.numerator.bit_length(), value.denominator.bit_length()) > 256:
        raise NoValueError
    return value


def _power(base: Fraction, exponent: Fraction) -> Fraction:
    if exponent.denominator != 1 or (base == 0 and exponent < 0):
        raise NoValueError
    if abs(base) == 1:
        return base if exponent % 2 else Fraction(1)
    if base and abs(exponent) > 256:
        raise NoValueError
    return Fraction(base**exponent) if base else Fraction(exponent == 0)


ARITHMETIC = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.FloorDiv: operator.floordiv,
    ast.Mod: operator.mod,
    ast.Pow: _power,
}
COMPARE = {
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
}


def _value(node: ast.expr, digits: dict[str, int]) -> Fraction | bool:
    def below(*nodes: ast.expr) -> list[Fraction]:
        return [Fraction(_value(each, digits)) for each in nodes]

    match node:
        case ast.Constant(value=int(value)):
            return Fraction(value)
        case ast.Name(id=letter):
            return Fraction(digits[letter])
        case ast.UnaryOp(op=ast.Not(), operand=inside):
            return not _value(inside, digits)
        case ast.UnaryOp(op=sign, operand=inside):
            return below(inside)[0] * (-1 if isinstance(sign, ast.USub) else 1)
        case ast.BinOp(left=left, op=op, right=right):
            values = below(left, right)
            if isinstance(op, ast.FloorDiv | ast.Mod) and values[1] == 0:
                raise NoValueError
            return _bounded(Fraction(ARITHMETIC[type(op)](*values)))
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return {"abs": abs, "min": min, "max": max}[name](*below(*arguments))
        case ast.Compare(left=left, ops=ops, comparators=rest):
            values = below(left, *rest)
            pairs = zip(ops, values, values[1:], strict=False)
            return all(COMPARE[type(op)](x, y) for op, x, y in pairs)
        case ast.BoolOp(op=word, values=parts):
            truths = [_value(part, digits) for part in parts]
            return all(truths) if isinstance(word, ast.And) else any(truths)
    raise AssertionError(ast.dump(node))


def independent(text: str, values: Sequence[int]) -> bool:
    tree = ast.parse(text.strip(), mode="eval").body
    try:
        return _value(tree, dict(zip(LETTERS, values, strict=True))) is True
    except NoValueError:
        return False


# Texts: operands joined at random and bracketed at random, so that binding is put to the test.
def _number_texts(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    signs = st.sampled_from(["+", " - ", "*", " * ", "//", "%", " % ", "**"])
    return st.one_of(
        st.tuples(inner, signs, inner).map("".join),
        st.tuples(inner, signs, inner).map(lambda t: f"({''.join(t)})"),
        inner.map("-{}".format),
        inner.map("+ {}".format),
        inner.map("abs({})".format),
        st.tuples(st.sampled_from(["min", "max"]), inner, inner, inner).map(
            lambda t: f"{t[0]}({t[1]}, {t[2]},{t[3]} )"
        ),
    )


number_texts = st.recursive(
    st.sampled_from([*LETTERS, "0", "1", "2", "3", "7", "10"]), _number_texts, max_leaves=6
)
comparison_texts = st.lists(
    st.tuples(number_texts, st.sampled_from(["==", " != ", "<", "<= ", ">", " >="])),
    min_size=1,
    max_size=3,
).flatmap(
    lambda pairs: number_texts.map(lambda last: "".join(x + sign for x, sign in pairs) + last)
)


def _truth_texts(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.one_of(
        st.tuples(inner, st.sampled_from([" and ", " or "]), inner).map("".join),
        st.tuples(inner, st.sampled_from([" and ", " or "]), inner).map(
            lambda t: f"( {''.join(t)})"
        ),
        inner.map("not {}".format),
        inner.map("not({})".format),
    )


truth_texts = st.recursive(comparison_texts, _truth_texts, max_leaves=4)

# Trees, of our own nodes: whatever can be built can be written and read back.
digits = st.integers(-3, 9)
number_trees: st.SearchStrategy[Number] = st.recursive(
    st.one_of(
        st.builds(Literal, st.integers(0, 12)), st.builds(CellDigit, st.sampled_from(LETTERS))
    ),
    lambda inner: st.one_of(
        st.builds(Negative, inner),
        st.builds(Arithmetic, st.sampled_from(["+", "-", "*", "//", "%"]), inner, inner),
        st.builds(Arithmetic, st.just("**"), inner, st.builds(CellDigit, st.sampled_from(LETTERS))),
        st.builds(Call, st.just("abs"), st.tuples(inner)),
        st.builds(Call, st.sampled_from(["min", "max"]), st.tuples(inner, inner)),
    ),
    max_leaves=6,
)
signs = st.sampled_from(["==", "!=", "<", "<=", ">", ">="])
comparison_trees = st.one_of(
    st.builds(ComparisonChain, st.tuples(number_trees, number_trees), st.tuples(signs)),
    st.builds(
        ComparisonChain,
        st.tuples(number_trees, number_trees, number_trees),
        st.tuples(signs, signs),
    ),
)
truth_trees: st.SearchStrategy[BooleanExpression] = st.recursive(
    comparison_trees,
    lambda inner: st.one_of(
        st.builds(Not, inner),
        st.builds(
            Junction,
            st.sampled_from(["and", "or"]),
            st.lists(inner, min_size=2, max_size=3).map(tuple),
        ),
    ),
    max_leaves=4,
)


@settings(max_examples=500)
@given(truth_texts, st.lists(st.tuples(digits, digits, digits), min_size=1, max_size=8))
@example("-a**2 == -(a**2) and 2**-a**b < 1", [(1, 2, 3), (2, 2, 0)])
@example("a - b - c == a - (b + c)", [(9, 3, 1)])
@example("a < b < c != a", [(1, 2, 3), (3, 2, 1)])
@example("not a == b or b == 0 and a % b == 0", [(3, 0, 1), (3, 3, 3)])
@example("(2**-1 + 2**-1) ** a == 1 and b ** (2**-c) == b", [(3, 2, 0), (3, 2, 1)])
@example("7 // 2**-a == 7 * 2**a and 2**-a % 3 == 2**-a", [(3, 0, 0), (-2, 0, 0)])
@example("a ** a ** a > 0", [(2, 0, 0), (4, 0, 0), (1, 0, 0), (-1, 0, 0), (0, 0, 0)])
def test_texts_mean_what_python_reads_over_fractions(
    text: str, samples: list[tuple[int, int, int]]
) -> None:
    # Outside check: CPython's grammar; the arithmetic is the standard library's Fraction.
    try:
        formula = parse(text, LETTERS)
    except FormulaError as error:
        refused = error.message
    else:
        assert [formula.true_for(values) for values in samples] == [
            independent(text, values) for values in samples
        ]
        assert parse(formula.text, LETTERS) == formula
        assert parse(formula.text, LETTERS).text == formula.text
        return
    assert "has no value" in refused or "an exponent is whole" in refused
    if "has no value" in refused:
        assert not any(independent(text, values) for values in samples)


@settings(max_examples=500)
@given(truth_trees)
def test_trees_are_written_and_read_back(tree: BooleanExpression) -> None:
    formula = Formula(tree, LETTERS)
    try:
        again = parse(formula.text, LETTERS)
    except FormulaError as error:
        again = error.message
    if isinstance(again, str):  # a part without cells that has no value, such as 0 // 0
        assert "has no value" in again
    else:
        assert again == formula
        assert set(again.names) == {letter for letter in LETTERS if letter in tree.letters}


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("a+b==2*c", "a + b == 2 * c"),
        ("(a+b)==(2*c)", "a + b == 2 * c"),
        ("((a - b)) - c==+0", "a - b - c == 0"),
        ("a-(b-c)==0", "a - (b - c) == 0"),
        ("(-a)**2==b", "(-a) ** 2 == b"),
        ("a**(b**c)==1", "a ** b ** c == 1"),
        ("(a**b)**c==1", "(a ** b) ** c == 1"),
        ("(not a<b) or (b<c and\n\tc==a)", "not a < b or b < c and c == a"),
        ("not (a<b or b<c)", "not (a < b or b < c)"),
        ("max( a,b ,c )==7", "max(a, b, c) == 7"),
    ],
)
def test_canonical_text_has_no_bracket_too_many(text: str, canonical: str) -> None:
    assert parse(text, LETTERS).text == canonical


def test_the_canonical_text_of_a_long_formula_can_be_read() -> None:
    formula = parse(" and ".join(["a+b*c<2"] * 100), LETTERS)
    assert len(formula.text) > 1000
    assert parse(formula.text, LETTERS) == formula


@pytest.mark.parametrize("text", ["b == 0 or a % b == 0", "a % b == 0 or b == 0"])
def test_an_undefined_part_makes_the_whole_false(text: str) -> None:
    formula = parse(text, "ab")
    assert formula.true_for((6, 3))
    assert not formula.true_for((6, 0))
    assert not parse(f"not ({text})", "ab").true_for((6, 0))


def test_powers_too_large_are_false_either_way() -> None:
    assert parse("a ** b < 10 ** 70", "ab").true_for((9, 73))
    assert not parse("a ** b < 10 ** 70", "ab").true_for((9, 10**9))
    assert not parse("a ** b >= 10 ** 70", "ab").true_for((9, 10**9))
    assert parse("a ** b == -1", "ab").true_for((-1, 10**9 + 1))
    assert not parse("a ** b != 0 or a == a", "ab").true_for((0, -1))


def test_names_are_those_used_in_the_order_of_the_cells() -> None:
    formula = parse("e < b", "abcde")
    assert formula.names == "be"
    assert formula.true_for((0, 9, 0, 0, 1))
    assert tuples(parse(formula.text, formula.names), [[1, 2], [1, 2]]) == [(2, 1)]


def test_tuples_are_all_true_choices_in_order() -> None:
    # Three-term arithmetic progressions in order, step not 0: 2 * 16 of them in 1..9.
    mean = parse("a + c == 2*b and a != b", LETTERS)
    found = tuples(mean, [range(1, 10)] * 3)
    assert len(found) == 32
    assert found == sorted(found)
    assert all(b - a == c - b != 0 for a, b, c in found)
    assert tuples(mean, [[1], [2, 3], [3, 5, 7]]) == [(1, 2, 3), (1, 3, 5)]
    assert tuples(mean, [[], [1], [1]]) == []


def test_tuples_say_their_limit() -> None:
    formula = parse("a < b", "abcdefg")
    with pytest.raises(FormulaError, match=r"4,782,969 choices .* at most 200,000"):
        tuples(formula, [range(9)] * 7)
    with pytest.raises(FormulaError, match="at most 80"):
        tuples(parse("a < b", "ab"), [range(9)] * 2, limit=80)
    assert len(tuples(parse("a < b", "ab"), [range(9)] * 2, limit=81)) == 36


@pytest.mark.parametrize("names", ["", "aa", "aB", "a1", "é"])
def test_names_must_be_different_letters(names: str) -> None:
    with pytest.raises(ValueError, match="different letters"):
        parse("a == 1", names)


def test_numbers_of_values_must_fit() -> None:
    formula = parse("a < b", LETTERS)
    with pytest.raises(ValueError, match="2 values for the 3 cells"):
        formula.true_for((1, 2))
    with pytest.raises(ValueError, match="2 domains for the 3 cells"):
        tuples(formula, [[1], [2]])


def test_formulas_travel_between_processes() -> None:
    formula = parse("a < b", "ab")
    assert formula.true_for((1, 2))  # the cached closure must not travel along
    assert pickle.loads(pickle.dumps(formula)) == formula
    error = FormulaError("wrong", 3)
    assert str(pickle.loads(pickle.dumps(error))) == str(error) == "column 3: wrong"


@pytest.mark.parametrize(
    ("text", "column", "words"),
    [
        ("", 1, "nothing"),
        ("a", 1, "'a' is a number where a comparison is needed"),
        ("a and b == 1", 1, "where a comparison is needed"),
        ("a == 1 and 3", 12, "'3' is a number"),
        ("not a", 5, "where a comparison is needed"),
        ("a + (b<c)", 5, "'b < c' is true or false where a number is needed"),
        ("(a<b) == (b<c)", 1, "where a number is needed"),
        ("-(a<b) == 1", 2, "where a number is needed"),
        ("abs(a<b) == 1", 5, "where a number is needed"),
        ("a = b", 3, "write '=='"),
        ("a / b == 2", 3, "'/' is not an operator here"),
        ("a ^ 2 == 4", 3, "a power is '**'"),
        ("a == 1 & b == 2", 8, "write 'and'"),
        ("a == 1 | b == 2", 8, "write 'or'"),
        ("!a == 1", 1, "write 'not'"),
        ("2c == 4", 2, "an operator is missing before 'c'"),
        ("a == 1.5", 7, "numbers are whole"),
        ("a == 1_000", 7, "an operator is missing before '_000'"),
        ("a == 0x10", 7, "an operator is missing before 'x10'"),
        ("a == 1e3", 7, "an operator is missing before 'e3'"),
        ("(a == 1", 8, "')' is missing before the end"),
        ("a == 1)", 7, "an operator is missing before ')'"),
        ("a == ", 6, "a cell or a number is missing before the end"),
        ("and", 1, "a cell or a number is missing before 'and'"),
        ("a == not b == c", 6, "'not b == c' is true or false where a number is needed"),
        ("d == 1", 1, "'d' is unknown: the cells are a, b, c"),
        ("ab == 1", 1, "'ab' is unknown"),
        ("True", 1, "'True' is unknown"),
        ("sum(a, b) == 1", 1, "'sum' is unknown"),
        ("abs == 1", 5, "'(' is missing before '=='"),
        ("abs() == 1", 5, "a cell or a number is missing before ')'"),
        ("abs(a, b) == 1", 1, "abs takes one number"),
        ("min(a) == 1", 1, "min takes two numbers or more"),
        ("min(a, b, key=abs) == 1", 14, "'=' compares nothing"),
        ("min(a, *b) == 1", 8, "missing before '*'"),
        ("a(b) == 1", 2, "an operator is missing before '('"),
        ("a == 99999999999", 6, "at most 1,000,000,000"),
        ("10**10**10 == a", 1, "an exponent is whole and at most 256"),
        ("99**99 == a", 1, "has no value, or one too large"),
        ("a ** 1000 == 1", 1, "an exponent is whole and at most 256"),
        ("a ** -1000 == 1", 1, "an exponent is whole and at most 256"),
        ("a ** 2 ** -1 == 1", 1, "an exponent is whole and at most 256"),
        ("a == 1 // 0", 6, "has no value"),
        ("a.real == 1", 2, "'.' has no use here"),
        ("().__class__.__bases__[0] == a", 3, "'.' has no use here"),
        ("a.__class__ == 1", 2, "'.' has no use here"),
        ("__import__('os') == 1", 12, "has no meaning"),
        ("__builtins__ == 1", 1, "'__builtins__' is unknown"),
        ("lambda: 1", 7, "has no meaning"),
        ("(a := 1) == 1", 4, "has no meaning"),
        ("[a for a in b] == 1", 1, "has no meaning"),
        ("a in b", 3, "an operator is missing before 'in'"),
        ("a is b", 3, "an operator is missing before 'is'"),
        ("a if b == 1 else c", 3, "an operator is missing before 'if'"),
        ("f'{a}' == 1", 2, "has no meaning"),
        ("a[0] == 1", 2, "has no meaning"),
        ("a @ b == 1", 3, "has no meaning"),
        ("a << b == 1", 4, "missing before '<'"),
        ("~a == 1", 1, "has no meaning"),
        ("a == 1 # b", 8, "has no meaning"),
        ("a == 1; b == 1", 7, "has no meaning"),
        ("a == \\\n1", 6, "has no meaning"),
        ("a == \x001", 6, "cannot be used"),
        ("a == ١", 6, "cannot be used"),
        ("ª == 1", 1, "cannot be used"),
        ("𝒂 == 1", 1, "cannot be used"),
        ("a == 1" + "0" * 5000, 1003, "more than 1,000 characters"),
        ("(" * 900, 51, "more than 50 levels"),
        ("-" * 900 + "a == 1", 51, "more than 50 levels"),
        ("not " * 200 + "a == 1", 201, "more than 50 levels"),
        ("2**" * 200 + "a == 1", 151, "more than 50 levels"),
        ("a" + "+a" * 200 + " == 1", 1, "more than 50 operations"),
    ],
)
def test_refusals_say_what_and_where(text: str, column: int, words: str) -> None:
    with pytest.raises(FormulaError) as caught:
        parse(text, LETTERS)
    assert caught.value.column == column
    assert words in caught.value.message
    assert str(caught.value) == f"column {column}: {caught.value.message}"
    assert "\n" not in str(caught.value)


PIECES = (
    "a b c ( ) + - * // % ** == != < > <= and or not abs( min( max( , 7 0 999999999 . _ __class__ "
    "lambda : := [ ] { } ' \" f' # ; @ = / & | ^ ~ in is if else for await yield \x00 \\ é ²"
)
pieces = st.sampled_from(PIECES.split(" "))


@settings(max_examples=500)
@given(st.text(max_size=60) | st.lists(pieces, max_size=40).map(" ".join))
def test_any_text_is_a_formula_or_a_formula_error(text: str) -> None:
    error = None
    try:
        parse(text, LETTERS).true_for((1, 2, 3))
    except FormulaError as refusal:
        error = refusal
    assert error is None or (error.column is not None and 1 <= error.column <= len(text) + 1)


def test_the_largest_formulas_are_valued() -> None:
    # As deep and as long as may be, with powers and rationals growing all the way.
    tower = " + ".join(f"{2 + i} ** -a" for i in range(40))
    nested = "(" * 20 + "a" + " + b) ** 2" * 20 + " > 0"
    for text in (tower + " < 40", nested, " and ".join(["a<b"] * 120)):
        formula = parse(text, LETTERS)
        assert [formula.true_for(values) for values in product((1, 9), (1, 9), [0])] == [
            independent(text, values) for values in product((1, 9), (1, 9), [0])
        ]
