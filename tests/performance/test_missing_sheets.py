"""Sheets expected and missing, and what they mean for the figures beside them."""

from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard, slow_beyond

SETTINGS = """
    [yard]
    name = "Mere Yard"
    currency = "EUR"
    week_start = "{week_start}"
    [overhead]
    TIDY = "tidying"
    [absence]
    SICK = "illness"
    """
JOB_FILE = """
    [job]
    code = "{job}"
    title = "Mere"
    owner = "Harbour Board"
    contract_sum = "9000.00"
    contract_date = 2026-03-01
    planned_start = 2026-03-02
    planned_finish = 2026-05-29
    days_off = [{days_off}]
    """
CREW = """
    worker_id,name,trade,grade,active_from,active_to
    A,Ada,joiner,plain,,
    B,Bert,joiner,plain,2026-03-12,2026-03-31
    """
RATES = "trade,effective_from,cost_per_hour\njoiner,2026-01-01,10\n"
ESTIMATE = """
    work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique
    HULL,Hull,build,joiner,400,2026-03-02,2026-05-29,percent_complete
    """
SHEET_HEAD = "sheet,worker_id,date,hours,booking_code\n"


def load(yard: Yard, what: str, text: str, job: str = "MERE") -> None:
    for_job = [] if what in {"crew", "rates"} else ["--job", job]
    yard.run("load", what, *for_job, yard.write(f"{what}.csv", text))


def begun(yard: Yard, *, week_start: str = "monday", days_off: str = "") -> Yard:
    """Return a yard with a job under way and 10 % of it done by 29 March."""
    settings = SETTINGS.format(week_start=week_start)
    yard.run("load", "settings", yard.write("settings.toml", settings))
    job = JOB_FILE.format(job="MERE", days_off=days_off)
    yard.run("load", "job", yard.write("job.toml", job))
    load(yard, "crew", CREW)
    load(yard, "rates", RATES)
    load(yard, "estimate", ESTIMATE)
    yard.run("freeze", "--job", "MERE", "--on", "2026-03-01")
    load(yard, "progress", "work_package,date,percent\nHULL,2026-03-27,10\n")
    return yard


def book(yard: Yard, *lines: str) -> None:
    """Load sheet lines: worker, day, hours, code."""
    rows = (f"{line.split(',')[1]}-{line[0]},{line}\n" for line in lines)
    load(yard, "sheets", SHEET_HEAD + "".join(rows))


def weeks(yard: Yard, day: str = "2026-04-12", *words: str) -> dict[str, Any]:
    told = yard.json("missing", "--job", "MERE", "--status-date", day, *words)
    return {row["week"]: (row["expected"], row["in"], row["missing"]) for row in told["weeks"]}


def performance(yard: Yard, day: str = "2026-03-29", *words: str) -> Any:
    return yard.json("performance", "--job", "MERE", "--status-date", day, *words)


def test_a_sheet_is_expected_of_each_worker_for_each_week_in_the_crew(yard: Yard) -> None:
    """Active on one working day of an ended week, by crew and calendar, is enough."""
    begun(yard, days_off="2026-04-06, 2026-04-07, 2026-04-08, 2026-04-09, 2026-04-10")
    book(yard, "A,2026-03-02,8,HULL", "B,2026-03-12,8,HULL", "A,2026-03-12,0,HULL")

    assert weeks(yard, "2026-04-14") == {
        "2026-03-02": (1, 1, []),
        "2026-03-09": (2, 2, []),
        "2026-03-16": (2, 0, ["A", "B"]),
        "2026-03-23": (2, 0, ["A", "B"]),
        "2026-03-30": (2, 0, ["A", "B"]),  # B until the Tuesday
    }  # The week of 6 April has no working day, that of the 13th has not ended.


def test_weeks_begin_where_the_yard_says(yard: Yard) -> None:
    """With weeks from Sunday, a Sunday's sheet is of the week that it begins."""
    begun(yard, week_start="sunday")
    book(yard, "A,2026-03-08,8,HULL")

    assert weeks(yard, "2026-03-14") == {
        "2026-03-01": (1, 0, ["A"]),
        "2026-03-08": (2, 1, ["B"]),
    }


