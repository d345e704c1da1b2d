"""The demo: the small sample job loaded step by step, and the owner's report made of it."""

from collections.abc import Callable, Iterator
from importlib.resources import as_file
from pathlib import Path
from typing import Any

from ledger.errors import Refused

JOB = "STAGE"
SHEETS = ("sheets-week-10.csv", "sheets-week-11.csv", "sheets-week-12.csv")


def demonstrate(folder: Path, say: Callable[[str], None]) -> Iterator[str]:
    """Build the demo's book and pages in a new folder and yield what to tell the user.

    Raises: Refused when the folder has files already.
    """
    folder.mkdir(parents=True, exist_ok=True)
    if any(folder.iterdir()):
        raise Refused(f"{folder}: is not empty; name a new folder: fairhours demo DIR")
    from ledger.resources import root

    with as_file(root("sample_data")) as samples:
        _build(folder / "book.duckdb", samples / "small", say)
    return _tell(folder)


def _build(path: Path, inputs: Path, say: Callable[[str], None]) -> None:
    from ledger.store.batches import Writing, batch, new_book
    from ledger.store.book import open_book
    from ledger.store.locking import Holder

    new_book(path, Writing("demo", "new"), rehearsal=True)
    with open_book(path, writer=Holder("demo", "demo")) as book:
        for what, work in _steps(inputs):
            with batch(book, Writing("demo", what)) as open_batch:
                work(book, open_batch)
            say(f"  {what}")


Work = Callable[[Any, Any], Any]


def _steps(inputs: Path) -> Iterator[tuple[str, Work]]:
    from datetime import date

    from ledger.changes.freeze import freeze
    from ledger.intake import change_files, job_files, sheets, toml_files, yard_files
    from ledger.intake.files import record_file
    from ledger.tagging.placing import look_again

    def loading(loader: Any, name: str, *rest: object) -> Work:
        def work(book: Any, open_batch: Any) -> None:
            loader(book, open_batch, inputs / name, *rest)
            record_file(open_batch, inputs / name, name.partition(".")[0])
            look_again(book, open_batch)

        return work

    def weeks(book: Any, open_batch: Any) -> None:
        load = sheets.SheetLoad([inputs / name for name in SHEETS], JOB)
        sheets.load_sheets(book, open_batch, load)
        look_again(book, open_batch)

    yield "load settings", loading(toml_files.load_settings, "settings.toml")
    yield "load job", loading(toml_files.load_job, "job.toml")
    yield "load crew", loading(yard_files.load_crew, "crew.csv")
    yield "load rates", loading(yard_files.load_rates, "rates.csv")
    for what, loader in (
        ("charge-rates", yard_files.load_charge_rates),
        ("estimate", job_files.load_estimate),
        ("milestones", job_files.load_milestones),
    ):
        yield f"load {what}", loading(loader, f"{what}.csv", JOB)
    yield "freeze", lambda book, open_batch: freeze(book, open_batch, JOB, date(2026, 2, 27))
    for what, loader in (
        ("changes", change_files.load_changes),
        ("change-lines", change_files.load_change_lines),
        ("change-events", change_files.load_change_events),
    ):
        yield f"load {what}", loading(loader, f"{what}.csv", JOB)
    yield "load rules", loading(yard_files.load_rules, "rules.csv")
    yield "load progress", loading(job_files.load_progress, "progress.csv", JOB)
    yield "load sheets", weeks


def _tell(folder: Path) -> Iterator[str]:
    from datetime import date

    from ledger.cli.output import number
    from ledger.performance.report import UNIT, Asked, performance
    from ledger.reports.owner_build import build
    from ledger.reports.rendering import write
    from ledger.store.book import open_book

    day = date(2026, 3, 22)
    with open_book(folder / "book.duckdb") as book:
        row = performance(book, Asked(JOB, day)).rows[0].figures
        held = len(book.rows("held_lines"))
        view = build(book, JOB, day)
        recorded_at = book.stamp().recorded_at
    for ending in ("pdf", "html"):
        write(view, folder / f"variations.{ending}", recorded_at=recorded_at)
    per = UNIT["hours"]
    bac, earned, booked, final = (
        number(row[name] or 0, 2, per) for name in ("bac", "ev", "ac", "eac")
    )
    yield f"The landing stage on {day}: a budget of {bac} h with what the owner approved."
    yield f"Earned {earned} h for {booked} h booked; heading for {final} h. Lines held: {held}."
    yield f"The owner's statement: {folder / 'variations.pdf'}, {folder / 'variations.html'}"
    yield f"Look further: fairhours --book {folder / 'book.duckdb'} overrun --job {JOB}"
