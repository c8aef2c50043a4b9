"""Named steps about layers: hand-made positions, what they say, and every idea on random ones proved."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import pytest

from gridassay.encodings.constraints import Letter
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check, read
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.layer_words import marks_said
from gridassay.verify.solving.board.position import Position, layout_of
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.techniques import (
    Idea,
    connection,
    corner_of_two,
    fitting_shape,
    group_sizes,
    joining,
    one_loop,
    same_region,
    two_groups,
)

from ...minimal import CLOCK

FINDERS = (
    connection,
    corner_of_two,
    fitting_shape,
    group_sizes,
    joining,
    one_loop,
    same_region,
    two_groups,
)
EXAMPLES = Path(__file__).parents[4] / "examples"
WATER = '[[layer]]\nname = "water"\nkind = "shading"\nvalues = ["deep", "shallow"]\n'
CRUISE = '[[layer]]\nname = "cruise"\nkind = "loop"\n'
PARISHES = '[[layer]]\nname = "parishes"\nkind = "regions"\n'


def board(
    rows: int, columns: int, layer: str, givens: str, *rules: str, head: str = ""
) -> Position:
    text = f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\n{head or NONE}\n'
    told = "".join(f"[[rule]]\n{rule}\n" for rule in rules)
    return Position.start(read(f"{text}{layer}{givens}\n{told}", "tide.toml"))


NONE = 'digits = "none"'
DEEP = 'layer = "water"\nvalue = "deep"\n'
BOTH = [f'kind = "connected"\nlayer = "water"\nvalue = "{value}"' for value in ("deep", "shallow")]
CASES: Mapping[str, tuple[Position, str, str]] = {
    "dead end": (
        board(2, 3, WATER, 'givens = "d..s.d"', f'kind = "connected"\n{DEEP}'),
        "water r1c2=deep",
        "the deep cell at r1c1 must go on, and there is one way left past what is known (r2c1 is "
        "shallow), so r1c2 is deep",
    ),
    "meeting place": (
        board(3, 3, WATER, 'givens = "d..s.s..d"', f'kind = "connected"\n{DEEP}'),
        "water r2c2=deep",
        "the deep cell at r1c1 and the deep cell at r3c3 can only come together in one place past what "
        "is known (r2c1 and r2c3 are shallow), so r2c2 is deep",
    ),
    "cut off": (
        board(2, 3, WATER, 'givens = "ds..s."', f'kind = "connected"\n{DEEP}'),
        "water r1c3=shallow water r2c3=shallow",
        "r1c3 and r2c3 cannot be reached from the deep cell at r1c1: they are cut off by what is known "
        "(r1c2 and r2c2 are shallow), so r1c3 and r2c3 are shallow",
    ),
    "corner of two": (
        board(2, 2, WATER, 'givens = "ddd."', 'kind = "no-square"\nlayer = "water"'),
        "water r2c2=shallow",
        "r1c1, r1c2 and r2c1 are deep, and with r2c2 they would make a square of it, so r2c2 is shallow",
    ),
    "crossed square": (
        board(3, 3, WATER, 'givens = "d..sd...."', *BOTH),
        "water r1c2=deep",
        "r1c1 and r2c2 are deep and r2c1 is shallow, and if r1c2 were shallow, the two would cross in "
        "this square and could not both be connected, so r1c2 is deep",
    ),
    "edge in two": (
        board(3, 3, WATER, 'givens = "d.d.....s"', *BOTH),
        "water r1c2=deep",
        "round the edge each of two connected groups stands in one run, and r1c1 and r1c3 are deep and "
        "r3c3 is shallow, so r1c2 is deep",
    ),
    "edge in two, a long run": (
        board(2, 9, WATER, 'givens = "d.......d....s...."', *BOTH),
        " ".join(f"water r1c{column}=deep" for column in range(2, 9)),
        "round the edge each of two connected groups stands in one run, and r1c1 and r1c9 are deep and "
        "r2c5 is shallow, so the 7 open cells of the edge between r1c1 and r1c9, away from r2c5, are "
        "deep",
    ),
    "full group": (
        board(1, 4, WATER, "", f'kind = "group-size"\n{DEEP}cells = "r1c1"\nsizes = [1]'),
        "water r1c2=shallow",
        "the deep cell at r1c1 is a full group of 1, so r1c2 is shallow",
    ),
    "room to grow": (
        board(
            2,
            3,
            WATER,
            'givens = "..ss.."',
            f'kind = "group-size"\n{DEEP}cells = "r1c1"\nsizes = [2]',
        ),
        "water r1c2=deep",
        "the deep cell at r1c1 must grow to 2, and inside what is known (r2c1 is shallow) there is one "
        "way on without this, so r1c2 is deep",
    ),
    "kept apart": (
        board(
            1,
            4,
            WATER,
            "",
            f'kind = "group-size"\n{DEEP}cells = "r1c1 r1c3"\nsizes = ["any", "any"]',
        ),
        "water r1c2=shallow",
        "the deep cell at r1c1 and the deep cell at r1c3 belong to two groups, which may not join, so "
        "r1c2 is shallow",
    ),
    "closed too early": (
        board(3, 3, CRUISE, 'givens = ["r1c1-r1c2", "r1c2-r2c2", "r1c1-r2c1", "r3c2-r3c3"]'),
        "cruise r2c1-r2c2=0",
        "that would close a loop too early, without cruise at r3c2, so cruise does not run from r2c1 to "
        "r2c2",
    ),
    "same region": (
        board(2, 2, PARISHES, 'sizes = "free"\ngivens = ["r1c1=r1c2", "r1c1=r2c1", "r2c1=r2c2"]'),
        "parishes r1c2-r2c2=1",
        "r1c1, r1c2, r2c1 and r2c2 are in one region of parishes, so no wall stands between r1c2 "
        "and r2c2",
    ),
    "fitting shape": (
        board(
            2,
            3,
            PARISHES,
            'sizes = "free"\ngivens = ["r1c1|r2c1"]',
            'kind = "shapes"\nlayer = "parishes"\nshapes = ["##", "##/##"]\ntimes = "any"',
        ),
        "parishes r1c1-r1c2=1 parishes r1c2-r1c3=0 parishes r1c2-r2c2=0",
        "only two in a row (r1c1 r1c2) fits on r1c1 past what is known (apart: r1c1 and r2c1), so that "
        "is a region of parishes",
    ),
    "digit in a region": (
        board(
            1,
            2,
            PARISHES,
            'sizes = 2\nhouses = true\ngivens = ["r1c1=r1c2"]',
            head='digits = [1, 2]\ngivens = "1."',
        ),
        "r1c2=2",
        "r1c1 is 1, and its region holds that once, so 1 can be removed from r1c2",
    ),
}


def numbers_in(position: Position) -> None:
    """The value of a size's own cell is settled first."""
    for idea in list(group_sizes.find(position)):
        if idea.technique == group_sizes.ROOM and not idea.cells:
            for unknown, value in idea.removes:
                position.remove(unknown, value)
    for switch, premise in position.layout.premises.items():
        if switch.startswith("group-size"):
            for cell in ("r1c1", "r1c3"):
                for unknown, variable in enumerate(position.layout.unknowns):
                    if str(variable) == f"water {cell}" and cell in switch and premise:
                        position.place(unknown, 0)


