"""The yard's report of why the hours changed: it adds up, and agrees with the commands."""

import io
import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import openpyxl
import pytest
from playwright.sync_api import sync_playwright

from ledger.domain.allocation import hours_of
from ledger.reports.identity import StampShown, Yard
from ledger.reports.rendering import render
from ledger.reports.time_charts import Moment, TimelineRow, stacked_weeks, timeline
from ledger.reports.yard.overrun import (
    ChangeOverTime,
    MarkRow,
    PartRow,
    StepRow,
    WeekRow,
    YardOverrun,
)
from tests.conftest import Yard as Book
from tests.reports._browser import PHONE, WIDE, browser, needs_browser, shown, violations
from tests.reports._landing import RECORDED_AT
from tests.reports._yard_pages import HARBOUR, HOUR, LONG, STAMP, conforms
from tests.test_small_sample import build

DAY = date(2026, 6, 28)
ASKED = ("owner", "yard", "change_in_law", "unforeseen_condition")
BORNE = ("owner", "instructed_price_open", "at_risk", "undecided", "yard")
STEPS = {
    "original_budget": 1000,
    "approved_variations": 90,
    "omissions": -20,
    "over_under_on_variations": 5,
    "unapproved_changes": 15,
    "rework": 8,
    "over_under_on_original_work": 12,
    "non_productive": 6,
    "untagged": 4,
    "anticipated_final": 1120,
}


def marks(names: tuple[str, ...], *amounts: int) -> tuple[MarkRow, ...]:
    return tuple(MarkRow(n, a * HOUR, a * HOUR) for n, a in zip(names, amounts, strict=True))


def overrun(
    changes: int = 3, weeks: int = 20, yard: Yard = HARBOUR, stamp: StampShown = STAMP
) -> Any:
    """Return a report of a job with so many changes and weeks."""
    first = DAY - timedelta(weeks=weeks)
    return YardOverrun(
        yard=yard,
        job="LANDING",
        title="Timber landing for the Osterby ferry",
        status_date=DAY,
        last_date=DAY - timedelta(weeks=4),
        known_at=stamp,
        remade_by="fairhours --known-at 57 report overrun --job LANDING --out overrun.pdf",
        rehearsal=False,
        is_incomplete=False,
        planned_start=first + timedelta(days=7),
        steps=tuple(StepRow(s, ms * HOUR, last_ms=ms * HOUR) for s, ms in STEPS.items()),
        asked_by=marks(ASKED, 85, 30, 0, 5),
        borne_by=marks(BORNE, 70, 10, 5, 4, 31),
        parts=(
            PartRow("P01", LONG, "package", 1000 * HOUR, 700 * HOUR, 1010 * HOUR),
            PartRow("V01", "Rail", "variation", 0, 60 * HOUR, 110 * HOUR),
        ),
        weeks=tuple(
            WeekRow(first + timedelta(weeks=n), (30 * HOUR, n * HOUR, HOUR, 2 * HOUR))
            for n in range(weeks)
        ),
        changes=tuple(
            ChangeOverTime(
                f"V{n:02d}",
                LONG if n == 1 else f"Change {n}",
                "owner",
                "approved" if n % 3 else "declined",
                first + timedelta(days=n),
                first + timedelta(days=2 * n) if n % 2 else None,
                first + timedelta(days=3 * n),
                "approved" if n % 3 else "declined",
                first + timedelta(days=2 * n),
                DAY,
                10 * HOUR,
                5 * HOUR,
                10 * HOUR,
            )
            for n in range(1, changes + 1)
        ),
        booked_ms=sum(33 * HOUR + n * HOUR for n in range(weeks)),
    )


VIEWS = {"usual": overrun(), "empty": overrun(0, 0), "forty changes": overrun(40, 60)}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """The small sample in a book, to be read only."""
    return build(Book(tmp_path_factory.mktemp("built")))


