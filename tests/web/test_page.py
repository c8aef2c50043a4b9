"""The page from end to end, in headless Chromium: givens, files, clues, the verdict."""

import json
import re

import pytest

from .doing import cell, start, text, verdict, write

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
        page.click("text=Save the puzzle and which clues are off")
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


def test_a_digit_that_the_grid_has_not_is_refused_in_words(page):
    start(page, "size:6")
    page.wait_for_function("() => document.querySelectorAll('[data-cell]').length === 36")
    cell(page, "r1c1").click()
    page.keyboard.press("7")
    assert page.inner_text("#refused") == "The digits here are 1 2 3 4 5 6; 7 is not one of them."
    page.keyboard.press("6")
    page.wait_for_selector('[data-clue="r1c1"]')
    assert page.inner_text("#refused") == ""
    page.fill("#given", "68")
    assert "8 is not one of them" in page.inner_text("#refused")
    assert page.input_value("#given") == "6"
