"""Questions on the page, and their effect on the board, in headless Chromium."""

import re

import pytest

from gridassay.verify.proof.recheck import recheck
from gridassay.verify.web.workers import MOST_AT_ONCE

from ..hard import LONG_HAUL
from .doing import cell, start, text, verdict, write


def test_a_route_is_stepped_through_and_audited(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=How it is solved")
    page.wait_for_selector(".stepper")
    assert "Step 1 of" in page.inner_text(".stepper output")
    page.click("text=Next step")
    assert "Step 2 of" in page.inner_text(".stepper output")
    # The arrow keys step from where one is, and the board goes along.
    first = page.inner_html("#picture")
    page.keyboard.press("ArrowRight")
    assert "Step 3 of" in page.inner_text(".stepper output")
    assert page.inner_html("#picture") != first
    assert "step 3 of" in page.inner_text("#laid-what")
    page.keyboard.press("End")
    assert re.fullmatch(r"Step (\d+) of \1.*", page.inner_text(".stepper output"))
    page.click("text=Edit and audit them")
    page.click("text=Audit these steps")
    page.wait_for_selector("#finding h3:has-text('The walkthrough')")
    assert "Every step follows" in page.inner_text("#finding")
    page.click(".told button >> nth=4")
    assert "step 5 of" in page.inner_text("#laid-what")
    # Back to the puzzle as it is, by one key.
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")
    page.wait_for_selector("#laid", state="hidden")


def test_the_worth_of_clues_and_the_mending(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=What each clue is worth")
    page.wait_for_selector("#finding table")
    assert page.locator("#finding tbody tr").count() == 27
    write(page, "12..34..21..4...")
    verdict(page, "multiple")
    page.click("text=What would repair it")
    page.click("text=Add these givens")
    verdict(page, "unique")


def test_a_slip_is_mended_in_the_file_and_taken_back(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    before = text(page)
    cell(page, "r1c1").click()
    page.keyboard.press("7")
    verdict(page, "none")
    page.click("text=What would repair it")
    page.click("#finding >> text=Switch off")
    verdict(page, "unique")
    assert page.get_attribute('[data-clue="r1c1"]', "aria-pressed") == "false"
    page.click("#undo")
    verdict(page, "none")
    page.click("text=What would repair it")
    page.click("[aria-label='Correct it: r1c1 should be 8, not 7']")
    verdict(page, "unique")
    assert page.inner_text("#finding") == "Done. Press Undo to reverse it."
    assert text(page) == before


def test_a_mark_that_may_be_missing_is_added_to_the_file(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    dot = 'kind = "consecutive-pair"\ncells = "r1c1 r1c2"\n'
    write(page, f'size = 4\ngivens = """\n....\n3...\n2...\n...1\n"""\n\n[[rule]]\n{dot}')
    verdict(page, "multiple")
    before = text(page)
    page.click("text=What would repair it")
    page.click("[aria-label='Add it: add a white dot between r1c2 and r1c3']")
    verdict(page, "unique")
    assert text(page).startswith(before.rstrip())
    assert text(page).count("[[rule]]") == 2
    page.click("#undo")
    verdict(page, "multiple")


def test_a_slip_in_a_rule_is_mended_in_the_file(page):
    start(page, "example:lobster-pots.toml")
    verdict(page, "unique")
    before = text(page)
    write(page, before.replace("sum = 16", "sum = 23", 1))
    verdict(page, "none")
    page.click("text=What would repair it")
    page.click("[aria-label='Correct it: the sum of the 23 cage in box 1 should be 16, not 23']")
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
    write(page, LONG_HAUL.read_text(encoding="utf-8"))
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


def test_what_was_found_of_an_earlier_version_says_so(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("text=What would repair it")
    page.wait_for_selector("#finding >> text=Nothing to repair")
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
    page.wait_for_selector("#finding >> text=Possible slip:")
    assert not page.locator("#earlier").is_visible()
    # What it proposes was meant for the puzzle as it was then.
    page.click("#undo")
    assert page.locator("#finding >> text=Correct it").first.is_disabled()
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
