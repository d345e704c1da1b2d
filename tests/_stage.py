"""The small sample's job in a book ready for sheets, and readings of what a book holds."""

import shutil
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from tests.conftest import Yard

SAMPLE = Path(__file__).parents[1] / "sample_data" / "small"
JOB = "STAGE"
# Entries, held lines, and the ms booked by place.
Content = tuple[list[str], list[str], dict[tuple[str, str, str, str], int]]
SHEET_HEAD = "worker_id,date,hours,booking_code,note\n"

# What the job needs before its sheets, in an order that the references between files allow.
YARD_FILES = (
    ("settings", "settings.toml"),
    ("job", "job.toml"),
    ("crew", "crew.csv"),
    ("rates", "rates.csv"),
)
JOB_FILES = (("estimate", "estimate.csv"), ("milestones", "milestones.csv"))


def prepare(yard: Yard) -> Yard:
    """Give the yard a book with all that the sample's job needs before its sheets."""
    return yard.copy_made_by(load_all)


def load_all(yard: Yard) -> None:
    """Load all that the sample's job needs before its sheets."""
    for thing, name in YARD_FILES:
        yard.run("load", thing, SAMPLE / name)
    for thing, name in JOB_FILES:
        yard.run("load", thing, "--job", JOB, SAMPLE / name)


def copied(book: Path, folder: Path) -> Yard:
    """Return a yard of its own with a copy of a book."""
    folder.mkdir(parents=True, exist_ok=True)
    yard = Yard(folder)
    shutil.copyfile(book, yard.book)
    return yard


def load_sheets(yard: Yard, text: str, name: str = "week.csv", *words: str) -> dict[str, int]:
    """Load a sheet file of the job and return its counts."""
    path = yard.write(name, text)
    loaded = yard.json("load", "sheets", "--job", JOB, *words, path)
    return {key: value for key, value in loaded["files"][0].items() if key not in NAMED}


NAMED = {"file", "sha256"}


def load(yard: Yard, thing: str, text: str, *, ok: bool = True) -> str:
    """Load a file of the job and return what was said."""
    path = yard.write(f"{thing}.csv", text)
    return yard.run("load", thing, "--job", JOB, path, ok=ok).stderr


def table(yard: Yard, name: str) -> list[dict[str, str]]:
    """Return the rows that count of a fact table."""
    return yard.rows(yard.run("show", name, "--format", "csv").stdout)


def held(yard: Yard) -> list[dict[str, str]]:
    """Return the held lines."""
    return yard.rows(yard.run("held", "--format", "csv").stdout)


def batches(yard: Yard) -> list[str]:
    """Return the heads of all batches."""
    return [row["head"] for row in yard.rows(yard.run("history", "--format", "csv").stdout)]


def places(rows: Iterable[dict[str, str]]) -> dict[tuple[str, str, str, str], int]:
    """Return the ms booked to each job, place, cause and rework cause; nothing where nothing is."""
    booked: Counter[tuple[str, str, str, str]] = Counter()
    for row in rows:
        booked[row["job"], row["booked_to"], row["cause"], row["rework"]] += int(row["ms"])
    return {place: ms for place, ms in booked.items() if ms}


def booked(yard: Yard) -> dict[tuple[str, str, str, str], int]:
    """Return the ms booked to each place of the book."""
    return places(table(yard, "posting"))


def places_by_entry(yard: Yard) -> dict[tuple[str, str], dict[tuple[str, str, str, str], int]]:
    """Return where the time of each entry stands, by its batch and row."""
    postings = table(yard, "posting")
    entries = {(row["entry_batch"], row["entry_row"]) for row in postings}
    return {
        entry: places(row for row in postings if (row["entry_batch"], row["entry_row"]) == entry)
        for entry in entries
    }


def times_by_entry(yard: Yard) -> dict[tuple[str, str], int]:
    """Return the ms of each entry, by its batch and row."""
    return {(row["batch"], row["row"]): int(row["ms"]) for row in table(yard, "entry")}


def sums_by_entry(yard: Yard) -> dict[tuple[str, str], int]:
    """Return the sum of the postings of each entry, by its batch and row."""
    sums: Counter[tuple[str, str]] = Counter()
    for row in table(yard, "posting"):
        sums[row["entry_batch"], row["entry_row"]] += int(row["ms"])
    return dict(sums)


WHERE_IN_THE_BOOK = {"id", "batch", "row", "line_batch", "line_row"}


def content(yard: Yard) -> Content:
    """Return entries and held lines without their place in the book, and the sums by place."""
    entries = sorted(
        str([(key, value) for key, value in row.items() if key not in WHERE_IN_THE_BOOK])
        for row in table(yard, "entry")
    )
    waiting = sorted(f"{row['reason']}: {row['raw']}" for row in held(yard))
    return entries, waiting, booked(yard)
