"""The cell that fits best to all that was said around a digit, where not every word need fit.

``nearby.py`` takes only parts that all hold and single out one cell. Here each part counts for the
cells where it holds and against the others, the more the nearer to the digit it was said, and what was
spoken of last counts too. The best of the open cells in which the digit follows now is what was meant,
if it is clearly better than any other, and than the cells that have the digit already: *there is a
four in column two* may only tell why.

How much a part counts was set by hand on narrations that were open, to keep wrong cells out before all
else; no theory is behind the numbers. docs/listening.md has what they give on sealed ones.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gridassay.verify.listening.adjoining import near
from gridassay.verify.listening.bearings import Bearing, Mention
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.spots import SpokenBoard, box_around, fits

_KEPT = {0: 0.95, 1: 0.7, 2: 0.6, 3: 0.5, 4: 0.15}
"""What a part counts beyond a break of each strength, as a share."""
_TAKEN = 0.25
"""What a part counts that belonged to the claim before."""
_LEFT = 0.2
"""What it costs to leave out a clause farther off."""
_WORTH = {
    "house": (2.0, 3.0),
    "line": (1.5, 2.0),
    "same": (1.5, 1.5),
    "side": (1.5, 1.5),
    "spot": (1.5, 1.5),
    "near": (2.0, 2.0),
    "rule": (1.0, 1.5),
    "nth": (1.5, 1.0),
    "last": (1.5, 0.5),
    "only": (1.0, 1.0),
}
"""What a part of each kind counts where it holds, and against a cell where it does not."""
_FRAMES = frozenset({"house", "line", "side"})
"""Houses. Said right beside the digit, they have to hold, and the places in them too."""
_HEADINGS = (0.8, 0.4)
_BOX, _LINE = 0.6, 0.3
_STANDS, _LEFT_OUT = 0.5, 0.3
"""What counts against a cell that has the digit already, also if that was left out, not said."""
_OF_RULES = frozenset({"bulb", "tip", "corner box"})
_LEAST, _CLEARLY = 0.8, 0.8
_AS_SPOTS = {"over": "top", "under": "bottom", "left of": "left", "right of": "right"}
_LINES = {"top": ("row", 0), "bottom": ("row", -1), "left": ("column", 0), "right": ("column", -1)}
_MIDDLES = {"middle row": "row", "middle column": "column"}


Clause = tuple[float, tuple[Bearing, ...]]
"""What the parts between two breaks count, as a share, and these parts."""


def best_fit(
    mention: Mention, board: SpokenBoard, since: int, gives: Callable[[int, int], bool]
) -> int | None:
    """The open cell that fits clearly best; None if there is none.

    ``gives`` tells whether short steps place a digit in a cell.
    """
    position = board.position
    digit = position.layout.digit_index.get(mention.digit)
    if digit is None or mention.listing is not None:
        return None
    cells = range(len(position.layout.cells))
    true = [one for one in cells if board.possible[one] == 1 << digit]
    sides = [_clauses(mention.before[::-1], since), _clauses(mention.after, 0)]
    if _tells_why(sides[0][0], digit, board):
        sides[0] = [(1.0, ()), *sides[0][1:]]
    if not any(parts for side in sides for _, parts in side):
        return None
    ranked = []
    beside = [part for side in sides for part in side[0][1]]
    housed = any(part.kind in _FRAMES for part in beside)
    firm = [part for part in beside if part.kind in _FRAMES or (housed and part.kind == "spot")]
    for cell in true:
        if any(_worth(cell, part, mention, board) < 0 for part in firm):
            continue
        said = sum(_best_of(side, cell, mention, board) for side in sides)
        if said <= 0:
            continue
        whole = said + _context(cell, mention, sides, board)
        known = _STANDS if board.stands(cell) else _LEFT_OUT * position.is_placed(cell)
        ranked.append((whole - known, cell))
    ranked.sort(reverse=True)
    best: tuple[float, int] | None = None
    for score, cell in ranked:
        if best is None and score < _LEAST:
            return None
        if best is not None and best[0] - score >= _CLEARLY:
            return best[1]
        if board.stands(cell) or (best is not None and gives(cell, digit)):
            return None
        if best is None and gives(cell, digit):
            best = score, cell
    return best[1] if best is not None else None


def _clauses(parts: Sequence[Bearing], since: int) -> list[Clause]:
    """The parts on one side of a digit, the nearest first, from break to break."""
    found: list[Clause] = []
    share = 1.0
    clause: list[Bearing] = []
    for part in [*parts, Bearing("stop")]:
        if part.kind == "stop":
            found.append((share, tuple(clause)))
            share *= _KEPT[part.strength]
            clause = []
        elif part.kind in _WORTH:
            clause.append(part)
            if part.end <= since:
                share *= _TAKEN
        elif part.said == "claim":
            share *= 0.5
    return found


def _tells_why(clause: Clause, digit: int, board: SpokenBoard) -> bool:
    """Whether a house right before a digit has it already: *row five has a two, so it goes on top*."""
    houses = [part.said for part in clause[1] if part.kind == "house"]
    return any(
        board.position.is_placed(cell) and board.position.has((cell, digit))
        for house in houses
        for cell in board.position.layout.scope(house)
    )


def _best_of(side: Sequence[Clause], cell: int, mention: Mention, board: SpokenBoard) -> float:
    """The worth of the parts on one side for a cell; those farther off may be of another digit."""
    score = best = 0.0
    for number, (share, parts) in enumerate(side):
        score += share * sum(_worth(cell, part, mention, board) for part in parts)
        best = score if not number else max(best - _LEFT * bool(parts), score)
    return best


def _worth(cell: int, part: Bearing, mention: Mention, board: SpokenBoard) -> float:
    if part.kind == "only" and not part.said:
        return 0.0
    if part.said in _OF_RULES:
        return 0.0
    good, bad = _WORTH[part.kind]
    return good if part_holds(cell, part, mention, board) != part.denied else -bad


def part_holds(cell: int, part: Bearing, mention: Mention, board: SpokenBoard) -> bool:
    """Whether a cell lies where a part says, in the widest sense."""
    layout = board.position.layout
    match part.kind:
        case "house" | "side":
            return cell in layout.scope(part.said)
        case "only":
            return cell in layout.scope(part.said) if " " in part.said else True
        case "line":
            return cell in layout.scope(part.said) or _at_count(cell, part.said, board)
        case "same":
            return any(
                cell in zone.cells
                and (zone.name in mention.headings or {*board.last} & {*zone.cells})
                for zone in layout.zones
                if zone.kind == part.said
            )
        case "near":
            also = part.loose and _at_spot(cell, _AS_SPOTS.get(part.said, ""), mention, board)
            return near(cell, part, board) or also
        case "spot":
            names = {spot: one for one, spot in _AS_SPOTS.items()}
            beside = Bearing("near", names.get(part.said, "beside"))
            also = part.loose and part.said in names and near(cell, beside, board)
            return _at_spot(cell, part.said, mention, board) or also
        case "rule":
            rules = part.rules or [one for one in layout.said if one in layout.premises]
            spans = [{*layout.span(rule)} for rule in rules]
            return any(cell in span and (part.rules or span & {*board.last}) for span in spans)
        case "nth":
            at = int(part.said) - 1
            scopes = [layout.scope(one) for one in mention.headings]
            scopes += [zone.cells for zone in layout.zones if {*board.last} & {*zone.cells}]
            return any(cell in one and sorted(one).index(cell) == at for one in scopes)
        case _:
            return any(
                all(one == cell or board.position.is_placed(one) for one in zone.cells)
                for zone in layout.zones
                if cell in zone.cells
            )


def _at_spot(cell: int, spot: str, mention: Mention, board: SpokenBoard) -> bool:
    """Whether a cell has a place in its box, in a line last spoken of, or in the grid."""
    if not spot:
        return False
    layout = board.position.layout
    said = Heard("", 0, spots=(spot,))
    if fits(cell, said, box_around(cell, board), board):
        return True
    lines = [one for one in mention.headings if not one.startswith("box")]
    if any(
        fits(cell, said, layout.scope(one), board) for one in lines if cell in layout.scope(one)
    ):
        return True
    here = layout.cells[cell]
    if " " in spot and _in_box_at(cell, spot, board):
        return True
    if spot in _LINES:
        kind, place = _LINES[spot]
        numbers = sorted({getattr(one, kind) for one in layout.cells})
        return bool(getattr(here, kind) == numbers[place])
    if spot in _MIDDLES:
        numbers = sorted({getattr(one, _MIDDLES[spot]) for one in layout.cells})
        return bool(getattr(here, _MIDDLES[spot]) == numbers[len(numbers) // 2])
    return False


def _in_box_at(cell: int, spot: str, board: SpokenBoard) -> bool:
    """Whether the box of a cell has a place among the boxes: *top right* may be the box there."""
    layout = board.position.layout
    starts = [zone.cells[0] for zone in layout.zones if zone.kind == "box"]
    mine = [zone.cells[0] for zone in layout.zones if zone.kind == "box" and cell in zone.cells]
    said = Heard("", 0, spots=(spot,))
    return bool(mine) and fits(mine[0], said, starts, board)


def _at_count(cell: int, house: str, board: SpokenBoard) -> bool:
    """Whether a cell lies in a row or column that is counted in its box."""
    layout = board.position.layout
    kind, _, number = house.partition(" ")
    if kind not in ("row", "column"):
        return False
    numbers = sorted({getattr(layout.cells[one], kind) for one in box_around(cell, board)})
    at = int(number) - 1 if number.isdigit() else len(numbers)
    return at < len(numbers) and bool(getattr(layout.cells[cell], kind) == numbers[at])


def _context(
    cell: int, mention: Mention, sides: Sequence[Sequence[Clause]], board: SpokenBoard
) -> float:
    """The worth of a cell by what was spoken of before."""
    layout = board.position.layout
    score = 0.0
    near_by = [part for side in sides for _, parts in side[:2] for part in parts]
    if not any(one.kind in _FRAMES for one in near_by):
        for house, worth in zip(mention.headings, _HEADINGS, strict=False):
            score += worth if cell in layout.scope(house) else -worth
    for zone in layout.zones:
        if cell in zone.cells and {*board.last} & {*zone.cells}:
            score += _BOX if zone.kind == "box" else _LINE
    return score
