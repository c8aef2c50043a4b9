"""Members about groups that were noted instead of written, checked against a solver's model.

The resulting cuts bind under the guard of the member, so they stay true whatever is asked next.
"""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.encodings.cnf.writer import Writer
from gridassay.encodings.constraints import Variable


class Noted:
    """The members that a writer noted, to be checked against models."""

    def __init__(self, writer: Writer) -> None:
        self._writer = writer
        self._noted = writer.noted or []
        self._read: dict[Variable, tuple[int, Sequence[int]]] = {
            variable: (writer.literals(variable)[0] - 1, writer.domains[variable])
            for _, constraint in self._noted
            for variable in constraint.scope()
        }

    def __bool__(self) -> bool:
        return bool(self._noted)

    def cuts(self, model: Sequence[int]) -> list[list[int]]:
        """Clauses that the members give while a model of the clauses breaks them."""
        # Imported here: few models have such members.
        from gridassay.encodings.cnf.groups import clause_of

        values = {
            variable: domain[1 if len(domain) == 2 and model[place + 1] > 0 else 0]
            if len(domain) <= 2
            else next(value for at, value in enumerate(domain, place) if model[at] > 0)
            for variable, (place, domain) in self._read.items()
        }
        return [
            [*clause_of(self._writer, cut), *guard]
            for guard, constraint in self._noted
            if not any(model[abs(one) - 1] == one for one in guard)
            for cut in constraint.cuts(values)
        ]
