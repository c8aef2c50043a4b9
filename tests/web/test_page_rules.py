"""Rules drawn, changed and found on the page, in headless Chromium."""

import pytest

from .doing import border, cell, choose, drag, field, inks, start, text, verdict, wander, write


def test_a_cage_by_mouse_is_drawn_and_can_break_the_puzzle(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("#adding summary")
    choose(page, "cage")
    drag(page, "r1c1", "r1c2", "r2c2")
    assert page.get_by_label("cells", exact=True).input_value() == "r1c1 r1c2 r2c2"
    page.get_by_label("sum", exact=True).fill("6")
    page.click("text=Add this rule")
    verdict(page, "none")
    assert 'kind = "cage"\ncells = "r1c1 r1c2 r2c2"\nsum = 6\n' in text(page)
    page.wait_for_selector("#because .premises")
    assert "the 6 cage in box 1" in page.inner_text("#because")
    page.click("#because button:has-text('cage')")
    verdict(page, "unique")
    assert "cage" in page.inner_text("#verdict .without")
    page.click("#undo")
    verdict(page, "none")
    page.click("[aria-label='Remove cage r1c1 r1c2 r2c2']")
    verdict(page, "unique")
    assert "cage" not in text(page)


def test_an_arrow_by_keyboard_alone(page):
    start(page, "size:9")
    # The kinds come from the server a moment after the page: until then there is nothing to type into.
    page.wait_for_selector("#rule-form .picker", state="attached")
    page.focus("#adding summary")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("arrow sum")
    page.keyboard.press("Enter")
    cell(page, "r5c5").focus()
    page.keyboard.press("ArrowLeft")
    assert page.get_by_label("bulb", exact=True).input_value() == "r5c4"
    page.get_by_label("shaft", exact=True).focus()
    cell(page, "r5c4").focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    page.get_by_role("button", name="Add this rule").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#clues .rules li")
    assert 'bulb = "r5c4"\nshaft = "r6c4 r6c5 r6c6"' in text(page)


def test_a_rule_of_rules_and_a_list_of_groups(page):
    page.click("#adding summary")
    choose(page, "equal-sums")
    drag(page, "r1c1", "r1c2")
    drag(page, "r3c1", "r3c2")
    page.click("text=Add this rule")
    page.wait_for_selector("#clues .rules li")
    assert 'groups = ["r1c1 r1c2","r3c1 r3c2"]' in text(page)
    choose(page, "at-least")
    page.get_by_label("count").fill("1")
    page.click("text=Add a nested rule")
    choose(page, "even", "fieldset")
    drag(page, "r9c9", "r9c8")
    page.click("text=Add this rule")
    page.wait_for_selector("#clues .rules li >> nth=1")
    assert '[[rule.of]]\nkind = "even"\ncells = "r9c9 r9c8"' in text(page)
    # Its nested rules go with it.
    page.click("#clues .rules li >> nth=1 >> text=Remove")
    page.wait_for_function("() => document.querySelectorAll('#clues .rules li').length === 1")
    assert "rule.of" not in text(page)


def test_a_dot_is_set_on_an_edge_and_digits_on_a_corner_by_mouse(page):
    page.click("#adding summary")
    choose(page, "consecutive-pair")
    page.mouse.move(*border(page, "r4c4", 0.9, 0.5))
    spot = page.locator(".spot")
    assert spot.is_visible()
    middle = spot.bounding_box()["x"] + spot.bounding_box()["width"] / 2
    assert abs(middle - border(page, "r4c4", 1, 0)[0]) < 2
    page.mouse.click(*border(page, "r4c4", 0.9, 0.5))
    assert field(page, "cells").input_value() == "r4c4 r4c5"
    page.mouse.click(*border(page, "r6c2", 0.5, 0.1))
    assert field(page, "cells").input_value() == "r5c2 r6c2"
    # In the middle of a cell no border is meant.
    page.mouse.click(*border(page, "r6c2", 0.5, 0.5))
    assert field(page, "cells").input_value() == "r6c2"
    page.mouse.click(*border(page, "r1c1", 0.05, 0.5))
    assert field(page, "cells").input_value() == "r1c1"
    choose(page, "contains")
    page.mouse.click(*border(page, "r4c4", 0.9, 0.9))
    assert field(page, "cells").input_value() == "r4c4 r4c5 r5c4 r5c5"
    field(page, "digits").fill("1 2")
    page.click("text=Add this rule")
    page.wait_for_selector("#clues .rules li")
    assert 'cells = "r4c4 r4c5 r5c4 r5c5"\ndigits = [1, 2]' in text(page)
    page.click("#adding summary")
    page.wait_for_selector("#board:not(.choosing)")
    page.mouse.click(*border(page, "r1c1", 0.9, 0.5))
    assert page.locator("[aria-selected=true]").count() == 1
    assert not spot.is_visible()


def test_a_sign_on_an_edge_is_turned_round_by_a_second_click(page):
    page.click("#adding summary")
    choose(page, "greater")
    place = border(page, "r2c2", 0.95, 0.5)
    for wanted in ("r2c2 r2c3", "r2c3 r2c2", "r2c2 r2c3"):
        page.mouse.click(*place)
        assert field(page, "cells").input_value() == wanted


def test_marks_on_edges_and_corners_by_keyboard(page):
    page.click("#adding summary")
    choose(page, "pair-sum")
    cell(page, "r3c3").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowDown")
    assert field(page, "cells").input_value() == "r3c2 r4c2"
    field(page, "sum").fill("10")
    page.keyboard.press("Enter")
    page.wait_for_selector("#clues .rules li")
    assert 'kind = "pair-sum"\ncells = "r3c2 r4c2"\nsum = 10\n' in text(page)
    choose(page, "contains")
    cell(page, "r4c2").focus()
    page.keyboard.press("ArrowDown")
    for key in ("ArrowRight", "ArrowDown", "ArrowLeft"):
        page.keyboard.press(f"Shift+{key}")
    assert field(page, "cells").input_value() == "r5c2 r5c3 r6c3 r6c2"


def test_a_clue_beside_the_grid_is_drawn_along_its_row_or_diagonal(page):
    page.click("#adding summary")
    choose(page, "x-sum")
    drag(page, "r3c9", "r3c7")
    assert (field(page, "line").input_value(), field(page, "side").input_value()) == ("r3", "right")
    cell(page, "r5c4").focus()
    page.keyboard.press("Escape")
    page.keyboard.press("Shift+ArrowDown")
    assert (field(page, "line").input_value(), field(page, "side").input_value()) == ("c4", "top")
    choose(page, "little-killer")
    drag(page, "r9c3", "r7c5")
    assert field(page, "start").input_value() == "r9c3"
    assert field(page, "direction").input_value() == "up-right"


def test_a_rule_is_changed_in_its_form_and_changed_back(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    before = text(page)
    page.click("[aria-label='Change cage r1c1 r1c2 r2c1']")
    assert page.inner_text("#adding summary") == "Change cage r1c1 r1c2 r2c1"
    assert field(page, "cells").input_value() == "r1c1 r1c2 r2c1"
    assert page.locator("[aria-selected=true]").count() == 3
    # The total is the field that is ready to be written in.
    page.keyboard.press("Control+a")
    page.keyboard.type("17")
    page.keyboard.press("Enter")
    verdict(page, "none")
    assert text(page) == before.replace("sum = 16", "sum = 17", 1)
    assert page.inner_text("#adding summary") == "Add a rule"
    page.wait_for_function(
        "() => document.activeElement.ariaLabel === 'Change cage r1c1 r1c2 r2c1'"
    )
    page.click("#undo")
    verdict(page, "unique")
    assert text(page) == before


def test_a_rule_that_is_opened_can_be_left_as_it_was(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    before = text(page)
    page.focus("[aria-label^='Change thermometer r8c8']")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Change this rule")
    page.keyboard.press("Escape")
    assert page.inner_text("#adding summary") == "Add a rule"
    assert text(page) == before
    # A rule that is taken away while it is open leaves nothing to change.
    page.click("[aria-label^='Change thermometer r8c8']")
    page.click("[aria-label^='Remove thermometer r8c8']")
    page.wait_for_selector("text=Add this rule", state="attached")


def test_changing_a_rule_keeps_what_its_form_does_not_know(page):
    write(
        page,
        'size = 4\n\n[[rule]]\n# the old pier\nkind = "exactly"\ncount = 1\n'
        '[[rule.of]]\nkind = "even"\ncells = "r1c1"\n[[rule.of]]\nkind = "odd"\ncells = "r1c2"\n'
        '\n# the new one\n[[rule]]\nkind = "cage"\ncells = "r2c1 r2c2"\noptional = true\n',
    )
    page.wait_for_selector("#clues .rules li >> nth=1")
    page.click("#clues .rules li >> nth=0 >> text=Change")
    field(page, "count").fill("2")
    page.click("text=Change this rule")
    page.wait_for_selector("text=Add this rule", state="attached")
    assert text(page) == (
        'size = 4\n\n[[rule]]\n# the old pier\nkind = "exactly"\ncount = 2\n'
        '\n[[rule.of]]\nkind = "even"\ncells = "r1c1"\n\n[[rule.of]]\nkind = "odd"\ncells = "r1c2"\n'
        '\n# the new one\n[[rule]]\nkind = "cage"\ncells = "r2c1 r2c2"\noptional = true\n'
    )
    page.click("#clues .rules li >> nth=1 >> text=Change")
    field(page, "sum").fill("5")
    page.click("text=Change this rule")
    page.wait_for_function("() => document.getElementById('text').value.includes('sum = 5')")
    assert 'cells = "r2c1 r2c2"\nsum = 5\noptional = true\n' in text(page)


def test_every_kind_has_a_form(page):
    page.click("#adding summary")
    page.wait_for_selector("#rule-form [data-kind]")
    offered = page.locator("#rule-form [data-kind]")
    kinds = offered.evaluate_all("(all) => all.map((one) => one.dataset.kind)")
    assert len(kinds) > 50
    for kind in kinds:
        choose(page, kind)
        assert page.locator("#rule-form .field").count() >= 1


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("thermo", "thermometer"),
        ("killer", "cage"),
        ("XV", "pair-sum"),
        ("no repeats", "all-different"),
    ],
)
def test_a_kind_is_found_by_the_words_of_the_trade_and_by_its_picture(page, word, kind):
    page.click("#adding summary")
    page.fill(".choices input", word)
    assert page.locator(f".choices li:not(.away) [data-kind={kind}] svg").count() == 1
    assert not page.locator(".choices [data-kind=palindrome]").is_visible()
    page.focus(".choices input")
    page.keyboard.press("Enter")
    assert page.locator(".picked").get_attribute("data-picked") == kind
    page.click(".picked")
    page.fill(".choices input", "barnacle")
    assert "No rule has that name" in page.inner_text(".choices")


def test_a_rule_is_found_in_the_file(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    page.click("[aria-label^='Find thermometer r8c8']")
    found = page.evaluate("() => document.getSelection().toString()")
    assert found == '[[rule]]\nkind = "thermometer"\ncells = "r8c8 r7c7 r6c7 r5c8"'


def test_a_sloppy_diagonal_takes_no_cell_that_it_grazes(page):
    page.click("#adding summary")
    choose(page, "renban")
    wander(page, ("r3c2", 0.45, 0.6), ("r4c2", 0.1, 0.15), ("r4c1", 0.6, 0.4))
    assert field(page, "cells").input_value() == "r3c2 r4c1"
    # On the way back it grazes the same cell, and then takes the last one off.
    wander(page, ("r3c2", 0.5, 0.5), ("r4c1", 0.5, 0.5), ("r4c2", 0.15, 0.12), ("r3c2", 0.4, 0.6))
    assert field(page, "cells").input_value() == "r3c2"
    # So quick that the middle of a cell between is never told.
    drag_at_once = [border(page, name, 0.5, 0.5) for name in ("r1c1", "r1c5")]
    page.mouse.move(*drag_at_once[0])
    page.mouse.down()
    page.mouse.move(*drag_at_once[1])
    page.mouse.up()
    assert field(page, "cells").input_value() == "r1c1 r1c2 r1c3 r1c4 r1c5"


def test_cells_are_chosen_with_shift_and_control_and_let_go_with_the_form(page):
    page.click("#adding summary")
    choose(page, "cage")
    cell(page, "r2c2").click()
    cell(page, "r2c4").click(modifiers=["Shift"])
    cell(page, "r5c5").click(modifiers=["Shift"])
    cell(page, "r2c3").click(modifiers=["Control"])
    assert field(page, "cells").input_value() == "r2c2 r2c4 r5c5"
    assert page.locator("[data-order]").count() == 3
    page.click("#adding summary")
    page.wait_for_function("() => !document.querySelector('[data-order]')")
    assert page.locator("[aria-selected=true]").count() == 0


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"sum": "abc!"}, "not “abc!”"),
        ({"cells": "r1c1 r99c1"}, "r99c1 is not on the canvas"),
        ({"cells": "r1c1 r1c1"}, "r1c1"),
    ],
)
def test_what_is_wrong_with_a_rule_is_said_at_its_field_and_not_written(page, wrong, said):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    before = text(page)
    page.click("#adding summary")
    choose(page, "cage")
    for name, value in ({"cells": "r1c1 r1c2", "sum": "7"} | wrong).items():
        field(page, name).fill(value)
    page.click("text=Add this rule")
    (name,) = wrong
    at_fault = field(page, name)
    page.wait_for_function("(input) => input.ariaInvalid === 'true'", arg=at_fault.element_handle())
    assert said in page.inner_text(f"#{at_fault.get_attribute('id')}-fault")
    assert at_fault.input_value() == wrong[name]
    assert text(page) == before
    assert page.get_attribute("#verdict", "class") == "unique"
    at_fault.fill("")
    assert at_fault.get_attribute("aria-invalid") is None


