"""The hours behind the daywork of a claim as CSV: hours of 4 places, dates as in ISO 8601."""

import csv
import io

from ledger.domain.allocation import hours_of
from ledger.domain.spreadsheets import MARK, begins_formula
from ledger.reports.evidence.daywork_backup import BackupLine, DayworkBackup

HEAD = ("date", "change", "worker", "trade", "hours", "daywork_sheet")


def backup_csv(view: DayworkBackup) -> bytes:
    """Return the lines as CSV in UTF-8."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEAD)
    writer.writerows(map(_row, view.lines))
    return out.getvalue().encode("utf-8")


def _row(line: BackupLine) -> tuple[object, ...]:
    change, trade, sheet = map(_plain, (line.change, line.trade, line.daywork_sheet))
    return line.day, change, line.worker, trade, hours_of(line.ms, 4), sheet


def _plain(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula."""
    return f"{MARK}{text}" if begins_formula(text) else text
