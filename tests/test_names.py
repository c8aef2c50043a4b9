"""A class name has one meaning in the whole of the library, and a function is not a bare participle."""

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import pytest

from gridassay.encodings.former_names import formerly
from gridassay.encodings.grid import Cell
from gridassay.verify import Clock, read

ROOT = Path(__file__).parent.parent
CONTAINERS = {
    *("list", "tuple", "set", "frozenset", "dict"),
    *("Collection", "Generator", "Iterable", "Iterator", "Mapping", "Sequence"),
}
# Participles that do not end in -ed, but for those that are a verb in the present or a noun as well.
IRREGULAR = """
begun bent bought broken brought built caught chosen drawn driven eaten fallen fed felt flown
forgotten found frozen given gone grown heard held hidden kept known laid led left lent lost made
met paid ridden risen said sat seen sent shaken shown slept sold sought spent spoken stood struck
stuck sung sworn swept taken taught thought thrown told torn understood woken won worn wound woven
written
"""
PARTICIPLES = frozenset(IRREGULAR.split())


def sources() -> Iterator[tuple[str, ast.Module]]:
    for folder in ("encodings", "verify"):
        for path in sorted((ROOT / folder).rglob("*.py")):
            yield str(path.relative_to(ROOT)), ast.parse(path.read_text(encoding="utf-8"))


def test_no_class_name_is_defined_twice():
    places = defaultdict(list)
    for path, tree in sources():
        for node in ast.walk(tree):
            if isinstance(node, ast.ClassDef):
                places[node.name].append(f"{path}:{node.lineno}")
    assert len(places) > 500
    assert not {name: found for name, found in places.items() if len(found) > 1}


def is_participle(name: str) -> bool:
    """Whether a name is one word, and that word a participle."""
    word = name.strip("_")
    return word in PARTICIPLES or (word.endswith("ed") and "_" not in word and word[-3:-2] != "e")


def types(annotation: ast.expr | None) -> set[str]:
    """The types in an annotation, and in place of containers and unions what they hold."""
    match annotation:
        case None | ast.Constant(value=None):
            return set()
        case ast.Constant(value=str(text)):
            return types(ast.parse(text, mode="eval").body)
        case ast.BinOp(left=one, right=other):
            return types(one) | types(other)
        case ast.Subscript(value=ast.Name(id=name), slice=inside) if name in CONTAINERS:
            parts = inside.elts if isinstance(inside, ast.Tuple) else [inside]
            return set().union(*map(types, parts))
    return {ast.unparse(annotation)}


def kinds(trees: list[ast.Module]) -> dict[str, set[str]]:
    """Each class with all that it is: classes that it stands on, and unions that it is one of."""
    above = defaultdict(set)
    for node in (node for tree in trees for node in ast.walk(tree)):
        if isinstance(node, ast.ClassDef):
            above[node.name] |= {ast.unparse(base).split("[")[0] for base in node.bases}
        elif isinstance(node, ast.AnnAssign) and ast.unparse(node.annotation) == "TypeAlias":
            for member in types(node.value):
                above[member].add(ast.unparse(node.target))
    found: dict[str, set[str]] = {}
    for name in [*above]:
        reached, ahead = set(), {name}
        while ahead:
            reached |= ahead
            ahead = set().union(*(above.get(one, set()) for one in ahead)) - reached
        found[name] = reached
    return found


def misnamed(tree: ast.Module, family: dict[str, set[str]]) -> Iterator[str]:
    """The bare participles that give neither their object nor their first argument, changed."""
    for owner in ast.walk(tree):
        for function in ast.iter_child_nodes(owner):
            if not isinstance(function, ast.FunctionDef) or not is_participle(function.name):
                continue
            if any("property" in ast.unparse(one) for one in function.decorator_list):
                continue
            arguments = [*function.args.posonlyargs, *function.args.args]
            own = set()
            if isinstance(owner, ast.ClassDef):
                own = {"Self", *family[owner.name]}
                arguments = arguments[1:]
            if arguments:
                own |= types(arguments[0].annotation)
            if not types(function.returns) & own:
                yield f"{function.name} (line {function.lineno})"


def test_a_bare_participle_gives_what_it_is_given_changed():
    found = dict(sources())
    family = kinds([*found.values()])
    wrong = {path: [*misnamed(tree, family)] for path, tree in found.items()}
    assert not {path: names for path, names in wrong.items() if names}


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("def moved(mark: Mark) -> Mark: ...", 0),
        ("def moved(mark: Mark, by: float) -> float: ...", 1),
        ("def joined(marks: list[Mark]) -> Iterator[Mark]: ...", 0),
        ("def told(mark: Mark) -> None: ...", 1),
        ("def _held(): ...", 1),
        ("def speed(): ...\ndef held_by(): ...\ndef hold(): ...", 0),
        ("class A:\n    def seen(self) -> 'A': ...", 0),
        ("class A(B):\n    def negated(self) -> B | None: ...", 0),
        ("class A:\n    def seen(self) -> bool: ...", 1),
        ("class A:\n    @property\n    def seen(self) -> bool: ...", 0),
    ],
)
def test_the_rule_itself(text, wrong):
    tree = ast.parse(text)
    assert len([*misnamed(tree, kinds([tree]))]) == wrong


def test_former_names_work_and_warn():
    puzzle = read("1...\n...2\n..3.\n.4..")
    grid = (1, 2, 4, 3, 4, 3, 1, 2, 2, 1, 3, 4, 3, 4, 2, 1)
    with pytest.warns(DeprecationWarning, match=r"Puzzle\.broken is now called violations"):
        assert [*puzzle.broken(grid, ignoring=["row 1"])] == [*puzzle.violations(grid, ["row 1"])]
    with pytest.warns(DeprecationWarning, match="in_one_line"):
        assert puzzle.told(grid) == puzzle.in_one_line(grid)
    with pytest.warns(DeprecationWarning, match="fill"):
        assert puzzle.filled(grid)[Cell(4, 2)] == 4
    with pytest.warns(DeprecationWarning, match="doubled_cells"):
        assert puzzle.doubled(grid) == ()
    with pytest.warns(DeprecationWarning, match="time_left"):
        assert 50 < Clock(60).left() <= 60
    with pytest.warns(DeprecationWarning, match="time_spent"):
        assert Clock(60).spent() >= 0


def test_a_former_name_leads_to_the_subclass():
    @formerly(said="say")
    class Bell:
        def say(self) -> str:
            return "ding"

    class Buoy(Bell):
        def say(self) -> str:
            return "dong"

    with pytest.warns(DeprecationWarning, match="Bell.said is now called say"):
        assert Buoy().said() == "dong"
