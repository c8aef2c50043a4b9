"""Each result of the library is one line or so in a session."""

from __future__ import annotations

from pathlib import Path

from gridassay.verify import (
    Catalogue,
    Conflict,
    OpenPuzzle,
    Search,
    View,
    answer,
    canonical,
    certify,
    check,
    clues,
    compare,
    conflicts,
    drop,
    explain,
    export,
    kin_groups,
    nearest_solutions,
    picture,
    position_from,
    read,
    read_layout,
    recheck,
    repair,
    route,
    sweep,
    symmetries,
    usual_slips,
)


def test_whatever_is_given_is_a_line_or_so_in_a_session(tmp_path: Path) -> None:
    one, two, none = read("1....4....4...23"), read("12" + "." * 14), read("1..1" + "." * 12)
    several = check(two)
    found = route(one)
    mended = repair(two, several.solutions[0])
    assert mended is not None
    layout = read_layout(
        "size = 4\n[[rule]]\nkind = 'cage'\ncells = 'r1c1 r1c2'\nsum = '?'\n", "quay.toml"
    )
    assert isinstance(layout, OpenPuzzle)
    with Catalogue(tmp_path / "shelf.db") as catalogue:
        results: dict[str, object] = {
            "<Conflicts: r1c1=1, r1c4=1, row 1>": conflicts(none),
            "<Explanation: none ": explain(check(none)),
            "<Explanation: multiple in ": explain(several),
            "<Drop: r1c": drop(none),
            "<Repair: r": mended,
            "<Slips: ": usual_slips(none),
            "<Effect: r1c1=1, needed, opens ": clues(one).effects[0],
            "<Keepers: ": clues(one, keepers=Search()).keepers,
            "<OpenPuzzle: 4x4, open: sum of cage r1c1 r1c2>": layout,
            "<Sweep: sum of cage r1c1 r1c2 unique with no value>": sweep(layout),
            "<Nearest: ": nearest_solutions(two, (several.solutions[0], several.solutions[1])),
            "<Form: ": canonical(one),
            "<Symmetries: ": symmetries(one),
            "<KinGroup: 2 puzzles: ": kin_groups([one, one])[0],
            "<Transformation: ": kin_groups([one, one])[0].ways[0],
            "<Picture: ": picture(one),
            "<View: givens>": View(),
            "<View: digits, caption>": View({"r1c1": 1}, caption="low tide"),  # type: ignore[dict-item]
            "<Export: dimacs, 64 variables, ": export(one),
            "<Certificate: unique, ": certify(b"1....4....4...23"),
            "<Recheck: passed, ": recheck(certify(b"1....4....4...23").to_bytes()),
            "<Comparison: 5 changes, unique, now multiple>": compare(one, two),
            "<Answer: wrong, breaks row 1>": answer(one, "11" + "." * 14),
            "<Catalogue: ": catalogue,
            "<Position: 6 of 16 decided>": position_from("r1c2 = 2", one),
            "<Position: 16 of 16 decided>": found.end,
        }
        shown = {says: repr(result) for says, result in results.items()}
    assert not {says: text for says, text in shown.items() if not text.startswith(says)}
    assert max(map(len, shown.values())) < 200


def test_a_long_result_is_cut_at_a_word() -> None:
    everything = Conflict((), tuple(f"cage {place}" for place in range(80)), (), True)
    assert repr(everything).startswith("<Conflict: cage 0, cage 1, ")
    assert repr(everything).endswith(" …>")
    assert len(repr(everything)) < 170
