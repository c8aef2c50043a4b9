"""Puzzles of layers written straight in OR-Tools CP-SAT, the best way we know for each.

Connected colours: an arborescence, each cell with a parent or the root, and ranks; squares as clauses.
Loops: ``add_circuit`` over arcs in both directions, with a self-loop at each place that is not
visited; a place is a cell, or for border loops a corner of the grid. Regions: each cell in the region of
one first cell, an arborescence within it, digits counted in each. One worker; the second solve forbids
the values of the first.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ortools.sat.python import cp_model

from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.layers.border_loops import BorderLoop
from gridassay.encodings.layers.loops import Walk
from gridassay.encodings.layers.regions import Regions
from gridassay.encodings.layers.shading import Shading
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Rule
from gridassay.encodings.rules.cages import Cage
from gridassay.encodings.rules.shaded_groups import ConnectedValue, ToTheEdge
from gridassay.encodings.rules.shadings import NoSquare
from gridassay.encodings.variables import Together, Variable

Var = Any


def count(puzzle: Puzzle) -> int:
    """0, 1 or 2 solutions of a puzzle."""
    return Counted(puzzle).count()


class Counted:
    """A model that is built, ready to be counted."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.canvas, self.model = puzzle.canvas, cp_model.CpModel()
        self.of: dict[Variable, Var] = {
            variable: self.model.new_int_var(min(domain), max(domain), "")
            if isinstance(variable, Cell)
            else self.model.new_bool_var("")
            for variable in puzzle.model.shown
            for domain in (puzzle.model.domains[variable],)
        }
        for given in puzzle.givens:
            self.model.add(self.of[given.variable] == given.value)
        (layer,) = puzzle.layers
        if isinstance(layer, Regions):
            self._regions(puzzle, layer)
        elif isinstance(layer, Shading):
            for rule in puzzle.rules:
                self._shaded(layer, rule)
        else:
            assert isinstance(layer, Walk | BorderLoop)
            self._circuit(layer)

    def count(self) -> int:
        """0, 1 or 2 solutions."""
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        shown, found = list(self.of.values()), 0
        while found < 2 and solver.solve(self.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            found += 1
            values = [solver.value(one) for one in shown]
            self._forbid(shown, values)
        return found

    def _forbid(self, shown: list[Var], values: list[int]) -> None:
        others = []
        for one, value in zip(shown, values, strict=True):
            if one.is_boolean:
                others.append(~one if value else one)
            else:
                others.append(self.model.new_bool_var(""))
                self.model.add(one != value).only_enforce_if(others[-1])
        self.model.add_bool_or(others)

    def _regions(self, puzzle: Puzzle, layer: Regions) -> None:
        """Regions by their first cells, each an arborescence from it; each digit once in a region."""
        model, cells = self.model, self.canvas.cells
        size = layer.sizes
        assert isinstance(size, int)
        assert layer.houses
        for house in self.canvas.houses:
            model.add_all_different([self.of[cell] for cell in house.cells])
        for rule in puzzle.rules:
            assert isinstance(rule, Cage)
            own = [self.of[cell] for cell in rule.cells]
            model.add_all_different(own)
            model.add(cp_model.LinearExpr.sum(own) == rule.sum)
        is_in = [[model.new_bool_var("") for _ in range(n + 1)] for n in range(len(cells))]
        digit = {(cell, n): model.new_bool_var("") for cell in cells for n in self.canvas.digits}
        for cell in cells:
            model.add_exactly_one(digit[cell, n] for n in self.canvas.digits)
            held = cp_model.LinearExpr.sum([n * digit[cell, n] for n in self.canvas.digits])
            model.add(self.of[cell] == held)
        for n, own in enumerate(is_in):
            model.add_exactly_one(own)
            for first in range(n):
                model.add_implication(own[first], is_in[first][first])
        for first in range(len(cells)):
            members = [is_in[n][first] for n in range(first, len(cells))]
            model.add(cp_model.LinearExpr.sum(members) == size * is_in[first][first])
            for value in self.canvas.digits:
                having = []
                for n in range(first, len(cells)):
                    both = model.new_bool_var("")
                    model.add_bool_and([is_in[n][first], digit[cells[n], value]]).only_enforce_if(
                        both
                    )
                    model.add_bool_or([both, ~is_in[n][first], ~digit[cells[n], value]])
                    having.append(both)
                model.add(cp_model.LinearExpr.sum(having) == is_in[first][first])
        index = {cell: n for n, cell in enumerate(cells)}
        rank = [model.new_int_var(0, size - 1, "") for _ in cells]
        parents: list[list[Var]] = [[own[n]] for n, own in enumerate(is_in)]
        for variable, same in self.of.items():
            if not isinstance(variable, Together):
                continue
            one, other = index[variable.first], index[variable.second]
            for first in range(len(cells)):
                there = [own[first] for own in (is_in[one], is_in[other]) if first < len(own)]
                if len(there) == 2:
                    model.add(there[0] == there[1]).only_enforce_if(same)
                    model.add_bool_or([~there[0], ~there[1], same])
                elif there:
                    model.add_implication(same, ~there[0])
            for child, parent in ((one, other), (other, one)):
                hangs = model.new_bool_var("")
                model.add_implication(hangs, same)
                model.add(rank[parent] + 1 == rank[child]).only_enforce_if(hangs)
                parents[child].append(hangs)
        for n, options in enumerate(parents):
            model.add_exactly_one(options)
            model.add(rank[n] == 0).only_enforce_if(is_in[n][n])

    def _shaded(self, layer: Shading, rule: Rule) -> None:
        canvas = self.canvas
        dark = {cell: self.of[layer.at(cell)] for cell in canvas.cells}
        if isinstance(rule, NoSquare):
            for cell in canvas.cells:
                square = [cell, cell.step(0, 1), cell.step(1, 0), cell.step(1, 1)]
                if all(one in dark for one in square):
                    self.model.add_bool_or([dark[one] for one in square])
                    self.model.add_bool_or([~dark[one] for one in square])
            return
        assert isinstance(rule, ConnectedValue | ToTheEdge)
        inside = {c: one if layer.number(rule.value) else ~one for c, one in dark.items()}
        self._hang(canvas, inside, beyond=isinstance(rule, ToTheEdge))

    def _hang(self, canvas: Canvas, inside: dict[Cell, Var], beyond: bool) -> None:
        """Each cell that is in is a root or has a parent of smaller rank: one root, or the rim."""
        model, most = self.model, len(canvas.cells) - 1
        rank = {cell: model.new_int_var(0, most, "") for cell in canvas.cells}
        roots = []
        for cell in canvas.cells:
            parents = []
            for other in canvas.neighbours(cell):
                parent = model.new_bool_var("")
                model.add_implication(parent, inside[other])
                model.add(rank[other] + 1 == rank[cell]).only_enforce_if(parent)
                parents.append(parent)
            if not beyond or len(parents) < 4:
                parents.append(model.new_bool_var(""))
                model.add(rank[cell] == 0).only_enforce_if(parents[-1])
                roots.append(parents[-1])
            model.add(cp_model.LinearExpr.sum(parents) == inside[cell])
        if not beyond:
            model.add_exactly_one(roots)

    def _circuit(self, layer: Walk | BorderLoop) -> None:
        model, arcs = self.model, []
        numbers: dict[Cell, int] = {}
        for variable, (one, other) in _spans(layer, self.canvas):
            ends = [numbers.setdefault(place, len(numbers)) for place in (one, other)]
            there, back = model.new_bool_var(""), model.new_bool_var("")
            model.add(there + back == self.of[variable])
            arcs += [(ends[0], ends[1], there), (ends[1], ends[0], back)]
        arcs += [(number, number, model.new_bool_var("")) for number in numbers.values()]
        model.add_circuit(arcs)
        model.add_bool_or(list(self.of.values()))


def _spans(
    layer: Walk | BorderLoop, canvas: Canvas
) -> Iterator[tuple[Variable, tuple[Cell, Cell]]]:
    """Each variable with the two places that it joins."""
    if isinstance(layer, Walk):
        for link in layer.links(canvas):
            yield link, (link.first, link.second)
        return
    ends: dict[Variable, list[Cell]] = {}
    for corner, meeting in layer.corners(canvas).items():
        for edge in meeting:
            ends.setdefault(edge, []).append(corner)
    for edge, (one, other) in ends.items():
        yield edge, (one, other)
