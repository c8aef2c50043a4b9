"""False claims of captions of which it is not sure that they were made."""

from __future__ import annotations

import re

from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.results import TalkStep

_STRUCK = re.compile(r"not ((?:\d+ ?)+)")


def may_be_misheard(heard: Heard, step: TalkStep, values: int) -> bool:
    """Whether a false claim may only recall a digit on the board, or would leave a cell without values.

    ``values`` is how many a cell can have.
    """
    if any(len(one.split()) == values for one in _STRUCK.findall(step.means or "")):
        return True
    return not heard.concludes and heard.mention is not None and heard.mention.recalls