def test_rules_keep_their_looks_while_one_is_off_and_it_stays_as_a_ghost(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    names = page.locator("#clues .rules input").evaluate_all(
        "all => all.map((one) => one.dataset.clue)"
    )
    first, last = names[0], names[-1]
    before = {name: inks(page, "rule", name) for name in names}
    assert before[last]
    page.click(f'#clues .rules input[data-clue="{first}"]')
    page.wait_for_selector(f'#picture .ghost[data-name="{first}"]', state="attached")
    assert {name: inks(page, "rule", name) for name in names[1:]} == {
        name: before[name] for name in names[1:]
    }
    ghost = inks(page, "ghost", first)
    assert len(ghost) == 1
    assert not ghost & before[first]
    assert "1 off, drawn thin and grey" in page.inner_text("#clues")


def test_each_sentence_is_said_once_and_what_is_hidden_is_counted(page):
    start(page, "example:charted.toml")
    page.wait_for_selector("#clues .rules li")
    said = page.locator("#clues .rules p").all_text_contents()
    assert len(said) == len(set(said)) > 1
    page.wait_for_selector("#clues .below:has-text('more below')")
    page.locator("#clues .rules").evaluate("(list) => list.scrollTo(0, list.scrollHeight)")
    page.wait_for_selector("#clues .below", state="hidden")
