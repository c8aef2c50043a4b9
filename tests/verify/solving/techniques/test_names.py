"""Words of the trade for techniques, and what they are taken for."""

from __future__ import annotations

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.solving.routes import technique_order
from gridassay.verify.solving.techniques.names import (
    OTHER_WORDS,
    find_technique,
    find_techniques,
    suggestion,
    technique_names,
    techniques_meant,
)


@pytest.mark.parametrize(
    ("word", "name"),
    [
        ("Y-wing", "XY-wing"),
        ("xy wing", "XY-wing"),
        ("full house", "last cell"),
        ("pointing pairs", "locked candidates"),
        ("Pointing Triple", "locked candidates"),
        ("claiming", "locked candidates"),
        ("box/line reduction", "locked candidates"),
        ("locked candidate", "locked candidates"),
        ("cross hatching", "hidden single"),
        ("rule of 45", "house total"),
        ("innies", "house total"),
        ("outies", "house total"),
        ("ALS-XZ", "almost locked sets"),
        ("simple coloring", "colouring"),
        ("BUG", "bivalue universal grave"),
        ("AIC", "alternating inference chain"),
        ("killer pair", "pair with a rule"),
        ("Two String Kite", "two-string kite"),
    ],
)
def test_a_word_of_the_trade_is_taken_for_our_name(word: str, name: str) -> None:
    """Common practice, no published source."""
    assert find_techniques(word) == (name,)
    assert find_technique(word) == name


def test_every_name_stands_for_itself_alone() -> None:
    for name in technique_names():
        assert techniques_meant(name) == (name,)
        assert techniques_meant(name.upper().replace("-", " ")) == (name,)


def test_other_words_are_of_techniques_that_there_are() -> None:
    assert set(OTHER_WORDS) <= set(technique_names())
    for name, words in OTHER_WORDS.items():
        for word in words:
            assert name in techniques_meant(word)


def test_a_word_for_several_stands_for_all_of_them() -> None:
    assert find_techniques("naked subsets") == ("naked pair", "naked triple", "naked quad")
    with pytest.raises(PuzzleError, match="naked pair, naked triple or naked quad; say which"):
        find_technique("naked subset")
    first, second, third, *_ = technique_order(["naked subset"])
    assert [one.name for one in (first, second, third)] == [
        "naked pair",
        "naked triple",
        "naked quad",
    ]


@pytest.mark.parametrize(
    ("word", "meant"),
    [("skyscrapr", "skyscraper"), ("sordfish", "swordfish"), ("pointng pair", "locked candidates")],
)
def test_a_close_misspelling_gets_what_was_meant(word: str, meant: str) -> None:
    assert techniques_meant(word) == ()
    assert suggestion(word) == meant
    with pytest.raises(PuzzleError, match=f"did you mean {meant}"):
        find_techniques(word)


def test_a_word_like_none_gets_the_list() -> None:
    assert suggestion("bananas") == ""
    with pytest.raises(PuzzleError, match="the techniques are last cell, hidden single"):
        find_techniques("bananas")
