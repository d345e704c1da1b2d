"""The program agrees, on the demo yard's book, with an independent reckoning of its files.

The reckoning (the modules named _reckon_...) uses nothing of the program. Every figure is compared
as it is printed: hours and money to four places, ratios and weeks to six.
"""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from tests.conftest import Yard
from tests.demo import _replay
from tests.demo._reckon_print import all_printed, printed
from tests.demo._reckon_schedule import loads_of
from tests.demo._reckon_yard import ReckonedYard
from tests.demo.conftest import ENDINGS, REPORTED, invoke, report_of

pytestmark = pytest.mark.slow

BASELINES, UNITS = ("current", "original"), ("hours", "cost")
GROUPINGS = ("job", "control-account", "work-package", "trade")
QUESTIONS = [
    *(("FERRY", date(2026, *day)) for day in ((3, 29), (5, 10), (7, 15), (10, 25))),
    *(("SEDGE", date(2026, *day)) for day in ((3, 1), (4, 15), (5, 17), (6, 28))),
]
asked = pytest.mark.parametrize(("job", "day"), QUESTIONS, ids=str)
VIEWS = [(*each, on, unit) for each in QUESTIONS for on in BASELINES for unit in UNITS]


class Demo(NamedTuple):
    """The demo yard's book as the program made it, and what is reckoned from the same files."""

    book: Yard
    yard: ReckonedYard

    def performance(self, job: str, day: date, *words: str) -> Any:
        return answer(self.book, "performance", "--job", job, "--status-date", str(day), *words)

    def overrun(self, job: str, day: date, unit: str) -> Any:
        words = ("--job", job, "--status-date", str(day), "--in", unit)
        return answer(self.book, "overrun", *words)


ANSWERS: dict[tuple[str, ...], Any] = {}


def answer(book: Yard, *words: str) -> Any:
    """Return what the program answers; it is asked each question once."""
    if words not in ANSWERS:
        ANSWERS[words] = book.json(*words)
    return ANSWERS[words]


@pytest.fixture(scope="module")
def demo(demo_book: Yard) -> Demo:
    """The demo yard's book, and the reckoning of the same files."""
    return Demo(demo_book, ReckonedYard(loads_of(_replay.SAMPLE)))


@pytest.mark.parametrize("ending", ENDINGS)
@pytest.mark.parametrize("evening", REPORTED)
def test_a_past_report_is_made_again_byte_for_byte(demo: Demo, evening: str, ending: str) -> None:
    """What the owner was given comes out of the final book again, months of loads later."""
    day = evening[:10]
    invoke(demo.book, "--known-at", day, *report_of(demo.book, evening, f"again.{ending}"))
    then, again = (demo.book.folder / f"{day}-{when}.{ending}" for when in ("then", "again"))

    assert again.read_bytes() == then.read_bytes()


# --- rows of performance -------------------------------------------------------------------------


def differences(actual: Any, expected: Any, *where: object) -> Iterator[str]:
    """Yield where, what the program says and what is reckoned, for all that is not alike."""
    if isinstance(actual, dict) and isinstance(expected, dict):
        for key in sorted({*actual, *expected}):
            yield from differences(actual.get(key), expected.get(key), *where, key)
    elif actual != expected:
        yield f"{' '.join(map(str, where))}: {actual}, reckoned {expected}"


@pytest.mark.parametrize(("job", "day", "on", "unit"), VIEWS, ids=str)
def test_every_row_is_as_reckoned(demo: Demo, job: str, day: date, on: str, unit: str) -> None:
    """Each figure of each row, by each grouping, is the reckoned one, and there is no other row."""
    own = demo.yard.job(job, day, on, unit)
    found: list[str] = []
    for by in GROUPINGS:
        rows = demo.performance(job, day, *in_terms_of(on, unit), "--by", by)["rows"]
        expected = {key: all_printed(row, unit) for key, row in own.rows(by).items()}
        actual = {row["key"]: only(row, expected.get(row["key"], row)) for row in rows}
        found += differences(actual, expected, by)

    assert found == []


def in_terms_of(on: str, unit: str) -> tuple[str, ...]:
    return "--baseline", on, "--in", unit


def only(row: dict[str, Any], names: dict[str, Any]) -> dict[str, Any]:
    return {name: row[name] for name in names}


@asked
def test_a_figure_left_undefined_has_its_reason(demo: Demo, job: str, day: date) -> None:
    """Every figure that is reckoned to be undefined is null and has a reason in its row."""
    silent, by = [], "work-package"
    rows = demo.yard.job(job, day, "current", "hours").rows(by)
    for row in demo.performance(job, day, *in_terms_of("current", "hours"), "--by", by)["rows"]:
        figures = rows[row["key"]]
        undefined = [name for name, value in figures.items() if value is None]
        silent += [(row["key"], name) for name in undefined if not row["undefined"].get(name)]

    assert silent == []


# --- beside the rows -----------------------------------------------------------------------------


@asked
@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("on", BASELINES)
def test_time_is_as_reckoned(demo: Demo, job: str, day: date, on: str, unit: str) -> None:
    """Earned schedule, actual time and what follows from them are the reckoned ones."""
    schedule = demo.yard.job(job, day, on, unit).schedule
    time = demo.performance(job, day, *in_terms_of(on, unit), "--by", "job")["time"]
    expected = all_printed(schedule.figures(), unit) | {
        "forecast_finish": schedule.forecast_finish and str(schedule.forecast_finish),
        "days_granted": demo.yard.days_granted(job, day),
    }

    assert list(differences(only(time, expected), expected)) == []


