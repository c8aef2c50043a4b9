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
    page.select_option("#start", what)
    page.click("#begin")


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
    page.wait_for_selector("text=This is no puzzle yet")
    page.click("#undo")
    page.click("#undo")
    verdict(page, "unique")


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
    page.get_by_label("sum (may be left out)", exact=True).fill("6")
    page.click("text=Add this rule")
    verdict(page, "none")
    assert 'kind = "cage"\ncells = "r1c1 r1c2 r2c2"\nsum = 6\n' in text(page)
    page.wait_for_selector("#because .premises")
    assert "cage r1c1 r1c2 r2c2" in page.inner_text("#because")
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


def test_every_kind_has_a_form(page):
    page.click("#adding summary")
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


def test_a_given_that_breaks_it_is_ringed_with_its_conflict(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    cell(page, "r1c2").click()
    page.keyboard.press("8")
    verdict(page, "none")
    page.wait_for_selector("#because .premises")
    assert "row 1" in page.inner_text("#because")
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
    page.click("text=How it falls")
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


def test_the_whole_assay_is_kept_as_a_page(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=The whole assay")
    page.wait_for_selector(".assay")
    assert "One solution." in page.inner_text(".assay")
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


@pytest.mark.slow
def test_long_work_is_cancelled(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    for _ in range(2 * MOST_AT_ONCE):
        page.click("text=How it falls")
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
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    box = cell(page, "r9c9").bounding_box()
    assert box["width"] >= 24
    assert box["x"] + box["width"] <= width
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        found = Axe().run(page).response["violations"]
        serious = [one for one in found if one["impact"] in ("serious", "critical")]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in serious] == []
