"""The checked expression tree of a formula: the meaning of each node and how it is written.

A tree is made of frozen nodes of two kinds. A `Number` is an exact rational, a `Truth` is true or
false; the constructors' types keep them apart, so no node ever adds a comparison to a digit. Each
node gives its canonical text and its evaluator, a closure over the evaluators of its operands:
turning a tree into nested closures once makes evaluating it many times about as fast as Python
allows without generating code (Feeley and Lapalme, "Using closures for code generation", Computer
Languages 12, 1987).

An operation may have no value: division by zero, zero to a negative power, an exponent that is not
whole, a result whose numerator or denominator is larger than `LARGEST`. The evaluator then raises
`UndefinedError`, or `ZeroDivisionError`. Evaluation is strict: every operand of `and`, `or` and of
a chain of comparisons is evaluated whatever the others are, so that an undefined part makes the
whole formula false wherever it is in the text.
"""

from __future__ import annotations

import operator
from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal as OneOf

LARGEST_BITS = 256
"""Bits a numerator or a denominator may have; a product of 26 digits of a 35x35 grid has 134."""
LARGEST = 2**LARGEST_BITS - 1

Exact = int | Fraction
"""An exact rational; whole ones are always held as int."""

NumberEvaluator = Callable[[Sequence[int]], Exact]
TruthEvaluator = Callable[[Sequence[int]], bool]

OR, AND, NOT, COMPARISON, SUM, PRODUCT, SIGN, POWER, ATOM = range(1, 10)
"""How tightly each kind of expression binds, loosest first; the order is Python's."""

ArithmeticOperator = OneOf["+", "-", "*", "//", "%", "**"]
ComparisonOperator = OneOf["==", "!=", "<", "<=", ">", ">="]
FunctionName = OneOf["abs", "min", "max"]


class UndefinedError(ArithmeticError):
    """An operation has no value for these digits, so the formula is false."""


class Expression(ABC):
    """A node of the tree. `str()` gives its canonical text, with no bracket more than needed."""

    @property
    @abstractmethod
    def strength(self) -> int:
        """How tightly the node's own operator binds, from OR to ATOM."""

    @property
    def operands(self) -> tuple[Expression, ...]:
        """The nodes directly below, in the order written."""
        return ()

    @property
    def depth(self) -> int:
        """The number of nodes on the longest way down, this one included."""
        return 1 + max((operand.depth for operand in self.operands), default=0)

    @property
    def letters(self) -> frozenset[str]:
        """The letters used anywhere below, those of cells and those of unknown numbers."""
        return frozenset[str]().union(*(operand.letters for operand in self.operands))


class Number(Expression):
    """An expression whose value is an exact rational."""

    @abstractmethod
    def evaluator(self, place: Mapping[str, int]) -> NumberEvaluator:
        """A function from the cells' digits to the value; `place` gives each letter's index."""


class BooleanExpression(Expression):
    """An expression that is true or false."""

    @abstractmethod
    def evaluator(self, place: Mapping[str, int]) -> TruthEvaluator:
        """A function from the cells' digits to the truth; `place` gives each letter's index."""


def _in_brackets(expression: Expression, least: int) -> str:
    return str(expression) if expression.strength >= least else f"({expression})"


def exact_value(value: Exact) -> Exact:
    """The value as every evaluator returns it: int when whole, `UndefinedError` when too large."""
    if abs(value.numerator) > LARGEST or value.denominator > LARGEST:
        raise UndefinedError
    return value.numerator if value.denominator == 1 else value


def power(base: Exact, exponent: Exact) -> Exact:
    """`base ** exponent`, with 0 ** 0 = 1; never costs more than a few multiplications."""
    if exponent.denominator != 1 or (base == 0 and exponent < 0):
        raise UndefinedError
    times = abs(exponent.numerator)
    # A number of b bits is at least 2**(b-1): too large a result is known before it is computed.
    bits = max(base.numerator.bit_length(), base.denominator.bit_length())
    if (bits - 1) * times >= LARGEST_BITS:
        raise UndefinedError
    raised = Fraction(base.numerator**times, base.denominator**times)
    return 1 / raised if exponent < 0 else raised


