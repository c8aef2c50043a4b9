"""Layers set on the board of the page: by mouse, by keyboard and by touch, in headless Chromium."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe

from .doing import border, cell, drag, start, text, verdict, wander, write

ALL_FOUR = """digits = "none"
size = 4

[[layer]]
name = "water"
kind = "shading"
values = ["deep", "shallow"]

[[layer]]
name = "cruise"
kind = "loop"
givens = [
  "r4c2-r4c1", # in the harbour
  "not r1c1-r1c2",
]

[[layer]]
name = "parishes"
kind = "regions"
sizes = "free"

[[layer]]
name = "fence"
kind = "border-loop"
"""


@pytest.fixture
def four(page):
    write(page, ALL_FOUR)
    page.wait_for_selector("#painting:not([hidden])")
    return page


def becomes(page, piece, gone=False):
    """Wait until the text has a piece, or has it no longer."""
    page.wait_for_function(
        "([piece, gone]) => document.getElementById('text').value.includes(piece) !== gone",
        arg=[piece, gone],
    )


def test_a_shading_is_painted_and_a_stroke_is_one_step_back(page):
    start(page, "example:two-waters.toml")
    verdict(page, "unique")
    before = text(page)
    drag(page, "r2c1", "r3c1", "r3c2")
    becomes(page, "s.....\nd..s..\ndds.s.\n")
    verdict(page, "none")
    page.wait_for_selector("#clues [data-clue='water r3c2']")
    # What cannot all hold is switched off one by one, givens of layers too.
    given = page.locator("#because button", has_text=re.compile(r"r\dc\d=(deep|shallow)")).first
    met = re.search(r"r\dc\d", given.inner_text())
    assert met
    given.click()
    page.wait_for_selector(f"#clues [data-clue='water {met[0]}'][aria-pressed=false]")
    page.click("#undo")
    page.click("#undo")
    page.wait_for_function("(text) => document.getElementById('text').value === text", arg=before)
    verdict(page, "unique")
    # The same value again opens a cell.
    page.click("#paint-with >> text=shallow")
    cell(page, "r1c1").click()
    becomes(page, '"""\n......\n...s..\n')


def test_lines_sides_and_regions_are_drawn_and_the_file_keeps_its_hand(four):
    page = four
    page.select_option("#paint-what", label="cruise")
    drag(page, "r2c2", "r2c3", "r3c3")
    becomes(page, '"not r1c1-r1c2", "r2c2-r2c3", "r2c3-r3c3",\n]')
    assert '"r4c2-r4c1", # in the harbour' in text(page)
    # A click at the border of two cells means these two; again, and it is open.
    page.click("#paint-with >> text=not on the line")
    page.mouse.click(*border(page, "r1c1", 0.95, 0.5))
    becomes(page, '"not r1c1-r1c2"', gone=True)
    page.mouse.click(*border(page, "r3c3", 0.5, 0.95))
    becomes(page, '"not r3c3-r4c3"')

    page.select_option("#paint-what", label="parishes")
    drag(page, "r1c1", "r1c2", "r1c3")
    becomes(page, 'givens = ["r1c1=r1c2", "r1c2=r1c3"]')
    page.click("#paint-with >> text=two regions")
    page.mouse.click(*border(page, "r1c2", 0.95, 0.5))
    becomes(page, 'givens = ["r1c1=r1c2", "r1c2|r1c3"]')

    page.select_option("#paint-what", label="fence")
    wander(page, ("r1c1", 0.02, 0.02), ("r1c1", 1, 0.02), ("r1c1", 1, 1))
    becomes(page, 'givens = ["r1c1|top", "r1c1|r1c2"]')
    verdict(page, "multiple")
    page.wait_for_selector("#clues [data-clue='fence r1c1|top']")
    # Turned off on the page, kept in the file.
    page.click("#clues [data-clue='fence r1c1|top']")
    page.wait_for_selector("#verdict .without:has-text('fence r1c1|top')")
    assert '"r1c1|top"' in text(page)


