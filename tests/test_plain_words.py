"""Whatever a person reads is plain English (docs/style.md): patterns that a program can find.

They are looked for in the docs, the text of the page, and the strings, docstrings and comments of
the code.
"""

from __future__ import annotations

import ast
import io
import re
import tokenize
from collections.abc import Iterator
from importlib import import_module
from inspect import cleandoc
from pathlib import Path

import pytest
from typer import Typer
from typer.testing import CliRunner

from gridassay.verify.cli import COMMANDS, app_for

from .cli.run import ROOT, gridassay

_THINGS = (
    "array|bit|block|bound|box|brush|cage|cell|class|clause|clue|column|command|digit|dot|entry|family|"
    "field|figure|file|form|function|given|grid|house|kind|layer|letter|line|list|literal|name|node|"
    "number|object|page|part|peer|picture|pixel|point|process|puzzle|result|row|rule|second|section|"
    "sentence|set|solution|step|symbol|technique|test|thread|time|value|variable|word|worker|zip"
)

EVERYWHERE = {
    r"\b(?:has|have|had) not (?:got\b|one\b|an? |any\b|exactly|all\b|\d|\{)": "does not have, has no",
    r"(?<![Tt]here )(?<![Tt]here can )(?<!there may )(?<!there will )(?<!there must )(?<!there would )"
    r"\b(?:is|are|was|were|be) no (?!longer|more|fewer|less|better|worse|larger|smaller|easier|wider|"
    r"shorter|such|one\b|two\b)": "is not a",
    r"\b(?:can|could|may) (?:all |both |each )?go together\b": "can be removed together",
    r"\bnothing less (?:does|will do)\b|\bno fewer (?:will )?do\b|\bless would do\b": "is enough",
    r"\b[Ll]ook(?:s|ed)? whether\b": "checks whether",
    r"\b[Ee]nds? with (?:code )?\d\b": "exits with code",
    rf"(?i)\b(?:an?|one|so many|\d+) (?:{_THINGS})s? an? (?:{_THINGS})\b": "one … per …",
    r"\b[Oo]f these only such\b|\bsuch as (?:need|have|are)\b": "those that",
    r"\bthat which\b|\bthe which\b": "what",
    r"\bso many (?:an?|each) \b": "that many per",
    r"\bat no\b(?! (?:time|point))": "not at any",
    r"\b(?:No|Not) \w+ at all (?:keep|keeps)\b": "nothing satisfies",
    r"\{[^{}]*\} go(?:es)? from \{": "can be removed from",
    r"\bleaves? the rest of (?:the|its|these|those)\b": "is removed from the rest of",
    r", and (?:at least )?(?:\d+|\{\}) (?:is|are) needed|\{\}, and there are no\b": "…, but …",
    r"\b(?:symbols?|lists?|rows?) of \w+, and \d+\b|\b\d+ symbols, and \d": "…, but …",
    r"\bis none of (?:them|these|those)\b": "is not one of them",
    r"\bnumbers? (?:is|are) meant\b": "this must be a number",
    r"\bunder (?:a|another|the) wrong name\b": "misnamed, called … by mistake",
    r"\bdigits and all\b": "with the same digits",
    r"\bknown are\b": "the … are",
    r"\b(?<!perhaps )[Aa] slip: ": "possible slip: ",
    r"\bsolves? it all\b": "solves it alone",
    r"\bhangs? together\b": "is connected",
    r"\bwhere there (?:is|are) (?:fewer|more|none)\b": "if there are fewer",
}
"""What is not said anywhere, and what is said in its place."""

CONDITION = (
    r"\b(?:Raises? [\w, ]*?\w+(?:, [^.,]*,)?|None|nothing|Nothing|empty|undecided|"
    r"an error|no error) where\b"
)
"""*Where* for *if*, in docstrings and docs."""

DOCSTRINGS = {r"\AWhat (?!is |if )": "say what it is", r"\AWhat is ": "say what it is"}


