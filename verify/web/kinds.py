"""The kinds of rules in the groups in which the page offers them, by the place of their drawing."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from gridassay.encodings.rule_words import KIND_WORDS
from gridassay.encodings.rules import every_rule

_GROUPS = {
    "Cages and sums": ("cages", "calculations", "totals"),
    "Lines": ("arrows", "lines", "set_lines", "step_lines", "sum_lines", "end_lines"),
    "Marks between cells": ("marks", "completeness"),
    "Marks in cells": ("cell_marks", "positions"),
    "Beside the grid": ("outside", "outside_readings"),
    "Sets of cells and the whole grid": ("sets", "whole_grid"),
    "Layers": (
        "shadings",
        "counts_as",
        "shading_numbers",
        "shaded_groups",
        "loops",
        "along_lines",
        "stretches",
        "insides",
        "regions",
        "region_shapes",
    ),
    "Of your own": ("relations", "sequences", "combinations"),
}
_ELSE = "From elsewhere"


def kind_groups() -> list[dict[str, Any]]:
    """Every kind once, as one ``{"name", "kinds"}`` per group; those of other packages are in the last.

    Raises RuleError if the rule of a plug-in cannot be loaded.
    """
    group_of = {
        f"gridassay.encodings.rules.{family}": name
        for name, families in _GROUPS.items()
        for family in families
    }
    found: dict[str, list[str]] = {name: [] for name in (*_GROUPS, _ELSE)}
    for kind, rule in every_rule().items():
        found[group_of.get(rule.__module__, _ELSE)].append(kind)
    return [{"name": name, "kinds": kinds} for name, kinds in found.items() if kinds]


def kind_words() -> dict[str, dict[str, Any]]:
    """For every kind: its printed sentence, a small picture, and other words for it.

    The pictures are made from the worked examples of rules by docs/make_pages.py; kinds from other
    packages have none. Raises RuleError if the rule of a plug-in cannot be loaded.
    """
    pictures = json.loads(files("gridassay.verify.web").joinpath("samples.json").read_text("utf-8"))
    return {
        kind: {
            "sentence": rule.sentence,
            "picture": pictures.get(kind, ""),
            "words": list(KIND_WORDS.get(kind, ())),
        }
        for kind, rule in every_rule().items()
    }