def test_a_sheet_is_in_wherever_its_hours_went(yard: Yard) -> None:
    """Overhead and lines that wait make a sheet be in; a sheet reversed whole is not in."""
    begun(yard)
    book(yard, "A,2026-03-02,8,TIDY", "A,2026-03-09,30,HULL", "A,2026-03-16,8,HULL")
    entry = yard.json("entries", "--day", "2026-03-16")[0]["entry"]
    yard.run("reverse", "entry", entry, "--reason", "not theirs")

    assert weeks(yard, "2026-03-22") == {
        "2026-03-02": (1, 1, []),
        "2026-03-09": (2, 1, ["B"]),
        "2026-03-16": (2, 0, ["A", "B"]),
    }


def test_missing_sheets_are_listed_by_worker_too(yard: Yard) -> None:
    """The table by worker names the weeks that each lacks, and both lists count alike."""
    begun(yard)
    book(yard, "A,2026-03-02,8,HULL", "B,2026-03-16,8,HULL")
    words = ("missing", "--status-date", "2026-03-22")
    told = yard.json(*words)
    listed = yard.rows(yard.run(*words, "--by", "worker", "--format", "csv").stdout)

    assert (told["job"], told["sheets_in"], told["sheets_expected"]) == (None, 2, 5)
    assert [tuple(row.values()) for row in listed] == [
        ("A", "3", "1", "2", "2026-03-09 2026-03-16"),
        ("B", "2", "1", "1", "2026-03-09"),
    ]


@pytest.mark.slow
def test_a_sheet_of_under_half_the_calendar_hours_is_thin(yard: Yard) -> None:
    """Under half of 8 h a working day they are active, on all jobs, without absence, is listed."""
    begun(yard, days_off="2026-03-20")
    lines = ("A,2026-03-02,19.9,HULL", "A,2026-03-09,12,HULL", "A,2026-03-10,8,TIDY")
    book(yard, *lines, "B,2026-03-12,7.9,HULL", "B,2026-03-16,16,HULL", "A,2026-03-17,4,HULL")
    book(yard, "A,2026-03-18,8,SICK", "A,2026-03-23,0,HULL", "B,2026-03-24,4,HULL")
    book(yard, "B,2026-03-25,x,HULL")
    words = ("missing", "--job", "MERE", "--status-date", "2026-03-29")
    listed = yard.rows(yard.run(*words, "--thin", "--format", "csv").stdout)
    told, shown = yard.json(*words), yard.run(*words).stdout

    # 40 h a week; B's first has two days; in A's third they were ill; of B's last a line waits.
    assert [tuple(row.values()) for row in listed] == [
        ("2026-03-02", "A", "19.9000", "40.0000"),
        ("2026-03-09", "B", "7.9000", "16.0000"),
        ("2026-03-23", "A", "0.0000", "40.0000"),
    ]
    assert [(row["week"], row["worker_id"]) for row in told["thin"]] == [
        (row["week"], row["worker_id"]) for row in listed
    ]
    assert (told["sheets_in"], told["sheets_expected"]) == (7, 7)
    assert shown.splitlines()[-1] == "counts cover all sheets of the yard, whatever the job"


@pytest.mark.parametrize(("unit", "added"), slow_beyond(1, [("hours", 12), ("cost", 120)]))
def test_cpi_with_missing_sheets_takes_each_workers_four_week_mean(
    yard: Yard, unit: str, added: int
) -> None:
    """A missing week counts as the mean of the worker's last four weeks with a sheet in."""
    begun(yard)
    lines = [f"A,2026-03-{day:02},{hours},HULL" for day, hours in ((2, 8), (9, 20), (16, 8))]
    book(yard, *lines)
    told = performance(yard, "2026-03-29", "--in", unit)
    [row] = told["rows"]
    mark = told["incomplete"]
    rate = 1 if unit == "hours" else 10

    # A of the 23rd: (8 + 20 + 8) / 3 = 12; B has no week to take a mean of. EV = 40.
    assert (row["ac"], row["ev"]) == (36 * rate, 40 * rate)
    assert mark["cpi_with_missing"] == {
        "MERE": round(Decimal(40 * rate) / (36 * rate + added), 6),
    }
    assert (mark["is"], mark["sheets_in"], mark["sheets_expected"]) == (True, 3, 7)
    assert mark["reasons"][0] == "3 of 7 sheets are in"


