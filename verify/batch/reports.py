"""The results of a batch in other formats: a table (CSV), and JUnit XML for continuous integration."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element, ElementTree, SubElement

from gridassay.verify.safe_text import cell, printable
from gridassay.verify.saving import saving

_COLUMNS = (
    "source", "title", "verdict", "expect", "met", "wanted", "solution", "engine", "seconds", "error",
)  # fmt: skip


def read_results(path: Path) -> Iterator[dict[str, Any]]:
    """The results in a file that a batch wrote, one after another."""
    with path.open(encoding="utf-8") as file:
        for line in file:
            yield json.loads(line)


def write_csv(results: Path, out: Path) -> None:
    """A table of the results, one row for each."""
    with saving(out) as part, part.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, _COLUMNS, extrasaction="ignore", restval="")
        table.writeheader()
        for result in read_results(results):
            found = result.get("solutions", [])
            row = result | {"solution": found[0] if len(found) == 1 else ""}
            table.writerow({name: cell(value) for name, value in row.items()})


def write_junit(results: Path, out: Path) -> None:
    """The results as JUnit XML: one test case per puzzle, with its file and line.

    A puzzle that is not as it should be is a failure, bad input is an error, and undecided is a
    failure that says so.
    """
    suite = Element("testsuite", name="gridassay")
    failures = errors = tests = 0
    for result in read_results(results):
        tests += 1
        file, _, line = result["source"].rpartition(":")
        if not line.isdigit():
            file, line = result["source"], ""
        case = SubElement(
            suite,
            "testcase",
            classname="gridassay",
            name=printable(result["source"]),
            file=printable(file),
        )
        if line:
            case.set("line", line)
        case.set("time", str(result.get("seconds", 0)))
        if "error" in result:
            errors += 1
            SubElement(case, "error", message=printable(result["error"]))
        elif not result["met"]:
            failures += 1
            expected = result.get("expect", "unique")
            said = f"{result['verdict']}, and {expected} is expected"
            SubElement(case, "failure", message=said)
    suite.set("tests", str(tests))
    suite.set("failures", str(failures))
    suite.set("errors", str(errors))
    with saving(out) as part:
        ElementTree(suite).write(part, encoding="utf-8", xml_declaration=True)
