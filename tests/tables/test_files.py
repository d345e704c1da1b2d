"""The files of tests/tables/files: dialects, shapes and faults, with results worked out by hand."""

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from tests._stage import JOB, batches, held, table
from tests.conftest import Yard, slow_beyond

FILES = Path(__file__).parent / "files"
CASES = tomllib.loads((FILES / "expected.toml").read_text(encoding="utf-8"))["case"]
MINUTE = 60_000


def name(case: dict[str, Any]) -> str:
    return f"{case['file']} by {case['layout']}" if "layout" in case else case["file"]


def words(case: dict[str, Any]) -> list[object]:
    """Return the command that loads a case's file."""
    given = case.get("layout")
    layout = FILES / given if given and given.endswith(".toml") else given
    return [
        "load",
        "sheets",
        "--job",
        JOB,
        *(["--layout", layout] if given else []),
        FILES / case["file"],
    ]


def entries(yard: Yard) -> list[str]:
    found = []
    for row in table(yard, "entry"):
        minutes = int(row["ms"]) // MINUTE
        hours = f"{minutes // 60}:{minutes % 60:02}"
        found.append(f"{row['worker_id']} {row['day']} {hours} {row['booking_code']}")
    return sorted(found)


def places_held(yard: Yard) -> list[str]:
    """Return where each held line stands, by line or by tab and cell, with its reason."""
    return sorted(f"{place(row)} {row['reason']}" for row in held(yard))


def place(row: dict[str, str]) -> str:
    raw = json.loads(row["raw"])
    tab, cell = raw.get("tab"), raw.get("cell")
    if "cells" not in raw or (tab is None and cell is None):
        return row["line"]
    if cell is None:
        return f"{tab} row {row['line']}"
    return cell if tab is None else f"{tab}!{cell}"


def test_there_is_a_file_for_every_dialect_shape_and_fault() -> None:
    """There are more than forty files, and each is read in a case that says what it is about."""
    there = {
        path.name for path in FILES.iterdir() if path.suffix in {".csv", ".txt", ".xlsx", ".ods"}
    }

    assert {case["file"] for case in CASES} == there
    assert len(there) > 40
    assert [name(case) for case in CASES if not case.get("note")] == []


READ = [case for case in CASES if "refused" not in case]


@pytest.mark.parametrize("case", slow_beyond(14, READ), ids=name)
def test_a_file_is_read_as_worked_out(stage: Yard, case: dict[str, Any]) -> None:
    """Entries, held lines, notes and rows left out are those worked out by hand."""
    outcome = stage.run(*words(case), "--format", "json")
    counts = json.loads(outcome.stdout)["files"][0]
    booked, waiting = case.get("entries", []), case.get("held", [])

    assert entries(stage) == sorted(booked)
    assert places_held(stage) == sorted(waiting)
    assert counts["lines_read"] == len(booked) + len(waiting)
    assert (counts["booked"], counts["held"]) == (len(booked), len(waiting))
    assert counts["left_out"] == case["left_out"]
    assert sorted(row["note"] for row in table(stage, "entry") if row["note"]) == sorted(
        case.get("notes", [])
    )
    assert case.get("said", "") in outcome.stderr


@pytest.mark.parametrize("case", [case for case in CASES if "refused" in case], ids=name)
def test_a_file_is_refused_as_worked_out(stage: Yard, case: dict[str, str]) -> None:
    """A file that cannot be read gives the one message, and adds no batch."""
    before = batches(stage)
    said = stage.run(*words(case), ok=False).stderr

    assert said == f"{case['refused']}\n"
    assert batches(stage) == before


@pytest.mark.parametrize(
    "case", slow_beyond(3, (case for case in CASES if case.get("entries"))), ids=name
)
def test_a_file_loaded_twice_adds_nothing(stage: Yard, case: dict[str, Any]) -> None:
    """What was booked or held is so already, line by line, and the book still holds."""
    first = stage.json(*words(case))["files"][0]
    again = stage.json(*words(case))["files"][0]

    assert (again["booked"], again["held"]) == (0, 0)
    assert (again["already_booked"], again["already_held"]) == (first["booked"], first["held"])
    assert stage.run("check").exit_code == 0
