"""The performance report: it adds up, says what it must, and can be read by everyone."""

import io
import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from ledger.reports.rendering import render
from ledger.reports.yard.performance import ForecastBy, PerformanceReport, PlannedWeek
from ledger.reports.yard.performance_charts import hours_axis, hours_chart, index_chart
from ledger.reports.yard.performance_page import performance_page
from ledger.reports.yard.performance_words import headline, key_date_words
from tests.conftest import Yard, slow_beyond
from tests.reports._landing import RECORDED_AT
from tests.reports._paper import html_of
from tests.reports._performance import (
    DAY,
    INCOMPLETE,
    LATE,
    LONG_NAMES,
    NOT_BEGUN,
    REPORT,
    WEEK,
    figures,
    key_date,
    report,
    weeks,
)
from tests.reports._yard_pages import HOUR, conforms, laid_out
from tests.test_small_sample import build

VIEWS = {
    "usual": REPORT,
    "incomplete": INCOMPLETE,
    "not begun": NOT_BEGUN,
    "long names": LONG_NAMES,
}
ASKED = ("--job", "STAGE", "--status-date", "2026-03-22")


def shown(cells: tuple[Any, ...]) -> tuple[Any, ...]:
    return tuple(float(each) if isinstance(each, Decimal) else each for each in cells)


def test_the_headline_says_what_it_takes_and_when_it_ends() -> None:
    """Three sentences: what is earned, what labour comes to with its range, when it ends."""
    expected = (
        "By 28\N{NO-BREAK SPACE}June\N{NO-BREAK SPACE}2026, 40.0 % of the labour budget is earned, "
        "0.80 h of it by each hour booked. Labour is forecast to end at 1\N{NO-BREAK SPACE}250 h, "
        "250 h above the budget (1\N{NO-BREAK SPACE}000 h); the range is 1\N{NO-BREAK SPACE}100 to "
        "1\N{NO-BREAK SPACE}300 h. At the pace so far it ends on 11\N{NO-BREAK SPACE}October"
        "\N{NO-BREAK SPACE}2026, 35 calendar days after the planned finish."
    )
    actual = headline(REPORT)

    assert actual.replace("\N{WORD JOINER}", "") == expected


def test_accounts_add_up_to_the_job_as_shown() -> None:
    """In whole hours every column of the control accounts adds up to the job's own row."""
    half = HOUR // 2
    whole = replace(REPORT.whole, ac_ms=500 * HOUR + 3 * half)
    rows = [
        replace(figures("deck", (333, 0, 0, 0, 400)), ac_ms=each) for each in (half, half, half)
    ]
    rest = replace(figures("rest", (1, 500, 400, 500, 50)), ac_ms=500 * HOUR)
    last = REPORT.weeks[-1]
    weeks = (*REPORT.weeks[:-1], replace(last, ac_ms=whole.ac_ms))
    view = report(whole=whole, accounts=(*rows, rest), weeks=weeks)
    table = performance_page(view).sections[2].table
    plain = [row.cells[1:6] for row in table.rows if row.kind == "plain"]
    total = next(row.cells[1:6] for row in table.rows if row.kind == "total")

    assert tuple(map(sum, zip(*plain, strict=True))) == total


@pytest.mark.slow
def test_early_figures_have_no_range() -> None:
    """With under 5 % earned a range says nothing, and without a budget there is no percent."""
    nothing = replace(NOT_BEGUN.whole, bac_ms=0, eac_ms=0)
    bare = replace(
        NOT_BEGUN, whole=nothing, accounts=(), anticipated_final_ms=0, forecast_range_ms=(0, 0)
    )

    assert "too little is earned for a range" in headline(NOT_BEGUN)
    assert headline(bare).endswith(" no labour budget counts; 0 h are booked.")


@pytest.mark.slow
def test_a_report_that_does_not_add_up_cannot_be_made() -> None:
    """Accounts beside the job, or a curve that ends elsewhere, are our bug and never a page."""
    with pytest.raises(AssertionError, match="bac_ms of the accounts"):
        report(accounts=())
    with pytest.raises(AssertionError, match="the curve does not end"):
        report(weeks=REPORT.weeks[:-1])
    with pytest.raises(AssertionError, match="the final does not add up"):
        report(outside=())
    with pytest.raises(AssertionError, match="outside its range"):
        report(forecast_range_ms=(0, HOUR))
    with pytest.raises(AssertionError, match="a range too early, or none"):
        report(forecast_range_ms=None)


@pytest.mark.slow
def test_it_agrees_with_performance(tmp_path: Path) -> None:
    """The workbook's last week and its control accounts are the figures of the commands."""
    yard = build(Yard(tmp_path))
    out = tmp_path / "p.xlsx"
    yard.run("report", "performance", *ASKED, "--out", out)
    whole = yard.json("performance", *ASKED)["rows"][0]
    accounts = yard.json("performance", *ASKED, "--by", "control-account")["rows"]
    book = openpyxl.load_workbook(out)
    last = [cell.value for cell in list(book["Series"].rows)[-1]]
    by_account = {
        row[0].value: [cell.value for cell in row[2:5]]
        for row in list(book["Series by account"].rows)[1:]
    }

    assert last[1:4] == [float(whole[name]) for name in ("pv", "ev", "ac")]
    assert last[4] == pytest.approx(float(whole["cpi"]))
    assert by_account == {
        row["key"]: [float(row[name]) for name in ("pv", "ev", "ac")] for row in accounts
    }


