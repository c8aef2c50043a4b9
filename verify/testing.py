"""For people who test generators of puzzles: assertions that say what is wrong.

>>> from gridassay.verify.testing import assert_unique
>>> assert_unique("1... ...2 ..3. .4..")
"""

from __future__ import annotations

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check, read
from gridassay.verify.budget import DEFAULT_SECONDS


def assert_unique(puzzle: Puzzle | str, *, budget: float = DEFAULT_SECONDS) -> None:
    """Fail unless a puzzle, or the one that a text describes, has exactly one solution.

    The AssertionError gives the verdict and, if there are several solutions, two of them and where
    they differ. Raises PuzzleError if the text is not a puzzle.
    """
    __tracebackhide__ = True
    asked = read(puzzle) if isinstance(puzzle, str) else puzzle
    verdict = check(asked, budget=budget)
    if verdict.status == "unique":
        return
    message = f"the puzzle does not have exactly one solution, the verdict is {verdict.status}"
    if verdict.status == "multiple":
        lines = " and ".join(asked.line(solution) for solution in verdict.solutions)
        message += f": {lines} differ in {' '.join(map(str, verdict.differs))}"
    raise AssertionError(message)
