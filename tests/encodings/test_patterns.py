"""Patterns: the same lines as Python's `re.fullmatch` accepts, clear refusals, bounded size."""

import re
from itertools import product

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from gridassay.encodings.patterns import PatternError, matches, pattern

NINE = {str(digit): digit for digit in range(1, 10)}
FOUR = {str(digit): digit for digit in range(1, 5)}
HEXADECIMAL = {symbol: digit for digit, symbol in enumerate("0123456789ABCDEF")}

symbol = st.sampled_from("1234")


@st.composite
def classes(draw: st.DrawFn) -> str:
    """A class that leaves at least one of the digits 1 to 4."""
    items = draw(st.lists(st.one_of(symbol, st.sampled_from(["1-2", "2-3", "2-2"])), min_size=1))
    listed = "".join(items)
    return f"[^{listed.replace('4', '3')}]" if draw(st.booleans()) else f"[{listed}]"


def _grown(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    repeat = st.one_of(
        st.sampled_from(["*", "+", "?"]),
        st.integers(0, 3).map(lambda m: f"{{{m}}}"),
        st.integers(0, 3).map(lambda m: f"{{{m},}}"),
        st.tuples(st.integers(0, 2), st.integers(0, 2)).map(lambda t: f"{{{t[0]},{sum(t)}}}"),
    )
    return st.one_of(
        st.lists(inner, max_size=4).map("".join),
        st.lists(inner, min_size=2, max_size=3).map(lambda parts: f"({'|'.join(parts)})"),
        st.tuples(inner, repeat).map(lambda t: f"({t[0]}){t[1]}"),
        st.tuples(st.one_of(symbol, classes(), st.just(".")), repeat).map("".join),
    )


texts = st.recursive(st.one_of(symbol, classes(), st.just(".")), _grown, max_leaves=8)
lines = [line for length in range(5) for line in product((1, 2, 3, 4), repeat=length)]


def _read(text: str) -> set[str]:
    dfa = pattern(text, FOUR)
    return {"".join(map(str, line)) for line in lines if dfa.accepts(line)}


@settings(max_examples=500)
@given(texts.filter(str.strip))
@example("(1|2|)*3{2,}")
@example("((1?){2}){0,2}|[^1-3]")
@example("(|1)(2|)+")
def test_lines_are_those_of_the_standard_library(text: str) -> None:
    # Outside check: Python's re module, on every line of up to four digits.
    expected = {line for line in ("".join(map(str, t)) for t in lines) if re.fullmatch(text, line)}
    assert _read(text) == expected


@settings(max_examples=200)
@given(texts.filter(str.strip))
@example("(1?){3}2{0,2}")
@example("((1|12)(3|23)?){2}")
def test_following_the_pattern_reads_the_same_lines(text: str) -> None:
    # Outside check: Python's re module again; `matches` must not lean on the automaton.
    for line in lines:
        assert matches(text, FOUR, line) is bool(re.fullmatch(text, "".join(map(str, line))))


@pytest.mark.parametrize("text", ["(" * 49 + "1*" + ")*" * 49 + "2", "(1|1|1|1)*" * 20 + "2"])
def test_following_a_pattern_takes_few_steps(text: str) -> None:
    # A backtracking reader would try more ways than there are atoms before it gives up.
    assert not matches(text, FOUR, (1,) * 35)
    assert matches(text, FOUR, (*(1,) * 34, 2))


@given(texts.filter(str.strip))
def test_automata_are_minimal_and_compact(text: str) -> None:
    dfa = pattern(text, FOUR)
    assert dfa == dfa.minimal(FOUR.values())
    assert dfa.states == frozenset(range(len(dfa.states)))


def test_spaces_and_case_do_not_matter() -> None:
    assert pattern(" a { 2 , 3 } | [ 1 - 3 ]\t. ", HEXADECIMAL) == pattern(
        "A{2,3}|[1-3].", HEXADECIMAL
    )


def test_symbols_are_read_as_digits() -> None:
    dfa = pattern("0[8-b]F", HEXADECIMAL)
    assert [d for d in range(16) if dfa.accepts((0, d, 15))] == [8, 9, 10, 11]


@pytest.mark.parametrize(
    ("text", "column", "words"),
    [
        ("", 1, "nothing"),
        (" \n ", 1, "nothing"),
        ("1(2", 4, "')' is missing before the end"),
        ("1)2", 2, "has no matching"),
        ("(1))", 4, "has no matching"),
        ("*1", 1, "nothing before it"),
        ("1|+", 3, "nothing before it"),
        ("1**", 3, "repeat of a repeat"),
        ("1+?", 3, "repeat of a repeat"),
        ("1{2}{3}", 5, "repeat of a repeat"),
        ("1{3,2}", 6, "impossible"),
        ("1{,2}", 3, "number of times"),
        ("1{2", 4, "'}' is missing before the end"),
        ("1{2;3}", 4, "'}' is missing before ';'"),
        ("1{4,x}", 5, "number of times"),
        ("1{100000}", 3, "at most 1,000 times"),
        ("1]", 2, "no meaning"),
        ("[12", 4, "']' is missing before the end"),
        ("[]", 1, "no digit"),
        ("1[^1-9]", 2, "no digit"),
        ("[5-2]", 5, "backwards"),
        ("[1-]", 4, "no meaning"),
        ("[1-", 4, "missing before the end"),
        ("1A", 2, "'A' is not a digit here: the digits are 123456789"),
        ("0", 1, "'0' is not a digit here"),
        ("12$", 3, "whole line"),
        ("^12", 1, "whole line"),
        ("(?=1)2", 2, "look"),
        ("(?P<a>1)", 2, "look"),
        ("(1)\\1", 4, "no meaning"),
        ("1\x002", 2, "cannot be used"),
        ("1٢", 2, "cannot be used"),
        ("1" * 5000, 1001, "more than 1,000 characters"),
        ("(" * 900, 51, "more than 50 brackets"),
    ],
)
def test_refusals_say_what_and_where(text: str, column: int, words: str) -> None:
    with pytest.raises(PatternError) as caught:
        pattern(text, NINE)
    assert caught.value.column == column
    assert words in caught.value.message
    assert str(caught.value) == f"column {column}: {caught.value.message}"
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "(1{1,40}){1,40}",
        "((((){1,999}){1,999}){1,999}){1,999}",
        "(((1{0,99}){0,99})*){0,99}",
        "(1{999}){999}",
    ],
)
def test_repeats_written_out_are_bounded(text: str) -> None:
    with pytest.raises(PatternError, match="more than 1,000 digits long"):
        pattern(text, NINE)


def test_states_are_bounded() -> None:
    # The shortest deterministic automaton for "a 1 or 2, twenty before the end" has 2**21 states.
    assert len(pattern("[12].{20}", NINE).states) == 22
    assert len(pattern(".*[12].{4}", NINE).states) == 2**5
    with pytest.raises(PatternError, match="more than 1,000 states"):
        pattern(".*[12].{20}", NINE)
    with pytest.raises(PatternError, match="more than 9 states"):
        pattern("1{9}", NINE, limit=9)


def test_large_counted_repeats_stay_small() -> None:
    dfa = pattern("(1{1,30}){1,30}", NINE)
    assert len(dfa.states) == 901
    assert dfa.accepts([1] * 900)
    assert not dfa.accepts([1] * 901)


@settings(max_examples=500)
@given(st.text(max_size=40) | st.text("123()[]{},|*+?.^-", max_size=40))
def test_any_text_is_a_pattern_or_a_pattern_error(text: str) -> None:
    error = None
    try:
        pattern(text, FOUR)
    except PatternError as refusal:
        error = refusal
    assert error is None or error.column is None or 1 <= error.column <= len(text) + 1