def _rooms(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _texts(path: Path) -> Iterator[tuple[int, str, bool]]:
    """The texts of a file of code that a person reads: line, text, and whether it is a docstring."""
    source = path.read_text(encoding="utf-8")
    documented = set()
    tree = ast.parse(source)
    inside = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            said = ast.get_docstring(node)
            if said:
                documented.add(id(node.body[0].value))  # type: ignore[attr-defined]
                yield node.body[0].lineno, said, True
        elif isinstance(node, ast.JoinedStr):
            inside |= {id(part) for part in node.values}
            parts = (part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)
            yield node.lineno, "".join(map(str, parts)), False
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and " " in node.value
            and id(node) not in documented | inside
        ):
            yield node.lineno, node.value, False
    comments: list[tuple[int, str]] = []
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type == tokenize.COMMENT:
            line, text = token.start[0], token.string.lstrip("#: ")
            if comments and comments[-1][0] == line - 1:
                text = f"{comments.pop()[1]} {text}"
            comments.append((line, text))
    for line, text in comments:
        yield line, text, False


def _found(path: Path) -> list[str]:
    """Every place of a file that goes against the style."""
    faults = []
    if path.suffix == ".py":
        texts = list(_texts(path))
    else:
        plain = path.read_text(encoding="utf-8")
        texts = [(1 + plain[: at.start()].count("\n"), at[0], False) for at in _paragraphs(plain)]
    for line, text, docstring in texts:
        flat = " ".join(text.split())
        patterns = EVERYWHERE | {CONDITION: "if, when"} | (DOCSTRINGS if docstring else {})
        for pattern, better in patterns.items():
            faults += [
                f"{_rooms(path)}:{line}: {hit[0]!r} in {flat[:60]!r}: {better}"
                for hit in re.finditer(pattern, flat)
            ]
    return faults


def _paragraphs(text: str) -> Iterator[re.Match[str]]:
    return re.finditer(r"(?:[^\n]+\n?)+", text)


def _files() -> list[Path]:
    """All files that a person reads, but not puzzles, this file or the page that names the patterns."""
    code = [
        path
        for room in ("encodings", "verify", "benchmarks", "tests")
        for path in sorted((ROOT / room).rglob("*.py"))
    ]
    page = sorted((ROOT / "verify" / "web" / "static").glob("*.html"))
    script = sorted((ROOT / "verify" / "web" / "static").glob("*.js"))
    docs = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
    spared = {Path(__file__), ROOT / "docs" / "style.md"}
    return [path for path in (*code, *page, *script, *docs) if path.resolve() not in spared]


@pytest.mark.parametrize("path", _files(), ids=_rooms)
def test_plain_words(path: Path) -> None:
    faults = _found(path)
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_help_fits_eighty_columns(command: str) -> None:
    """Nothing is wider, and no paragraph is broken twice, once by its writer and once by the terminal."""
    asked = [*filter(None, [command]), "--help"]
    said = CliRunner().invoke(app_for(asked), asked, env={"COLUMNS": "80", "TERM": "dumb"}).stdout
    assert max(len(line.rstrip()) for line in said.splitlines()) <= 80
    for help_text in _help_texts(command):
        assert max(map(len, cleandoc(help_text).splitlines())) <= 78, help_text


def _help_texts(command: str) -> list[str]:
    """What a command, or each of its own commands, says of itself."""
    if not command:
        return []
    found = getattr(import_module(f"gridassay.verify.cli.{command}"), command)
    if isinstance(found, Typer):
        return [one.callback.__doc__ or "" for one in found.registered_commands if one.callback]
    return [found.__doc__]


def test_help_is_grouped_by_the_question_that_it_answers() -> None:
    of_book = [("book", one) for one in ("new", "check", "make", "diff")]
    for command in [*of_book, *((one,) for one in COMMANDS)]:
        groups = re.findall(r"^╭─ (.+?) ─", gridassay(*command, "--help").out, flags=re.M)
        grouped = {"What to ask", "What to show", "What to write"} & set(groups)
        assert grouped or command in (("book",), ("rules",), ("serve",)), command
