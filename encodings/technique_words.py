"""Names of techniques: ours, and the other words the trade has for them.

They are here, below the solving packages, because no rule or letter of a puzzle may have such a
name: a written step would then mean two things. Source of every word: common practice, no published
source.
"""

from __future__ import annotations

TECHNIQUE_WORDS: dict[str, tuple[str, ...]] = {
    "last cell": ("last cell of a house", "full house", "last digit"),
    "hidden single": ("cross-hatching",),
    "naked single": (),
    "equal cells": (),
    "alternation": (),
    "corner of two": ("two by two", "2x2"),
    "crossed square": ("checkerboard", "chequerboard"),
    "edge in two": ("border in two", "perimeter"),
    "same region": (),
    "digit in a region": (),
    "full group": ("finished island", "complete group"),
    "room to grow": (),
    "dead end": ("one way out", "escape"),
    "cut off": ("unreachable",),
    "kept apart": ("would join two islands",),
    "meeting place": ("choke point", "bottleneck"),
    "fitting shape": ("only shape that fits", "only piece that fits"),
    "closed too early": ("premature loop",),
    "rule alone": (),
    "sure digit": (),
    "house total": (
        "rule of 45",
        "45 rule",
        "innies",
        "outies",
        "innies and outies",
        "innies/outies",
    ),
    "locked candidates": (
        "pointing",
        "pointing pair",
        "pointing triple",
        "claiming",
        "claiming pair",
        "claiming triple",
        "box-line reduction",
        "intersection removal",
    ),
    "law of leftovers": ("leftovers",),
    "rule with its houses": (),
    "naked pair": ("naked double", "naked subset"),
    "hidden pair": ("hidden double", "hidden subset"),
    "pair with a rule": ("killer pair",),
    "naked triple": ("naked subset", "naked triplet"),
    "hidden triple": ("hidden subset", "hidden triplet"),
    "triple with a rule": ("killer triple",),
    "naked quad": ("naked subset", "naked quadruple", "naked quadruplet"),
    "hidden quad": ("hidden subset", "hidden quadruple", "hidden quadruplet"),
    "X-wing": (),
    "skyscraper": (),
    "two-string kite": (),
    "empty rectangle": (),
    "swordfish": (),
    "jellyfish": (),
    "finned X-wing": (),
    "sashimi X-wing": (),
    "finned swordfish": (),
    "sashimi swordfish": (),
    "finned jellyfish": (),
    "sashimi jellyfish": (),
    "XY-wing": ("Y-wing",),
    "XYZ-wing": (),
    "W-wing": (),
    "WXYZ-wing": (),
    "unique rectangle": ("UR",),
    "hidden rectangle": ("hidden unique rectangle",),
    "avoidable rectangle": (),
    "bivalue universal grave": ("BUG",),
    "remote pairs": (),
    "colouring": ("simple colouring", "single-digit colouring"),
    "X-chain": (),
    "XY-chain": (),
    "colouring of several digits": ("multi-digit colouring",),
    "alternating inference chain": ("AIC", "grouped AIC", "nice loop"),
    "almost locked sets": ("ALS", "ALS-XZ", "almost locked set XZ"),
    "doubly linked sets": ("doubly linked ALS", "doubly linked ALS-XZ"),
    "crossing houses": ("two-sector disjoint subsets",),
}
"""Our name, and what else the trade calls it. A word under several names stands for all of them."""


def plainly(word: str) -> str:
    """Without case, hyphens and plural; British spelling."""
    letters = "".join(letter if letter.isalnum() or letter == "+" else " " for letter in word)
    parts = letters.casefold().replace("color", "colour").split()
    return " ".join(part.removesuffix("s") if len(part) > 3 else part for part in parts)
