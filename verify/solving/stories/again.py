"""Stories told once more, on another board or for fewer conclusions."""

from __future__ import annotations

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position
from gridassay.verify.solving.stories.building import links_of, told_for
from gridassay.verify.solving.stories.either import either_of


def told_again(
    position: Position, idea: Idea, removes: tuple[Mark, ...] | None = None
) -> Idea | None:
    """A story by the same links, perhaps with other strikes; None if it does not hold on this board.

    The strikes of a supposition are what is supposed; those of an *either* stay as they are.
    """
    story = idea.story
    assert story is not None
    if story.about is None:
        return told_for(position, idea, idea.removes if removes is None else removes)
    if removes is not None and removes != idea.removes:
        return None
    branches = [(branch.supposed[0], links_of(branch)) for branch in story.branches]
    return either_of(position, story.about, branches, idea.removes)
