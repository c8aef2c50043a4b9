"""Formulas: the language in which a setter states a relation between cells.

`a + b == 2*c` over three cells says that the third is the mean of the others. Small letters name the
cells in order, names that begin with a capital stand for unknown numbers. There are whole numbers,
`+ - * // % **`, the signs `-` and `+`, the functions `abs`, `min` and `max`, comparisons
(`== != < <= > >=`, in chains too), `and`, `or`, `not` and round brackets; everything binds as it does
in Python. Numbers are exact rationals. A formula is a statement: a comparison, or comparisons joined
by words.

If an operation is undefined for some digits (see `expressions.py`), the whole formula is false
for them, whatever else it says: over two digits, `b == 0 or a % b == 0` is false if b is 0.

The text is read by our own parser, by operator precedence (Pratt, "Top down operator
precedence", POPL 1973), into the tree of `expressions.py`. Python itself never runs
or parses it, so nothing but the language above can be expressed. Length, depth and
numbers are limited, and so are the values of powers: no text makes reading or evaluating slow.

>>> mean = parse("a+b == 2*c", "abc")
>>> mean.true_for((3, 7, 5)), mean.text
(True, 'a + b == 2 * c')
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import prod
from typing import cast, get_args

from .expressions import (
    AND,
    COMPARISON,
    LARGEST_BITS,
    NOT,
    OR,
    POWER,
    PRODUCT,
    SIGN,
    SUM,
    Arithmetic,
    ArithmeticOperator,
    BooleanExpression,
    Call,
    CellDigit,
    ComparisonChain,
    ComparisonOperator,
    Expression,
    FunctionName,
    Junction,
    LetterValue,
    Literal,
    Negative,
    Not,
    Number,
    TruthEvaluator,
)
from .notation import NotationError, guard, quote

LONGEST_TEXT = 1000
"""Characters a formula may have, spaces not counted."""
DEEPEST = 50
"""Brackets, signs and operations that may stand inside one another, a sum of n terms being n deep;
far more than the 26 cells there can be."""
LARGEST_LITERAL = 10**9
TUPLE_LIMIT = 200_000
"""Default for `tuples`: a second or so of work, and as large a table as is worth encoding."""


class FormulaError(NotationError):
    """A formula cannot be read, or its table would be too large."""


@dataclass(frozen=True)
class Formula:
    """A formula over the cells that `letters` names in order.

    Equal when the trees and the letters are equal.
    """

    tree: BooleanExpression
    letters: str

    @property
    def text(self) -> str:
        """The formula in canonical spelling; parsing it gives the same formula again."""
        return str(self.tree)

    @property
    def names(self) -> str:
        """The letters that the formula uses, in the order of the cells.

        If they are few, `parse(formula.text, formula.names)` is the same relation over just
        those cells, with a smaller table.
        """
        used = self.tree.letters
        return "".join(letter for letter in self.letters if letter in used)

    @cached_property
    def unknowns(self) -> tuple[str, ...]:
        """The letters for unknown numbers that the formula uses, in order of the alphabet."""
        return tuple(sorted(self.tree.letters - set(self.letters)))

    def true_for(self, values: Sequence[int]) -> bool:
        """Whether the formula is true (and defined) for these numbers.

        One value for each cell in order, then one for each unknown. Raises ValueError if
        there are more or fewer.
        """
        if len(values) != len(self.letters) + len(self.unknowns):
            raise ValueError(f"{len(values)} values for the {len(self.letters)} cells of a formula")
        return self._test(values)

    @cached_property
    def _test(self) -> TruthEvaluator:
        named = [*self.letters, *self.unknowns]
        evaluate = self.tree.evaluator({letter: i for i, letter in enumerate(named)})

        def test(values: Sequence[int]) -> bool:
            try:
                return evaluate(values)
            except ArithmeticError:  # UndefinedError and ZeroDivisionError
                return False

        return test

    def __reduce__(self) -> tuple[type[Formula], tuple[BooleanExpression, str]]:
        # The cached closures cannot be sent to another process; the tree can.
        return Formula, (self.tree, self.letters)


def parse(text: str, names: str) -> Formula:
    """Read a formula over the cells named by `names`, one lower-case letter each ("abc").

    Raises FormulaError for any text that is not a formula, and ValueError for `names` that are not
    different letters a to z.
    """
    if not names or len(set(names)) != len(names) or not re.fullmatch("[a-z]+", names):
        raise ValueError(f"cells are named by different letters a to z, not {names!r}")
    guard(text, LONGEST_TEXT, FormulaError)
    return Formula(_FormulaParser(_tokens(text, compared=True), names).formula(), names)


def parse_number(text: str, names: str) -> Number:
    """Read a formula that is a number, such as "2 * d", over cells named as for ``parse``.

    Raises FormulaError for any other text.
    """
    guard(text, LONGEST_TEXT, FormulaError)
    return _FormulaParser(_tokens(text, compared=False), names).number()


def tuples(
    formula: Formula, domains: Sequence[Sequence[int]], limit: int = TUPLE_LIMIT
) -> list[tuple[int, ...]]:
    """All choices of one number from each domain for which the formula is true.

    There is one domain per cell and, after those, one for each of the unknowns. The choices come in the
    order of the domains, the last changing fastest. Raises FormulaError when
    there are more than `limit` choices to try, and ValueError when the number of domains is wrong.
    """
    if len(domains) != len(formula.letters) + len(formula.unknowns):
        raise ValueError(f"{len(domains)} domains for the {len(formula.letters)} cells")
    choices = prod(map(len, domains))
    if choices > limit:
        raise FormulaError(
            f"{len(domains)} cells allow {choices:,} choices of digits, but a formula is tried on "
            f"at most {limit:,}: use fewer cells, or split it into several relations"
        )
    return list(filter(formula._test, product(*domains)))


@dataclass(frozen=True)
class _Token:
    kind: str  # "number", "word", "sign" or "end"
    text: str
    column: int

    def __str__(self) -> str:
        return "the end" if self.kind == "end" else quote(self.text)


_TOKEN = re.compile(
    r"(?P<number>[0-9]+)|(?P<word>[A-Za-z_][A-Za-z_0-9]*)"
    r"|(?P<sign>\*\*|//|[=!<>]=|[-+*%<>(),])"
)

_INSTEAD = {
    "=": "'=' compares nothing: write '=='",
    "/": "'/' is not an operator here: write '//', which rounds down",
    "^": "'^' is not an operator here: a power is '**'",
    "!": "'!' is not an operator here: write 'not', or '!=' for different",
    "&": "'&' is not an operator here: write 'and'",
    "|": "'|' is not an operator here: write 'or'",
    ".": "'.' has no use here: numbers are whole",
}

_STRENGTH: dict[str, int] = {
    "or": OR,
    "and": AND,
    **dict.fromkeys(get_args(ComparisonOperator), COMPARISON),
    **dict.fromkeys(("+", "-"), SUM),
    **dict.fromkeys(("*", "//", "%"), PRODUCT),
    "**": POWER,
}


def _tokens(text: str, *, compared: bool) -> list[_Token]:
    found, at = [], 0
    while at < len(text):
        if text[at].isspace():
            at += 1
            continue
        match = _TOKEN.match(text, at)
        if match is None:
            known = _INSTEAD.get(text[at], f"{quote(text[at])} has no meaning in a formula")
            if text[at] == "/" and compared:
                known += ", or multiply out, 'a == 2*b' for 'a / b == 2'"
            raise FormulaError(known, at + 1)
        found.append(_Token(cast(str, match.lastgroup), match.group(), at + 1))
        at = match.end()
    return [*found, _Token("end", "", len(text) + 1)]


class _FormulaParser:
    """Reads the tokens of one text from left to right; each method takes what it names."""

    def __init__(self, tokens: list[_Token], names: str) -> None:
        self._tokens = tokens
        self._names = names
        self._at = 0
        self._depth = 0

    def formula(self) -> BooleanExpression:
        column = self._next.column
        tree = self._expression(OR)
        if self._next.kind != "end":
            raise self._missing("an operator")
        return self._truth(tree, column)

    def number(self) -> Number:
        tree = self._right_number(SUM)
        if self._next.kind != "end":
            raise FormulaError(
                f"a number, as 2 * d is, ends before {self._next}", self._next.column
            )
        return tree

    @property
    def _next(self) -> _Token:
        return self._tokens[self._at]

    def _take(self) -> _Token:
        self._at += 1
        return self._tokens[self._at - 1]

    def _missing(self, what: str) -> FormulaError:
        return FormulaError(f"{what} is missing before {self._next}", self._next.column)

    def _expect(self, sign: str) -> None:
        if self._next.text != sign:
            raise self._missing(repr(sign))
        self._take()

    def _expression(self, least: int) -> Expression:
        """The longest expression from here on whose operators bind at least as tightly."""
        column = self._next.column
        self._depth += 1
        if self._depth > DEEPEST:
            raise FormulaError(f"more than {DEEPEST} levels inside one another", column)
        tree = self._operand()
        while _STRENGTH.get(self._next.text, 0) >= least:
            tree = self._operation(tree, column)
            if tree.depth > DEEPEST:
                raise FormulaError(f"more than {DEEPEST} operations inside one another", column)
        self._depth -= 1
        return tree

    def _operation(self, left: Expression, column: int) -> Expression:
        """`left`, which began at `column`, with the operator that follows and what it joins."""
        sign = self._next.text
        strength = _STRENGTH[sign]
        if strength <= AND:
            return self._junction(self._truth(left, column))
        first = self._number(left, column)
        if strength == COMPARISON:
            return self._comparison(first)
        self._take()
        # A power takes a sign, or another power, on its right: 2 ** -a, 2 ** a ** b.
        right = self._right_number(SIGN if strength == POWER else strength + 1)
        tree = Arithmetic(cast(ArithmeticOperator, sign), first, right)
        self._refuse_hopeless(tree, column)
        return tree

    def _refuse_hopeless(self, tree: Arithmetic, column: int) -> None:
        """Refuse what could be true of hardly any digits: `a ** 1000`, `10 ** 10 ** 10`."""
        if tree.operator == "**" and not tree.right.letters:
            exponent = tree.right.evaluator({})(())
            if exponent.denominator != 1 or not -LARGEST_BITS <= exponent <= LARGEST_BITS:
                raise FormulaError(f"an exponent is whole and at most {LARGEST_BITS}", column)
        if not tree.letters:
            try:
                tree.evaluator({})(())
            except ArithmeticError:
                raise FormulaError(
                    f"{quote(str(tree))} has no value, or one too large", column
                ) from None

    def _junction(self, first: BooleanExpression) -> Junction:
        word = self._next.text
        parts = [first]
        while self._next.text == word:
            self._take()
            column = self._next.column
            parts.append(self._truth(self._expression(_STRENGTH[word] + 1), column))
        return Junction("and" if word == "and" else "or", tuple(parts))

    def _comparison(self, first: Number) -> ComparisonChain:
        numbers, operators = [first], []
        while _STRENGTH.get(self._next.text) == COMPARISON:
            operators.append(cast(ComparisonOperator, self._take().text))
            numbers.append(self._right_number(COMPARISON + 1))
        return ComparisonChain(tuple(numbers), tuple(operators))

    def _operand(self) -> Expression:
        """Read whatever may begin an expression."""
        token = self._next
        if token.text == "(":
            self._take()
            inside = self._expression(OR)
            self._expect(")")
            return inside
        if token.text in ("-", "+"):
            self._take()
            operand = self._right_number(SIGN)
            return Negative(operand) if token.text == "-" else operand
        if token.text == "not":
            self._take()
            column = self._next.column
            return Not(self._truth(self._expression(NOT), column))
        if token.kind == "number":
            value = int(self._take().text)
            if value > LARGEST_LITERAL:
                raise FormulaError(f"a number is at most {LARGEST_LITERAL:,}", token.column)
            return Literal(value)
        if token.kind == "word" and token.text not in _STRENGTH:
            return self._name()
        raise self._missing("a cell or a number")

    def _name(self) -> Number:
        token = self._take()
        if token.text in self._names:
            if len(token.text) == 1:
                return CellDigit(token.text)
        elif token.text in get_args(FunctionName):
            return self._call(token)
        elif token.text[0].isupper() and token.text not in ("True", "False", "None"):
            return LetterValue(token.text)
        cells = ", ".join(self._names)
        functions = ", ".join(get_args(FunctionName))
        raise FormulaError(
            f"{token} is unknown: the cells are {cells}, the functions {functions}, and letters for "
            "unknown numbers begin with a capital",
            token.column,
        )

    def _call(self, function: _Token) -> Call:
        self._expect("(")
        arguments = [self._right_number(OR)]
        while self._next.text == ",":
            self._take()
            arguments.append(self._right_number(OR))
        self._expect(")")
        if (function.text == "abs") != (len(arguments) == 1):
            wanted = "one number" if function.text == "abs" else "two numbers or more"
            raise FormulaError(f"{function.text} takes {wanted}", function.column)
        return Call(cast(FunctionName, function.text), tuple(arguments))

    def _right_number(self, least: int) -> Number:
        column = self._next.column
        return self._number(self._expression(least), column)

    def _number(self, tree: Expression, column: int) -> Number:
        if isinstance(tree, Number):
            return tree
        raise FormulaError(f"{quote(str(tree))} is true or false where a number is needed", column)

    def _truth(self, tree: Expression, column: int) -> BooleanExpression:
        if isinstance(tree, BooleanExpression):
            return tree
        raise FormulaError(f"{quote(str(tree))} is a number where a comparison is needed", column)
