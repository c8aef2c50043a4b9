"""The page from end to end, in headless Chromium."""

import json
import re

import pytest
from axe_playwright_python.sync_playwright import Axe

from gridassay.verify.proof.recheck import recheck
from gridassay.verify.web.workers import MOST_AT_ONCE

HARBOUR = """
8.7 .4. 1..
... .87 92.
... ..3 ..6
5.. ... .1.
... 631 ...
.2. ... ..8
4.. 9.. ...
.18 35. ...
..3 .1. 2.9
"""


def verdict(page, status):
    page.wait_for_selector(f"#verdict.{status}")


def cell(page, name):
    return page.locator(f'[data-cell="{name}"]')


def start(page, what):
    page.click("#start summary")
    page.click(f'[data-start="{what}"]')


def write(page, text):
    page.fill("#text", text)


def text(page):
    return page.input_value("#text")


def drag(page, *names):
    boxes = [cell(page, name).bounding_box() for name in names]
    middles = [(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2) for box in boxes]
    page.mouse.move(*middles[0])
    page.mouse.down()
    for middle in middles[1:]:
        page.mouse.move(*middle, steps=4)
    page.mouse.up()


def test_typing_a_puzzle_leads_to_its_verdict(page):
    cell(page, "r1c1").focus()
    for row in HARBOUR.split("\n")[1:-1]:
        for symbol in row.replace(" ", ""):
            if symbol != ".":
                page.keyboard.press(symbol)
            page.keyboard.press("ArrowRight")
        page.keyboard.press("Home")
        page.keyboard.press("ArrowDown")
    verdict(page, "unique")
    page.wait_for_function("() => document.querySelectorAll('#clues .givens button').length === 27")
    written = re.sub(r"\s", "", text(page).split('"""')[1])
    assert written == re.sub(r"\s", "", HARBOUR)
    assert cell(page, "r1c3").get_attribute("aria-label") == "row 1 column 3, given 7"


def test_the_text_and_the_grid_keep_step(page):
    write(page, "1......2..3..4..")
    verdict(page, "unique")
    cell(page, "r2c4").focus()
    page.keyboard.press("Delete")
    verdict(page, "multiple")
    assert text(page) == "1.........3..4.."
    write(page, "1......2..3..4.")
    page.wait_for_selector("text=This is not a puzzle yet")
    page.click("#undo")
    page.click("#undo")
    verdict(page, "unique")


def test_a_puzzle_is_pasted_anywhere_but_in_a_field(page):
    paste = """(text) => {
      const clipboardData = new DataTransfer();
      clipboardData.setData("text/plain", text);
      document.activeElement.dispatchEvent(
        new ClipboardEvent("paste", { clipboardData, bubbles: true, cancelable: true }));
    }"""
    cell(page, "r1c1").focus()
    page.evaluate(paste, "1......2..3..4..")
    verdict(page, "unique")
    assert text(page) == "1......2..3..4.."
    page.evaluate("() => { document.getElementById('walkthrough').open = true; }")
    page.focus("#steps")
    page.evaluate(paste, "r1c2 = 2")
    assert text(page) == "1......2..3..4.."
    page.click("#undo")
    page.wait_for_selector("#verdict >> text=Type givens, paste a puzzle or open an example")


def test_where_two_solutions_differ_is_shown(page):
    write(page, "12..34..21..4...")
    verdict(page, "multiple")
    assert re.search(r"differ in r\dc\d", page.inner_text("#verdict"))
    assert page.locator("#picture .differing").count()


