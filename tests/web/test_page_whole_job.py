"""The whole job on one page, at a desk and on a phone, in headless Chromium."""

import pytest

from gridassay.verify.proof.recheck import recheck

from .doing import cell, choose, drag, field, text, verdict

PASTE = """(text) => {
  const clipboardData = new DataTransfer();
  clipboardData.setData("text/plain", text);
  document.activeElement.dispatchEvent(
    new ClipboardEvent("paste", { clipboardData, bubbles: true, cancelable: true }));
}"""
QUAY = 'title = "Quay"\nsize = 4\ngivens = """\n1...\n...2\n..3.\n.4..\n"""\n'


def board_in_sight(page):
    """The whole board is seen, wherever the page is scrolled to."""
    box = page.locator("#board").bounding_box()
    size = page.viewport_size
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= size["height"]
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= size["width"]
    assert box["width"] >= 0.45 * min(size.values())


@pytest.mark.parametrize(
    "window",
    [
        {"viewport": {"width": 1400, "height": 900}},
        {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True},
    ],
    ids=["desk", "phone"],
)
def test_the_whole_job(open_page, window):
    page = open_page(**window)
    touch = "has_touch" in window

    # Open it, by pasting it.
    page.evaluate(PASTE, QUAY)
    verdict(page, "unique")
    assert page.inner_text("#sound-title") == "Is Quay sound?"

    # Draw a rule, found by a word of the trade; the board stays if it can be drawn on.
    page.click("#adding summary")
    choose(page, "thermometer")
    page.wait_for_timeout(50)
    board_in_sight(page)
    drag(page, "r1c1", "r1c2", "r1c3")
    assert field(page, "cells").input_value() == "r1c1 r1c2 r1c3"
    page.click("text=Add this rule")
    page.wait_for_selector("#clues .rules li")
    page.click("#adding summary")

    # Break it, and mend it.
    before = text(page)
    if touch:
        page.tap('[data-cell="r1c2"]')
        page.tap("#digits >> text=1")
    else:
        cell(page, "r1c2").click()
        page.keyboard.press("1")
    verdict(page, "none")
    page.wait_for_selector("#because .premises")
    page.click("text=What would repair it")
    page.wait_for_selector("#finding h3:has-text('What would repair it')")
    board_in_sight(page)
    page.click("#undo")
    page.wait_for_function("(text) => document.getElementById('text').value === text", arg=before)

    # What each cell can hold, across all solutions.
    page.select_option("#show", "possible")
    page.click(".rules input")
    page.wait_for_selector("#picture svg")
    page.click(".rules input")
    page.select_option("#show", "wrong")

    # Step through how it falls, on the same board.
    page.click("[data-question=route]")
    page.wait_for_selector(".stepper")
    board_in_sight(page)
    page.click("text=Next step")
    assert "step 2 of" in page.inner_text("#laid-what")
    board_in_sight(page)

    # Record it: nothing else is seen; what is seen comes first, then what follows.
    page.click("text=Record these")
    page.wait_for_selector("dialog.recording svg")
    first = page.inner_text(".saying")
    if touch:
        page.touchscreen.tap(300, 400)
    else:
        page.keyboard.press("PageDown")
    second = page.inner_text(".saying")
    assert second.startswith("So ")
    assert first != second
    screen = page.locator(".recording .screen").bounding_box()
    if not touch:
        assert abs(screen["width"] / screen["height"] - 16 / 9) < 0.01
        assert page.locator(".filmed svg").bounding_box()["height"] > 0.7 * screen["height"]
    page.keyboard.press("Escape")
    page.wait_for_selector("dialog", state="detached")

    # Audit it as one's own, and certify it.
    page.click("text=Edit and audit them")
    page.click("text=Audit these steps")
    page.wait_for_selector("#finding h3:has-text('The walkthrough')")
    assert "Every step follows" in page.inner_text("#finding")
    with page.expect_download() as coming:
        page.click("#questions >> text=Certificate")
    assert recheck(coming.value.path().read_bytes()).result == "passed"
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
