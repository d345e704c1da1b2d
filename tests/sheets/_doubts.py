"""Sheets written a line at a time, and the doubts that they raise."""

from typing import Any

from tests._stage import JOB
from tests.conftest import Yard

COLUMNS = (
    "sheet",
    "worker_id",
    "date",
    "hours",
    "start",
    "finish",
    "break_minutes",
    "booking_code",
    "note",
    "rework",
)
# What a line has unless it says otherwise: 4 h of Ada's at DECK on a Monday of the job.
PLAIN = {
    "sheet": "S1",
    "worker_id": "A1",
    "date": "2026-03-02",
    "hours": "4",
    "booking_code": "DECK",
}


def line(words: str = "") -> dict[str, str]:
    """Return a line from `date=2026-03-03 note=a+b`, a + for a space; the rest as PLAIN."""
    given = dict(word.split("=", 1) for word in words.split())
    if "start" in given:
        given.setdefault("hours", "")
    return PLAIN | {name: value.replace("+", " ") for name, value in given.items()}


def sheets(stage: Yard, *lines: str, name: str = "week.csv", words: tuple[str, ...] = ()) -> str:
    """Load lines of the job as one file and return what was said."""
    rows = [",".join(line(each).get(column, "") for column in COLUMNS) for each in lines]
    path = stage.write(name, "\n".join((",".join(COLUMNS), *rows, "")))
    return stage.run(*words, "load", "sheets", "--job", JOB, path).stderr


def doubts(stage: Yard, *words: str) -> list[dict[str, Any]]:
    return list(stage.json("doubts", *words)["doubts"])


def lines_doubted(stage: Yard, kind: str) -> list[int]:
    """Return the lines of the newest entries of the doubts of a kind, in order."""
    return sorted(int(str(each["line"])) for each in doubts(stage, "--kind", kind))


def messages(stage: Yard, kind: str) -> list[object]:
    return [each["message"] for each in doubts(stage, "--kind", kind)]