@pytest.mark.slow
def test_without_missing_sheets_cpi_stands_as_it_is(yard: Yard) -> None:
    """All in: no reason is given, and CPI with missing sheets is CPI."""
    begun(yard)
    book(yard, *(f"A,2026-03-{day:02},8,HULL" for day in (2, 9, 16, 23)))
    book(yard, *(f"B,2026-03-{day:02},8,HULL" for day in (12, 19, 26)))
    told = performance(yard)
    shown = yard.run("performance", "--job", "MERE", "--status-date", "2026-03-29")

    assert (told["incomplete"]["is"], told["incomplete"]["reasons"]) == (False, [])
    assert told["incomplete"]["cpi_with_missing"]["MERE"] == told["rows"][0]["cpi"]
    assert ("INCOMPLETE" in shown.stderr, "missing" in shown.stdout) == (False, False)
    assert shown.stdout.splitlines()[-1] == (
        "sheets of the yard: 7 of 7 in, 6 of them thin; 0.00 h held, 0.00 h untagged; "
        "newest measurement 2026-03-27, newest entry 2026-03-26"
    )


@pytest.mark.slow
def test_held_hours_of_another_job_leave_this_one_complete(yard: Yard) -> None:
    """Held hours count for the job they are of, by the status date, as far as they can be read."""
    begun(yard)
    yard.run("load", "job", yard.write("pier.toml", JOB_FILE.format(job="PIER", days_off="")))
    book(yard, *(f"A,2026-03-{day:02},8,HULL" for day in (2, 9, 16, 23)))
    book(yard, *(f"B,2026-03-{day:02},8,HULL" for day in (12, 19, 26)))
    head = "sheet,worker_id,date,hours,booking_code,job\n"
    lines = ("Z,2026-03-03,9,HULL,PIER", "Z,2026-03-30,9,HULL,", "Z,2026-03-03,x,HULL,")
    yard.run("load", "sheets", yard.write("w.csv", head + "".join(f"z,{x}\n" for x in lines)))
    before = performance(yard)["incomplete"]
    yard.run("load", "sheets", yard.write("z.csv", head + "z,Z,2026-03-03,0.6,HULL,\n"))
    after = performance(yard)["incomplete"]

    assert (before["is"], before["held_hours"], before["held_lines_without_hours"]) == (False, 0, 1)
    # 0.6 of 56.6 h
    assert after["reasons"] == ["0.60 h are held and 0.00 h untagged, 1.1 % of 56.60 h"]


def all_in(yard: Yard) -> None:
    """Book every week to 29 March with a sheet in: 56 h, to the day before it was measured."""
    begun(yard)
    book(yard, *(f"A,2026-03-{day:02},8,HULL" for day in (2, 9, 16, 23)))
    book(yard, *(f"B,2026-03-{day:02},8,HULL" for day in (12, 19, 26)))


@pytest.mark.slow
def test_hours_booked_after_a_packages_own_last_measurement_are_named(yard: Yard) -> None:
    """Over 5 % of AC booked since its package was measured heads the figures incomplete."""
    all_in(yard)
    book(yard, "A,2026-03-28,2.9,HULL", "B,2026-03-27,30,HULL")  # 30 h of a day are held
    before = performance(yard, "2026-03-28")["incomplete"]
    book(yard, "A,2026-03-29,0.2,HULL")
    words = ("performance", "--job", "MERE", "--status-date", "2026-03-29")
    told, shown = yard.json(*words)["incomplete"], yard.run(*words)
    reason = (
        "5.2 % of AC is booked to packages after their last measurement: "
        "HULL 3.10 h since 2026-03-27"
    )

    # 2.9 of 58.9 h is 4.9 %, 3.1 of 59.1 h is 5.2 %.
    assert before["reasons"] == []
    assert told["booked_since_measured"] == [
        {"package": "HULL", "measured_on": "2026-03-27", "hours": Decimal("3.1")}
    ]
    assert told["reasons"] == [reason]
    assert shown.stderr == f"INCOMPLETE: {reason}\n"


def test_a_package_that_was_never_measured_is_named_so(yard: Yard) -> None:
    """All time of a package without any measurement counts as booked after it."""
    all_in(yard)
    [reason] = performance(yard, "2026-03-26")["incomplete"]["reasons"][-1:]

    assert reason == (
        "100.0 % of AC is booked to packages after their last measurement: "
        "HULL 56.00 h never measured"
    )