@asked
@pytest.mark.parametrize("unit", UNITS)
def test_what_stands_outside_is_as_reckoned(demo: Demo, job: str, day: date, unit: str) -> None:
    """The rows outside, all that is booked and the anticipated final are those reckoned."""
    overrun = demo.yard.overrun(job, day, unit)
    told = demo.performance(job, day, *in_terms_of("current", unit), "--by", "job")
    expected: dict[str, Any] = {
        key: all_printed(row, unit) for key, row in overrun.outside().items()
    }
    actual: dict[str, Any] = {
        row["key"]: only(row, expected[row["key"]]) for row in told["outside"]
    }
    for name, amount in (("anticipated_final", overrun.anticipated_final), *job_booked(overrun)):
        expected[name], actual[name] = printed(name, amount, unit), told[name]

    assert list(differences(actual, expected)) == []


def job_booked(overrun: Any) -> Iterator[tuple[str, Fraction]]:
    """Return all that is booked to the job: its AC and what stands outside."""
    job = overrun.job
    outside = sum((row["ac"] for row in overrun.outside().values()), Fraction(0))
    yield "job_booked", job.totals(job.all, job.day, lost=True).ac + outside


def test_incomplete_is_as_reckoned(demo: Demo) -> None:
    """A job's figures are incomplete by what is held and untagged of its own by the day.

    The reckoning leaves out which sheets are expected; so does this comparison.
    """
    words = (*in_terms_of("current", "hours"), "--by", "job")
    told = {q: demo.performance(*q, *words)["incomplete"]["reasons"] for q in QUESTIONS}
    actual = {q: any(not each.endswith("sheets are in") for each in told[q]) for q in QUESTIONS}

    assert actual == {q: demo.yard.incomplete(*q) for q in QUESTIONS}


@asked
def test_hours_booked_since_measured_are_as_reckoned(demo: Demo, job: str, day: date) -> None:
    """The hours booked to each package after its own last measurement are those reckoned."""
    words = (*in_terms_of("current", "hours"), "--by", "job")
    told = demo.performance(job, day, *words)["incomplete"]["booked_since_measured"]
    expected = demo.yard.unmeasured(job, day)

    assert {row["package"]: row["hours"] for row in told} == {
        package: printed("ac", Fraction(ms), "hours") for package, ms in expected.items()
    }


@pytest.mark.parametrize("job", ["FERRY", "SEDGE"])
def test_the_status_date_left_out_is_as_reckoned(demo: Demo, job: str) -> None:
    """Without a status date the figures are of the last week with a measurement and an entry."""
    actual = answer(demo.book, "performance", "--job", job)["status_date"]

    assert actual == str(demo.yard.status_date(job))


# --- the overrun ---------------------------------------------------------------------------------


@asked
@pytest.mark.parametrize("unit", UNITS)
def test_the_steps_are_as_reckoned(demo: Demo, job: str, day: date, unit: str) -> None:
    """The ten steps, with what they are to date, are the reckoned ones, in their order."""
    overrun = demo.yard.overrun(job, day, unit)
    told = demo.overrun(job, day, unit)
    expected = amounts(overrun.steps, unit), amounts(overrun.to_date(), unit)
    steps = {row["step"]: row["amount"] for row in told["steps"]}
    to_date = {row["step"]: row["to_date"] for row in told["steps"] if "to_date" in row}

    assert list(differences(steps, expected[0])) == []
    assert list(differences(to_date, expected[1])) == []
    assert list(steps) == list(expected[0])


@asked
@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("mark", ["asked_by", "borne_by"])
def test_the_marks_are_as_reckoned(demo: Demo, job: str, day: date, unit: str, mark: str) -> None:
    """Who asked for the growth, and who bears it, are the reckoned, and add up to it."""
    overrun = demo.yard.overrun(job, day, unit)
    split = overrun.asked_by() if mark == "asked_by" else overrun.borne_by()
    growth = overrun.steps["anticipated_final"] - overrun.steps["original_budget"]
    told = demo.overrun(job, day, unit)

    assert list(differences(not_nil(told[mark]), not_nil(amounts(split, unit)))) == []
    assert sum(split.values()) == growth


def amounts(figures: dict[str, Fraction], unit: str) -> dict[str, Any]:
    return all_printed(figures, unit, amounts=True)


def not_nil(split: dict[str, Any]) -> dict[str, Any]:
    """Return the split without the parties that have nothing."""
    return {party: amount for party, amount in split.items() if amount}


# --- the sheets ----------------------------------------------------------------------------------


def test_the_held_lines_are_those_reckoned(demo: Demo) -> None:
    """The lines held are those whose worker, day or duration is not established, and no other."""
    listed = demo.book.rows(demo.book.run("held", "--format", "csv").stdout)
    actual = sorted((Path(row["file"]).name, int(row["line"])) for row in listed)
    held = [line for line in demo.yard.sheets.lines if line.held]

    assert actual == sorted((line.file, line.number) for line in held)
    assert {line.held for line in held} == {"worker", "day", "duration"}


def test_the_hours_of_the_whole_yard_are_where_they_are_reckoned(demo: Demo) -> None:
    """Hours by job, place and cause, the yard's own and leave among them, are those reckoned."""
    told = demo.book.rows(demo.book.run("show", "posting", "--format", "csv").stdout)
    actual: dict[str, Any] = {}
    for row in told:
        add(actual, (row["job"], row["booked_to"], row["cause"], row["rework"]), int(row["ms"]))
    expected: dict[str, Any] = {}
    for e in demo.yard.sheets.entries:
        add(expected, (e.job, e.place, e.cause, e.rework), e.ms)

    assert list(differences(not_nil(actual), not_nil(expected))) == []


def add(sums: dict[str, int], key: tuple[str, ...], ms: int) -> None:
    sums[" ".join(key)] = sums.get(" ".join(key), 0) + ms
