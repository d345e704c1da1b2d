"""Long work shows on a terminal how far it is; a pipe is kept free of it."""

import io
import logging
import re
import sys
from datetime import date
from pathlib import Path

import pytest

from ledger.cli import output, progress
from ledger.cli.progress import ProgressBar
from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.book import check, export, show
from ledger.commands.erasing import erase_texts
from ledger.commands.loads import load_files
from ledger.commands.pages import PageAsked, SheetsAsked, sheets
from ledger.progress import SILENT, Progress
from ledger.reports import following
from ledger.store import checking, showing
from ledger.store.definitions import LEDGER_TABLES
from ledger.store.schema import TABLES
from tests._stage import SAMPLE
from tests.cli._terminal import seen_in_terminal
from tests.conftest import Yard


class Terminal(io.StringIO):
    """A stream that says that it is a terminal."""

    def isatty(self) -> bool:
        return True


class Listener(Progress):
    """Keeps what it is told."""

    def __init__(self) -> None:
        self.steps: list[str] = []
        self.counts: set[int] = set()
        self.parts: list[tuple[int, int]] = []

    def step(self, name: str, of: int) -> None:
        self.steps.append(name)
        self.counts.add(of)

    def within(self, done: int, of: int = 0) -> None:
        self.parts.append((done, of))


def terminal_for(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    """Put a terminal of 80 columns in place of the standard error; bars begin at once."""
    stream = Terminal()
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(progress, "SOON", 0)
    return stream


def lines(terminal: Terminal) -> list[str]:
    """Return what the bar was, each time that it was drawn anew."""
    drawn = terminal.getvalue().replace("\x1b[?25l", "").replace("\x1b[?25h", "")
    return [line.strip() for line in drawn.split("\r") if line.strip()]


def test_a_bar_shows_which_step_has_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each step is counted once, however far it says that it is."""
    terminal = terminal_for(monkeypatch)
    bar = ProgressBar()
    bar.step("sheet_line", 2)
    bar.within(20_000, 40_000)
    bar.step("entry", 2)
    bar.within(3)
    bar.end()

    assert [line.partition("]  ")[2] for line in lines(terminal)[1:]] == [
        "1/2  sheet line",
        "1/2  sheet line 20,000 of 40,000",
        "2/2  entry",
        "2/2  entry 3",
    ]


def test_a_bar_keeps_to_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """A long name is cut to what is left of the terminal's width."""
    terminal = terminal_for(monkeypatch)
    bar = ProgressBar()
    bar.step(f"{'week ' * 40}.csv", 1_000)

    assert max(map(len, terminal.getvalue().split("\r"))) - len("\x1b[?25l") <= 80


def test_work_of_a_moment_has_no_bar(monkeypatch: pytest.MonkeyPatch) -> None:
    """What ends soon would only flicker."""
    terminal = terminal_for(monkeypatch)
    monkeypatch.setattr(progress, "SOON", 3_600)
    bar = ProgressBar()
    bar.step("entry", 1)
    bar.end()

    assert terminal.getvalue() == ""


def test_a_bar_ends_before_anything_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    """The result stands on a line of its own, and the cursor is there again."""
    terminal = terminal_for(monkeypatch)
    progress.progress().step("entry", 1)
    output.say("done")

    assert terminal.getvalue().endswith("\x1b[?25h\ndone\n")


def test_nobody_is_told_in_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the standard error is no terminal, work tells nobody."""
    monkeypatch.setattr(sys, "stderr", io.StringIO())

    assert progress.progress() is SILENT


def test_check_tells_every_table(stage: Yard) -> None:
    """The schema, the seals of each table, the texts and the invariants are steps of a check."""
    told = Listener()
    check(ReadAccess(stage.book, progress=told), None)

    assert told.steps == ["schema", *TABLES, "marks in texts", "texts", "invariants"]
    assert told.counts == {len(told.steps)}
    assert told.parts[-1] == (len(checking.INVARIANTS), len(checking.INVARIANTS))


def test_export_and_erasing_tell_every_table(stage: Yard, tmp_path: Path) -> None:
    """Both write the tables one after the other."""
    tables = [*LEDGER_TABLES, *TABLES]
    exported, erased = Listener(), Listener()
    export(ReadAccess(stage.book, progress=exported), tmp_path / "archive", "show")
    writing = WriteAccess(stage.book, "tester", progress=erased)
    erase_texts(writing, ["worker_name:4.1"], "asked for it")

    assert exported.steps == tables
    assert erased.steps == tables
    assert exported.counts == erased.counts == {len(tables)}


def test_showing_tells_the_rows_read(stage: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows of a large table are read some together."""
    monkeypatch.setattr(showing, "TOGETHER", 2)
    told = Listener()
    rows = show(ReadAccess(stage.book, progress=told), "crew").rows

    assert told.steps == ["crew"]
    assert told.parts == [(2, 0), (4, 0)]
    assert len(rows) == 4


def test_what_decides_places_tells_how_far_it_is(stage: Yard) -> None:
    """Crew, rules and all else that decides places look at every entry again."""
    told = Listener()
    crew = stage.write("crew.csv", (SAMPLE / "crew.csv").read_text().replace("lead", "foreman"))
    load_files(WriteAccess(stage.book, "tester", progress=told), "crew", [crew])

    assert told.steps == ["held lines", "where hours belong", "closed periods"]
    assert told.counts == {4}


def test_the_log_of_the_library_is_followed() -> None:
    """Its steps are told by our names, pages with their numbers; what else it says is not."""
    told, log = Listener(), logging.getLogger(following.LOG)
    with following.followed(told):
        log.info("Step 5 - Creating layout - Page %d", 12)
        log.info("Repaired")
        log.info("Step 6 - Creating PDF")
    log.info("Step 7 - Adding PDF metadata")

    assert (told.steps, told.parts) == (["pages", "drawing"], [(12, 0)])


@pytest.mark.slow
def test_a_pdf_tells_its_pages(stage: Yard, tmp_path: Path) -> None:
    """The sheets of a week are laid out page by page, one for each worker."""
    told = Listener()
    asked = SheetsAsked(date(2026, 3, 2))
    sheets(ReadAccess(stage.book, progress=told), asked, PageAsked(tmp_path / "sheets.pdf"))

    assert list(dict.fromkeys(told.steps)) == ["styles", "boxes", "pages", "drawing", "file"]
    assert told.parts[:2] == [(1, 0), (2, 0)]


def test_a_bar_is_drawn_in_a_terminal(stage: Yard) -> None:
    """The program itself draws it; what it says then stands below."""
    first = stage.write("first.csv", "worker_id,date,hours,booking_code\nA1,2026-03-02,8,FRAME\n")
    second = stage.write("next.csv", "worker_id,date,hours,booking_code\nA1,2026-03-03,8,FRAME\n")
    words = ("--book", stage.book, "load", "sheets", first, second)
    seen = seen_in_terminal(*words, beforehand="import ledger.cli.progress as p; p.SOON = 0")

    assert "1/2  first.csv" in seen
    assert re.search(r"2/2  next\.csv *\x1b\[\?25h\nfile ", seen)
