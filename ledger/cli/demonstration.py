"""The demo in words: what each load said, and a screen of what its book says in the end."""

import csv
import io
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from importlib.resources import as_file
from pathlib import Path

from ledger.cli.colour import joined, marked
from ledger.cli.figures_tables import completeness_line, incomplete_line
from ledger.cli.progress import bar_of
from ledger.cli.tables import as_table
from ledger.cli.wording.documents import issued_lines
from ledger.cli.wording.loads import freeze_lines, load_lines
from ledger.cli.wording.pages import COMMANDS
from ledger.cli.wording.sheets import sheets_lines
from ledger.commands.demonstration import (
    BEGUN,
    JOB,
    STATUS_DATE,
    DemoRead,
    Ran,
    Step,
    begun,
    make_pages,
)
from ledger.commands.documents import Issued
from ledger.commands.loads import FilesLoaded, JobFrozen
from ledger.domain.allocation import to_places
from ledger.domain.counting import counted
from ledger.domain.overrun import STEP_TITLES, shown_marks, shown_steps
from ledger.domain.parsing import MS_PER_HOUR
from ledger.errors import Refused, Remedy
from ledger.resources import root

BEGINNING = ("--recorded-at", BEGUN.isoformat(), "new", "--rehearsal")
BEARERS = {
    "owner": "the owner pays for",
    "instructed_price_open": "instructed by the owner, no price agreed",
    "at_risk": "worked on requests not instructed",
    "undecided": "still to be settled",
    "yard": "the yard bears",
}


@dataclass(frozen=True)
class Command:
    """One command as the yard gave it: when it was recorded, its words, its file if it has one."""

    at: datetime
    words: tuple[str, ...]
    file: str


def demonstrate(folder: Path) -> Iterator[str]:
    """Build the demo's book and pages in a new folder and yield what to tell the user.

    Raises: Refused when the folder has files already.
    """
    _make_new(folder)
    book, output = folder / "book.duckdb", io.StringIO()
    with as_file(root("sample_data")) as samples, begun(book, samples, COMMANDS) as demo:
        _keep(output, BEGINNING, [f"{book}: new rehearsal book"])
        for command in progress(list(schedule(samples / "schedule.csv"))):
            lines = lines_of(demo.run(step_of(command)))
            _keep(output, words_of(command, samples), lines)
        read = demo.read()
    (folder / "loads.txt").write_text(output.getvalue(), encoding="utf-8")
    return _summary(read, book, make_pages(read, folder))


def _make_new(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        filled = any(folder.iterdir())
    except OSError as error:
        raise Refused("folder_unmade", folder=folder, system=error.strerror) from None
    if filled:
        raise Refused("demo_folder_not_empty", folder=folder, remedy=Remedy("demo"))


def schedule(path: Path) -> Iterator[Command]:
    """Yield the commands of schedule.csv, recorded in the afternoon, a minute after the last."""
    on_day: Counter[str] = Counter()
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            day = row["on"]
            at = datetime.combine(date.fromisoformat(day), time(17, on_day[day]), UTC)
            on_day[day] += 1
            yield Command(at, tuple(row["command"].split()), row["file"])


def step_of(command: Command) -> Step:
    """Return what a command of the schedule asks for."""
    match command.words:
        case ("load", kind):
            return Step(command.at, kind, None, command.file)
        case ("load", kind, "--job", job):
            return Step(command.at, kind, job, command.file)
        case ("load", kind, "--job", job, "--baseline-change", name):
            return Step(command.at, kind, job, command.file, under=name)
        case ("freeze", "--job", job, "--on", day):
            return Step(command.at, "freeze", job, on=date.fromisoformat(day))
        case ("issue", "claim", "--job", job, "--to", day):
            return Step(command.at, "claim", job, on=date.fromisoformat(day))
        case ("issue", "invoice", "--job", job, "--claim", claim, "--on", day):
            on = date.fromisoformat(day)
            return Step(command.at, "invoice", job, on=on, claim=int(claim))
    raise AssertionError(f"the schedule has a command of another kind: {command.words}")


def words_of(command: Command, samples: Path) -> tuple[str, ...]:
    """Return a command's words as a user would have written them."""
    path = (str(samples / command.file),) if command.file else ()
    return ("--recorded-at", command.at.isoformat(), *command.words, *path)


def lines_of(ran: Ran) -> list[str]:
    """Return what a command said."""
    if isinstance(ran, FilesLoaded):
        return load_lines(ran)
    if isinstance(ran, Issued):
        return issued_lines(ran)
    return freeze_lines(ran) if isinstance(ran, JobFrozen) else sheets_lines(ran)


def _keep(output: io.StringIO, words: tuple[str, ...], lines: list[str]) -> None:
    """Keep a command and what it said."""
    typed = [word if "/" not in word else Path(word).name for word in words]
    output.writelines(f"{line}\n" for line in (f"$ fairhours {' '.join(typed)}", *lines))


def _summary(read: DemoRead, book: Path, pages: tuple[Path, ...]) -> Iterator[str]:
    """Yield a screen of what happened, in words."""
    counts, result = read.counts, read.performance
    yield f"{read.yard}: 42 weeks of an invented yard, recorded week by week as its files came in."
    held = f"{counts['held']} held"
    yield marked(
        f"{counted(counts['lines'], 'sheet line', 'sheet lines')} of "
        f"{counted(counts['workers'], 'person', 'people')} on "
        f"{counted(counts['jobs'], 'job', 'jobs')}: "
        f"{counts['booked']} booked, {held} because something on them cannot be read.",
        held,
    )
    yield ""
    yield f"{JOB}, the cable ferry, on {STATUS_DATE}, in hours:"
    amounts = shown_steps(read.overrun.steps.amounts, MS_PER_HOUR)
    yield as_table(
        ("", ""), [(STEP_TITLES[step], amount) for step, amount in amounts.items()]
    ).strip("\n")
    cpi = to_places(result.rows[0].figures["cpi"] or 0, 3)
    line = f"Each hour booked earned {cpi} of an hour of the estimate (CPI);"
    yield marked(line, str(cpi)) if cpi < 1 else line
    yield joined("", (completeness_line(result.completeness), "."))
    if result.incomplete:
        yield joined("", (incomplete_line(result.incomplete), "."))
    yield ""
    yield "Of the hours above the estimate:"
    borne = shown_marks(read.overrun.borne_by, amounts, MS_PER_HOUR)
    bearers = [(BEARERS[mark], amount) for mark, amount in borne.items()]
    yield as_table(("", ""), bearers).strip("\n")
    yield ""
    yield f"For the owner: {', '.join(map(str, pages))}"
    yield f"Output of each load: {book.parent / 'loads.txt'}"
    yield from _next(book)


def _next(book: Path) -> Iterator[str]:
    """Yield commands to go on with."""
    yield "Next:"
    ours = f"fairhours --book {book}"
    yield f"  {ours} held"
    yield f"  {ours} performance --job {JOB} --status-date {STATUS_DATE} --by work-package"
    yield f"  {ours} --known-at 2026-08-25 overrun --job {JOB} --status-date 2026-08-23"


def progress(commands: Sequence[Command]) -> Iterator[Command]:
    """Yield the commands, and show on a terminal how far the demo is; nothing in a pipe."""
    with bar_of(commands, _step) as bar:
        yield from bar


def _step(command: Command | None) -> str | None:
    return f"{command.at.date()}  {' '.join(command.words)}" if command else None
