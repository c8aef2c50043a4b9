"""Formulas as they are printed: short ones in words, longer ones in the signs of arithmetic.

Words are chosen so that they have only one reading; a formula that would need brackets in words is
written in signs, with `a`, `b`, `c` for the digits. Every number of the formula appears in the
sentence as a figure.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from .expressions import (
    ATOM,
    PRODUCT,
    SIGN,
    SUM,
    Arithmetic,
    BooleanExpression,
    Call,
    CellDigit,
    ComparisonChain,
    Expression,
    Junction,
    LetterValue,
    Literal,
    Negative,
    Not,
    Number,
)
from .formulas import Formula
from .notation import listing
from .wording import ORDINALS, in_letters

LONGEST = 150
"""Characters of a formula in words; beyond that signs are easier to read."""

_VERBS = {
    "==": "equals",
    "!=": "does not equal",
    "<": "is less than",
    "<=": "is at most",
    ">": "is greater than",
    ">=": "is at least",
}
_OPPOSITES = {"==": "!=", "!=": "==", "<": ">=", ">=": "<", ">": "<=", "<=": ">"}
_SIGNS = {"==": "=", "!=": "≠", "<=": "≤", ">=": "≥", "<": "<", ">": ">"}
_AMOUNTS = {
    "==": "",
    "!=": "",
    "<": "less than ",
    "<=": "at most ",
    ">": "more than ",
    ">=": "at least ",
}


def in_words(formula: Formula, names: Sequence[str]) -> str | None:
    """The formula as a clause, its cells called by `names` ("left", "right"), or None.

    None if words would be long or could be read in two ways.
    """
    if any(formula.letters.index(letter) >= len(names) for letter in formula.names):
        return None
    said = _Words(formula.letters, names).truth(formula.tree)
    return " ".join(said.split()) if said is not None and len(said) <= LONGEST else None


def in_signs(formula: Formula) -> str:
    """The formula in the signs of arithmetic, with a note on division by 0."""
    return _signs(formula.tree) + (
        " (not so where a division is by 0)" if _may_divide_by_zero(formula.tree) else ""
    )


def number_in_words(tree: Number, letter: str, name: str) -> str:
    """The number that a formula of one cell gives, its digit called by ``name``: ``2 times its digit``.

    In the signs of arithmetic, with the letter explained, if words would be long.
    """
    if isinstance(tree, Literal):
        return str(tree.value)
    if isinstance(tree, CellDigit):
        return name
    if isinstance(tree, Negative) and isinstance(tree.operand, CellDigit):
        return f"minus {name}"
    if isinstance(tree, Arithmetic):
        left, right = tree.left, tree.right
        if tree.operator == "*" and isinstance(left, Literal) and isinstance(right, CellDigit):
            return f"{left.value} times {name}"
        if isinstance(left, CellDigit) and isinstance(right, Literal):
            words = {"+": "plus", "-": "minus", "*": "times"}
            if tree.operator in words:
                return f"{name} {words[tree.operator]} {right.value}"
    return f"{_signs(tree)}, where {letter} is {name}"


class _Words:
    def __init__(self, letters: str, names: Sequence[str]) -> None:
        self._names = dict(zip(letters, names, strict=False))
        self._all = letters

    def truth(self, tree: BooleanExpression) -> str | None:
        if isinstance(tree, ComparisonChain):
            return self._comparison(tree)
        if isinstance(tree, Not) and isinstance(tree.operand, ComparisonChain):
            return self._opposite(tree.operand)
        if isinstance(tree, Junction) and all(
            isinstance(part, ComparisonChain) for part in tree.parts
        ):
            parts = [self.truth(part) for part in tree.parts]
            known = [part for part in parts if part is not None]
            if len(known) < len(parts) or any(" and " in p and tree.word == "or" for p in known):
                return None
            return f"either {', or '.join(known)}" if tree.word == "or" else ", and ".join(known)
        return None

    def _opposite(self, tree: ComparisonChain) -> str | None:
        """A comparison that is not true: by the opposite sign, if it is a single one."""
        if len(tree.operators) == 1:
            (left, right), (sign,) = tree.numbers, tree.operators
            return self._single_comparison(left, _OPPOSITES[sign], right)
        said = self._comparison(tree)
        return said and f"it is not true that {said}"

    def _comparison(self, tree: ComparisonChain) -> str | None:
        parts = [
            self._single_comparison(left, sign, right)
            for left, sign, right in zip(
                tree.numbers, tree.operators, tree.numbers[1:], strict=False
            )
        ]
        known = [part for part in parts if part is not None]
        return ", and ".join(known) if len(known) == len(parts) else None

    def _single_comparison(self, left: Number, sign: str, right: Number) -> str | None:
        amount = self._plain(right)
        if amount is not None:
            apart = self._apart(left)
            cells = apart or _letters_of_sum(left)
            if cells:
                verb = "differ by" if apart else "add up to"
                verb = f"do not {verb}" if sign == "!=" else verb
                return f"{self._group(cells)} {verb} {_AMOUNTS[sign]}{amount}"
        if isinstance(left, CellDigit) and isinstance(right, CellDigit) and left != right:
            alike = {"==": "equal", "!=": "different"}.get(sign)
            if alike and len(self._all) == 2:
                return f"the two digits are {alike}"
        one, other = self._number(left), self._number(right)
        if one is None or other is None:
            return None
        return f"{one} {_VERBS[sign]} {other}"

    def _plain(self, tree: Number) -> str | None:
        """A number or a letter for one."""
        if isinstance(tree, Literal):
            return str(tree.value)
        return tree.name if isinstance(tree, LetterValue) else None

    def _apart(self, tree: Number) -> str:
        """The two cells whose difference it is."""
        if isinstance(tree, Call) and tree.function == "abs":
            (inside,) = tree.arguments
            if isinstance(inside, Arithmetic) and inside.operator == "-":
                left, right = inside.left, inside.right
                if isinstance(left, CellDigit) and isinstance(right, CellDigit) and left != right:
                    return left.letter + right.letter
        return ""

    def _cell(self, letter: str) -> str:
        return f"the {self._names[letter]} digit"

    def _group(self, letters: str) -> str:
        if len(letters) == len(self._all):
            return f"the {in_letters(len(letters))} digits"
        if len(letters) > 2 and letters in self._all and self._names[self._all[0]] == ORDINALS[0]:
            if letters[0] == self._all[0]:
                return f"the first {in_letters(len(letters))} digits"
            if letters[-1] == self._all[-1]:
                return f"the last {in_letters(len(letters))} digits"
            return f"the {self._names[letters[0]]} to the {self._names[letters[-1]]} digit"
        return listing([f"the {self._names[letter]}" for letter in letters], "and") + " digit"

    def _number(self, tree: Number) -> str | None:
        plain = self._plain(tree)
        if plain is not None:
            return plain
        if isinstance(tree, CellDigit):
            return self._cell(tree.letter)
        if cells := _letters_of_sum(tree):
            return f"the sum of {self._group(cells)}"
        if cells := self._apart(tree):
            return f"the difference between {self._group(cells)}"
        if isinstance(tree, Call) and tree.function != "abs":
            return self._extreme(tree)
        if isinstance(tree, Arithmetic):
            return self._arithmetic(tree)
        return None

    def _extreme(self, tree: Call) -> str | None:
        letters = "".join(one.letter for one in tree.arguments if isinstance(one, CellDigit))
        if len(letters) < len(tree.arguments) or len(set(letters)) < len(letters):
            return None
        two = {"min": "smaller", "max": "larger"}[tree.function]
        most = {"min": "smallest", "max": "largest"}[tree.function]
        return f"the {two if len(letters) == 2 else most} of {self._group(letters)}"

    def _arithmetic(self, tree: Arithmetic) -> str | None:
        left, right = tree.left, tree.right
        if tree.operator == "*":
            times, cell = (left, right) if isinstance(right, CellDigit) else (right, left)
            if isinstance(times, Literal | LetterValue) and isinstance(cell, CellDigit):
                return f"{self._plain(times)} times {self._cell(cell.letter)}"
            if isinstance(left, CellDigit) and isinstance(right, CellDigit) and left != right:
                return f"the product of {self._group(left.letter + right.letter)}"
        if tree.operator in ("+", "-"):
            one, other = self._number(left), self._term(right)
            if one is not None and other is not None and not one.startswith("the sum"):
                return f"{one} {'plus' if tree.operator == '+' else 'minus'} {other}"
        if tree.operator == "%" and isinstance(right, Literal) and right.value:
            divided = self._cell(left.letter) if isinstance(left, CellDigit) else None
            if cells := _letters_of_sum(left):
                divided = f"the sum of {self._group(cells)}"
            return divided and f"the remainder of {divided} on division by {right.value}"
        return None

    def _term(self, tree: Number) -> str | None:
        """A term that may follow a plus or a minus without a bracket."""
        if isinstance(tree, Arithmetic) and tree.operator != "*":
            return None
        return None if isinstance(tree, Call) else self._number(tree)


def _letters_of_sum(tree: Number) -> str:
    """The letters of the two or more cells whose plain total it is, in order; else empty."""
    if isinstance(tree, Arithmetic) and tree.operator == "+" and isinstance(tree.right, CellDigit):
        left = tree.left.letter if isinstance(tree.left, CellDigit) else _letters_of_sum(tree.left)
        if left and tree.right.letter not in left:
            return left + tree.right.letter
    return ""


def _signs(tree: Expression) -> str:
    if isinstance(tree, ComparisonChain):
        rest = zip(tree.operators, tree.numbers[1:], strict=True)
        return _signs(tree.numbers[0]) + "".join(f" {_SIGNS[op]} {_signs(n)}" for op, n in rest)
    if isinstance(tree, Junction):
        return f" {tree.word} ".join(_in_brackets(part, tree.strength + 1) for part in tree.parts)
    if isinstance(tree, Not):
        return f"not ({_signs(tree.operand)})"
    if isinstance(tree, Negative):
        return f"−{_in_brackets(tree.operand, SIGN)}"
    if isinstance(tree, Call):
        inside = [_signs(argument) for argument in tree.arguments]
        if tree.function == "abs":
            return f"|{inside[0]}|"
        return f"{ {'min': 'the least', 'max': 'the greatest'}[tree.function] } of ({', '.join(inside)})"
    if isinstance(tree, Arithmetic):
        return _WRITTEN[tree.operator](tree)
    return str(tree)


def _in_brackets(tree: Expression, least: int) -> str:
    return _signs(tree) if tree.strength >= least else f"({_signs(tree)})"


def _two(sign: str, strength: int) -> Callable[[Arithmetic], str]:
    return lambda tree: (
        f"{_in_brackets(tree.left, strength)} {sign} {_in_brackets(tree.right, strength + 1)}"
    )


_WRITTEN: dict[str, Callable[[Arithmetic], str]] = {
    "+": _two("+", SUM),
    "-": _two("−", SUM),
    "*": _two("×", PRODUCT),
    "%": _two("mod", PRODUCT),
    "//": lambda tree: (
        f"⌊{_in_brackets(tree.left, PRODUCT)} ÷ {_in_brackets(tree.right, PRODUCT + 1)}⌋"
    ),
    "**": lambda tree: f"{_in_brackets(tree.left, ATOM)}^{_in_brackets(tree.right, ATOM)}",
}


def _may_divide_by_zero(tree: Expression) -> bool:
    """Whether there is a division, or a negative power, by something that could be 0."""
    if isinstance(tree, Arithmetic):
        if tree.operator in ("//", "%") and not isinstance(tree.right, Literal):
            return True
        if tree.operator == "**" and not isinstance(tree.right, Literal):
            return True
    return any(map(_may_divide_by_zero, tree.operands))
