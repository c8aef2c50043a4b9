"""The audit of a talk as pages to print: every claim is on them, and none is torn in two."""

from __future__ import annotations

from pathlib import Path

from gridassay.verify import read_file
from gridassay.verify.draw.marks import Text
from gridassay.verify.listening.talk import audit_talk
from gridassay.verify.listening.talk_sheet import talk_pages, write_talk_sheet

LIGHTS = read_file(Path(__file__).parents[3] / "examples" / "harbour-lights.toml")
SAID = "6 in box 2: only r1c6\nr3c5=9\nr7c5=7\nr7c5<>1 & \n"


def test_every_claim_is_printed_with_its_result_and_long_talks_take_several_pages() -> None:
    found = audit_talk(LIGHTS, "r1c6=6\n" * 70, form="notes")
    pages = talk_pages(found)
    assert len(pages) > 1
    words = [mark for page in pages for mark in page.marks if isinstance(mark, Text)]
    assert [mark.text for mark in words if mark.role == "where"] == [
        f"line {number}" for number in range(1, 71)
    ]
    assert all(mark.y < 297 - 8 + 0.1 for mark in words)


def test_a_sheet_is_html_or_pdf_and_marks_a_wrong_claim_by_more_than_colour(tmp_path: Path) -> None:
    found = audit_talk(LIGHTS, SAID, form="notes")
    assert "wrong" in {step.result for step in found.steps}
    write_talk_sheet(found, tmp_path / "out.html")
    page = (tmp_path / "out.html").read_text("utf-8")
    assert "! wrong" in page
    assert "r7c5 is 6 in the solution" in page
    write_talk_sheet(found, tmp_path / "out.pdf")
    assert (tmp_path / "out.pdf").read_bytes().startswith(b"%PDF")
