"""The rule reference and the rule text of a puzzle, both made from the rule classes."""

from __future__ import annotations

import inspect
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from gridassay.encodings.grid import Canvas
from gridassay.encodings.lines import digit_range
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Rule, listing
from gridassay.encodings.wording import LOWEST_AND_HIGHEST, reach


def summary(rule: type[Rule]) -> str:
    """The first sentence of a rule's page, on one line."""
    return " ".join(_page_text(rule).split("\n\n")[0].split())


def page(rule: type[Rule]) -> str:
    """A rule's page: its docstring, then its fields with what they take."""
    described = rule.model_json_schema(by_alias=True)
    common = Rule.model_json_schema(by_alias=True)["properties"]
    own = {k: v for k, v in described["properties"].items() if k not in common}
    fields = []
    for name, field in (own | common).items():
        if name == "kind":
            continue
        needed = name in described.get("required", ())
        default = field.get("default")
        shown = "" if needed or default is None else f" = {_toml(default)}"
        told = field.get("description", "")
        fields.append(f"  {name}{shown}{'' if needed else ' (optional)'}{told and f': {told}'}")
    kind = rule.model_fields["kind"].default
    printed = f'Printed as: "{rule.sentence}"'
    return "\n".join([kind, "", _page_text(rule), "", printed, "", "Fields:", *fields])


def _page_text(rule: type[Rule]) -> str:
    return inspect.cleandoc(rule.__doc__ or "")


def _toml(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else repr(value).replace("'", '"')


def rule_text(puzzle: Puzzle) -> Iterator[str]:
    """The rules of a puzzle as sentences fit to print, each said once, in the order of the file.

    Where what is drawn does not tell which of two sentences is meant, they name their clues.
    """
    yield from text_of(puzzle, sentences(puzzle, apart=True))


def text_of(puzzle: Puzzle, said: Mapping[str, str]) -> Iterator[str]:
    """The sentences on houses, each one of the rules once, then those on unknowns."""
    yield from _house_text(puzzle.canvas)
    yield from (layer.text() for layer in puzzle.layers)
    yield from dict.fromkeys(said.values())
    if puzzle.doublers:
        yield (
            f"In each {_areas(puzzle.canvas)} exactly one cell is a doubler; the doublers of a grid "
            "hold different digits, and each counts double wherever digits are added or compared in "
            "size."
        )
    letters = puzzle.board.letters
    if letters:
        which = "Different letters stand for different numbers. " if puzzle.letters_differ else ""
        yield f"A letter stands for one whole number wherever it is written. {which}".strip()


def sentences(puzzle: Puzzle, *, apart: bool = False) -> dict[str, str]:
    """The printed sentence of each rule that is on, by its name in results.

    Rules whose sentence speaks of all that they mark at once name their cells if there are several.
    With ``apart`` so do rules of which the page shows the same and the sentences say different
    things, as two lines of one kind with a number each: for a text without pictures.
    """
    on = {
        name: rule
        for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True)
        if not rule.optional
    }
    said = {
        name: rule.printed if rule.text else _for_canvas(rule.printed, puzzle.canvas)
        for name, rule in on.items()
    }
    ours = [(name, rule) for name, rule in on.items() if rule.text is None]
    times = Counter(said[name] for name, rule in ours if rule.together)
    named = dict(said)
    for name, rule in ours:
        if rule.together and times[said[name]] > 1:
            named[name] = _at(said[name], [rule])
    if apart:
        alike: dict[str, dict[str, list[tuple[str, Rule]]]] = {}
        for name, rule in ours:
            if not rule.together and (rule.where() or not rule.of_layers()):
                alike.setdefault(rule.seen_as, {}).setdefault(said[name], []).append((name, rule))
        for sorts in alike.values():
            for sentence, rules in sorts.items() if len(sorts) > 1 else ():
                for name, _ in rules:
                    named[name] = _at(sentence, [rule for _, rule in rules])
    return named


def _at(sentence: str, rules: Sequence[Rule]) -> str:
    """A sentence with the places of the rules that it speaks of."""
    places = [reach(rule.where()) if rule.of_layers() else rule.site() for rule in rules]
    return f"{sentence.removesuffix('.')} ({_place_list(places)})."


def _place_list(places: Sequence[str]) -> str:
    """Places in a list, rows and columns together: ``rows 1 and 3; columns 2 and 4``."""
    groups: dict[str, list[int]] = {}
    for place in places:
        row = re.fullmatch(r"(row|column) (\d+)(.*)", place)
        if row is None:
            return listing(places, "and")
        groups.setdefault(f"{row[1]}s #{row[3]}", []).append(int(row[2]))
    if all(len(numbers) == 1 for numbers in groups.values()):
        return listing(places, "and")
    gathered = [
        form.replace("#", listing([str(number) for number in sorted(numbers)], "and"))
        if len(numbers) > 1
        else form.replace("s #", f" {numbers[0]}")
        for form, numbers in groups.items()
    ]
    return "; ".join(gathered)


def _for_canvas(sentence: str, canvas: Canvas) -> str:
    """A sentence of ours, with what the canvas tells: lowest and highest digit, boxes or regions."""
    if canvas.digits:
        low, high = (canvas.symbols[one] for one in (min(canvas.digits), max(canvas.digits)))
        sentence = sentence.replace(LOWEST_AND_HIGHEST, f"the {low} and the {high}")
    if not any(grid.areas for grid in canvas.grids):
        return sentence
    regions = [grid.regions is not None for grid in canvas.grids if grid.areas]
    if all(regions) or not any(regions):
        sentence = sentence.replace("boxes or regions", "regions" if regions[0] else "boxes")
        return sentence.replace("box or region", "region" if regions[0] else "box")
    return sentence


def _areas(canvas: Canvas) -> str:
    """Words for the houses of a canvas: ``row, column and box``."""
    if not any(grid.areas for grid in canvas.grids):
        return "row and column"
    return f"row, column and {'region' if any(grid.regions for grid in canvas.grids) else 'box'}"


def _house_text(canvas: Canvas) -> Iterator[str]:
    if not canvas.digits:
        return
    digits = digit_range(canvas)
    if not canvas.grids:
        yield f"Put a digit ({digits}) into each cell."
        return
    houses = f"each {_areas(canvas)}"
    several = f" of each of the {len(canvas.grids)} grids" if len(canvas.grids) > 1 else ""
    if all(grid.size == len(canvas.digits) for grid in canvas.grids):
        yield f"Put the digits {digits} into {houses}{several}, each once."
    else:
        yield f"Put digits ({digits}) into the cells so that none repeats in {houses}{several}."
