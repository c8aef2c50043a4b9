"""Actions of a reader on the page."""

from __future__ import annotations


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


def border(page, name, across, down):
    """A point of a cell, as shares of its width and height."""
    box = cell(page, name).bounding_box()
    return box["x"] + across * box["width"], box["y"] + down * box["height"]


def field(page, label):
    return page.get_by_label(label, exact=True)


def wander(page, *points):
    """Drag with the mouse along points of cells: a name with shares of its width and height."""
    places = [border(page, *point) for point in points]
    page.mouse.move(*places[0])
    page.mouse.down()
    for place in places[1:]:
        page.mouse.move(*place, steps=6)
    page.mouse.up()


def inks(page, role, name):
    """The colours and dashes of what is drawn for a rule."""
    marks = page.locator(f'#picture .{role}[data-name="{name}"] [stroke]')
    return {
        (mark.get_attribute("stroke"), mark.get_attribute("stroke-dasharray"))
        for mark in marks.all()
    }


def choose(page, kind, within=""):
    """Take a kind of rule from those that are offered."""
    picker = page.locator(f"#rule-form {within} .picker").first
    # The form is still unfolding: one of the two is seen when it has.
    picker.locator(".choices:visible, .picked:visible").first.wait_for()
    if not picker.locator(".choices").is_visible():
        picker.locator(".picked").click()
    picker.locator(f'[data-kind="{kind}"]').click()
