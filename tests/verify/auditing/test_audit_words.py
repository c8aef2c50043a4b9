"""Techniques as an audit says them."""

from __future__ import annotations

import pytest

from gridassay.verify.auditing.words import any_of, gives, were_shown, with_article
from gridassay.verify.solving.techniques.names import technique_names


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("XYZ-wing", "an XYZ-wing"),
        ("naked single", "a naked single"),
        ("unique rectangle", "a unique rectangle"),
        ("alternating inference chain", "an alternating inference chain"),
        ("empty rectangle", "an empty rectangle"),
        ("W-wing", "a W-wing"),
        ("locked candidates", "locked candidates"),
        ("colouring", "colouring"),
        ("law of leftovers", "the law of leftovers"),
    ],
)
def test_articles(name: str, said: str) -> None:
    assert with_article(name) == said


def test_no_plural_has_an_article() -> None:
    for name in technique_names():
        if name.endswith(("sets", "pairs", "candidates", "crossing houses")):
            assert with_article(name) == name
            assert gives(name) == "give"
            assert were_shown([name]) == f"the {name} were shown"
    assert gives("XY-wing") == "gives"
    assert any_of(["naked pair", "naked triple"]) == "a naked pair or a naked triple"
