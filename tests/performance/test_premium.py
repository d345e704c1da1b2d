"""Overtime premium: what it costs, where it stands, and that it is in no hours."""

import random
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from ledger.domain.allocation import to_places
from ledger.domain.journal import PER
from ledger.domain.premium import premium_policy
from ledger.performance.actuals import Actuals
from ledger.performance.journal import journal as posted
from ledger.store.book import open_book
from tests._stage import JOB, SHEET_HEAD, load, load_all, load_sheets
from tests.conftest import Yard, slow_beyond
from tests.inputs._moves import freeze, price, request, tell
from tests.performance import test_sums_of_parts as sums
from tests.performance._random_books import JOB as ANY
from tests.performance._random_books import RandomBook

CODES = '[overhead]\nTIDY = "clean_up"\n[absence]\nHOL = "annual_leave"\n'
FORTY = '[overtime]\nweekly_hours = "40"\npremium_percent = "50"\npremium_stands = "{0}"\n'
FRIDAY, SATURDAY, SUNDAY = "2026-03-06", "2026-03-07", "2026-03-08"
# A lead carpenter at 36.00: 40 h by Thursday, then 6 h on Friday and 4 h on Saturday.
WEEK = """\
A1,2026-03-02,10,DECK,
A1,2026-03-03,10,DECK,
A1,2026-03-04,10,DECK,
A1,2026-03-05,10,TIDY,
A1,2026-03-06,4,DECK,
A1,2026-03-06,2,TIDY,
A1,2026-03-07,4,DECK,
"""
CLASSED = "worker_id,date,hours,booking_code,pay_class\n"


def worked(yard: Yard) -> None:
    """The week of a job that is frozen and measured."""
    load_all(yard)
    yard.run("load", "settings", yard.write("codes.toml", CODES))
    freeze(yard)
    load_sheets(yard, SHEET_HEAD + WEEK)
    load(yard, "progress", f"work_package,date,quantity_done\nDECK,{SUNDAY},10\n")


@pytest.fixture
def week(yard: Yard) -> Yard:
    """The week worked at a yard that pays no premium yet."""
    return yard.copy_made_by(worked)


def load_settings(yard: Yard, settings: str) -> None:
    yard.run("load", "settings", yard.write("premium.toml", settings))


def costs(yard: Yard, *words: str, by: str = "work-package", day: str = SUNDAY) -> dict[str, Any]:
    asked = ("--job", JOB, "--in", "cost", "--by", by, "--status-date", day)
    return {row["key"]: row["ac"] for row in yard.json("performance", *asked, *words)["rows"]}


def premium(yard: Yard, day: str = SUNDAY) -> Any:
    return costs(yard, day=day)["overtime_premium"]


def journal(yard: Yard) -> dict[tuple[str, str | None], Any]:
    """Return what is debited by kind and job, the credit below zero; both sides are equal."""
    found = yard.json("journal")
    assert found["debit"] == found["credit"]
    return {(row["kind"], row["job"]): row["debit"] - row["credit"] for row in found["lines"]}


def test_premium_stands_where_the_hours_above_the_threshold_were_worked(week: Yard) -> None:
    """10 h at half of 36.00: 4 + 4 h on the job are 144.00, 2 h of overhead 36.00; hours stay."""
    before = week.json("performance", "--job", JOB, "--status-date", SUNDAY)["rows"]
    load_settings(week, FORTY.format("place"))
    rows, job = costs(week), costs(week, by="job")
    after = week.json("performance", "--job", JOB, "--status-date", SUNDAY)["rows"]

    assert (rows["DECK"], rows["overtime_premium"]) == (38 * 36, 144)
    assert job == {JOB: 38 * 36 + 144}
    assert sum(rows.values()) == job[JOB]
    assert after == before
    assert journal(week) == {
        ("work_in_progress", JOB): 38 * 36,
        ("overhead", None): 12 * 36,
        ("overtime_premium", JOB): 144,
        ("overtime_premium", None): 36,
        ("labour_recovered", None): -(50 * 36 + 180),
    }


@pytest.mark.slow
def test_premium_is_spread_over_all_hours_of_the_week(week: Yard) -> None:
    """Of 10 h the job bears 38/50, 7.6 h, and overhead 2.4 h; by any grouping a row of its own."""
    load_settings(week, FORTY.format("week"))

    for by in ("work-package", "trade", "control-account"):
        assert (by, costs(week, by=by)["overtime_premium"]) == (by, Decimal("136.8"))
    assert journal(week)["overtime_premium", None] == Decimal("43.2")
    # By Friday 6 h are due, over 46 h: 34/46 of 108.00.
    assert premium(week, FRIDAY) == Decimal("79.8261")


