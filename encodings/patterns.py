"""Patterns: the language in which a setter says what a line of digits may look like.

One symbol is one digit: `1` to `9`, then `A` to `Z` in either case, `0` if it is a digit. `.` is
any digit, `[135]` one of several, `[2-6]` one of a range, `[^12]` any other. `|` separates choices,
brackets group, and after a digit, class or group `*` means any number of times, `+` at least once,
`?` at most once, `{3}` three times, `{3,}` at least and `{3,5}` from three to five times. Spaces
are ignored. The whole line must match: `12.*` is a line that starts with 1 and 2.

A pattern has no look-around, references or escapes, so it is a regular expression in the strict
sense, and becomes a deterministic automaton: the automaton of its positions (Glushkov, "The
abstract theory of automata", 1961), made deterministic by sets of positions (Rabin and Scott,
"Finite automata and their decision problems", 1959) and then minimal. Counted repeats are written
out, so the size of the pattern written out is limited, and so is the number of states.

>>> digits = {str(d): d for d in range(1, 10)}
>>> rise_or_fall = pattern("1.*9 | 9.*1", digits)
>>> rise_or_fall.accepts((1, 5, 9)), rise_or_fall.accepts((1, 9, 2))
(True, False)
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .automata import Dfa, TooManyStatesError, explore
from .pattern_parts import LineMatcher, Positions
from .pattern_reader import PatternError, read

STATE_LIMIT = 1000
"""Default for `pattern`, before states that behave alike are merged."""


def pattern(text: str, symbols: Mapping[str, int], limit: int = STATE_LIMIT) -> Dfa:
    """The minimal automaton of the lines that match the whole of `text`.

    `symbols` gives the digit of each symbol (`{"1": 1, …, "A": 10}`, letters in upper case); the
    automaton reads digits. Raises PatternError for any text that is not a pattern and when more
    than `limit` states are needed.
    """
    tree = read(text, symbols)
    positions = Positions()
    whole = tree.fragment(positions)
    before = positions.add(frozenset())  # the position of a line before its first digit
    positions.follow[before] = whole.first
    ends = whole.last | (1 << before if whole.empty else 0)
    reading = {
        digit: sum(1 << place for place, digits in enumerate(positions.digits) if digit in digits)
        for digit in symbols.values()
    }
    following: dict[int, int] = {}

    def step(state: int, digit: int) -> int | None:
        # A state is a set of positions, as bits, from which the line may go on; most digits lead
        # to few different sets, so each is followed once.
        if state not in following:
            following[state] = positions.after(state)
        return following[state] & reading[digit] or None

    try:
        automaton = explore(
            1 << before, reading, step, lambda state: bool(state & ends), limit=limit
        )
    except TooManyStatesError:
        raise PatternError(
            f"this pattern needs more than {limit:,} states: make it shorter or less open"
        ) from None
    return automaton.minimal(reading)


def matches(text: str, symbols: Mapping[str, int], line: Sequence[int]) -> bool:
    """Whether a line matches the whole of `text`, by following the pattern as it is written.

    The plain reading of a pattern: no automaton is built. Each part is followed once from each place
    of the line, so that no pattern makes it slow. Raises PatternError as `pattern` does.
    """
    tree = read(text, symbols)
    return len(line) in LineMatcher(line).onward(tree, {0})
