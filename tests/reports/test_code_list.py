"""The list of booking codes on the wall: figures that add up, whole, and the same every time."""

import io
import json
import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.domain.change_life import ChangeState, Event, state_on
from ledger.reports.dates import written
from ledger.reports.foremen.code_list import CodeList, CodeRow
from ledger.reports.foremen.code_list_page import code_list_page, rounded_total
from ledger.reports.foremen.job_codes import change_standing
from ledger.reports.rendering import render
from ledger.reports.tables import Table
from tests.conftest import Yard, slow_beyond, slow_case
from tests.reports._again import made_again
from tests.reports._landing import RECORDED_AT
from tests.reports._paper import text_of
from tests.reports._yard_pages import (
    DAY,
    HOUR,
    LIST,
    LONG,
    NO_CODES,
    change,
    code_list,
    conforms,
    laid_out,
    package,
)
from tests.test_small_sample import build

AGAIN = """
import sys
from ledger.reports.rendering import render
from tests.reports._landing import RECORDED_AT
from tests.reports._yard_pages import LIST
sys.stdout.buffer.write(render(LIST, sys.argv[1], recorded_at=RECORDED_AT))
"""
ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
SIXTY = code_list(tuple(package(number) for number in range(1, 61)))
VIEWS = {
    "usual": LIST,
    "empty": NO_CODES,
    "sixty packages": SIXTY,
    "long names": code_list((package(1, title=LONG, code="P" * 60),), (change(1, title=LONG),)),
    "rehearsal": replace(LIST, rehearsal=True),
}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The small sample in a book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


def listed(yard: Yard, day: str = "2026-03-22") -> Any:
    out = yard.folder / "codes.json"
    yard.run("report", "codes", "--job", "stage", "--status-date", day, "--out", out)
    return json.loads(out.read_bytes())


def table(view: CodeList, number: int) -> Table:
    return code_list_page(view).sections[number].table


def test_hours_left_are_budget_less_booked(built: Yard) -> None:
    """Each code has its budget with approved changes, what was booked, and where it stands."""
    told = listed(built)
    actual = {
        row["code"]: (row["budget_ms"] / HOUR, row["booked_ms"] / HOUR, row["standing"])
        for row in (*told["packages"], *told["changes"])
    }
    # By hand in the sample's README: FRAME is done; DECK 80 - 10 omitted; CR1 12 + 4; CR2 ordered.
    expected = {
        "FRAME": (70, 76, "finished"),
        "DECK": (70, 52, "open"),
        "RAIL": (20, 6, "open"),
        "CR1": (16, 10, "approved"),
        "CR2": (8, 5, "instructed"),
    }

    assert actual == expected


def test_booked_hours_are_those_of_performance(built: Yard) -> None:
    """What is booked to the codes and elsewhere is all that performance has booked to the job."""
    rows = built.json(
        *("performance", "--job", "STAGE", "--status-date", "2026-03-22"),
        *("--by", "work-package"),
    )
    outside = {row["key"]: row["ac"] for row in rows["outside"]}
    expected = sum(row["ac"] for row in rows["rows"]) + sum(outside.values())

    assert Decimal(listed(built)["job_booked_ms"]) / HOUR == expected


