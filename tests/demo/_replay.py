"""Load the demo yard's files in the order in which they came to the yard."""

import csv
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

NEW = ("--recorded-at", "2026-01-05T09:00:00+00:00", "new", "--rehearsal")
SAMPLE = Path(__file__).resolve().parents[2] / "sample_data"


def commands(upto: date | None = None) -> Iterator[list[str]]:
    """Yield the words of each command of schedule.csv, up to and with a day.

    Each has its own instant: the day's, from five in the afternoon, a minute after the one before.
    """
    minutes: dict[str, int] = {}
    with (SAMPLE / "schedule.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if upto and date.fromisoformat(row["on"]) > upto:
                return
            minute = minutes[row["on"]] = minutes.get(row["on"], -1) + 1
            instant = f"{row['on']}T17:{minute:02d}:00+00:00"
            path = [str(SAMPLE / row["file"])] if row["file"] else []
            yield ["--recorded-at", instant, *row["command"].split(), *path]


def replay(run: Callable[..., object], upto: date | None = None) -> None:
    """Make the book, then run every command of the schedule up to and with a day."""
    run(*NEW)
    for words in commands(upto):
        run(*words)
