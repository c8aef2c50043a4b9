"""Formulas over many cells as automata that read the cells one by one.

A table of all choices is out of reach if there are many cells, and often not needed: after some
cells of `a + b + c + d + e + f == 20` only their total matters. A state here is what is left of the
formula once the numbers read so far are put in and evaluated; formulas that leave the same rest are
one state. If few states are needed this is a small ordered decision diagram (Bryant,
"Graph-based algorithms for Boolean function manipulation", 1986, with many-valued variables), else
it is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from math import ceil, floor

from .automata import Dfa
from .expressions import (
    LARGEST,
    Arithmetic,
    BooleanExpression,
    Call,
    CellDigit,
    ComparisonChain,
    Exact,
    Expression,
    Junction,
    LetterValue,
    Literal,
    Negative,
    Not,
    Number,
    power,
)
from .formulas import Formula, FormulaError

STATE_LIMIT = 4_000
"""Most states of a diagram: a second or two of work."""

Span = tuple[Exact, Exact]
Domains = Mapping[str, Sequence[int]]

_TRUE, _FALSE = Junction("and", ()), Junction("or", ())


def diagram(formula: Formula, domains: Sequence[Sequence[int]], limit: int = STATE_LIMIT) -> Dfa:
    """The automaton that reads a number for each name of the formula and accepts if it is true.

    The names are the cells that the formula uses, in order, then its unknowns; `domains` gives the
    numbers of each. Raises FormulaError if more than `limit` states are needed.
    """
    names = [*formula.names, *formula.unknowns]
    open_names: dict[str, Sequence[int]] = dict(zip(names, domains, strict=True))
    layer: dict[BooleanExpression, int] = {formula.tree: 0}
    moves: dict[tuple[int, int], int] = {}
    known = 1
    for name in names:
        numbers = open_names.pop(name)
        following: dict[BooleanExpression, int] = {}
        for state, place in layer.items():
            for number in numbers:
                after = _Putting(name, number, open_names).truth(state)
                if after is None or after == _FALSE:
                    continue
                if after not in following:
                    following[after] = known
                    known += 1
                    if known > limit:
                        raise FormulaError(
                            f"{len(formula.names)} cells are too many for this formula: what is "
                            f"left of it after some of them takes more than {limit:,} forms; "
                            "use fewer cells, or split it into several relations"
                        )
                moves[place, number] = following[after]
        layer = following
    return Dfa(0, frozenset(place for state, place in layer.items() if state == _TRUE), moves)


class _Putting:
    """Puts a number in place of a name and evaluates what it can.

    A result of None means that some part has no value, so that the whole formula is false.
    ``domains`` gives the numbers of the names that stay open: a statement whose other parts settle
    it may be left out only if it surely has a value.
    """

    def __init__(self, name: str, number: int, domains: Domains) -> None:
        self.name = name
        self.literal = Literal(number)
        self.domains = domains

    def truth(self, tree: BooleanExpression) -> BooleanExpression | None:
        if isinstance(tree, ComparisonChain):
            return self._comparison(tree)
        if isinstance(tree, Not):
            inside = self.truth(tree.operand)
            if inside is None:
                return None
            if inside in (_TRUE, _FALSE):
                return _FALSE if inside == _TRUE else _TRUE
            return Not(inside)
        assert isinstance(tree, Junction)
        return self._junction(tree)

    def _junction(self, tree: Junction) -> BooleanExpression | None:
        empty, settling = (_TRUE, _FALSE) if tree.word == "and" else (_FALSE, _TRUE)
        left: list[BooleanExpression] = []
        settled = False
        for part in tree.parts:
            inside = self.truth(part)
            if inside is None:
                return None
            if inside == settling:
                settled = True
            elif inside != empty:
                left.append(inside)
        if settled:
            # A part that may still turn out to have no value would make the whole formula false.
            left = [one for one in left if not self._sure(one)]
            return Junction(tree.word, (*left, settling)) if left else settling
        if len(left) == 1:
            return left[0]
        return Junction(tree.word, tuple(dict.fromkeys(left))) if left else empty

    def _comparison(self, tree: ComparisonChain) -> BooleanExpression | None:
        numbers = [self.number(number) for number in tree.numbers]
        known = [number for number in numbers if number is not None]
        if len(known) < len(numbers):
            return None
        links: list[BooleanExpression] = []
        for one, sign, other in zip(known, tree.operators, known[1:], strict=False):
            link = ComparisonChain((one, other), (sign,))
            if isinstance(one, Literal) and isinstance(other, Literal):
                if not link.evaluator({})(()):
                    return _FALSE if all(map(self._sure_number, known)) else self._doom(known)
            else:
                links.append(link)
        if len(links) == 1:
            return links[0]
        return Junction("and", tuple(links)) if links else _TRUE

    def _doom(self, numbers: Sequence[Number]) -> BooleanExpression:
        """False, or without a value: kept where a "not" around it could make that matter."""
        kept = tuple(one for one in numbers if not self._sure_number(one))
        return Junction("and", (_FALSE, *(ComparisonChain((one, one), ("==",)) for one in kept)))

    def _sure(self, tree: Expression) -> bool:
        if isinstance(tree, Number):
            return self._sure_number(tree)
        return all(map(self._sure, tree.operands))

    def _sure_number(self, tree: Number) -> bool:
        """Whether it has a value whatever the open names are."""
        return span(tree, self.domains) is not None

    def number(self, tree: Number) -> Number | None:
        if isinstance(tree, CellDigit | LetterValue):
            own = tree.letter if isinstance(tree, CellDigit) else tree.name
            return self.literal if own == self.name else tree
        if self.name not in tree.letters:
            return tree
        return self._join(tree)

    def _join(self, tree: Number) -> Number | None:
        parts = [self.number(operand) for operand in tree.operands if isinstance(operand, Number)]
        known = [part for part in parts if part is not None]
        if len(known) < len(parts):
            return None
        whole: Number
        if isinstance(tree, Arithmetic):
            whole = Arithmetic(tree.operator, known[0], known[1])
        elif isinstance(tree, Negative):
            whole = Negative(known[0])
        else:
            assert isinstance(tree, Call)
            whole = Call(tree.function, _arguments(tree.function, known))
            if tree.function != "abs" and len(whole.arguments) == 1:
                return whole.arguments[0]
        if all(isinstance(part, Literal) for part in whole.operands):
            try:
                return Literal(whole.evaluator({})(()))
            except ArithmeticError:
                return None
        return whole


def _arguments(function: str, parts: Sequence[Number]) -> tuple[Number, ...]:
    """The arguments of a least or greatest, with the known ones combined into one."""
    if function == "abs":
        return tuple(parts)
    known = [part.value for part in parts if isinstance(part, Literal)]
    others = [part for part in parts if not isinstance(part, Literal)]
    best = [Literal(min(known) if function == "min" else max(known))] if known else []
    return (*best, *others)


def span(tree: Number, domains: Domains) -> Span | None:
    """The least and the greatest value of a number, or what surely lies outside all of them.

    None if it may have no value, or one too large to be reckoned with.
    """
    if isinstance(tree, Literal):
        return tree.value, tree.value
    if isinstance(tree, CellDigit | LetterValue):
        numbers = domains[tree.letter if isinstance(tree, CellDigit) else tree.name]
        return min(numbers), max(numbers)
    inside = [span(operand, domains) for operand in tree.operands if isinstance(operand, Number)]
    known = [one for one in inside if one is not None]
    if len(known) < len(inside):
        return None
    found = _span(tree, known)
    return None if found is None or any(abs(one) > LARGEST for one in found) else found


def _span(tree: Number, known: Sequence[Span]) -> Span | None:
    first = known[0]
    if isinstance(tree, Negative):
        return -first[1], -first[0]
    if isinstance(tree, Call):
        if tree.function == "abs":
            least, most = _hull(one if one >= 0 else -one for one in first)
            return (0 if first[0] <= 0 <= first[1] else least), most
        lows, highs = _hull(low for low, _ in known), _hull(high for _, high in known)
        return (lows[0], highs[0]) if tree.function == "min" else (lows[1], highs[1])
    assert isinstance(tree, Arithmetic)
    second = known[1]
    if tree.operator == "+":
        return first[0] + second[0], first[1] + second[1]
    if tree.operator == "-":
        return first[0] - second[1], first[1] - second[0]
    if tree.operator == "*":
        return _hull(Fraction(one) * Fraction(other) for one in first for other in second)
    if tree.operator == "**":
        return _powers(first, second)
    if second[0] <= 0 <= second[1]:
        return None
    if tree.operator == "%":
        return (0, second[1]) if second[0] > 0 else (second[0], 0)
    least, most = _hull(Fraction(one) / Fraction(other) for one in first for other in second)
    return floor(least), ceil(most)


def _hull(numbers: Iterable[Exact]) -> Span:
    """The least and the greatest of some numbers."""
    ordered = sorted(numbers, key=Fraction)
    return ordered[0], ordered[-1]


def _powers(base: Span, exponent: Span) -> Span | None:
    """The bounds for a known whole exponent of at least 0."""
    if exponent[0] != exponent[1] or exponent[0] < 0:
        return None
    try:
        ends = [power(end, exponent[0]) for end in base]
    except ArithmeticError:
        return None
    return min(*ends, 0), max(*ends, 1)


def letter_spans(formula: Formula, domain: Sequence[int]) -> dict[str, tuple[int, int]]:
    """The whole numbers that each unknown of a formula ranges over, where cells have the domain.

    Where an unknown stands in a comparison as a term of its own, a whole number of times, these are
    the numbers for which both sides can be equal (and one more at either end if they are to
    differ); where it stands otherwise, all that any other part of the formula can be. Raises
    FormulaError for unknowns that are limited only by one another.
    """
    cells = dict.fromkeys(formula.names, domain)
    spans: dict[str, tuple[int, int]] = {}
    for _ in formula.unknowns:
        for name in formula.unknowns:
            if name in spans:
                continue
            known: Domains = {**cells, **spans}
            found = list(_bounds(formula.tree, name, known))
            if found:
                low, high = min(one for one, _ in found), max(other for _, other in found)
                spans[name] = ceil(low), max(ceil(low), floor(high))
    for name in formula.unknowns:
        if name not in spans:
            raise FormulaError(f"nothing in the formula tells which numbers {name!r} could be")
    return spans


def _bounds(tree: Expression, name: str, known: Domains) -> list[Span]:
    """The range that each comparison with an unknown leaves for it."""
    if not isinstance(tree, ComparisonChain):
        return [one for part in tree.operands for one in _bounds(part, name, known)]
    found: list[Span] = []
    for left, sign, right in zip(tree.numbers, tree.operators, tree.numbers[1:], strict=False):
        if name not in left.letters | right.letters:
            continue
        if not (left.letters | right.letters) - {name} <= set(known):
            continue
        low, high = _equal(left, right, name, known) or _parts(left, right, name, known)
        beyond = 0 if sign in ("==", "<=", ">=") else 1
        found.append((low - beyond, high + beyond))
    return found


def _equal(left: Number, right: Number, name: str, known: Domains) -> Span | None:
    """The numbers for which both sides can be equal, if the unknown is a term of one of them."""
    times, rest = _terms(Arithmetic("-", left, right), name, known)
    if not times or rest is None:
        return None
    ends = [Fraction(-one) / times for one in rest]
    return min(ends), max(ends)


def _terms(tree: Number, name: str, known: Domains) -> tuple[int, Span | None]:
    """How often the unknown is a term of a total, and the range of the rest."""
    if name not in tree.letters:
        return 0, span(tree, known)
    if isinstance(tree, LetterValue):
        return 1, (0, 0)
    if isinstance(tree, Negative):
        times, rest = _terms(tree.operand, name, known)
        return -times, rest and (-rest[1], -rest[0])
    if isinstance(tree, Arithmetic) and tree.operator in ("+", "-"):
        sign = 1 if tree.operator == "+" else -1
        one, first = _terms(tree.left, name, known)
        two, second = _terms(tree.right, name, known)
        if first is None or second is None:
            return 0, None
        ends = (second[0], second[1]) if sign > 0 else (-second[1], -second[0])
        return one + sign * two, (first[0] + ends[0], first[1] + ends[1])
    if isinstance(tree, Arithmetic) and tree.operator == "*":
        factor, other = tree.left, tree.right
        if isinstance(other, Literal):
            factor, other = other, factor
        if isinstance(factor, Literal):
            times, rest = _terms(other, name, known)
            number = int(factor.value)
            return number * times, rest and (number * rest[0], number * rest[1])
    return 0, None


def _parts(left: Number, right: Number, name: str, known: Domains) -> Span:
    """The range of the other parts of both sides, 0 included."""
    found: list[Exact] = [0]
    waiting: list[Expression] = [left, right]
    while waiting:
        part = waiting.pop()
        reach = span(part, known) if isinstance(part, Number) and name not in part.letters else None
        if reach is not None:
            found += reach
        waiting += part.operands
    return min(found), max(found)