@pytest.mark.slow
def test_a_week_cut_by_the_status_date_has_what_was_due_by_then(week: Yard) -> None:
    """Nothing by Thursday, 4 h of Friday's 6, then Saturday's 4 h too; the series says the same."""
    load_settings(week, FORTY.format("place"))
    asked = ("--job", JOB, "--in", "cost", "--by", "trade", "--status-date", SATURDAY)
    series = week.json("series", *asked)["rows"]

    assert [premium(week, day) for day in ("2026-03-05", FRIDAY, SATURDAY)] == [0, 72, 144]
    assert [row["ac"] for row in series if row["key"] == "overtime_premium"] == [144]


@pytest.mark.slow
def test_premium_moves_with_a_tag_and_falls_back_with_a_rate(week: Yard) -> None:
    """Saturday tagged to overhead leaves 72.00; at 40.00 an hour its 4 h are 80.00 of 152.00."""
    load_settings(week, FORTY.format("place"))
    rate = "trade,worker_id,effective_from,cost_per_hour\ncarpenter,A1,2026-03-07,40\n"
    week.run("load", "rates", week.write("rates.csv", rate))
    dearer = premium(week)
    [fact] = [row["id"] for row in week.json("show", "rate") if row["worker_id"] == "A1"]
    week.run("withdraw", "fact", fact, "--reason", "not agreed")
    withdrawn = premium(week)
    entry = next(e["entry"] for e in week.json("entries") if e["day"] == SATURDAY)
    place = ("--to", "overhead", "--cause", "clean_up", "--reason", "tidied")
    week.run("tag", "entries", entry, *place)

    assert (dearer, withdrawn, premium(week)) == (152, 144, 72)
    assert journal(week)["overtime_premium", None] == 36 + 72


@pytest.mark.slow
def test_the_overrun_and_the_variances_have_premium_apart(week: Yard) -> None:
    """It stands in `non_productive`, and beside the rate variance; both still add up."""
    asked = ("--job", JOB, "--status-date", SUNDAY)
    without = week.json("labour-variances", *asked)["all"]
    load_settings(week, FORTY.format("place"))
    found = week.json("overrun", *asked, "--in", "cost")
    steps = {row["step"]: row["amount"] for row in found["steps"]}
    final, budget = steps.pop("anticipated_final"), steps["original_budget"]
    variances = week.json("labour-variances", *asked)

    assert found["overtime_premium"] == {"of_step": "non_productive", "amount": 144}
    assert (steps["non_productive"], sum(steps.values())) == (144, final)
    assert sum(found["borne_by"].values()) == sum(found["asked_by"].values()) == final - budget
    assert variances["all"] == without | {"premium": -144, "total": without["total"] - 144}
    assert "overtime_premium" not in week.json("overrun", *asked)
    text = week.run("labour-variances", *asked).stdout
    assert "premium" in text


@pytest.mark.slow
def test_a_change_costs_its_premium(stage: Yard) -> None:
    """An approved change and one that waits: 2 h of each day's 10 are dearer by half."""
    freeze(stage)
    load(stage, "charge-rates", "trade,effective_from,charge_per_hour\ncarpenter,2026-01-01,60\n")
    request(stage, "OK", "WAIT")
    price(stage, *(f"{code},1,carpenter,10" for code in ("OK", "WAIT")))
    tell(stage, "OK,submitted,2026-03-02", "OK,approved,2026-03-02", "WAIT,instructed,2026-03-02")
    load_sheets(stage, f"{SHEET_HEAD}A1,{FRIDAY},10,OK,\nA1,{SATURDAY},10,WAIT,\n")
    load(stage, "progress", "work_package,date,finished\nOK,2026-03-06,2026-03-06\n")
    asked = ("--job", JOB, "--status-date", SUNDAY)

    def margins() -> list[Any]:
        return [row["margin"] for row in stage.json("changes", *asked)["changes"]]

    before = margins()
    load_settings(stage, '[overtime]\ndaily_hours = "8"\npremium_percent = "50"\n')
    outside = stage.json("performance", *asked, "--in", "cost")["outside"]

    assert before == [600 - 360, 600 - 360]
    assert margins() == [600 - 396, 600 - 396]
    assert costs(stage)["overtime_premium"] == 36
    assert {row["key"]: row["ac"] for row in outside}["instructed"] == 396


