"""The page about the library: every snippet does what it shows."""

import doctest
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


def test_snippets_do_what_they_show(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    page = (ROOT / "docs" / "library.md").read_text(encoding="utf-8")
    snippets = page.replace("```python\n", "").replace("```\n", "")
    test = doctest.DocTestParser().get_doctest(snippets, {}, "library.md", "library.md", 0)
    assert len(test.examples) > 20
    told: list[str] = []
    doctest.DocTestRunner().run(test, out=told.append)
    assert not told, "".join(told)
