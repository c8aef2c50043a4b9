"""Where a presenter and a setter on a phone got stuck: letters, kin on the board, rules by thumb."""

from .doing import choose, start, verdict
from .test_page_whole_job import PASTE


def corners(page):
    page.evaluate(PASTE, 'size = 4\ngivens = """1..2 .... .... 3..4"""\n')
    page.wait_for_selector("#verdict.multiple, #verdict.unique, #verdict.none")
    page.wait_for_function("document.getElementById('text').value.includes('3..4')")
    page.wait_for_selector('[data-cell="r4c4"][aria-label*="given 4"]')


def test_letters_press_buttons_from_anywhere_but_a_field_and_can_be_kept_to_the_board(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.locator("#undo").focus()
    page.keyboard.press("h")
    page.wait_for_selector(".stepper")
    # With nothing in focus, the arrows still step.
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("ArrowRight")
    page.wait_for_selector("#laid-what:has-text('step 2 of')")
    page.click("#help summary")
    page.uncheck("#letters")
    page.locator("#undo").focus()
    page.keyboard.press("m")
    page.focus("#text")
    page.keyboard.press("End")
    page.wait_for_timeout(100)
    assert page.locator(".stepper").is_visible(), "no letter asked for anything else"


def test_kin_draws_what_the_places_of_the_clues_keep(page):
    corners(page)
    page.select_option("#budget", "60")
    page.click("[data-question=kin]")
    page.wait_for_selector("#finding h3:has-text('Its kin')")
    assert "half turn" in page.inner_text("#finding")
    assert page.locator("#picture .axes line").count() == 4
    assert page.locator("#picture .axes circle").count() == 2
    page.click("#lift")
    assert page.locator("#picture .axes").count() == 0


def test_steps_to_audit_are_seen_from_the_first(page):
    start(page, "example:harbour-lights.toml")
    verdict(page, "unique")
    page.click("[data-question=route]")
    page.wait_for_selector(".stepper")
    page.click("text=Edit and audit them")
    assert page.evaluate("document.getElementById('steps').scrollTop") == 0
    assert page.evaluate("document.getElementById('steps').selectionStart") == 0


def test_a_thumb_finds_a_rule_and_the_button_that_adds_it(open_page):
    page = open_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    tops = {
        round(page.locator(f"header .bar > {one}").bounding_box()["y"])
        for one in ("#start", "#undo", "#redo", "#record")
    }
    assert len(tops) == 1, "the header is one row"
    page.tap("#adding summary")
    page.locator(".picker input").tap()
    page.keyboard.type("thermo")
    found = page.locator('[data-kind="thermometer"]').bounding_box()
    assert found["y"] + found["height"] < 844 / 2, "it is seen above a phone's keyboard"
    choose(page, "thermometer")
    page.wait_for_timeout(200)
    button = page.locator("#rule-form [type=submit]").bounding_box()
    assert button["y"] + button["height"] <= 844
    page.click("text=Rule text and name")
    assert page.get_by_label("optional", exact=True).is_visible()