CLASSES = [
    # The sheet's class, and what is due above 8 h a day for the rest: nothing twice.
    ('overtime = "50"', ["8,DECK,", "2,DECK,overtime"], 360, 36),
    ('overtime = "100"', ["8,DECK,", "2,DECK,Overtime"], 360, 72),
    ('overtime = "50"', ["9,DECK,", "2,DECK,overtime"], 396, 36 + 18),
    ('overtime = "0"', ["8,DECK,", "2,DECK,overtime"], 360, 0),
    # Hours that are only a premium cost no rate besides, and are not due again.
    ('overtime_premium = "50"', ["10,DECK,", "2,DECK,overtime_premium"], 360, 36),
    ('overtime_premium = "50"', ["8,DECK,", "2,TIDY,overtime_premium"], 288, 0),
    ('sunday = "33.33"', ["1,DECK,sunday"], 36, Decimal("11.9988")),
]


@pytest.mark.slow
@pytest.mark.parametrize(("classes", "lines", "labour", "due"), CLASSES)
def test_a_pay_class_has_a_premium_of_its_own(
    stage: Yard, classes: str, lines: list[str], labour: Any, due: Any
) -> None:
    """The percentage of the class on the sheet; the thresholds count the other hours."""
    load_settings(stage, f'{CODES}[overtime]\ndaily_hours = "8"\npremium_percent = "50"\n')
    load_settings(stage, f"[premiums]\n{classes}\n")
    rows = "".join(f"A1,{FRIDAY},{line}\n" for line in lines)
    load_sheets(stage, CLASSED + rows)
    found = costs(stage)

    assert (found["DECK"], found["overtime_premium"]) == (labour, due)


@pytest.mark.slow
def test_leave_that_counts_comes_first_and_agencies_charge_their_own_price(week: Yard) -> None:
    """8 h of leave on Sunday put 8 h more of the hours worked above 40; an agency's are not."""
    load_settings(week, FORTY.format("place") + 'paid_leave_counts = "yes"\n')
    load_sheets(week, f"{SHEET_HEAD}A1,{SUNDAY},8,HOL,\n", "leave.csv")
    owed = journal(week)
    head = "worker_id,name,trade,grade,active_from,employment,supplier\n"
    row = "A1,Ada Brunt,carpenter,lead,2026-01-01,agency,Holm\n"
    week.run("load", "crew", week.write("crew.csv", head + row))

    # 18 h: Saturday's 4 and 4 of Friday's on the job; 2 of Friday's and 8 of Thursday's overhead.
    assert (owed["overtime_premium", JOB], owed["overtime_premium", None]) == (144, 36 + 144)
    assert premium(week) == 0


@pytest.mark.slow
def test_what_is_unpaid_has_its_premium_beside_its_cost(week: Yard) -> None:
    """Pay up to Friday leaves Saturday's 4 h: 144.00 at the rate and half of it as premium."""
    pay = "worker_id,period_start,period_end,pay_class,hours\nA1,2026-03-02,2026-03-06,normal,46\n"
    week.run("load", "payroll", week.write("pay.csv", pay))
    before = week.json("accruals")
    load_settings(week, FORTY.format("place"))
    found = week.json("accruals")

    assert "premium" not in before
    assert (before["cost"], found["cost"], found["premium"]) == (144, 144, 72)
    assert [row["premium"] for row in found["rows"]] == [72]
    assert week.run("accruals").stdout.splitlines()[0].split()[-1] == "premium"


@pytest.mark.slow
def test_a_closed_week_end_keeps_its_premium_and_the_next_period_has_the_rest(week: Yard) -> None:
    """Spread and closed on Friday: 79.83 and 28.17; Saturday's 72.00 come next, partly earlier."""
    load_settings(week, FORTY.format("week"))
    week.run("close", "period", "--to", FRIDAY)
    found = week.json("journal", "--to", FRIDAY)
    lines = week.json("journal", "--to", SUNDAY)["lines"]
    kinds = ("overtime_premium",)
    closed = [row["debit"] for row in found["lines"] if row["kind"] in kinds]
    later = [(row["job"], row["is_late"], row["debit"]) for row in lines if row["kind"] in kinds]

    assert closed == [Decimal("28.17"), Decimal("79.83")]
    # Of 180.00 the 4 h of Saturday bear 4/50; the job has 136.80, overhead 43.20.
    assert later == [
        (None, True, Decimal("15.03")),
        (JOB, False, Decimal("14.40")),
        (JOB, True, Decimal("42.57")),
    ]


