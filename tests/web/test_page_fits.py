"""The page in windows of every size, for every hand and eye, in headless Chromium."""

import pytest
from axe_playwright_python.sync_playwright import Axe

from .doing import cell, choose, start, verdict


def test_sections_are_met_in_the_order_in_which_they_are_seen(page):
    seen = """() => [...document.querySelectorAll("section > h2")].map((title) => {
      const { left, top } = title.getBoundingClientRect();
      return [title.id, Math.round(left), Math.round(top)];
    })"""
    for width, columns in ((400, 1), (1000, 2), (1650, 3)):
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_function(
            "(count) => new Set([...document.querySelectorAll('section > h2')]"
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
    choose(page, "exactly")
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
    # Contrast is the same in every window: both schemes are looked at in the smallest one.
    for scheme in ("light", "dark") if width == 360 else ("light",):
        page.emulate_media(color_scheme=scheme)
        found = Axe().run(page).response["violations"]
        serious = [one for one in found if one["impact"] in ("serious", "critical")]
        assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in serious] == []


def test_a_finger_finds_room_and_the_board_stays_in_sight(open_page):
    page = open_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.tap("#start summary")
    page.tap('[data-start="example:harbour-lights.toml"]')
    verdict(page, "unique")
    small = page.evaluate(
        """() => [...document.querySelectorAll("button, select, input, summary")]
          .filter((one) => one.checkVisibility() && !one.closest(".covered, .button"))
          .filter((one) => Math.min(one.offsetWidth, one.offsetHeight) < 24)
          .map((one) => one.outerHTML)"""
    )
    assert small == []
    page.tap("text=How it is solved")
    page.wait_for_selector(".stepper")
    # The board stays if it is; what is said of it is seen below it.
    page.wait_for_function(
        "() => { const said = document.querySelector('.stepper .said').getBoundingClientRect();"
        " const board = document.getElementById('board').getBoundingClientRect();"
        " return board.top >= 0 && said.top >= board.bottom && said.bottom <= innerHeight; }"
    )
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    # Digits by touch, in one row, for the cell that was tapped.
    page.tap("text=Back to the puzzle")
    page.tap('[data-cell="r1c2"]')
    tops = page.evaluate(
        "() => [...document.querySelectorAll('#digits button')].map((one) => one.offsetTop)"
    )
    assert len(tops) == 10
    assert len({*tops}) == 1
    page.tap("#digits >> text=3")
    page.wait_for_selector('[data-clue="r1c2"]')
