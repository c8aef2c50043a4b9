"""Hints from the told route: each a little stronger than the one before, and honest if it is open."""

from __future__ import annotations

from typing import Any

from gridassay.verify import read, route
from gridassay.verify.book.hints import OPEN, hints_of

from .shelf import LINES


def step(technique: str, **fields: Any) -> dict[str, Any]:
    bare = {"place": [], "remove": [], "houses": [], "cells": [], "rules": [], "digits": []}
    return {"technique": technique, "text": "", **bare, **fields}


def test_singles_are_told_without_their_digits_first() -> None:
    found = route(read(LINES[0])).to_json()
    takes, begin, first = hints_of(found)
    assert takes == "Singles are all it takes."
    opening = found["steps"][0]
    assert begin.startswith(f"There is a {opening['technique']}")
    assert opening["houses"][0] in begin
    assert opening["place"][0]["cell"] not in begin
    assert f"{opening['place'][0]['cell']} is {opening['place'][0]['digit']}" in first


def test_a_route_that_is_open_says_so_and_gives_what_it_has() -> None:
    assert hints_of(None) == (OPEN, "", "")
    pair = step(
        "naked pair", houses=["row 4"], cells=["r4c1", "r4c2"], text="r4c1 and r4c2 hold 1 2"
    )
    cut = {"steps": [pair], "solved": False, "level": None, "crux": 0}
    takes, begin, crux = hints_of({**cut, "techniques": {"hidden single": 3, "naked pair": 1}})
    assert takes == f"{OPEN} Beyond singles: naked pair."
    assert begin == "Look for a naked pair in row 4."
    assert crux == "Step 1 of 1: r4c1 and r4c2 hold 1 2."


def test_a_step_too_long_for_the_back_of_a_book_is_told_by_what_it_does() -> None:
    gone = [{"cell": "r4c1", "digit": 3}]
    long = step("story", remove=gone, text="suppose " * 90, rules=["cage r1c1 r1c2"])
    found = {
        "steps": [long],
        "solved": True,
        "level": "beyond",
        "crux": 0,
        "techniques": {"story": 1},
    }
    takes, begin, crux = hints_of(found)
    assert takes == "Level: beyond. Beyond singles: supposing."
    assert begin == "Look at the rule cage r1c1 r1c2."
    phrases = {"cage r1c1 r1c2": "the 9 cage in box 1"}
    assert hints_of(found, phrases)[1] == "Look at the 9 cage in box 1."
    assert crux == "Step 1 of 1: r4c1 is not 3."


def test_names_take_the_article_they_need() -> None:
    for name, said in (("equal cells", "equal cells"), ("X-wing", "an X-wing")):
        found = {
            "steps": [step(name, houses=["row 1"])],
            "solved": True,
            "level": "fish",
            "crux": 0,
        }
        assert hints_of({**found, "techniques": {name: 1}})[1] == f"Look for {said} in row 1."