WRONG = [
    ('[overtime]\npremium_percent = "half"', 'overtime.premium_percent "half" is not a decimal'),
    ('[overtime]\npremium_percent = "501"', '"501" is not a percentage from 0 to 500'),
    ('[overtime]\npremium_stands = "day"', '"day" is unknown; use place or week'),
    ('[premiums]\nsunday = "33.333"', 'premiums.sunday "33.333" is not a percentage from 0 to 500'),
]


@pytest.mark.slow
@pytest.mark.parametrize(("text", "message"), WRONG)
def test_settings_of_premium_that_do_not_fit_are_refused(
    stage: Yard, text: str, message: str
) -> None:
    """One clear message each."""
    assert message in stage.run("load", "settings", stage.write("s.toml", text), ok=False).stderr


OWN_CLASSES = '[pay_classes]\nsunday = "worked"\n'
UNKNOWN_CLASSES = [
    (
        OWN_CLASSES + '[premiums]\novertime_premium = "50"\nsundy = "100"\n',
        's.toml:5: premiums.sundy: pay class "sundy" is unknown; did you mean sunday?\n',
    ),
    (
        OWN_CLASSES + '[premiums]\nnight = "25"\n',
        's.toml:4: premiums.night: pay class "night" is unknown; give it a kind under '
        "[pay_classes]\n",
    ),
    ('[premiums]\nnight = "25"\n', ""),
]


@pytest.mark.parametrize(("text", "message"), slow_beyond(1, UNKNOWN_CLASSES))
def test_a_premium_of_no_pay_class_is_refused_where_classes_are_listed(
    stage: Yard, text: str, message: str
) -> None:
    """Those always known count; a yard that lists no class may name any."""
    path = stage.write("s.toml", text)
    said = stage.run("load", "settings", path, ok=not message).stderr

    assert not message or said == f"{message}1 fault; nothing was loaded\n"


@pytest.mark.slow
def test_a_premium_loaded_before_the_classes_is_looked_at_with_them(stage: Yard) -> None:
    """Listing the yard's classes without it is refused; other settings ask nothing of it."""
    load_settings(stage, '[premiums]\nnight = "25"\n')
    said = stage.run("load", "settings", stage.write("s.toml", OWN_CLASSES), ok=False).stderr
    load_settings(stage, '[overtime]\ndaily_hours = "8"\n')
    load_settings(stage, OWN_CLASSES + 'night = "worked"\n')

    assert 's.toml:1: premiums.night: pay class "night" is unknown' in said


def test_a_yard_pays_a_premium_only_where_it_says_so() -> None:
    """Thresholds alone, a percentage alone or one of nothing cost nothing."""
    nothing: list[dict[str, str]] = [
        {},
        {"overtime.weekly_hours": "40"},
        {"overtime.premium_percent": "50"},
        {"overtime.weekly_hours": "40", "overtime.premium_percent": "0"},
        {"premiums.overtime": "0"},
    ]

    assert [premium_policy(settings) for settings in nothing] == [None] * len(nothing)
    assert premium_policy({"premiums.overtime": "50"}) is not None


@pytest.mark.slow
@pytest.mark.parametrize("stands", ["place", "week"])
def test_rows_foot_with_premium_in_any_book(tmp_path: Path, stands: str) -> None:
    """Rows and steps add as without it; the journal's premium of the job is all that it bears."""
    yard = RandomBook(Yard(tmp_path), random.Random(stands)).build()
    limits = 'weekly_hours = "6"\ndaily_hours = "4.3"\npremium_percent = "33.33"\n'
    load_settings(yard, f'[overtime]\n{limits}premium_stands = "{stands}"\n')
    with open_book(yard.book) as book:
        sums.check_rows(book, sums.DAYS[2])
        sums.check_booked(book, sums.DAYS[2])
        sums.check_overrun(book, sums.DAYS[2])
        borne = Actuals(book, ANY, sums.DAYS[3], "cost").premium
        lines = posted(book, sums.DAYS[3]).lines

    [debit] = [each.debit for each in lines if each.kind == "overtime_premium"]
    assert debit == to_places(sum(each.amount for each in borne), 2, PER) > 0
