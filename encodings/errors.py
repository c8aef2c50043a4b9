"""Errors of rules and layers: what is wrong, in one plain line."""

from __future__ import annotations


class RuleError(ValueError):
    """A rule or layer that is impossible, or impossible on its board; the message is one plain line.

    ``key`` is the field at fault, if it is one; ``inside`` leads to a nested rule by its number,
    from 1, on each level.
    """

    def __init__(self, message: str, *, key: str = "", inside: tuple[int, ...] = ()) -> None:
        super().__init__(message)
        self.key = key
        self.inside = inside
