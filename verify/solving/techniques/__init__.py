"""The named techniques, one file each, in the order in which they are taught.

``TECHNIQUES`` is that order: groups of reasons of one shape, within a group by size. To add one,
write a file with a ``find`` function (``board/ideas.py`` says what it yields), put it in its place
here, and give it a hand-made position in the tests; the test that proves every idea on thousands of
random positions finds it by itself. Its name is entered in ``encodings/technique_words.py``, with a
sentence in docs/words.md. DEVELOPERS.md ("Add a technique", "Pictures") names the other places.
"""

from __future__ import annotations

from gridassay.verify.solving.board.ideas import Idea, Technique
from gridassay.verify.solving.techniques import (
    almost_locked_sets,
    alternation,
    colouring,
    connection,
    corner_of_two,
    crossing_houses,
    doubly_linked_sets,
    empty_rectangle,
    equal_cells,
    fish,
    fitting_shape,
    group_sizes,
    hidden_sets,
    hidden_single,
    house_totals,
    inference_chain,
    joining,
    last_cell,
    leftovers,
    locked,
    naked_sets,
    naked_single,
    one_loop,
    rectangles,
    remote_pairs,
    rule_alone,
    rule_with_houses,
    same_region,
    sets_with_rules,
    sure_digit,
    two_groups,
    two_links,
    universal_grave,
    w_wing,
    wings,
    x_chain,
    xy_chain,
)

__all__ = ["SINGLES", "TECHNIQUES", "Idea", "Technique"]

TECHNIQUES: tuple[Technique, ...] = (
    Technique(last_cell.NAME, 1, last_cell.find),
    Technique(hidden_single.NAME, 1, hidden_single.in_areas),
    Technique(hidden_single.NAME, 2, hidden_single.in_lines),
    Technique(naked_single.NAME, 3, naked_single.find),
    Technique(equal_cells.NAME, 4, equal_cells.find),
    Technique(corner_of_two.NAME, 4, corner_of_two.find),
    Technique(two_groups.CROSSED, 4, two_groups.find, also=(two_groups.EDGE,)),
    Technique(same_region.NAME, 4, same_region.find, also=(same_region.DIGIT,)),
    Technique(group_sizes.FULL, 4, group_sizes.find, also=(group_sizes.ROOM,)),
    Technique(joining.APART, 4, joining.find, also=(connection.MEETING_PLACE,)),
    Technique(
        connection.DEAD_END,
        4,
        connection.find,
        also=(connection.CUT_OFF, connection.MEETING_PLACE),
    ),
    Technique(one_loop.NAME, 4, one_loop.find),
    Technique(fitting_shape.NAME, 4, fitting_shape.find, ranked=True),
    # A sum that places a digit comes before rows of small strikes.
    Technique(rule_alone.NAME, 4, rule_alone.placing),
    Technique(house_totals.NAME, 4, house_totals.placing),
    Technique(alternation.NAME, 4, alternation.find),
    Technique(rule_alone.NAME, 4, rule_alone.find),
    Technique(sure_digit.NAME, 4, sure_digit.find),
    Technique(house_totals.NAME, 4, house_totals.find),
    Technique(locked.NAME, 4, locked.find),
    Technique(leftovers.NAME, 4, leftovers.find),
    Technique(rule_with_houses.NAME, 4, rule_with_houses.find),
    *(
        Technique(module.NAMES[size], 5, module.of_size(size))
        for size in (2, 3, 4)
        for module in (naked_sets, hidden_sets, sets_with_rules)
        if size in module.NAMES
    ),
    Technique(fish.NAMES[2], 6, fish.plain(2)),
    Technique(two_links.SKYSCRAPER, 6, two_links.skyscrapers),
    Technique(two_links.KITE, 6, two_links.kites),
    Technique(empty_rectangle.NAME, 6, empty_rectangle.find),
    *(Technique(fish.NAMES[size], 6, fish.plain(size)) for size in (3, 4)),
    *(
        Technique(f"finned {name}", 6, fish.finned_finder(size), also=(f"sashimi {name}",))
        for size, name in fish.NAMES.items()
    ),
    Technique(wings.XY, 7, wings.xy_wings),
    Technique(wings.XYZ, 7, wings.xyz_wings),
    Technique(w_wing.NAME, 7, w_wing.find),
    Technique(wings.WXYZ, 7, wings.wxyz_wings),
    Technique(rectangles.UNIQUE, 7, rectangles.unique_rectangles, promised=True),
    Technique(rectangles.HIDDEN, 7, rectangles.hidden_rectangles, promised=True),
    Technique(rectangles.AVOIDABLE, 7, rectangles.avoidable_rectangles, promised=True),
    Technique(universal_grave.NAME, 7, universal_grave.find, promised=True),
    Technique(remote_pairs.NAME, 8, remote_pairs.find),
    Technique(colouring.ONE, 8, colouring.one_digit),
    Technique(x_chain.NAME, 8, x_chain.find),
    Technique(xy_chain.NAME, 8, xy_chain.find),
    Technique(colouring.SEVERAL, 8, colouring.several_digits),
    Technique(inference_chain.NAME, 8, inference_chain.find),
    Technique(almost_locked_sets.NAME, 9, almost_locked_sets.find, ranked=True),
    Technique(doubly_linked_sets.NAME, 9, doubly_linked_sets.find, ranked=True),
    Technique(crossing_houses.NAME, 9, crossing_houses.find),
)
"""Every technique in teaching order."""

SINGLES = frozenset(name for one in TECHNIQUES if one.group <= 3 for name in one.names)
"""The techniques that every solver has: last cell, hidden single, naked single."""