@pytest.mark.slow
def test_the_report_agrees_with_the_commands(built: Book) -> None:
    """Steps and marks are those of `overrun`, hours of changes those of `changes`."""
    asked = ("--job", "STAGE", "--status-date", "2026-03-22")
    out = built.folder / "overrun.json"
    built.run("report", "overrun", *asked, "--since", "2026-03-15", "--out", out)
    view = json.loads(out.read_bytes())
    now, then = (
        built.json("overrun", "--job", "STAGE", "--status-date", day)
        for day in ("2026-03-22", "2026-03-15")
    )
    listed = {row["change"]: row for row in built.json("changes", *asked)["changes"]}

    steps = {row["step"]: hours_of(row["ms"], 4) for row in view["steps"]}
    assert steps == {row["step"]: row["amount"] for row in now["steps"]}
    before = {row["step"]: hours_of(row["last_ms"], 4) for row in view["steps"]}
    assert before == {row["step"]: row["amount"] for row in then["steps"]}
    for group in ("asked_by", "borne_by"):
        found = {row["mark"]: hours_of(row["ms"], 4) for row in view[group]}
        assert found == now[group]
    for row in view["changes"]:
        assert row["booked_ms"] == listed[row["code"]]["hours_booked"] * HOUR
        assert row["forecast_ms"] == listed[row["code"]]["hours_anticipated"] * HOUR
    booked = built.json("performance", *asked)
    assert view["booked_ms"] == sum(sum(week["ms"]) for week in view["weeks"])
    assert view["booked_ms"] == HOUR * (
        booked["rows"][0]["ac"] + sum(row["ac"] for row in booked["outside"])
    )


def test_what_does_not_add_up_is_no_report() -> None:
    """Parts, marks and weeks have to come to the steps and to the hours booked."""
    with pytest.raises(AssertionError, match="weeks do not add up"):
        YardOverrun(**{**vars(overrun()), "booked_ms": HOUR})


def test_weeks_are_stacked_to_scale() -> None:
    """30 of 40 hours at the top of a scale to 40 are three quarters of the drawing's height."""
    drawn = ElementTree.fromstring(stacked_weeks([DAY], [[3_000], [1_000]], ["one", "two"]))
    paths = [each.get("d", "") for each in drawn.iter("{http://www.w3.org/2000/svg}path")]
    boxes = [path for path in paths if path.endswith("Z")][2:]

    # Tenths of the 170 units of height: 127.5 and 42.5; the second stands on the first.
    assert [path.split("v")[1].split("h")[0] for path in boxes] == ["127.5", "42.5"]
    assert [path.split("h")[0].split(" ")[1] for path in boxes] == ["68.5", "26"]


def test_days_of_a_timeline_lie_to_scale() -> None:
    """A mark halfway through the span is halfway across, one before it at its beginning."""
    days = [DAY, DAY + timedelta(days=50), DAY - timedelta(days=9)]
    row = TimelineRow("V01", tuple(Moment(day, "circle") for day in days), None)
    drawn = ElementTree.fromstring(timeline([row], DAY, DAY + timedelta(days=100), []))
    marks = [each.get("cx") for each in drawn.iter("{http://www.w3.org/2000/svg}circle")]

    assert marks == ["205", "423", "205"]  # 205 + 436 / 2


@pytest.mark.slow
@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
def test_the_page_is_made_of_any_job(view: YardOverrun) -> None:
    """As PDF by PDF/UA-1, and as a workbook with a tab for each table."""
    made = render(view, "pdf", recorded_at=RECORDED_AT)
    tabs = openpyxl.load_workbook(io.BytesIO(render(view, "xlsx", recorded_at=RECORDED_AT)))

    assert conforms(made) == []
    assert tabs.sheetnames == ["Report", "Steps", "Marks", "Contributors", "Weeks", "Changes"]


@pytest.mark.slow
@needs_browser
def test_the_page_is_fit_for_everyone(tmp_path: Path) -> None:
    """No rule of axe-core is broken, wide or on a phone, which scrolls down alone."""
    html = render(overrun(), "html", recorded_at=RECORDED_AT).decode()
    with sync_playwright() as driver, browser(driver) as started:
        for width in (WIDE, PHONE):
            with shown(started, html, tmp_path, width) as page:
                assert violations(page) == []
                assert page.evaluate("document.documentElement.scrollWidth") <= width
