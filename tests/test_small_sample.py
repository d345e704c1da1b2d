"""The program agrees with an independent reckoning of the small sample's files."""

import json
import shlex
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from tests import _small_files as files
from tests._small_files import SAMPLE
from tests._small_reckoning import (
    BASELINES,
    OTHER_DATES,
    STATUS_DATE,
    UNITS,
    WEEKS,
    Reckoning,
    all_rounded,
    rounded,
)
from tests.conftest import Yard

README = (SAMPLE / "README.md").read_text(encoding="utf-8")
FOUR_PLACES = WEEKS | {"percent_complete"}  # neither hours nor a ratio: compared at four places


def commands() -> list[list[str]]:
    """Return the commands by which the README builds the job, after `fairhours`."""
    block = README.split("## Building it\n")[1].split("```sh\n")[1].split("```")[0]
    return [shlex.split(line)[1:] for line in block.splitlines()]


def with_paths(words: list[str]) -> list[str]:
    return [str(SAMPLE / word) if word.endswith((".csv", ".toml")) else word for word in words]


def load_all(yard: Yard) -> None:
    for words in commands():
        yard.run(*with_paths(words))


def build(yard: Yard) -> Yard:
    """Give the yard the sample's book, as the README's own commands make it."""
    return yard.copy_made_by(load_all)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """A yard with the sample loaded by the README's own commands, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


def compared(row: dict[str, Any], names: Iterable[str]) -> dict[str, Any]:
    """Return the named figures as compared: weeks and percent at four places."""
    return {name: coarse(name, row[name]) for name in names}


def all_compared(figures: dict[str, Fraction | None]) -> dict[str, Any]:
    return compared(all_rounded(figures), figures)


def coarse(name: str, value: Any) -> Any:
    if name not in FOUR_PLACES or not isinstance(value, Decimal):
        return value
    return value.quantize(Decimal("0.0001"), rounding=ROUND_HALF_UP)


@dataclass(frozen=True)
class Asked:
    """A question to performance: the day, the baseline and what is measured."""

    day: date
    baseline: str
    measured_in: str

    @property
    def reckoning(self) -> Reckoning:
        return Reckoning(self.day, self.baseline, self.measured_in)

    @cache  # noqa: B019 - a question to a book that is only read
    def answer(self, yard: Yard, *words: str) -> Any:
        options = ("--baseline", self.baseline, "--in", self.measured_in)
        return yard.json(
            "performance", "--job", "STAGE", "--status-date", self.day, *options, *words
        )


QUESTIONS = [
    Asked(day, baseline, unit)
    for day in [STATUS_DATE, *OTHER_DATES]
    for baseline in BASELINES
    for unit in UNITS
]


def test_loading_the_sheets_counts_every_line(yard: Yard) -> None:
    """Lines read, booked and held of each file, and the hours booked, are those reckoned."""
    *before, sheets = commands()
    for words in before:
        yard.run(*with_paths(words))
    loaded = yard.json(*with_paths(sheets))
    expected = {file: all_rounded(row) for file, row in files.counted_by_file().items()}
    actual = {
        row["file"].rpartition("/")[2]: (row["lines_read"], row["booked"], row["held"])
        for row in loaded["files"]
    }
    hours = expected.pop("all")["hours booked"]

    assert actual == {
        file: (row["lines read"], row["booked"], row["held"]) for file, row in expected.items()
    }
    assert loaded["booked_hours"] == hours


def test_loading_the_sheets_again_books_nothing(yard: Yard) -> None:
    """A second load of the same files books no line and holds no line anew."""
    again = build(yard).json(*with_paths(commands()[-1]))
    actual = [
        (f["booked"], f["held"], f["already_booked"], f["already_held"]) for f in again["files"]
    ]

    assert actual == [(0, 0, 11, 1), (0, 0, 12, 2), (0, 0, 14, 0)]


def test_held_lists_the_three_lines(built: Yard) -> None:
    """The lines held are those whose worker, day or duration is not established."""
    listed = built.rows(built.run("held", "--format", "csv").stdout)
    actual = sorted((row["file"].rpartition("/")[2], row["line"]) for row in listed)

    assert actual == sorted((file, str(number)) for file, number, _ in files.held_lines())
    assert all(row["reason"] and row["message"] for row in listed)


def test_performance_of_the_job(built: Yard) -> None:
    """The job's row equals the reckoning at four dates, on both baselines, in hours and cost."""
    expected = {asked: all_compared(asked.reckoning.job()) for asked in QUESTIONS}
    rows = {asked: asked.answer(built)["rows"] for asked in QUESTIONS}
    actual = {asked: compared(row, expected[asked]) for asked, [row] in rows.items()}

    assert actual == expected


def test_an_undefined_figure_is_said_with_its_reason(built: Yard) -> None:
    """Every figure that the reckoning leaves undefined has its reason in the row."""
    for asked in QUESTIONS:
        [row] = asked.answer(built)["rows"]
        silent = [
            n for n, v in asked.reckoning.job().items() if v is None and not row["undefined"].get(n)
        ]

        assert silent == []


