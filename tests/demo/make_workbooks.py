"""Write two weeks of the demo yard as a workbook: `python -m tests.demo.make_workbooks`.

A tab a week; hours are numbers and days are dates wherever the foreman wrote ones.
"""

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

from openpyxl import Workbook

from tests.demo._replay import SAMPLE
from tests.demo._sheets import HEAD, rows_of_week

WEEKS = (19, 20)  # Of the yard's 42; the faults of May are among them.
PATH = SAMPLE / "workbooks" / "two-weeks-of-may.xlsx"
NUMBER = re.compile(r"[0-9]{1,2}(\.[0-9]{1,4})?")
NUMBERS = {"hours", "break_minutes", "worker_id"}

Value = str | Decimal | date | None


def value_of(head: str, text: str) -> Value:
    """Return what the foreman's spreadsheet holds for a text."""
    if head in NUMBERS and NUMBER.fullmatch(text):
        return Decimal(text)
    try:
        return date.fromisoformat(text) if head == "date" else text or None
    except ValueError:
        return text


def tables() -> dict[str, list[list[Value]]]:
    """Return the rows of each tab below its head."""
    return {
        f"week {week}": [[value_of(head, row[head]) for head in HEAD] for row in rows_of_week(week)]
        for week in WEEKS
    }


def main(path: Path = PATH) -> None:
    book = Workbook()
    book.remove(book.worksheets[0])
    for name, rows in tables().items():
        sheet = book.create_sheet(name)
        sheet.append(list(HEAD))
        for row in rows:
            sheet.append(row)
    path.parent.mkdir(exist_ok=True)
    book.save(path)


if __name__ == "__main__":
    main()