_ARITHMETIC: Mapping[ArithmeticOperator, tuple[int, Callable[[Exact, Exact], Exact]]] = {
    "+": (SUM, operator.add),
    "-": (SUM, operator.sub),
    "*": (PRODUCT, operator.mul),
    "//": (PRODUCT, operator.floordiv),
    "%": (PRODUCT, operator.mod),
    "**": (POWER, power),
}

_COMPARISONS: Mapping[ComparisonOperator, Callable[[Exact, Exact], bool]] = {
    "==": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}

_FUNCTIONS: Mapping[FunctionName, Callable[..., Exact]] = {"abs": abs, "min": min, "max": max}


@dataclass(frozen=True)
class Literal(Number):
    """A number: a whole number as typed, 0 or more, or the value of an evaluated part."""

    value: Exact

    @property
    def strength(self) -> int:
        """An atom."""
        return ATOM

    def evaluator(self, place: Mapping[str, int]) -> NumberEvaluator:
        """The number, whatever the digits."""
        value = self.value
        return lambda values: value

    def __str__(self) -> str:
        return str(self.value)


@dataclass(frozen=True)
class CellDigit(Number):
    """The digit of the cell that `letter` names."""

    letter: str

    @property
    def strength(self) -> int:
        """An atom."""
        return ATOM

    @property
    def letters(self) -> frozenset[str]:
        """Its own letter."""
        return frozenset(self.letter)

    def evaluator(self, place: Mapping[str, int]) -> NumberEvaluator:
        """The digit at the letter's index."""
        return operator.itemgetter(place[self.letter])

    def __str__(self) -> str:
        return self.letter


@dataclass(frozen=True)
class LetterValue(Number):
    """An unknown whole number, the same wherever its letter is written; `A`, `B2`."""

    name: str

    @property
    def strength(self) -> int:
        """An atom."""
        return ATOM

    @property
    def letters(self) -> frozenset[str]:
        """Its own name."""
        return frozenset({self.name})

    def evaluator(self, place: Mapping[str, int]) -> NumberEvaluator:
        """The number at its index."""
        return operator.itemgetter(place[self.name])

    def __str__(self) -> str:
        return self.name


@dataclass(frozen=True)
class Negative(Number):
    """Unary minus."""

    operand: Number

    @property
    def strength(self) -> int:
        """Below a power, above a product: -a ** 2 is -(a ** 2)."""
        return SIGN

    @property
    def operands(self) -> tuple[Expression, ...]:
        """The number negated."""
        return (self.operand,)

    def evaluator(self, place: Mapping[str, int]) -> NumberEvaluator:
        """The operand's value with its sign changed."""
        operand = self.operand.evaluator(place)
        return lambda values: -operand(values)

    def __str__(self) -> str:
        return "-" + _in_brackets(self.operand, SIGN)


@dataclass(frozen=True)
class Arithmetic(Number):
    """Two numbers joined by `+ - * // % **`; `//` and `%` round down, as in Python."""

    operator: ArithmeticOperator
    left: Number
    right: Number

    @property
    def strength(self) -> int:
        """The binding of the operator."""
        return _ARITHMETIC[self.operator][0]

    @property
    def operands(self) -> tuple[Expression, ...]:
        """Left and right."""
        return (self.left, self.right)

    def evaluator(self, place: Mapping[str, int]) -> NumberEvaluator:
        """The operation on the values of both sides."""
        left, right = self.left.evaluator(place), self.right.evaluator(place)
        _, operation = _ARITHMETIC[self.operator]

        def evaluate(values: Sequence[int]) -> Exact:
            result = operation(left(values), right(values))
            # The common case of `exact_value` without a call.
            if type(result) is int and -LARGEST <= result <= LARGEST:
                return result
            return exact_value(result)

        return evaluate

    def __str__(self) -> str:
        if self.operator == "**":  # groups from the right, and takes a sign on its right
            left, right = _in_brackets(self.left, ATOM), _in_brackets(self.right, SIGN)
        else:
            left = _in_brackets(self.left, self.strength)
            right = _in_brackets(self.right, self.strength + 1)
        return f"{left} {self.operator} {right}"


