"""Contrast ratios, computed; and that every page and every look keeps to them."""

from __future__ import annotations

import pytest

from gridassay.verify.draw.colour import GRAPHIC, TEXT, contrast, luminance, mix, seen_on
from gridassay.verify.draw.style import DARK, LIGHT, OKABE_ITO, Style

PAGES = pytest.mark.parametrize("style", [LIGHT, DARK], ids=["light", "dark"])


def test_contrast_ratios_of_the_guidelines() -> None:
    # From memory of WCAG 2: black on white is 21, and #767676 the lightest grey with 4.5 on white.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")
    assert luminance("#ff0000") == pytest.approx(0.2126)


def test_mixing_runs_from_one_colour_to_the_other() -> None:
    assert mix("#000000", "#ffffff", 0) == "#000000"
    assert mix("#102030", "#ffffff", 1) == "#ffffff"
    assert mix("#000000", "#ff8000", 0.5) == "#804000"


def test_a_colour_that_is_seen_well_enough_stays_what_it_is() -> None:
    assert seen_on("#0072b2", "#ffffff", "#000000") == "#0072b2"
    darker = seen_on("#f0e442", "#ffffff", "#000000")
    assert contrast(darker, "#ffffff") >= GRAPHIC > contrast("#f0e442", "#ffffff")


@PAGES
def test_text_is_readable_on_every_ground(style: Style) -> None:
    grounds = [style.paper, style.wash, *(style.heat(share / 4) for share in range(5))]
    grounds += [style.look(number, "").tint for number in range(8)]
    for ground in grounds:
        assert contrast(style.ink, ground) >= TEXT
    for colour in (style.quiet, style.answer):
        assert contrast(colour, style.paper) >= TEXT
        assert contrast(colour, style.wash) >= TEXT


@PAGES
def test_every_look_is_seen_on_its_page(style: Style) -> None:
    for number in range(len(OKABE_ITO)):
        assert contrast(style.look(number, "").ink, style.paper) >= style.contrast >= GRAPHIC


def test_looks_differ_without_colour_too() -> None:
    looks = [LIGHT.look(number, "") for number in range(8)]
    assert len({look.dash for look in looks}) == len({look.hatch for look in looks}) == 8
    many = [LIGHT.look(number, "") for number in range(56)]
    assert len({(look.ink, look.dash) for look in many}) == 56


def test_a_colour_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="'red' is not a colour such as"):
        luminance("red")
