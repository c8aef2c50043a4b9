"""Every rule about a layer refuses a layer that is not there, whatever else its own check looks at."""

import re
from pathlib import Path

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError

EXAMPLES = Path(__file__).parents[3] / "docs" / "rules"

PAGES = {path.stem: path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*.toml"))}
LAYERED = {kind: text for kind, text in PAGES.items() if re.search(r'^layer = "', text, re.M)}


@pytest.mark.parametrize("kind", LAYERED)
def test_a_layer_that_is_not_there_is_refused(kind: str) -> None:
    read_document(LAYERED[kind])
    text = re.sub(r'^layer = ".*"', 'layer = "nowhere"', LAYERED[kind], flags=re.M)
    with pytest.raises(PuzzleError, match="there is no layer 'nowhere'"):
        read_document(text)