def concluded(idea: Idea, position: Position) -> str:
    layout = position.layout
    return " ".join(
        f"{layout.unknowns[unknown]}{sign}{written(position, unknown, value)}"
        for sign, marks in (("=", idea.places), ("≠", idea.removes))
        for unknown, value in marks
    )


def written(position: Position, unknown: int, value: int) -> str:
    text = position.layout.value_name((unknown, value))
    return {"yes": "1", "no": "0"}.get(text, text)


@pytest.mark.parametrize("name", CASES)
def test_a_hand_made_position(name: str) -> None:
    position, conclusion, sentence = CASES[name]
    numbers_in(position)
    found = [
        idea
        for finder in FINDERS
        for idea in finder.find(position)
        if idea.technique == name.partition(",")[0]
    ]
    told = {concluded(idea, position): idea for idea in found}
    assert conclusion in told, [*told]
    assert told[conclusion].say() == sentence
    for idea in found:
        assert follows(sat_engine_for(layout_puzzle(name), CLOCK), position, idea, CLOCK)


@cache
def layout_puzzle(name: str) -> Puzzle:
    """A puzzle that an engine can be had for: any with the model of the position."""
    position = CASES[name][0]

    class Bare:
        model = position.layout.model

    return Bare()  # type: ignore[return-value]