def test_a_cage_by_mouse_is_drawn_and_can_break_the_puzzle(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("#adding summary")
    page.select_option("#rule-form select", "cage")
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
    page.focus("#adding summary")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("arrow")
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
    page.select_option("#rule-form select", "equal-sums")
    drag(page, "r1c1", "r1c2")
    drag(page, "r3c1", "r3c2")
    page.click("text=Add this rule")
    page.wait_for_selector("#clues .rules li")
    assert 'groups = ["r1c1 r1c2","r3c1 r3c2"]' in text(page)
    page.select_option("#rule-form select", "at-least")
    page.get_by_label("count").fill("1")
    page.click("text=Add a nested rule")
    page.select_option("#rule-form fieldset select", "even")
    drag(page, "r9c9", "r9c8")
    page.click("text=Add this rule")
    page.wait_for_selector("#clues .rules li >> nth=1")
    assert '[[rule.of]]\nkind = "even"\ncells = "r9c9 r9c8"' in text(page)
    # Its nested rules go with it.
    page.click("#clues .rules li >> nth=1 >> text=Remove")
    page.wait_for_function("() => document.querySelectorAll('#clues .rules li').length === 1")
    assert "rule.of" not in text(page)


def border(page, name, across, down):
    """A point of a cell, as shares of its width and height."""
    box = cell(page, name).bounding_box()
    return box["x"] + across * box["width"], box["y"] + down * box["height"]


def field(page, label):
    return page.get_by_label(label, exact=True)


def test_a_dot_is_set_on_an_edge_and_digits_on_a_corner_by_mouse(page):
    page.click("#adding summary")
    page.select_option("#rule-form select", "consecutive-pair")
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
    page.select_option("#rule-form select", "contains")
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
    page.select_option("#rule-form select", "greater")
    place = border(page, "r2c2", 0.95, 0.5)
    for wanted in ("r2c2 r2c3", "r2c3 r2c2", "r2c2 r2c3"):
        page.mouse.click(*place)
        assert field(page, "cells").input_value() == wanted


def test_marks_on_edges_and_corners_by_keyboard(page):
    page.click("#adding summary")
    page.select_option("#rule-form select", "pair-sum")
    cell(page, "r3c3").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowDown")
    assert field(page, "cells").input_value() == "r3c2 r4c2"
    field(page, "sum").fill("10")
    page.keyboard.press("Enter")
    page.wait_for_selector("#clues .rules li")
    assert 'kind = "pair-sum"\ncells = "r3c2 r4c2"\nsum = 10\n' in text(page)
    page.select_option("#rule-form select", "contains")
    cell(page, "r4c2").focus()
    page.keyboard.press("ArrowDown")
    for key in ("ArrowRight", "ArrowDown", "ArrowLeft"):
        page.keyboard.press(f"Shift+{key}")
    assert field(page, "cells").input_value() == "r5c2 r5c3 r6c3 r6c2"


def test_a_clue_beside_the_grid_is_drawn_along_its_row_or_diagonal(page):
    page.click("#adding summary")
    page.select_option("#rule-form select", "x-sum")
    drag(page, "r3c9", "r3c7")
    assert (field(page, "line").input_value(), field(page, "side").input_value()) == ("r3", "right")
    cell(page, "r5c4").focus()
    page.keyboard.press("Escape")
    page.keyboard.press("Shift+ArrowDown")
    assert (field(page, "line").input_value(), field(page, "side").input_value()) == ("c4", "top")
    page.select_option("#rule-form select", "little-killer")
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


def test_an_example_opens_when_it_is_chosen_and_the_list_can_be_browsed_first(page):
    page.wait_for_selector("#examples button", state="attached")
    page.focus("#start summary")
    page.keyboard.press("Enter")
    titles = page.locator("#examples button").all_text_contents()
    assert {"Fishermen's Tales", "Every Rock Charted"} <= {*titles}
    before = text(page)
    for _ in range(5):  # past the four empty grids
        page.keyboard.press("Tab")
    chosen = page.evaluate("document.activeElement.textContent")
    assert chosen in titles
    assert text(page) == before
    page.keyboard.press("Enter")
    page.wait_for_selector(f"#sound-title:has-text('Is {chosen} sound?')")
    assert f'title = "{chosen}"' in text(page)
    assert not page.locator(".menu").is_visible()
    page.click("#start summary")
    page.keyboard.press("Escape")
    assert not page.locator(".menu").is_visible()


def test_every_kind_has_a_form(page):
    page.click("#adding summary")
    page.wait_for_selector("#rule-form select")
    kinds = page.locator("#rule-form select >> nth=0").locator("option").all_text_contents()
    assert len(kinds) > 50
    for kind in kinds:
        page.select_option("#rule-form select >> nth=0", kind)
        assert page.locator("#rule-form .field").count() >= 1


def test_a_rule_is_found_in_the_file(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    page.click("[aria-label^='Find thermometer r8c8']")
    found = page.evaluate("() => document.getSelection().toString()")
    assert found == '[[rule]]\nkind = "thermometer"\ncells = "r8c8 r7c7 r6c7 r5c8"'


def test_the_field_for_touch_is_about_the_cell_that_was_touched_last(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    for name, given in (("r2c6", "7"), ("r1c2", ""), ("r9c9", "9")):
        cell(page, name).click()
        assert page.inner_text("#at") == f"Given at {name}"
        assert page.input_value("#given") == given
    page.keyboard.press("ArrowUp")
    assert page.inner_text("#at") == "Given at r8c9"
    page.fill("#given", "4")
    page.wait_for_selector('[data-clue="r8c9"]')


def test_a_cell_tells_of_the_rules_that_lie_on_it(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    cell(page, "r2c2").click()
    told = "row 2 column 2, empty, thermometer"
    assert cell(page, "r2c2").get_attribute("aria-label") == told
    touching = page.locator("#clues .touching [data-clue]").first
    assert touching.get_attribute("data-clue") == "thermometer r2c2 r3c3 r4c3 r5c2"
    cell(page, "r1c1").click()
    assert "cage sum 16" in cell(page, "r1c1").get_attribute("aria-label")
    assert page.locator("#clues .touching").count() == 1


def test_a_given_that_breaks_it_is_ringed_with_its_conflict(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    cell(page, "r1c2").click()
    page.keyboard.press("8")
    verdict(page, "none")
    page.wait_for_selector("#because .premises")
    # The two givens share a row and a box: either is as small a reason.
    assert re.search("r1c1=8\\s+r1c2=8\\s+(row|box) 1", page.inner_text("#because"))
    assert page.locator("#clues .givens .ringed").count() == 2
    page.keyboard.press("Control+z")
    verdict(page, "unique")
    page.keyboard.press("Control+Shift+Z")
    verdict(page, "none")


def test_clues_are_switched_from_list_and_grid(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    before = text(page)
    page.click('[data-clue="r5c5"]')
    page.click('[data-clue="r5c4"]')
    verdict(page, "multiple")
    assert text(page) == before
    assert page.get_attribute('[data-clue="r5c5"]', "aria-pressed") == "false"
    cell(page, "r5c5").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector('[data-clue="r5c5"][aria-pressed="true"]')
    page.click("text=All on")
    verdict(page, "unique")


def test_a_route_is_stepped_through_and_audited(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=How it is solved")
    page.wait_for_selector(".stepper .step svg")
    assert "Step 1 of" in page.inner_text(".stepper output")
    page.click("text=Next step")
    assert "Step 2 of" in page.inner_text(".stepper output")
    page.focus(".stepper input")
    page.keyboard.press("End")
    assert re.fullmatch(r"Step (\d+) of \1.*", page.inner_text(".stepper output"))
    page.click("text=Edit and audit them")
    page.click("text=Audit these steps")
    page.wait_for_selector(".audited")
    assert "Every step follows" in page.inner_text("#finding")


def test_the_worth_of_clues_and_the_mending(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=What each clue is worth")
    page.wait_for_selector("#finding table")
    assert page.locator("#finding tbody tr").count() == 27
    write(page, "12..34..21..4...")
    verdict(page, "multiple")
    page.click("text=What to mend")
    page.click("text=Add these givens")
    verdict(page, "unique")


def test_a_slip_is_mended_in_the_file_and_taken_back(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    before = text(page)
    cell(page, "r1c1").click()
    page.keyboard.press("7")
    verdict(page, "none")
    page.click("text=What to mend")
    page.click("#finding >> text=Switch off")
    verdict(page, "unique")
    assert page.get_attribute('[data-clue="r1c1"]', "aria-pressed") == "false"
    page.click("#undo")
    verdict(page, "none")
    page.click("text=What to mend")
    page.click("[aria-label='Write it like this: r1c1 is 8, not 7']")
    verdict(page, "unique")
    assert page.inner_text("#finding") == "Done; Undo takes it back."
    assert text(page) == before


def test_a_slip_in_a_rule_is_mended_in_the_file(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    before = text(page)
    write(page, before.replace("sum = 16", "sum = 23", 1))
    verdict(page, "none")
    page.click("text=What to mend")
    page.click("[aria-label='Write it like this: the 23 cage in box 1: sum 16, not 23']")
    verdict(page, "unique")
    assert text(page) == before


def test_the_whole_assay_is_kept_as_a_page(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=The whole assay")
    page.wait_for_selector(".assay")
    assert "one solution" in page.inner_text(".assay")
    with page.expect_download() as coming:
        page.click("text=Save it as a page")
    assert "Harbour Lights" in coming.value.path().read_text(encoding="utf-8")


def test_a_certificate_downloads_and_rechecks(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    with page.expect_download() as coming:
        page.click("#questions >> text=Certificate")
    found = recheck(coming.value.path().read_bytes())
    assert found.result == "passed"
    assert coming.value.suggested_filename == "harbour-lights.certificate.zip"
    assert page.inner_text("#finding pre") == "gridassay recheck harbour-lights.certificate.zip"


def test_a_walkthrough_downloads_as_a_page_and_as_a_pdf(page):
    start(page, "example:ropewalk.toml")
    verdict(page, "unique")
    page.focus("[data-question=sheet]")
    page.keyboard.press("Enter")
    page.wait_for_selector("#finding >> text=solved in 31 steps")
    with page.expect_download() as coming:
        page.click("text=Save it as a page")
    sheet = coming.value.path().read_text(encoding="utf-8")
    assert "Ropewalk" in sheet
    assert "<script" not in sheet
    assert "http" not in sheet.replace("http://www.w3.org/", "")
    with page.expect_download() as coming:
        page.click("text=Save it as a PDF")
    assert coming.value.suggested_filename == "ropewalk.walkthrough.pdf"
    assert coming.value.path().read_bytes().startswith(b"%PDF")


@pytest.mark.slow
def test_long_work_is_cancelled(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    for _ in range(2 * MOST_AT_ONCE):
        page.click("text=How it is solved")
        page.wait_for_timeout(300)
        page.click("#cancel")
        page.wait_for_selector("#finding >> text=Cancelled")
        page.wait_for_selector("#progress", state="hidden")
    # Were the workers still at it, there would be none left for this.
    page.click("text=Its kin")
    page.wait_for_selector("#finding pre")


def test_a_link_and_a_file_bring_it_all_back(page, open_page, tmp_path):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click('[data-clue="r5c5"]')
    page.click('[data-clue="r5c4"]')
    verdict(page, "multiple")
    page.wait_for_function("() => location.hash.length > 20")
    page.wait_for_timeout(600)
    again = open_page(page.evaluate("location.hash"))
    verdict(again, "multiple")
    assert text(again) == text(page)
    with page.expect_download() as coming:
        page.click("text=Save with its switches")
    assert coming.value.suggested_filename == "harbour-lights.page.json"
    kept = tmp_path / "kept.json"
    coming.value.save_as(kept)
    assert json.loads(kept.read_text())["givens"] == ["r5c5", "r5c4"]
    third = open_page()
    third.set_input_files("#open", kept)
    verdict(third, "multiple")
    assert text(third) == text(page)


@pytest.mark.parametrize(
    ("kind", "begin"), [("SVG", b"<svg"), ("PNG", b"\x89PNG"), ("PDF", b"%PDF")]
)
def test_pictures_download(page, kind, begin):
    with page.expect_download() as coming:
        page.click(f"#file >> button:text-is('{kind}')")
    assert coming.value.path().read_bytes().startswith(begin)


def test_what_would_turn_the_page_round_is_written_out(page):
    write(page, 'title = "Tide \\u202e\\u001b[2J שפל"\nsize = 4\ngivens = "1234 3412 2143 4321"\n')
    verdict(page, "unique")
    assert page.inner_text("#sound-title") == r"Is Tide \u{202e}\u{1b}[2J שפל sound?"
    assert page.title() == r"Tide \u{202e}\u{1b}[2J שפל – gridassay"


def test_markup_shows_as_text(page):
    hostile = "<img src=x onerror=document.body.remove()><script>document.body.remove()</script>"
    write(
        page,
        f'title = "{hostile}"\nsize = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\n'
        f'sum = 99\nid = "{hostile}"\n',
    )
    verdict(page, "none")
    page.wait_for_selector("#because .premises")
    assert hostile in page.inner_text("#clues")
    assert hostile in page.inner_text("#because")
    assert page.locator("main img, main script").count() == 0


def test_sections_are_met_in_the_order_in_which_they_are_seen(page):
    seen = """() => [...document.querySelectorAll("section")].map((section) => {
      const { left, top } = section.getBoundingClientRect();
      return [section.id, Math.round(left), Math.round(top)];
    })"""
    for width, columns in ((400, 1), (1000, 2), (1600, 3)):
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_function(
            "(count) => new Set([...document.querySelectorAll('section')]"
            ".map((one) => Math.round(one.getBoundingClientRect().left))).size === count",
            arg=columns,
        )
        places = page.evaluate(seen)
        assert sorted(places, key=lambda place: place[1:]) == places, width


@pytest.mark.parametrize(
    "size",
    [
        (360, 640),
        pytest.param((768, 1024), marks=pytest.mark.slow),
        (1280, 800),
        pytest.param((1920, 1080), marks=pytest.mark.slow),
    ],
)
def test_it_fits_every_window_and_is_open_to_all(open_page, size):
    width, height = size
    page = open_page(viewport={"width": width, "height": height})
    start(page, "example:lobster-pots.toml")
    page.wait_for_selector("#clues .rules li")
    assert page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("#adding summary")
    page.select_option("#rule-form select", "exactly")
    page.click("text=Add a nested rule")
    page.click("#walkthrough summary")
    cell(page, "r1c1").click()
    page.keyboard.press("Shift+ArrowRight")
    page.click("text=What each clue is worth")
    page.wait_for_selector("#finding table")
    page.click('[data-clue="r5c5"]')
    page.wait_for_selector("#earlier", state="visible")
    page.click("#start summary")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    box = cell(page, "r9c9").bounding_box()
    assert box["width"] >= 24
    assert box["x"] + box["width"] <= width
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found = Axe().run(page).response["violations"]
        serious = [one for one in found if one["impact"] in ("serious", "critical")]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in serious] == []


def test_what_was_found_of_an_earlier_version_says_so(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=What to mend")
    page.wait_for_selector("#finding >> text=Nothing to mend")
    assert not page.locator("#earlier").is_visible()
    cell(page, "r1c2").click()
    page.keyboard.press("8")
    verdict(page, "none")
    assert "an earlier version of the puzzle" in page.inner_text("[role=status] #earlier")
    assert "earlier" in page.get_attribute("#finding", "class")
    page.click("#undo")
    assert not page.locator("#earlier").is_visible()
    page.click("#redo")
    page.click("text=Examine again")
    page.wait_for_selector("#finding >> text=One solution, if")
    assert not page.locator("#earlier").is_visible()
    # What it proposes was meant for the puzzle as it was then.
    page.click("#undo")
    assert page.locator("#finding >> text=Write it like this").first.is_disabled()
    start(page, "example:ropewalk.toml")
    page.wait_for_selector("#sound-title:has-text('Ropewalk')")
    assert page.inner_text("#finding") == ""
    assert not page.locator("#earlier").is_visible()


def test_a_clue_that_is_switched_makes_a_finding_an_earlier_one(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=Its kin")
    page.wait_for_selector("#finding pre")
    page.click('[data-clue="r5c5"]')
    page.wait_for_selector("#earlier", state="visible")
    page.click('[data-clue="r5c5"]')
    page.wait_for_selector("#earlier", state="hidden")


def wander(page, *points):
    """Drag with the mouse along points of cells: a name with shares of its width and height."""
    places = [border(page, *point) for point in points]
    page.mouse.move(*places[0])
    page.mouse.down()
    for place in places[1:]:
        page.mouse.move(*place, steps=6)
    page.mouse.up()


def test_a_sloppy_diagonal_takes_no_cell_that_it_grazes(page):
    page.click("#adding summary")
    page.select_option("#rule-form select", "renban")
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
    page.select_option("#rule-form select", "cage")
    cell(page, "r2c2").click()
    cell(page, "r2c4").click(modifiers=["Shift"])
    cell(page, "r5c5").click(modifiers=["Shift"])
    cell(page, "r2c3").click(modifiers=["Control"])
    assert field(page, "cells").input_value() == "r2c2 r2c4 r5c5"
    assert page.locator("[data-order]").count() == 3
    page.click("#adding summary")
    page.wait_for_function("() => !document.querySelector('[data-order]')")
    assert page.locator("[aria-selected=true]").count() == 0


def test_a_digit_that_the_grid_has_not_is_refused_in_words(page):
    start(page, "size:6")
    page.wait_for_function("() => document.querySelectorAll('[data-cell]').length === 36")
    cell(page, "r1c1").click()
    page.keyboard.press("7")
    assert page.inner_text("#refused") == "The digits here are 1 2 3 4 5 6: 7 is none of them."
    page.keyboard.press("6")
    page.wait_for_selector('[data-clue="r1c1"]')
    assert page.inner_text("#refused") == ""
    page.fill("#given", "68")
    assert "8 is none of them" in page.inner_text("#refused")
    assert page.input_value("#given") == "6"


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
    page.select_option("#rule-form select", "cage")
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


def inks(page, role, name):
    """The colours and dashes of what is drawn for a rule."""
    marks = page.locator(f'#picture .{role}[data-name="{name}"] [stroke]')
    return {
        (mark.get_attribute("stroke"), mark.get_attribute("stroke-dasharray"))
        for mark in marks.all()
    }


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


def test_a_finger_finds_room_and_pictures_grow(open_page):
    page = open_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.tap("#start summary")
    page.tap('[data-start="example:lobster-pots.toml"]')
    verdict(page, "unique")
    small = page.evaluate(
        """() => [...document.querySelectorAll("button, select, input, summary")]
          .filter((one) => one.checkVisibility() && !one.closest(".covered, .button"))
          .filter((one) => Math.min(one.offsetWidth, one.offsetHeight) < 24)
          .map((one) => one.outerHTML)"""
    )
    assert small == []
    page.tap("text=How it is solved")
    page.wait_for_selector(".stepper .step svg")
    page.wait_for_function(
        "() => { const { top } = document.getElementById('finding').getBoundingClientRect();"
        " return top >= 0 && top < innerHeight / 2; }"
    )
    page.tap(".stepper .picture")
    assert page.locator("dialog svg").bounding_box()["width"] > 800
    page.tap("dialog >> text=Close")
    page.wait_for_selector("dialog", state="detached")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
