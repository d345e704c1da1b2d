"""The appendix of a claim: the hours behind its daywork, without who worked them."""

from datetime import date, timedelta
from pathlib import Path
from time import process_time

import pytest

from ledger.reports.evidence.daywork_backup import BackupLine, BackupSum, DayworkBackup
from ledger.reports.identity import StampShown, Yard
from ledger.reports.rendering import render
from tests.billing.test_claimed_hours import daywork_claimed
from tests.conftest import Yard as Book
from tests.reports._yard_pages import conforms
from tests.reports.test_documents_apart import FIRST_INSTANT

HOUR = 3_600_000
MANY, FEW = 2_000, 80


def written(yard: Book, ending: str, *, claim: str = "1", ok: bool = True) -> Path:
    out = yard.folder / f"backup.{ending}"
    yard.run("report", "daywork", "--job", "CLAIM", "--claim", claim, "--out", out, ok=ok)
    return out


@pytest.mark.slow
def test_each_line_behind_a_claim_is_listed_without_its_worker(yard: Book) -> None:
    """Date, change, the worker's number on the sheet, trade, hours and sheet: what was claimed."""
    yard.copy_made_by(daywork_claimed)
    found = written(yard, "csv").read_text(encoding="utf-8")

    assert found == (
        "date,change,worker,trade,hours,daywork_sheet\n"
        "2026-02-02,D1,1,craft,8.0000,S1\n"
        "2026-02-03,D1,1,craft,6.5000,S1\n"
    )


@pytest.mark.slow
def test_the_appendix_names_nobody_and_adds_up(yard: Book) -> None:
    """No name, no worker's id and no note is in it; the hours of the change are those claimed."""
    yard.copy_made_by(daywork_claimed)
    page = written(yard, "html").read_text(encoding="utf-8")
    data = written(yard, "json").read_text(encoding="utf-8")

    assert "14.50 h in 2 lines" in page
    assert "D1 · daywork sheet S1 · 14.50 h" in page
    assert [word for word in ("Ann", "A1", "worker_id") if word in data] == []


def test_the_appendix_is_in_the_language_of_the_owner(yard: Book) -> None:
    """Its words, its numbers and the days in its head are those of the owner's other pages."""
    yard.copy_made_by(daywork_claimed)
    yard.run("load", "settings", yard.write("de.toml", '[yard]\nlocale = "de"\n'))
    page = written(yard, "html").read_text(encoding="utf-8").replace("\N{NO-BREAK SPACE}", " ")

    assert '<html lang="de">' in page
    assert "Stundenlohnarbeiten zur Abschlagsforderung 1" in page
    assert page.count("Arbeiten bis 13. März 2026") == 2
    assert "14,50 h in 2 Zeilen" in page
    assert "2026-03-13" not in page.partition("<body>")[2].partition("fairhours")[0]


@pytest.mark.slow
def test_the_appendix_can_be_read_by_a_screen_reader() -> None:
    """Its lines are set text; the file keeps to PDF/UA-1."""
    assert conforms(render(backup(120, 3), "pdf", recorded_at=FIRST_INSTANT)) == []


@pytest.mark.slow
def test_a_claim_that_is_unknown_is_named(yard: Book) -> None:
    """The claims there are stand in the message."""
    yard.copy_made_by(daywork_claimed)
    words = ("report", "daywork", "--job", "CLAIM", "--claim", "7", "--out", "x.csv")
    said = yard.run(*words, ok=False).stderr

    assert said.startswith('job CLAIM: unknown claim "7"; use CLAIM-C-001')


def backup(lines: int, changes: int) -> DayworkBackup:
    """Return an appendix of so many lines over so many changes."""
    first, each = date(2026, 3, 13), lines // changes
    made = [
        BackupLine(first + timedelta(n // 40), f"C{n % changes:03}", n % 40, "craft", HOUR, "")
        for n in range(lines)
    ]
    return DayworkBackup(
        *(
            Yard("Yard", ()),
            "J",
            "Hall",
            "Owner",
            1,
            "J-C-1",
            first,
            StampShown(1, "ab"),
            "",
            False,
        ),
        sums=tuple(BackupSum(f"C{n:03}", "Title", each * HOUR, each) for n in range(changes)),
        lines=tuple(sorted(made, key=lambda line: line.change)),
    )


def time_a_line(lines: int, changes: int) -> float:
    view = backup(lines, changes)
    start = process_time()
    render(view, "pdf", recorded_at=FIRST_INSTANT)
    return (process_time() - start) / lines


@pytest.mark.slow
def test_many_lines_are_set_in_little_time() -> None:
    """A line costs a small part of what a change does, which has a row in a table and a title.

    Measured on 27 Nov 2026 beside other work: 20,000 lines 19.6 s of processor time and 282 MB,
    0.98 ms a line; as rows of a table they took 47 s and 991 MB.
    """
    assert time_a_line(MANY, 1) < time_a_line(FEW, FEW) / 2