@dataclass(frozen=True)
class Call(Number):
    """`abs` of one number, or `min` or `max` of two and more."""

    function: FunctionName
    arguments: tuple[Number, ...]

    @property
    def strength(self) -> int:
        """An atom."""
        return ATOM

    @property
    def operands(self) -> tuple[Expression, ...]:
        """The arguments."""
        return self.arguments

    def evaluator(self, place: Mapping[str, int]) -> NumberEvaluator:
        """The function of the arguments' values."""
        function = _FUNCTIONS[self.function]
        arguments = [argument.evaluator(place) for argument in self.arguments]
        return lambda values: function(*[argument(values) for argument in arguments])

    def __str__(self) -> str:
        return f"{self.function}({', '.join(map(str, self.arguments))})"


@dataclass(frozen=True)
class ComparisonChain(BooleanExpression):
    """Numbers compared in a chain: `a < b <= c` means `a < b and b <= c`."""

    numbers: tuple[Number, ...]
    operators: tuple[ComparisonOperator, ...]

    @property
    def strength(self) -> int:
        """Above the words, below all arithmetic."""
        return COMPARISON

    @property
    def operands(self) -> tuple[Expression, ...]:
        """The numbers compared."""
        return self.numbers

    def evaluator(self, place: Mapping[str, int]) -> TruthEvaluator:
        """True when every neighbouring pair of the chain compares as written."""
        numbers = [number.evaluator(place) for number in self.numbers]
        compare = [_COMPARISONS[operator] for operator in self.operators]
        if len(numbers) == 2:  # by far the commonest, and twice as fast without a loop
            left, right = numbers
            (test,) = compare
            return lambda values: test(left(values), right(values))

        def evaluate(values: Sequence[int]) -> bool:
            found = [number(values) for number in numbers]
            return all(
                test(left, right)
                for test, left, right in zip(compare, found, found[1:], strict=False)
            )

        return evaluate

    def __str__(self) -> str:
        rest = zip(self.operators, self.numbers[1:], strict=True)
        return " ".join([str(self.numbers[0]), *(f"{sign} {number}" for sign, number in rest)])


@dataclass(frozen=True)
class Not(BooleanExpression):
    """True if its operand is false, and defined."""

    operand: BooleanExpression

    @property
    def strength(self) -> int:
        """Between `and` and comparisons."""
        return NOT

    @property
    def operands(self) -> tuple[Expression, ...]:
        """The statement denied."""
        return (self.operand,)

    def evaluator(self, place: Mapping[str, int]) -> TruthEvaluator:
        """The opposite of the operand's truth."""
        operand = self.operand.evaluator(place)
        return lambda values: not operand(values)

    def __str__(self) -> str:
        return "not " + _in_brackets(self.operand, NOT)


@dataclass(frozen=True)
class Junction(BooleanExpression):
    """Statements joined by one word: all of them (`and`), or at least one (`or`)."""

    word: OneOf["and", "or"]
    parts: tuple[BooleanExpression, ...]

    @property
    def strength(self) -> int:
        """`and` binds tighter than `or`."""
        return AND if self.word == "and" else OR

    @property
    def operands(self) -> tuple[Expression, ...]:
        """The statements joined."""
        return self.parts

    def evaluator(self, place: Mapping[str, int]) -> TruthEvaluator:
        """All or any of the parts; every part is evaluated, so an undefined one is never missed."""
        parts = [part.evaluator(place) for part in self.parts]
        joined = all if self.word == "and" else any
        return lambda values: joined([part(values) for part in parts])

    def __str__(self) -> str:
        return f" {self.word} ".join(_in_brackets(part, self.strength + 1) for part in self.parts)