@pytest.mark.slow
def test_every_column_is_explained() -> None:
    """The data dictionary has every column of every sheet, with its unit and what it is."""
    book = openpyxl.load_workbook(io.BytesIO(render(REPORT, "xlsx", recorded_at=RECORDED_AT)))
    explained = {(row[0].value, row[1].value) for row in list(book["Data dictionary"].rows)[1:]}
    columns = {
        (sheet.title, re.sub(r" \(h\)$", "", str(cell.value)))
        for sheet in book.worksheets[1:-1]
        for cell in sheet[1]
        if cell.value not in (None, "Remark")
    }

    assert columns == {(sheet[:31], column) for sheet, column in explained}


@pytest.mark.slow
def test_incomplete_figures_are_headed_so() -> None:
    """Why they are not whole stands above the figures, with the CPI as it would be."""
    page = performance_page(INCOMPLETE)

    assert page.caution == (
        "These figures are incomplete: 22 of 24 sheets are in. With the missing sheets at each "
        "worker's four-week mean the CPI is 0.74."
    )
    assert performance_page(REPORT).caution == ""


@pytest.mark.slow
def test_a_key_date_says_whether_it_is_made() -> None:
    """Under its name a date says what is complete, and whether the people there make it."""
    missed = key_date_words(REPORT.key_dates[0]).replace("\N{NO-BREAK SPACE}", " ")
    made = key_date_words(key_date(DAY, 0))
    table = performance_page(REPORT).sections[4].table

    assert missed == (
        "1 of 3 packages complete: misses the date by 15 working days, done by 16 August 2026 with "
        "the people there"
    )
    assert "makes the date" in made
    # 1.3 needed, 0.8 there
    assert table.rows[1].cells[2:] == (
        Decimal("4.0"),
        Decimal("1.3"),
        Decimal("0.8"),
        Decimal("0.5"),
    )


@pytest.mark.slow
def test_charts_are_read_in_grey() -> None:
    """No two lines of a chart are alike in width and dashes, and each is named beside it."""
    for chart in (hours_chart(REPORT), index_chart(REPORT)):
        assert chart is not None
        samples = re.findall(
            r'<path d="M(?:537|53\d) [^>]*stroke-width="([^"]+)"([^>]*)/>', chart.svg
        )
        assert len(samples) == len(set(samples)) > 1
    assert index_chart(NOT_BEGUN) is None


@pytest.mark.slow
@pytest.mark.parametrize(
    ("most", "high", "step"),
    [(0, 1, 1), (6, 6, 1), (7, 8, 2), (176, 200, 50), (23664, 25000, 5000)],
)
def test_the_axis_has_round_steps(most: int, high: int, step: int) -> None:
    """Six steps at most, of one, two or five and tens of them."""
    axis = hours_axis(most)

    assert (axis.high, axis.step, len(axis.figures)) == (high, step, high // step + 1)


@pytest.mark.parametrize("name", slow_beyond(0, VIEWS))
def test_the_pdf_can_be_read_aloud(name: str) -> None:
    """Every report conforms to PDF/UA-1 (ISO 14289-1), and no word leaves the paper."""
    assert conforms(render(VIEWS[name], "pdf", recorded_at=RECORDED_AT)) == []
    for part in laid_out(VIEWS[name]):
        if part.text:
            assert 0 <= part.box.position_x <= part.box.position_x + part.box.width <= 794


@pytest.mark.slow
def test_headings_say_labour_and_nothing_says_money() -> None:
    """Materials are in no figure: the page says so at the top, and has no field for money."""
    names = set(PerformanceReport.__dataclass_fields__)

    assert "Labour performance" in html_of(REPORT)
    assert "materials, subcontract and plant are in no figure" in html_of(REPORT)
    assert not [name for name in names if {"cost", "rate", "pay", "price"} & set(name.split("_"))]


@pytest.mark.slow
def test_a_forecast_that_is_undefined_says_why() -> None:
    """A formula without a figure is named with the reason."""
    view = report(forecasts=(ForecastBy("eac_recent", None, "nothing was earned"),))
    rows = performance_page(view).sections[7].table.rows

    assert (rows[0].cells[2], rows[0].remark) == (None, "Nothing was earned")


@pytest.mark.parametrize(("count", "x"), [(1, "67"), (20, "56")])
def test_the_status_date_crosses_no_name_of_a_level(count: int, x: str) -> None:
    """Early in a job the status date is at the left: the budget's name stands right of it.

    One week of 40 from the first to the last day: 52 + 479 / 40 is 63, and 4 beside it.
    """
    last = figures("LANDING", (1000, 50 * count, 40 * count, 50 * count, 1250))
    accounts = (replace(last, key="deck"),)
    to_come = tuple(PlannedWeek(DAY + WEEK * n, 1000 * HOUR) for n in range(1, 41 - count))
    time = replace(LATE, forecast_finish=None)
    view = report(
        whole=last,
        accounts=accounts,
        weeks=weeks(count),
        to_come=to_come,
        time=time,
        forecast_range_ms=None if count == 1 else (1100 * HOUR, 1300 * HOUR),
    )
    chart = hours_chart(view)

    assert chart is not None
    assert re.search(rf'<text x="{x}" [^>]*>budget \(BAC\)', chart.svg)


def test_the_caption_of_the_indices_explains_both() -> None:
    """CPI is of hours, SPI(t) of time."""
    chart = index_chart(REPORT)

    assert chart is not None
    assert chart.caption == (
        "CPI above 1: fewer hours booked than were earned. SPI(t) above 1: less time than planned "
        "for what was done. Below 1: more."
    )