def test_a_stroke_on_a_board_that_the_text_has_left_sets_nothing(four):
    page = four
    other = (
        'digits = "none"\nsize = 4\nboxes = 1\n'
        '[[layer]]\nname = "parishes"\nkind = "regions"\nsizes = 4\n'
    )
    write(page, other)
    page.wait_for_selector("body.faulty")
    page.select_option("#paint-what", label="cruise")
    drag(page, "r2c2", "r2c3")
    page.wait_for_function(
        "() => document.getElementById('fault').textContent.includes('own table')"
    )
    assert text(page) == other


def test_on_a_phone_an_answer_begins_below_the_board(open_page):
    page = open_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    write(
        page,
        'digits = "none"\nsize = 4\n[[layer]]\nname = "cruise"\nkind = "loop"\n[[rule]]\nkind = "turns"\n'
        'layer = "cruise"\ncells = "r1c1 r4c4"\n',
    )
    verdict(page, "multiple")
    page.tap("text=What would repair it")
    page.wait_for_selector("text=Add these givens")
    page.wait_for_function(
        "() => document.getElementById('finding').getBoundingClientRect().top"
        " >= document.getElementById('frame').getBoundingClientRect().bottom"
    )


def test_layers_by_keyboard_alone(four):
    page = four
    cell(page, "r2c2").focus()
    page.keyboard.press("s")
    becomes(page, '"""\n....\n.s..\n')
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Shift+ArrowDown")
    becomes(page, '"""\n....\n.ss.\n..s.\n')
    page.keyboard.press("Delete")
    becomes(page, '"""\n....\n.ss.\n....\n')
    assert page.inner_text("#painted") == "water r3c3 open"
    page.keyboard.press("L")
    assert page.inner_text("#painted") == "Now setting: cruise"
    page.keyboard.press("-")
    page.keyboard.press("Shift+ArrowUp")
    becomes(page, '"not r2c3-r3c3"')
    page.keyboard.press("L")
    page.keyboard.press("|")
    page.keyboard.press("Shift+ArrowLeft")
    becomes(page, 'givens = ["r2c2|r2c3"]')
    page.keyboard.press("L")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Shift+ArrowUp")
    becomes(page, 'givens = ["r1c2|top"]')
    page.wait_for_function(
        "() => document.activeElement.getAttribute('aria-label').includes('fence r1c2|top')"
    )


def test_a_mend_of_a_layer_is_written_into_it(page):
    start(page, "example:two-waters.toml")
    verdict(page, "unique")
    lines = text(page).count("\n")
    page.click("#paint-with >> text=open")
    cell(page, "r6c6").click()
    verdict(page, "multiple")
    page.click("text=What would repair it")
    page.click("text=Add these givens")
    verdict(page, "unique")
    assert text(page).count("\n") == lines


def test_rules_are_still_drawn_where_layers_are_set(page):
    start(page, "example:sheep-fence.toml")
    page.wait_for_selector("#painting:not([hidden])")
    page.click("#adding summary")
    page.wait_for_selector("#board.choosing:not(.painting)")
    drag(page, "r1c1", "r1c2")
    assert page.locator("[aria-selected=true]").count() == 2
    page.click("#adding summary")
    page.wait_for_selector("#board.painting")
    assert page.locator("[aria-selected=true]").count() == 0


def test_layers_by_touch_in_both_schemes(open_page):
    page = open_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.tap("#start summary")
    page.tap('[data-start="example:mail-boat.toml"]')
    verdict(page, "unique")
    assert page.is_visible("#digits")
    page.select_option("#paint-what", label="cruise")
    assert not page.is_visible("#digits")
    page.tap("#paint-with >> text=not on the line")
    page.touchscreen.tap(*border(page, "r2c2", 0.95, 0.5))
    becomes(page, '"not r2c2-r2c3"')
    assert page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")
    page.tap("#start summary")
    page.tap('[data-start="example:two-waters.toml"]')
    page.wait_for_selector("#paint-with >> text=deep")
    page.tap('[data-cell="r1c2"]')
    becomes(page, "sd....")
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found = Axe().run(page).response["violations"]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found] == []
