"""The demo yard's pages: every figure is that of the command it names."""

import json
import shlex
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import Yard
from tests.reports.test_week import found

TO = "2026-11-01"
NEAR = Decimal("0.00005")  # A figure of a command has four places.
HOUR = 3_600_000


def parsed(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"), parse_float=Decimal, parse_int=Decimal)


class Opened:
    """What the commands that a page names give, each run once."""

    def __init__(self, book: Yard) -> None:
        self.book, self.given = book, dict[str, Any]()

    def by(self, words: str) -> Any:
        if words not in self.given:
            self.given[words] = self.book.json(*shlex.split(words)[1:])
        return self.given[words]


def same(shown: Any, given: Any) -> bool:
    """Return whether a page's figure is the command's, rounded to the page's places."""
    if shown is None or given is None:
        return shown is given
    if isinstance(given, Decimal | int):
        value = Decimal(shown)
        return round(Decimal(given), -int(value.as_tuple().exponent)) == value
    return str(shown) == str(given)


@pytest.mark.slow
def test_every_figure_of_the_overview_is_that_of_its_command(
    demo_book: Yard, tmp_path: Path
) -> None:
    """All jobs of the demo: lines, weeks and steps are looked up in the JSON of what opens them."""
    out = tmp_path / "overview.json"
    demo_book.run("report", "overview", "--to", TO, "--out", out)
    view, opened = parsed(out), Opened(demo_book)
    lines = [*view["of_yard"], *(line for job in view["jobs"] for line in job["lines_of"]["lines"])]
    figures = [(line, each) for line in lines for each in line["figures"] if each["at"]]
    astray = [
        (line["what"], each["name"], each["value"])
        for line, each in figures
        if not same(each["value"], found(opened.by(line["opened_by"]), each["at"]))
    ]

    assert astray == []
    assert len(figures) > 40
    assert len(opened.given) > 10
    for job in view["jobs"]:
        series = opened.by(job["weeks_opened_by"])
        steps = {e["step"]: e["amount"] for e in opened.by(job["steps_opened_by"])["steps"]}
        rows = {row["period_end"]: row for row in (*series["rows"], *series["to_come"])}
        for week in job["weeks"]:
            for name in ("pv", "ev", "ac"):
                ms = week[name]
                assert ms is None or abs(ms / HOUR - rows[week["end"]][name]) <= NEAR, week
        assert {e["step"]: e["amount"] / HOUR for e in job["steps"]}.keys() == steps.keys()
        for each in job["steps"]:
            assert abs(each["amount"] / HOUR - steps[each["step"]]) <= NEAR, each


def hours_of(rows: list[Any], name: str, unit: str) -> dict[str, Decimal]:
    """Return the hours of rows by what names them, to the four places of a command."""
    return {row[name]: round(Decimal(row[unit]) / HOUR, 4) for row in rows}


@pytest.mark.slow
def test_the_reports_of_a_pack_have_the_figures_of_their_commands(
    demo_book: Yard, tmp_path: Path
) -> None:
    """Of the pack's reports that are JSON too, sums, steps, rows, weeks and account are commands'.

    That a pack's file is its report, byte by byte, is tested with the pack.
    """
    of_job, views = ("--job", "FERRY"), dict[str, Any]()
    for name in ("variations", "job", "overrun", "performance", "account"):
        out, day = tmp_path / f"{name}.json", "--to" if name == "account" else "--status-date"
        demo_book.run("report", name, *of_job, day, TO, "--out", out)
        views[name] = parsed(out)
    known = {
        name: demo_book.json(name, *of_job, "--status-date", TO)
        for name in ("changes", "overrun", "performance", "series")
    }
    account = demo_book.json("account", *of_job, "--to", TO)
    packages = demo_book.json("performance", *of_job, "--status-date", TO, "--by", "work-package")
    steps = {row["step"]: row["amount"] for row in known["overrun"]["steps"]}
    sums = {row["step"]: Decimal(row["amount"]) for row in views["variations"]["sums"]}
    report, whole = views["performance"], views["performance"]["whole"]
    by_package = {row["key"]: row for row in packages["rows"]}
    booked = {row["period_end"]: row["ac"] for row in known["series"]["rows"]}
    named = {each["name"]: Decimal(each["amount"]) for each in views["account"]["taxed"]}
    owners = views["job"]["account"]

    assert hours_of(views["overrun"]["steps"], "step", "ms") == steps
    for kind in ("asked_by", "borne_by"):
        told = hours_of(views["overrun"][kind], "mark", "ms")
        assert told == {mark: known["overrun"][kind][mark] for mark in told}
    shown = hours_of(views["variations"]["hours"], "step", "hours_ms")
    assert {step: shown[step] for step in steps} == steps
    assert sums["adjusted_contract_sum"] == known["changes"]["adjusted_sum"]
    assert sums["contract_sum"] == known["changes"]["original_sum"]
    for name in ("bac", "pv", "ev", "ac", "eac"):
        (row,) = known["performance"]["rows"]
        assert round(whole[f"{name}_ms"] / HOUR, 4) == row[name]
        for each in report["packages"]:
            assert round(each[f"{name}_ms"] / HOUR, 4) == by_package[each["key"]][name]
    assert hours_of(report["weeks"], "period_end", "ac_ms") == booked
    assert named == {name: account[name] for name in named}
    for name in ("invoiced_to_date", "credited_to_date", "paid_to_date", "outstanding"):
        assert Decimal(owners[name]) == account[name]
    assert Decimal(owners["certified_value"]) == account["claims"][-1]["certified"]