@pytest.mark.parametrize(
    ("givens", "layer", "rule"),
    [
        ('givens = "d....d"', WATER, f'kind = "connected"\n{DEEP}'),
        ('givens = ".s..s."', WATER, f'kind = "connected"\n{DEEP}'),
        ('givens = "dd...."', WATER, 'kind = "no-square"\nlayer = "water"'),
        ('givens = "......"', WATER, f'kind = "apart"\n{DEEP}'),
        ('sizes = "free"\ngivens = ["r1c1=r1c2"]', PARISHES, ""),
        (
            'sizes = "free"',
            PARISHES,
            'kind = "shapes"\nlayer = "parishes"\nshapes = ["##", "#"]\ntimes = "any"',
        ),
    ],
)
def test_nothing_is_said_where_nothing_follows(givens: str, layer: str, rule: str) -> None:
    position = board(2, 3, layer, givens, *([rule] if rule else []))
    assert not [idea for finder in FINDERS for idea in finder.find(position)]


SMALL = {
    "islands": (
        f'size = 5\n{NONE}\n{WATER}[[rule]]\nkind = "group-size"\n{DEEP}cells = "r1c1 r3c4 r5c2"\n'
        f'sizes = [2, 4, 3]\n[[rule]]\nkind = "connected"\nlayer = "water"\nvalue = "shallow"\n'
    ),
    "regions": f"size = 4\n{NONE}\n{PARISHES}sizes = 4\n",
    "houses": (
        'rows = 3\ncolumns = 4\nhouses = "none"\ndigits = [1, 2, 3]\n'
        f"{PARISHES}sizes = 3\nhouses = true\n"
    ),
    "sizes": (
        f'rows = 3\ncolumns = 3\nhouses = "none"\ndigits = [1, 2, 3, 4]\n{PARISHES}sizes = "free"\n'
        '[[rule]]\nkind = "region-digit"\nlayer = "parishes"\n'
    ),
    "shapes": (
        f'rows = 3\ncolumns = 4\n{NONE}\n{PARISHES}sizes = "free"\n[[rule]]\nkind = "shapes"\n'
        'layer = "parishes"\nshapes = ["##/#.", "####", "##", "##/#."]\n'
    ),
    "loop": f"size = 5\n{NONE}\n{CRUISE}",
    "fence": f'size = 4\n{NONE}\n[[layer]]\nname = "fence"\nkind = "border-loop"\n',
    "together": (
        f'size = 4\n{NONE}\n{PARISHES}sizes = 4\n[[rule]]\nkind = "one-region"\nlayer = "parishes"\n'
        'cells = "r1c1 r2c2"\n[[rule]]\nkind = "one-region"\nlayer = "parishes"\n'
        'cells = "r1c4 r3c3"\ntogether = false\n'
    ),
    "edge": f'size = 5\n{NONE}\n{WATER}[[rule]]\nkind = "to-the-edge"\n{DEEP}',
    "colours": (
        f'size = 5\n{NONE}\n{WATER}[[rule]]\nkind = "connected"\n{DEEP}'
        '[[rule]]\nkind = "no-square"\nlayer = "water"\n'
    ),
    "both": f"size = 5\n{NONE}\n{WATER}" + "".join(f"[[rule]]\n{rule}\n" for rule in BOTH),
    "reaching": (
        f"size = 4\n{NONE}\n{WATER}[[rule]]\n{BOTH[0]}\n"
        '[[rule]]\nkind = "to-the-edge"\nlayer = "water"\nvalue = "shallow"\n'
    ),
}
COUNTED: Counter[str] = Counter()