@pytest.mark.slow
@pytest.mark.parametrize("grouping", ["work-package", "control-account", "trade"])
def test_performance_by_group(built: Yard, grouping: str) -> None:
    """Each package's, account's and trade's row equals the reckoning; no other has figures."""
    expected = {asked: rows_reckoned(asked, grouping) for asked in QUESTIONS}
    actual = {asked: rows_shown(built, asked, grouping) for asked in QUESTIONS}

    assert actual == expected


def rows_reckoned(asked: Asked, grouping: str) -> dict[str, Any]:
    return {key: all_compared(row) for key, row in asked.reckoning.by(grouping).items()}


def rows_shown(yard: Yard, asked: Asked, grouping: str) -> dict[str, Any]:
    """Return the program's rows by key; a row of nothing but zeros may stand or not."""
    names = asked.reckoning.job()
    wanted = asked.reckoning.by(grouping)
    rows = asked.answer(yard, "--by", grouping)["rows"]
    return {
        row["key"]: compared(row, names)
        for row in rows
        if row["key"] in wanted or any(row[name] for name in ("bac", "pv", "ev", "ac"))
    }


@pytest.mark.parametrize("unit", UNITS)
def test_performance_states_what_stands_outside(built: Yard, unit: str) -> None:
    """The anticipated final, and the instructed change outside the row, equal the reckoning."""
    job = Reckoning(STATUS_DATE, measured_in=unit)
    answer = Asked(STATUS_DATE, "current", unit).answer(built)
    outside = {row["key"]: row for row in answer["outside"]}
    actual = [answer["anticipated_final"], *(outside["instructed"][name] for name in ("bac", "ac"))]
    expected = [job.steps()["anticipated_final"], job.added("CR2"), job.booked(place="CR2")]

    assert actual == [rounded("hours", amount) for amount in expected]


@pytest.mark.slow
def test_time_from_the_earned_schedule(built: Yard) -> None:
    """The earned schedule and its forecasts equal the reckoning at four dates."""
    expected = {asked: time_reckoned(asked.reckoning) for asked in QUESTIONS}
    times = {asked: asked.answer(built)["time"] for asked in QUESTIONS}

    assert {asked: compared(time, expected[asked]) for asked, time in times.items()} == expected


def time_reckoned(job: Reckoning) -> dict[str, Any]:
    return all_compared(job.time()) | {"forecast_finish": str(job.forecast_finish())}


def test_the_status_date_left_out_is_the_last_measured_week_end(built: Yard) -> None:
    """Without a status date the figures are those of the last week end with measure and entry."""
    answer = built.json("performance", "--job", "STAGE")

    assert answer["status_date"] == str(STATUS_DATE)
    assert answer["incomplete"]["is"] is True  # 39 hours are held


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("day", [STATUS_DATE, *OTHER_DATES])
def test_overrun_in_hours_and_cost(built: Yard, day: date, unit: str) -> None:
    """The ten steps and both splits equal the reckoning at four dates."""
    job = Reckoning(day, measured_in=unit)
    answer = built.json("overrun", "--job", "STAGE", "--status-date", day, "--in", unit)
    steps = {row["step"]: row["amount"] for row in answer["steps"]}
    expected = all_rounded(job.steps())

    assert {name: steps[name] for name in expected} == expected
    assert parties(answer["asked_by"]) == parties(all_rounded(job.asked_by()))
    assert parties(answer["borne_by"]) == parties(all_rounded(job.borne_by()))
    assert unit == "cost" or list(steps) == list(expected)  # hours have the ten steps alone


def parties(split: dict[str, Any]) -> dict[str, Any]:
    """Return the split without the parties that have nothing."""
    return {party: amount for party, amount in split.items() if amount}


def test_the_report_reconciles_the_contract_sum(built: Yard) -> None:
    """The owner's sums go from the contract sum to the anticipated final sum."""
    out = built.folder / "variations.json"
    built.run("report", "variations", "--job", "STAGE", "--status-date", STATUS_DATE, "--out", out)
    steps = {row["step"]: Decimal(row["amount"]) for row in json.loads(out.read_text())["sums"]}
    sums = all_rounded(files.contract_sum(STATUS_DATE))

    assert steps["contract_sum"] == sums["original contract sum"]
    assert steps["approved_variations"] == sums["approved"]
    assert steps["omissions"] == sums["omissions"]
    assert steps["adjusted_contract_sum"] == sums["adjusted contract sum"]
    assert steps["instructed_at_latest_price"] == sums["instructed"]
    assert steps["anticipated_final_sum"] == sums["anticipated final sum"]


@pytest.mark.slow
def test_the_order_of_loading_does_not_move_hours(yard: Yard) -> None:
    """Sheets loaded before crew, estimate, changes and rules end where they end otherwise."""
    new, settings, job, *others, sheets = commands()
    for words in (new, settings, job, sheets, *others):
        yard.run(*with_paths(words))
    by_package = Asked(STATUS_DATE, "current", "hours").answer(yard, "--by", "work-package")["rows"]
    actual = {row["key"]: row["ac"] for row in by_package}

    assert actual == {
        key: rounded("ac", row["ac"])
        for key, row in Reckoning(STATUS_DATE).by("work-package").items()
    }


def test_the_book_of_the_sample_holds(built: Yard) -> None:
    """Every seal and every invariant of the sample's book holds."""
    assert built.run("check").exit_code == 0
