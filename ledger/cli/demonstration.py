"""The demo: a yard's 42 weeks of files, loaded as they came in, and what can then be asked."""

import csv
import io
import sys
from collections.abc import Callable, Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import as_file
from pathlib import Path
from typing import Any

import typer

from ledger.cli.figures_tables import completeness_line
from ledger.cli.output import as_table
from ledger.domain.allocation import to_places
from ledger.domain.overrun import shown_marks, shown_steps
from ledger.domain.parsing import MS_PER_HOUR
from ledger.errors import Refused, Remedy

ACTOR = "Ottoline Farr"
JOB, STATUS_DATE = "FERRY", date(2026, 11, 1)
BEGINNING = ("--recorded-at", "2026-01-05T09:00:00+00:00", "new", "--rehearsal")
STEPS = {
    "original_budget": "estimated at the start",
    "approved_variations": "approved in addition",
    "omissions": "taken out by approved changes",
    "over_under_on_variations": "over or under on variations",
    "unapproved_changes": "worked on requests not approved",
    "rework": "done again",
    "over_under_on_original_work": "over or under on the work as estimated",
    "non_productive": "lost to weather, waiting and the like",
    "untagged": "booked to codes that nobody knows",
    "anticipated_final": "heading for",
}
BEARERS = {
    "owner": "the owner pays for",
    "instructed_price_open": "ordered by the owner, no price agreed",
    "at_risk": "worked on requests nobody has ordered",
    "undecided": "still to be settled",
    "yard": "the yard bears",
}


@dataclass(frozen=True)
class Command:
    """One command as the yard gave it: the day it was recorded, its words, its file."""

    day: str
    words: tuple[str, ...]
    file: str


def demonstrate(folder: Path, progress: Callable[[int, int, str], None]) -> Iterator[str]:
    """Build the demo's book and pages in a new folder and yield what to tell the user.

    Raises: Refused when the folder has files already.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        filled = any(folder.iterdir())
    except OSError as error:
        raise Refused("folder_unmade", folder=folder, system=error.strerror) from None
    if filled:
        raise Refused("demo_folder_not_empty", folder=folder, remedy=Remedy("demo"))
    from ledger.resources import root

    book = folder / "book.duckdb"
    with as_file(root("sample_data")) as samples:
        commands = list(schedule(samples / "schedule.csv"))
        said = io.StringIO()
        _run(book, BEGINNING, said)
        for place, command in enumerate(commands, start=1):
            progress(place, len(commands), f"{command.day}  {' '.join(command.words)}")
            _run(book, words_of(commands, place - 1, samples), said)
    (folder / "loads.txt").write_text(said.getvalue(), encoding="utf-8")
    progress(len(commands), len(commands), "the owner's pages")
    pages = _pages(book, folder)
    return _told(book, folder, pages)


def schedule(path: Path) -> Iterator[Command]:
    """Yield the commands of schedule.csv in their order."""
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            yield Command(row["on"], tuple(row["command"].split()), row["file"])


def words_of(commands: list[Command], place: int, samples: Path) -> tuple[str, ...]:
    """Return a command's words: recorded in the afternoon of its day, a minute after the last."""
    command = commands[place]
    minute = sum(1 for each in commands[:place] if each.day == command.day)
    instant = f"{command.day}T17:{minute:02d}:00+00:00"
    path = (str(samples / command.file),) if command.file else ()
    return ("--recorded-at", instant, *command.words, *path)


@cache
def program() -> Any:
    """Return the whole program as one command, made once for all that the demo runs."""
    from typer.main import get_command

    from ledger.cli.main import app

    return get_command(app)


def _run(book: Path, words: tuple[str, ...], said: io.StringIO) -> None:
    """Run a command of the program on the book and keep what it says."""
    shown = [word if "/" not in word else Path(word).name for word in words]
    said.write(f"$ fairhours {' '.join(shown)}\n")
    with redirect_stderr(said), redirect_stdout(said):
        code = program()(["--book", str(book), "--actor", ACTOR, *words], standalone_mode=False)
    if code:
        raise Refused("demo_step_failed", said=said.getvalue().splitlines()[-1])


def _pages(book: Path, folder: Path) -> list[Path]:
    from ledger.reports.owner.build import build
    from ledger.reports.page_parts import logo_address
    from ledger.reports.rendering import Choices, write
    from ledger.store.book import open_book

    with open_book(book) as opened:
        view = build(opened, JOB, STATUS_DATE)
        recorded_at, choices = opened.stamp().recorded_at, Choices(logo=logo_address(opened))
    made = [folder / f"variations.{ending}" for ending in ("pdf", "html")]
    for path in made:
        write(view, path, recorded_at=recorded_at, choices=choices)
    return made


def _told(book: Path, folder: Path, pages: list[Path]) -> Iterator[str]:
    """Yield a screen of what happened, in words."""
    from ledger.performance.overrun import overrun
    from ledger.performance.report import Asked, performance
    from ledger.store.book import open_book

    with open_book(book) as opened:
        why = overrun(opened, JOB, STATUS_DATE)
        result = performance(opened, Asked(JOB, STATUS_DATE))
        counted = opened.records("sheets/demo_counts")[0]
        name = opened.setting("yard.name", "")
    yield f"{name}: 42 weeks of an invented yard, recorded week by week as its files came in."
    yield (
        f"{counted['lines']} sheet lines of {counted['workers']} people on {counted['jobs']} jobs: "
        f"{counted['booked']} booked, {counted['held']} held because something on them cannot be "
        "read."
    )
    yield ""
    yield f"{JOB}, the cable ferry, on {STATUS_DATE}, in hours:"
    shown = shown_steps(why.steps.amounts, MS_PER_HOUR)
    yield as_table(("", ""), [(STEPS[step], amount) for step, amount in shown.items()]).strip("\n")
    cpi = to_places(result.rows[0].figures["cpi"] or 0, 3)
    yield f"Each hour booked earned {cpi} of an hour of the estimate (CPI);"
    yield f"{completeness_line(result.completeness)}."
    if result.incomplete:
        yield f"INCOMPLETE: {'; '.join(result.incomplete)}."
    yield ""
    yield "Of the hours above the estimate:"
    borne = shown_marks(why.borne_by, shown, MS_PER_HOUR)
    bearers = [(BEARERS[mark], amount) for mark, amount in borne.items()]
    yield as_table(("", ""), bearers).strip("\n")
    yield ""
    yield f"For the owner: {', '.join(map(str, pages))}"
    yield f"What each load said: {folder / 'loads.txt'}"
    yield from _next(book)


def _next(book: Path) -> Iterator[str]:
    """Yield commands to go on with."""
    yield "Go on with:"
    ours = f"fairhours --book {book}"
    yield f"  {ours} held"
    yield f"  {ours} performance --job {JOB} --status-date {STATUS_DATE} --by work-package"
    yield f"  {ours} --known-at 2026-08-25 overrun --job {JOB} --status-date 2026-08-23"


def bar(place: int, count: int, text: str) -> None:
    """Show how far the demo is, on a terminal only."""
    if not sys.stderr.isatty():
        return
    filled = 24 * place // count
    line = f"[{'#' * filled}{'.' * (24 - filled)}] {place}/{count} {text[:40]}"
    typer.echo(f"\r\033[K{line}", err=True, nl=text == "the owner's pages")
