"""Every figure of the overrun, and every place, is its entries and what is not worked, exactly."""

import random
from datetime import date
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from ledger.domain.overrun import ASKED_BY, BORNE_BY, STEPS
from ledger.performance.overrun import overrun
from ledger.performance.tracing import trace_figure
from ledger.store.book import Book, open_book
from tests._stage import JOB, SHEET_HEAD, load_sheets, table
from tests.conftest import Yard, slow_beyond
from tests.performance import _random_books
from tests.performance._random_books import DAYS, RandomBook
from tests.sheets.test_hand_tags import entry_of, tag
from tests.sheets.test_places import line

GROUPS = {"step": STEPS, "asked_by": ASKED_BY, "borne_by": BORNE_BY}


def check_figures(book: Book, job: str, day: date) -> None:
    """Each figure foots to the overrun's, and each group has every booked ms under one name."""
    whole = overrun(book, job, day)
    shown = {
        "step": whole.steps.amounts,
        "asked_by": whole.asked_by,
        "borne_by": whole.borne_by,
    }
    for group, names in GROUPS.items():
        traced = [trace_figure(book, job, day, group, name) for name in names]
        sums = [sum(int(row["ms"]) for row in each.entries) for each in traced]
        booked = sum(sums) - (sums[-1] if group == "step" else 0)

        found = {
            each.name: entries + sum(each.not_worked.values())
            for each, entries in zip(traced, sums, strict=True)
        }
        assert (group, found) == (group, {name: shown[group][name] for name in names})
        assert (group, booked) == (group, booked_ms(book, job, day))


def booked_ms(book: Book, job: str, day: date) -> int:
    return int(book.rows("performance/booked_by_day", job=job, day=day)[0][0])


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2))
def test_a_figure_foots_to_its_entries_in_any_book(seed: int) -> None:
    """Entries, and what is budget, agreed or to come, add to each step and mark of any book."""
    dice = random.Random(seed)
    with TemporaryDirectory() as folder:
        yard = RandomBook(Yard(Path(folder)), dice, measured=seed != 1).build()
        entry = entry_of(yard)
        yard.run("reverse", "entry", entry, "--reason", "wrong")
        tag(yard, entry_of(yard, 1), "--to", "V10", "--rework", "damage")
        with open_book(yard.book) as book:
            for day in (DAYS[9], dice.choice(DAYS), DAYS[-1]):
                check_figures(book, _random_books.JOB, day)


@pytest.fixture
def worked(stage: Yard) -> Yard:
    """The stage frozen, with 8 h at DECK, 3 h of them again, and 2 h under an unknown code."""
    stage.run("freeze", "--job", JOB, "--on", "2026-02-27")
    text = SHEET_HEAD.replace("note", "rework,note")
    text += "A1,2026-03-02,5,DECK,,\nA1,2026-03-02,3,DECK,damage,bench\nA1,2026-03-03,2,SHED,,\n"
    load_sheets(stage, text)
    return stage


ON = ("--job", JOB, "--status-date", "2026-03-06")


def test_a_place_opens_to_its_entries_with_file_line_and_reason(worked: Yard) -> None:
    """The hours of a place are those of its entries, each with its reason and its line."""
    tag(worked, "--untagged", "--to", "DECK")
    traced = worked.json("trace", *ON, "--place", "deck")
    lines = [(e["hours"], e["rework"], e["reason"], e["tag_reason"]) for e in traced["entries"]]

    assert (traced["figure"], traced["name"], traced["hours"]) == ("place", "DECK", 10)
    assert lines == [
        (5, None, "code", None),
        (3, "damage", "code", None),
        (2, None, "hand", "asked the foreman"),
    ]
    assert [(e["file"], e["line"]) for e in traced["entries"]] == [
        ("week.csv", number) for number in (2, 3, 4)
    ]


def test_csv_of_a_figure_adds_up_to_it(worked: Yard) -> None:
    """Rows of entries, and rows of what is not worked, add to the step that `overrun` shows."""
    step = "over_under_on_original_work"
    rows = worked.rows(worked.run("trace", *ON, "--step", step, "--format", "csv").stdout)
    shown = {each["step"]: each["amount"] for each in worked.json("overrun", *ON)["steps"]}

    assert [row["what"] for row in rows] == ["worked", "to_come", "budget"]
    assert sum(Decimal(row["hours"]) for row in rows) == shown[step]


def test_an_entry_names_the_figures_it_is_in(worked: Yard) -> None:
    """A trace ends with step and marks; time after the status date is in none, nor is overhead."""
    again = entry_of(worked, 1)
    early = worked.json("trace", again, "--status-date", "2026-03-01")["figures"]
    [found] = worked.json("trace", again)["figures"]
    tag(worked, again, "--to", "overhead", "--cause", "training")
    [lost] = worked.json("trace", again)["figures"]
    names = ("booked_to", "in_ac", "step", "asked_by", "borne_by")

    assert [found[name] for name in names] == ["DECK", True, "rework", "yard", "yard"]
    assert [(each["step"], each["in_ac"]) for each in early] == [(None, None)]
    assert [lost[name] for name in names] == ["overhead", None, None, None, None]


@pytest.mark.slow
def test_figures_of_a_closed_period_are_those_of_its_closing(worked: Yard) -> None:
    """Moved after the closing, an entry is where it was; recorded later, it is in no figure."""
    worked.run("close", "period", "--to", "2026-03-08")
    entry = entry_of(worked)
    tag(worked, entry, "--to", "RAIL", "--with-closed")
    load_sheets(worked, SHEET_HEAD + line("DECK"), "late.csv")
    late = table(worked, "entry")[-1]
    shown = worked.json("trace", *ON, "--place", "DECK")
    [then] = worked.json("trace", entry, "--status-date", "2026-03-06")["figures"]
    said = worked.run("trace", f"{late['batch']}.{late['row']}", "--status-date", "2026-03-06")

    assert entry in [each["entry"] for each in shown["entries"]]
    assert (then["booked_to"], then["closed_to"]) == ("DECK", "2026-03-08")
    assert "none: recorded after the period to 2026-03-08 was closed" in said.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    slow_beyond(
        2,
        [
            ((), "name an entry, or with --job one figure"),
            (
                ("--job", JOB, "--step", "rework", "--place", "DECK"),
                "name an entry, or with --job one",
            ),
            (("--step", "rework"), "give --job"),
            (("15.4", "--job", JOB), "--job is for a figure"),
            (
                ("--job", JOB, "--step", "again"),
                '--step "again": unknown; use one of original_budget',
            ),
            (("--job", JOB, "--borne-by", "us"), '--borne-by "us": unknown; use one of owner'),
        ],
    ),
)
def test_a_trace_of_nothing_or_of_two_things_is_refused(
    tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    """An entry or one figure of a job; the message names the options or the words."""
    assert said in Yard(tmp_path).new().run("trace", *words, ok=False).stderr


def test_a_place_that_the_job_has_not_is_refused(worked: Yard) -> None:
    """A place is a package, a change, non_productive or untagged."""
    said = worked.run("trace", *ON, "--place", "KEEL", ok=False).stderr

    assert said == 'job STAGE: has no package or change "KEEL"\n'
    assert worked.json("trace", *ON, "--place", "Untagged")["hours"] == 2