def test_a_forecast_at_the_budgets_rate_says_why(yard: Yard) -> None:
    """Under 15 % earned the EAC names the budget's rate and that as its reason."""
    all_in(yard)
    [row] = performance(yard)["rows"]
    shown = yard.run("performance", "--job", "MERE", "--status-date", "2026-03-29").stdout
    reason = (
        "at the budget's rate because 10.0 % of BAC without level of effort is earned, under 15 %"
    )

    assert (row["eac_method"], row["eac_method_reason"]) == ("budget_rate", reason)
    assert f"forecast method, budget rate: {reason}\n" in shown


@pytest.mark.slow
@pytest.mark.parametrize("baseline", ["current", "original"])
def test_how_changes_are_costed_is_said_beside_the_cost(yard: Yard, baseline: str) -> None:
    """In cost the rates that changes are costed at stand beside the figures, in hours not."""
    all_in(yard)
    words = ("performance", "--job", "MERE", "--baseline", baseline)
    said = "on the day of approval"

    assert said in yard.run(*words, "--in", "cost").stdout
    assert said in yard.json(*words, "--in", "cost")["notes"][0]
    assert yard.json(*words)["notes"] == []


@pytest.mark.slow
def test_an_instructed_change_without_a_rate_leaves_cost_undefined(yard: Yard) -> None:
    """The price of an instructed change in a trade without a rate is no cost of nothing."""
    all_in(yard)
    load(
        yard,
        "changes",
        "change,title,requested_by,requested_on,change_basis\nX,X,I,2026-03-03,fixed_price\n",
    )
    load(yard, "change-lines", "change,price_kind,description,trade,hours\nX,labour,x,painter,8\n")
    load(yard, "change-events", "change,event,date,person\nX,instructed,2026-03-04,I\n")
    cost = performance(yard, "2026-03-29", "--in", "cost")
    reason = "painter of change X has no rate on 2026-03-29; load its rate"

    assert (cost["anticipated_final"], cost["undefined"]["anticipated_final"]) == (None, reason)
    assert performance(yard)["anticipated_final"] == 424  # 400 - 40 earned + 56 + 8


LEAVE = "worker_id,from,to,cause\nA,2026-03-09,2026-03-17,holiday\nZ,2026-03-09,2026-03-10,\n"


def test_no_sheet_is_expected_of_who_is_on_leave(yard: Yard) -> None:
    """A week of leave expects no sheet, a part of one does; leave withdrawn expects it again."""
    begun(yard)
    book(yard, "A,2026-03-02,8,HULL", "A,2026-03-18,8,HULL")
    loaded = yard.run("load", "leave", yard.write("leave.csv", LEAVE))
    weeks_then = weeks(yard, "2026-03-22")
    leave = yard.json("show", "leave")[0]["id"]
    yard.run("withdraw", "fact", leave, "--reason", "came to work")

    assert 'leave.csv:3: worker "Z" is not in the crew' in loaded.stderr
    assert weeks_then["2026-03-09"] == (1, 0, ["B"])
    assert weeks_then["2026-03-16"] == (2, 1, ["B"])
    assert weeks(yard, "2026-03-22")["2026-03-09"] == (2, 0, ["A", "B"])


@pytest.mark.slow
def test_leave_is_loaded_again_as_it_stands_now(yard: Yard) -> None:
    """The same first day with another last one supersedes; what cannot be is named by its line."""
    path = yard.write("leave.csv", LEAVE)
    yard.run("load", "leave", path)
    again = yard.run("load", "leave", path)
    yard.write("leave.csv", "worker_id,from,to\nA,2026-03-09,2026-03-18\n")
    longer = yard.run("load", "leave", path)
    rows = "A,2026-03-09,2026-03-08\nB,2026-03-09,2026-03-20\nB,2026-03-20,2026-03-21\n"
    yard.write("leave.csv", f"worker_id,from,to\n{rows}")
    wrong = yard.run("load", "leave", path, ok=False)

    assert "leave: 0 new, 0 changed, 2 unchanged" in again.stderr
    assert "day_to 2026-03-17 -> 2026-03-18" in longer.stderr
    assert "leave.csv:2: to 2026-03-08 is before from 2026-03-09" in wrong.stderr
    assert "leave.csv:4: the leave of worker B overlaps that on line 3" in wrong.stderr
