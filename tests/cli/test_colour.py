"""What is out of the ordinary is in colour on a terminal; words and figures say it without."""

import io
import os
import re
from decimal import Decimal
from typing import TextIO

import pytest

from ledger.cli import output
from ledger.cli.colour import coloured_for, has_colour, joined, marked, spans_of
from ledger.cli.refusals.worded import refusal
from ledger.cli.tables import as_table
from ledger.errors import FairhoursError, Fault, Faults, Refused
from tests._stage import JOB, load
from tests.cli._terminal import seen_in_terminal
from tests.conftest import Yard

IN_BRACKETS = re.compile("<(.*?)>", re.DOTALL)
NOBODY = "there is no job PIER; `fairhours show jobs` lists them"
# Of worker A1 a day over the daily limit, and a line whose day cannot be read.
SHEET = """
    worker_id,date,hours,booking_code
    A1,2026-03-02,9,FRAME
    A1,2026-03-02,8,DECK
    A1,2026-13-02,8,DECK
    """
# By 2026-03-08 4 of 40 boards, 80 h, are laid: 8 h earned. The piles, half of the frame's 70 h,
# are planned: 8 / 35 = 0.229. Booked are 17 h: 8 / 17 = 0.471; missing sheets add nothing.
PROGRESS = """
    work_package,date,quantity_done
    DECK,2026-03-06,4
    """


class Terminal(io.StringIO):
    """A stream that says that it is a terminal."""

    def isatty(self) -> bool:
        return True


def marks(text: str) -> list[str]:
    """Return what of a text is marked."""
    return [text[start:end] for start, end in spans_of(text)]


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> Terminal:
    for name, value in {"NO_COLOR": "", "TERM": "xterm"}.items():
        monkeypatch.setenv(name, value)
    return Terminal()


@pytest.mark.parametrize(
    ("stream", "set_to", "expected"),
    [
        (Terminal(), {}, True),
        (Terminal(), {"NO_COLOR": ""}, True),
        (Terminal(), {"NO_COLOR": "1"}, False),
        (Terminal(), {"TERM": "dumb"}, False),
        (io.StringIO(), {}, False),
    ],
)
def test_a_terminal_has_colour_unless_none_is_wanted(
    monkeypatch: pytest.MonkeyPatch, stream: io.StringIO, set_to: dict[str, str], expected: bool
) -> None:
    """NO_COLOR counts when it is not empty; a pipe has no colour."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    for name, value in set_to.items():
        monkeypatch.setenv(name, value)

    assert has_colour(stream) is expected


def test_marked_parts_are_coloured_where_there_is_colour(terminal: Terminal) -> None:
    """A text bears its marks through joining, and is the same text without colour."""
    text = joined("; ", ["2 h booked", marked("1 line held, see it", "1 line held")])

    assert text == "2 h booked; 1 line held, see it"
    assert coloured_for(terminal, text) == "2 h booked; \x1b[31m1 line held\x1b[0m, see it"
    assert coloured_for(io.StringIO(), text) == text


def test_marked_cells_leave_a_table_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """The text of a cell is marked, on each of its lines, never the blanks beside it."""
    monkeypatch.setenv("COLUMNS", "40")
    head = ("job", "cpi", "remark", "more")
    rows = [("A", Decimal("0.912"), "x", "y"), ("B", Decimal("1"), "over several lines " * 3, "z")]
    table = as_table(head, rows, [(0, 1), (1, 2)])

    assert table == as_table(head, rows)
    assert marks(table)[0] == "0.912"
    assert " ".join(marks(table)[1:]) == ("over several lines " * 3).strip()


@pytest.mark.parametrize(
    ("error", "expected"),
    [
        (Refused("period_none_closed"), ["no period is closed"]),
        (
            Faults([Fault("a.csv", 3, "no such change"), Fault("b.csv", 4, "no such job")]),
            ["2 faults; nothing was loaded"],
        ),
        (
            Refused("nothing_changed", faults=("there is no entry 1.1",)),
            ["nothing was changed"],
        ),
        (
            Refused("loads_alike", file="a.csv", count=2, loads=("batch 1", "batch 2")),
            ["a.csv: matches 2 loads; name one by its batch or its digest:"],
        ),
    ],
)
def test_of_a_refusal_the_line_that_refuses_is_marked(
    error: FairhoursError, expected: list[str]
) -> None:
    """Faults line by line and lists stay plain."""
    assert marks(refusal(error)) == expected


def bracketed(stream: TextIO, text: str) -> str:
    """Return a text with what is marked in brackets, whatever the stream is."""
    brackets = [(end, ">") for _, end in spans_of(text)] + [(at, "<") for at, _ in spans_of(text)]
    for at, bracket in sorted(brackets, reverse=True):
        text = text[:at] + bracket + text[at:]
    return text


def test_exceptions_alone_are_coloured(stage: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """Indices below 1, incomplete figures, held lines and grave doubts are; the rest is not."""
    stage.run("freeze", "--job", JOB, "--on", "2026-02-23")
    load(stage, "progress", PROGRESS)
    monkeypatch.setattr(output, "coloured_for", bracketed)
    loaded = stage.run("load", "sheets", "--job", JOB, stage.write("week.csv", SHEET))
    measured = stage.run("performance", "--job", JOB, "--status-date", "2026-03-08")
    doubts = stage.run("doubts")
    seen = [IN_BRACKETS.findall(f"{ran.stdout}{ran.stderr}") for ran in (loaded, measured, doubts)]

    assert seen == [
        ["1", "1 line held", "1 to look at first"],
        ["0.229", "0.471", "0.471", "8.00 h held", "INCOMPLETE"],
        ["warn", "1 to look at first"],
    ]


@pytest.mark.parametrize("format", ["json", "csv"])
def test_machines_get_no_marks(stage: Yard, monkeypatch: pytest.MonkeyPatch, format: str) -> None:
    """JSON and CSV have no colour, even on a terminal."""
    monkeypatch.setattr(output, "coloured_for", bracketed)
    shown = stage.run("load", "sheets", "--format", format, stage.write("week.csv", SHEET))

    assert IN_BRACKETS.findall(shown.stdout) == []


def test_a_refusal_is_red_in_a_terminal(yard: Yard) -> None:
    """The program itself colours it on a terminal, and not with NO_COLOR."""
    words = ("--book", yard.new().book, "performance", "--job", "PIER")
    coloured, plain = (
        seen_in_terminal(*words, environment={**os.environ, "NO_COLOR": wanted})
        for wanted in ("", "1")
    )

    assert coloured == f"\x1b[31m{NOBODY}\x1b[0m\n"
    assert plain == f"{NOBODY}\n"
