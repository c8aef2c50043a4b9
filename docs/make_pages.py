"""Make rules.md and the pictures: every rule's page, its worked example and how that looks.

Run ``python docs/make_pages.py`` after a change to a rule, to an example in docs/rules/ or to how
pictures are drawn. A test holds the files to what this would write.
"""

from __future__ import annotations

import inspect
import json
import re
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from sys import modules

from gridassay.encodings.documents import read_document
from gridassay.encodings.rule_words import FIELD_WORDS, KIND_WORDS, TOP_WORDS
from gridassay.encodings.rules import RULES
from gridassay.encodings.rules.base import Rule
from gridassay.verify.draw.legend import swatch
from gridassay.verify.draw.looks import looks
from gridassay.verify.draw.scene import picture, with_margin
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.draw.svg import svg

HERE = Path(__file__).parent
WIDTH = 48.0
SHOWN = "lobster-pots"
"""The example that the README shows."""

OPENING = """# Rules

Every kind of rule that a puzzle file can hold, each with what it means, the sentence that is printed
for it, and a worked example with the digits that it speaks of. Made from the rule classes by
`docs/make_pages.py`; `gridassay rules KIND` prints the same text with the fields of a kind.

Any rule takes `text = "…"`, the setter's own sentence: it is printed instead of ours, once for all
rules that have it.

How a kind is drawn follows from its shape; its colour does not belong to it: colours, dashes and
hatches are given out in the order in which rules appear in a puzzle.
"""


_WORDS = """## What rules and fields are called elsewhere

Trade names (common practice, no published source). Error messages and
`gridassay rules WORD` lead from these words to ours. Made by `docs/make_pages.py` from
`encodings/rule_words.py`.

"""


def files() -> Iterator[tuple[Path, str]]:
    """Every file that is made, with its content."""
    for kind in RULES:
        puzzle = read_document((HERE / "rules" / f"{kind}.toml").read_text(), kind)
        drawn = picture(puzzle, width=WIDTH, legend=False)
        yield HERE / "rules" / f"{kind}.svg", svg(drawn) + "\n"
    yield HERE.parent / "verify" / "web" / "samples.json", _samples()
    shown = read_document((HERE.parent / "examples" / f"{SHOWN}.toml").read_text(), SHOWN)
    yield HERE / f"{SHOWN}.svg", svg(with_margin(picture(shown))) + "\n"
    yield HERE / "rules.md", "\n".join([OPENING, *_sections()])
    words = (HERE / "words.md").read_text(encoding="utf-8")
    kept = words.partition(_WORDS.partition("\n")[0])[0].rstrip()
    yield HERE / "words.md", f"{kept}\n\n{_words()}"


def _samples() -> str:
    """The small pictures by which the page offers the kinds of rules, from their worked examples."""
    found = {}
    for kind in RULES:
        puzzle = read_document((HERE / "rules" / f"{kind}.toml").read_text(), kind)
        names = dict(zip(puzzle.rule_names, puzzle.rules, strict=True))
        own = [one for one in looks(puzzle, LIGHT)[0] if names[one.name].kind == kind]
        found[kind] = svg(swatch(own[0], LIGHT)) if own else ""
    return json.dumps(found, ensure_ascii=False, indent=0) + "\n"


def _words() -> str:
    """The table of other words for rules and fields, which the hints of error messages come from."""
    told = [_WORDS]
    for opening, table in (
        ("Kinds of rule:", KIND_WORDS),
        ("Fields of a rule:", FIELD_WORDS),
        ("The top of a puzzle file:", TOP_WORDS),
    ):
        told += [opening, ""]
        told += [f"- `{name}`: {', '.join(words)}." for name, words in sorted(table.items())]
        told.append("")
    return "\n".join(told)


def _sections() -> Iterator[str]:
    families = sorted(RULES.items(), key=lambda item: item[1].__module__)
    for module, members in groupby(families, key=lambda item: item[1].__module__):
        title = (modules[module].__doc__ or "").split("\n\n")[0].rstrip(".")
        yield f"## {' '.join(title.split())}\n"
        for kind, rule in members:
            yield _section(kind, rule)


def _section(kind: str, rule: type[Rule]) -> str:
    text = re.sub("``(.*?)``", r"`\1`", inspect.cleandoc(rule.__doc__ or ""))
    example = (HERE / "rules" / f"{kind}.toml").read_text()
    puzzle = read_document(example, kind)
    tables = example[example.index("[[rule]]") :].strip()
    sentence = next(one for one in puzzle.rules if one.kind == kind).printed
    return f"""### {kind}

![{kind}](rules/{kind}.svg)

{text}

Printed: *{sentence}*

```toml
{tables}
```
"""


if __name__ == "__main__":
    for path, content in files():
        path.write_text(content, encoding="utf-8")