@pytest.mark.parametrize("name", SMALL)
def test_every_idea_follows_from_exactly_its_premises(name: str) -> None:
    puzzle, rng = read(SMALL[name], "tide.toml"), random.Random(5)
    layout, engine = layout_of(puzzle), sat_engine_for(puzzle, CLOCK)
    met = 0
    for _ in range(60):
        free = [one for one in layout.unknowns if not isinstance(one, Letter)]
        chosen = [
            layout.fact((place, rng.randrange(len(layout.domains[place]))))
            for place in rng.sample(range(len(free)), 3)
        ]
        solution = engine.solve(chosen, CLOCK)
        if solution is None:
            continue
        values = [layout.value_index(place, number) or 0 for place, number in enumerate(solution)]
        share = rng.choice((0.1, 0.25, 0.45, 0.65))
        masks = [
            1 << value | sum(1 << other for other in range(len(domain)) if rng.random() < share)
            for value, domain in zip(values, layout.domains, strict=True)
        ]
        position = Position(layout, masks)
        for finder in FINDERS:
            for idea in finder.find(position):
                assert all(values[place] != value for place, value in idea.removes), idea
                assert all(values[place] == value for place, value in idea.places), idea
                assert follows(engine, position, idea, CLOCK), (idea.technique, idea.say())
                met += 1
                COUNTED[idea.technique] += 1
    assert met


@pytest.mark.parametrize("example", ["smugglers-cave", "lamps", "mail-boat", "sheep-fence"])
def test_the_words_of_examples(example: str) -> None:
    """Every named step about layers that stands at the start of an example says something of it."""
    (puzzle,) = [read((EXAMPLES / f"{example}.toml").read_text(), example)]
    assert check(puzzle).status == "unique"
    position = Position.start(puzzle)
    for finder in FINDERS:
        for idea in finder.find(position):
            assert idea.say().count("so ") == 1


def test_several_walls_and_regions_are_told_in_one_clause_each() -> None:
    position = board(
        2,
        3,
        PARISHES,
        'sizes = "free"',
        'kind = "shapes"\nlayer = "parishes"\nshapes = ["###"]\ntimes = "any"',
    )
    ways = {str(one): place for place, one in enumerate(position.layout.unknowns)}

    def told(apart: str, together: str = "") -> str:
        marks = [(ways[f"parishes {pair}"], 0) for pair in apart.split()]
        marks += [(ways[f"parishes {pair}"], 1) for pair in together.split()]
        return marks_said(position.layout, marks, ())

    assert told("r1c1-r1c2") == "r1c1 and r1c2 lie in two regions of parishes"
    assert told("r1c1-r1c2 r1c2-r2c2") == (
        "walls of parishes stand between r1c1 and r1c2 and between r1c2 and r2c2"
    )
    assert told("", "r1c1-r1c2 r1c2-r1c3") == "r1c1, r1c2 and r1c3 lie in one region of parishes"
    assert told("r1c1-r2c1 r1c2-r2c2", "r1c1-r1c2 r2c2-r2c3") == (
        "walls of parishes stand between r1c1 and r2c1 and between r1c2 and r2c2 and r1c1 and r1c2 lie "
        "in one region of parishes, r2c2 and r2c3 in one"
    )


def test_a_chain_of_a_loop_is_followed_from_its_first_line_in_reading_order() -> None:
    """The order of a set of names is another one in each process, and so would be the words."""
    position = CASES["closed too early"][0]
    ideas = list(one_loop.find(position))
    assert ideas
    for idea in ideas:
        *chain, _ = idea.cells
        assert len(chain) > 1
        assert chain[0] == min(chain)
    struck = [idea.touched[0] for idea in ideas]
    assert struck == sorted(struck)