def test_a_job_not_frozen_shows_its_estimate(yard: Yard) -> None:
    """Before the freeze the budget is the estimate's, and the page says so."""
    sample = Path(__file__).parents[2] / "sample_data" / "small"
    for thing, name in (("settings", "settings.toml"), ("job", "job.toml")):
        yard.run("load", thing, sample / name)
    yard.run("load", "estimate", "--job", "STAGE", sample / "estimate.csv")
    told = listed(yard, "2026-03-01")
    actual = {row["code"]: row["budget_ms"] // HOUR for row in told["packages"]}

    assert (told["is_frozen"], actual) == (False, {"FRAME": 70, "DECK": 80, "RAIL": 20})
    assert table(replace(LIST, is_frozen=False), 0).caption.endswith(", as estimated.")


@pytest.mark.slow
def test_without_a_day_it_is_the_records(yard: Yard) -> None:
    """Where no work is measured yet, the status date left out is the day of the record."""
    sample = Path(__file__).parents[2] / "sample_data" / "small"
    yard.new(rehearsal=True)
    instant = ("--recorded-at", "2026-12-27T23:30:00+00:00")
    yard.run(*instant, "load", "job", sample / "job.toml")
    out = yard.folder / "codes.json"
    yard.run("report", "codes", "--job", "STAGE", "--out", out)

    assert json.loads(out.read_bytes())["status_date"] == "2026-12-27"


def events(*names: str) -> ChangeState:
    return state_on([Event(name, DAY, 1) for name in names], DAY)


@pytest.mark.parametrize(
    ("state", "expected"),
    [
        (events("submitted", "approved"), ("approved", DAY)),
        (events("instructed"), ("instructed", DAY)),
        # Ordered work goes on while its price is argued about.
        (events("instructed", "submitted", "declined"), ("instructed", DAY)),
        (events(), ("requested", None)),
        (events("priced"), ("priced", None)),
        (events("submitted"), ("submitted", None)),
        (events("submitted", "disputed"), ("disputed", None)),
        (events("submitted", "declined"), ("declined", None)),
        (events("withdrawn"), ("withdrawn", None)),
        (events("instructed", "withdrawn"), ("instructed", DAY)),
        (events("submitted", "approved", "stopped"), ("stopped", DAY)),
        (events("instructed", "complete"), ("complete", None)),
    ],
)
def test_only_ordered_work_takes_hours(state: ChangeState, expected: tuple[str, Any]) -> None:
    """Hours go to what is approved or instructed, not to what is asked for, stopped or done."""
    actual = change_standing(state, DAY)

    assert actual == expected
    assert change(1, standing=actual[0]).is_open == (expected[0] in {"approved", "instructed"})


def in_quarters(ms: int) -> Decimal:
    """Return hours rounded to the quarter, half up."""
    return Decimal((ms + HOUR // 8) // (HOUR // 4)) / 4


amounts = st.integers(0, 10**9)
rows = st.lists(st.tuples(st.integers(0, 3), amounts, amounts), max_size=12)


@given(rows)
def test_shown_hours_add_up_down_and_across(drawn: list[tuple[int, int, int]]) -> None:
    """Rounded to quarters, rows add to their account, accounts to all, and left is the rest."""
    made = [
        package(number, account=f"part {account}", budget_ms=budget, booked_ms=booked)
        for number, (account, budget, booked) in enumerate(sorted(drawn))
    ]
    shown = rounded_total(made).values()
    budgets = sum((budget or Decimal(0) for budget, _, _ in shown), Decimal(0))
    booked = sum((done for _, done, _ in shown), Decimal(0))

    assert budgets == in_quarters(sum(row.budget_ms or 0 for row in made))
    assert booked == in_quarters(sum(row.booked_ms for row in made))
    assert all((value or 0) * 4 % 1 == 0 for amounts in shown for value in amounts)
    assert all(left == (budget or 0) - done for budget, done, left in shown)


def test_the_table_adds_up_as_it_stands() -> None:
    """Budget, booked and left of the packages add to their account and to the last row."""
    made = table(SIXTY, 0).rows
    groups = [row.cells[-3:] for row in made if row.kind == "group"]
    plain = [row.cells[-3:] for row in made if row.kind in {"plain", "over"}]
    total = made[-1].cells[-3:]

    # 60 x 100; 3 x (1 + ... + 60) = 3 x 1830
    assert total == (Decimal("6000.00"), Decimal("5490.00"), Decimal("510.00"))
    assert tuple(map(sum, zip(*groups, strict=True))) == total
    assert tuple(map(sum, zip(*plain, strict=True))) == total


def test_an_over_is_said_in_words() -> None:
    """A code that is over its budget stands below zero, and by how much is said under it."""
    row = next(row for row in table(LIST, 0).rows if row.cells[0] == "P02")

    # 100 - 112.5
    assert (row.kind, row.cells[-1], row.remark) == ("over", Decimal("-12.50"), "Over by 12.50 h")


def test_what_takes_no_hours_stands_apart_with_the_reason() -> None:
    """Finished packages and work that is not ordered are in their own table, each with why."""
    actual = [row.cells[:3] for row in table(LIST, 3).rows]
    expected = [
        ("P03", "Work 3", "Finished"),
        ("V03", "Change 3", "Awaits the owner's decision, not instructed"),
        ("All closed codes: 2", Decimal("9.00")),
    ]

    assert actual == expected
    assert not {"P03", "V03"} & {str(row.cells[0]) for row in table(LIST, 0).rows}


def test_dates_in_sentences_are_written_out() -> None:
    """Only columns of dates, and the command that makes the list again, have ISO dates."""
    page = code_list_page(LIST)
    said = [page.headline, *page.running, *(fact.value for fact in page.facts)]

    assert [text for text in said if ISO_DATE.search(text)] == []
    assert f"all sheets up to {written(LIST.status_date)}" in page.headline


def test_an_order_without_price_has_no_hours_left() -> None:
    """Where no price is known yet the list says so instead of a figure."""
    text = text_of(laid_out(LIST))

    assert "V02 Change 2 Instructed 28 June 2026, not approved, daywork not priced 5.00 –" in text


@pytest.mark.parametrize("name", slow_beyond(1, VIEWS))
def test_the_pdf_can_be_read_aloud(name: str) -> None:
    """Every list conforms to PDF/UA-1 (ISO 14289-1)."""
    made = render(VIEWS[name], "pdf", recorded_at=RECORDED_AT)

    assert conforms(made) == []


@pytest.mark.slow
@pytest.mark.parametrize("kind", [slow_case("pdf"), "html", "xlsx", "json"])
def test_same_list_same_bytes(kind: str) -> None:
    """Two makings in two processes with other hashes and clocks give one file."""
    here = render(LIST, kind, recorded_at=RECORDED_AT)
    there = made_again(AGAIN, kind)

    assert there == here


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_sixty_packages_run_over_pages_with_their_heads(paper: str) -> None:
    """Each page of a long list repeats the heads of its table, the job and the day."""
    laid = laid_out(SIXTY, paper)
    first = next(part.page for part in laid if part.text == "P01")
    last = next(part.page for part in laid if part.text == "P60")
    texts = [text_of(laid, number) for number in range(first, last + 1)]

    assert last > first
    assert all("Code Work Trades From To Budget h Booked h Left h" in text for text in texts)
    assert all("LANDING" in text and "2026-06-28" in text for text in texts)
    assert {part.text for part in laid} >= {f"P{number:02d}" for number in range(1, 61)}


@pytest.mark.parametrize("paper", slow_beyond(1, ["A4", "Letter"]))
@pytest.mark.parametrize("name", VIEWS)
def test_nothing_stands_outside_the_paper(name: str, paper: str) -> None:
    """No word of any list is cut off by the edge of the paper."""
    for part in laid_out(VIEWS[name], paper):
        if part.text:
            assert part.box.position_x >= 0
            assert part.box.position_x + part.box.width <= (794 if paper == "A4" else 816)


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        "No code of this job takes hours now.",
        "No package is open for hours.",
        "No approved or instructed change is open for hours.",
        "The yard's settings have no codes for time lost, for its own work or for absence.",
        "All codes of this job take hours.",
    ],
)
def test_what_is_empty_is_said(words: str) -> None:
    """An empty table is a sentence, never a head without rows."""
    assert words in text_of(laid_out(NO_CODES))


def test_a_rehearsal_says_so_on_every_page() -> None:
    """Nobody can take a page of a trial record for a real one."""
    laid = laid_out(replace(SIXTY, rehearsal=True))
    pages_with = {part.page for part in laid if "Rehearsal: made from a trial" in part.text}

    assert pages_with == set(range(1, laid[-1].page + 1))
    assert "Rehearsal" not in text_of(laid_out(SIXTY))


def test_the_wall_sees_no_money() -> None:
    """The list has no field for cost, charge, pay or a worker."""
    names = {*CodeList.__dataclass_fields__, *CodeRow.__dataclass_fields__}

    assert not [name for name in names if any(word in name for word in ("cost", "price", "rate"))]
    assert not [name for name in names if any(word in name for word in ("pay", "worker", "sum"))]


def test_the_workbook_has_a_tab_for_each_table() -> None:
    """The same tables as a workbook, numbers as numbers."""
    made = openpyxl.load_workbook(io.BytesIO(render(LIST, "xlsx", recorded_at=RECORDED_AT)))
    row = [cell.value for cell in made["Packages"][4]]

    assert made.sheetnames == ["About", "Packages", "Changes", "Time", "No hours"]
    assert row[0] == "P02"
    assert row[-4:] == [100, 112.5, -12.5, "Over by 12.50 h"]


def test_an_unknown_job_is_refused(built: Yard) -> None:
    """A job that the book does not have is refused by name."""
    outcome = built.run("report", "codes", "--job", "PIER", "--out", "pier.pdf", ok=False)

    assert outcome.stderr == "there is no job PIER; `fairhours show jobs` lists them\n"
