"""A class name has one meaning in the whole of the library."""

import ast
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_no_class_name_is_defined_twice():
    places = defaultdict(list)
    for folder in ("encodings", "verify"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.ClassDef):
                    places[node.name].append(f"{path.relative_to(ROOT)}:{node.lineno}")
    assert len(places) > 500
    assert not {name: found for name, found in places.items() if len(found) > 1}
